//! Sets a heat up: compiles its workouts and puts its lanes in order, or says what makes it impossible to run.

use crate::bounds::{MAX_CAP_MS, MAX_WORKOUTS};
use crate::compile::compile;
use crate::course::Course;
use crate::ids::MAX_LANES;
use crate::lane::Lane;
use crate::setup::{HeatSetup, SetupError};
use crate::workout::{CapOn, ClockRules};

/// The clock rules of a floor and its courses, one per workout.
pub(crate) fn compile_all(setup: &HeatSetup) -> Result<(ClockRules, Vec<Course>), SetupError> {
    let found = setup.workouts.len();
    let Some(first) = setup.workouts.first().filter(|_| found <= MAX_WORKOUTS) else {
        return Err(SetupError::WorkoutCount { found, max: MAX_WORKOUTS });
    };
    let mut courses = Vec::with_capacity(found);
    for workout in &setup.workouts {
        let named = |fault| SetupError::Workout { workout: workout.name.clone(), fault };
        courses.push(compile(workout).map_err(named)?);
        if workout.clock != first.clock {
            return Err(SetupError::ClocksDiffer { workout: workout.name.clone() });
        }
        if workout.scoring != first.scoring {
            return Err(SetupError::ScoringsDiffer { workout: workout.name.clone() });
        }
    }
    Ok((first.clock, courses))
}

/// The lanes, in lane order.
pub(crate) fn place_lanes(
    setup: &HeatSetup,
    courses: usize,
    rules: &ClockRules,
) -> Result<Vec<Lane>, SetupError> {
    let mut setups = setup.lanes.clone();
    setups.sort_by_key(|lane| lane.lane);
    if setups.is_empty() {
        return Err(SetupError::NoLanes);
    }
    for (index, lane) in setups.iter().enumerate() {
        if !(1..=MAX_LANES).contains(&lane.lane.0) {
            return Err(SetupError::LaneOutOfRange(lane.lane.0));
        }
        if setups[..index].last().is_some_and(|before| before.lane == lane.lane) {
            return Err(SetupError::DuplicateLane(lane.lane));
        }
        if usize::from(lane.workout) >= courses {
            return Err(SetupError::UnknownWorkout { lane: lane.lane, workout: lane.workout });
        }
        // Where the heat is capped, a lane that starts after that would have no time at all.
        let max_ms = match rules.cap_on {
            CapOn::LaneTime => MAX_CAP_MS,
            CapOn::Heat => rules.cap.0 - 1,
        };
        if !(0..=max_ms).contains(&lane.start.0) {
            return Err(SetupError::LaneStart { lane: lane.lane, found_ms: lane.start.0, max_ms });
        }
    }
    Ok(setups.into_iter().map(Lane::new).collect())
}
