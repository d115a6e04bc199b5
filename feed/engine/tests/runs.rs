//! Running again, whole or one lane alone; signing and reopening; a clock in doubt.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::{Clock, Event, NotCounted, Outcome, Refused, RemarkKind, State, Status};
use support::{GO, Phone, Rig, goods, rerun_lane, set_count, status, three_of_four as plan, time_penalty};

/// Lane 1 finished in 20.0, lane 2 in 30.0, lane 3 was stopped with 6. Provisional.
fn provisional() -> Rig {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 3_000, 3_000, 10), goods(3, 9_000, 9_000, 6)].concat());
    rig.pass(GO + 63_000);
    assert_eq!((rig.state(), rig.places()), (State::Provisional, vec![1, 2, 3, 0]));
    rig
}

fn rerun() -> Floor {
    Floor::Rerun { reason: "the music stopped".into() }
}

#[test]
fn a_heat_that_runs_again_keeps_the_earlier_run() {
    let mut rig = provisional();
    rig.ruled(65_000, 1, time_penalty(5_000));
    rig.floor(GO + 70_000, rerun());
    assert_eq!((rig.state(), rig.heat.state().run, rig.heat.state().clock), (State::OnDeck, 2, Clock::Idle));
    assert_eq!((rig.texts(), rig.places()), (vec![String::new(); 4], vec![0; 4]));
    assert!(rig.events.contains(&Event::RunChanged));
    let past: Vec<_> = rig.heat.past_runs()[0].lanes.iter().map(|lane| lane.record.len()).collect();
    assert_eq!((rig.heat.past_runs()[0].run, past), (1, vec![11, 10, 6, 0]));
    let remark = &rig.heat.remarks()[0];
    assert_eq!(
        (remark.what, remark.run, remark.reason.as_str()),
        (RemarkKind::Rerun, 1, "the music stopped")
    );
    rig.start_again(GO + 80_000);
    // A call of the first run counts in no other; the second run is counted from 90 s on.
    assert_eq!(rig.say(3, 91_000, Call::Good), Outcome::NotCounted { why: NotCounted::WrongRun, done: 0 });
    rig.follow_runs();
    rig.play(
        [goods(1, 94_000, 4_000, 10), goods(2, 93_000, 3_000, 10), goods(3, 92_000, 2_000, 10)].concat(),
    );
    // 40.0, 30.0 and 20.0 s, and no penalty: that was ruled in the first run.
    assert_eq!((rig.texts()[..3].join(" "), rig.places()), ("0:40.0 0:30.0 0:20.0".into(), vec![3, 2, 1, 0]));
    rig.replays(plan());
}

#[test]
fn each_state_that_allows_it_runs_again() {
    for reach in [None, Some(Floor::Hold), Some(Floor::CallTime), Some(Floor::Cancel)] {
        let mut rig = Rig::started(plan());
        if let Some(command) = reach.clone() {
            rig.floor(GO + 1_000, command);
        }
        rig.floor(GO + 2_000, rerun());
        assert_eq!((rig.state(), rig.heat.state().run), (State::OnDeck, 2), "{reach:?}");
    }
    let mut rig = Rig::new(plan());
    assert_eq!(rig.refused(1_000, rerun()), Refused::NotInThisState(State::LanesSet));
    let mut rig = provisional();
    assert_eq!(rig.refused(GO + 64_000, Floor::Rerun { reason: " ".into() }), Refused::NoReason);
    assert_eq!(
        rig.refused(GO + 64_000, Floor::Rerun { reason: "x".repeat(401) }),
        Refused::TooLong("reason", 400)
    );
    rig.floor(GO + 65_000, Floor::Sign { initials: false });
    assert_eq!(rig.refused(GO + 66_000, rerun()), Refused::HeatSigned);
    assert_eq!(rig.refused(GO + 66_000, rerun_lane(1)), Refused::HeatSigned);
}

