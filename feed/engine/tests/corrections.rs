//! Whole heats, worked by hand, in which the head judge adds and removes units, credits time, moves an athlete, and
//! goes on from a paper card.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::workout::{CapOn, FinishRule};
use fivemark_engine::{Event, HeatSetup, NotCounted, Outcome, Refused, Said, State, Status, Verdict};
use support::{GO, Phone, Rig, goods, part, set_count, setup, status, tie_part, time_penalty, workout};

/// Ten squats in a minute; the first four give the tie-break. Lane 4 is empty.
fn plan() -> HeatSetup {
    let mut plan = workout(vec![tie_part(0, 4), part(0, 6)]);
    plan.clock.cap = SpanMs(60_000);
    let mut plan = setup(plan, 4);
    plan.lanes[3].occupied = false;
    plan
}

/// Lane 1 finishes in 50.0, lane 2 has 8 since 56.0, lane 3 has 8 since 48.0.
fn played() -> Rig {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 5_000, 5_000, 10), goods(2, 7_000, 7_000, 8), goods(3, 6_000, 6_000, 8)].concat());
    rig
}

fn add(units: i32) -> RulingKind {
    RulingKind::AddUnits(units)
}

fn credit(ms: i64) -> RulingKind {
    RulingKind::Credit(SpanMs(ms))
}

fn to_lane(lane: u8) -> RulingKind {
    RulingKind::MoveAthlete { to: LaneNo(lane) }
}

/// The latest ruling in words, with what it replaces.
fn said(rig: &Rig) -> [String; 3] {
    let ruled = rig.events.iter().rev().find_map(|event| match event {
        Event::Ruled { says, before, after, .. } => Some([says.clone(), before.clone(), after.clone()]),
        _ => None,
    });
    ruled.expect("a ruling was made")
}

#[test]
fn units_are_added_and_removed() {
    let mut rig = played();
    // Lane 2 had one more good rep than was tapped: 9. Lane 3 one less: 7.
    rig.ruled(57_000, 2, add(1));
    assert_eq!(said(&rig), ["added 1 unit", "8 of 10", "9 of 10"]);
    rig.ruled(57_000, 3, add(-1));
    assert_eq!(said(&rig), ["removed 1 unit", "8 of 10", "7 of 10"]);
    // A call tapped at 56.5 that comes in after the ruling is one more: 8 + 1 + 1 = 10, so it was the last rep, and
    // its time is the finish.
    let waiting = rig.tap(2, 56_500, Call::Good);
    assert_eq!(rig.tally(GO + 58_000, waiting), Outcome::Applied { done: 10 });
    assert_eq!((rig.text(2), rig.lane(2).status), ("0:56.5".into(), Status::Finished));
    // A unit less takes the finish away.
    rig.ruled(59_000, 1, add(-1));
    assert_eq!(said(&rig), ["removed 1 unit", "0:50.0", "9 of 10"]);
    rig.pass(GO + 63_000);
    assert_eq!(
        (rig.texts(), rig.places()),
        (vec!["9 of 10".to_owned(), "0:56.5".into(), "7 of 10".into(), String::new()], vec![2, 1, 3, 0],)
    );
    rig.replays(plan());
}

#[test]
fn a_unit_less_takes_the_tie_break_time_with_it() {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 5_000, 5_000, 4), goods(2, 7_000, 7_000, 4), goods(3, 8_000, 8_000, 4)].concat());
    rig.ruled(40_000, 1, add(-1));
    assert_eq!((rig.lane(1).score, rig.lane(1).tie_break), (3, None));
    // Its fourth rep comes again at 41.0: that is its tie-break time now.
    rig.goods(1, 41_000, 1_000, 1);
    rig.pass(GO + 63_000);
    let ties: Vec<_> = (1..=3).map(|lane| rig.lane(lane).tie_break.map(|tie| tie.0)).collect();
    assert_eq!((ties, rig.places()), (vec![Some(41_000), Some(28_000), Some(32_000)], vec![3, 1, 2, 0]));
    assert!(rig.heat.order()[..3].iter().all(|row| row.tied_apart));
}

