// What the page asks of its device: a buzz in the hand, how full the battery is, and storage that is not cleared. Each may
// be missing, and then the page says so.

// Buzzes, in milliseconds on and off: a short one for a rep, two for a no-rep.
const BUZZES = { good: 25, "no-rep": [60, 50, 60], other: [25, 40, 25] };

// Browsers let a page buzz once a finger was lifted from it.
export function buzz(call) {
  if (!navigator.vibrate || (navigator.userActivation && !navigator.userActivation.hasBeenActive)) return;
  navigator.vibrate(BUZZES[call] || (call === "last-was-no-rep" ? BUZZES["no-rep"] : BUZZES.other));
}

// How full the battery is: `{ charge_percent, charging }`, with nothing in it where the browser does not tell.
export class Battery {
  constructor() {
    this.manager = null;
    const asked = navigator.getBattery ? navigator.getBattery() : null;
    if (asked) asked.then((manager) => (this.manager = manager)).catch(() => {});
  }

  get reading() {
    if (!this.manager) return {};
    return { charge_percent: Math.round(this.manager.level * 100), charging: this.manager.charging };
  }
}

// Asks the browser not to clear what this page keeps. It may say no; what is kept is kept all the same.
export function askToPersist() {
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
}
