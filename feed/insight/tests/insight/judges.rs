//! No-rep rates of judges against the field, in heats whose calls are written down here.

use fivemark_engine::command::{Call, Command, Confirm, Floor, HandOver, Tally};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::{HeatSetup, Outcome};
use fivemark_insight::{Briefing, Class, HeatCounts, Judge, JudgeRate, Outside, Planned, Roster, of_lane};

use crate::support::{GO, Phone, Rig, part, set_count, setup, workout};

fn squats(lanes: u8) -> HeatSetup {
    setup(workout(vec![part(0, 60)]), lanes)
}

fn planned(names: &[(u8, &str)]) -> Planned {
    names.iter().map(|(lane, name)| (LaneNo(*lane), (*name).to_owned())).collect()
}

fn no_rep(rig: &mut Rig, lane: u8, after_go: i64, fault: Option<&str>) {
    let tally = Tally { fault: fault.map(str::to_owned), ..rig.tap(lane, after_go, Call::NoRep) };
    assert!(matches!(rig.tally(GO + after_go, tally), Outcome::Applied { .. }));
}

/// Good reps and no-reps on a lane, one a second, the no-reps first.
fn plays(rig: &mut Rig, lane: u8, no_reps: i64, goods: i64) {
    for index in 0..no_reps {
        no_rep(rig, lane, 1_000 + index * 1_000, Some("squat-depth"));
    }
    rig.goods(lane, 1_000 + no_reps * 1_000, 1_000, goods);
}

fn confirms(rig: &mut Rig, after_go: i64, lane: u8, judge: &str) {
    let view = rig.lane(lane);
    let confirm = Confirm {
        lane: LaneNo(lane),
        run: view.run,
        result: view.result.unwrap().text,
        athlete: "AB".into(),
        judge: judge.into(),
        by: "lane judge".into(),
        reason: String::new(),
    };
    assert_eq!(rig.send(GO + after_go, &Command::Confirm(confirm)), Outcome::Done);
}

fn row<'a>(briefing: &'a Briefing, judge: &Judge) -> &'a JudgeRate {
    briefing.judges.iter().find(|rate| rate.judge == *judge).unwrap()
}

fn named(name: &str) -> Judge {
    Judge::Named(name.into())
}

#[test]
fn a_judge_whose_interval_leaves_the_field_out_is_named_and_on_which_side() {
    let mut rig = Rig::started(squats(4));
    for (lane, no_reps) in [(1, 4), (2, 5), (3, 30), (4, 0)] {
        plays(&mut rig, lane, no_reps, 50);
    }
    let judges = planned(&[(1, "Sanna Krueger"), (2, "Bo Tamiya"), (3, "Edda Quist"), (4, "Rune Falk")]);
    let counts = HeatCounts::of(&rig.heat, &judges, &Roster::default());
    let briefing = Briefing::of(&counts);
    let field = &briefing.field[0];
    assert_eq!((field.movement.as_str(), field.judges, field.attempts, field.no_reps), ("squat", 4, 239, 39));
    let sides: Vec<_> = briefing.judges.iter().map(|rate| (rate.judge.clone(), rate.outside)).collect();
    assert_eq!(
        sides,
        [
            (named("Bo Tamiya"), None),
            (named("Edda Quist"), Some(Outside::Above)),
            (named("Rune Falk"), Some(Outside::Below)),
            (named("Sanna Krueger"), None)
        ]
    );
    let edda = row(&briefing, &named("Edda Quist"));
    assert_eq!((edda.attempts, edda.no_reps), (80, 30));
    assert_eq!((edda.faults[0].fault.as_str(), edda.faults[0].no_reps), ("depth", 30));
    let rune = row(&briefing, &named("Rune Falk"));
    assert_eq!((rune.faults[0].no_reps, rune.faults[0].outside), (0, Some(Outside::Below)), "never named it");
    assert_eq!(briefing.comparisons, 8);
    assert_eq!(briefing.agreement, []);
}

#[test]
fn what_was_taken_back_refused_or_ruled_is_no_decision_and_a_late_no_rep_is_one() {
    let mut rig = Rig::started(squats(1));
    rig.goods(1, 1_000, 1_000, 4);
    let last = Tally { fault: Some("squat-jump".into()), ..rig.tap(1, 4_500, Call::LastWasNoRep) };
    rig.tally(GO + 4_500, last);
    rig.say(1, 6_000, Call::Good);
    rig.say(1, 6_500, Call::Undo);
    no_rep(&mut rig, 1, 7_000, None);
    rig.ruled(8_000, 1, set_count(20, None));
    rig.floor(GO + 9_000, Floor::Hold);
    rig.say(1, 9_500, Call::Good);
    let decisions = of_lane(&rig.heat, LaneNo(1));
    let said: Vec<_> = decisions.iter().map(|one| (one.at.0 - GO, one.class, one.fault.as_deref())).collect();
    assert_eq!(
        said,
        [
            (1_000, Class::Good, None),
            (2_000, Class::Good, None),
            (3_000, Class::Good, None),
            (4_000, Class::NoRep, Some("jump")),
            (7_000, Class::NoRep, None)
        ]
    );
}

