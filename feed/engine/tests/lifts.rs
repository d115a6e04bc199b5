//! Heaviest lift: whole heats worked by hand, what parts equal loads, what does not count, rulings.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{EqualLoads, LoadUnit, Scoring, Unit};
use fivemark_engine::{
    AttemptView, Event, Heat, HeatSetup, NotCounted, Outcome, Refused, SetupError, State, Status,
    WorkoutError, standings,
};
use support::{GO, Rig, part, set_count, setup, status, tie_part, time_penalty, unit_penalty, workout};

/// A window of two minutes for four lanes.
fn plan(attempts: Option<u8>, equal: EqualLoads) -> HeatSetup {
    let mut plan = workout(vec![part(0, 1)]);
    plan.scoring = Scoring::HeaviestLift { unit: LoadUnit::Kilogram, attempts, equal };
    plan.clock.cap = SpanMs(120_000);
    setup(plan, 4)
}

fn three_attempts() -> HeatSetup {
    plan(Some(3), EqualLoads::FewerAttempts)
}

fn judge(rig: &mut Rig, lane: u8, second: i64, call: Call, load_g: u32) -> Outcome {
    let mut tally = rig.tap(lane, second * 1_000, call);
    tally.load_g = Some(load_g);
    rig.tally(GO + second * 1_000, tally)
}

/// Attempts as (lane, second, kilograms, good), each of which counts.
fn lift(rig: &mut Rig, attempts: &[(u8, i64, u32, bool)]) {
    for (lane, second, kg, good) in attempts {
        let call = if *good { Call::AttemptGood } else { Call::AttemptFailed };
        let outcome = judge(rig, *lane, *second, call, kg * 1_000);
        assert!(matches!(outcome, Outcome::Applied { .. }), "lane {lane} at {second}: {outcome:?}");
    }
}

/// In seconds after the start, `x` failed:
///
/// | lane | attempts |
/// | --- | --- |
/// | 1 | 100 at 10, 110 x at 40, 110 at 70 |
/// | 2 | 105 at 20, 110 at 50, 115 x at 80 |
/// | 3 | 110 x at 15, 110 x at 45 |
/// | 4 | 90 at 30, 112 x at 60, 112 at 90 |
fn all() -> Vec<(u8, i64, u32, bool)> {
    let mut all = vec![
        (1, 10, 100, true),
        (1, 40, 110, false),
        (1, 70, 110, true),
        (2, 20, 105, true),
        (2, 50, 110, true),
        (2, 80, 115, false),
        (3, 15, 110, false),
        (3, 45, 110, false),
        (4, 30, 90, true),
        (4, 60, 112, false),
        (4, 90, 112, true),
    ];
    all.sort_by_key(|(_, second, ..)| *second);
    all
}

fn played(plan: HeatSetup) -> Rig {
    let mut rig = Rig::started(plan);
    lift(&mut rig, &all());
    rig.pass(GO + 123_000);
    assert_eq!(rig.state(), State::Provisional);
    rig
}

#[test]
fn the_course_is_one_part_of_attempts() {
    let rig = Rig::new(three_attempts());
    let course = &rig.heat.courses()[0];
    assert!(course.is_open_ended());
    assert_eq!((course.parts.len(), course.units, course.closing_blocks), (1, 3, 0));
    assert_eq!((course.parts[0].unit, course.parts[0].step), (Unit::Kilogram, 1));
    assert_eq!((course.part_at(0), course.part_at(3)), (course.parts.first(), course.parts.first()));
}

#[test]
fn the_heaviest_good_attempt_wins_and_equal_loads_go_by_fewer_attempts() {
    // 112 kg; 110 in two attempts; 110 in three; none.
    let rig = played(three_attempts());
    assert_eq!(rig.texts(), ["110 kg", "110 kg", "no mark", "112 kg"]);
    assert_eq!(rig.places(), [3, 2, 4, 1]);
    let apart: Vec<bool> = rig.heat.order().iter().map(|row| row.tied_apart).collect();
    assert_eq!(apart, [true, true, false, false]);
    let gaps: Vec<_> = rig.heat.order().iter().map(|row| (row.gap_units, row.gap)).collect();
    assert_eq!(gaps, [(Some(2_000), None), (Some(2_000), None), (None, None), (None, None)]);
    assert!((1..=4).all(|lane| rig.lane(lane).status == Status::Finished));
    rig.replays(three_attempts());
}

