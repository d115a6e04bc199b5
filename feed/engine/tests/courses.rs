//! Courses: rounds and schemes, scores, the track's shares, closing blocks, and setups that cannot be run.

mod support;

use fivemark_engine::ids::{LaneNo, MovementIx};
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{FinishRule, ScoreRule, TrackRule, Unit, Workout};
use fivemark_engine::{Course, Heat, HeatSetup, LaneSetup, SetupError, WorkoutError};
use support::{Seeded, amrap, movement, part, setup, workout};

fn course(workout: Workout) -> Course {
    Heat::new(setup(workout, 1)).expect("the workout is sound").courses()[0].clone()
}

#[test]
fn rounds_and_schemes_are_counted_out_between_buy_in_and_cash_out() {
    let mut plan = workout(vec![part(0, 9), part(1, 200)]);
    plan.rounds = 2;
    plan.buy_in = vec![part(2, 20)];
    plan.cash_out = vec![part(0, 7)];
    let amounts = |plan: &Workout| -> Vec<(u32, u32)> {
        course(plan.clone()).parts.iter().map(|part| (part.amount, part.round)).collect()
    };
    assert_eq!(amounts(&plan), [(20, 0), (9, 1), (200, 1), (9, 2), (200, 2), (7, 0)]);
    // A scheme sets repetitions and calories per round; the run between keeps its metres.
    plan.scheme = vec![21, 15, 9];
    let want = [(20, 0), (21, 1), (200, 1), (15, 2), (200, 2), (9, 3), (200, 3), (7, 0)];
    assert_eq!(amounts(&plan), want);
}

#[test]
fn each_part_scores_by_its_own_rule() {
    let mut run = part(1, 400);
    run.scores = ScoreRule::WhenDone(4);
    let mut row = part(2, 50);
    row.scores = ScoreRule::PerUnits(10);
    let course = course(workout(vec![part(0, 10), run, row]));
    assert_eq!((course.units, course.score_units), (460, 19));
    #[track_caller]
    fn check(course: &Course, done: u32, part: usize, score: u32) {
        assert_eq!((course.place(done).part, course.score_at(done)), (part, score), "after {done} units");
    }
    check(&course, 0, 0, 0);
    check(&course, 9, 0, 9);
    check(&course, 10, 1, 10);
    check(&course, 409, 1, 10); // The run scores nothing until it is done.
    check(&course, 410, 2, 14);
    check(&course, 429, 2, 15);
    check(&course, 459, 2, 18);
    check(&course, 460, 3, 19);
    check(&course, u32::MAX, 3, 19);
}

#[test]
fn the_track_is_shared_by_expected_time_or_by_score() {
    let mut run = part(1, 400); // 400 m at 300 ms: 120 s
    run.scores = ScoreRule::WhenDone(2);
    let mut plan = workout(vec![part(0, 10), run, part(0, 6)]); // 30 s, 120 s, 18 s of 168 s
    let shares = |plan: &Workout| -> Vec<u32> {
        course(plan.clone()).parts.iter().map(|part| part.track_len_ppm).collect()
    };
    // Ends at 30/168 = 178,571.4 and 150/168 = 892,857.1 millionths, cut down.
    assert_eq!(shares(&plan), [178_571, 714_286, 107_143]);
    plan.track = TrackRule::Units;
    // 10, 2 and 6 of 18 score units.
    assert_eq!(shares(&plan), [555_555, 111_111, 333_334]);
}

#[test]
fn the_shares_sum_to_the_whole_track_whatever_the_weights() {
    let mut seeded = Seeded(7);
    for _ in 0..500 {
        let parts = 1 + seeded.below(40);
        let body =
            (0..parts).map(|_| part(0, 1 + u32::try_from(seeded.below(500)).expect("in range"))).collect();
        let mut plan = workout(body);
        plan.movements[0].expected_ms_per_unit =
            1 + u32::try_from(seeded.below(3_600_000)).expect("in range");
        let course = course(plan);
        let mut start = 0;
        for part in &course.parts {
            assert_eq!(part.track_start_ppm, start);
            start += part.track_len_ppm;
        }
        assert_eq!(start, 1_000_000);
    }
}

#[test]
fn closing_blocks_lie_in_the_last_part() {
    #[track_caller]
    fn check(plan: Workout, want: (u8, u32)) {
        let course = course(plan);
        assert_eq!((course.closing_blocks, course.closing_step), want);
    }
    check(workout(vec![part(0, 30)]), (5, 1));
    check(workout(vec![part(0, 30), part(0, 3)]), (3, 1)); // Common practice: three blocks for three.
    check(workout(vec![part(0, 30), part(1, 400)]), (0, 0));
    let mut carry = workout(vec![part(0, 30), part(3, 50)]);
    carry.movements.push(movement("carry", Unit::Metre, 10, 500));
    carry.movements[3].closing_steps = 3;
    check(carry.clone(), (3, 10));
    carry.movements[3].closing_steps = 5;
    carry.body[1].amount = 25;
    check(carry.clone(), (2, 10)); // Only two whole steps fit.
    carry.body[1].amount = 8;
    check(carry, (1, 8)); // The part is shorter than a step.
}

