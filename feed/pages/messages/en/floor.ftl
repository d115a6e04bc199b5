# The floor operator's page.
title = Floor operator · Fivemark

## The heat.
floor = The heat
heat-number = Heat { $heat }
command-on-deck = On deck
command-start-countdown = Start the countdown
command-recall = Recall: false start
command-hold = Hold
command-resume = Resume
command-call-time = Call time
command-open-heat = Bring the heat on the floor
sure-start-countdown = Start the countdown now?
sure-recall = Recall the heat? It goes back on deck, and what was counted in this run scores nothing.
sure-call-time = Call time now? The heat ends as it stands.
sure-open-heat = Bring heat { $heat } on the floor? All screens go to it.
not-now = Not now
open-heat = Another heat
open = Bring it on the floor
heads = From here on the head judge closes and signs the heat.

## What screens show.
on-now = On the boards now
on-for = { $time } more
stays = stays
order-follow = The order follows the heats.
order-own = An order of the floor operator's own.
order-heat = The heat's board stays.
follow = Follow the heats
board-alone = The heat's board alone
heat-takes-over = From a heat's countdown to its results the heat has the boards, whatever was asked, and then gives them back.
overlay = On the stream's overlay
part-ribbon = Ribbon
part-rail = Rail
part-corner = Corner
part-card = Card
duel-left = Duel, left
duel-right = right
duel-show = Show the duel
duel-off = End the duel
duel-now = Duel: lane { $left } and lane { $right }.
duel-none = No duel is on.

## An order of one's own.
own = An order of your own
own-hint = Cards that the boards show one after the other. A time of 0 lets a card stay. A card for which there is nothing yet is left out.
card = Card
card-heat = The heat's board
card-next-heat = Next heat
card-last-results = Last results
card-standings = Standings
card-event = The event
card-words = Own words
card-countdown = Countdown
for-time = For m:ss
card-title = Title
card-text = Text
card-until = Runs out in m:ss
step-up = Move step { $step } up
step-down = Move step { $step } down
step-away = Take step { $step } away
add = Add a card
again = Begin again after the last
show = Show this order
fault-time = Step { $step }: write its time like 0:12, a day at most; 0 lets it stay.
fault-title = Step { $step }: the title is too long. One line of about a hundred letters fits.
fault-text = Step { $step }: the text is too long. About four hundred letters fit.
fault-empty = Step { $step }: write a title or a text.
fault-until = Step { $step }: write the time until it runs out like 10:00, a day at most.

## What was asked.
sent = Asked of the feed
sent-waiting = waits for the feed
sent-unsure = It is not known whether this arrived.
sent-done = done
sent-full = Too much waits for the feed already. Wait until some of it is answered.
again-send = Send it again
give-up = Leave it
sent-part-on = { $part } on
sent-part-off = { $part } off
sent-own = { $steps ->
    [one] Own order of one card
   *[other] Own order of { $steps } cards
}
