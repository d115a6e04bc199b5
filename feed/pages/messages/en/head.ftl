# The head judge's page.
title = Head judge · Fivemark

# The bar at the top.
steps = What can be done now
state-alone = { $state } · lane { $lane } alone
run = run { $run }
cap-left = cap { $cap } · { $left } left
linked = Linked to the feed
hold = Hold
hold-key = F8
step-on-deck = On deck
step-start-countdown = Start the countdown
step-recall = Recall: false start
step-resume = Resume
step-call-time = Call time
step-close = Close: provisional
step-sign = Sign
step-reopen = Reopen
step-rerun = Run the heat again
step-rerun-lane = Run one lane again
step-cancel = Cancel the run
step-cancel-alone = Cancel this lane's run
step-confirm-clock = Confirm the clock
step-open-heat = Go on to heat { NUMBER($heat, useGrouping: 0) }
step-open-heat-other = Go to another heat

# The second touch.
ask-yes = Yes: { $step }
ask-no = No
ask-lane = Lane
ask-heat = Heat
ask-reason = Reason
ask-what-start-countdown = Start the countdown of { $heat }?
ask-what-recall = { $heat } runs. Recall it? The run stays in the record and scores nothing.
ask-what-resume = Resume { $heat }? A countdown runs first.
ask-what-call-time = Call time in { $heat } now? Nothing that is tapped later counts.
ask-what-close = Close { $heat }? Calls that are still missing are not waited for.
ask-what-sign = Sign { $heat }? Its results become official on every screen.
ask-what-reopen = Reopen { $heat }? Its results are provisional again.
ask-what-rerun = Run all of { $heat } again? The run so far stays in the record and scores nothing.
ask-what-rerun-lane = Run one lane of { $heat } again alone? The other lanes' results stand.
ask-what-cancel = Cancel this run of { $heat }? It scores nothing.
ask-what-cancel-alone = Cancel the run of lane { $lane }? Its earlier result stands again.
ask-what-confirm-clock = The feed's machine was restarted. Take the clock and its times as right?
ask-what-open-heat = Bring another heat onto the floor?
ask-what-open-heat-unsigned = { $heat } is not signed. Bring another heat onto the floor all the same? You can come back to it.
ask-start-unfit = { $says }. Start all the same?
ask-yes-unfit = Start all the same
reason-wanted = Say in a few words why.
reason-long = This is too long. Say it in two sentences.

# What needs attention.
attention = Needs attention
attention-journal = The feed cannot write its record. Nothing is acknowledged; phones keep their calls.
attention-clock-doubt = The feed's machine was restarted: the clock is in doubt until you confirm it.
attention-judge-off = Judge off the line
attention-review-late = Review overdue
attention-under-review = Under review
attention-flagged = Times or link in doubt
attention-lane = { $what }: lane { $lane }

# The lanes.
aside = Opened lane, and what you asked for
lanes = Lanes
column-lane = Lane
column-athlete = Athlete
column-count = Count
column-place = Place
column-part = Part
column-calls = Last calls
column-no-reps = No-reps
open-lane = Lane { $lane }, { $name }: open
lane = lane { $lane }
lane-name = Lane { $lane } · { $name }
lane-empty = empty
count-of = { $count } of { $all }
units = { $count ->
    [one] 1 unit
   *[other] { $count } units
 }
part-reps = { $movement } { $count } of { $all }
part-metre = { $movement } { $count } of { $all } m
part-calorie = { $movement } { $count } of { $all } cal
part-second-held = { $movement } { $count } of { $all } s
part-kilogram = { $movement } { $count } of { $all } kg
part-whole = { $movement } ({ $all })
no-mark = no mark
declared = { $load } declared
holding = holding
tried = { $count ->
    [one] 1 tried
   *[other] { $count } tried
 }