#[test]
fn equal_loads_go_by_time_or_are_shared_where_the_workout_says_so() {
    // Lane 2 had its 110 at 50 s, lane 1 at 70 s.
    for (equal, places) in [(EqualLoads::Earlier, [3, 2, 4, 1]), (EqualLoads::Shared, [2, 2, 4, 1])] {
        assert_eq!(played(plan(Some(3), equal)).places(), places);
    }
    // In one attempt each, the earlier is first; within the same tenth, rounded up, they share the place.
    for (other, places) in [(20_050, [1, 1, 3, 3]), (20_101, [1, 2, 3, 3])] {
        let mut rig = Rig::started(three_attempts());
        for (lane, at) in [(1, 20_010), (2, other)] {
            let mut tally = rig.tap(lane, at, Call::AttemptGood);
            tally.load_g = Some(100_000);
            rig.tally(GO + at, tally);
        }
        rig.pass(GO + 123_000);
        assert_eq!(rig.places(), places);
    }
    // Fewer attempts weigh more than an earlier time, and the other way round.
    let lifts = [(1, 10, 90, false), (1, 20, 100, true), (2, 100, 100, true)];
    for (equal, places) in [(EqualLoads::FewerAttempts, [2, 1, 3, 3]), (EqualLoads::Earlier, [1, 2, 3, 3])] {
        let mut rig = Rig::started(plan(None, equal));
        lift(&mut rig, &lifts);
        rig.pass(GO + 123_000);
        assert_eq!(rig.places(), places);
    }
}

#[test]
fn the_live_order_is_that_of_the_result() {
    let mut rig = Rig::started(three_attempts());
    assert_eq!(rig.places(), [0, 0, 0, 0]);
    lift(&mut rig, &[(1, 10, 100, true), (3, 15, 110, false), (2, 20, 100, true)]);
    assert_eq!(rig.places(), [1, 2, 0, 0]);
    assert_eq!((rig.text(1), rig.lane(1).score), (String::new(), 100_000));
    assert_eq!((rig.standing(2).gap_units, rig.standing(3).gap_units), (Some(0), None));
    assert_eq!(rig.heat.state().first_on_floor, Some(LaneNo(1)));
    lift(&mut rig, &[(2, 30, 105, true)]);
    assert_eq!((rig.places(), rig.standing(1).gap_units), (vec![2, 1, 0, 0], Some(5_000)));
    assert_eq!(rig.lane(1).to_go, None);
}

#[test]
fn a_lane_that_has_used_its_attempts_has_ended_and_can_still_be_passed() {
    let mut rig = Rig::started(three_attempts());
    lift(&mut rig, &[(1, 10, 100, true), (1, 20, 101, true), (1, 30, 102, false)]);
    assert_eq!((rig.lane(1).status, rig.text(1)), (Status::Finished, "101 kg".into()));
    assert_eq!(rig.heat.state().finished, 1);
    let outcome = judge(&mut rig, 1, 40, Call::AttemptGood, 110_000);
    assert_eq!(outcome, Outcome::NotCounted { why: NotCounted::NoAttemptLeft, done: 3 });
    lift(&mut rig, &[(2, 50, 120, true)]);
    assert_eq!(rig.places(), [2, 1, 0, 0]);
    // When the others have used theirs, time is called; an undo takes that back.
    for lane in 2..=4 {
        let left = if lane == 2 { 2 } else { 3 };
        for index in 0..left {
            lift(&mut rig, &[(lane, 52 + index, 121, false)]);
        }
    }
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.say(4, 55_000, Call::Undo), Outcome::Applied { done: 2 });
    assert_eq!((rig.state(), rig.lane(4).status), (State::Running, Status::Racing));
    rig.replays(three_attempts());
}

#[test]
fn what_is_no_attempt_is_recorded_with_its_reason() {
    let mut rig = Rig::started(three_attempts());
    let why = |outcome| match outcome {
        Outcome::NotCounted { why, .. } => why,
        outcome => panic!("{outcome:?}"),
    };
    assert_eq!(why(rig.say(1, 1_000, Call::AttemptGood)), NotCounted::NoLoad);
    assert_eq!(why(rig.say(1, 1_000, Call::DeclareLoad)), NotCounted::NoLoad);
    for load_g in [0, 1_000_001, u32::MAX] {
        assert_eq!(why(judge(&mut rig, 1, 2, Call::AttemptGood, load_g)), NotCounted::LoadOutOfRange);
        assert_eq!(why(judge(&mut rig, 1, 2, Call::DeclareLoad, load_g)), NotCounted::LoadOutOfRange);
    }
    let others = [Call::Good, Call::NoRep, Call::PartDone, Call::Finish, Call::HoldStart, Call::HoldStop];
    for call in others.into_iter().chain([Call::LastWasNoRep]) {
        assert_eq!(why(judge(&mut rig, 1, 3, call, 100_000)), NotCounted::CallDoesNotFit);
    }
    let mut tally = rig.tap(1, 4_000, Call::AttemptFailed);
    (tally.load_g, tally.fault) = (Some(100_000), Some("none of these".into()));
    assert_eq!(why(rig.tally(GO + 4_000, tally)), NotCounted::UnknownFault);
    let mut tally = rig.tap(1, 5_000, Call::AttemptGood);
    (tally.load_g, tally.shadow) = (Some(200_000), true);
    rig.tally(GO + 5_000, tally);
    assert_eq!((rig.lane(1).done, rig.lane(1).score), (0, 0));
    // After the window, and before the start.
    assert_eq!(why(judge(&mut rig, 1, 121, Call::AttemptGood, 100_000)), NotCounted::AfterCap);
    let mut early = Rig::new(three_attempts());
    early.floor(10_000, Floor::OnDeck);
    assert_eq!(why(judge(&mut early, 1, -5, Call::AttemptGood, 100_000)), NotCounted::BeforeStart);
    // Attempts have no place in other work.
    let mut other = Rig::started(setup(workout(vec![part(0, 5)]), 1));
    assert_eq!(why(judge(&mut other, 1, 1, Call::AttemptGood, 100_000)), NotCounted::CallDoesNotFit);
}

