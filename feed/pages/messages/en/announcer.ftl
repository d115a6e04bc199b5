# The announcer's page. Names come isolated; times come in the language's own way.
title = Announcer · Fivemark

## The head.
cap = cap { $time }
window = AMRAP · window { $time }
window-attempts = window { $time }
left = { $time } left
starts-in = starts in { $seconds } s
held-means = Stopped. Wait for the head judge.
cancelled-means = This run of the heat does not count.
runs-again = Lane { $lane } runs again; the other lanes' results stand.
not-recording = The feed can't write its record: nothing new is counted.
clock-in-doubt = The clock is not confirmed yet.
age-seconds = { $seconds } s ago
age-minutes = { $minutes } min ago

## The lists.
leading = Leading
still-working = First on floor
nobody-scored = Nobody has scored yet.
nobody-works = Nobody is still working.
mixed = Several divisions: places and gaps are within each.
mixed-same-work = Several divisions: places are within each, gaps are to the first of the whole heat.
behind = Behind them
last-five = Last five
none-yet = Nobody yet.
done = Finished
start-list = Start list
results-provisional = Results, provisional
results-official = Results, official
next = Next heat
next-heat = Next: { $heat } · { $workout }
no-next = No heat comes after this one.
next-line = Next: { $heat } · { $workout }
close-next = Close the next heat
said = Said

## A lane.
lane = lane { $lane }
# The same where there is little room.
lane-short = L{ $lane }
to-go = { $amount } to go
to-the-line = to the line
round-and = round { $round } · { $units }
part = { $done } of { $all } { $movement }
# Counted only when it is done.
part-whole = { $all } { $movement }
# What is tried now, and which attempt or hold it is.
now-load = now { $load }
now-holding = holding
try = attempt { $number }
try-of = attempt { $number } of { $all }
seconds = { $time } s
behind-units = { $units } behind
behind-time = { $time } s
behind-time-alone = { $time } s behind
level = level
under-review = under review
status-racing = working
status-finished = finished
status-capped = time cap
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ

## What is said.
fact-lead-new = { $name } leads, lane { $lane }.
fact-lead-new-division = { $name } leads { $division }, lane { $lane }.
fact-last-five-new = Last five: { $name }, lane { $lane }.
fact-part-five-new = Last five of { $part }: { $name }, lane { $lane }.
fact-last-five-back = Taken back: { $name }, lane { $lane }, is not in the last five.
fact-finish-new = { $name } has finished: { $result }, place { $place }, lane { $lane }.
fact-finish-new-division = { $name } has finished: { $result }, place { $place } in { $division }, lane { $lane }.
fact-finish-corrected = Correction: { $name }, lane { $lane }, now { $result }, place { $place }.
fact-finish-corrected-division = Correction: { $name }, lane { $lane }, now { $result }, place { $place } in { $division }.
fact-finish-back = Taken back: the finish of { $name }, lane { $lane }, does not stand.
fact-minute = One minute left.
fact-state-lanes-set = { $heat }: lanes set.
fact-state-on-deck = { $run ->
    [1] { $heat } on deck.
   *[other] { $heat } on deck again, run { $run }.
}
fact-state-countdown = Countdown.
fact-state-countdown-again = The heat resumes.
fact-state-running = The clock runs.
fact-state-running-again = The clock runs again.
fact-state-held = Stopped. Wait for the head judge.
fact-state-time-called = Time.
fact-state-provisional = The results are provisional.
fact-state-signed = The results are official.
fact-state-cancelled = This run is cancelled and does not count.
