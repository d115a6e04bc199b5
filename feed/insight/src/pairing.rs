//! Which calls of two judges are about the same attempt: those that lie close together in time, each with at most one of
//! the other judge's. What was called plays no part, so that pairing makes nobody agree.

/// Pairs moments of two judges, both given in order, as indices into the two slices: within `window_ms` of each other,
/// one to one, never crosswise, in order.
///
/// Of all such pairings it is the one with the least cost, where a pair costs its distance in time and a moment
/// without a partner half of the window. So no pair is made that is worse than leaving both alone, and a call that one
/// judge missed does not shift all pairs after it. Of pairings that cost the same, the rule is fixed: rather a pair
/// than two alone.
#[must_use]
pub fn pair(first: &[i64], second: &[i64], window_ms: i64) -> Vec<(usize, usize)> {
    let mut rows = vec![Row { from: 0, cells: vec![Cell { cost: 0, came_from: 0, paired: false }] }];
    for moment in first {
        let before = rows.last().map(|row| row.next(*moment, second, window_ms));
        rows.extend(before);
    }
    let mut pairs = Vec::new();
    let (mut at, _) = rows.last().map_or((0, 0), |row| row.cheapest(second.len(), window_ms));
    for (index, row) in rows.iter().enumerate().skip(1).rev() {
        let cell = row.cells[at - row.from];
        if cell.paired {
            pairs.push((index - 1, at - 1));
        }
        at = cell.came_from;
    }
    pairs.reverse();
    pairs
}

/// The best ways to have dealt with so many moments of the first judge, by how many of the second judge's are dealt
/// with: from `from` on. Only numbers near the moment in question are kept; all others are never cheaper.
struct Row {
    from: usize,
    cells: Vec<Cell>,
}

#[derive(Clone, Copy)]
struct Cell {
    /// Twice the cost so far, milliseconds: halves stay whole.
    cost: i64,
    /// How many of the second judge's were dealt with in the row before.
    came_from: usize,
    /// The last moment of each judge are a pair.
    paired: bool,
}

impl Row {
    /// The row after one more moment of the first judge.
    fn next(&self, moment: i64, second: &[i64], window_ms: i64) -> Self {
        let from = second.partition_point(|other| *other < moment.saturating_sub(window_ms));
        let until = second.partition_point(|other| *other <= moment.saturating_add(window_ms));
        let mut cells = Vec::with_capacity(until - from + 1);
        let (mut came_from, mut cost) = self.cheapest(from, window_ms);
        for dealt_with in from..=until {
            let mut cell = None;
            if dealt_with > from {
                let apart = (moment - second[dealt_with - 1]).abs();
                cell = Some(Cell { cost: cost + 2 * apart, came_from, paired: true });
                // One more of the second judge's alone, or as the row before had it.
                cost += window_ms;
                if let Some(known) = self.cells.get(dealt_with - self.from).filter(|known| known.cost <= cost)
                {
                    (came_from, cost) = (dealt_with, known.cost);
                }
            }
            let alone = Cell { cost: cost + window_ms, came_from, paired: false };
            cells.push(cell.filter(|cell| cell.cost <= alone.cost).unwrap_or(alone));
        }
        Self { from, cells }
    }

    /// The cheapest way to `dealt_with` moments of the second judge without another one of the first: where it comes
    /// from, and its cost.
    fn cheapest(&self, dealt_with: usize, window_ms: i64) -> (usize, i64) {
        let ways = self.cells.iter().zip(self.from..=dealt_with).map(|(cell, from)| {
            let alone = i64::try_from(dealt_with - from).unwrap_or(i64::MAX);
            (from, cell.cost.saturating_add(alone.saturating_mul(window_ms)))
        });
        ways.min_by_key(|(from, cost)| (*cost, std::cmp::Reverse(*from))).unwrap_or((dealt_with, 0))
    }
}