#[test]
fn a_credit_lessens_the_lanes_time_and_moves_its_cap() {
    let mut rig = played();
    // Lane 1 lost 4 s to a broken rope: 50.0 - 4 = 46.0.
    rig.ruled(57_000, 1, credit(4_000));
    assert_eq!(said(&rig), ["credited 4 s", "0:50.0", "0:46.0, with 4 s credit"]);
    // Lane 2 lost 5 s: its cap lies at 65 s, lane 3's at 60.
    rig.ruled(58_000, 2, credit(5_000));
    assert_eq!((rig.heat.state().ends, rig.lane(2).credit), (SpanMs(65_000), SpanMs(5_000)));
    rig.pass(GO + 60_000);
    assert_eq!((rig.state(), rig.lane(3).status), (State::Running, Status::Capped));
    assert_eq!(rig.say(3, 60_500, Call::Good), Outcome::NotCounted { why: NotCounted::AfterCap, done: 8 });
    // Its ninth and tenth, at 61.0 and 65.0, count; 65.0 - 5 = 60.0, which is the cap.
    rig.goods(2, 61_000, 4_000, 2);
    assert_eq!(
        (rig.state(), rig.texts()[..3].to_vec()),
        (State::TimeCalled, vec!["0:46.0", "1:00.0", "8 of 10"].into_iter().map(String::from).collect())
    );
    assert_eq!(rig.places(), [1, 2, 3, 0]);
    rig.replays(plan());
}

#[test]
fn calls_after_time_count_when_time_is_credited_for_them() {
    let mut rig = played();
    rig.pass(GO + 60_000);
    // Lane 2's judge went on counting: 62.0 and 64.0 are recorded and do not count.
    for at in [62_000, 64_000, 66_000] {
        assert_eq!(rig.say(2, at, Call::Good), Outcome::NotCounted { why: NotCounted::AfterCap, done: 8 });
    }
    rig.pass(GO + 70_000);
    assert_eq!((rig.state(), rig.text(2)), (State::Provisional, "8 of 10".into()));
    // 3 s: up to 63.0, so one more. 2 s more: up to 65.0, the tenth at 64.0; 64 - 5 = 59.0.
    rig.ruled(80_000, 2, credit(3_000));
    assert_eq!((rig.state(), rig.text(2)), (State::Provisional, "9 of 10".into()));
    rig.ruled(81_000, 2, credit(2_000));
    assert_eq!((rig.text(2), rig.places()), ("0:59.0".into(), vec![1, 2, 3, 0]));
    // Taken back, the two no longer count.
    rig.ruled(82_000, 2, credit(-5_000));
    assert_eq!(said(&rig), ["took a credit of 5 s back", "0:59.0, with 5 s credit", "8 of 10"]);
    rig.replays(plan());
}

#[test]
fn where_the_heat_is_capped_a_credit_moves_no_cap() {
    let mut plan = plan();
    plan.workouts[0].clock.cap_on = CapOn::Heat;
    let mut rig = Rig::started(plan);
    rig.play(goods(1, 5_000, 5_000, 10));
    rig.ruled(55_000, 1, credit(4_000));
    rig.ruled(55_000, 2, credit(4_000));
    assert_eq!((rig.text(1), rig.heat.state().ends), ("0:46.0".into(), SpanMs(60_000)));
    rig.pass(GO + 60_000);
    assert_eq!(rig.state(), State::TimeCalled);
}

