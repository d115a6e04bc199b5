// When a finger or key came down, on the page's clock, and targets that are taken where the finger comes down and not
// where it leaves.

// A click so soon after a finger came down is the same touch, milliseconds; screen readers click without one.
const SAME_TOUCH_MS = 1000;
// A stamp that a touch brings is believed if it is not older than this, milliseconds.
const STAMP_WITHIN_MS = 10_000;
// How long a touch is shown on its target, milliseconds.
const HIT_MS = 90;

// When an event's finger or key came down.
export function stampOf({ timeStamp }) {
  const now = performance.now();
  return timeStamp > 0 && timeStamp <= now && now - timeStamp < STAMP_WITHIN_MS ? timeStamp : now;
}

// Calls `does` with the moment at which the target is touched, once for each touch.
export function onTouch(element, does) {
  let touchedMs = -Infinity;
  element.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    if (event.button > 0) return;
    touchedMs = stampOf(event);
    does(touchedMs);
    element.classList.add("hit");
    setTimeout(() => element.classList.remove("hit"), HIT_MS);
  });
  element.addEventListener("click", (event) => {
    if (stampOf(event) - touchedMs > SAME_TOUCH_MS) does(stampOf(event));
  });
  // No magnifier, no menu, no zoom under a thumb that rests.
  element.addEventListener("contextmenu", (event) => event.preventDefault());
  element.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
}
