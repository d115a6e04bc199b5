// What the head judge can do to the heat in the state that it is in, and how each of it is guarded against a slip. The
// feed decides; this only keeps what it would refuse out of the way.

// `ask`: a second touch, elsewhere, for what cannot be taken back. `reason`: says why, and is a second touch as well.
const STEPS = [
  { name: "confirm_clock", guard: "ask", when: (picture) => picture.heat.clock_in_doubt === true },
  { name: "on_deck", from: ["lanes_set", "cancelled"] },
  { name: "start_countdown", guard: "ask", from: ["on_deck"] },
  { name: "resume", guard: "ask", from: ["held"] },
  // A false start has to be recalled at once; later it throws work away.
  { name: "recall", from: ["countdown"] },
  { name: "recall", guard: "ask", from: ["running"] },
  { name: "close", guard: "ask", from: ["time_called"] },
  { name: "sign", guard: "ask", from: ["provisional"] },
  { name: "open_heat", guard: "ask", from: ["lanes_set", "on_deck", "time_called", "provisional", "signed", "cancelled"] },
  { name: "reopen", guard: "reason", from: ["signed"] },
  { name: "call_time", guard: "ask", from: ["running", "held"], when: (picture) => hasStarted(picture.heat) },
  { name: "rerun_lane", guard: "reason", from: ["time_called", "provisional"] },
  { name: "rerun", guard: "reason", from: ["running", "held", "time_called", "provisional", "cancelled"] },
  { name: "cancel", guard: "ask", from: ["countdown", "running", "held"] },
  { name: "cancel", guard: "ask", from: ["on_deck"], when: (picture) => picture.heat.alone != null },
];

// The one thing that comes next in each state.
const NEXT = {
  lanes_set: "on_deck",
  on_deck: "start_countdown",
  held: "resume",
  time_called: "close",
  provisional: "sign",
  signed: "open_heat",
  cancelled: "on_deck",
};

// Whether the clock on the floor has run.
export function hasStarted({ clock }) {
  if (clock.running) return true;
  const { elapsed_ms = 0 } = clock.counting_down || clock.stopped || {};
  return elapsed_ms > 0;
}

// Steps that can be taken now, what comes next first: `{ name, guard, next }`.
export function steps(picture) {
  const { state } = picture.heat;
  const open = STEPS.filter(({ from, when }) => (!from || from.includes(state)) && (!when || when(picture)));
  const all = open.map(({ name, guard = "none" }) => ({ name, guard, next: name === NEXT[state] }));
  return [...all.filter((step) => step.next), ...all.filter((step) => !step.next)];
}

// Holding is never guarded: it can be taken back.
export function mayHold({ heat }) {
  return heat.state === "countdown" || heat.state === "running";
}

// The step as the feed is told it.
export function command(name, { reason, lane } = {}) {
  switch (name) {
    case "rerun":
    case "reopen":
      return { [name]: { reason } };
    case "rerun_lane":
      return { rerun_lane: { lane, reason } };
    default:
      return name;
  }
}

// The heat that comes after this one in running order; null after the last.
export function nextHeat({ heat, heats }) {
  const place = heats.indexOf(heat);
  return place >= 0 && place + 1 < heats.length ? heats[place + 1] : null;
}
