// Which floor commands are offered to the floor operator in which state of the heat. What settles results is the head
// judge's, and not here. The feed decides all the same; a state that has just changed gives a refusal in words.

const OFFERS = {
  lanes_set: ["on_deck"],
  on_deck: ["start_countdown"],
  countdown: ["hold", "recall"],
  running: ["hold", "recall", "call_time"],
  held: ["resume", "call_time"],
  time_called: [],
  provisional: [],
  signed: [],
  cancelled: ["on_deck"],
};

// Changes that a slip of the finger must not make: they are asked for twice.
const TWICE = ["start_countdown", "recall", "call_time", "open_heat"];

export function offers({ heat }) {
  const list = OFFERS[heat.state] || [];
  // Before the clock has started there is no time to call.
  const started = heat.state !== "held" || Boolean(heat.clock.stopped);
  return list.filter((command) => command !== "call_time" || started);
}

// Whether another heat may come on the floor.
export function mayOpen({ heat }) {
  return !["countdown", "running", "held"].includes(heat.state);
}

export function isAskedTwice(command) {
  return TWICE.includes(command);
}

// The heat that is likely to be the next one: the one after that on the floor.
export function after({ titles }) {
  const { heats, heat } = titles;
  return heats[heats.indexOf(heat) + 1] || heats.find((number) => number !== heat) || null;
}
