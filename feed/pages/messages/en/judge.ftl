# The lane judge's page.
opening = One moment
opening-says = Joining lane { $lane }. If this takes long, check the phone's wireless link.
menu = Menu
menu-close = Back
light = Sunlight
full-screen = Full screen
lane = Lane { $lane }
lane-shadow = Lane { $lane }, shadow
this-device = This phone is { $device }.

join-title = Judge a lane
join-scan = Scan the lane's code with your camera. Or type what the head judge gives you:
join-pin = PIN, six digits
join-lane = Lane
join-key = Access key
join-shadow = I shadow this lane: my calls are compared and not counted
join-go = Join

brief = The work
this-phone = This phone
standard-start = Start: { $says }
standard-finish = Finish: { $says }
faults = No-rep: { $faults }
fault-partial = { $fault } (only that stage again)
clicker-try = Press a key of your keyboard or clicker to try it.
clicker-fits = { $key } means: { $call }
clicker-unknown = { $key } means nothing here. Use space or enter for a good rep.
key-space = Space
check-link = Linked; { $ms } ms there and back
check-no-link = No link to the feed. It is tried again by itself.
check-awake-on = The screen stays on.
check-awake-off = The screen may go dark. Touch the page, or turn the phone's screen lock off.
check-awake-unable = This page can't keep the screen on. Turn the phone's screen lock off for the heat.
check-storage = Calls are kept on this phone until the feed has them.
check-waiting =
    { $waiting ->
        [0] No call waits.
        [one] One call waits.
       *[other] { $waiting } calls wait.
    }
check-insecure = The address is not secure (http): the screen can't be kept on, and a reload needs the link.
check-refused =
    { $refused ->
        [one] The feed refused one call of this phone. Tell the head judge.
       *[other] The feed refused { $refused } calls of this phone. Tell the head judge.
    }
storage-refused = This browser keeps nothing. Calls are sent all the same; don't close this page.
storage-full = This phone's storage is full. Calls are sent all the same; don't close this page.

count-title = Count
no-rep = No-rep
last-no-rep = Last was a no-rep
undo = Undo
seconds-left = { $seconds } s
part-done = Part done
no-fault-named = No fault named
partial = only that stage again
of = of { $part }
then = then { $parts }
first = first { $part }
round = round { $round }
until-start = until the start
own-start = is this lane's own start
raise = Raise your hand
to-go = { $left } to go
when-done = Touch when it is done
finish-now = All reps done
touch-finish = touch at the finish
held = Held: the clock stands
failed = Failed
load-same = Same
load-type = Type
load-label = Load in { $unit }
load-set = Set
load-cancel = Back
load-bad = Type a load in { $unit }, up to 1000 kg, such as 100 or 42.5.
load-first = Declare the load first
touch-good = Touch if it was good
touch-start = Touch when the hold starts
touch-stop = Touch when it ends
hold-target = hold: start or stop
attempt-number = attempt { $number }
attempt-number-of = attempt { $number } of { $all }
hold-number = hold { $number }
hold-number-of = hold { $number } of { $all }
best = best { $best }
no-best-load = no good attempt yet
no-best-hold = no hold yet
brief-attempts = { $count ->
    [one] One attempt; its load is declared before it.
   *[other] { $count } attempts; each load is declared before it.
 }
brief-attempts-open = As many attempts as there is time for; each load is declared before it.
brief-holds = { $count ->
    [one] One hold, from start to stop.
   *[other] { $count } holds; the longest counts.
 }
brief-holds-open = As many holds as there is time for; the longest counts.

call-good = good rep
call-no-rep = no-rep
call-last-was-no-rep = last was a no-rep
call-part-done = part done
call-finish = finish
call-manual-stop = stop by hand
noted = noted
stop = Stop by hand
stopped = Stopped by hand: { $time }
call-undo = undo
call-attempt-good = good attempt
call-attempt-failed = failed attempt
call-declare-load = load
call-hold-start = hold started
call-hold-stop = hold stopped

held-back = Double tap: the second one was held back.
link-good = Linked. All calls are with the feed.
no-link = No link. It is tried again by itself.
no-link-count = No link. Keep counting: calls are kept and sent later.
no-link-waiting =
    { $waiting ->
        [one] No link. Keep counting: one call is kept and sent later.
       *[other] No link. Keep counting: { $waiting } calls are kept and sent later.
    }
waiting =
    { $waiting ->
        [one] One call waits for the feed.
       *[other] { $waiting } calls wait for the feed.
    }
elsewhere =
    { $waiting ->
        [one] One call for another lane waits on this phone.
       *[other] { $waiting } calls for other lanes wait on this phone.
    }
journal-stopped = The feed can't write its journal. Keep counting: { $waiting } calls wait.
told-not-counted = Not counted ({ $call }): { $reason }
told-refused = Refused: { $reason }
told-full = Too many calls wait. This one was not taken. Tell the head judge.
told-took-over = This lane is yours now.
told-handed-over = This lane was handed over to another phone.
told-wants-load = Declare the load of the attempt first, then judge it.

finished = Finished
time-called = Time
provisional = Result
official = Official result
result-awaited = Waiting for the official time
initials = Initials
initials-says = Athlete and judge agree with this result:
initials-athlete = Athlete's initials
initials-judge = Judge's initials
initials-go = Confirm the result
initials-sent = On its way
confirmed = Confirmed with both initials.

standing-by = Standing by
standing-by-says = Another phone counts lane { $lane }. To take over, give the head judge this phone's name: { $device }. What waits on this phone is still sent.
empty = Nobody on lane { $lane }
empty-says = This heat has nobody on this lane. Check the lane with the head judge.
cancelled = Heat cancelled
cancelled-says = This run scores nothing. Wait for the head judge.
replaced = Open elsewhere
replaced-says = This page is open in another tab or window, which counts now. Close this one, or reload it to count here.

last-calls = Last calls
no-calls = No call yet.
waits = waits
counted = counted
hand-over = Hand the lane over
hand-over-to = Name of the phone that stands by, as it shows it
hand-over-go = Hand over
leave = Wrong lane: leave it

why-no-link = No answer from the feed. Check the phone's wireless link.
why-wrong-access-key = This access key does not open this lane. Scan the code again.
why-wrong-pin = This PIN is not right. Ask the head judge for the lane's PIN.
why-unknown-lane = There is no such lane. Check the lane's number.
why-before-start = It was made before the start.
why-after-cap = It was made after time was called.
why-past-end = All reps of the course are done.
why-during-hold = It was made while the clock stood. The head judge sees it.
why-lane-ended = This lane has ended. Ask the head judge.
why-wrong-run = It belongs to another run of the heat.
why-heat-signed = The heat is signed. Tell the head judge.
why-heat-cancelled = The run was cancelled.
why-unknown-fault = The movement has no such fault. Call the no-rep again.
why-nothing-to-undo = No call is left to take back. Ask the head judge.
why-undo-too-late = The last call is more than 5 s old. Ask the head judge.
why-call-does-not-fit = It does not fit the present part.
why-no-load = The attempt has no load. Declare it and judge again.
why-out-of-range = The load is nothing, or more than 1000 kg.
why-no-attempt-left = All attempts of this lane are used.
why-hold-not-started = No hold is under way. Ask the head judge.
why-hold-under-way = A hold is under way already. Stop it first.
why-handed-over = Another phone has this lane now.
why-standing-by = Another phone has this lane.
why-result-changed = The result is another one meanwhile. Look at it again.
why-not-standing-by = No phone of that name stands by on this lane.
