// The picture of the heat that a page keeps: a snapshot, brought up to each delta. A page works out no rank and no
// result; everything that it shows is in here already.

// The snapshot with a delta applied; the same one for a delta that is in it already, and null if deltas between are
// missing, which have to be asked for.
export function apply(snapshot, delta) {
  if (delta.number <= snapshot.number) return snapshot;
  if (delta.number !== snapshot.number + 1) return null;
  const { number, at_ms, lanes = [], order = [] } = delta;
  const next = { ...snapshot, number, at_ms };
  for (const part of ["heat", "journal_ok", "shows"]) if (part in delta) next[part] = delta[part];
  next.lanes = replaced(snapshot.lanes, lanes);
  next.order = replaced(snapshot.order, order);
  return next;
}

function replaced(rows, changed) {
  if (changed.length === 0) return rows;
  return rows.map((row) => changed.find((other) => other.lane === row.lane) || row);
}

// What the picture has of one lane.
export function lane(snapshot, number) {
  const of = (rows) => rows.find((row) => row.lane === number) || null;
  const entry = of(snapshot.entries);
  return { entry, count: of(snapshot.lanes), order: of(snapshot.order), course: entry && snapshot.courses[entry.course] };
}