#[test]
fn a_failed_attempt_is_told_with_its_fault_and_the_declared_load_is_shown_until_it_is_judged() {
    let mut rig = Rig::started(three_attempts());
    judge(&mut rig, 1, 5, Call::DeclareLoad, 100_000);
    judge(&mut rig, 1, 6, Call::DeclareLoad, 102_500);
    let tries = rig.lane(1).tries.unwrap();
    assert_eq!((tries.declared_g, tries.attempts.len(), rig.lane(1).done), (Some(102_500), 0, 0));
    let mut tally = rig.tap(1, 9_000, Call::AttemptFailed);
    (tally.load_g, tally.fault) = (Some(102_500), Some("squat-depth".into()));
    rig.tally(GO + 9_000, tally);
    assert!(
        rig.events
            .iter()
            .any(|event| matches!(event, Event::NoRep { fault: Some(fault), .. } if fault == "depth"))
    );
    let tries = rig.lane(1).tries.unwrap();
    let failed = AttemptView { load_g: 102_500, good: false };
    assert_eq!((tries.declared_g, tries.attempts), (None, vec![failed]));
    // Undo passes over what was declared since, and what was declared before stands again.
    judge(&mut rig, 1, 11, Call::DeclareLoad, 105_000);
    assert_eq!(rig.say(1, 12_000, Call::Undo), Outcome::Applied { done: 0 });
    let tries = rig.lane(1).tries.unwrap();
    assert_eq!((tries.declared_g, tries.attempts.len()), (Some(105_000), 0));
    assert_eq!(
        rig.say(1, 20_000, Call::Undo),
        Outcome::NotCounted { why: NotCounted::NothingToUndo, done: 0 }
    );
}

#[test]
fn only_the_latest_twelve_attempts_are_shown() {
    let mut rig = Rig::started(plan(None, EqualLoads::FewerAttempts));
    for index in 0..20 {
        lift(&mut rig, &[(1, 10 + i64::from(index), 100 + index, true)]);
    }
    let attempts = rig.lane(1).tries.unwrap().attempts;
    assert_eq!((attempts.len(), attempts[0].load_g, attempts[11].load_g), (12, 108_000, 119_000));
    assert_eq!(rig.lane(1).done, 20);
}

#[test]
fn a_late_attempt_counts_in_its_place() {
    // Lane 1's 100 kg at 20 s comes in at 125 s: its second attempt, and the 101 kg at 60 s its third.
    let mut rig = Rig::started(three_attempts());
    lift(&mut rig, &[(1, 10, 90, true)]);
    let mut late = rig.tap(1, 20_000, Call::AttemptGood);
    late.load_g = Some(100_000);
    lift(&mut rig, &[(2, 30, 100, false), (2, 40, 100, false), (2, 50, 100, true)]);
    rig.pass(GO + 122_000);
    rig.tally(GO + 122_500, late);
    assert_eq!((rig.texts()[0].as_str(), rig.places()), ("100 kg", vec![1, 2, 3, 3]));
    assert!(rig.lane(1).flagged);
}

