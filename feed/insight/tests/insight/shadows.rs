//! Shadow judges beside lane judges, in heats whose calls are written down here.

use fivemark_engine::command::{Call, Floor, Tally};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::workout::Unit;
use fivemark_engine::{HeatSetup, Outcome};
use fivemark_insight::agreement::Agreement;
use fivemark_insight::{Briefing, HeatCounts, Planned, Roster};

use crate::support::{GO, Phone, Rig, movement, part, setup, workout};

/// Thirty squats on two lanes.
fn squats() -> HeatSetup {
    setup(workout(vec![part(0, 30)]), 2)
}

fn shadow(lane: u8) -> Phone {
    Phone { epoch: Epoch(900 + u64::from(lane)), ..Phone::new(lane, "shadow") }
}

/// A shadow's call, so long after the start.
fn tap(phone: &mut Phone, after_go: i64, call: Call) -> Tally {
    Tally { shadow: true, ..phone.tap(GO + after_go, call) }
}

fn says(rig: &mut Rig, phone: &mut Phone, after_go: i64, call: Call) {
    let tally = tap(phone, after_go, call);
    let before = rig.lane(phone.lane);
    assert!(matches!(rig.tally(GO + after_go, tally), Outcome::Applied { .. }));
    let after = rig.lane(phone.lane);
    assert_eq!((before.done, before.no_reps, before.last_good), (after.done, after.no_reps, after.last_good));
}

/// What the heat comes to, by movement.
fn agreement(rig: &Rig) -> Vec<(String, Agreement)> {
    let counts = HeatCounts::of(&rig.heat, &Planned::new(), &Roster::default());
    let found = Briefing::of(&counts).agreement;
    found.into_iter().map(|one| (one.movement, one.agreement)).collect()
}

/// The only movement's: decisions, same, differ, the judge alone, the shadow alone.
#[track_caller]
fn check(rig: &Rig, expected: (u32, u32, u32, u32, u32)) {
    let found = agreement(rig);
    assert_eq!(found.len(), 1, "{found:?}");
    let (_, Agreement { decisions, same, differ, judge_alone, shadow_alone, .. }) = found[0];
    assert_eq!((decisions, same, differ, judge_alone, shadow_alone), expected);
}

#[test]
fn what_both_say_is_compared_attempt_by_attempt() {
    let mut rig = Rig::started(squats());
    let mut shadow = shadow(1);
    rig.say(1, 3_000, Call::Good);
    says(&mut rig, &mut shadow, 3_400, Call::Good);
    // One calls a no-rep, the other a rep.
    says(&mut rig, &mut shadow, 5_800, Call::Good);
    rig.say(1, 6_000, Call::NoRep);
    // Missed by the shadow, then by the judge.
    rig.say(1, 9_000, Call::Good);
    says(&mut rig, &mut shadow, 12_000, Call::NoRep);
    rig.say(1, 15_000, Call::Good);
    says(&mut rig, &mut shadow, 15_100, Call::Good);
    check(&rig, (5, 2, 1, 1, 1));
}

#[test]
fn what_a_shadow_takes_back_is_taken_back() {
    let mut rig = Rig::started(squats());
    let mut shadow = shadow(1);
    for at in [3_000, 6_000, 9_000, 12_000] {
        rig.say(1, at, Call::Good);
        says(&mut rig, &mut shadow, at + 200, Call::Good);
    }
    // The last rep was none, then it was one after all; then one tap too many, undone; then one undone too late.
    says(&mut rig, &mut shadow, 13_500, Call::LastWasNoRep);
    says(&mut rig, &mut shadow, 14_000, Call::Undo);
    says(&mut rig, &mut shadow, 14_500, Call::Good);
    says(&mut rig, &mut shadow, 15_000, Call::Undo);
    says(&mut rig, &mut shadow, 21_000, Call::Undo);
    check(&rig, (4, 4, 0, 0, 0));
    says(&mut rig, &mut shadow, 21_500, Call::LastWasNoRep);
    check(&rig, (4, 3, 1, 0, 0));
    // The judge agrees a moment later: the rep counts where it was called.
    rig.say(1, 22_000, Call::LastWasNoRep);
    check(&rig, (4, 4, 0, 0, 0));
}

