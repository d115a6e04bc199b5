// From touches and keys to calls: which key means what, and the floor under which a second tap is taken for a bounce of
// the first. Knows neither the page nor the queue.

// Two calls closer than this are one finger, or one clicker that bounces, milliseconds: the quickest reps take twice as
// long.
export const FLOOR_MS = 150;

// Keyboards, presenters and clickers, by what browsers call their keys. Phones deliver the keys of their own volume
// buttons to some browsers only; the page says what came.
const KEYS = {
  good: [" ", "Enter", "AudioVolumeUp", "VolumeUp", "PageDown", "ArrowDown", "ArrowRight", "MediaPlayPause", "MediaTrackNext"],
  "no-rep": ["n", "AudioVolumeDown", "VolumeDown", "PageUp", "ArrowUp", "ArrowLeft", "MediaTrackPrevious"],
  "last-was-no-rep": ["l"],
  undo: ["u", "Backspace"],
};

// What a key calls; null for one that means nothing here. A key that is held down calls once.
export function meaning({ key, repeat, ctrlKey, altKey, metaKey }) {
  if (repeat || ctrlKey || altKey || metaKey) return null;
  const found = Object.entries(KEYS).find(([, keys]) => keys.includes(key.length === 1 ? key.toLowerCase() : key));
  return found ? found[0] : null;
}

// Which fault of the open list a key chooses, from 0; null for none.
export function choice({ key, repeat }) {
  return !repeat && /^[1-9]$/.test(key) ? Number(key) - 1 : null;
}

// Lets taps through, and holds back those that come too soon after the one before.
export class Floor {
  constructor(floorMs = FLOOR_MS) {
    this.floorMs = floorMs;
    this.lastMs = -Infinity;
    this.heldBack = 0;
  }

  // Whether a tap at `nowMs` is let through. One that is not, is counted.
  lets(nowMs) {
    const bounce = nowMs - this.lastMs < this.floorMs;
    if (bounce) this.heldBack += 1;
    else this.lastMs = nowMs;
    return !bounce;
  }
}
