//! The head judge's corrections: what each does, how it reads, and which cannot be made.

mod support;

use fivemark_engine::command::{Call, Command, Floor, Penalty, Ruling, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{CappedAs, FinishRule};
use fivemark_engine::{Event, NotCounted, Outcome, Refused, State, Status};
use support::{GO, Rig, part, ruling, set_count, setup, status, time_penalty, unit_penalty, workout};

/// Two lanes, ten squats. Lane 1 finished in 10.0 s, lane 2 has done 4.
fn one_finished() -> Rig {
    let mut rig = Rig::started(setup(workout(vec![part(0, 10)]), 2));
    rig.goods(1, 1_000, 1_000, 10);
    rig.goods(2, 2_000, 2_000, 4);
    rig
}

#[test]
fn each_ruling_reads_beside_what_it_replaces() {
    #[track_caller]
    fn check(lane: u8, kind: RulingKind, want: [&str; 3]) {
        let mut rig = one_finished();
        assert_eq!(rig.rule(GO + 20_000, lane, kind), Outcome::Done);
        let ruled = rig.events.iter().find_map(|event| match event {
            Event::Ruled { lane: of, by, says, reason, before, after } => {
                assert_eq!(
                    (*of, by.as_str(), reason.as_str()),
                    (LaneNo(lane), "Head judge", "seen on the video")
                );
                Some([says.clone(), before.clone(), after.clone()])
            }
            _ => None,
        });
        assert_eq!(ruled.unwrap(), want);
        assert!(rig.lane(lane).ruled);
    }
    let move_finish = RulingKind::MoveFinish(SpanMs(9_450));
    check(2, set_count(6, None), ["set the count to 6 units", "4 of 10", "6 of 10"]);
    check(1, set_count(9, None), ["set the count to 9 units", "0:10.0", "9 of 10"]);
    check(2, set_count(1, None), ["set the count to 1 unit", "4 of 10", "1 of 10"]);
    check(
        2,
        set_count(10, Some(19_990)),
        ["set the count to 10 units, finished in 0:20.0", "4 of 10", "0:20.0"],
    );
    check(1, move_finish, ["moved the finish to 0:09.5", "0:10.0", "0:09.5"]);
    check(1, time_penalty(5_000), ["added a penalty of 5 s", "0:10.0", "0:15.0, with 5 s penalty"]);
    check(2, time_penalty(1_500), ["added a penalty of 1.5 s", "4 of 10", "4 of 10, with 1.5 s penalty"]);
    check(1, time_penalty(-2_000), ["gave 2 s back", "0:10.0", "0:08.0, with 2 s given back"]);
    check(2, unit_penalty(1), ["took 1 unit off", "4 of 10", "3 of 10"]);
    check(1, unit_penalty(1), ["took 1 unit off", "0:10.0", "0:10.0"]);
    check(2, unit_penalty(-2), ["gave 2 units back", "4 of 10", "6 of 10"]);
    check(2, status(StatusRuling::DidNotFinish), ["did not finish", "4 of 10", "DNF"]);
    check(2, status(StatusRuling::DidNotStart), ["did not start", "4 of 10", "DNS"]);
    check(1, status(StatusRuling::Disqualified), ["disqualified", "0:10.0", "DQ"]);
    check(1, status(StatusRuling::UnderReview), ["put under review", "0:10.0", "0:10.0, under review"]);
    check(1, status(StatusRuling::Reinstated), ["reinstated", "0:10.0", "0:10.0"]);
}

#[test]
fn rulings_that_cannot_be_made_say_why() {
    #[track_caller]
    fn check(lane: u8, kind: RulingKind, want: Refused) {
        let mut rig = one_finished();
        assert_eq!(rig.rule(GO + 20_000, lane, kind), Outcome::Refused(want));
        assert!(!rig.events.iter().any(|event| matches!(event, Event::Ruled { .. })));
    }
    check(9, set_count(1, None), Refused::UnknownLane(LaneNo(9)));
    check(2, set_count(11, None), Refused::CountOutOfRange { units: 10 });
    check(2, set_count(10, None), Refused::NeedsFinishTime { units: 10 });
    check(2, set_count(9, Some(1_000)), Refused::FinishNotReached { units: 10 });
    check(2, set_count(10, Some(20_001)), Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 20_000 });
    check(2, set_count(10, Some(-1)), Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 20_000 });
    check(2, RulingKind::MoveFinish(SpanMs(9_000)), Refused::NotFinished(LaneNo(2)));
    check(
        1,
        RulingKind::MoveFinish(SpanMs(i64::MIN)),
        Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 20_000 },
    );
    check(1, time_penalty(0), Refused::PenaltyOutOfRange { max_units: 1_000_000 });
    check(1, time_penalty(i64::MIN), Refused::PenaltyOutOfRange { max_units: 1_000_000 });
    check(1, unit_penalty(i32::MIN), Refused::PenaltyOutOfRange { max_units: 1_000_000 });
}

