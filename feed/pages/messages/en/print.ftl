# Papers: what is printed of a heat for its officials, judges and athletes.
title = Papers · Fivemark
papers = Papers
paper = The paper
what = Paper
heat = Heat
heat-number = Heat { NUMBER($heat, useGrouping: 0) }
heat-on-floor = Heat { NUMBER($heat, useGrouping: 0) }, on the floor
print = Print
paper-result = Result sheet
paper-brief = Brief of the workout
paper-pins = PIN cards for judges' phones
paper-cards = Score cards
run = run { $run }

## The result sheet.
sheet-provisional = PROVISIONAL – { $state }; not official until signed
sheet-official = OFFICIAL – signed
column-lane = Lane
column-bib = Bib
column-athlete = Athlete
column-division = Division
column-result = Result
column-place = Place
column-tie-break = Tie-break
column-penalties = Penalty, credit
column-initials = Initials, judge
column-change = Change
column-ruling = Ruling
column-reason = Reason
column-by = By
penalty = + { $time }
credit = credit { $time }
initials-of = { $athlete } / { $judge }
from-to = { $from } → { $to }
rulings = Rulings
rulings-left-out = { $count ->
    [one] 1 older ruling has no room here; the head judge's page has it.
   *[other] { $count } older rulings have no room here; the head judge's page has them.
 }
remarks = Of the whole heat
not-signed = This heat is not signed; the sheet has no digest.
signed-by = Signed by: { $by }, { $at }, over { NUMBER($entries, useGrouping: 0) } entries of the record.
signed-earlier = An earlier signing: { $by }, { $at }, digest { $digest } …
reopened = Reopened: { $by }, { $at }: { $reason }
digest = Digest of the signed record (SHA-256)
verify-how = Whoever has the journal can hold this sheet against it:
signature = Head judge
status-racing = no result
status-finished = finished
status-capped = capped
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ
status-under-review = under review

## PIN cards.
pins-wait = Asking the feed for the PINs…
pins-other-heat = PINs are for the heat on the floor alone. Choose that heat.
pins-none = The heat is signed; its PINs open nothing any more.
pins-hint = Cut along the lines. A judge scans the code, or opens the address and types the PIN. It is good until the heat is signed.
pins-loopback = These codes lead to this machine alone. Open this page by the address that phones use, and print again.
card-lane = Lane { $lane }
card-shadow = Lane { $lane }, shadow judge
card-empty = nobody stands here
judge-name = judge { $judge }

## Score cards.
cap = cap { $time }
window = window { $time }
starts-at = starts at { $time }
card-hint = Tick each good rep; write the clock at the end of each part.
card-five = Bold boxes: raise the hand.
round-short = R{ $round }
card-more = More rounds: take another card.
column-part = Part
column-ticks = Good reps
column-clock = Clock
each-box = a box is { $amount }
count-done = Done:
no-reps = No-reps:
result-time = Finish time:
result-count = Or done at the cap, of { $all }:
result-rounds = Rounds + reps:
result-load = Best load:
result-held = Held:
card-load = Load:
card-good = good
card-failed = failed
card-hint-tries = Write each load before the attempt, tick what became of it, and write the clock.
column-tries = Attempt
initials-athlete = Initials, athlete:
initials-judge = Initials, judge:
initials-judge-of = Initials, judge { $judge }:

## Amounts.
amount-rep = { $count }
amount-metre = { $count } m
amount-calorie = { $count } cal
amount-second-held = { $count } s
amount-kilogram = { $count } kg

## The brief.
brief-of = Brief: { $workout }
brief-work = Work
brief-movements = Movements
brief-signals = Counting and signals
brief-result = Result
scored-for-time = For time, cap { $time }.
scored-amrap = As many rounds as possible in { $time }.
scored-heaviest-lift = Heaviest lift within { $time }.
scored-longest-hold = Longest hold within { $time }.
tries-heaviest-lift = { $count ->
    [one] 1 attempt
   *[other] { $count } attempts
 }
tries-longest-hold = { $count ->
    [one] 1 hold
   *[other] { $count } holds
 }
scheme = Reps of each round: { $scheme }.
rounds = { $count ->
    [one] 1 round.
   *[other] { $count } rounds.
 }
column-all = Everybody
buy-in = buy-in, once
cash-out = cash-out, once
tie-break-here = tie-break time at its end
standard-start = Start:
standard-finish = Finish:
no-rep-if = No-rep:
fault-partial = (partial: only the failed stage again)
counted-in = Counted in steps of { $amount }.
count-aloud = The judge counts each good rep aloud and upward.
signal-no-rep = The judge signals each no-rep at once and says why; it is done again.
partial-rule = After a partial fault only the failed stage is done again.
last-five = The judge raises a hand for the last five.
last-five-every-part = The judge raises a hand for the last five of each part.
last-minute = The last minute is shown on the board; the judge counts on to the end of the window.
finish-call = Time stops at the finish call, over the line or on the mat, not at the last rep.
capped-work-done = At the cap the result is the work done, such as 87 of 90.
capped-work-left = At the cap the result is the work left, such as cap + 3.
capped-cap-plus-penalty = At the cap the result is the cap plus { $penalty } for each missing unit.
result-amrap-rounds = The result is whole rounds and the reps of the round under way, such as 5 + 12.
result-amrap-total = The result is all reps together.
result-heaviest-lift = The result is the heaviest load of a good attempt; each load is declared before its attempt.
result-longest-hold = The result is the longest hold, from the judge's start to the stop; one under way ends with the window.
signals-heaviest-lift = The judge says after each attempt whether it was good, and why not if it failed.
signals-longest-hold = The judge says when a hold starts and when it ends.
tie-break-rule = Equal work is parted by the tie-break time: the earlier is better, a missing one last.
tie-break-none = Equal results share the place, and the next place is skipped.
cap-on-heat = The cap ends the heat for everybody at once, whenever a lane started.
first-to-finish = First over the line is first, whenever a lane started.
times-up = Official times in steps of { $unit } s, to the next longer one.
times-down = Official times in steps of { $unit } s, the rest dropped.
penalties = The head judge alone gives penalties, in time or units, each with its reason.
penalties-units = The head judge alone gives penalties, in units, each with its reason.
confirm-initials = Athlete and judge confirm the result by their initials; the head judge's signature makes it official.
confirm-signed = The head judge's signature makes the result official.
brief-safety = Safety: medics and floor staff stop a heat by voice and signal at any time; local rules apply. The board is information and not a safety device.
