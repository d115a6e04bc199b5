//! Makes a course of a workout: rounds and schemes counted out, scores added up, the track shared among the
//! parts, the closing blocks laid at the end. Says what is wrong with a workout that makes no course.

use crate::bounds::{
    MAX_ATTEMPTS, MAX_CAP_MS, MAX_CLOSING_BLOCKS, MAX_COUNTDOWN_MS, MAX_EXPECTED_MS_PER_UNIT, MAX_NAME_BYTES,
    MAX_PARTS, MAX_PENALTY_MS, MAX_SCORE_UNITS, MAX_UNITS,
};
use crate::course::{Course, Lap, Part};
use crate::setup::WorkoutError;
use crate::workout::{FinishRule, Movement, PartSpec, ScoreRule, Scoring, TrackRule, Unit, Workout};

/// The whole track, in millionths.
const TRACK_PPM: u64 = 1_000_000;

/// Compiles one workout.
pub(crate) fn compile(workout: &Workout) -> Result<Course, WorkoutError> {
    workout.movements.iter().try_for_each(check_movement)?;
    check_clock(workout)?;
    let mut parts = Vec::new();
    let mut units = 0_u32;
    let mut score = 0_u32;
    for (index, planned) in lay_out(workout)?.into_iter().enumerate() {
        let part = make_part(workout, &planned, index + 1, units, score)?;
        units = part.end_unit();
        if units > MAX_UNITS {
            return Err(WorkoutError::TooManyUnits { part: index + 1, max: MAX_UNITS });
        }
        score = score.saturating_add(part.score_of(part.amount));
        if score > MAX_SCORE_UNITS {
            return Err(WorkoutError::TooManyScoreUnits { part: index + 1, max: MAX_SCORE_UNITS });
        }
        parts.push(part);
    }
    let lap = lap_of(workout, &parts);
    if score <= lap.map_or(0, |lap| lap.first_score) {
        return Err(WorkoutError::NothingScored);
    }
    // An AMRAP's buy-in and its round have a track each; all other work has one track.
    let (buy_in, rest) = parts.split_at_mut(lap.map_or(0, |lap| lap.first_part));
    share_track(buy_in, workout.track);
    share_track(rest, workout.track);
    let (closing_blocks, closing_step) = match parts.last() {
        Some(last) if lap.is_none() => (last.closing_blocks, last.closing_step),
        _ => (0, 0),
    };
    let finish_call = workout.finish == FinishRule::FinishCall;
    let scoring = workout.scoring;
    Ok(Course { scoring, parts, units, score_units: score, closing_blocks, closing_step, finish_call, lap })
}

/// A part in its place, before it is checked.
struct Planned<'a> {
    spec: &'a PartSpec,
    /// Repetitions that the round's scheme puts in place of the amount.
    scheme: Option<u32>,
    round: u32,
    /// It ends with the closing mark.
    marked: bool,
}

fn check_movement(movement: &Movement) -> Result<(), WorkoutError> {
    let name = || movement.name.clone();
    if movement.step == 0 {
        return Err(WorkoutError::ZeroStep { movement: name() });
    }
    let expected = movement.expected_ms_per_unit;
    if expected == 0 || expected > MAX_EXPECTED_MS_PER_UNIT {
        let max = MAX_EXPECTED_MS_PER_UNIT;
        return Err(WorkoutError::ExpectedTime { movement: name(), found: expected, max });
    }
    if movement.closing_steps > MAX_CLOSING_BLOCKS {
        let (found, max) = (movement.closing_steps, MAX_CLOSING_BLOCKS);
        return Err(WorkoutError::ClosingSteps { movement: name(), found, max });
    }
    for (index, fault) in movement.faults.iter().enumerate() {
        let twice = movement.faults[..index].iter().any(|other| other.code == fault.code);
        if fault.code.is_empty() || fault.code.len() > MAX_NAME_BYTES || twice {
            return Err(WorkoutError::FaultCode { movement: name(), code: fault.code.clone() });
        }
    }
    Ok(())
}