#[test]
fn a_moved_athlete_takes_the_record_along() {
    // Lane 2 is another division with 8 squats to do; lane 4 is set up as lane 1 is.
    let mut plan = plan();
    let mut shorter = plan.workouts[0].clone();
    shorter.body[1].amount = 4;
    plan.workouts.push(shorter);
    (plan.lanes[1].division, plan.lanes[1].workout) = (1, 1);
    let mut rig = Rig::started(plan.clone());
    rig.phones.push(Phone::new(4, "relief"));
    rig.play([goods(1, 1_000, 1_000, 2), goods(2, 1_000, 1_000, 3)].concat());
    rig.link(GO + 4_000, 2, true);
    // Lane 4's judge counts before the head judge has said anything: recorded, does not count.
    assert_eq!(rig.say(4, 9_000, Call::Good), Outcome::NotCounted { why: NotCounted::EmptyLane, done: 0 });
    let before = rig.tap(2, 9_500, Call::Good);
    rig.events.clear();
    rig.ruled(10_000, 2, to_lane(4));
    assert_eq!(said(&rig), ["moved to lane 4", "3 of 8", "3 of 8"]);
    assert_eq!(rig.events[0], Event::EntriesChanged);
    assert_eq!((rig.lane(2).status, rig.lane(2).done, rig.lane(2).judge_on), (Status::Empty, 0, true));
    assert_eq!((rig.lane(4).done, rig.lane(4).ruled, rig.lane(4).judge_on), (3, false, true));
    // A late call of the old lane, tapped before the move, goes to the athlete; one tapped after it to nobody.
    assert_eq!(rig.tally(GO + 11_000, before), Outcome::Applied { done: 4 });
    assert_eq!(rig.say(2, 11_500, Call::Good), Outcome::NotCounted { why: NotCounted::EmptyLane, done: 0 });
    rig.goods(4, 12_000, 1_000, 4);
    // 3 + 1 + 4 = 8, the whole course of that division, at 15.0. It is first of its own.
    assert_eq!(
        (rig.text(4), rig.standing(4).division_place, rig.text(2)),
        ("0:15.0".into(), 1, String::new())
    );
    let kept = |lane| rig.heat.record(LaneNo(lane)).map_or(0, <[_]>::len);
    // Three calls, the move, the early call of lane 4, the late one, four more; and one stray call.
    assert_eq!((kept(4), kept(2), kept(1)), (10, 1, 2));
    assert_eq!((rig.heat.state().starters, rig.heat.state().finished), (3, 1));
    rig.replays(plan);
}

#[test]
fn a_lane_can_be_filled_again_and_late_calls_find_their_athlete() {
    // Lane 1's athlete goes to 4, lane 2's to 1, and the first one on to 2.
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 1_000, 1_000, 1), goods(2, 1_000, 1_000, 2)].concat());
    let of_first = rig.tap(1, 3_000, Call::Good);
    let of_nobody = rig.tap(1, 6_500, Call::Good);
    let of_second = rig.tap(1, 8_000, Call::Good);
    rig.ruled(5_000, 1, to_lane(4));
    rig.ruled(7_000, 2, to_lane(1));
    rig.ruled(9_000, 4, to_lane(2));
    assert_eq!([1, 2, 4].map(|lane| rig.lane(lane).done), [2, 1, 0]);
    assert_eq!(rig.tally(GO + 10_000, of_first), Outcome::Applied { done: 2 });
    let nobody = rig.tally(GO + 10_000, of_nobody);
    assert_eq!(nobody, Outcome::NotCounted { why: NotCounted::EmptyLane, done: 2 });
    assert_eq!(rig.tally(GO + 10_000, of_second), Outcome::Applied { done: 3 });
    assert_eq!([1, 2, 4].map(|lane| rig.lane(lane).done), [3, 2, 0]);
    rig.replays(plan());
}

#[test]
fn counting_goes_on_from_a_paper_card() {
    let mut rig = Rig::started(plan());
    // Lane 3's phone dies after 2; the card says 7 at 40.0; a new phone counts 3 more: finished at 46.0.
    rig.play(goods(3, 6_000, 6_000, 2));
    rig.ruled(40_000, 3, RulingKind::FromPaper { done: 7, finish: None });
    assert_eq!(said(&rig), ["went on from a paper count of 7 units", "2 of 10", "7 of 10"]);
    rig.goods(3, 42_000, 2_000, 3);
    // Lane 2's card has the whole count, and the time that its judge wrote down.
    rig.ruled(55_000, 2, RulingKind::FromPaper { done: 10, finish: Some(SpanMs(44_440)) });
    assert_eq!(said(&rig), ["took a paper count of 10 units, finished in 0:44.5", "0 of 10", "0:44.5"]);
    rig.pass(GO + 63_000);
    assert_eq!((rig.places(), rig.text(3)), (vec![3, 1, 2, 0], "0:46.0".into()));
    rig.replays(plan());
}

#[test]
fn no_judge_takes_back_what_lies_before_a_count_that_was_ruled() {
    for kind in [add(1), RulingKind::FromPaper { done: 9, finish: None }, set_count(9, None)] {
        let mut rig = played();
        rig.ruled(56_500, 2, kind);
        let undo = rig.say(2, 57_000, Call::Undo);
        assert_eq!(undo, Outcome::NotCounted { why: NotCounted::NothingToUndo, done: 9 });
    }
    // A credit says nothing of the work.
    let mut rig = played();
    rig.ruled(56_500, 2, credit(1_000));
    assert_eq!(rig.say(2, 57_000, Call::Undo), Outcome::Applied { done: 7 });
}

