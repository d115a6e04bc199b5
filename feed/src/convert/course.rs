//! Courses and what is tried on them, from the engine's types to the wire's.

use fivemark_engine as engine;
use fivemark_engine::workout::{LoadUnit, Scoring};
use fivemark_wire::{tries, view};

use super::work::{fault, scoring, unit};

/// A course, for screens.
#[must_use]
pub fn course(course: &engine::Course) -> view::Course {
    view::Course {
        attempts: match course.scoring {
            Scoring::HeaviestLift { attempts, .. } => attempts,
            scoring => scoring.tries(),
        },
        load_unit: load_unit(course.scoring),
        scoring: scoring(course.scoring),
        parts: course.parts.iter().map(part).collect(),
        units: course.units,
        score_units: course.score_units,
        closing_blocks: course.closing_blocks,
        closing_step: course.closing_step,
        finish_call: course.finish_call,
    }
}

fn load_unit(scoring: Scoring) -> Option<tries::LoadUnit> {
    match scoring {
        Scoring::HeaviestLift { unit: LoadUnit::Kilogram, .. } => Some(tries::LoadUnit::Kilogram),
        Scoring::HeaviestLift { unit: LoadUnit::Pound, .. } => Some(tries::LoadUnit::Pound),
        _ => None,
    }
}

fn part(part: &engine::Part) -> view::Part {
    view::Part {
        movement: part.movement.clone(),
        short_name: part.short_name.clone(),
        amount: part.amount,
        unit: unit(part.unit),
        step: part.step,
        several_at_once: part.several_at_once,
        load: part.load.clone(),
        round: part.round,
        track_start_ppm: part.track_start_ppm,
        track_len_ppm: part.track_len_ppm,
        expected_ms_per_unit: part.expected_ms_per_unit,
        start: part.start.clone(),
        finish: part.finish.clone(),
        faults: part.faults.iter().map(fault).collect(),
    }
}

/// What a lane has tried, for screens.
pub(super) fn tries(tried: engine::TriesView) -> tries::Tries {
    let attempt =
        |attempt: engine::AttemptView| tries::Attempt { load_g: attempt.load_g, good: attempt.good };
    tries::Tries {
        declared_g: tried.declared_g,
        attempts: tried.attempts.into_iter().map(attempt).collect(),
        holding_ms: tried.holding.map(|began| began.0),
    }
}
