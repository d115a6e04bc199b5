//! What a screen knows of the heat: the last snapshot, kept current by deltas, and the no-reps of the last
//! moments. It computes no place and no result; it only keeps what the feed said.

use std::collections::VecDeque;

use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::view::{Course, LaneCount, LaneEntry, NoRep, OrderRow};

/// No-reps kept: more than a floor of 24 lanes can call in the two seconds for which they are shown.
pub const MAX_NO_REPS: usize = 64;

/// A delta is missing between what is known and what came. Ask the feed with `resume`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("delta {got} came after {last}; those between are missing")]
pub struct Hole {
    /// Number of the last delta that is in the view.
    pub last: u64,
    /// Number of the delta that came.
    pub got: u64,
}

/// A no-rep and the number of the delta that brought it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecentNoRep {
    /// Number of its delta.
    pub number: u64,
    /// The no-rep.
    pub no_rep: NoRep,
}

/// The heat as a screen knows it.
#[derive(Clone, Debug)]
pub struct View {
    /// The snapshot, kept current.
    pub snapshot: Snapshot,
    /// The latest no-reps, oldest first; at most [`MAX_NO_REPS`].
    pub no_reps: VecDeque<RecentNoRep>,
}

impl View {
    /// Starts from a snapshot.
    #[must_use]
    pub fn new(snapshot: Snapshot) -> View {
        View { snapshot, no_reps: VecDeque::new() }
    }

    /// Takes in a delta. One that is already in the view is passed over.
    ///
    /// # Errors
    /// [`Hole`] if deltas between are missing; the view is then unchanged.
    pub fn apply(&mut self, delta: &Delta) -> Result<(), Hole> {
        let last = self.snapshot.number;
        if delta.number <= last {
            return Ok(());
        }
        if delta.number > last.saturating_add(1) {
            return Err(Hole { last, got: delta.number });
        }
        let snapshot = &mut self.snapshot;
        snapshot.number = delta.number;
        snapshot.at_ms = delta.at_ms;
        if let Some(heat) = delta.heat {
            snapshot.heat = heat;
        }
        for lane in &delta.lanes {
            put(&mut snapshot.lanes, lane, |lane| lane.lane);
        }
        for row in &delta.order {
            put(&mut snapshot.order, row, |row| row.lane);
        }
        if let Some(journal_ok) = delta.journal_ok {
            snapshot.journal_ok = journal_ok;
        }
        for no_rep in &delta.no_reps {
            if self.no_reps.len() == MAX_NO_REPS {
                self.no_reps.pop_front();
            }
            self.no_reps.push_back(RecentNoRep { number: delta.number, no_rep: no_rep.clone() });
        }
        Ok(())
    }

    /// What the lane of this entry has done.
    #[must_use]
    pub fn count(&self, lane: u8) -> Option<&LaneCount> {
        find(&self.snapshot.lanes, lane, |count| count.lane)
    }

    /// Place and gap of a lane.
    #[must_use]
    pub fn order(&self, lane: u8) -> Option<&OrderRow> {
        find(&self.snapshot.order, lane, |row| row.lane)
    }

    /// The course that a lane works through.
    #[must_use]
    pub fn course(&self, entry: &LaneEntry) -> Option<&Course> {
        self.snapshot.courses.get(usize::from(entry.course))
    }
}

fn find<T>(list: &[T], lane: u8, lane_of: impl Fn(&T) -> u8) -> Option<&T> {
    let at = list.binary_search_by_key(&lane, lane_of).ok()?;
    list.get(at)
}

/// Replaces the entry of the same lane, or puts a new one where its lane belongs.
fn put<T: Clone>(list: &mut Vec<T>, new: &T, lane_of: impl Fn(&T) -> u8) {
    match list.binary_search_by_key(&lane_of(new), &lane_of) {
        Ok(at) => list[at] = new.clone(),
        Err(at) => list.insert(at, new.clone()),
    }
}
