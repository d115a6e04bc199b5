//! Lanes that start one after another: whose time counts, what the cap limits, who is first.
//!
//! Three lanes of ten squats, starting 0, 30 and 60 s after the heat. Lane 1 taps every 10 s of its own time, lane 2
//! every 9.5 s, lane 3 every 11 s: lane times 100.0, 95.0 and 110.0, heat times 100.0, 125.0 and 170.0.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::workout::{CapOn, CappedAs, OrderBy};
use fivemark_engine::{Clock, Heat, HeatSetup, NotCounted, Outcome, Refused, SetupError, State, Status};
use support::{GO, Rig, goods, part, set_count, setup, status, time_penalty, workout};

fn plan(order_by: OrderBy, cap_on: CapOn, cap: i64) -> HeatSetup {
    let mut plan = workout(vec![part(0, 10)]);
    (plan.clock.order_by, plan.clock.cap_on, plan.clock.cap) = (order_by, cap_on, SpanMs(cap));
    let mut plan = setup(plan, 3);
    for (lane, start) in plan.lanes.iter_mut().zip([0, 30_000, 60_000]) {
        lane.start = SpanMs(start);
    }
    plan
}

fn all_calls() -> Vec<(u8, i64, Call)> {
    [goods(1, 10_000, 10_000, 10), goods(2, 39_500, 9_500, 10), goods(3, 71_000, 11_000, 10)].concat()
}

fn until(after_go: i64) -> Vec<(u8, i64, Call)> {
    all_calls().into_iter().filter(|(_, at, _)| *at <= after_go).collect()
}

#[test]
fn by_lane_time_the_fastest_wins() {
    let plan = plan(OrderBy::LaneTime, CapOn::LaneTime, 150_000);
    let mut rig = Rig::started(plan.clone());
    rig.play(all_calls());
    assert_eq!(rig.texts(), ["1:40.0", "1:35.0", "1:50.0"]);
    assert_eq!((rig.places(), rig.state()), (vec![2, 1, 3], State::TimeCalled));
    assert_eq!(rig.standing(3).gap, Some(SpanMs(15_000)));
    // The header shows heat time: it stands where the last lane finished.
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(170_000) });
    rig.replays(plan);
}

#[test]
fn by_first_to_finish_the_first_over_the_line_wins() {
    let mut rig = Rig::started(plan(OrderBy::FirstToFinish, CapOn::LaneTime, 150_000));
    rig.play(all_calls());
    assert_eq!(rig.texts(), ["1:40.0", "2:05.0", "2:50.0"]);
    assert_eq!((rig.places(), rig.standing(2).gap), (vec![1, 2, 3], Some(SpanMs(25_000))));
}

#[test]
fn while_it_runs_lanes_compare_in_the_time_that_counts() {
    // At 68.0 s of heat time lane 1 has 6, lane 2 has 4 (since 38.0 s of its own time, where lane 1 had come to 4 at
    // 40.0 s): 2 units behind, and no time. Lane 1's fourth came at 40.0 s of heat time, lane 2's at 68.0 s: 28 s.
    #[track_caller]
    fn check(order_by: OrderBy, gap: i64) {
        let mut rig = Rig::started(plan(order_by, CapOn::LaneTime, 150_000));
        rig.play(until(68_000));
        assert_eq!((rig.places(), rig.heat.state().first_on_floor), (vec![1, 2, 0], Some(LaneNo(1))));
        let row = rig.standing(2);
        assert_eq!((row.gap_units, row.gap), (Some(2), Some(SpanMs(gap))));
    }
    check(OrderBy::LaneTime, 0);
    check(OrderBy::FirstToFinish, 28_000);
}

#[test]
fn equal_units_are_parted_by_who_needed_less() {
    // Three squats each: lane 1 at 30.0, lane 2 at 58.5, which is 28.5 s after its start.
    #[track_caller]
    fn check(order_by: OrderBy, places: [u8; 3]) {
        let mut rig = Rig::started(plan(order_by, CapOn::LaneTime, 150_000));
        rig.play([goods(1, 10_000, 10_000, 3), goods(2, 39_500, 9_500, 3)].concat());
        assert_eq!(rig.places(), places);
    }
    check(OrderBy::LaneTime, [2, 1, 0]);
    check(OrderBy::FirstToFinish, [1, 2, 0]);
}

#[test]
fn a_call_before_the_lanes_own_start_does_not_count() {
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::LaneTime, 150_000));
    let early = rig.say(2, 29_999, Call::Good);
    assert_eq!(early, Outcome::NotCounted { why: NotCounted::BeforeStart, done: 0 });
    assert_eq!(rig.say(2, 30_000, Call::Good), Outcome::Applied { done: 1 });
    assert_eq!(rig.lane(2).start, SpanMs(30_000));
}