tried-of = { $count } of { $all } tried
place-round = round { $round }, { $part }
course-end = all done
to-go = { $count } to go
status-racing = racing
status-finished = finished
status-capped = capped
status-did-not-finish = did not finish
status-did-not-start = did not start
status-disqualified = disqualified
status-under-review = under review
status-reinstated = reinstated
status-empty = empty
ago-seconds = { $count } s ago
ago-minutes = { $count } min ago
mark-judge-off = judge off
mark-flagged = in doubt
mark-ruled = ruled
mark-credit = credit { $time }
mark-start = starts at { $time }
call-good = { $count ->
    [one] good
   *[other] good, { $count } at once
 }
call-no-rep = no-rep
call-hold = hold started
call-back = { $count ->
    [one] taken back
   *[other] { $count } taken back
 }
call-ruled = ruling
call-fault = { $call }, { $fault }

# One lane, opened.
close = Close
stop-alone = stopped by hand { $time }
stop-beside = stopped by hand { $time } ({ $apart } s)
review-left = review: { $time } left
review-late = review overdue
judged-by = judge { $judge }
last-calls = Last calls
no-calls = None since this page was opened.
no-reps = { $count ->
    [one] 1 no-rep
   *[other] { $count } no-reps
 }
fault-times = { $fault } × { $times }
fault-unnamed = no fault named

# A ruling.
ruling = Ruling on this lane
field-kind = Ruling
kind-add-units = Add or take away units
kind-set-count = Set the count
kind-from-paper = Go on from a paper card
kind-move-finish = Move the finish
kind-time-penalty = Time penalty
kind-unit-penalty = Unit penalty
kind-credit = Credit time for failed equipment
kind-set-best-load = Set the best load
kind-set-held = Set the time held
kind-status = Status
kind-review = Under review, with a deadline
kind-note-stop = Note a stop by hand
kind-move-athlete = Move the athlete to an empty lane
field-way = More or less
way-more-add-units = Add
way-less-add-units = Take away
way-more-time-penalty = Penalty
way-less-time-penalty = Give back
way-more-unit-penalty = Penalty
way-less-unit-penalty = Give back
way-more-credit = Credit
way-less-credit = Take back
field-units = Units
field-round = Round
field-part = Part
field-done = Done in this part
field-finish = Time of the finish
field-time = Time, as minutes and seconds
field-load = Best load, 0 for none
field-minutes = To be decided within minutes
field-status = Status
field-to = To lane
field-card-athlete = Initials, athlete
field-card-judge = Initials, judge
card-initials = then initials { $athlete } / { $judge }
field-reason = Reason
reasons = Reasons to choose from
why-video = counted on video
why-miscount = judge's count was off
why-standard = standard not met
why-equipment = equipment failed
why-card = taken from the paper card
rule = Rule
preview = Lane { $lane }: { $change }
change-from-to = { $from } → { $to }
change-finish = , finished in { $time }
change-on-top = penalties and credits come on top
change-penalty = penalty { $from } → { $to }
change-penalty-to = { $to } more penalty
change-credit = credit { $from } → { $to }
change-credit-to = { $to } more credit
change-stop = stop by hand { $from } → { $to }
change-stop-to = stop by hand { $to }, noted beside the finish
change-review = { $from } → { status-under-review }, to be decided within { $minutes } min
problem-no-kind = Choose a ruling.
problem-no-units = Give a whole number of units, 1 or more.
problem-beyond-course = The lane cannot have so many units.
problem-add-reaches-end = That is the whole course. Set the count instead, with the time of the finish.
problem-no-count = Give what is done in this part, as a whole number within it.
problem-no-finish = That is the whole course. Give the time of the finish, such as 7:08.4.
problem-no-time = Give a time, such as 7:08.4, or 10 for ten seconds.
problem-no-load = Give a load up to 1000 kg, such as 142.5, or 0 for none.
problem-credit-below-nothing = No more can be taken back than was credited.
problem-no-minutes = Give whole minutes, 1 to 1440.
problem-no-status = Choose a status.
problem-same-status = That is how the lane stands already.
problem-no-lane = Choose an empty lane.
problem-half-initials = Give the initials of both, or of neither.
problem-no-reason = A ruling needs a reason.
problem-reason-long = The reason is too long. Say it in two sentences.
none-signed = The heat is signed. Reopen it to rule on this lane.
none-cancelled = This run was cancelled and scores nothing; there is nothing to rule on.
none-empty = Nobody stands on this lane.

