//! What the record tells officials of judges: how they call, over all heats, and what is flagged on the floor.

use fivemark_engine::time::HeatMs;
use fivemark_wire::from_feed::FeedMessage;
use fivemark_wire::judges::{AskJudges, LaneFlag};
use fivemark_wire::phones::PhoneState;

use super::Heats;
use crate::{flags, judging};

impl Heats {
    /// How the judges call.
    pub fn judges(&mut self, asked: AskJudges) -> FeedMessage {
        let Self { competition, open, plans, counted, .. } = self;
        FeedMessage::Judges(judging::tables(asked.id, competition, open, plans, counted))
    }

    /// Counts how judges called in one signed heat that has not been counted, while no heat is under way: whoever asks
    /// during a heat should not hold up its calls for what could be known before.
    pub fn count_ahead(&mut self) {
        if self.under_way().is_empty() {
            let Self { competition, open, plans, counted, .. } = self;
            counted.count_ahead(competition, open, plans);
        }
    }

    /// What is flagged on the lanes of the heat on the floor, at a moment.
    #[must_use]
    pub fn flags(&self, phones: &[PhoneState], now: HeatMs) -> Vec<LaneFlag> {
        let number = self.on_floor();
        let (Some(heat), Some(plan)) = (self.open.get(&number), self.plans.get(&number)) else {
            return Vec::new();
        };
        let lanes: Vec<u8> = plan.lanes.iter().map(|lane| lane.lane).collect();
        flags::of_floor(heat, &lanes, phones, now)
    }
}
