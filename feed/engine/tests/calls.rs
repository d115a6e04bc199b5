//! What each call of a judge does, and why some do not count.

mod support;

use fivemark_engine::command::{Call, StatusRuling};
use fivemark_engine::ids::{DeviceId, LaneNo};
use fivemark_engine::workout::{FinishRule, ScoreRule, Unit};
use fivemark_engine::{Event, NotCounted, Outcome, Refused, Said, State, Status, Verdict};
use support::{GO, Rig, movement, part, set_count, setup, status, workout};

fn squats(count: u32) -> Rig {
    Rig::started(setup(workout(vec![part(0, count)]), 2))
}

fn not(why: NotCounted, done: u32) -> Outcome {
    Outcome::NotCounted { why, done }
}

fn ok(done: u32) -> Outcome {
    Outcome::Applied { done }
}

#[test]
fn calls_before_the_start_and_after_the_cap_do_not_count() {
    let mut rig = squats(10);
    assert_eq!(rig.say(1, -1, Call::Good), not(NotCounted::BeforeStart, 0));
    assert_eq!(rig.say(1, 0, Call::Good), ok(1));
    let at_the_cap = rig.tap(1, 600_000, Call::Good);
    let after_it = rig.tap(1, 600_001, Call::Good);
    assert_eq!(rig.tally(GO + 600_050, at_the_cap), ok(2));
    assert_eq!(rig.tally(GO + 600_060, after_it), not(NotCounted::AfterCap, 2));
    assert_eq!((rig.lane(1).status, rig.text(1)), (Status::Capped, "2 of 10".into()));
    // The one that counted came in after time was called, so the head judge looks at it.
    assert!(rig.lane(1).flagged);
    assert!(!rig.lane(2).flagged);
}

#[test]
fn calls_on_an_ended_lane_do_not_count() {
    let mut rig = squats(2);
    rig.goods(1, 1_000, 1_000, 2);
    assert_eq!(rig.say(1, 3_000, Call::Good), not(NotCounted::PastEnd, 2));
    assert_eq!(rig.say(1, 3_000, Call::NoRep), not(NotCounted::LaneEnded, 2));
    rig.rule(GO + 3_500, 2, status(StatusRuling::DidNotFinish));
    assert_eq!(rig.say(2, 3_600, Call::Good), not(NotCounted::LaneEnded, 0));
    assert_eq!(rig.say(2, 3_700, Call::Undo), not(NotCounted::LaneEnded, 0));
    assert_eq!(rig.heat.record(LaneNo(2)).map(<[_]>::len), Some(3));
}

#[test]
fn calls_for_lanes_that_are_not_there_are_refused() {
    let mut plan = setup(workout(vec![part(0, 3)]), 2);
    plan.lanes[1].occupied = false;
    let mut rig = Rig::started(plan);
    assert_eq!(rig.say(2, 100, Call::Good), not(NotCounted::EmptyLane, 0));
    let mut tally = rig.tap(1, 200, Call::Good);
    tally.lane = LaneNo(9);
    assert_eq!(rig.tally(GO + 200, tally), Outcome::Refused(Refused::UnknownLane(LaneNo(9))));
    let mut tally = rig.tap(1, 200, Call::Good);
    tally.number = 0;
    assert_eq!(rig.tally(GO + 200, tally), Outcome::Refused(Refused::NumberZero));
    let mut tally = rig.tap(1, 200, Call::Good);
    tally.device = DeviceId("x".repeat(65));
    assert_eq!(rig.tally(GO + 200, tally), Outcome::Refused(Refused::TooLong("device's name", 64)));
    assert_eq!(rig.lane(2).status, Status::Empty);
}

#[test]
fn a_call_of_another_scoring_does_not_fit() {
    let mut rig = squats(3);
    for call in [Call::AttemptGood, Call::AttemptFailed, Call::HoldStart, Call::HoldStop, Call::Finish] {
        assert_eq!(rig.say(1, 100, call), not(NotCounted::CallDoesNotFit, 0), "{call:?}");
    }
    assert_eq!(rig.say(1, 100, Call::PartDone), not(NotCounted::CallDoesNotFit, 0));
}

