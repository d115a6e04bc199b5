//! One heat.

use std::collections::VecDeque;

use crate::answer::{Event, Outcome};
use crate::command::Command;
use crate::course::Course;
use crate::ids::LaneNo;
use crate::record::{Entry, PastRun};
use crate::setup::{HeatSetup, SetupError};
use crate::time::{HeatMs, SpanMs};
use crate::view::{Clock, HeatView, LaneView, Standing, State};

/// A heat: commands go in, answers and events come out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heat {
    setup: HeatSetup,
    courses: Vec<Course>,
    order: Vec<Standing>,
    events: VecDeque<Event>,
}

impl Heat {
    /// Sets the lanes of a heat.
    ///
    /// # Errors
    /// Names the lane, workout or part that makes the heat impossible to run.
    pub fn new(setup: HeatSetup) -> Result<Self, SetupError> {
        Ok(Self { setup, courses: Vec::new(), order: Vec::new(), events: VecDeque::new() })
    }

    /// Takes one command, received at `at`. Timeouts due by then are fired first.
    pub fn handle_command(&mut self, _at: HeatMs, _command: &Command) -> Outcome {
        Outcome::Done
    }

    /// Fires what is due at `at`.
    pub fn handle_timeout(&mut self, _at: HeatMs) {}

    /// When the heat will next change without a command; none: never.
    #[must_use]
    pub fn next_timeout(&self) -> Option<HeatMs> {
        None
    }

    /// The next event; drained after each input.
    pub fn poll_event(&mut self) -> Option<Event> {
        self.events.pop_front()
    }

    /// The courses, one per workout of the setup.
    #[must_use]
    pub fn courses(&self) -> &[Course] {
        &self.courses
    }

    /// State and clock.
    #[must_use]
    pub fn state(&self) -> HeatView {
        HeatView {
            state: State::LanesSet,
            run: 1,
            clock: Clock::Idle,
            cap: SpanMs(0),
            resolution_ms: 100,
            finished: 0,
            starters: u8::try_from(self.setup.lanes.len()).unwrap_or(u8::MAX),
            first_on_floor: None,
        }
    }

    /// What a lane has done; none for an unknown lane.
    #[must_use]
    pub fn lane(&self, _lane: LaneNo) -> Option<LaneView> {
        None
    }

    /// Places and gaps, in lane order.
    #[must_use]
    pub fn order(&self) -> &[Standing] {
        &self.order
    }

    /// The record of a lane in the present run, in order of receipt.
    #[must_use]
    pub fn record(&self, _lane: LaneNo) -> Option<&[Entry]> {
        None
    }

    /// Runs that were recalled or cancelled and run again.
    #[must_use]
    pub fn past_runs(&self) -> &[PastRun] {
        &[]
    }
}