#[test]
fn several_at_once_are_as_many_attempts_and_a_part_called_done_is_one() {
    let mut plan = workout(vec![part(0, 10), part(1, 400)]);
    plan.movements[0].several_at_once = true;
    let mut rig = Rig::started(setup(plan, 1));
    let ten = Tally { amount: 10, ..rig.tap(1, 30_000, Call::Good) };
    rig.tally(GO + 30_000, ten);
    rig.say(1, 40_000, Call::Good);
    rig.say(1, 90_000, Call::PartDone);
    let decisions = of_lane(&rig.heat, LaneNo(1));
    let said: Vec<_> = decisions.iter().map(|one| (one.part, one.attempts, one.at_once)).collect();
    assert_eq!(said, [(0, 10, true), (1, 1, false), (1, 1, true)]);
}

#[test]
fn initials_name_a_judge_before_the_plan_does_and_the_plan_before_the_phone() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 3)]), 5));
    for lane in 1..=5 {
        plays(&mut rig, lane, 0, 3);
    }
    // The planned judge; another one of the file; one whom nobody knows; one without a plan; no initials.
    for (lane, judge) in [(1, "sk"), (2, "EQ"), (3, "ZZ"), (4, "BT")] {
        confirms(&mut rig, 20_000, lane, judge);
    }
    let judges = planned(&[(1, "Sanna Krueger"), (2, "Rune Falk"), (3, "Rune Falk"), (5, "Rune Falk")]);
    let roster = Roster::new(["Sanna Krueger", "Stig Kallas", "Edda Quist", "Bo Tamiya", "Rune Falk"]);
    let counts = HeatCounts::of(&rig.heat, &judges, &roster);
    let names: Vec<_> = Briefing::of(&counts).judges.into_iter().map(|rate| rate.judge).collect();
    assert_eq!(
        names,
        [
            named("Bo Tamiya"),
            named("Edda Quist"),
            named("Rune Falk"),
            named("Sanna Krueger"),
            Judge::Initials("ZZ".into())
        ]
    );
    let bare = HeatCounts::of(&rig.heat, &Planned::new(), &Roster::default());
    let names: Vec<_> = Briefing::of(&bare).judges.into_iter().map(|rate| rate.judge).collect();
    assert!(names.contains(&Judge::Initials("SK".into())) && names.contains(&Judge::Phone("phone-5".into())));
}

#[test]
fn a_lane_that_was_handed_over_has_two_judges() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 6)]), 1));
    rig.goods(1, 1_000, 1_000, 3);
    let to = DeviceId("spare".into());
    let step =
        HandOver { lane: LaneNo(1), from: Some(DeviceId("phone-1".into())), to, by: "head judge".into() };
    assert_eq!(rig.send(GO + 4_000, &Command::HandOver(step)), Outcome::Done);
    rig.phones[0] = Phone { epoch: Epoch(50), ..Phone::new(1, "spare") };
    rig.goods(1, 5_000, 1_000, 3);
    let judges = planned(&[(1, "Sanna Krueger")]);
    let roster = Roster::new(["Sanna Krueger", "Bo Tamiya"]);
    let names = |rig: &Rig| {
        let briefing = Briefing::of(&HeatCounts::of(&rig.heat, &judges, &roster));
        briefing.judges.into_iter().map(|rate| (rate.judge, rate.attempts)).collect::<Vec<_>>()
    };
    assert_eq!(names(&rig), [(named("Sanna Krueger"), 3), (Judge::Phone("spare".into()), 3)]);
    confirms(&mut rig, 12_000, 1, "BT");
    assert_eq!(names(&rig), [(named("Bo Tamiya"), 3), (named("Sanna Krueger"), 3)]);
}

#[test]
fn heats_add_up_and_runs_that_score_nothing_are_left_out() {
    let judges = planned(&[(1, "Sanna Krueger"), (2, "Bo Tamiya")]);
    let counts = |rig: &Rig| HeatCounts::of(&rig.heat, &judges, &Roster::default());
    let mut rig = Rig::started(squats(2));
    plays(&mut rig, 1, 2, 10);
    let mut both = counts(&rig);
    let mut second = Rig::started(squats(2));
    plays(&mut second, 1, 1, 5);
    plays(&mut second, 2, 0, 4);
    both.take_in(&counts(&second));
    let briefing = Briefing::of(&both);
    let sanna = row(&briefing, &named("Sanna Krueger"));
    assert_eq!((sanna.attempts, sanna.no_reps, sanna.faults[0].no_reps), (18, 3, 3));
    assert_eq!(briefing.field[0].judges, 2);
    second.floor(GO + 30_000, Floor::Rerun { reason: "the clock was wrong".into() });
    assert_eq!(counts(&second), HeatCounts::default());
    rig.floor(GO + 30_000, Floor::Cancel);
    assert_eq!(counts(&rig), HeatCounts::default());
}

#[test]
fn a_judge_who_is_the_whole_field_is_compared_with_nobody() {
    let mut rig = Rig::started(squats(1));
    plays(&mut rig, 1, 20, 1);
    let briefing = Briefing::of(&HeatCounts::of(&rig.heat, &Planned::new(), &Roster::default()));
    assert_eq!((briefing.judges[0].outside, briefing.comparisons), (None, 0));
    assert_eq!(briefing.judges[0].judge, Judge::Phone("phone-1".into()));
}
