# Words that all pages share.
link-lost = No link to the feed. It is tried again by itself.

## Coming in with an access key.
entry-title = Access key
entry-key = Access key of your role
entry-go = Come in
entry-hint = Whoever runs the event has it. A link or code with the key in it opens this page at once.
entry-wrong = This access key does not open this page. Check it, or ask whoever runs the event.

## States of a heat.
state-lanes-set = lanes set
state-on-deck = on deck
state-countdown = countdown
state-running = running
state-held = held
state-time-called = time called
state-provisional = provisional
state-signed = official
state-cancelled = cancelled
