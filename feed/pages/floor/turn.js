// Where a running order of cards stands at a moment of feed time, as every screen works it out by itself.

// The step on show, `{ index, card, leftMs }`; `leftMs` is null for one that stays. Before its beginning an order is at its
// first step; one without steps shows the heat.
export function turn({ since_ms, again, steps }, feedMs) {
  const passed = Math.max(0, feedMs - since_ms);
  const whole = steps.reduce((sum, { for_ms }) => sum + Math.max(0, for_ms), 0);
  const stays = steps.some(({ for_ms }) => for_ms <= 0);
  const goesRound = again && !stays && whole > 0;
  let left = goesRound ? passed % whole : passed;
  for (const [index, { for_ms, card }] of steps.entries()) {
    const ends = for_ms > 0 && (index < steps.length - 1 || goesRound);
    if (!ends || left < for_ms) return { index, card, leftMs: ends ? for_ms - left : null };
    left -= for_ms;
  }
  return { index: 0, card: "heat", leftMs: null };
}