#[test]
fn a_step_never_exceeds_its_part() {
    let course = course(workout(vec![part(1, 20), part(1, 120)]));
    assert_eq!((course.parts[0].step, course.parts[1].step), (20, 50));
}

#[track_caller]
fn check_workout(change: impl FnOnce(&mut Workout), want: WorkoutError) {
    let mut plan = workout(vec![part(0, 10), part(1, 100)]);
    change(&mut plan);
    let workout = plan.name.clone();
    let error = Heat::new(setup(plan, 1)).expect_err("the workout is at fault");
    assert_eq!(error, SetupError::Workout { workout, fault: want });
    assert!(error.to_string().starts_with("workout \"Harbour Steps\": "), "{error}");
}

#[test]
fn workouts_that_cannot_be_done_are_named() {
    let squat = || "squat".to_owned();
    check_workout(|plan| plan.body.clear(), WorkoutError::NoParts);
    check_workout(|plan| plan.rounds = 0, WorkoutError::NoRounds);
    check_workout(
        |plan| plan.rounds = 1_000_000_000,
        WorkoutError::TooManyParts { found: 2_000_000_000, max: 1_000 },
    );
    check_workout(|plan| plan.body[1].amount = 0, WorkoutError::ZeroAmount { part: 2 });
    check_workout(|plan| plan.scheme = vec![21, 0], WorkoutError::ZeroAmount { part: 3 });
    let too_many = WorkoutError::TooManyUnits { part: 1, max: 100_000 };
    check_workout(|plan| plan.body[0].amount = 1_000_000_000, too_many);
    let too_many = WorkoutError::TooManyUnits { part: 2, max: 100_000 };
    check_workout(|plan| plan.body[1].amount = u32::MAX, too_many);
    let missing = WorkoutError::MissingMovement { part: 2, movement: 9 };
    check_workout(|plan| plan.body[1].movement = MovementIx(9), missing);
    check_workout(
        |plan| plan.body[0].scores = ScoreRule::PerUnits(0),
        WorkoutError::ScorePerZero { part: 1 },
    );
    let too_many = WorkoutError::TooManyScoreUnits { part: 1, max: 1_000_000 };
    check_workout(|plan| plan.body[0].scores = ScoreRule::WhenDone(u32::MAX), too_many);
    let nothing =
        |plan: &mut Workout| plan.body.iter_mut().for_each(|part| part.scores = ScoreRule::WhenDone(0));
    check_workout(nothing, WorkoutError::NothingScored);
    check_workout(|plan| plan.movements[0].step = 0, WorkoutError::ZeroStep { movement: squat() });
    let expected = WorkoutError::ExpectedTime { movement: squat(), found: 0, max: 3_600_000 };
    check_workout(|plan| plan.movements[0].expected_ms_per_unit = 0, expected);
    let steps = WorkoutError::ClosingSteps { movement: squat(), found: 6, max: 5 };
    check_workout(|plan| plan.movements[0].closing_steps = 6, steps);
    let twice = WorkoutError::FaultCode { movement: squat(), code: "squat-depth".into() };
    check_workout(|plan| plan.movements[0].faults[1].code = "squat-depth".into(), twice);
    let cap = WorkoutError::Cap { found_ms: 0, max_ms: 86_400_000 };
    check_workout(|plan| plan.clock.cap = SpanMs(0), cap);
    let countdown = WorkoutError::Countdown { found_ms: -1, max_ms: 3_600_000 };
    check_workout(|plan| plan.clock.countdown = SpanMs(-1), countdown);
    let penalty = WorkoutError::PenaltyPerUnit { found_ms: -1, max_ms: 86_400_000 };
    check_workout(|plan| plan.clock.penalty_per_unit = SpanMs(-1), penalty);
}

