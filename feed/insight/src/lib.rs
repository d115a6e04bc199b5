//! What can be read out of a record beyond its results: how judges call compared with each other, and what on a lane
//! an official should look at. Pure estimates over the engine's record: they read no clock, do no I/O, change nothing
//! and decide no result.
//!
//! [`HeatCounts`] counts a heat's decisions, [`Briefing`] compares the judges of all heats, [`agreement`] holds a
//! shadow judge's calls against a lane judge's, and [`flags`] names what stands out on a lane while it works.

pub mod agreement;
pub mod flags;
pub mod interval;
pub mod pairing;

mod briefing;
mod counts;
mod decisions;
mod shadows;
mod who;

pub use briefing::{Briefing, FaultRate, JudgeRate, MovementAgreement, MovementRate, Outside};
pub use counts::{Counts, HeatCounts};
pub use decisions::{Class, Decision, of_lane};
pub use shadows::WINDOW_MS;
pub use who::{Judge, Phone, Planned, Roster};