#[test]
fn an_athlete_may_change_lanes_between_two_runs() {
    let mut rig = Rig::started(plan());
    rig.phones.push(Phone::new(4, "relief"));
    rig.play([goods(1, 1_000, 1_000, 3), goods(2, 1_000, 1_000, 2)].concat());
    rig.floor(GO + 5_000, rerun());
    rig.ruled(6_000, 1, RulingKind::MoveAthlete { to: LaneNo(4) });
    rig.start_again(GO + 10_000);
    rig.follow_runs();
    rig.play([goods(4, 21_000, 1_000, 4), goods(2, 21_000, 1_000, 1)].concat());
    // The first run as it was, in its lanes.
    let past: Vec<_> =
        rig.heat.past_runs()[0].lanes.iter().map(|lane| (lane.lane.0, lane.record.len())).collect();
    assert_eq!(past, [(1, 3), (2, 2), (3, 0), (4, 0)]);
    assert!(rig.heat.past_runs()[0].lanes[0].record.iter().all(|entry| matches!(
        &entry.said,
        fivemark_engine::Said::Tally(tally) if tally.lane == LaneNo(1) && tally.run == 1
    )));
    let kept = |lane| rig.heat.record(LaneNo(lane)).map_or(0, <[_]>::len);
    assert_eq!((kept(4), kept(1), kept(2)), (5, 0, 1));
    assert_eq!((rig.lane(4).done, rig.lane(4).run, rig.lane(1).status), (4, 2, Status::Empty));
    // A late call of lane 1 in the first run, where the athlete stood then, is that athlete's and of another run.
    let mut late = rig.tap(1, 3_500, Call::Good);
    late.run = 1;
    // It waited out a lost link.
    late.link_since = HeatMs(GO + 29_000);
    assert_eq!(rig.tally(GO + 30_000, late), Outcome::NotCounted { why: NotCounted::WrongRun, done: 4 });
    rig.replays(plan());
}

#[test]
fn one_lane_runs_again_alone_and_is_ranked_with_its_heat() {
    let mut rig = provisional();
    rig.floor(GO + 70_000, rerun_lane(3));
    let view = rig.heat.state();
    assert_eq!((view.state, view.alone, view.run, view.finished), (State::OnDeck, Some(LaneNo(3)), 2, 2));
    assert_eq!((rig.lane(3).run, rig.lane(3).done, rig.lane(1).run), (2, 0, 1));
    // The others' results stand.
    assert_eq!((rig.texts()[..3].join(" "), rig.places()), ("0:20.0 0:30.0 ".into(), vec![1, 2, 0, 0]));
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    assert_eq!((rig.lane(3).status, rig.lane(1).status), (Status::Racing, Status::Finished));
    let other = rig.say(1, 91_000, Call::Good);
    assert_eq!(other, Outcome::NotCounted { why: NotCounted::PastEnd, done: 10 });
    // Ten squats, one every 2.5 s from the start at 90 s: 25.0 s, between the other two.
    rig.goods(3, 92_500, 2_500, 10);
    assert_eq!(
        (rig.state(), rig.heat.state().clock),
        (State::TimeCalled, Clock::Stopped { elapsed: SpanMs(25_000) })
    );
    assert_eq!((rig.text(3), rig.places()), ("0:25.0".into(), vec![1, 3, 2, 0]));
    rig.pass(GO + 118_000);
    assert_eq!((rig.state(), rig.heat.state().alone), (State::Provisional, None));
    let past: Vec<_> = rig
        .heat
        .past_runs()
        .iter()
        .map(|run| (run.run, run.lanes[0].lane.0, run.lanes[0].record.len()))
        .collect();
    assert_eq!(past, [(1, 3, 6)]);
    // Rulings reach both runs; the finish of lane 1 lies in the first one.
    rig.ruled(120_000, 1, RulingKind::MoveFinish(SpanMs(26_000)));
    assert_eq!(rig.places(), [2, 3, 1, 0]);
    rig.floor(GO + 130_000, Floor::Sign { initials: false });
    rig.replays(plan());
}

#[test]
fn a_late_call_of_another_lane_still_counts_while_one_runs_alone() {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 5_000, 5_000, 9)].concat());
    let late = rig.tap(2, 59_000, Call::Good);
    rig.pass(GO + 60_000);
    rig.floor(GO + 61_000, rerun_lane(3));
    assert_eq!(rig.tally(GO + 62_000, late), Outcome::Applied { done: 10 });
    assert_eq!((rig.text(2), rig.lane(2).flagged, rig.state()), ("0:59.0".into(), true, State::OnDeck));
}