#[test]
fn a_cap_on_lane_time_stops_each_lane_for_itself() {
    // Cap 98.0 s: lane 1 has 9 then; lane 2 finishes at 95.0; lane 3, at 158.0 of heat time, has 8.
    let plan = plan(OrderBy::LaneTime, CapOn::LaneTime, 98_000);
    let mut rig = Rig::started(plan.clone());
    rig.play(until(97_000));
    assert_eq!(
        (rig.heat.state().ends, rig.heat.next_timeout()),
        (SpanMs(158_000), Some(HeatMs(GO + 98_000)))
    );
    rig.pass(GO + 98_000);
    assert_eq!(
        (rig.state(), rig.lane(1).status, rig.text(1)),
        (State::Running, Status::Capped, "9 of 10".into())
    );
    let late = rig.say(1, 100_000, Call::Good);
    assert_eq!(late, Outcome::NotCounted { why: NotCounted::AfterCap, done: 9 });
    // Lane 2 has 7 of its ten, and goes on; the stopped lane is not first on the floor once somebody finished.
    rig.play(
        all_calls().into_iter().filter(|(lane, at, _)| *lane > 1 && (97_001..158_001).contains(at)).collect(),
    );
    assert_eq!((rig.text(2), rig.heat.state().first_on_floor), ("1:35.0".into(), Some(LaneNo(3))));
    rig.pass(GO + 158_000);
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(158_000) });
    assert_eq!(
        (rig.texts(), rig.places()),
        (vec!["9 of 10".into(), "1:35.0".into(), "8 of 10".into()], vec![2, 1, 3])
    );
    rig.replays(plan);
}

#[test]
fn a_cap_on_the_heat_stops_all_lanes_at_once() {
    // Cap 105.0 s of heat time: lane 1 finished at 100.0; lane 2 has 7 since 96.5+, lane 3 has 4 since 104.0.
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::Heat, 105_000));
    rig.play(until(105_000));
    assert_eq!(rig.heat.state().ends, SpanMs(105_000));
    rig.pass(GO + 105_000);
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.texts(), ["1:40.0", "7 of 10", "4 of 10"]);
}

#[test]
fn a_capped_time_counts_from_where_the_lanes_time_was_up() {
    // Lane 3 is stopped with 6 missing, at 45.0 s of its own time: 45 + 6 = 51 s. Lane 2 with 3 missing at 75.0: 78 s.
    let mut plan = plan(OrderBy::LaneTime, CapOn::Heat, 105_000);
    plan.workouts[0].clock.capped_as = CappedAs::CapPlusPenalty;
    let mut rig = Rig::started(plan);
    rig.play(until(105_000));
    rig.pass(GO + 105_000);
    assert_eq!(rig.texts(), ["1:40.0", "1:18.0", "0:51.0"]);
    // Who finished ranks above who did not.
    assert_eq!(rig.places(), [1, 3, 2]);
}

#[test]
fn rulings_speak_the_time_that_counts() {
    #[track_caller]
    fn check(order_by: OrderBy, finish: i64, want: &str) {
        let mut rig = Rig::started(plan(order_by, CapOn::LaneTime, 150_000));
        rig.play(until(120_000));
        rig.ruled(125_000, 2, set_count(10, Some(finish)));
        assert_eq!(rig.text(2), want);
        rig.ruled(126_000, 2, time_penalty(1_000));
        rig.ruled(127_000, 2, RulingKind::MoveFinish(SpanMs(finish - 5_000)));
        rig.ruled(128_000, 2, RulingKind::Credit(SpanMs(2_000)));
        // A second on top, five less, two credited: six less.
        assert_eq!(rig.lane(2).result.unwrap().official, Some(SpanMs(finish - 6_000)));
    }
    check(OrderBy::LaneTime, 94_000, "1:34.0");
    check(OrderBy::FirstToFinish, 124_000, "2:04.0");
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::LaneTime, 150_000));
    rig.play(until(120_000));
    let early = rig.rule(GO + 125_000, 2, set_count(10, Some(95_001)));
    assert_eq!(early, Outcome::Refused(Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 95_000 }));
    let mut rig = Rig::started(plan(OrderBy::FirstToFinish, CapOn::LaneTime, 150_000));
    rig.play(until(120_000));
    let early = rig.rule(GO + 125_000, 2, set_count(10, Some(29_999)));
    assert_eq!(early, Outcome::Refused(Refused::TimeOutOfRange { earliest_ms: 30_000, latest_ms: 125_000 }));
}

