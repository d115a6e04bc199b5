//! Places over several heats of the same work. Compares results as one heat compares its lanes; who belongs together,
//! and which heats count, is left to the caller.

use crate::heat::Heat;
use crate::ids::LaneNo;
use crate::order::{Floor, Key, Stage, give_ranks, key_of};

/// What ranks a result against results of other heats of the same workout in the same division: the lesser is the
/// better one. Without that in common, comparing two says nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score(Key);

impl Score {
    /// That of an athlete who did not start, as who was taken out of a heat before it.
    #[must_use]
    pub fn did_not_start() -> Self {
        Self(Key::Unplaced)
    }

    /// Whether it has a place. Who did not finish has none here, and stands before who did not start or was
    /// disqualified.
    #[must_use]
    pub fn has_place(self) -> bool {
        matches!(self.0, Key::Finished(_) | Key::Unfinished(..))
    }
}

impl Heat {
    /// How a lane's result ranks. None for a lane that is unknown or empty, and while its result is open: before time
    /// is called, while the lane runs again alone, and in a cancelled run.
    #[must_use]
    pub fn score(&self, lane: LaneNo) -> Option<Score> {
        let lane = &self.lanes[self.index_of(lane)?];
        let (courses, rules, stage, groups) = (&self.courses, &self.rules, self.stage(), &self.groups);
        let clocks = &self.clocks;
        let ended = lane.occupied && stage == Stage::Called && lane.stage == Stage::Called;
        ended.then(|| Score(key_of(lane, Floor { courses, rules, clocks, stage, groups })))
    }
}

/// The place of each score, 1-2-2-4, in the order in which they are given; 0 for one without.
#[must_use]
pub fn standings(scores: &[Score]) -> Vec<u16> {
    let mut sorted: Vec<usize> = (0..scores.len()).collect();
    sorted.sort_by_key(|index| scores[*index]);
    let mut places = vec![0; scores.len()];
    let keys = sorted.into_iter().map(|index| (index, Some(scores[index]).filter(|score| score.has_place())));
    give_ranks(keys, |index, place| places[index] = place);
    places
}
