# Results for everybody.
title = Results · Fivemark
floor = The heat on the floor
standings = Standings of the workout
provisional = Provisional: { $state }. Not official until signed.
lane = lane { $lane }
count-of = { $count } of { $all }
penalty = + { $time } penalty
credit = credit { $time }
tie-break = tie-break { $time }
standings-of = { $workout } · { $division } · { $done } of { $all } heats
row-provisional = provisional
spectators-off = This feed lets no spectators in. Ask whoever runs the event.
