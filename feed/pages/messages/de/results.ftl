# Results for everybody.
title = Ergebnisse · Fivemark
floor = Der Lauf auf der Fläche
standings = Stand des Workouts
provisional = Vorläufig: { $state }. Offiziell erst, wenn bestätigt.
lane = Bahn { $lane }
count-of = { $count } von { $all }
penalty = + { $time } Strafe
credit = Gutschrift { $time }
tie-break = Tie-Break { $time }
standings-of = { $workout } · { $division } · { $done } von { $all } Läufen
row-provisional = vorläufig
spectators-off = Dieser Server lässt keine Zuschauer ein. Fragen Sie, wer die Veranstaltung leitet.