#[test]
fn amounts_come_in_whole_steps_of_the_present_part() {
    // 120 m in 50 m steps, then 6 calories entered several at once, in steps of 2, then 3 squats.
    let mut plan = workout(vec![part(1, 120), part(2, 6), part(0, 3)]);
    plan.movements[2].several_at_once = true;
    plan.movements[2].step = 2;
    let mut rig = Rig::started(setup(plan, 1));
    let mut at = 0;
    let mut amount = |rig: &mut Rig, amount: u32, want: Outcome| {
        at += 100;
        let mut tally = rig.tap(1, at, Call::Good);
        tally.amount = amount;
        assert_eq!(rig.tally(GO + at, tally), want, "amount {amount}");
    };
    amount(&mut rig, 0, ok(50));
    amount(&mut rig, 50, ok(100));
    amount(&mut rig, 50, not(NotCounted::CallDoesNotFit, 100));
    // The last step is cut to what is left.
    amount(&mut rig, 0, ok(120));
    amount(&mut rig, 3, not(NotCounted::CallDoesNotFit, 120));
    amount(&mut rig, 4, ok(124));
    // More than is left of the part.
    amount(&mut rig, 4, not(NotCounted::CallDoesNotFit, 124));
    amount(&mut rig, 2, ok(126));
    // Squats are called one by one.
    amount(&mut rig, 2, not(NotCounted::CallDoesNotFit, 126));
    amount(&mut rig, 1, ok(127));
    amount(&mut rig, u32::MAX, not(NotCounted::CallDoesNotFit, 127));
}

#[test]
fn part_done_completes_the_part() {
    let mut run = part(1, 400);
    run.scores = ScoreRule::WhenDone(4);
    let mut rig = Rig::started(setup(workout(vec![run, part(0, 3)]), 1));
    rig.goods(1, 100, 100, 2);
    // Metres never count as repetitions: the run scores when it is done.
    assert_eq!((rig.lane(1).done, rig.lane(1).score), (100, 0));
    assert_eq!(rig.say(1, 1_000, Call::PartDone), ok(400));
    assert_eq!((rig.lane(1).score, rig.lane(1).part, rig.lane(1).part_done), (4, 1, 0));
    assert_eq!(rig.say(1, 1_100, Call::PartDone), not(NotCounted::CallDoesNotFit, 400));
}

#[test]
fn no_reps_name_a_fault_of_the_present_movement() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 1), part(2, 3)]), 1));
    let no_rep = |rig: &mut Rig, at: i64, fault: Option<&str>| {
        let mut tally = rig.tap(1, at, Call::NoRep);
        tally.fault = fault.map(str::to_owned);
        rig.tally(GO + at, tally)
    };
    assert_eq!(no_rep(&mut rig, 100, Some("squat-depth")), ok(0));
    assert_eq!(no_rep(&mut rig, 200, None), ok(0));
    assert_eq!(no_rep(&mut rig, 300, Some("row-depth")), not(NotCounted::UnknownFault, 0));
    rig.goods(1, 400, 100, 1);
    assert_eq!(no_rep(&mut rig, 500, Some("squat-depth")), not(NotCounted::UnknownFault, 1));
    // Common practice: a partial fault is recorded and never takes the count back.
    assert_eq!(no_rep(&mut rig, 600, Some("row-jump")), ok(1));
    assert_eq!(rig.lane(1).no_reps, 3);
    let shown: Vec<_> = rig
        .events
        .iter()
        .filter_map(|event| match event {
            Event::NoRep { fault, partial, at, .. } => Some((fault.as_deref(), *partial, at.0 - GO)),
            _ => None,
        })
        .collect();
    assert_eq!(shown, [(Some("depth"), false, 100), (None, false, 200), (Some("jump"), true, 600)]);
}

#[test]
fn last_was_no_rep_takes_the_last_good_call_back() {
    let mut rig = squats(10);
    assert_eq!(rig.say(1, 100, Call::LastWasNoRep), not(NotCounted::NothingToUndo, 0));
    rig.goods(1, 200, 1_000, 3);
    assert_eq!(rig.say(1, 60_000, Call::LastWasNoRep), ok(2));
    assert_eq!(rig.say(1, 60_100, Call::LastWasNoRep), ok(1));
    assert_eq!((rig.lane(1).no_reps, rig.lane(1).last_good.map(|at| at.0 - GO)), (2, Some(200)));
    // Undone, the second one gives its repetition back.
    assert_eq!(rig.say(1, 60_200, Call::Undo), ok(2));
    assert_eq!(rig.lane(1).no_reps, 1);
    let record = rig.heat.record(LaneNo(1)).unwrap();
    assert_eq!(record[2].verdict, Verdict::Counted { units: 1 });
    assert_eq!(record[3].verdict, Verdict::TakenBack { by: 4 });
    assert_eq!(record[5].verdict, Verdict::TakenBack { by: 6 });
}