#[test]
fn a_finish_of_the_earlier_run_that_is_undone_late_leaves_the_lane_alone_its_time() {
    let mut rig = provisional();
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    rig.goods(3, 91_000, 1_000, 10);
    let ended = rig.heat.state();
    // Lane 1's judge took the finish at 20.0 back at 21.0, and that waited out a lost link.
    let mut undo = rig.tap(1, 21_000, Call::Undo);
    undo.link_since = HeatMs(GO + 100_500);
    assert_eq!(rig.tally(GO + 101_000, undo), Outcome::Applied { done: 9 });
    assert_eq!((rig.text(1), rig.text(3)), ("9 of 10".into(), "0:10.0".into()));
    assert_eq!((rig.state(), rig.heat.state().clock), (State::TimeCalled, ended.clock));
}

#[test]
fn a_false_start_of_a_lane_alone_is_recalled() {
    let mut rig = provisional();
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    rig.goods(3, 91_000, 1_000, 2);
    rig.floor(GO + 93_000, Floor::Recall);
    assert_eq!((rig.state(), rig.heat.state().alone, rig.lane(3).run), (State::OnDeck, Some(LaneNo(3)), 3));
    assert_eq!((rig.lane(3).done, rig.lane(1).run, rig.text(1)), (0, 1, "0:20.0".into()));
    let past: Vec<_> = rig.heat.past_runs().iter().map(|run| (run.run, run.lanes.len())).collect();
    assert_eq!(past, [(1, 1), (2, 1)]);
}

#[test]
fn a_lane_whose_running_again_is_cancelled_has_its_result_back() {
    let mut rig = provisional();
    let before = (rig.texts(), rig.places());
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    rig.goods(3, 91_000, 1_000, 2);
    rig.floor(GO + 95_000, Floor::Cancel);
    assert_eq!((rig.state(), rig.heat.state().alone), (State::Provisional, None));
    assert_eq!(((rig.texts(), rig.places()), rig.lane(3).run), (before, 1));
    let past: Vec<_> = rig.heat.past_runs().iter().map(|run| (run.run, run.lanes[0].record.len())).collect();
    assert_eq!(past, [(2, 2)]);
    let remarks: Vec<_> = rig.heat.remarks().iter().map(|remark| remark.what).collect();
    assert_eq!(remarks, [RemarkKind::RerunLane(LaneNo(3)), RemarkKind::RerunCancelled(LaneNo(3))]);
    rig.floor(GO + 96_000, Floor::Sign { initials: false });
    rig.replays(plan());
}

#[test]
fn a_lane_that_started_later_runs_again_on_the_heats_clock() {
    use fivemark_engine::workout::OrderBy;
    let mut plan = plan();
    plan.workouts[0].clock.order_by = OrderBy::FirstToFinish;
    plan.lanes[2].start = SpanMs(30_000);
    let mut rig = Rig::started(plan.clone());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 4_500, 4_500, 10)].concat());
    rig.pass(GO + 95_000);
    rig.floor(GO + 100_000, rerun_lane(3));
    rig.start_again(GO + 110_000);
    rig.follow_runs();
    // It starts at 120 s, where its heat stood at 30.0: ten squats in 10 s are 40.0, between 20.0 and 45.0.
    rig.goods(3, 121_000, 1_000, 10);
    assert_eq!((rig.texts()[..3].join(" "), rig.places()), ("0:20.0 0:45.0 0:40.0".into(), vec![1, 3, 2, 0]));
    rig.replays(plan);
}

#[test]
fn lanes_that_cannot_run_again_alone_say_why() {
    let mut rig = provisional();
    assert_eq!(rig.refused(GO + 64_000, rerun_lane(9)), Refused::UnknownLane(LaneNo(9)));
    assert_eq!(rig.refused(GO + 64_000, rerun_lane(4)), Refused::EmptyLane(LaneNo(4)));
    let no_reason = Floor::RerunLane { lane: LaneNo(1), reason: String::new() };
    assert_eq!(rig.refused(GO + 64_000, no_reason), Refused::NoReason);
    let mut rig = Rig::started(plan());
    assert_eq!(rig.refused(GO + 1_000, rerun_lane(1)), Refused::NotInThisState(State::Running));
}