# What was asked for, and what came of it.
answers = What you asked for
no-answers = Nothing yet.
said = { $what } – { $came }
card-initials-refused = The count of the card is in the record, and its initials were refused. They are still typed in; look at the result and confirm it again.
card-no-result = The count of the card is in the record. The lane has no result yet, so its initials wait: confirm it when it has ended.
came-waiting = waiting for the feed
came-unsure = not known to have arrived, and too old to be sent by itself
came-done = done
send-again = Send it now
leave-it = Leave it
too-many-waiting = Too much waits for the feed already. This was not sent; give it again when the link is back.
note = { $before } → { $after }
note-of-other = Lane { $lane }, ruled by { $by }
lane-did = Lane { $lane }: { $what }
did-set-lanes = Set lanes { $lanes }: { $reason }
did-on-deck = On deck
did-start-countdown = Start the countdown
did-recall = Recall
did-hold = Hold
did-resume = Resume
did-cancel = Cancel the run
did-call-time = Call time
did-close = Close
did-sign = Sign
did-rerun = Run the heat again: { $reason }
did-rerun-lane = Run lane { $lane } again: { $reason }
did-reopen = Reopen: { $reason }
did-confirm-clock = Confirm the clock
did-open-heat = Go to heat { NUMBER($heat, useGrouping: 0) }
ruled-add-units = { $count ->
    [one] 1 unit added
   *[other] { $count } units added
 }
ruled-add-units-less = { $count ->
    [one] 1 unit taken away
   *[other] { $count } units taken away
 }
ruled-unit-penalty = { $count ->
    [one] penalty of 1 unit
   *[other] penalty of { $count } units
 }
ruled-unit-penalty-less = { $count ->
    [one] 1 unit given back
   *[other] { $count } units given back
 }
ruled-time-penalty = penalty of { $time }
ruled-time-penalty-less = { $time } given back
ruled-credit = { $time } credited
ruled-credit-less = credit of { $time } taken back
ruled-set-count = count set to { $count } along the course
ruled-from-paper = paper count of { $count } along the course
ruled-move-finish = finish moved to { $time }
ruled-set-best-load = best load set to { $load }
ruled-set-held = time held set to { $time }
ruled-review = under review, to be decided within { $minutes } min
ruled-note-stop = stop by hand noted at { $time }
ruled-move-athlete = moved to lane { $to }

# Why the feed refused, where its own sentence is in another language.
reason-wrong-role = This access key does not let you do that.
reason-unknown-lane = There is no such lane, or nobody stands on it.
reason-unknown-athlete = No athlete of the competition has this bib.
reason-stands-twice = An athlete would stand on two lanes.
reason-unknown-heat = There is no such heat on this floor.
reason-heat-signed = The heat is signed; reopen it first.
reason-heat-cancelled = This run was cancelled and scores nothing.
reason-not-in-this-state = This is not possible in the state that the heat or lane is in.
reason-clock-in-doubt = The clock is in doubt; confirm it first.
reason-out-of-range = A figure or the reason lies outside of what is possible.
reason-journal-full = The record cannot be written. Give it again soon.
reason-too-large = The message is too large.
reason-malformed = The feed did not understand the message; page and feed may be of different versions.
reason-lane-taken = The lane is not empty.
reason-not-confirmed = Initials are missing under a result.
reason-result-changed = The result is another one by now; look at it again.
reason-not-standing-by = That phone does not stand by.
reason-wrong-run = The lane is in another run by now.

# Behind a lane: phones, initials, record.
phones = Phones
phone-holds = holds the lane
phone-stands-by = stands by
phone-shadow = shadow judge
phone-off = off the line
phone-charge = { $percent } % charged
phone-charging = { $percent } %, charging
phone-waiting = { $count ->
    [one] 1 call waits
   *[other] { $count } calls wait
 }
