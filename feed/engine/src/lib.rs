//! The heat: course, clock states, tallies, rulings, live order and official results.
//!
//! A pure core. Time is an argument, numbers are integers, and the same record always gives the same result.
//! It reads no clock, does no I/O, uses no floating point and no hash order, and knows neither serde nor tokio.
//!
//! [`Heat`] takes [`command::Command`]s with the moment of their receipt, answers each with an [`Outcome`], and
//! tells what changed through [`Event`]s.

pub mod bounds;
pub mod command;
pub mod ids;
pub mod time;
pub mod workout;

mod answer;
#[cfg(test)]
mod arrival_tests;
mod asked;
mod assemble;
mod attempt;
mod clock;
mod compile;
mod course;
mod effective;
mod floor;
mod hands;
mod heat;
mod initials;
mod ladder;
mod lane;
mod moves;
mod official;
mod order;
mod own_time;
mod pages;
mod passing;
mod record;
mod rulings;
mod runs;
mod screen;
mod set_lanes;
mod setup;
mod standings;
mod takeback;
mod view;
mod work;

pub use answer::{Event, NotCounted, Outcome, Refused};
pub use attempt::load_text;
pub use course::{Course, Part, Place};
pub use hands::HandedOver;
pub use heat::Heat;
pub use initials::Initials;
pub use official::{cut, resolution_ms, time_text};
pub use record::{Doubts, Entry, PastLane, PastRun, Remark, RemarkKind, Said, Told, Verdict};
pub use setup::{HeatSetup, LaneSetup, SetupError, WorkoutError};
pub use standings::{Score, standings};
pub use view::{AttemptView, Clock, HeatView, LaneResult, LaneView, Standing, State, Status, TriesView};
