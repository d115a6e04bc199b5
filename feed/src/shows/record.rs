//! What cards are made from: the competition, the heats that were opened, and who has been on the floor. Answers
//! questions about them; decides nothing about what is shown.

use std::collections::BTreeMap;

use fivemark_engine::ids::LaneNo;
use fivemark_engine::{Heat, Score, State};

use super::FloorLog;
use crate::competition::{Athlete, Competition, HeatPlan};
use crate::lane_setting;

/// The record, as cards need it.
#[derive(Clone, Copy, Debug)]
pub struct Record<'a> {
    /// The competition as planned.
    pub competition: &'a Competition,
    /// The heats that were opened.
    pub open: &'a BTreeMap<u32, Heat>,
    /// Who stands where in these.
    pub plans: &'a BTreeMap<u32, HeatPlan>,
    /// Who has been on the floor.
    pub floor: &'a FloorLog,
}

/// A lane's result, as it stands in the record.
#[derive(Clone, Debug)]
pub(super) struct Result<'a> {
    pub(super) score: Score,
    pub(super) lane: u8,
    pub(super) athlete_index: usize,
    pub(super) athlete: &'a Athlete,
    pub(super) text: String,
    pub(super) finished: bool,
}

impl<'a> Record<'a> {
    /// Number of the heat on the floor.
    #[must_use]
    pub fn on_floor(&self) -> u32 {
        self.floor.on_floor()
    }

    /// Who stands where in a heat, opened or not; none if the competition has no such heat.
    #[must_use]
    pub fn plan(&self, number: u32) -> Option<&'a HeatPlan> {
        self.plans.get(&number).or_else(|| self.competition.heat(number))
    }

    /// Index of the division of that id.
    #[must_use]
    pub fn division(&self, id: &str) -> Option<usize> {
        self.competition.divisions.iter().position(|division| division.id == id)
    }

    /// Whether an athlete stands on a lane of the heat on the floor.
    #[must_use]
    pub fn stands(&self, lane: u8) -> bool {
        let plan = self.plan(self.on_floor());
        plan.is_some_and(|plan| plan.lanes.iter().any(|of| of.lane == lane && of.athlete.is_some()))
    }

    /// Whether a heat has results: it is provisional or signed, or one of its lanes runs again alone.
    pub(super) fn has_results(&self, number: u32) -> bool {
        self.open.get(&number).is_some_and(|heat| {
            let view = heat.state();
            matches!(view.state, State::Provisional | State::Signed) || view.alone.is_some()
        })
    }

    pub(super) fn is_signed(&self, number: u32) -> bool {
        self.open.get(&number).is_some_and(|heat| heat.state().state == State::Signed)
    }

    /// The heat that was on the floor last of those with results.
    pub(super) fn last(&self) -> Option<u32> {
        self.floor.opened.iter().rev().copied().find(|number| self.has_results(*number))
    }

    /// The heat that comes next: the one on the floor if its work is still to come, else the first after it in running
    /// order without results.
    pub(super) fn next(&self) -> Option<u32> {
        if self.floor.phase == super::Phase::Ready {
            return Some(self.on_floor());
        }
        self.after_floor()
    }

    /// The first heat after the one on the floor, in running order, that has no results.
    pub(super) fn after_floor(&self) -> Option<u32> {
        let heats = self.competition.heats.iter().map(|heat| heat.number);
        let mut after = heats.skip_while(|number| *number != self.on_floor()).skip(1);
        after.find(|number| !self.has_results(*number))
    }

    /// Results of a heat, in lane order; of a lane that runs again alone there is none.
    pub(super) fn results(&self, number: u32) -> Vec<Result<'a>> {
        let (Some(plan), Some(heat)) = (self.plan(number), self.open.get(&number)) else { return Vec::new() };
        if !self.has_results(number) {
            return Vec::new();
        }
        let result = |lane: &crate::competition::LanePlan| {
            let athlete_index = lane.athlete?;
            let (no, view) = (LaneNo(lane.lane), heat.lane(LaneNo(lane.lane))?);
            Some(Result {
                score: heat.score(no)?,
                lane: lane.lane,
                athlete_index,
                athlete: self.competition.athletes.get(athlete_index)?,
                text: view.result?.text,
                finished: view.status == fivemark_engine::Status::Finished,
            })
        };
        plan.lanes.iter().filter_map(result).collect()
    }

    /// Those who were taken out of a heat before it, once the heat has results: they did not start.
    pub(super) fn scratched(&self, number: u32) -> Vec<Result<'a>> {
        let Some(plan) = self.plan(number).filter(|_| self.has_results(number)) else { return Vec::new() };
        let result = |(lane, athlete_index): (u8, usize)| {
            let athlete = self.competition.athletes.get(athlete_index)?;
            let (score, text) = (Score::did_not_start(), "DNS".to_owned());
            Some(Result { score, lane, athlete_index, athlete, text, finished: false })
        };
        lane_setting::scratched(self.competition, plan).filter_map(result).collect()
    }

    /// Whether an athlete of a division stands in a heat, or was taken out of it.
    pub(super) fn has_division(&self, number: u32, division: usize) -> bool {
        let Some(plan) = self.plan(number) else { return false };
        let of = |athlete: usize| self.competition.athletes.get(athlete).map(|athlete| athlete.division);
        let mut out = lane_setting::scratched(self.competition, plan);
        self.competition.divisions_of(plan).contains(&division)
            || out.any(|(_, athlete)| of(athlete) == Some(division))
    }
}