#[test]
fn corrections_that_cannot_be_made_say_why() {
    #[track_caller]
    fn check(lane: u8, kind: RulingKind, want: Refused) {
        assert_eq!(played().rule(GO + 57_000, lane, kind), Outcome::Refused(want));
    }
    let units = |lane, done| Refused::UnitsOutOfRange { lane: LaneNo(lane), done, units: 10 };
    check(2, add(0), units(2, 8));
    check(2, add(3), units(2, 8));
    check(2, add(-9), units(2, 8));
    check(2, add(i32::MIN), units(2, 8));
    check(1, add(1), units(1, 10));
    check(2, add(2), Refused::NeedsFinishTime { units: 10 });
    let credited = |credited_ms| Refused::CreditOutOfRange { lane: LaneNo(2), credited_ms };
    check(2, credit(0), credited(0));
    check(2, credit(-1), credited(0));
    check(2, credit(i64::MAX), credited(0));
    check(2, credit(86_400_001), credited(0));
    check(2, to_lane(3), Refused::LaneTaken(LaneNo(3)));
    check(2, to_lane(2), Refused::LaneTaken(LaneNo(2)));
    check(2, to_lane(5), Refused::UnknownLane(LaneNo(5)));
    check(4, to_lane(4), Refused::EmptyLane(LaneNo(4)));
    check(2, RulingKind::FromPaper { done: 11, finish: None }, Refused::CountOutOfRange { units: 10 });
    check(2, RulingKind::FromPaper { done: 10, finish: None }, Refused::NeedsFinishTime { units: 10 });
    let latest = Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 57_000 };
    check(2, RulingKind::FromPaper { done: 10, finish: Some(SpanMs(57_001)) }, latest);
}

#[test]
fn a_signed_heat_takes_no_ruling_until_it_is_reopened() {
    let mut rig = played();
    rig.pass(GO + 63_000);
    rig.floor(GO + 70_000, Floor::Sign { initials: false });
    let kinds = [
        add(1),
        credit(1_000),
        to_lane(4),
        RulingKind::FromPaper { done: 9, finish: None },
        set_count(9, None),
        RulingKind::MoveFinish(SpanMs(49_000)),
        time_penalty(1_000),
        status(StatusRuling::Disqualified),
    ];
    let before = rig.heat.clone();
    for kind in &kinds {
        let outcome = rig.rule(GO + 71_000, 1, kind.clone());
        assert_eq!(outcome, Outcome::Refused(Refused::HeatSigned));
    }
    assert_eq!(rig.heat.order(), before.order());
    rig.floor(GO + 80_000, Floor::Reopen { reason: "the video was looked at".into() });
    rig.ruled(81_000, 1, kinds[5].clone());
    assert_eq!((rig.state(), rig.text(1)), (State::Provisional, "0:49.0".into()));
}

#[test]
fn a_unit_at_the_end_of_a_finish_call_course_waits_for_the_call() {
    let mut plan = plan();
    plan.workouts[0].finish = FinishRule::FinishCall;
    let mut rig = Rig::started(plan);
    rig.goods(1, 1_000, 1_000, 9);
    rig.ruled(10_000, 1, add(1));
    assert_eq!((rig.lane(1).status, rig.lane(1).to_go), (Status::Racing, Some(0)));
    rig.say(1, 11_000, Call::Finish);
    assert_eq!(rig.text(1), "0:11.0");
    rig.ruled(12_000, 1, add(-1));
    assert_eq!((rig.lane(1).status, rig.lane(1).done), (Status::Racing, 9));
}

#[test]
fn the_record_keeps_what_was_called_on_an_empty_lane() {
    let mut rig = Rig::started(plan());
    rig.phones.push(Phone::new(4, "relief"));
    rig.say(4, 1_000, Call::Good);
    rig.ruled(2_000, 1, to_lane(4));
    let record = rig.heat.record(LaneNo(4)).unwrap();
    assert!(matches!(record[0].said, Said::Ruling(_)));
    assert_eq!(
        (record[1].at, record[1].verdict),
        (HeatMs(GO + 1_000), Verdict::NotCounted(NotCounted::EmptyLane))
    );
}
