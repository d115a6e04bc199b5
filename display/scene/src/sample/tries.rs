//! Heats where attempts or holds are judged, for tests.

use fivemark_wire::tries::{Attempt, LoadUnit, Tries};
use fivemark_wire::view::{Clock, Course, LaneCount, LaneResult, Scoring, State, Status};
use fivemark_wire::{from_feed::Snapshot, view::Unit};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{count, course, snapshot, vary};
use crate::view::View;

/// A course of so many attempts, or of as many as there is time for.
pub(crate) fn tried_course(scoring: Scoring, attempts: Option<u8>) -> Course {
    let unit = if scoring == Scoring::HeaviestLift { Unit::Kilogram } else { Unit::SecondHeld };
    let units = u32::from(attempts.unwrap_or(100));
    let load_unit = (scoring == Scoring::HeaviestLift).then_some(LoadUnit::Kilogram);
    Course { scoring, attempts, load_unit, ..course(&[(units, unit, 1, 20_000)], 0) }
}

/// A lane's attempts, in kilograms, those that failed below 0, and the load declared next.
pub(crate) fn lifted(
    course: &Course,
    lane: u8,
    kilograms: &[i32],
    declared_g: Option<u32>,
    status: Status,
) -> LaneCount {
    let attempts: Vec<Attempt> = kilograms
        .iter()
        .map(|kg| Attempt { load_g: kg.unsigned_abs() * 1_000 + 500, good: *kg > 0 })
        .collect();
    let best = attempts.iter().filter(|attempt| attempt.good).map(|attempt| attempt.load_g).max();
    let text = best.map_or("no mark".to_owned(), |best| format!("{}.5 kg", best / 1_000));
    let shown = attempts.len().saturating_sub(12);
    let done = u32::try_from(attempts.len()).unwrap();
    let tries = Tries { declared_g, attempts: attempts[shown..].to_vec(), holding_ms: None };
    tried(course, lane, (done, best.unwrap_or(0)), (tries, text), status)
}

/// A lane's holds: how many, the longest in milliseconds, and when the one under way began.
pub(crate) fn held(
    course: &Course,
    lane: u8,
    (done, best_ms): (u32, u32),
    holding_ms: Option<i64>,
    status: Status,
) -> LaneCount {
    let text = format!("{}:{:02}.{}", best_ms / 60_000, best_ms / 1_000 % 60, best_ms / 100 % 10);
    let tries = Tries { holding_ms, ..Tries::default() };
    tried(course, lane, (done, best_ms), (tries, text), status)
}

fn tried(
    course: &Course,
    lane: u8,
    (done, score): (u32, u32),
    (tries, text): (Tries, String),
    status: Status,
) -> LaneCount {
    let base = count(course, lane, 0, status);
    let best = LaneResult { text, official_ms: None, penalty_ms: None, credit_ms: None };
    let result = if status == Status::Finished { Some(best) } else { base.result };
    LaneCount { done, score, part_done: done, to_go: None, tries: Some(tries), result, ..base }
}

/// A heat of these lanes, placed by what they have.
pub(crate) fn tried_heat(course: Course, lanes: Vec<LaneCount>, state: State, clock: Clock) -> Snapshot {
    let nobody: Vec<_> = lanes.iter().map(|count| (0, count.status)).collect();
    let mut snapshot = snapshot(course, &nobody, state, clock);
    let best = lanes.iter().map(|count| count.score).max().unwrap_or(0);
    snapshot.heat.first_on_floor = 0;
    for (row, count) in snapshot.order.iter_mut().zip(&lanes) {
        let ahead = lanes.iter().filter(|other| other.score > count.score).count();
        row.place = if count.score > 0 { u8::try_from(ahead + 1).unwrap() } else { 0 };
        row.division_place = row.place;
        row.gap_units = (count.score > 0).then_some(best - count.score);
        row.gap_ms = None;
        if row.place == 1 {
            snapshot.heat.first_on_floor = row.lane;
        }
    }
    snapshot.lanes = lanes;
    snapshot
}

/// Such a heat made from a seed.
pub(crate) fn random_tried(seed: u64) -> (View, i64) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let running = rng.random_bool(0.6);
    let lifts = rng.random_bool(0.6);
    let scoring = if lifts { Scoring::HeaviestLift } else { Scoring::LongestHold };
    let limit = rng.random_bool(0.6).then(|| rng.random_range(1..=20));
    let course = tried_course(scoring, limit);
    let lanes = (1..=rng.random_range(1..=40))
        .map(|lane| {
            let status = match rng.random_range(0..12) {
                0 => Status::Empty,
                1 => Status::UnderReview,
                2 => Status::DidNotFinish,
                _ if running => Status::Racing,
                _ => Status::Finished,
            };
            let tries = rng.random_range(0..=limit.unwrap_or(30));
            if status == Status::Empty {
                return count(&course, lane, 0, status);
            }
            if lifts {
                let loads: Vec<i32> = (0..tries)
                    .map(|_| rng.random_range(20..260) * if rng.random_bool(0.7) { 1 } else { -1 })
                    .collect();
                let declared = rng.random_bool(0.4).then(|| rng.random_range(1..=999_999));
                return lifted(&course, lane, &loads, declared, status);
            }
            let best = if tries > 0 { rng.random_range(0..600_000) / 100 * 100 } else { 0 };
            let holding = (tries > 0 && status == Status::Racing && rng.random_bool(0.5)).then_some(30_000);
            held(&course, lane, (u32::from(tries), best), holding, status)
        })
        .collect();
    let (state, clock) = if running {
        (State::Running, Clock::Running { zero_at_ms: 0 })
    } else {
        (State::Provisional, Clock::Stopped { elapsed_ms: 600_000 })
    };
    let mut snapshot = tried_heat(course, lanes, state, clock);
    vary(&mut rng, &mut snapshot);
    (View::new(snapshot), rng.random_range(0..600_000))
}
