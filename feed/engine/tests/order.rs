//! Live order, places, gaps, tie-breaks, divisions.

mod support;

use fivemark_engine::command::{Call, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{CappedAs, FinishRule};
use fivemark_engine::{Outcome, Status};
use support::{GO, Rig, goods, part, set_count, setup, status, unit_penalty, workout};

#[test]
fn nobody_has_a_place_before_scoring() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 20)]), 3));
    assert_eq!((rig.places(), rig.heat.state().first_on_floor), (vec![0, 0, 0], None));
    rig.goods(2, 1_000, 100, 1);
    assert_eq!((rig.places(), rig.heat.state().first_on_floor), (vec![0, 1, 0], Some(LaneNo(2))));
    assert_eq!(rig.standing(1).gap_units, Some(1));
    // From time called, everybody who started is ranked.
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [2, 1, 2]);
}

#[test]
fn equal_units_are_parted_by_who_reached_them_first() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 20)]), 3));
    rig.goods(1, 1_000, 2_000, 5); // reaches 5 at 9.0 s
    rig.goods(2, 1_500, 1_000, 5); // at 5.5 s
    rig.goods(3, 1_500, 1_000, 5); // at 5.5 s as well
    assert_eq!(rig.places(), [3, 1, 1]);
    // Lane 3 goes on to 6: it leads. Lane 1 reached 5 at 9.0 s, where lane 3 stood at 5.5 s.
    rig.goods(3, 10_000, 0, 1);
    assert_eq!(rig.places(), [3, 2, 1]);
    let (gap_units, gap) = (Some(1), Some(SpanMs(3_500)));
    assert_eq!((rig.standing(1).gap_units, rig.standing(1).gap), (gap_units, gap));
    assert_eq!((rig.standing(2).gap_units, rig.standing(2).gap), (Some(1), Some(SpanMs(0))));
    assert_eq!((rig.standing(3).gap_units, rig.standing(3).gap), (None, None));
    // From time called, equal units share the place, as there is no tie-break.
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [2, 2, 1]);
}

#[test]
fn after_the_first_finish_gaps_run_to_first_on_floor_and_to_the_winner() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 10)]), 4));
    rig.goods(1, 1_000, 1_000, 10); // finishes in 10.0
    rig.goods(2, 1_000, 1_000, 7);
    rig.goods(3, 1_000, 1_000, 4);
    assert_eq!(rig.heat.state().first_on_floor, Some(LaneNo(2)));
    let gaps = |rig: &Rig| -> Vec<_> {
        (1..=4).map(|lane| (rig.standing(lane).gap_units, rig.standing(lane).gap.map(|gap| gap.0))).collect()
    };
    assert_eq!(gaps(&rig), [(None, None), (None, None), (Some(3), None), (Some(7), None)]);
    rig.goods(2, 10_250, 1_000, 3); // finishes in 12.250, official 12.3
    assert_eq!(rig.heat.state().first_on_floor, Some(LaneNo(3)));
    assert_eq!(gaps(&rig), [(None, None), (None, Some(2_300)), (None, None), (Some(4), None)]);
    assert_eq!((rig.heat.state().finished, rig.heat.state().starters), (2, 4));
    rig.pass(GO + 600_000);
    assert_eq!(rig.heat.state().first_on_floor, None);
}

#[test]
fn a_count_that_was_set_back_is_reached_when_it_is_reached_again() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 20)]), 2));
    rig.goods(1, 1_000, 1_000, 10);
    rig.goods(2, 11_000, 1_000, 5); // 5 at 15.0 s
    assert_eq!(rig.standing(2).gap, Some(SpanMs(10_000)));
    assert_eq!(rig.rule(GO + 20_000, 1, set_count(3, None)), Outcome::Done);
    assert_eq!(rig.places(), [2, 1]);
    // Lane 1 stands at 3 since the ruling at 20.0 s; lane 2 stood there at 13.0 s.
    assert_eq!(rig.standing(1).gap, Some(SpanMs(7_000)));
    rig.goods(1, 21_000, 1_000, 3); // 6 at 23.0 s, 5 at 22.0 s
    assert_eq!((rig.places(), rig.standing(2).gap), (vec![1, 2], Some(SpanMs(0))));
}

