//! A lane that runs again alone and does not: what stands again, and what late calls and changes of lanes do to it.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{NotCounted, Outcome, Refused, State, Status};
use support::{GO, Phone, Rig, goods, rerun_lane, three_of_four as plan};

/// Lane 1 finished in 20.0, lane 2 in 30.0, lane 3 was stopped with 9. Time is called.
fn called() -> Rig {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 3_000, 3_000, 10), goods(3, 5_000, 5_000, 9)].concat());
    rig.pass(GO + 60_000);
    assert_eq!((rig.state(), rig.places()), (State::TimeCalled, vec![1, 2, 3, 0]));
    rig
}

/// Runs that are over: number, lane, entries.
fn past(rig: &Rig) -> Vec<(u32, u8, usize)> {
    let lanes = |run: &fivemark_engine::PastRun| {
        let number = run.run;
        run.lanes.iter().map(move |lane| (number, lane.lane.0, lane.record.len())).collect::<Vec<_>>()
    };
    rig.heat.past_runs().iter().flat_map(lanes).collect()
}

#[test]
fn it_may_be_called_off_on_deck() {
    let mut rig = called();
    assert_eq!(rig.refused(GO + 61_000, Floor::Cancel), Refused::NotInThisState(State::TimeCalled));
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.floor(GO + 71_000, Floor::Cancel);
    assert_eq!(
        (rig.state(), rig.text(3), rig.heat.state().alone),
        (State::Provisional, "9 of 10".into(), None)
    );
    // A heat that is on deck as a whole has nothing to call off.
    let mut rig = Rig::new(plan());
    rig.floor(10_000, Floor::OnDeck);
    assert_eq!(rig.refused(11_000, Floor::Cancel), Refused::NotInThisState(State::OnDeck));
}

#[test]
fn late_calls_of_the_result_that_stands_again_count() {
    let mut rig = called();
    // Lane 3's phone was off the line: its tenth, at 50.0, comes in while the lane is to run again.
    let mut late = rig.tap(3, 50_000, Call::Good);
    late.link_since = HeatMs(GO + 71_000);
    rig.floor(GO + 70_000, rerun_lane(3));
    assert_eq!(rig.tally(GO + 72_000, late), Outcome::NotCounted { why: NotCounted::WrongRun, done: 0 });
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    rig.goods(3, 91_000, 1_000, 2);
    rig.floor(GO + 95_000, Floor::Cancel);
    assert_eq!((rig.text(3), rig.lane(3).flagged, rig.places()), ("0:50.0".into(), true, vec![1, 2, 3, 0]));
    // The two calls of the run that was cancelled stay in its record.
    assert_eq!(past(&rig), [(2, 3, 2)]);
    rig.replays(plan());
}

#[test]
fn the_result_that_stands_again_is_where_the_athlete_is() {
    let mut rig = called();
    rig.phones.push(Phone::new(4, "relief"));
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.start_again(GO + 71_000);
    rig.follow_runs();
    rig.goods(3, 82_000, 1_000, 3);
    rig.ruled(85_500, 3, RulingKind::MoveAthlete { to: LaneNo(4) });
    rig.follow_runs();
    let seen = [3, 4].map(|lane| (rig.lane(lane).run, rig.lane(lane).status));
    assert_eq!((seen, rig.heat.state().alone), ([(1, Status::Empty), (2, Status::Racing)], Some(LaneNo(4))));
    rig.goods(4, 86_000, 1_000, 1);
    rig.floor(GO + 90_000, Floor::Cancel);
    assert_eq!((rig.text(4), rig.lane(4).run, rig.places()), ("9 of 10".into(), 1, vec![1, 2, 0, 3]));
    rig.replays(plan());
}

#[test]
fn the_record_keeps_what_another_athlete_did_in_the_same_lane() {
    let mut rig = called();
    rig.floor(GO + 70_000, rerun_lane(1));
    rig.start_again(GO + 71_000);
    rig.follow_runs();
    rig.goods(1, 82_000, 1_000, 10);
    rig.pass(GO + 100_000);
    // The athlete of lane 1 makes room for that of lane 2, who is to run again there, and then is not.
    rig.ruled(101_000, 1, RulingKind::MoveAthlete { to: LaneNo(4) });
    rig.ruled(102_000, 2, RulingKind::MoveAthlete { to: LaneNo(1) });
    rig.floor(GO + 103_000, rerun_lane(1));
    assert_eq!(past(&rig), [(1, 1, 11), (1, 1, 10)]);
    rig.start_again(GO + 104_000);
    rig.floor(GO + 115_000, Floor::Cancel);
    assert_eq!((rig.text(4), rig.text(1)), ("0:10.0".into(), "0:30.0".into()));
    assert_eq!(past(&rig), [(1, 1, 10), (3, 1, 0)]);
    rig.replays(plan());
}