#[test]
fn signing_waits_for_reviews_and_a_reopened_heat_is_signed_again() {
    let mut rig = provisional();
    rig.ruled(64_000, 2, status(StatusRuling::UnderReview));
    assert_eq!(rig.refused(GO + 65_000, Floor::Sign { initials: false }), Refused::UnderReview(LaneNo(2)));
    rig.ruled(66_000, 2, status(StatusRuling::Reinstated));
    rig.floor(GO + 67_000, Floor::Sign { initials: false });
    assert_eq!(rig.refused(GO + 68_000, Floor::Reopen { reason: String::new() }), Refused::NoReason);
    rig.floor(GO + 69_000, Floor::Reopen { reason: "a protest of lane 3".into() });
    assert_eq!(rig.state(), State::Provisional);
    rig.ruled(70_000, 3, set_count(7, None));
    rig.floor(GO + 71_000, Floor::Sign { initials: false });
    assert_eq!((rig.state(), rig.text(3)), (State::Signed, "7 of 10".into()));
    let remark = &rig.heat.remarks()[0];
    assert_eq!((remark.what, remark.reason.as_str()), (RemarkKind::Reopened, "a protest of lane 3"));
    assert_eq!(rig.refused(GO + 72_000, Floor::Close), Refused::HeatSigned);
    rig.replays(plan());
}

#[test]
fn a_clock_in_doubt_is_confirmed_before_signing() {
    let mut rig = Rig::started(plan());
    rig.floor(GO + 10_000, Floor::DoubtClock);
    assert!(rig.heat.state().clock_in_doubt && rig.events.contains(&Event::HeatChanged));
    // Said again, it is in doubt once.
    rig.floor(GO + 11_000, Floor::DoubtClock);
    rig.pass(GO + 63_000);
    assert_eq!(rig.refused(GO + 64_000, Floor::Sign { initials: false }), Refused::ClockInDoubt);
    rig.floor(GO + 65_000, Floor::ConfirmClock);
    assert_eq!(rig.refused(GO + 65_000, Floor::ConfirmClock), Refused::ClockNotInDoubt);
    rig.floor(GO + 66_000, Floor::Sign { initials: false });
    let remarks: Vec<_> = rig.heat.remarks().iter().map(|remark| remark.what).collect();
    assert_eq!(remarks, [RemarkKind::ClockDoubted, RemarkKind::ClockConfirmed]);
    rig.replays(plan());
}

#[test]
fn a_clock_that_measures_nothing_is_not_doubted() {
    let mut rig = Rig::new(plan());
    rig.floor(1_000, Floor::DoubtClock);
    assert!(!rig.heat.state().clock_in_doubt);
    // A whole new run starts on a clock that nobody doubts, however it comes about.
    for again in [&[rerun()][..], &[Floor::Recall], &[Floor::Cancel, Floor::OnDeck]] {
        let mut rig = Rig::started(plan());
        rig.floor(GO + 1_000, Floor::DoubtClock);
        again.iter().for_each(|command| rig.floor(GO + 2_000, command.clone()));
        assert_eq!((rig.state(), rig.heat.state().clock_in_doubt), (State::OnDeck, false), "{again:?}");
    }
    let mut rig = provisional();
    rig.floor(GO + 64_000, Floor::Sign { initials: false });
    rig.floor(GO + 65_000, Floor::DoubtClock);
    assert!(!rig.heat.state().clock_in_doubt);
}

#[test]
fn a_clock_that_timed_the_others_is_doubted_while_a_lane_runs_again() {
    let mut rig = provisional();
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.floor(GO + 71_000, Floor::DoubtClock);
    rig.start_again(GO + 80_000);
    // A recall of the lane alone leaves the doubt about the others.
    rig.floor(GO + 91_000, Floor::Recall);
    assert!(rig.heat.state().clock_in_doubt);
}