#[test]
fn ties_are_decided_on_the_official_time() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 2)]), 3));
    // 51.21 s and 51.30 s both round up to 51.3 s; 51.31 s to 51.4 s.
    rig.play(
        [(1, 51_210), (2, 51_300), (3, 51_310)].map(|(lane, at)| goods(lane, 1_000, at - 1_000, 2)).concat(),
    );
    assert_eq!(rig.places(), [1, 1, 3]);
    assert_eq!(rig.text(2), "0:51.3");
}

#[test]
fn capped_lanes_come_after_the_finished_and_share_by_tie_break_time() {
    // Common practice, worked out by an independent sort and scipy's rankdata(method="min"): finished lanes by
    // time; then more repetitions; then the earlier tie-break time; a missing one last. Times are in ms; lane 4
    // did all 90 and made no finish call; the tie-break is at the end of the first part, after 80.
    let mut first = part(0, 80);
    first.tie_break = true;
    let mut plan = workout(vec![first, part(2, 10)]);
    plan.finish = FinishRule::FinishCall;
    let mut rig = Rig::started(setup(plan, 9));
    let finished = [(1, 431_200), (3, 431_200), (6, 299_990)];
    let capped = [(2, 87, 402_000), (4, 90, 500_000), (5, 87, 398_500), (7, 87, 402_000)];
    let mut calls = vec![];
    for (lane, reps, tie_break) in capped {
        calls.extend(goods(lane, tie_break - 79_000, 1_000, 80));
        calls.extend(goods(lane, 510_000, 1_000, reps - 80));
    }
    for (lane, finish) in finished {
        calls.extend(goods(lane, 1_000, 1_000, 90));
        calls.push((lane, finish, Call::Finish));
    }
    rig.play(calls);
    rig.rule(GO + 590_000, 9, status(StatusRuling::DidNotStart));
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [2, 6, 2, 4, 5, 1, 6, 8, 0]);
    assert_eq!(
        (rig.text(1), rig.text(6), rig.text(2)),
        ("7:11.2".into(), "5:00.0".into(), "87 of 90".into())
    );
}

#[test]
fn a_missing_tie_break_time_ranks_last() {
    let mut last = part(2, 10);
    last.tie_break = true;
    let mut rig = Rig::started(setup(workout(vec![last, part(0, 10)]), 3));
    rig.goods(3, 1_000, 1_000, 5);
    rig.goods(2, 50_000, 1_000, 11); // tie-break at 59.0 s
    rig.goods(1, 100_000, 1_000, 11); // at 109.0 s
    // Set by a ruling, lane 3's part has no time of its own.
    rig.rule(GO + 200_000, 3, set_count(11, None));
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [2, 1, 3]);
    // Set back into the part, lane 2 loses its time.
    rig.rule(GO + 601_000, 2, set_count(9, None));
    rig.rule(GO + 602_000, 2, set_count(11, None));
    assert_eq!(rig.places(), [1, 2, 2]);
}

#[test]
fn who_did_not_finish_ranks_by_work_after_everybody_capped() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 20)]), 4));
    rig.goods(1, 1_000, 1_000, 15);
    rig.goods(2, 1_000, 1_000, 3);
    rig.goods(3, 1_000, 1_000, 9);
    rig.rule(GO + 30_000, 1, status(StatusRuling::DidNotFinish));
    rig.rule(GO + 30_000, 3, status(StatusRuling::DidNotFinish));
    assert_eq!((rig.places(), rig.lane(1).score), (vec![2, 1, 3, 0], 15));
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [3, 1, 4, 2]);
}

