// The camera: opens it, and hands over each new frame with the moment at which it was taken. Reads nothing in it.

// A square of so many pixels is read: a code that fills a third of it has four pixels a module.
const READ_PX = 480;
// A browser's stamp of a frame that is older than this, or of the future, is on some other clock.
const OLDEST_STAMP_MS = 1000;

// Opens the camera that looks away from whoever holds the phone. Fails with one of the causes that the page has words
// for: "insecure", "unknown", "refused", "none", "busy".
export async function open(video) {
  if (!window.isSecureContext) throw new Error("insecure");
  if (!navigator.mediaDevices) throw new Error("unknown");
  // Frames that follow each other fast tell the moment of a change finer.
  const size = { width: { ideal: 1280 }, height: { ideal: 720 }, frameRate: { ideal: 60 } };
  try {
    video.srcObject = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: "environment" }, ...size } });
    await video.play();
  } catch (fault) {
    throw new Error(CAUSES[fault.name] || "busy", { cause: fault });
  }
  return video.srcObject.getVideoTracks()[0];
}

const CAUSES = { NotAllowedError: "refused", SecurityError: "refused", NotFoundError: "none", OverconstrainedError: "none", TypeError: "unknown" };

// Calls `take(pixels, at)` for every new frame while `take.ready()`: the middle square of the picture, and
// `{ ms, stamped, lagMs }` — when it was taken by the page's clock, whether the browser says so or it is when the frame
// came, and how much later it came.
export function watch(video, { ready, take }) {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = READ_PX;
  const context = canvas.getContext("2d", { willReadFrequently: true, alpha: false });
  const frame = (now, stamps) => {
    next();
    const { videoWidth: width, videoHeight: height } = video;
    const side = Math.min(width, height);
    if (side === 0 || !ready()) return;
    context.drawImage(video, (width - side) / 2, (height - side) / 2, side, side, 0, 0, READ_PX, READ_PX);
    take(context.getImageData(0, 0, READ_PX, READ_PX), taken(now, stamps));
  };
  let seen = -1;
  const next = video.requestVideoFrameCallback
    ? () => video.requestVideoFrameCallback(frame)
    : // Without word of frames, one is new when the video's time has moved.
      () => requestAnimationFrame((now) => (video.currentTime === seen ? next() : ((seen = video.currentTime), frame(now, {}))));
  next();
}

function taken(now, { captureTime, presentationTime }) {
  const came = presentationTime === undefined ? now : presentationTime;
  const lagMs = came - captureTime;
  return lagMs >= 0 && lagMs < OLDEST_STAMP_MS ? { ms: captureTime, stamped: true, lagMs } : { ms: came, stamped: false, lagMs: null };
}