#[test]
fn a_ruling_says_who_and_why() {
    #[track_caller]
    fn check(by: &str, reason: &str, want: Refused) {
        let mut rig = one_finished();
        let kind = RulingKind::Penalty(Penalty::Units(1));
        let ruling = Ruling { lane: LaneNo(1), by: by.into(), reason: reason.into(), kind };
        assert_eq!(rig.send(GO + 20_000, &Command::Ruling(ruling)), Outcome::Refused(want));
    }
    check("Head judge", " ", Refused::NoReason);
    check("", "late to the lane", Refused::NoName);
    check("Head judge", &"x".repeat(401), Refused::TooLong("reason", 400));
    check(&"x".repeat(401), "late to the lane", Refused::TooLong("name of who rules", 400));
}

#[test]
fn an_empty_lane_and_a_heat_that_has_not_run_have_nothing_to_rule_on() {
    let mut plan = setup(workout(vec![part(0, 10)]), 2);
    plan.lanes[1].occupied = false;
    let mut rig = Rig::new(plan);
    assert_eq!(rig.rule(1_000, 2, time_penalty(1_000)), Outcome::Refused(Refused::EmptyLane(LaneNo(2))));
    let refused = rig.rule(1_000, 1, set_count(1, None));
    assert_eq!(refused, Outcome::Refused(Refused::NotInThisState(State::LanesSet)));
    // Who is not there is known before the start.
    assert_eq!(rig.rule(1_000, 1, status(StatusRuling::DidNotStart)), Outcome::Done);
    assert_eq!(rig.lane(1).status, Status::DidNotStart);
}

#[test]
fn later_calls_go_on_from_a_set_count() {
    let mut rig = one_finished();
    rig.rule(GO + 20_000, 2, set_count(8, None));
    rig.goods(2, 21_000, 1_000, 2);
    assert_eq!(rig.text(2), "0:22.0");
    // A call tapped before the ruling that comes in after it was in the head judge's view already.
    let mut rig = one_finished();
    let waiting = rig.tap(2, 19_000, Call::Good);
    rig.rule(GO + 20_000, 2, set_count(8, None));
    assert_eq!(rig.tally(GO + 20_500, waiting), Outcome::Applied { done: 8 });
}

#[test]
fn setting_a_finished_lane_back_reopens_it() {
    let mut rig = one_finished();
    rig.rule(GO + 20_000, 1, set_count(9, None));
    assert_eq!((rig.lane(1).status, rig.state()), (Status::Racing, State::Running));
    rig.goods(1, 21_000, 1_000, 1);
    assert_eq!(rig.text(1), "0:21.0");
    // From time called on there is no more racing.
    rig.goods(2, 30_000, 1_000, 6);
    assert_eq!(rig.state(), State::TimeCalled);
    rig.rule(GO + 40_000, 1, set_count(9, None));
    assert_eq!((rig.lane(1).status, rig.state()), (Status::Capped, State::Provisional));
    assert_eq!(rig.text(1), "9 of 10");
    let late = rig.say(1, 41_000, Call::NoRep);
    assert!(matches!(late, Outcome::NotCounted { .. }), "{late:?}");
    assert_eq!(rig.state(), State::Provisional);
}

#[test]
fn the_whole_count_of_a_finish_call_course_waits_for_the_call() {
    let mut plan = workout(vec![part(0, 3)]);
    plan.finish = FinishRule::FinishCall;
    let mut rig = Rig::started(setup(plan, 1));
    assert_eq!(rig.rule(GO + 5_000, 1, set_count(3, None)), Outcome::Done);
    assert_eq!((rig.lane(1).status, rig.lane(1).to_go), (Status::Racing, Some(0)));
    rig.say(1, 6_000, Call::Finish);
    assert_eq!(rig.text(1), "0:06.0");
}

