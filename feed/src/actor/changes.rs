//! What changed on the floor since everybody was last told, gathered from the engine's events.

use std::collections::BTreeSet;

use fivemark_engine::{Event, Heat, State};
use fivemark_wire::view::{NoRep, RulingNote};

/// What changed on the floor.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Another heat or another run: the whole picture.
    pub whole: bool,
    /// What screens are asked to show.
    pub shows: bool,
    /// State and clock of the heat on the floor.
    pub heat: bool,
    pub(super) lanes: BTreeSet<u8>,
    pub(super) order: BTreeSet<u8>,
    pub(super) no_reps: Vec<NoRep>,
    pub(super) rulings: Vec<RulingNote>,
}

/// Drains a heat's events; only those of the heat on the floor are told. True if cards may have to say something else:
/// what happens while a heat is under way is on none of them.
pub(super) fn collect(heat: &mut Heat, on_floor: bool, changes: &mut Changes) -> bool {
    let mut happened = false;
    while let Some(event) = heat.poll_event() {
        happened = true;
        if !on_floor {
            continue;
        }
        match event {
            Event::HeatChanged => changes.heat = true,
            Event::LaneChanged(lane) => {
                changes.lanes.insert(lane.0);
            }
            Event::OrderChanged(lane) => {
                changes.order.insert(lane.0);
            }
            Event::NoRep { lane, fault, partial, at } => changes.no_reps.push(NoRep {
                lane: lane.0,
                fault: fault.unwrap_or_default(),
                partial,
                at_ms: at.0,
            }),
            Event::Ruled { lane, by, says, reason, before, after } => {
                changes.rulings.push(RulingNote { lane: lane.0, by, says, reason, before, after });
            }
            Event::RunChanged | Event::EntriesChanged => changes.whole = true,
        }
    }
    let works = |state| matches!(state, State::Countdown | State::Running | State::Held | State::TimeCalled);
    happened && !works(heat.state().state)
}
