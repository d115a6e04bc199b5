// Times as every screen of Fivemark writes them: elapsed time is cut down to the tenth and time left is rounded up to it,
// so that the two always add up to a cap of whole tenths.

// Heat time at which the last lane's cap is reached, milliseconds: a lane that starts later than the heat, or is
// credited time, is stopped that much later, unless the workout caps the heat.
export function endMs({ heat, entries, lanes }) {
  if (heat.cap_on_heat) return heat.cap_ms;
  const later = entries
    .filter((entry) => heat.alone == null || heat.alone === entry.lane)
    .map((entry) => {
      const count = lanes.find((count) => count.lane === entry.lane);
      return Math.max(0, entry.start_ms || 0) + Math.max(0, (count && count.credit_ms) || 0);
    });
  return heat.cap_ms + Math.max(0, ...later);
}

// What the heat's clock reads at a feed time in microseconds, as `{ elapsedTenths, leftTenths, countdownS }`;
// `countdownS` is null unless a countdown runs.
export function reading(snapshot, feedUs) {
  const capUs = endMs(snapshot) * 1000;
  const at = (us) => {
    const elapsedUs = Math.min(Math.max(us, 0), capUs);
    return { elapsedTenths: Math.floor(elapsedUs / 1e5), leftTenths: Math.ceil((capUs - elapsedUs) / 1e5), countdownS: null };
  };
  const { clock } = snapshot.heat;
  if (clock.running) return at(feedUs - clock.running.zero_at_ms * 1000);
  if (clock.stopped) return at(clock.stopped.elapsed_ms * 1000);
  if (clock.counting_down) {
    const leftUs = clock.counting_down.go_at_ms * 1000 - feedUs;
    const elapsedUs = clock.counting_down.elapsed_ms * 1000;
    if (leftUs <= 0) return at(elapsedUs - leftUs);
    return { ...at(elapsedUs), countdownS: Math.ceil(leftUs / 1e6) };
  }
  return at(0);
}

// `7:42` or `1:07:42`: whole seconds of a time in tenths.
export function seconds(tenths) {
  const all = Math.floor(Math.max(0, tenths) / 10);
  const two = (value) => String(value).padStart(2, "0");
  const [h, m, s] = [Math.floor(all / 3600), Math.floor(all / 60) % 60, all % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

// `7:42.3`, with the language's mark before the tenth.
export function tenths(value, mark = ".") {
  return `${seconds(value)}${mark}${Math.max(0, value) % 10}`;
}
