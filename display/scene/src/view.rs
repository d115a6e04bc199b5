//! What a screen knows of the heat: the last snapshot, kept current by deltas, and the no-reps of the last
//! moments. It computes no place and no result; it only keeps what the feed said.

use std::collections::VecDeque;

use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::view::{Course, LaneCount, LaneEntry, NoRep, OrderRow};

/// No-reps kept: more than a floor of 40 lanes can call in the two seconds for which they are shown.
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
        if let Some(shows) = &delta.shows {
            snapshot.shows.clone_from(shows);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use fivemark_wire::view::State;

    #[test]
    fn deltas_that_run_on_are_taken_in() {
        let mut view = sample::nine();
        let mut lane = view.count(5).unwrap().clone();
        lane.done += 1;
        let mut row = *view.order(5).unwrap();
        row.place = 1;
        let heat = fivemark_wire::view::HeatState { state: State::Held, ..view.snapshot.heat };
        let delta = Delta {
            at_ms: 77,
            heat: Some(heat),
            lanes: vec![lane.clone()],
            order: vec![row],
            journal_ok: Some(false),
            ..sample::delta(11)
        };
        assert_eq!(view.apply(&delta), Ok(()));
        assert_eq!(view.count(5), Some(&lane));
        assert_eq!(view.order(5), Some(&row));
        assert_eq!((view.snapshot.number, view.snapshot.at_ms), (11, 77));
        assert_eq!(view.snapshot.heat.state, State::Held);
        assert!(!view.snapshot.journal_ok);
    }

    #[test]
    fn a_hole_is_told_and_changes_nothing() {
        let mut view = sample::nine();
        let before = view.snapshot.clone();
        let delta = Delta { journal_ok: Some(false), ..sample::delta(12) };
        assert_eq!(view.apply(&delta), Err(Hole { last: 10, got: 12 }));
        assert_eq!(view.snapshot, before);
    }

    #[test]
    fn what_is_in_already_is_passed_over() {
        let mut view = sample::nine();
        let before = view.snapshot.clone();
        for number in [0, 1, 10] {
            assert_eq!(view.apply(&Delta { journal_ok: Some(false), ..sample::delta(number) }), Ok(()));
        }
        assert_eq!(view.snapshot, before);
    }

    #[test]
    fn a_lane_that_was_not_known_goes_where_it_belongs() {
        let mut view = sample::nine();
        let fifth = view.snapshot.lanes.remove(4);
        let delta = Delta { lanes: vec![fifth.clone()], ..sample::delta(11) };
        view.apply(&delta).unwrap();
        assert_eq!(view.snapshot.lanes[4], fifth);
        assert_eq!(view.count(9).unwrap().lane, 9);
    }

    #[test]
    fn no_reps_are_kept_for_a_moment_and_bounded() {
        let mut view = sample::nine();
        for number in 11..=200 {
            let delta = Delta { no_reps: vec![sample::no_rep(3, 5)], ..sample::delta(number) };
            view.apply(&delta).unwrap();
        }
        assert_eq!(view.no_reps.len(), MAX_NO_REPS);
        assert_eq!(view.no_reps.back().unwrap().number, 200);
    }

    #[test]
    fn the_last_number_of_all_leaves_no_room_for_a_hole() {
        let mut view = sample::nine();
        view.snapshot.number = u64::MAX;
        assert_eq!(view.apply(&sample::delta(u64::MAX)), Ok(()));
    }
}