phone-clock = clock within { $ms } ms
phone-sleeps = the screen may go dark
hand-over = Give this phone the lane
hand-over-sure = Yes: give it the lane
initials = Initials
initials-stand = Athlete and judge have confirmed this result.
initials-missing = Not confirmed yet. From paper:
initials-athlete = Athlete
initials-judge = Judge
initials-why = Why from paper
confirm = Confirm this result
record = Record
record-again = Show it anew
record-empty = Nothing yet.
record-left-out = { $count ->
    [one] 1 older entry is left out.
   *[other] { $count } older entries are left out.
 }
said-good = { $count ->
    [one] good
   *[other] good, { $count } units
 }
said-no-rep = no-rep
said-last-was-no-rep = last was a no-rep
said-part-done = part done
said-finish = finish
said-attempt-good = attempt good
said-attempt-failed = attempt failed
said-hold-start = hold started
said-hold-stop = hold stopped
said-declare-load = load declared
said-manual-stop = stop by hand
said-undo = undo
record-done = { $done } along the course
record-attempts = { $done ->
    [one] 1 tried
   *[other] { $done } tried
 }
record-counted = counted
record-taken-back = taken back
record-not-counted = does not count
record-noted = noted, decides nothing
record-shadow = shadow judge
record-ruling = { $by }: { $before } → { $after }
record-initials = initials { $athlete } and { $judge } under { $result }
record-initials-taken-back = initials { $athlete } and { $judge } under { $result }, taken back by a change
record-hand-over = lane given from { $from } to { $to }
doubt-late = came after time was called
doubt-outage = waited out a lost link
doubt-slept = the page slept
doubt-no-clock = without a known clock
doubt-clamped = its time was out of bounds
did-hand-over = given to { $to }
did-confirm = initials from paper
mark-confirmed = initials
attention-stands-by = Another phone stands by
attention-phone-low = Phone is low
attention-calls-wait = Calls wait on the phone
attention-initials = Initials are missing

# Lanes before the start: whether they are fit, and who stands where.
readiness = Before the start: { $says }
ready-all = { $count ->
    [one] the lane has its judge, a charged phone and a good link.
   *[other] all { $count } lanes have their judge, a charged phone and a good link.
 }
missing-judge = { $count ->
    [one] no judge on the line: lane { $lanes }
   *[other] no judge on the line: lanes { $lanes }
 }
missing-charge = { $count ->
    [one] phone is low: lane { $lanes }
   *[other] phones are low: lanes { $lanes }
 }
missing-link = { $count ->
    [one] poor link: lane { $lanes }
   *[other] poor link: lanes { $lanes }
 }
set-lanes = Set the lanes
set-lanes-hint = Touch a lane, then another one: their athletes change places.
set-lanes-second = Lane { $lane } is chosen. Touch the lane to exchange it with, or itself to leave it.
athlete-bib = { $bib } { $name }
lane-changes = changes
scratch = Take the athlete out
put-in = Put an athlete on this lane
find-athlete = Bib, name or club of who comes in
find-none = Nobody is found who could come in.
find-more = There are more. Type more letters.
was-scratched = taken out of this heat
set-lanes-changes = What changes
set-lanes-line = Lane { $lane }: { $from } → { $to }
set-lanes-out = { $name } is taken out and ranks as did not start.
set-lanes-send = Set the lanes so
set-lanes-back = Begin anew
set-lanes-nothing = Nothing changes yet.
set-lanes-lost = The lanes were set from elsewhere meanwhile. Look at them and begin anew.
why-swapped = lanes were mixed up
why-injured = injured
why-absent = not at the floor
why-substitute = comes in for another

# PINs.
papers = Papers
show-pins = PINs
pins-of = PINs of { $heat }
pins-hint = Judges open { $address } and type their PIN. It is good until the heat is signed.
pins-none = The heat is signed; its PINs open nothing any more.
pins-wait = Asking the feed…
pin-lane = Lane { $lane }
pin-shadow = Lane { $lane }, shadow judge
print = Print

