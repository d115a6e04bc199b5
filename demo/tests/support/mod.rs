//! What the tests of the demo share: the picture of its heats as the feed would send it before anything happens.

use fivemark_demo::competition::competition_toml;
use fivemark_engine::Heat;
use fivemark_feed::competition::{Competition, parse};
use fivemark_feed::picture::Picture;
use fivemark_feed::roles::Audience;
use fivemark_wire::from_feed::Snapshot;

/// A heat that can be played, and its picture.
pub struct Rehearsal {
    pub heat: Heat,
    pub snapshot: Snapshot,
}

/// The demo's heat of that number.
pub fn rehearsal(seed: u64, lanes: u8, number: u32) -> Rehearsal {
    let competition: Competition =
        parse("demo", &competition_toml(seed, lanes)).expect("the demo has no faults");
    let plan = competition.heat(number).expect("the demo has that heat");
    let heat = Heat::new(competition.heat_setup(plan)).expect("its heats can be run");
    let snapshot = Picture::of(&competition, plan, &heat, true).for_audience(Audience::Officials, 0);
    Rehearsal { heat, snapshot }
}