#[test]
fn units_taken_off_change_the_place_and_never_go_below_nothing() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 20)]), 2));
    rig.goods(1, 1_000, 1_000, 5);
    rig.goods(2, 1_000, 1_000, 4);
    rig.rule(GO + 10_000, 1, unit_penalty(2));
    assert_eq!((rig.places(), rig.lane(1).score, rig.lane(1).done), (vec![2, 1], 3, 5));
    rig.rule(GO + 11_000, 1, unit_penalty(900));
    assert_eq!((rig.places(), rig.lane(1).score), (vec![0, 1], 0));
}

#[test]
fn results_of_capped_lanes_read_as_the_event_chose() {
    #[track_caller]
    fn check(capped_as: CappedAs, want: &str) {
        let mut plan = workout(vec![part(0, 90)]);
        plan.clock.capped_as = capped_as;
        let mut rig = Rig::started(setup(plan, 1));
        rig.goods(1, 1_000, 1_000, 87);
        rig.pass(GO + 600_000);
        assert_eq!((rig.lane(1).status, rig.text(1).as_str()), (Status::Capped, want));
    }
    check(CappedAs::WorkDone, "87 of 90");
    check(CappedAs::WorkLeft, "cap + 3");
    check(CappedAs::CapPlusPenalty, "10:03.0"); // Common practice: a second for each missing unit.
}

#[test]
fn divisions_with_other_work_are_ranked_by_themselves() {
    let mut plan = setup(workout(vec![part(0, 10)]), 4);
    let mut longer = workout(vec![part(0, 30)]);
    longer.name = "Harbour Steps, long".into();
    plan.workouts.push(longer);
    for lane in &mut plan.lanes[2..] {
        (lane.division, lane.workout) = (1, 1);
    }
    let mut rig = Rig::started(plan);
    rig.goods(1, 1_000, 1_000, 4);
    rig.goods(2, 1_000, 1_000, 6);
    rig.goods(3, 1_000, 1_000, 20);
    rig.goods(4, 1_000, 1_000, 15);
    assert_eq!(rig.places(), [2, 1, 1, 2]);
    assert_eq!((rig.standing(1).gap_units, rig.standing(4).gap_units), (Some(2), Some(5)));
    // First on floor for the whole heat: the leader with the least left.
    assert_eq!(rig.heat.state().first_on_floor, Some(LaneNo(2)));
}

#[test]
fn divisions_with_the_same_work_share_the_heats_order() {
    let mut plan = setup(workout(vec![part(0, 10)]), 3);
    plan.workouts.push(plan.workouts[0].clone());
    (plan.lanes[0].division, plan.lanes[0].workout) = (1, 1);
    let mut rig = Rig::started(plan);
    rig.goods(1, 1_000, 1_000, 4);
    rig.goods(2, 1_000, 1_000, 6);
    rig.goods(3, 1_000, 1_000, 2);
    let rows: Vec<_> = rig.heat.order().iter().map(|row| (row.place, row.division_place)).collect();
    assert_eq!(rows, [(2, 1), (1, 1), (3, 2)]);
    assert_eq!(rig.standing(1).gap_units, Some(2));
}

#[test]
fn the_gap_in_seconds_is_right_however_far_behind_a_lane_is() {
    // Lane 1 scores every second from 1.0 s on, so it reached n at n seconds. Lane 2 reached n at 2n seconds: it is
    // n seconds behind, and the leader has gone on to 2n.
    let mut rig = Rig::started(setup(workout(vec![part(0, 300)]), 2));
    for count in 1..=120 {
        rig.play([goods(1, count * 2_000 - 1_000, 1_000, 2), goods(2, count * 2_000, 0, 1)].concat());
        let (gap_units, gap) = (u32::try_from(count).ok(), Some(SpanMs(count * 1_000)));
        assert_eq!((rig.standing(2).gap_units, rig.standing(2).gap), (gap_units, gap), "after {count}");
    }
}
