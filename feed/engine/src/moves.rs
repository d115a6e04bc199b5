//! Athletes who change lanes in the course of a heat: who stood where at a moment, and in which lane that athlete's
//! record is now. Lanes are named by their places in lane order.

use crate::answer::{NotCounted, Refused};
use crate::bounds::{MAX_ENTRIES_PER_LANE, MAX_MOVES};
use crate::heat::Heat;
use crate::ids::LaneNo;
use crate::lane::Lane;
use crate::order::Groups;
use crate::time::HeatMs;

/// Every change of lanes, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Moves {
    /// Where athletes stood at first.
    occupied: Vec<bool>,
    list: Vec<Move>,
}

/// One change of lanes, to a lane that was empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Move {
    at: HeatMs,
    from: usize,
    to: usize,
}

impl Moves {
    pub(crate) fn new(occupied: Vec<bool>) -> Self {
        Self { occupied, list: Vec::new() }
    }

    /// Whether one more fits.
    pub(crate) fn check_room(&self) -> Result<(), Refused> {
        if self.list.len() < MAX_MOVES { Ok(()) } else { Err(Refused::TooManyMoves(MAX_MOVES)) }
    }

    /// Notes a move to an empty lane.
    pub(crate) fn note(&mut self, at: HeatMs, from: usize, to: usize) {
        self.list.push(Move { at, from, to });
    }

    /// Where the athlete is now who stood in a lane at a moment; none if nobody did. A moment at which somebody moved
    /// lies before the move.
    pub(crate) fn now_at(&self, lane: usize, moment: HeatMs) -> Option<usize> {
        let later = self.list.partition_point(|step| step.at < moment);
        // Back from that moment to the lane of the start, which tells whether anybody stood there.
        let mut first = lane;
        for step in self.list[..later].iter().rev() {
            if first == step.to {
                first = step.from;
            } else if first == step.from {
                return None;
            }
        }
        if !self.occupied.get(first).copied().unwrap_or(false) {
            return None;
        }
        let mut now = lane;
        for step in &self.list[later..] {
            if now == step.from {
                now = step.to;
            }
        }
        Some(now)
    }
}

impl Heat {
    /// Whether an athlete may move to a lane: it is there, empty, and its record has room.
    pub(crate) fn check_move(&self, lane: &Lane, to: LaneNo) -> Result<(), Refused> {
        let target = &self.lanes[self.index_of(to).ok_or(Refused::UnknownLane(to))?];
        if target.occupied {
            return Err(Refused::LaneTaken(to));
        }
        // What was called on the empty lane goes into the same record.
        if lane.record().len().saturating_add(target.record().len()) >= MAX_ENTRIES_PER_LANE {
            return Err(Refused::RecordFull(to));
        }
        self.moves.check_room()
    }

    /// Puts an athlete into an empty lane, and calls that were recorded there into the athlete's record. Gives the
    /// place of that lane.
    pub(crate) fn move_athlete(&mut self, at: HeatMs, from: usize, to: LaneNo) -> usize {
        let Some(to) = self.index_of(to).filter(|to| *to != from) else { return from };
        let run = self.lanes[to].run;
        let stray = self.lanes[to].start_over(run);
        let (low, high) = self.lanes.split_at_mut(from.max(to));
        low[from.min(to)].change_places(&mut high[0]);
        for entry in stray {
            self.enter(to, entry, Some(NotCounted::EmptyLane));
        }
        self.moves.note(at, from, to);
        self.follow_alone(from, to);
        self.groups = Groups::new(&self.lanes, &self.courses);
        self.screen.entries_changed();
        self.refresh_all();
        to
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn athletes_are_followed_through_their_moves() {
        #[track_caller]
        fn check(moves: &Moves, moment: i64, want: [Option<usize>; 3]) {
            assert_eq!([0, 1, 2].map(|lane| moves.now_at(lane, HeatMs(moment))), want);
        }
        // Athletes A and B in lanes 0 and 1. A goes to 2, B to 0, A to 1.
        let mut moves = Moves::new(vec![true, true, false]);
        check(&moves, 0, [Some(0), Some(1), None]);
        moves.note(HeatMs(10), 0, 2);
        moves.note(HeatMs(20), 1, 0);
        moves.note(HeatMs(30), 2, 1);
        check(&moves, 10, [Some(1), Some(0), None]);
        check(&moves, 11, [None, Some(0), Some(1)]);
        check(&moves, 21, [Some(0), None, Some(1)]);
        check(&moves, 31, [Some(0), Some(1), None]);
    }
}
