// Small hands for the page's elements: made in one expression, and touched only where something changes, so that a
// screen reader hears nothing twice and a glance finds everything where it was.

// An element with properties, `class` and attributes with a dash among them, and its children.
export function element(tag, properties = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name === "class") made.className = value;
    else if (name === "role" || name.includes("-")) made.setAttribute(name, value);
    else made[name] = value;
  }
  made.append(...children.filter((child) => child != null));
  return made;
}

export function setData(of, name, value) {
  if (value === null) delete of.dataset[name];
  else if (of.dataset[name] !== String(value)) of.dataset[name] = value;
}

export function setHidden(of, hidden) {
  if (of.hidden !== hidden) of.hidden = hidden;
}

// Fills an element with what `build` gives, but only if `key` is another than last time.
export function refill(of, key, build) {
  if (of.dataset.key === key) return;
  of.dataset.key = key;
  of.replaceChildren(...build());
}

// A button that a held key does not press over and over.
export function button(text, press, properties = {}) {
  const made = element("button", { type: "button", textContent: text, ...properties });
  made.addEventListener("keydown", (event) => event.repeat && event.preventDefault());
  made.addEventListener("click", press);
  return made;
}
