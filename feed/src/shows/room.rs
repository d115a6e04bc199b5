//! How much a program may hold, in bytes as they are sent: names may be long, so that a count of rows bounds little.
//! Takes the last rows from cards for which there is no room; leaves what is shown, and in which order, to `program`.

use std::io;

use fivemark_wire::shows::{Card, Step};
use serde::Serialize;

/// Most bytes of all steps that have rows. Those without are small, so that a program stays under a megabyte.
const MAX_BYTES: usize = 850_000;

/// What is left of it.
pub(super) struct Room {
    left: usize,
}

impl Default for Room {
    fn default() -> Self {
        Self { left: MAX_BYTES }
    }
}

impl Room {
    /// The step, with as many of its rows as there is room for. None if it has rows and there is room for none.
    pub(super) fn fit(&mut self, mut step: Step) -> Option<Step> {
        // With the comma behind it.
        let whole = bytes(&step) + 1;
        let excess = whole.saturating_sub(self.left);
        let freed = match &mut step.card {
            Card::Results(results) => shed(&mut results.rows, excess)?,
            Card::Standings(standings) => shed(&mut standings.rows, excess)?,
            Card::NextHeat(next) => shed(&mut next.lanes, excess)?,
            Card::Heat | Card::Event { .. } | Card::Words { .. } | Card::Countdown { .. } => {
                return Some(step);
            }
        };
        self.left -= whole - freed;
        Some(step)
    }
}

/// Takes rows away, the last first, until so many bytes are freed, and says how many were. None if no row is left.
fn shed<T: Serialize>(rows: &mut Vec<T>, excess: usize) -> Option<usize> {
    let mut freed = 0;
    while freed < excess {
        // With the comma before it.
        freed += bytes(&rows.pop()?) + 1;
    }
    (!rows.is_empty()).then_some(freed)
}

/// How many bytes a value takes as it is sent.
fn bytes(value: &impl Serialize) -> usize {
    let mut count = Count(0);
    // Plain data into a counter: neither can fail.
    drop(serde_json::to_writer(&mut count, value));
    count.0
}

struct Count(usize);

impl io::Write for Count {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0 += bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
