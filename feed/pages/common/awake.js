// A screen that stays on, where the device can do that. What a page says of it is the page's own.

// Keeps the screen on for as long as the page is seen. `state` is "on", "off" (not asked for or lost), or "unable".
export class Awake {
  constructor(changed = () => {}) {
    this.changed = changed;
    this.wanted = false;
    this.lock = null;
    this.state = navigator.wakeLock ? "off" : "unable";
    // The lock is lost whenever the page is hidden.
    document.addEventListener("visibilitychange", () => this.wanted && document.visibilityState === "visible" && this.ask());
  }

  want() {
    if (this.wanted) return;
    this.wanted = true;
    this.ask();
  }

  async ask() {
    if (!navigator.wakeLock || this.lock) return;
    try {
      this.lock = await navigator.wakeLock.request("screen");
      this.lock.addEventListener("release", () => {
        this.lock = null;
        this.set("off");
      });
      this.set("on");
    } catch {
      // A battery that is nearly empty, or a page that is not seen.
      this.set("off");
    }
  }

  set(state) {
    this.state = state;
    this.changed();
  }
}