#[test]
fn rulings_set_the_best_load_and_other_rulings_are_refused_in_words() {
    // The video shows that lane 1's second attempt, 110 at 40 s, was good: it then needed as many attempts as lane 2,
    // and was earlier.
    let mut rig = played(three_attempts());
    rig.ruled(125_000, 1, RulingKind::SetBestLoad { load_g: 110_000 });
    assert_eq!((rig.text(1), rig.places()), ("110 kg".into(), vec![2, 3, 4, 1]));
    rig.ruled(126_000, 1, RulingKind::SetBestLoad { load_g: 100_000 });
    assert_eq!((rig.text(1), rig.places()), ("100 kg".into(), vec![3, 2, 4, 1]));
    // A load that it never tried counts as reached by its attempts so far, when it was ruled.
    rig.ruled(127_000, 3, RulingKind::SetBestLoad { load_g: 112_000 });
    assert_eq!((rig.text(3), rig.places()), ("112 kg".into(), vec![4, 3, 1, 2]));
    rig.ruled(128_000, 3, RulingKind::SetBestLoad { load_g: 0 });
    assert_eq!((rig.text(3), rig.places()), ("no mark".into(), vec![3, 2, 4, 1]));
    let told: Vec<&str> = rig
        .events
        .iter()
        .filter_map(|event| match event {
            Event::Ruled { says, .. } => Some(says.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(told[2..], ["set the best load to 112 kg", "took the best load away"]);
    let too_much = RulingKind::SetBestLoad { load_g: 1_000_001 };
    assert_eq!(rig.rule(GO + 129_000, 1, too_much), Outcome::Refused(Refused::BestLoadOutOfRange));
    let unfit = [
        set_count(1, None),
        RulingKind::FromPaper { done: 1, finish: None },
        RulingKind::AddUnits(1),
        RulingKind::MoveFinish(SpanMs(1_000)),
        RulingKind::SetHeld(SpanMs(1_000)),
        time_penalty(1_000),
        unit_penalty(1),
    ];
    for kind in unfit {
        let refused = Outcome::Refused(Refused::DoesNotFitScoring { attempts: true });
        assert_eq!(rig.rule(GO + 130_000, 1, kind), refused);
    }
    let mut other = Rig::started(setup(workout(vec![part(0, 5)]), 1));
    for kind in [RulingKind::SetBestLoad { load_g: 1_000 }, RulingKind::SetHeld(SpanMs(5))] {
        let refused = Outcome::Refused(Refused::DoesNotFitScoring { attempts: false });
        assert_eq!(other.rule(GO + 1_000, 1, kind), refused);
    }
    rig.replays(three_attempts());
}

#[test]
fn an_overturned_attempt_counts_where_it_was_made() {
    // Lane 3's second attempt, 110 at 45 s, is ruled good from the first of that load: in one attempt, at 15 s.
    let mut rig = played(three_attempts());
    rig.ruled(125_000, 3, RulingKind::SetBestLoad { load_g: 110_000 });
    assert_eq!((rig.text(3), rig.places()), ("110 kg".into(), vec![4, 3, 2, 1]));
}

#[test]
fn statuses_stand_below_no_mark() {
    let mut rig = played(three_attempts());
    rig.ruled(125_000, 4, status(StatusRuling::DidNotFinish));
    rig.ruled(126_000, 1, status(StatusRuling::Disqualified));
    rig.ruled(127_000, 2, status(StatusRuling::DidNotStart));
    assert_eq!(
        (rig.texts(), rig.places()),
        (vec!["DQ".into(), "DNS".into(), "no mark".into(), "DNF".into()], vec![0, 0, 1, 2])
    );
    rig.ruled(128_000, 1, status(StatusRuling::Reinstated));
    assert_eq!(rig.places(), [1, 0, 2, 3]);
}

#[test]
fn heats_are_ranked_together() {
    let (first, second) = (played(three_attempts()), {
        let mut rig = Rig::started(three_attempts());
        lift(&mut rig, &[(1, 10, 110, true), (2, 20, 111, true), (3, 30, 90, false)]);
        rig.pass(GO + 123_000);
        rig
    });
    let scores: Vec<_> = [&first, &second]
        .iter()
        .flat_map(|rig| (1..=4).map(|lane| rig.heat.score(LaneNo(lane)).unwrap()).collect::<Vec<_>>())
        .collect();
    // 112; 111; 110 in one, in two, in three attempts; and three without a mark share the sixth place.
    assert_eq!(standings(&scores), [5, 4, 6, 1, 3, 2, 6, 6]);
}

#[test]
fn plans_that_cannot_be_judged_are_named() {
    let fault = |change: &dyn Fn(&mut fivemark_engine::workout::Workout)| {
        let mut setup = three_attempts();
        change(&mut setup.workouts[0]);
        match Heat::new(setup) {
            Err(SetupError::Workout { fault, .. }) => fault,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(fault(&|plan| plan.body.push(part(0, 1))), WorkoutError::AttemptsAlone);
    assert_eq!(fault(&|plan| plan.body.clear()), WorkoutError::AttemptsAlone);
    assert_eq!(fault(&|plan| plan.buy_in.push(part(0, 1))), WorkoutError::AttemptsAlone);
    assert_eq!(fault(&|plan| plan.rounds = 2), WorkoutError::AttemptsAlone);
    assert_eq!(fault(&|plan| plan.body = vec![tie_part(0, 1)]), WorkoutError::AttemptsAlone);
    for found in [0, 101] {
        let scoring = Scoring::LongestHold { holds: found };
        assert_eq!(fault(&|plan| plan.scoring = scoring), WorkoutError::Attempts { found, max: 100 });
    }
}
