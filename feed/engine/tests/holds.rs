//! Longest hold: from the judge's start to the stop, ended by the window or by a hold of the heat, cut like an official
//! time.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{Resolution, Rounding, Scoring, Unit};
use fivemark_engine::{HeatSetup, NotCounted, Outcome, Refused, State, Status};
use support::{GO, Rig, part, set_count, setup, status, workout};

/// A window of two minutes for three lanes.
fn plan(holds: u8) -> HeatSetup {
    let mut plan = workout(vec![part(0, 1)]);
    plan.scoring = Scoring::LongestHold { holds };
    plan.clock.cap = SpanMs(120_000);
    setup(plan, 3)
}

fn hold(rig: &mut Rig, lane: u8, from_ms: i64, to_ms: i64) {
    assert!(matches!(rig.say(lane, from_ms, Call::HoldStart), Outcome::Applied { .. }));
    assert!(matches!(rig.say(lane, to_ms, Call::HoldStop), Outcome::Applied { .. }));
}

fn why(outcome: Outcome) -> NotCounted {
    match outcome {
        Outcome::NotCounted { why, .. } => why,
        outcome => panic!("{outcome:?}"),
    }
}

#[test]
fn the_longest_hold_wins_and_equal_ones_share() {
    // Lane 1 holds 40.02 s and lane 2 40.08 s, both 40.1 cut up to tenths; lane 3 holds 61.5 s.
    let mut rig = Rig::started(plan(1));
    hold(&mut rig, 1, 5_000, 45_020);
    hold(&mut rig, 2, 50_000, 90_080);
    assert_eq!((rig.places(), rig.lane(2).score), (vec![1, 1, 0], 40_100));
    assert_eq!(rig.say(3, 91_000, Call::HoldStart), Outcome::Applied { done: 1 });
    assert_eq!(rig.lane(3).tries.unwrap().holding, Some(SpanMs(91_000)));
    assert_eq!((rig.lane(3).status, rig.lane(1).status), (Status::Racing, Status::Finished));
    rig.pass(GO + 123_000);
    // Lane 3's hold ends with the window: 29 s.
    assert_eq!(
        (rig.texts(), rig.places()),
        (vec!["0:40.1".into(), "0:40.1".into(), "0:29.0".into()], vec![1, 1, 3])
    );
    assert_eq!(rig.lane(3).tries.unwrap().holding, None);
    assert_eq!(rig.heat.courses()[0].parts[0].unit, Unit::SecondHeld);
    rig.replays(plan(1));
}

#[test]
fn a_hold_is_cut_by_the_events_rule() {
    for (resolution, rounding, want) in [
        (Resolution::Second, Rounding::Up, "0:41"),
        (Resolution::Second, Rounding::Down, "0:40"),
        (Resolution::Tenth, Rounding::Down, "0:40.0"),
        (Resolution::Hundredth, Rounding::Up, "0:40.03"),
    ] {
        let mut plan = plan(1);
        (plan.workouts[0].clock.resolution, plan.workouts[0].clock.rounding) = (resolution, rounding);
        let mut rig = Rig::started(plan);
        hold(&mut rig, 1, 5_000, 45_021);
        assert_eq!(rig.text(1), want);
    }
}

#[test]
fn the_best_of_several_holds_counts() {
    let mut rig = Rig::started(plan(3));
    hold(&mut rig, 1, 5_000, 25_000);
    hold(&mut rig, 1, 30_000, 65_000);
    assert_eq!((rig.lane(1).status, rig.lane(1).score, rig.lane(1).done), (Status::Racing, 35_000, 2));
    hold(&mut rig, 1, 70_000, 75_000);
    assert_eq!((rig.lane(1).status, rig.text(1)), (Status::Finished, "0:35.0".into()));
    assert_eq!(why(rig.say(1, 80_000, Call::HoldStart)), NotCounted::NoAttemptLeft);
}

#[test]
fn a_stop_needs_a_start_and_the_other_way_round() {
    let mut rig = Rig::started(plan(2));
    assert_eq!(why(rig.say(1, 1_000, Call::HoldStop)), NotCounted::HoldNotStarted);
    rig.say(1, 2_000, Call::HoldStart);
    assert_eq!(why(rig.say(1, 3_000, Call::HoldStart)), NotCounted::HoldUnderWay);
    for call in [Call::Good, Call::NoRep, Call::LastWasNoRep, Call::AttemptGood, Call::DeclareLoad] {
        assert_eq!(why(rig.say(1, 4_000, call)), NotCounted::CallDoesNotFit);
    }
}