#[test]
fn undo_takes_back_the_devices_own_last_call_within_five_seconds() {
    let mut rig = squats(10);
    assert_eq!(rig.say(1, 50, Call::Undo), not(NotCounted::NothingToUndo, 0));
    rig.goods(1, 1_000, 1_000, 3);
    assert_eq!(rig.say(1, 8_000, Call::Undo), ok(2)); // Exactly 5 s after the call at 3 s.
    assert_eq!(rig.say(1, 8_000, Call::Undo), not(NotCounted::UndoTooLate, 2)); // 6 s after the one at 2 s.
    assert_eq!(rig.say(1, 9_000, Call::NoRep), ok(2));
    assert_eq!(rig.say(1, 9_500, Call::Undo), ok(2));
    assert_eq!(rig.lane(1).no_reps, 0);
    // Another device cannot take back this one's calls.
    rig.goods(1, 10_000, 100, 1);
    rig.phone(1).device = DeviceId("another".into());
    rig.phone(1).next = 1;
    assert_eq!(rig.say(1, 10_200, Call::Undo), not(NotCounted::NothingToUndo, 3));
}

#[test]
fn undo_takes_back_a_call_that_did_not_count_before_the_one_that_did() {
    let mut rig = squats(1);
    rig.goods(1, 1_000, 0, 1);
    assert_eq!(rig.say(1, 1_100, Call::Good), not(NotCounted::PastEnd, 1));
    assert_eq!(rig.say(1, 2_000, Call::Undo), ok(1));
    assert_eq!(rig.lane(1).status, Status::Finished);
    assert_eq!(rig.say(1, 2_100, Call::Undo), ok(0));
    assert_eq!(rig.lane(1).status, Status::Racing);
}

#[test]
fn undoing_the_finishing_call_reopens_the_lane_and_the_heat() {
    let mut rig = squats(3);
    rig.goods(2, 1_000, 100, 3);
    rig.goods(1, 60_000, 1_000, 3);
    assert_eq!(rig.state(), State::TimeCalled);
    rig.pass(GO + 65_500);
    assert_eq!(rig.state(), State::Provisional);
    assert_eq!(rig.say(1, 66_000, Call::Undo), ok(2));
    assert_eq!((rig.state(), rig.lane(1).status), (State::Running, Status::Racing));
    assert_eq!(rig.lane(1).to_go, Some(1));
    assert_eq!(rig.say(1, 70_000, Call::Good), ok(3));
    assert_eq!((rig.state(), rig.text(1)), (State::TimeCalled, "1:10.0".into()));
}

#[test]
fn an_undo_that_arrives_after_the_cap_lets_later_calls_count_to_the_cap() {
    let mut rig = squats(3);
    rig.goods(2, 1_000, 100, 3);
    rig.goods(1, 590_000, 1_000, 3);
    assert_eq!(rig.state(), State::TimeCalled);
    let undo = rig.tap(1, 593_000, Call::Undo);
    let good = rig.tap(1, 599_000, Call::Good);
    assert_eq!(rig.tally(GO + 601_000, undo), ok(2));
    assert_eq!((rig.state(), rig.lane(1).status), (State::TimeCalled, Status::Capped));
    assert_eq!(rig.tally(GO + 601_100, good), ok(3));
    assert_eq!(rig.text(1), "9:59.0");
}

#[test]
fn last_was_no_rep_reopens_a_finish_only_at_once_and_by_its_own_judge() {
    let mut rig = squats(2);
    rig.goods(1, 1_000, 1_000, 2);
    assert_eq!(rig.say(1, 7_001, Call::LastWasNoRep), not(NotCounted::LaneEnded, 2));
    let mut rig = squats(2);
    rig.goods(1, 1_000, 1_000, 2);
    assert_eq!(rig.say(1, 7_000, Call::LastWasNoRep), ok(1));
    assert_eq!((rig.lane(1).status, rig.lane(1).no_reps), (Status::Racing, 1));
    // After time was called, likewise.
    let mut rig = squats(5);
    rig.goods(1, 597_000, 1_000, 2);
    assert_eq!(rig.say(1, 601_000, Call::LastWasNoRep), ok(1));
    assert_eq!(rig.say(1, 602_500, Call::LastWasNoRep), not(NotCounted::AfterCap, 1));
}

#[test]
fn last_was_no_rep_after_a_rep_that_did_not_count_takes_no_counted_one_back() {
    let mut rig = squats(5);
    rig.goods(1, 597_000, 1_000, 3);
    assert_eq!(rig.say(1, 600_080, Call::Good), not(NotCounted::AfterCap, 3));
    assert_eq!(rig.say(1, 600_900, Call::LastWasNoRep), not(NotCounted::AfterCap, 3));
    // Once that tap is undone, the judge speaks of the counted rep before it.
    let mut rig = squats(5);
    rig.goods(1, 597_000, 1_000, 3);
    assert_eq!(rig.say(1, 600_080, Call::Good), not(NotCounted::AfterCap, 3));
    assert_eq!(rig.say(1, 600_500, Call::Undo), ok(3));
    assert_eq!(rig.say(1, 600_900, Call::LastWasNoRep), ok(2));
    // A second tap at the finish found nothing left to do, so the finishing rep is meant. The second tap then has
    // a unit to count for, and needs taking back of its own.
    let mut rig = squats(2);
    rig.goods(1, 1_000, 1_000, 2);
    assert_eq!(rig.say(1, 2_100, Call::Good), not(NotCounted::PastEnd, 2));
    assert_eq!(rig.say(1, 2_900, Call::LastWasNoRep), ok(2));
    assert_eq!(rig.say(1, 3_300, Call::LastWasNoRep), ok(1));
}

