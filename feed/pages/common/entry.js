// How an official comes in: the access key from behind the address's #, which is taken out of the address at once, or
// typed into a form. It is kept for as long as the tab is open. Leaves joining to `link`.

import { fragment } from "./device.js";

export class Entry {
  // `role` names where the key is kept; `form` is an empty <form> of the page, hidden, which is filled here; `came` is
  // called as soon as there is a key that was typed.
  constructor({ role, form, words, came, storage = sessionOrNothing() }) {
    Object.assign(this, { form, words, came, storage, name: `fivemark.access.${role}` });
    const { access_key: given } = fragment();
    if (given !== undefined) history.replaceState(null, "", location.pathname + location.search);
    this.key = given || storage.getItem(this.name);
    if (this.key) storage.setItem(this.name, this.key);
    this.build();
    this.show(!this.key);
  }

  // Hears what the link hears. A key that opens nothing is forgotten, and asked for anew; true then.
  hear(message) {
    if (message.type === "welcome") this.show(false);
    if (message.type !== "refusal" || message.of !== "join") return false;
    const wrong = message.code === "wrong_access_key";
    if (wrong) this.forget();
    this.fault.textContent = wrong ? this.words.say("entry-wrong") : message.says;
    this.show(true);
    if (wrong) this.field.focus();
    return wrong;
  }

  forget() {
    this.key = null;
    this.storage.removeItem(this.name);
  }

  show(shown) {
    this.form.hidden = !shown;
    document.body.classList.toggle("entering", shown);
  }

  build() {
    const { form, words } = this;
    const label = document.createElement("label");
    label.textContent = words.say("entry-key");
    // Shown as it is typed: a long key can't be typed blindly. No browser offers it to the next one who comes by.
    this.field = Object.assign(document.createElement("input"), { id: "entry-key", autocomplete: "off", spellcheck: false, required: true });
    this.field.setAttribute("autocapitalize", "none");
    label.htmlFor = this.field.id;
    const go = Object.assign(document.createElement("button"), { className: "main", textContent: words.say("entry-go") });
    const hint = Object.assign(document.createElement("p"), { className: "quiet", textContent: words.say("entry-hint") });
    this.fault = Object.assign(document.createElement("p"), { className: "fault" });
    this.fault.setAttribute("role", "alert");
    const title = Object.assign(document.createElement("h2"), { textContent: words.say("entry-title") });
    form.classList.add("entry");
    form.append(title, label, this.field, go, this.fault, hint);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.key = this.field.value.trim();
      if (!this.key) return;
      this.storage.setItem(this.name, this.key);
      this.field.value = "";
      this.fault.textContent = "";
      this.came();
    });
  }
}

// The tab's own storage; nothing where it is refused, and the key then lasts as long as the page.
function sessionOrNothing() {
  try {
    sessionStorage.setItem("fivemark.try", "1");
    sessionStorage.removeItem("fivemark.try");
    return sessionStorage;
  } catch {
    return { getItem: () => null, setItem() {}, removeItem() {} };
  }
}
