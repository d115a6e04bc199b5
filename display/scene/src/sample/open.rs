//! Invented heats of open-ended work.

use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Clock, Course, LaneCount, LaneResult, Scoring, State, Status, Unit};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{count, course, snapshot, vary};
use crate::view::View;

/// A course of as many rounds as possible: a buy-in of 30, then rounds of a run that is only called when it is done
/// and two parts of repetitions.
pub(crate) fn open_course(scoring: Scoring) -> Course {
    let buy_in = course(&[(30, Unit::Rep, 1, 2_000)], 0);
    let mut round =
        course(&[(200, Unit::Metre, 200, 250), (15, Unit::Rep, 1, 2_500), (9, Unit::Rep, 1, 4_000)], 0);
    let mut parts = buy_in.parts;
    parts.iter_mut().for_each(|part| part.round = 0);
    round.parts.iter_mut().for_each(|part| part.round = 1);
    parts.append(&mut round.parts);
    Course { scoring, parts, units: 254, score_units: 54, ..buy_in_shape() }
}

fn buy_in_shape() -> Course {
    course(&[(1, Unit::Rep, 1, 1)], 0)
}

/// What a lane has done of open-ended work: the round under way (0 in the buy-in), and units of it.
pub(crate) fn open_count(course: &Course, lane: u8, round: u32, done: u32, status: Status) -> LaneCount {
    let first = if round == 0 { 0 } else { course.parts.partition_point(|part| part.round == 0) };
    let (mut part, mut rest) = (first, done);
    while let Some(of) = course.parts.get(part).filter(|of| rest >= of.amount) {
        rest -= of.amount;
        part += 1;
    }
    let round_score =
        course.parts[first..part].iter().filter(|part| part.unit == Unit::Rep).map(|part| part.amount);
    let reps = course.parts.get(part).is_some_and(|part| part.unit == Unit::Rep);
    let round_score = round_score.sum::<u32>() + if reps { rest } else { 0 };
    let text = match course.scoring {
        Scoring::AmrapRounds => format!("{} + {round_score}", round.saturating_sub(1)),
        _ => format!("{}", round * 24 + round_score),
    };
    let base = count(&buy_in_shape(), lane, 0, status);
    let result = LaneResult { text, official_ms: None, penalty_ms: None, credit_ms: None };
    LaneCount {
        done: round * 224 + done,
        score: round * 24 + round_score,
        part: u32::try_from(part).unwrap(),
        part_done: rest,
        to_go: None,
        round,
        round_score,
        result: (status == Status::Finished).then_some(result),
        tie_break_ms: Some(252_300),
        ..base
    }
}

/// A heat of as many rounds as possible: for each lane the round under way, units of it, and its status.
pub(crate) fn open_heat(
    scoring: Scoring,
    lanes: &[(u32, u32, Status)],
    state: State,
    clock: Clock,
) -> Snapshot {
    let course = open_course(scoring);
    let nobody: Vec<_> = lanes.iter().map(|(_, _, status)| (0, *status)).collect();
    let mut snapshot = snapshot(buy_in_shape(), &nobody, state, clock);
    for (slot, (lane, (round, done, status))) in snapshot.lanes.iter_mut().zip((1..).zip(lanes)) {
        if *status != Status::Empty {
            *slot = open_count(&course, lane, *round, *done, *status);
        }
    }
    snapshot.courses = vec![course];
    let scores: Vec<u32> = snapshot.lanes.iter().map(|count| count.score).collect();
    let best = scores.iter().copied().max().unwrap_or(0);
    for (row, score) in snapshot.order.iter_mut().zip(&scores) {
        row.place = u8::try_from(scores.iter().filter(|other| *other > score).count() + 1).unwrap();
        row.division_place = row.place;
        row.gap_units = Some(best - score);
        if row.place == 1 {
            snapshot.heat.first_on_floor = row.lane;
        }
    }
    snapshot
}

/// A heat of open-ended work made from a seed.
pub(crate) fn random_open(seed: u64) -> (View, i64) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let running = rng.random_bool(0.5);
    let lanes: Vec<_> = (0..rng.random_range(1..=40))
        .map(|_| {
            let round = rng.random_range(0..14);
            let done = rng.random_range(0..if round == 0 { 30 } else { 224 });
            let status = match rng.random_range(0..12) {
                0 => Status::Empty,
                1 => Status::UnderReview,
                2 => Status::DidNotFinish,
                _ if running => Status::Racing,
                _ => Status::Finished,
            };
            (round, done, status)
        })
        .collect();
    let scoring = if rng.random_bool(0.5) { Scoring::AmrapRounds } else { Scoring::AmrapTotal };
    let (state, clock) = if running {
        (State::Running, Clock::Running { zero_at_ms: 0 })
    } else {
        (State::Provisional, Clock::Stopped { elapsed_ms: 600_000 })
    };
    let mut snapshot = open_heat(scoring, &lanes, state, clock);
    vary(&mut rng, &mut snapshot);
    (View::new(snapshot), rng.random_range(0..600_000))
}