#[test]
fn heats_that_cannot_be_run_are_named() {
    #[track_caller]
    fn check(change: impl FnOnce(&mut HeatSetup), want: SetupError) {
        let mut plan = setup(workout(vec![part(0, 10)]), 3);
        change(&mut plan);
        assert_eq!(Heat::new(plan).expect_err("the setup is at fault"), want);
    }
    check(|plan| plan.lanes.clear(), SetupError::NoLanes);
    check(|plan| plan.lanes[2].lane = LaneNo(1), SetupError::DuplicateLane(LaneNo(1)));
    check(|plan| plan.lanes[2].lane = LaneNo(0), SetupError::LaneOutOfRange(0));
    check(|plan| plan.lanes[2].lane = LaneNo(41), SetupError::LaneOutOfRange(41));
    let unknown = SetupError::UnknownWorkout { lane: LaneNo(2), workout: 1 };
    check(|plan| plan.lanes[1].workout = 1, unknown);
    check(|plan| plan.workouts.clear(), SetupError::WorkoutCount { found: 0, max: 16 });
    let many = |plan: &mut HeatSetup| plan.workouts = vec![plan.workouts[0].clone(); 17];
    check(many, SetupError::WorkoutCount { found: 17, max: 16 });
    let other_clock = |plan: &mut HeatSetup| {
        let mut other = plan.workouts[0].clone();
        other.name = "Late Tide".into();
        other.clock.cap = SpanMs(1);
        plan.workouts.push(other);
    };
    check(other_clock, SetupError::ClocksDiffer { workout: "Late Tide".into() });
}

#[test]
fn forty_lanes_in_any_order_stand_in_lane_order() {
    let mut plan = setup(workout(vec![part(0, 10)]), 40);
    plan.lanes.reverse();
    let heat = Heat::new(plan).unwrap();
    let lanes: Vec<u8> = heat.order().iter().map(|row| row.lane.0).collect();
    assert_eq!(lanes, (1..=40).collect::<Vec<u8>>());
}

#[test]
fn a_course_that_ends_across_a_line_says_so() {
    let mut plan = workout(vec![part(0, 10)]);
    assert!(!course(plan.clone()).finish_call);
    plan.finish = FinishRule::FinishCall;
    assert!(course(plan).finish_call);
}

#[test]
fn a_lane_without_an_athlete_stands_empty() {
    let mut plan = setup(workout(vec![part(0, 10)]), 1);
    plan.lanes.push(LaneSetup {
        lane: LaneNo(2),
        division: 0,
        workout: 0,
        occupied: false,
        start: SpanMs(0),
    });
    let heat = Heat::new(plan).unwrap();
    assert_eq!(heat.state().starters, 1);
}

#[test]
fn an_amrap_that_cannot_be_done_says_why() {
    #[track_caller]
    fn check(change: impl FnOnce(&mut Workout), want: WorkoutError) {
        let mut plan = amrap(vec![part(0, 5)]);
        change(&mut plan);
        let workout = plan.name.clone();
        assert_eq!(Heat::new(setup(plan, 2)), Err(SetupError::Workout { workout, fault: want }));
    }
    check(|plan| plan.rounds = 3, WorkoutError::AmrapRounds { found: 3 });
    check(|plan| plan.cash_out = vec![part(0, 1)], WorkoutError::AmrapCashOut);
    check(|plan| plan.finish = FinishRule::FinishCall, WorkoutError::AmrapFinishCall);
    check(|plan| plan.buy_in = std::mem::take(&mut plan.body), WorkoutError::AmrapWithoutRound);
    // A buy-in that scores does not help a round that never does.
    check(
        |plan| {
            plan.buy_in = vec![part(0, 1)];
            plan.body[0].scores = ScoreRule::WhenDone(0);
        },
        WorkoutError::NothingScored,
    );
    let mut plan = setup(amrap(vec![part(0, 5)]), 2);
    plan.workouts.push(workout(vec![part(0, 5)]));
    plan.workouts[1].clock = plan.workouts[0].clock;
    let workout = plan.workouts[1].name.clone();
    assert_eq!(Heat::new(plan), Err(SetupError::ScoringsDiffer { workout }));
}

#[test]
fn every_part_may_end_with_the_mark() {
    // Nine squats, 100 m of running in steps of 50 with two closing steps, three squats.
    let mut plan = workout(vec![part(0, 9), part(1, 100), part(0, 3)]);
    plan.movements[1].closing_steps = 2;
    let marks = |plan: Workout| {
        let heat = Heat::new(setup(plan, 1)).unwrap();
        let course = heat.courses()[0].clone();
        [3, 4, 8, 9, 59, 108, 109, 111, 112].map(|done| course.to_go(course.place(done)))
    };
    let none = None::<u32>;
    assert_eq!(marks(plan.clone()), [none, none, none, none, none, none, Some(3), Some(1), Some(0)]);
    plan.mark_every_part = true;
    let every = [none, Some(5), Some(1), Some(100), Some(50), Some(1), Some(3), Some(1), Some(0)];
    assert_eq!(marks(plan.clone()), every);
    // An AMRAP has no end of its own; its parts have.
    let mut plan = amrap(vec![part(0, 9)]);
    plan.mark_every_part = true;
    let heat = Heat::new(setup(plan, 1)).unwrap();
    let course = &heat.courses()[0];
    assert_eq!(course.closing_blocks, 0);
    assert_eq!(
        [3, 4, 9, 12, 13].map(|done| course.to_go(course.place(done))),
        [none, Some(5), none, none, Some(5)]
    );
}
