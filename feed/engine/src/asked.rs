//! What those who look behind a heat's numbers ask of it, beyond what screens are shown: the course of a lane, and
//! whether a call of a moment counts there by its time. Nothing in the heat depends on it.

use crate::course::Course;
use crate::heat::{Heat, ground};
use crate::ids::LaneNo;
use crate::time::{HeatMs, SpanMs};

impl Heat {
    /// The course of a lane; it goes with the athlete who changes lanes. None for an unknown lane.
    #[must_use]
    pub fn course_of(&self, lane: LaneNo) -> Option<&Course> {
        self.courses.get(self.lanes[self.index_of(lane)?].course)
    }

    /// Heat time of a moment at which a call counts for a lane as far as its time goes: from the lane's start until
    /// its time is up, holds left out. None at other moments and for an unknown lane.
    #[must_use]
    pub fn counts_at(&self, lane: LaneNo, moment: HeatMs) -> Option<SpanMs> {
        let lane = &self.lanes[self.index_of(lane)?];
        ground(lane, &self.courses, &self.clocks, &self.rules).counts(moment).ok()
    }
}
