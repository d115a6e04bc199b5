// The page of a display's canvas: joins, draws each frame's rectangles, says that it has, and comes back by itself.
// The access key stands behind the # of the address, which no request carries.
"use strict";

const SUBPROTOCOL = "fivemark.canvas.v2";
const HEAD_BYTES = 32;
// Without a word for this long the display is taken for gone; it speaks every two seconds.
const SILENCE_MS = 8000;
// Attempts to connect: from half a second, doubled up to eight; after a refusal a display is left in peace.
const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 8000;
const REFUSED_WAIT_MS = 15000;
// A short break is not worth a word, and a longer one makes the picture old.
const WORD_AFTER_MS = 1500;

const picture = document.getElementById("picture");
const board = document.getElementById("board");
const context = board.getContext("2d");
const notice = document.getElementById("notice");
const entry = document.getElementById("entry");
const input = document.getElementById("key");
const why = document.getElementById("why");

let socket = null;
let refused = null;
let waitMs = FIRST_WAIT_MS;
let heardAt = 0;
let retry = 0;
let word = 0;
let frame = null;

function keyOfAddress() {
  return new URLSearchParams(location.hash.slice(1)).get("access_key");
}

function connect() {
  clearTimeout(retry);
  hangUp();
  if (refused) takeBackWord();
  refused = null;
  frame = null;
  heardAt = performance.now();
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  const now = new WebSocket(`${scheme}//${location.host}/canvas`, SUBPROTOCOL);
  now.binaryType = "arraybuffer";
  now.onopen = () => say({ type: "join", access_key: keyOfAddress() });
  now.onmessage = (event) => hear(event.data);
  now.onclose = lost;
  socket = now;
  sayLater("No link to the display.", "It is tried again by itself. Check that the display runs, and this device’s network.");
}

function hangUp() {
  if (socket) {
    socket.onmessage = socket.onclose = null;
    socket.close();
    socket = null;
  }
}

function lost() {
  hangUp();
  // Without a key there is nothing to try.
  if (refused === "access_key_wanted") return;
  const wait = refused ? REFUSED_WAIT_MS : waitMs * (0.75 + Math.random() / 2);
  waitMs = Math.min(waitMs * 2, LONGEST_WAIT_MS);
  retry = setTimeout(() => {
    // Nobody is interrupted while typing a key.
    if (entry.hidden || input.value === "") connect();
  }, wait);
}

function say(message) {
  socket.send(JSON.stringify(message));
}

function hear(data) {
  heardAt = performance.now();
  if (typeof data !== "string") {
    takePart(new Uint8Array(data));
    return;
  }
  const message = JSON.parse(data);
  if (message.type === "alive") {
    say({ type: "alive" });
  } else if (message.type === "refused") {
    refused = message.code;
    if (refused === "access_key_wanted" || refused === "wrong_access_key") {
      askForKey(refused === "wrong_access_key" ? message.says : "");
    } else {
      sayNow("The display has turned this page away.", message.says);
    }
  }
}

// A frame's first part has its head: lengths and rectangles, all little-endian.
function takePart(part) {
  if (!frame) {
    const view = new DataView(part.buffer);
    const rects = view.getUint16(28, true);
    const headBytes = HEAD_BYTES + 8 * rects;
    frame = { view, rects, parts: [part.subarray(headBytes)], missing: view.getUint32(4, true) + headBytes };
  } else {
    frame.parts.push(part);
  }
  frame.missing -= part.length;
  if (frame.missing === 0) {
    const whole = frame;
    frame = null;
    const from = socket;
    show(whole).then((number) => {
      if (from === socket) say({ type: "shown", frame: number });
    }, (fault) => {
      console.error(fault);
      if (from === socket) lost();
    });
  }
}

async function show({ view, rects, parts }) {
  const inflated = new Blob(parts).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const pixels = await new Response(inflated).arrayBuffer();
  const number = Number(view.getBigUint64(8, true));
  if (view.getUint16(30, true)) place(...[16, 18, 20, 22, 24, 26].map((field) => view.getUint16(field, true)));
  let at = 0;
  for (let rect = 0; rect < rects; rect += 1) {
    const [x, y, w, h] = [0, 2, 4, 6].map((field) => view.getUint16(HEAD_BYTES + 8 * rect + field, true));
    context.putImageData(new ImageData(new Uint8ClampedArray(pixels, at, 4 * w * h), w, h), x, y);
    at += 4 * w * h;
  }
  board.dataset.frame = number;
  isThere();
  return number;
}

// The canvas is only as large as what may ever be painted; the picture around it is clear and costs nothing.
function place(wholeWidth, wholeHeight, left, top, width, height) {
  if (board.width !== width || board.height !== height) {
    board.width = width;
    board.height = height;
  }
  const set = { wholeWidth, wholeHeight, left, top, width, height };
  for (const [name, value] of Object.entries(set)) picture.style.setProperty(`--${name}`, value);
}

function isThere() {
  waitMs = FIRST_WAIT_MS;
  takeBackWord();
  notice.hidden = true;
  entry.hidden = true;
  board.classList.remove("old");
}

// Nothing is waiting to be said any more, and what was said may be said again.
function takeBackWord() {
  clearTimeout(word);
  word = 0;
}

function sayLater(what, then) {
  if (!word) word = setTimeout(() => sayNow(what, then), WORD_AFTER_MS);
}

function sayNow(what, then) {
  clearTimeout(word);
  word = -1;
  board.classList.add("old");
  if (!entry.hidden) {
    why.textContent = `${what} ${then}`;
    return;
  }
  notice.querySelector("strong").textContent = what;
  notice.querySelector("span").textContent = then;
  notice.hidden = false;
}

function askForKey(says) {
  takeBackWord();
  board.classList.add("old");
  notice.hidden = true;
  why.textContent = says;
  input.setAttribute("aria-invalid", String(says !== ""));
  if (entry.hidden) {
    entry.hidden = false;
    input.focus();
  }
}

entry.addEventListener("submit", (event) => {
  event.preventDefault();
  // In the address, so that the page comes back with it after a reload.
  history.replaceState(null, "", `#access_key=${encodeURIComponent(input.value.trim())}`);
  input.value = "";
  why.textContent = "";
  connect();
});

window.addEventListener("hashchange", connect);

// A page that was out of sight may have been halted; it does not wait for its turn.
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && !socket && !refused) connect();
});

setInterval(() => {
  if (socket && performance.now() - heardAt > SILENCE_MS) lost();
}, 1000);

connect();
