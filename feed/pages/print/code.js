// QR codes on paper: the feed draws them, as pages have no library for it. A place for one is an element with the text
// that it says in `data-code`; what stands beside it says the same in letters, so a code that is not to be had is left out.

// The code of a text as an element; null if the feed does not draw it.
async function code(text) {
  try {
    const answer = await fetch("/code", { method: "POST", body: text });
    if (!answer.ok) return null;
    const drawn = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
    drawn.setAttribute("aria-hidden", "true");
    return document.importNode(drawn, true);
  } catch {
    return null;
  }
}

// Fills all places for codes below an element, and gives it back.
export async function withCodes(root) {
  const fill = async (place) => {
    const drawn = await code(place.dataset.code);
    delete place.dataset.code;
    if (drawn) place.replaceChildren(drawn);
  };
  // One after the other: a heat of forty lanes would open as many connections at once.
  for (const place of root.querySelectorAll("[data-code]")) await fill(place);
  return root;
}
