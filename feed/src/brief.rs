//! The brief of a workout for judges and athletes, from the competition file: what is done by whom, how it is counted
//! and scored. Its sentences are the page's.

use std::collections::BTreeSet;

use fivemark_engine::workout::{self, Movement, OrderBy, Resolution, Rounding};
use fivemark_wire::papers::{Brief, BriefMovement, BriefPart, CappedAs};
use fivemark_wire::view::Scoring;

use crate::competition::{Competition, Part, Workout};
use crate::convert;

/// The brief of a workout by its index. A workout that is not there, which the competition's own check rules out, is
/// an empty one.
#[must_use]
pub fn of(competition: &Competition, index: usize) -> Brief {
    let Some(workout) = competition.workouts.get(index) else { return empty() };
    let divisions = divisions(competition, index);
    let movements = movements(workout);
    let parts = |parts: &[Part]| parts.iter().map(|of| part(of, &divisions, &movements)).collect();
    let clock = workout.clock;
    let known = divisions.iter().filter_map(|division| competition.divisions.get(*division));
    let of_file = movements.iter().filter_map(|movement| competition.movements.get(*movement));
    Brief {
        workout: workout.name.clone(),
        scoring: convert::scoring(workout.scoring),
        divisions: known.map(|division| division.name.clone()).collect(),
        cap_ms: clock.cap.0,
        cap_on_heat: clock.cap_on == workout::CapOn::Heat,
        first_to_finish: clock.order_by == OrderBy::FirstToFinish,
        resolution_ms: match clock.resolution {
            Resolution::Second => 1_000,
            Resolution::Tenth => 100,
            Resolution::Hundredth => 10,
        },
        rounds_up: clock.rounding == Rounding::Up,
        capped_as: match clock.capped_as {
            workout::CappedAs::WorkDone => CappedAs::WorkDone,
            workout::CappedAs::WorkLeft => CappedAs::WorkLeft,
            workout::CappedAs::CapPlusPenalty => CappedAs::CapPlusPenalty,
        },
        penalty_per_unit_ms: clock.penalty_per_unit.0,
        finish_call: workout.finish == workout::FinishRule::FinishCall,
        mark_every_part: workout.mark_every_part,
        rounds: if workout.scheme.is_empty() { workout.rounds } else { 1 },
        scheme: workout.scheme.clone(),
        buy_in: parts(&workout.buy_in),
        parts: parts(&workout.parts),
        cash_out: parts(&workout.cash_out),
        movements: of_file.map(movement).collect(),
        initials: competition.initials,
    }
}

/// Divisions that do a workout in any heat, in the order of the file.
fn divisions(competition: &Competition, workout: usize) -> Vec<usize> {
    let heats = competition.heats.iter().filter(|heat| heat.workout == workout);
    heats.flat_map(|heat| competition.divisions_of(heat)).collect::<BTreeSet<_>>().into_iter().collect()
}

/// Its movements, each once, as they first come.
fn movements(workout: &Workout) -> Vec<usize> {
    let mut seen = BTreeSet::new();
    let all = workout.buy_in.iter().chain(&workout.parts).chain(&workout.cash_out);
    all.map(|part| part.movement).filter(|movement| seen.insert(*movement)).collect()
}

fn part(part: &Part, divisions: &[usize], movements: &[usize]) -> BriefPart {
    let movement = movements.iter().position(|movement| *movement == part.movement).unwrap_or(0);
    let load = |division: &usize| part.load.as_ref().and_then(|load| load.of(*division)).cloned();
    BriefPart {
        movement: u32::try_from(movement).unwrap_or(u32::MAX),
        amounts: divisions.iter().map(|of| part.amount.of(*of).copied().unwrap_or(0)).collect(),
        loads: divisions.iter().map(|of| load(of).unwrap_or_default()).collect(),
        tie_break: part.tie_break,
    }
}

fn movement(movement: &Movement) -> BriefMovement {
    BriefMovement {
        name: movement.name.clone(),
        unit: convert::unit(movement.unit),
        step: movement.step,
        start: movement.start.clone(),
        finish: movement.finish.clone(),
        faults: movement.faults.iter().map(convert::fault).collect(),
    }
}

fn empty() -> Brief {
    Brief {
        workout: String::new(),
        scoring: Scoring::ForTime,
        divisions: Vec::new(),
        cap_ms: 0,
        cap_on_heat: false,
        first_to_finish: false,
        resolution_ms: 1_000,
        rounds_up: false,
        capped_as: CappedAs::WorkDone,
        penalty_per_unit_ms: 0,
        finish_call: false,
        mark_every_part: false,
        rounds: 1,
        scheme: Vec::new(),
        buy_in: Vec::new(),
        parts: Vec::new(),
        cash_out: Vec::new(),
        movements: Vec::new(),
        initials: false,
    }
}