#[test]
fn a_shadow_is_compared_for_as_long_as_it_was_there_and_calls_counted() {
    let mut rig = Rig::started(squats());
    let mut shadow = shadow(1);
    rig.goods(1, 2_000, 3_000, 4);
    says(&mut rig, &mut shadow, 11_100, Call::Good);
    // Held: nothing that is called now is about the lane's work.
    rig.floor(GO + 12_000, Floor::Hold);
    says(&mut rig, &mut shadow, 13_000, Call::Good);
    rig.floor(GO + 14_000, Floor::Resume);
    rig.pass(GO + 24_000);
    rig.say(1, 26_000, Call::Good);
    says(&mut rig, &mut shadow, 26_000, Call::Good);
    rig.goods(1, 29_000, 3_000, 3);
    check(&rig, (2, 2, 0, 0, 0));
}

#[test]
fn another_run_and_an_empty_record_are_compared_with_nothing() {
    let mut rig = Rig::started(squats());
    let mut shadow = shadow(2);
    says(&mut rig, &mut shadow, 3_000, Call::Good);
    assert_eq!(agreement(&rig), [], "the lane's judge has called nothing");
    rig.say(2, 3_100, Call::Good);
    check(&rig, (1, 1, 0, 0, 0));
    rig.floor(GO + 5_000, Floor::Rerun { reason: "the rig gave way".into() });
    assert_eq!(agreement(&rig), [], "a run that scores nothing");
}

#[test]
fn several_at_once_have_no_times_of_their_own() {
    let mut plan = workout(vec![part(0, 30)]);
    plan.movements[0].several_at_once = true;
    let mut rig = Rig::started(setup(plan, 1));
    let mut shadow = shadow(1);
    rig.say(1, 3_000, Call::Good);
    says(&mut rig, &mut shadow, 3_000, Call::Good);
    for at in [6_000, 9_000, 12_000] {
        says(&mut rig, &mut shadow, at, Call::Good);
    }
    let three = Tally { amount: 3, ..rig.tap(1, 12_300, Call::Good) };
    rig.tally(GO + 12_300, three);
    rig.say(1, 16_000, Call::Good);
    says(&mut rig, &mut shadow, 16_200, Call::Good);
    check(&rig, (2, 2, 0, 0, 0));
}

#[test]
fn each_movement_is_compared_by_itself_and_all_of_them_together() {
    let mut plan = workout(vec![part(0, 2), part(3, 3)]);
    plan.movements.push(movement("lunge", Unit::Rep, 1, 2_000));
    let mut rig = Rig::started(setup(plan, 1));
    let mut shadow = shadow(1);
    for at in [3_000, 6_000, 9_000, 12_000] {
        rig.say(1, at, Call::Good);
        says(&mut rig, &mut shadow, at + 100, Call::Good);
    }
    says(&mut rig, &mut shadow, 14_500, Call::NoRep);
    let found = agreement(&rig);
    let each: Vec<_> = found.iter().map(|(name, of)| (name.as_str(), of.decisions, of.same)).collect();
    assert_eq!(each, [("lunge", 3, 2), ("squat", 2, 2), ("", 5, 4)]);
}

#[test]
fn two_shadows_of_a_lane_are_each_held_against_it() {
    let mut rig = Rig::started(squats());
    let (mut one, mut other) = (shadow(1), shadow(1));
    (other.device, other.epoch) = (DeviceId("other".into()), Epoch(77));
    for at in [3_000, 6_000] {
        rig.say(1, at, Call::Good);
        says(&mut rig, &mut one, at, Call::Good);
        says(&mut rig, &mut other, at + 300, Call::NoRep);
    }
    check(&rig, (4, 2, 2, 0, 0));
    assert_eq!(rig.heat.record(LaneNo(1)).unwrap().len(), 6, "all of it is kept");
}
