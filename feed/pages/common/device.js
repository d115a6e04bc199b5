// What a page knows of its device: its name among the feed's clients, kept across reloads, and the access key, which
// stands behind the # of the address and is in no request and no log.

// Storage that may be refused (private windows, full disks): then things last as long as the page.
const memory = new Map();

export function keep(name, value) {
  memory.set(name, value);
  try {
    localStorage.setItem(name, value);
    return true;
  } catch {
    return false;
  }
}

export function kept(name) {
  try {
    const value = localStorage.getItem(name);
    if (value !== null) return value;
  } catch {
    // Only in memory then.
  }
  return memory.has(name) ? memory.get(name) : null;
}

// Random bits as hexadecimal digits.
export function randomHex(bytes) {
  return Array.from(crypto.getRandomValues(new Uint8Array(bytes)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// The device's name: `phone-3fa85f64`, made once.
export function deviceName(kind) {
  const known = kept(`fivemark.device.${kind}`);
  if (known) return known;
  const name = `${kind}-${randomHex(4)}`;
  keep(`fivemark.device.${kind}`, name);
  return name;
}

// What the address says behind its #, such as `access_key` and `lane`.
export function fragment() {
  return Object.fromEntries(new URLSearchParams(location.hash.slice(1)));
}
