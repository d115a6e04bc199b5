// Loads as they are declared: kept in grams, typed and shown in the workout's own unit. Grams are fine enough to tell one
// hundredth of a pound from the next, so that what was declared comes back and nothing is converted to be shown.

// A pound, in grams (NIST SP 811, appendix B).
const POUND_G = 453.59237;
// Parts of one unit that a load may have: grams of a kilogram, hundredths of a pound.
const PARTS = { kg: 1000, lb: 100 };
// The largest load that the feed takes, in grams.
const MAX_LOAD_G = 1_000_000;
// What is put on the bar from one attempt to the next most often, in the unit.
export const STEPS = { kg: [2.5, 5, 10], lb: [5, 10, 20] };

function parts(loadG, unit) {
  return unit === "lb" ? Math.round((loadG * PARTS.lb) / POUND_G) : loadG;
}

function grams(parts, unit) {
  return unit === "lb" ? Math.round((parts * POUND_G) / PARTS.lb) : parts;
}

function within(loadG) {
  return loadG >= 1 && loadG <= MAX_LOAD_G ? loadG : null;
}

// `142.5`: the figures of a load, with the language's mark.
export function figures(loadG, unit, mark = ".") {
  const all = parts(loadG, unit);
  const one = PARTS[unit];
  const rest = String(all % one).padStart(String(one).length - 1, "0").replace(/0+$/, "");
  return rest ? `${Math.floor(all / one)}${mark}${rest}` : String(Math.floor(all / one));
}

// `142.5 kg`, behind a space that breaks no line.
export function loadText(loadG, unit, mark = ".") {
  return `${figures(loadG, unit, mark)}\u00a0${unit}`;
}

// So many units more, or less; null if that is no load.
export function stepped(loadG, by, unit) {
  return within(grams(parts(loadG, unit) + Math.round(by * PARTS[unit]), unit));
}

// Grams of what was typed, such as `142.5` or `142,5`; null if it is no load.
export function typedLoad(text, unit) {
  const found = /^(\d{1,4})(?:[.,](\d{1,3}))?$/.exec(text.trim());
  if (!found) return null;
  const [, whole, rest = ""] = found;
  const digits = String(PARTS[unit]).length - 1;
  if (rest.length > digits) return null;
  return within(grams(Number(whole) * PARTS[unit] + Number(rest.padEnd(digits, "0")), unit));
}
