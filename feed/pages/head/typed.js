// What the head judge types: times and whole numbers, taken only if they can mean one thing.

// Longest time that is taken, milliseconds: a day, as the feed takes it.
const LONGEST_MS = 86_400_000;
// Longest reason that the feed takes, in bytes.
export const MAX_REASON = 400;

// A time such as `7:08.4`, `1:07:42`, or `45` for seconds alone, in milliseconds; null if it is none. A comma does for the
// point.
export function timeMs(text) {
  const found = /^(?:(?:(\d{1,2}):)?(\d{1,3}):)?(\d{1,5})(?:[.,](\d{1,3}))?$/.exec(text.trim());
  if (!found) return null;
  const [, hours, minutes, seconds, part = ""] = found;
  if (minutes !== undefined && (seconds.length !== 2 || Number(seconds) > 59)) return null;
  if (hours !== undefined && (minutes.length !== 2 || Number(minutes) > 59)) return null;
  const all = Number(hours || 0) * 3600 + Number(minutes || 0) * 60 + Number(seconds);
  const ms = all * 1000 + Number(part.padEnd(3, "0"));
  return ms <= LONGEST_MS ? ms : null;
}

// A whole number, not negative; null if it is none.
export function whole(text) {
  const trimmed = text.trim();
  return /^\d{1,7}$/.test(trimmed) ? Number(trimmed) : null;
}

// A time as it is typed, with a tenth at least and no needless noughts after it: `7:08.4`, `0:10.0`, `7:08.45`.
export function timeText(ms, mark = ".") {
  const two = (value) => String(value).padStart(2, "0");
  const all = Math.max(0, ms);
  const [hours, minutes, seconds] = [Math.floor(all / 3_600_000), Math.floor(all / 60_000) % 60, Math.floor(all / 1000) % 60];
  const part = String(all % 1000).padStart(3, "0").replace(/0{1,2}$/, "");
  return `${hours > 0 ? `${hours}:${two(minutes)}` : minutes}:${two(seconds)}${mark}${part}`;
}

// Bytes of a text as the feed measures it.
export function bytes(text) {
  return new TextEncoder().encode(text).length;
}
