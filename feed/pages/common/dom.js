// Elements that follow a picture: made once and then only changed where something differs, so that nothing jumps and a
// screen reader is not led through the same list anew with every call.

// `make("p", "quiet", "text", child…)`: an element with its class and what is in it.
export function make(tag, className = "", ...within) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  element.append(...within);
  return element;
}

// A text, written only if it is another one.
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

// A name of whoever it may be, in its own direction of writing.
export function name(className = "name") {
  const element = make("bdi", className);
  element.dir = "auto";
  return element;
}

// One child for each item, in order: `keyOf` names it, `begin` makes its element, `fill` brings it up to date.
export function follow(list, items, { keyOf, begin, fill }) {
  const known = new Map(Array.from(list.children, (child) => [child.dataset.key, child]));
  items.forEach((item, index) => {
    const key = String(keyOf(item));
    const child = known.get(key) || begin(item);
    known.delete(key);
    child.dataset.key = key;
    if (list.children[index] !== child) list.insertBefore(child, list.children[index] || null);
    fill(child, item);
  });
  known.forEach((child) => child.remove());
}