#[test]
fn penalties_add_up_and_a_finish_past_the_cap_stays_above_the_capped() {
    let mut rig = one_finished();
    rig.pass(GO + 603_000);
    rig.rule(GO + 610_000, 1, time_penalty(400_000));
    rig.rule(GO + 620_000, 1, time_penalty(250_000));
    let result = rig.lane(1).result.unwrap();
    assert_eq!((result.text.as_str(), result.official), ("11:00.0", Some(SpanMs(660_000))));
    assert_eq!(result.penalty, Some(SpanMs(650_000)));
    assert_eq!(rig.places(), [1, 2]);
    rig.rule(GO + 630_000, 1, time_penalty(-650_000));
    assert_eq!(rig.lane(1).result.unwrap().penalty, None);
}

#[test]
fn disqualified_and_absent_lanes_have_no_place_until_reinstated() {
    let mut rig = one_finished();
    rig.rule(GO + 20_000, 1, status(StatusRuling::Disqualified));
    assert_eq!(rig.places(), [0, 1]);
    assert_eq!(rig.heat.state().finished, 0);
    rig.rule(GO + 21_000, 1, status(StatusRuling::Reinstated));
    assert_eq!((rig.places(), rig.lane(1).status), (vec![1, 2], Status::Finished));
    rig.rule(GO + 22_000, 1, status(StatusRuling::UnderReview));
    assert_eq!((rig.places(), rig.lane(1).status), (vec![1, 2], Status::UnderReview));
}

#[test]
fn a_capped_time_takes_penalties_in() {
    let mut plan = workout(vec![part(0, 10)]);
    plan.clock.capped_as = CappedAs::CapPlusPenalty;
    let mut rig = Rig::started(setup(plan, 2));
    rig.goods(1, 1_000, 1_000, 8);
    rig.goods(2, 1_000, 1_000, 7);
    rig.pass(GO + 603_000);
    assert_eq!((rig.text(1), rig.text(2)), ("10:02.0".into(), "10:03.0".into()));
    assert_eq!(rig.places(), [1, 2]);
    rig.rule(GO + 604_000, 1, time_penalty(1_500));
    assert_eq!((rig.text(1), rig.places()), ("10:03.5".into(), vec![2, 1]));
}

#[test]
fn a_cancelled_run_takes_no_rulings() {
    let mut rig = one_finished();
    rig.floor(GO + 20_000, Floor::Cancel);
    let refused = rig.send(GO + 21_000, &ruling(1, time_penalty(1_000)));
    assert_eq!(refused, Outcome::Refused(Refused::HeatCancelled));
}

#[test]
fn who_is_reinstated_has_what_was_done_in_the_meantime() {
    // Lane 2 has 4 and is disqualified at 20.0; it works on under protest, and lane 3 is at work.
    let plan = setup(workout(vec![part(0, 10)]), 3);
    let mut rig = Rig::started(plan.clone());
    rig.goods(2, 2_000, 2_000, 4);
    rig.goods(3, 9_000, 1_000, 1);
    rig.ruled(20_000, 2, status(StatusRuling::Disqualified));
    for at in [22_000, 24_000, 26_000] {
        let called = rig.say(2, at, Call::Good);
        assert_eq!(called, Outcome::NotCounted { why: NotCounted::LaneEnded, done: 4 });
    }
    assert_eq!(rig.say(2, 27_000, Call::Undo), Outcome::NotCounted { why: NotCounted::LaneEnded, done: 4 });
    rig.ruled(28_000, 2, status(StatusRuling::UnderReview));
    rig.ruled(29_000, 2, unit_penalty(1));
    rig.ruled(30_000, 2, status(StatusRuling::Reinstated));
    // Three more, of which the judge took one back, and one taken off.
    assert_eq!((rig.lane(2).status, rig.lane(2).done, rig.lane(2).score), (Status::Racing, 6, 5));
    // Disqualified once more, it works on in vain.
    rig.ruled(31_000, 2, status(StatusRuling::Disqualified));
    let called = rig.say(2, 32_000, Call::Good);
    assert_eq!(called, Outcome::NotCounted { why: NotCounted::LaneEnded, done: 6 });
    assert_eq!((rig.text(2), rig.standing(2).place), ("DQ".into(), 0));
    rig.replays(plan);
}

#[test]
fn limits_are_told_in_the_units_that_people_use() {
    let time = Refused::TimeOutOfRange { earliest_ms: 30_000, latest_ms: 425_019 };
    assert_eq!(time.to_string(), "A finish lies between 0:30.00 and 7:05.01 here. Give a time within that.");
    let credit = Refused::CreditOutOfRange { lane: LaneNo(2), credited_ms: 1_500 };
    assert_eq!(
        credit.to_string(),
        "Lane 2 has 1.5 s credited. Give at most a day in all, and take back no more."
    );
}
