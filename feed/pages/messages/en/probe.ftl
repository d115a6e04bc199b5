probe-title = How late is this wall?
probe-intro = A wall shows its picture a little late. Here this phone’s camera measures by how much, and the display can then draw so much ahead.
probe-step-card = Show the test card on the wall:
probe-step-aim = Open the camera, and hold the card’s square code inside the frame for ten seconds.
probe-open = Open the camera
probe-progress = Codes seen

probe-camera-insecure = The camera needs a secure connection. Open this page by the feed’s https address, or on the feed’s own machine.
probe-camera-unknown = This browser gives pages no camera. Open the page in another one.
probe-camera-refused = The camera was not allowed. Allow it for this page in the browser’s settings, and open it again.
probe-camera-none = No camera was found on this device.
probe-camera-busy = The camera could not be started. Close other programs that use it, and open it again.
probe-camera-gone = The camera has stopped. Open it again.

probe-finding-time = Finding the feed’s time …
probe-aim = Hold the square code inside the frame. Go nearer if it is small.
probe-strange = This is not the test card’s code.
probe-foreign = This code’s time is not this feed’s. Does the display follow another feed?
probe-changed = Another screen, or another setting: starting over.
probe-seen = The code is seen. Keep still. ({ $codes })
probe-seen-name = { $name } is seen. Keep still. ({ $codes })

probe-delay = { $ms } ms ± { $doubt }
probe-ms = { $ms } ms
probe-unknown = not known
probe-not-enough = Not a result yet: { $codes } of { $enough } codes.
probe-wavers = Not a result yet: the figure still wavers. Keep still, and go nearer if the code is small.
probe-early = Codes are seen before their time. The feed’s time is not right here or at the display; wait a moment, or load the page again.
probe-means = later than the feed’s time would have it
probe-means-camera = later than the feed’s time would have it, the camera’s own lag included
probe-means-reference = later than the quick screen
probe-propose = Start this wall’s display with the option below (measured while it was { $now } ms ahead). It moves the clock and all motion; a count cannot be shown before it is called.
probe-propose-none = Nothing has to be made up for: this wall needs no --ahead-ms.
probe-propose-most = This wall is later than a display can make up for. With the most it can do, the clock is still behind:

probe-tap-title = From a judge’s tap to the wall
probe-tap-intro = Tap as a judge would, some ten times, with this phone where the judges stand. A tap asks the feed for its time and changes nothing.
probe-tap = Tap
probe-part-way = this phone to the feed
probe-part-tap = a tap on this phone to the feed
probe-part-journal = the feed’s record
probe-part-wall = display and wall
probe-part-wall-camera = display and wall, with the camera’s lag
probe-part-sum = tap to wall

probe-doubt-title = What is uncertain
probe-camera-out = This browser says when each frame was taken; the camera’s lag, { $ms } ms, is not in the figure. Up to one exposure is.
probe-camera-in = This browser does not say when a frame was taken. The camera’s own lag, often 30 to 100 ms, is in the figure.
probe-reference-intro = To take it out, measure a quick screen first, such as a laptop’s own with the test card on it, and keep it. The wall is then compared with it by the same phone.
probe-reference = Compared with { $name }: { $ms } ms.
probe-keep = This is the quick screen: keep it
probe-drop = Forget it
probe-doubt-rest = The way from the feed to the display is not in it; by cable it is about a millisecond. How long glass takes to notice a finger is not in it either.
