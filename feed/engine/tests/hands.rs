//! A lane that goes from one phone to another: whose calls count, whenever they come in, and that a replay agrees.

mod support;

use fivemark_engine::command::{Call, Command, HandOver};
use fivemark_engine::ids::{DeviceId, LaneNo};
use fivemark_engine::{NotCounted, Outcome, Refused, State};
use support::{GO, Phone, Rig, rerun_lane, three_of_four as plan};

fn hand_over(rig: &mut Rig, after_go: i64, from: &str, to: &str) -> Outcome {
    let (from, to) = (Some(DeviceId(from.into())), DeviceId(to.into()));
    let said = HandOver { lane: LaneNo(1), from, to, by: "head judge".into() };
    rig.send(GO + after_go, &Command::HandOver(said))
}

fn not_counted(outcome: Outcome) -> Option<NotCounted> {
    match outcome {
        Outcome::Applied { .. } => None,
        Outcome::NotCounted { why, .. } => Some(why),
        outcome => panic!("{outcome:?}"),
    }
}

/// A second phone for lane 1.
fn second() -> Phone {
    Phone { origin: 7_000, ..Phone::new(1, "second") }
}

#[test]
fn calls_tapped_before_a_hand_over_count_whenever_they_come_and_later_ones_do_not() {
    let mut rig = Rig::started(plan());
    rig.goods(1, 1_000, 1_000, 3);
    let waiting = rig.tap(1, 4_000, Call::Good);
    let at_the_moment = rig.tap(1, 5_000, Call::Good);
    let later = rig.tap(1, 5_001, Call::Good);
    assert_eq!(hand_over(&mut rig, 5_000, "phone-1", "second"), Outcome::Done);
    let mut second = second();
    let first_tap = second.tap(GO + 6_000, Call::Good);
    assert_eq!(not_counted(rig.tally(GO + 6_000, first_tap)), None);
    // The first phone comes back on the line and sends what waited.
    assert_eq!(not_counted(rig.tally(GO + 7_000, waiting)), None);
    assert_eq!(not_counted(rig.tally(GO + 7_000, at_the_moment)), None);
    assert_eq!(not_counted(rig.tally(GO + 7_000, later)), Some(NotCounted::HandedOver));
    assert_eq!(rig.lane(1).done, 6, "three, two that waited, one of the second phone");
    // Each takes back its own alone: the second phone's last call, not the first one's.
    let undo = second.tap(GO + 8_000, Call::Undo);
    assert_eq!(not_counted(rig.tally(GO + 8_000, undo)), None);
    let undo = second.tap(GO + 8_500, Call::Undo);
    assert_eq!(not_counted(rig.tally(GO + 8_500, undo)), Some(NotCounted::NothingToUndo));
    assert_eq!(rig.lane(1).done, 5);
    let told = &rig.heat.hand_overs(LaneNo(1)).unwrap()[0];
    assert_eq!((told.to.0.as_str(), told.by.as_str(), told.run), ("second", "head judge", 1));
    rig.replays(plan());
}

#[test]
fn a_lane_may_come_back_and_a_hand_over_to_its_holder_is_none() {
    let mut rig = Rig::started(plan());
    assert_eq!(
        hand_over(&mut rig, 2_000, "phone-1", "phone-1"),
        Outcome::Refused(Refused::HeldAlready(LaneNo(1)))
    );
    assert_eq!(hand_over(&mut rig, 3_000, "phone-1", "second"), Outcome::Done);
    // Not yet its lane when it was tapped, however late it comes.
    let mut second = second();
    let early = second.tap(GO + 2_500, Call::Good);
    assert_eq!(not_counted(rig.tally(GO + 4_000, early)), Some(NotCounted::HandedOver));
    assert_eq!(hand_over(&mut rig, 5_000, "second", "phone-1"), Outcome::Done);
    assert_eq!(not_counted(rig.say(1, 6_000, Call::Good)), None);
    let between = second.tap(GO + 4_500, Call::Good);
    assert_eq!(not_counted(rig.tally(GO + 6_500, between)), None);
    let unknown = HandOver { lane: LaneNo(9), from: None, to: DeviceId("x".into()), by: String::new() };
    let refused = rig.send(GO + 7_000, &Command::HandOver(unknown));
    assert_eq!(refused, Outcome::Refused(Refused::UnknownLane(LaneNo(9))));
    rig.replays(plan());
}

#[test]
fn a_phone_that_lost_its_lane_does_not_stand_for_its_judge() {
    let mut rig = Rig::started(plan());
    rig.goods(1, 1_000, 1_000, 1);
    hand_over(&mut rig, 2_000, "phone-1", "second");
    rig.link(GO + 2_000, 1, false);
    let waiting = rig.tap(1, 1_500, Call::Good);
    rig.tally(GO + 3_000, waiting);
    assert_eq!(rig.lane(1).done, 2);
    assert!(!rig.lane(1).judge_on, "the new phone has not come yet");
}

#[test]
fn what_was_handed_over_stays_so_when_a_lane_does_not_run_again() {
    let mut rig = Rig::started(plan());
    for lane in 1..=3 {
        rig.goods(lane, 1_000 + i64::from(lane), 1_000, 4);
    }
    let late = rig.tap(1, 59_500, Call::Good);
    hand_over(&mut rig, 59_000, "phone-1", "second");
    rig.pass(GO + 63_000);
    rig.floor(GO + 64_000, rerun_lane(1));
    assert_eq!(not_counted(rig.tally(GO + 65_000, late)), Some(NotCounted::WrongRun));
    rig.floor(GO + 66_000, fivemark_engine::command::Floor::Cancel);
    assert_eq!(
        (rig.state(), rig.lane(1).done),
        (State::Provisional, 4),
        "it was the second phone's to count"
    );
    rig.replays(plan());
}