#[test]
fn a_finish_that_is_undone_gives_the_time_back_that_the_heat_has_left() {
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::LaneTime, 105_000));
    rig.play(until(160_000));
    rig.ruled(160_500, 3, status(StatusRuling::DidNotFinish));
    // Lanes 1 and 2 finished, lane 3 is out: nobody is left.
    assert_eq!(rig.state(), State::TimeCalled);
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::LaneTime, 130_000));
    rig.play(all_calls());
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.say(3, 171_000, Call::Undo), Outcome::Applied { done: 9 });
    // Lane 3 has until 190 s of heat time.
    assert_eq!((rig.state(), rig.heat.next_timeout()), (State::Running, Some(HeatMs(GO + 190_000))));
    rig.pass(GO + 190_000);
    assert_eq!((rig.state(), rig.text(3)), (State::TimeCalled, "9 of 10".into()));
}

#[test]
fn holds_move_every_start_with_them() {
    let mut rig = Rig::started(plan(OrderBy::LaneTime, CapOn::LaneTime, 150_000));
    rig.floor(GO + 20_000, Floor::Hold);
    rig.floor(GO + 50_000, Floor::Resume);
    // The clock goes on from 20 s at 60 s: lane 2's start, at 30 s of the clock, comes at 70 s.
    assert_eq!(rig.say(2, 69_999, Call::Good), Outcome::NotCounted { why: NotCounted::BeforeStart, done: 0 });
    assert_eq!(rig.say(2, 70_000, Call::Good), Outcome::Applied { done: 1 });
}

#[test]
fn a_start_lies_within_the_heat() {
    #[track_caller]
    fn check(cap_on: CapOn, start: i64, max_ms: i64) {
        let mut plan = plan(OrderBy::LaneTime, cap_on, 100_000);
        plan.lanes[1].start = SpanMs(start);
        let error = SetupError::LaneStart { lane: LaneNo(2), found_ms: start, max_ms };
        assert_eq!(Heat::new(plan), Err(error));
    }
    check(CapOn::Heat, 100_000, 99_999);
    check(CapOn::LaneTime, -1, 86_400_000);
    check(CapOn::LaneTime, i64::MAX, 86_400_000);
}

#[test]
fn a_credit_lets_calls_count_though_a_lane_with_more_time_had_finished() {
    // Cap 98.0 s. Lane 2 needs 20.0 s of its own time; lane 1 is stopped at 98.0 with 9, and that calls time.
    #[track_caller]
    fn check(start: i64) {
        let mut plan = plan(OrderBy::LaneTime, CapOn::LaneTime, 98_000);
        plan.lanes[1].start = SpanMs(start);
        plan.lanes[2].occupied = false;
        let mut rig = Rig::started(plan.clone());
        rig.play([goods(1, 10_000, 10_000, 9), goods(2, start + 2_000, 2_000, 10)].concat());
        rig.pass(GO + 98_000);
        assert_eq!((rig.state(), rig.text(1)), (State::TimeCalled, "9 of 10".into()));
        let late = rig.say(1, 99_000, Call::Good);
        assert_eq!(late, Outcome::NotCounted { why: NotCounted::AfterCap, done: 9 });
        // 3 s to 101.0: the tenth, at 99.0, counts. 99.0 - 3 = 96.0.
        rig.ruled(100_000, 1, RulingKind::Credit(SpanMs(3_000)));
        assert_eq!((rig.text(1), rig.text(2)), ("1:36.0".into(), "0:20.0".into()));
        rig.replays(plan);
    }
    // Lane 2 might have worked until 98.0, or until 128.0.
    check(0);
    check(30_000);
}

#[test]
fn a_lane_that_ended_before_time_was_called_has_no_time_after_it() {
    // Lane 2, from 30.0, finished at 50.0 and might have worked until 128.0; lane 1 is stopped at 98.0.
    let mut plan = plan(OrderBy::LaneTime, CapOn::LaneTime, 98_000);
    plan.lanes[2].occupied = false;
    let mut rig = Rig::started(plan.clone());
    rig.play([goods(1, 10_000, 10_000, 9), goods(2, 32_000, 2_000, 10)].concat());
    rig.pass(GO + 98_000);
    let beyond = rig.rule(GO + 110_000, 2, RulingKind::MoveFinish(SpanMs(68_001)));
    assert_eq!(beyond, Outcome::Refused(Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: 68_000 }));
    rig.ruled(110_000, 2, set_count(9, None));
    let after = rig.say(2, 111_000, Call::Good);
    assert_eq!(after, Outcome::NotCounted { why: NotCounted::AfterCap, done: 9 });
    assert_eq!((rig.state(), rig.text(2)), (State::Provisional, "9 of 10".into()));
    rig.replays(plan);
}