fn check_clock(workout: &Workout) -> Result<(), WorkoutError> {
    let clock = &workout.clock;
    if !(1..=MAX_CAP_MS).contains(&clock.cap.0) {
        return Err(WorkoutError::Cap { found_ms: clock.cap.0, max_ms: MAX_CAP_MS });
    }
    if !(0..=MAX_COUNTDOWN_MS).contains(&clock.countdown.0) {
        return Err(WorkoutError::Countdown { found_ms: clock.countdown.0, max_ms: MAX_COUNTDOWN_MS });
    }
    if !(0..=MAX_PENALTY_MS).contains(&clock.penalty_per_unit.0) {
        let found_ms = clock.penalty_per_unit.0;
        return Err(WorkoutError::PenaltyPerUnit { found_ms, max_ms: MAX_PENALTY_MS });
    }
    Ok(())
}

/// The parts in order, rounds counted out. The number of parts is checked before any is made.
fn lay_out(workout: &Workout) -> Result<Vec<Planned<'_>>, WorkoutError> {
    let rounds = if workout.scheme.is_empty() {
        u64::from(workout.rounds)
    } else {
        u64::try_from(workout.scheme.len()).unwrap_or(u64::MAX)
    };
    if rounds == 0 && !workout.body.is_empty() {
        return Err(WorkoutError::NoRounds);
    }
    let open_ended = workout.scoring != Scoring::ForTime;
    if open_ended {
        check_open_ended(workout)?;
    }
    let count = |parts: &[PartSpec]| u64::try_from(parts.len()).unwrap_or(u64::MAX);
    let found = count(&workout.body)
        .saturating_mul(rounds)
        .saturating_add(count(&workout.buy_in))
        .saturating_add(count(&workout.cash_out));
    match usize::try_from(found) {
        Ok(0) => return Err(WorkoutError::NoParts),
        Ok(1..=MAX_PARTS) => {}
        _ => return Err(WorkoutError::TooManyParts { found, max: MAX_PARTS }),
    }
    let marked = workout.mark_every_part && !workout.scoring.judges_attempts();
    let once = |spec| Planned { spec, scheme: None, round: 0, marked };
    let mut planned: Vec<Planned<'_>> = workout.buy_in.iter().map(once).collect();
    if !workout.body.is_empty() {
        let rounds = u32::try_from(rounds).unwrap_or(u32::MAX);
        for (round, scheme) in
            (1..=rounds).zip(workout.scheme.iter().map(Some).chain(std::iter::repeat(None)))
        {
            // All sets of an AMRAP's scheme are one round; attempts are in none.
            let round = match workout.scoring {
                Scoring::ForTime => round,
                Scoring::Amrap { .. } => 1,
                Scoring::HeaviestLift { .. } | Scoring::LongestHold { .. } => 0,
            };
            let in_round = |spec| Planned { spec, scheme: scheme.copied(), round, marked };
            planned.extend(workout.body.iter().map(in_round));
        }
    }
    planned.extend(workout.cash_out.iter().map(once));
    if let Some(last) = planned.last_mut().filter(|_| !open_ended) {
        last.marked = true;
    }
    Ok(planned)
}

/// What has no place in work that only its window ends.
fn check_open_ended(workout: &Workout) -> Result<(), WorkoutError> {
    if let Some(found) = workout.scoring.tries() {
        return check_attempts(workout, found);
    }
    if workout.body.is_empty() {
        return Err(WorkoutError::AmrapWithoutRound);
    }
    if !workout.cash_out.is_empty() {
        return Err(WorkoutError::AmrapCashOut);
    }
    if workout.finish == FinishRule::FinishCall {
        return Err(WorkoutError::AmrapFinishCall);
    }
    if workout.rounds != 1 {
        return Err(WorkoutError::AmrapRounds { found: workout.rounds });
    }
    Ok(())
}

/// Attempts and holds are of one movement, as often as it is tried.
fn check_attempts(workout: &Workout, found: u8) -> Result<(), WorkoutError> {
    let beside = workout.buy_in.len() + workout.cash_out.len() + workout.scheme.len();
    match workout.body.as_slice() {
        [_] if !(1..=MAX_ATTEMPTS).contains(&found) => {
            Err(WorkoutError::Attempts { found, max: MAX_ATTEMPTS })
        }
        [only] if beside == 0 && workout.rounds == 1 && !only.tie_break => match workout.finish {
            FinishRule::LastUnit => Ok(()),
            FinishRule::FinishCall => Err(WorkoutError::AttemptsAlone),
        },
        _ => Err(WorkoutError::AttemptsAlone),
    }
}

