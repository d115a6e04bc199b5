//! What workouts are made of, from the engine's types to the wire's.

use fivemark_engine::workout::{AmrapShows, Fault, Scoring, Unit};
use fivemark_wire::view;

/// How work becomes a result, for screens.
#[must_use]
pub fn scoring(scoring: Scoring) -> view::Scoring {
    match scoring {
        Scoring::Amrap { shows: AmrapShows::RoundsAndReps } => view::Scoring::AmrapRounds,
        Scoring::Amrap { shows: AmrapShows::Total } => view::Scoring::AmrapTotal,
        Scoring::HeaviestLift { .. } => view::Scoring::HeaviestLift,
        Scoring::LongestHold { .. } => view::Scoring::LongestHold,
        // The engine's other scorings are still to come; its own list is open.
        _ => view::Scoring::ForTime,
    }
}

/// What is counted, for screens.
#[must_use]
pub fn unit(unit: Unit) -> view::Unit {
    match unit {
        Unit::Rep => view::Unit::Rep,
        Unit::Metre => view::Unit::Metre,
        Unit::Calorie => view::Unit::Calorie,
        Unit::SecondHeld => view::Unit::SecondHeld,
        Unit::Kilogram => view::Unit::Kilogram,
    }
}

/// Why a rep fails, for screens.
#[must_use]
pub fn fault(fault: &Fault) -> view::Fault {
    view::Fault { code: fault.code.clone(), name: fault.name.clone(), partial: fault.partial }
}
