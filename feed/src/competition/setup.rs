//! From the competition to the engine: what a heat is made of, with one workout per division on its floor. The
//! engine's own checks are made here too, so that a file that passes can be run.

use std::collections::BTreeSet;

use fivemark_engine::ids::{LaneNo, MovementIx};
use fivemark_engine::workout::{PartSpec, Workout as EngineWorkout};
use fivemark_engine::{Heat, HeatSetup, LaneSetup, SetupError};

use super::faults::Faults;
use super::{Competition, HeatPlan, Part, Workout};

impl Competition {
    /// The heat of that number.
    #[must_use]
    pub fn heat(&self, number: u32) -> Option<&HeatPlan> {
        self.heats.iter().find(|heat| heat.number == number)
    }

    /// Indices of the divisions on a heat's floor, in the order of the file.
    #[must_use]
    pub fn divisions_of(&self, heat: &HeatPlan) -> Vec<usize> {
        let mut found: Vec<usize> = heat
            .lanes
            .iter()
            .filter_map(|lane| self.athletes.get(lane.athlete?))
            .map(|athlete| athlete.division)
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Position of a lane's division among those on the floor; 0 for an empty lane.
    #[must_use]
    pub fn floor_division(&self, divisions: &[usize], athlete: Option<usize>) -> u8 {
        let division = athlete.and_then(|index| self.athletes.get(index)).map(|athlete| athlete.division);
        let place = divisions.iter().position(|known| Some(*known) == division).unwrap_or(0);
        u8::try_from(place).unwrap_or(u8::MAX)
    }

    /// Whether a workout, by index, has amounts for a division.
    #[must_use]
    pub fn has_work(&self, workout: usize, division: usize) -> bool {
        let workout = self.workouts.get(workout);
        workout.is_some_and(|workout| workout.all_parts().all(|part| part.amount.of(division).is_some()))
    }

    /// What the engine needs of a heat.
    #[must_use]
    pub fn heat_setup(&self, heat: &HeatPlan) -> HeatSetup {
        let divisions = self.divisions_of(heat);
        let lanes = heat.lanes.iter().map(|lane| {
            let division = self.floor_division(&divisions, lane.athlete);
            LaneSetup {
                lane: LaneNo(lane.lane),
                division,
                workout: division,
                occupied: lane.athlete.is_some(),
                start: lane.start,
            }
        });
        let workouts = self
            .workouts
            .get(heat.workout)
            .into_iter()
            .flat_map(|workout| divisions.iter().map(|division| self.engine_workout(workout, *division)));
        HeatSetup { lanes: lanes.collect(), workouts: workouts.collect() }
    }

    fn engine_workout(&self, workout: &Workout, division: usize) -> EngineWorkout {
        // Only the movements that it uses: a heat carries no more of the file than it needs.
        let mut used: Vec<usize> = workout.all_parts().map(|part| part.movement).collect();
        used.sort_unstable();
        used.dedup();
        let parts = |parts: &[Part]| parts.iter().map(|part| part_spec(part, &used, division)).collect();
        EngineWorkout {
            name: workout.name.clone(),
            scoring: workout.scoring,
            movements: used.iter().filter_map(|index| self.movements.get(*index)).cloned().collect(),
            buy_in: parts(&workout.buy_in),
            body: parts(&workout.parts),
            rounds: workout.rounds,
            scheme: workout.scheme.clone(),
            cash_out: parts(&workout.cash_out),
            finish: workout.finish,
            track: workout.track,
            mark_every_part: workout.mark_every_part,
            clock: workout.clock,
        }
    }
}

impl Workout {
    fn all_parts(&self) -> impl Iterator<Item = &Part> {
        self.buy_in.iter().chain(&self.parts).chain(&self.cash_out)
    }
}

fn part_spec(part: &Part, used: &[usize], division: usize) -> PartSpec {
    let movement = used.iter().position(|index| *index == part.movement);
    PartSpec {
        movement: MovementIx(movement.and_then(|index| u16::try_from(index).ok()).unwrap_or(u16::MAX)),
        // A division without an amount is a fault of the file; the engine refuses 0.
        amount: part.amount.of(division).copied().unwrap_or(0),
        scores: part.scores,
        tie_break: part.tie_break,
        load: part.load.as_ref().and_then(|load| load.of(division)).cloned().unwrap_or_default(),
    }
}

/// Notes every heat that could not be run.
pub(super) fn check_heats(competition: &Competition, faults: &mut Faults) {
    let mut missing = BTreeSet::new();
    // A workout that cannot be done is named once, not for each of its heats.
    let mut seen = BTreeSet::new();
    for heat in &competition.heats {
        let Some(workout) = competition.workouts.get(heat.workout) else { continue };
        let divisions = competition.divisions_of(heat);
        let mut whole = true;
        for part in workout.all_parts() {
            for division in &divisions {
                if part.amount.of(*division).is_some() {
                    continue;
                }
                whole = false;
                if missing.insert((part.at, *division)) {
                    let id = competition.divisions.get(*division).map_or("", |known| known.id.as_str());
                    let number = heat.number;
                    faults.add(
                        part.at,
                        format!(
                            "amount has no entry for division \"{id}\", which does this in heat {number}"
                        ),
                    );
                }
            }
        }
        if whole && let Err(error) = Heat::new(competition.heat_setup(heat)) {
            let at = if matches!(error, SetupError::Workout { .. }) { workout.at } else { heat.at };
            let error = error.to_string();
            if seen.insert((at, error.clone())) {
                faults.add(at, format!("heat {} cannot be run: {error}", heat.number));
            }
        }
    }
}