#[test]
fn undo_lets_a_hold_go_on_or_takes_its_start_back() {
    let mut rig = Rig::started(plan(1));
    hold(&mut rig, 1, 5_000, 30_000);
    assert_eq!(rig.lane(1).status, Status::Finished);
    rig.say(1, 31_000, Call::Undo);
    assert_eq!(
        (rig.lane(1).status, rig.lane(1).tries.unwrap().holding),
        (Status::Racing, Some(SpanMs(5_000)))
    );
    rig.say(1, 40_000, Call::HoldStop);
    assert_eq!(rig.text(1), "0:35.0");
    rig.say(2, 50_000, Call::HoldStart);
    rig.say(2, 51_000, Call::Undo);
    assert_eq!((rig.lane(2).done, rig.lane(2).tries.unwrap().holding), (0, None));
}

#[test]
fn a_hold_of_the_heat_ends_the_hold_under_way() {
    let mut rig = Rig::started(plan(2));
    rig.say(1, 10_000, Call::HoldStart);
    rig.say(2, 12_000, Call::HoldStart);
    rig.floor(GO + 20_000, Floor::Hold);
    assert_eq!((rig.lane(1).score, rig.lane(1).tries.unwrap().holding), (10_000, None));
    assert_eq!(why(rig.say(1, 22_000, Call::HoldStop)), NotCounted::DuringHold);
    rig.floor(GO + 60_000, Floor::Resume);
    rig.pass(GO + 70_000);
    // The clock goes on from 20 s. A stop now ends nothing; a new start is the second hold.
    assert_eq!(why(rig.say(1, 71_000, Call::HoldStop)), NotCounted::HoldNotStarted);
    hold(&mut rig, 1, 72_000, 87_000);
    assert_eq!((rig.lane(1).score, rig.lane(2).score), (15_000, 8_000));
    rig.replays(plan(2));
}

#[test]
fn a_late_stop_counts_from_its_tap_and_takes_the_windows_end_back() {
    let mut rig = Rig::started(plan(1));
    rig.say(1, 10_000, Call::HoldStart);
    let late = rig.tap(1, 115_000, Call::HoldStop);
    rig.pass(GO + 121_000);
    assert_eq!(rig.text(1), "1:50.0");
    rig.tally(GO + 121_500, late);
    assert_eq!((rig.text(1), rig.lane(1).flagged), ("1:45.0".into(), true));
}

#[test]
fn time_called_early_ends_a_hold_where_it_was_called() {
    let mut rig = Rig::started(plan(1));
    rig.say(1, 10_000, Call::HoldStart);
    rig.floor(GO + 50_000, Floor::CallTime);
    assert_eq!(rig.text(1), "0:40.0");
    rig.replays(plan(1));
}

#[test]
fn a_lane_with_a_start_of_its_own_holds_to_the_end_of_its_own_window() {
    let mut staggered = plan(1);
    staggered.lanes[1].start = SpanMs(30_000);
    let mut rig = Rig::started(staggered);
    rig.say(1, 100_000, Call::HoldStart);
    rig.say(2, 100_000, Call::HoldStart);
    rig.pass(GO + 125_000);
    assert_eq!((rig.text(1), rig.text(2)), ("0:20.0".into(), String::new()));
    rig.pass(GO + 155_000);
    assert_eq!((rig.text(2), rig.places()), ("0:50.0".into(), vec![2, 1, 3]));
}

#[test]
fn the_time_held_can_be_ruled() {
    let mut rig = Rig::started(plan(1));
    hold(&mut rig, 1, 10_000, 40_000);
    rig.ruled(50_000, 1, RulingKind::SetHeld(SpanMs(28_440)));
    assert_eq!(rig.text(1), "0:28.5");
    rig.ruled(51_000, 2, RulingKind::SetHeld(SpanMs(30_000)));
    assert_eq!(rig.places(), [2, 1, 0]);
    let too_long = RulingKind::SetHeld(SpanMs(52_001));
    assert_eq!(
        rig.rule(GO + 52_000, 1, too_long),
        Outcome::Refused(Refused::HeldOutOfRange { longest_ms: 52_000 })
    );
    let refused = Outcome::Refused(Refused::DoesNotFitScoring { attempts: true });
    assert_eq!(rig.rule(GO + 53_000, 1, set_count(1, None)), refused);
    rig.pass(GO + 123_000);
    rig.ruled(124_000, 1, RulingKind::SetHeld(SpanMs(0)));
    assert_eq!(
        (rig.texts(), rig.places()),
        (vec!["no mark".into(), "0:30.0".into(), "no mark".into()], vec![2, 1, 2])
    );
    rig.ruled(125_000, 3, status(StatusRuling::DidNotStart));
    assert_eq!(rig.places(), [2, 1, 0]);
}

#[test]
fn when_every_hold_is_used_time_is_called() {
    let mut rig = Rig::started(plan(1));
    for lane in 1..=3 {
        hold(&mut rig, lane, 5_000 * i64::from(lane), 30_000);
    }
    assert_eq!(rig.state(), State::TimeCalled);
}