/// What an AMRAP repeats: all but its buy-in.
fn lap_of(workout: &Workout, parts: &[Part]) -> Option<Lap> {
    let Scoring::Amrap { .. } = workout.scoring else { return None };
    let first_part = workout.buy_in.len();
    let first = parts.get(first_part)?;
    Some(Lap { first_part, first_unit: first.first_unit, first_score: first.score_before })
}

fn make_part(
    workout: &Workout,
    planned: &Planned<'_>,
    number: usize,
    first_unit: u32,
    score_before: u32,
) -> Result<Part, WorkoutError> {
    let spec = planned.spec;
    let movement = workout
        .movements
        .get(usize::from(spec.movement.0))
        .ok_or(WorkoutError::MissingMovement { part: number, movement: spec.movement.0 })?;
    let counted_by_scheme = matches!(movement.unit, Unit::Rep | Unit::Calorie);
    let amount = match workout.scoring.tries() {
        Some(tries) => u32::from(tries),
        None => planned.scheme.filter(|_| counted_by_scheme).unwrap_or(spec.amount),
    };
    if amount == 0 {
        return Err(WorkoutError::ZeroAmount { part: number });
    }
    if spec.scores == ScoreRule::PerUnits(0) {
        return Err(WorkoutError::ScorePerZero { part: number });
    }
    // An attempt is one unit, whatever the movement is counted in where it is work.
    let (unit, step) = match workout.scoring {
        Scoring::HeaviestLift { .. } => (Unit::Kilogram, 1),
        Scoring::LongestHold { .. } => (Unit::SecondHeld, 1),
        Scoring::ForTime | Scoring::Amrap { .. } => (movement.unit, movement.step.min(amount)),
    };
    let (closing_blocks, closing_step) =
        if planned.marked { closing(movement, amount, step) } else { (0, 0) };
    Ok(Part {
        movement: movement.name.clone(),
        short_name: movement.short_name.clone(),
        amount,
        unit,
        step,
        several_at_once: movement.several_at_once,
        load: spec.load.clone(),
        round: planned.round,
        first_unit,
        score_before,
        scores: if workout.scoring.judges_attempts() { ScoreRule::PerUnit } else { spec.scores },
        track_start_ppm: 0,
        track_len_ppm: 0,
        expected_ms_per_unit: movement.expected_ms_per_unit,
        tie_break: spec.tie_break,
        closing_blocks,
        closing_step,
        start: movement.start.clone(),
        finish: movement.finish.clone(),
        faults: movement.faults.clone(),
    })
}

/// Gives each part its stretch. Starts are cut down from the running sum of the weights, so that the lengths sum
/// to the whole track whatever the weights are.
fn share_track(parts: &mut [Part], rule: TrackRule) {
    let weight = |part: &Part| match rule {
        TrackRule::ExpectedTime => u64::from(part.amount) * u64::from(part.expected_ms_per_unit),
        TrackRule::Units => u64::from(part.score_of(part.amount)),
    };
    let total = parts.iter().map(weight).sum::<u64>().max(1);
    let mut sum = 0_u64;
    let mut start = 0_u32;
    for part in parts {
        // At most 100,000 units of an hour each, times a million: far below the limit of 64 bits.
        sum += weight(part);
        let end = u32::try_from(sum * TRACK_PPM / total).unwrap_or(u32::MAX);
        part.track_start_ppm = start;
        part.track_len_ppm = end - start;
        start = end;
    }
}

/// Number of closing blocks at the end of a part and units of each (common practice). They lie wholly inside it; work
/// that is not counted in repetitions has them only where its movement declares closing steps.
fn closing(movement: &Movement, amount: u32, step: u32) -> (u8, u32) {
    let blocks = |wanted: u8, there: u32| wanted.min(u8::try_from(there).unwrap_or(u8::MAX));
    if movement.unit == Unit::Rep {
        return (blocks(MAX_CLOSING_BLOCKS, amount), 1);
    }
    match blocks(movement.closing_steps, amount / step) {
        0 => (0, 0),
        blocks => (blocks, step),
    }
}
