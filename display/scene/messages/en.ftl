# Every word that screens write, in English. The other languages have the same messages with the same arguments.
# Names from the competition come isolated (UAX #9) already; decimal numbers come with the language's own mark.

# The mark between whole numbers and decimals.
decimal-mark = .

## States of a lane.
finished = finished
time-cap = time cap
under-review = under review
# The same where there is little room.
review = review
ruled = ruled
empty-lane = empty lane
no-rep = no-rep
# Beside a no-rep: why.
no-rep-fault = no-rep · { $fault }
# All work is done, the finish call is not made.
to-the-line = to the line
to-go = { $left } to go
buy-in = buy-in
# Before a lane's own start.
starts = starts { $time }
# In place of a name that no font can write.
bib = No. { $bib }
# The round under way, as short as can be.
round = R{ $round }

## States of a heat.
lanes-set = lanes set
on-deck = on deck
countdown = countdown
held = held
held-means = The clock is stopped. Calls wait for the head judge.
time-called = time called
provisional = provisional
official = official
cancelled = cancelled
cancelled-means = This run of the heat does not count.

## The header.
lane-runs-again = Lane { $lane } runs again
run = run { $run }
cap = cap { $time }
window = AMRAP · window { $time }
window-tries = window { $time }
# After the time that is left.
left = left
done-of = { $done } of { $all } done
starts-in = starts in { $seconds } s
resumes-in = resumes in { $seconds } s

## When something is wrong with the feed.
clock-in-doubt = clock unconfirmed
not-recording = not recording
waiting = Waiting for the feed
no-feed-seconds = no feed · { $seconds } s
no-feed-minutes = no feed · { $minutes } min

## Results and what they rest on.
work-of = { $done } of { $all }
no-mark = no mark
cap-plus = cap + { $missing }
buy-in-plus = buy-in + { $done }
# A sign stands before the seconds.
penalty = { $seconds } s penalty
credit = { $seconds } s credit
tie-break = tie-break { $time }
tie-break-short = TB { $time }

## The stream's overlay.
lane = lane { $lane }
# Those whom a list has no room for.
more-finished = +{ $more } finished
more-lanes = { $more ->
    [one] +{ $more } lane
   *[other] +{ $more } lanes
}
# Two lanes that have done as much.
level = level

## Cards between heats.
next-heat = next heat
results = results
standings = standings
# Before a heat that is to come, with the time that is left.
starts-in-time = starts in { $time }
# Standings over the heats that have results.
after-heats = { $all ->
    [one] after the only heat
   *[other] after { $done } of { $all } heats
}
page-of = page { $page } of { $pages }

## The test card.
racing = racing
leading = leading
last-five = last five
test-card = test card
# Names of texts, each shown as large as that text is on the board.
sample-clock = clock
sample-count = count
sample-place = place
sample-name = name
sample-lane = lane
sample-gap = gap
sample-workout = workout
sample-heat = heat and cap
# How much of a picture's width and height is safe for what moves, and for graphics.
action-safe = action-safe { $percent } %
graphics-safe = graphics-safe { $percent } %