#[test]
fn nothing_is_taken_back_across_a_ruling_on_the_count() {
    let mut rig = squats(10);
    rig.goods(1, 1_000, 100, 3);
    assert_eq!(rig.rule(GO + 1_500, 1, set_count(5, None)), Outcome::Done);
    assert_eq!(rig.say(1, 1_600, Call::Undo), not(NotCounted::NothingToUndo, 5));
    assert_eq!(rig.say(1, 1_700, Call::LastWasNoRep), not(NotCounted::NothingToUndo, 5));
    assert_eq!(rig.say(1, 1_800, Call::Good), ok(6));
}

#[test]
fn a_finish_call_ends_a_course_across_a_line() {
    let mut plan = workout(vec![part(0, 2)]);
    plan.finish = FinishRule::FinishCall;
    let mut rig = Rig::started(setup(plan, 1));
    rig.goods(1, 1_000, 1_000, 1);
    assert_eq!(rig.say(1, 1_500, Call::Finish), not(NotCounted::CallDoesNotFit, 1));
    assert_eq!(rig.say(1, 2_000, Call::Good), ok(2));
    assert_eq!((rig.lane(1).status, rig.lane(1).to_go), (Status::Racing, Some(0)));
    assert_eq!(rig.say(1, 2_500, Call::Good), not(NotCounted::PastEnd, 2));
    assert_eq!(rig.say(1, 4_000, Call::Finish), ok(2));
    assert_eq!((rig.lane(1).status, rig.text(1)), (Status::Finished, "0:04.0".into()));
    assert_eq!(rig.say(1, 4_100, Call::Finish), not(NotCounted::LaneEnded, 2));
    assert_eq!(rig.say(1, 4_200, Call::Undo), ok(2)); // The second tap,
    assert_eq!(rig.say(1, 4_300, Call::Undo), ok(2)); // and the finishing one.
    assert_eq!(rig.lane(1).status, Status::Racing);
}

#[test]
fn the_last_five_are_the_last_five_units_of_the_last_part() {
    // Common practice.
    #[track_caller]
    fn check(amount: u32, after: i64, want: Option<u32>) {
        let mut rig = Rig::started(setup(workout(vec![part(0, 4), part(2, 4), part(0, amount)]), 1));
        rig.goods(1, 1_000, 100, 8 + after);
        assert_eq!(rig.lane(1).to_go, want, "last part of {amount}, {after} of it done");
    }
    check(20, 14, None);
    check(20, 15, Some(5));
    check(20, 19, Some(1));
    check(20, 20, None);
    // A last part of three has three blocks.
    check(3, -1, None);
    check(3, 0, Some(3));
    check(3, 2, Some(1));
}

#[test]
fn a_last_part_in_metres_closes_only_in_declared_steps() {
    let mut plan = workout(vec![part(0, 2), part(3, 80)]);
    plan.movements.push(movement("carry", Unit::Metre, 10, 500));
    let mut rig = Rig::started(setup(plan.clone(), 1));
    rig.goods(1, 1_000, 100, 9);
    assert_eq!(rig.lane(1).to_go, None);
    plan.movements[3].closing_steps = 5;
    let mut rig = Rig::started(setup(plan, 1));
    let course = &rig.heat.courses()[0];
    assert_eq!((course.closing_blocks, course.closing_step), (5, 10));
    rig.goods(1, 1_000, 100, 4);
    assert_eq!(rig.lane(1).to_go, None);
    rig.goods(1, 2_000, 100, 1);
    assert_eq!(rig.lane(1).to_go, Some(50));
}

#[test]
fn a_shadow_judges_calls_are_kept_and_never_count() {
    let mut rig = squats(3);
    let mut tally = rig.tap(1, 1_000, Call::Good);
    tally.device = DeviceId("shadow".into());
    tally.shadow = true;
    rig.phone(1).next = 1;
    assert_eq!(rig.tally(GO + 1_000, tally), ok(0));
    let record = rig.heat.record(LaneNo(1)).unwrap();
    assert!(matches!(&record[0].said, Said::Tally(tally) if tally.shadow));
    assert_eq!(record[0].verdict, Verdict::Shadow);
    assert!(!rig.lane(1).judge_on);
    // Nor can the lane's judge take them back.
    assert_eq!(rig.say(1, 1_500, Call::Undo), not(NotCounted::NothingToUndo, 0));
}