# How the judges call.
show-judges = Judges
judges = How the judges call
judges-wait = Asking the feed…
judges-none = No call has been made yet.
judges-of = { $count ->
    [one] Calls of 1 heat; runs that score nothing are left out.
   *[other] Calls of { $count } heats; runs that score nothing are left out.
 }
judges-left-out = { $count ->
    [one] 1 more rate has no room here.
   *[other] { $count } more rates have no room here.
 }
judge-initials = initials { $initials }
briefing = For the next briefing
briefing-none = No judge lies outside of the field.
briefing-below = { $judge }, { $movement }: fewer no-reps than the field. { $rate }; field { $field }
briefing-above = { $judge }, { $movement }: more no-reps than the field. { $rate }; field { $field }
briefing-fault-below = { $judge }, { $movement }, “{ $fault }”: named less often than by the field. { $rate }; field { $field }
briefing-fault-above = { $judge }, { $movement }, “{ $fault }”: named more often than by the field. { $rate }; field { $field }
briefing-chance = { $count ->
    [0] Of { $all } comparisons hardly one lies outside by chance alone. Athletes differ, too: ask, and accuse nobody.
   *[other] Of { $all } comparisons about { $count } lie outside by chance alone. Athletes differ, too: ask, and accuse nobody.
 }
briefing-alone = No movement was called by two judges yet, so there is nothing to compare.
rates = No-rep rates
rates-hint = No-reps among attempts, and where the share lies with 95 % confidence: the bar. The round mark is the judge, the line across is the field.
rate-field = { $count ->
    [one] Field: { $figures }, 1 judge, who is compared with nobody
   *[other] Field: { $figures }, { $count } judges
 }
rate-figures = { $count } of { $all }: { $share }
rate-interval = { $figures } ({ $low } to { $high })
rate-fault = { $fault }: { $rate }, field { $field }
outside-below = fewer than the field
outside-above = more than the field
agreement = Lane judges and shadow judges
agreement-none = No lane was shadowed yet. A shadow judge joins with the lane's second PIN and counts the lane, too.
agreement-all = All movements
agreement-raw = { $count } of { $all } decisions alike: { $share } ({ $low } to { $high })
agreement-kappa = Kappa { $kappa } ({ $low } to { $high })
agreement-kappa-full = Kappa { $kappa }; full agreement gives it no interval
agreement-no-kappa = Kappa says nothing here: both said the same throughout.
agreement-parts = { $differ } judged differently, { $judge } called by the lane judge alone, { $shadow } by the shadow judge alone
agreement-hint = A decision is an attempt that either of them called; two calls within { $seconds } s may be about the same one. Kappa takes off what would agree by chance: 1 is full agreement, 0 is chance. Where no-reps are rare it is low however well they agree.

# What is flagged on a lane.
flags = Flagged
attention-too-fast = Calls faster than a human
attention-late-calls = Calls came late
attention-off-line = Phone long off the line
attention-clock-error = Phone's clock not known well
mark-too-fast = too fast
mark-quiet = no call for { $count } s
flag-too-fast = { $count ->
    [one] At { $clock } two reps in a row came faster than a human can do them: the last after { $took } s, where { $expected } s are expected. Look at the count.
   *[other] { $count } times reps in a row came faster than a human can do them: the last at { $clock } after { $took } s, where { $expected } s are expected. Look at the count.
 }
flag-quiet = No call for { $seconds } s; this lane usually takes { $usual } s. A rest, mostly.
flag-late-calls = { $count ->
    [one] 1 call came more than 10 s after it was tapped: after { $seconds } s.
   *[other] { $count } calls came more than 10 s after they were tapped: after up to { $seconds } s.
 }
flag-off-line = The phone that holds the lane was last heard of { $seconds } s ago.
flag-clock-error = The times of its calls may be wrong by up to { $ms } ms.
