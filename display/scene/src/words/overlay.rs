//! What only the overlay says.

use super::{Message, Words};

/// Two lanes that have done as much.
pub(crate) const LEVEL: Message = Message("level");

impl Words {
    /// `lane 4`.
    pub(crate) fn lane(&self, out: &mut String, lane: u8) {
        out.clear();
        self.write(out, Message("lane"), &[("lane", lane.into())]);
    }

    /// `+3 finished`, for those whom the list has no room for.
    pub(crate) fn more_finished(&self, out: &mut String, count: usize) {
        out.clear();
        self.write(out, Message("more-finished"), &[("more", number(count))]);
    }

    /// `+17 lanes`, for those whom the rail has no room for.
    pub(crate) fn more_lanes(&self, out: &mut String, count: usize) {
        out.clear();
        self.write(out, Message("more-lanes"), &[("more", number(count))]);
    }
}

fn number(count: usize) -> super::language::Arg<'static> {
    i64::try_from(count).unwrap_or(i64::MAX).into()
}
