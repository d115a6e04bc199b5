//! Initials under results: what they stand for, what takes them back, and signing.

mod support;

use fivemark_engine::command::{Call, Command, Confirm, Floor, Penalty, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::{Outcome, Refused, State};
use support::{GO, Rig, goods, rerun_lane, three_of_four as plan};

fn initials(lane: u8, result: &str) -> Confirm {
    Confirm {
        lane: LaneNo(lane),
        run: 1,
        result: result.into(),
        athlete: "IBO".into(),
        judge: "SK".into(),
        by: "lane judge".into(),
        reason: String::new(),
    }
}

fn confirm(rig: &mut Rig, after_go: i64, said: Confirm) -> Outcome {
    rig.send(GO + after_go, &Command::Confirm(said))
}

/// Lane 1 finished in 20.0, lane 2 in 30.0, lane 3 was stopped with 9. Provisional.
fn provisional() -> Rig {
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 3_000, 3_000, 10), goods(3, 5_000, 5_000, 9)].concat());
    rig.pass(GO + 64_000);
    assert_eq!(rig.state(), State::Provisional);
    rig
}

fn confirmed(rig: &Rig) -> Vec<bool> {
    (1..=4).map(|lane| rig.lane(lane).confirmed).collect()
}

#[test]
fn a_heat_is_signed_when_every_result_has_its_initials() {
    let mut rig = provisional();
    let sign = || Floor::Sign { initials: true };
    assert_eq!(rig.refused(GO + 65_000, sign()), Refused::NotConfirmed { lane: LaneNo(1), others: 2 });
    for (lane, result) in [(1, "0:20.0"), (2, "0:30.0")] {
        assert_eq!(confirm(&mut rig, 66_000, initials(lane, result)), Outcome::Done);
    }
    assert_eq!(confirmed(&rig), [true, true, false, false]);
    let missing = rig.refused(GO + 67_000, sign());
    assert_eq!(missing, Refused::NotConfirmed { lane: LaneNo(3), others: 0 });
    assert_eq!(
        missing.to_string(),
        "Lane 3 has no initials under its result. Have athlete and judge confirm the result before signing."
    );
    // Who did not start has nothing to confirm.
    rig.ruled(68_000, 3, RulingKind::Status(StatusRuling::DidNotStart));
    rig.floor(GO + 69_000, sign());
    assert_eq!(confirm(&mut rig, 70_000, initials(1, "0:20.0")), Outcome::Refused(Refused::HeatSigned));
    rig.floor(GO + 71_000, Floor::Reopen { reason: "a protest".into() });
    assert_eq!(confirmed(&rig), [true, true, false, false], "they stand for results, not for signings");
    rig.replays(plan());
}

#[test]
fn a_heat_of_before_initials_were_kept_is_signed_without() {
    let mut rig = provisional();
    rig.floor(GO + 65_000, Floor::Sign { initials: false });
    assert_eq!(rig.state(), State::Signed);
}

#[test]
fn a_finished_lane_is_confirmed_while_the_others_work_and_an_undo_takes_it_back() {
    let mut rig = Rig::started(plan());
    assert_eq!(confirm(&mut rig, 1_000, initials(1, "")), Outcome::Refused(Refused::NoResult(LaneNo(1))));
    rig.goods(1, 2_000, 2_000, 10);
    assert_eq!(confirm(&mut rig, 21_000, initials(1, "0:20.0")), Outcome::Done);
    assert!(rig.lane(1).confirmed && rig.state() == State::Running);
    rig.goods(2, 21_500, 500, 1);
    assert!(rig.lane(1).confirmed, "another lane's call changes nothing");
    rig.say(1, 24_000, Call::Undo);
    assert!(!rig.lane(1).confirmed);
    rig.say(1, 24_500, Call::Good);
    assert!(!rig.lane(1).confirmed, "it is another result");
    assert_eq!(rig.heat.initials(LaneNo(1)).unwrap()[0].taken_back.map(|at| at.0), Some(GO + 24_000));
    rig.replays(plan());
}

#[test]
fn whatever_changes_a_result_takes_its_initials_back_for_good() {
    let penalty = |ms| RulingKind::Penalty(Penalty::Time(SpanMs(ms)));
    for (ruling, undone) in [
        (penalty(5_000), penalty(-5_000)),
        (RulingKind::Status(StatusRuling::UnderReview), RulingKind::Status(StatusRuling::Reinstated)),
    ] {
        let mut rig = provisional();
        confirm(&mut rig, 65_000, initials(1, "0:20.0"));
        confirm(&mut rig, 65_000, initials(2, "0:30.0"));
        rig.ruled(66_000, 1, ruling);
        assert_eq!(confirmed(&rig), [false, true, false, false]);
        rig.ruled(67_000, 1, undone);
        assert_eq!(
            (rig.text(1).as_str(), confirmed(&rig)[0]),
            ("0:20.0", false),
            "as before, but not confirmed"
        );
        rig.replays(plan());
    }
    // A call that comes in late.
    let mut rig = Rig::started(plan());
    rig.play([goods(1, 2_000, 2_000, 10), goods(2, 3_000, 3_000, 10), goods(3, 5_000, 5_000, 8)].concat());
    let late = rig.tap(3, 45_000, Call::Good);
    rig.pass(GO + 64_000);
    assert_eq!(confirm(&mut rig, 65_000, initials(3, "8 of 10")), Outcome::Done);
    rig.tally(GO + 66_000, late);
    assert_eq!((rig.text(3).as_str(), rig.lane(3).confirmed), ("9 of 10", false));
    let stale = confirm(&mut rig, 67_000, initials(3, "8 of 10"));
    assert_eq!(stale, Outcome::Refused(Refused::ResultChanged(LaneNo(3))));
    assert_eq!(confirm(&mut rig, 67_000, initials(3, "9 of 10")), Outcome::Done);
    rig.replays(plan());
}

#[test]
fn a_lane_that_runs_again_is_confirmed_again_and_one_that_does_not_after_all_stands() {
    let mut rig = provisional();
    confirm(&mut rig, 65_000, initials(3, "9 of 10"));
    rig.floor(GO + 70_000, rerun_lane(3));
    assert!(!rig.lane(3).confirmed);
    rig.start_again(GO + 80_000);
    rig.follow_runs();
    rig.play(goods(3, 91_000, 1_000, 10));
    assert_eq!(rig.text(3), "0:10.0");
    let other_run = confirm(&mut rig, 101_000, initials(3, "0:10.0"));
    assert_eq!(other_run, Outcome::Refused(Refused::OtherRun(LaneNo(3))));
    let of_this_run = Confirm { run: 2, ..initials(3, "0:10.0") };
    assert_eq!(confirm(&mut rig, 101_000, of_this_run), Outcome::Done);
    let told: Vec<_> = rig
        .heat
        .initials(LaneNo(3))
        .unwrap()
        .iter()
        .map(|told| (told.run, told.taken_back.is_some()))
        .collect();
    assert_eq!(told, [(1, true), (2, false)]);
    rig.replays(plan());

    let mut rig = provisional();
    confirm(&mut rig, 65_000, initials(3, "9 of 10"));
    rig.floor(GO + 70_000, rerun_lane(3));
    rig.ruled(70_500, 3, RulingKind::Status(StatusRuling::DidNotFinish));
    assert_eq!(confirm(&mut rig, 70_600, Confirm { run: 2, ..initials(3, "DNF") }), Outcome::Done);
    rig.floor(GO + 71_000, Floor::Cancel);
    assert!(rig.lane(3).confirmed, "its earlier result stands again, and so do its initials");
    let told: Vec<_> = rig
        .heat
        .initials(LaneNo(3))
        .unwrap()
        .iter()
        .map(|told| (told.run, told.taken_back.is_some()))
        .collect();
    assert_eq!(
        told,
        [(1, false), (2, true)],
        "those of the run that was called off are kept, and stand no more"
    );
    rig.replays(plan());
}

#[test]
fn initials_go_along_with_the_athlete() {
    let mut rig = provisional();
    confirm(&mut rig, 65_000, initials(3, "9 of 10"));
    rig.ruled(66_000, 3, RulingKind::MoveAthlete { to: LaneNo(4) });
    assert_eq!(confirmed(&rig), [false, false, false, true]);
    assert_eq!(
        confirm(&mut rig, 67_000, initials(3, "9 of 10")),
        Outcome::Refused(Refused::EmptyLane(LaneNo(3)))
    );
    rig.replays(plan());
}

#[test]
fn initials_that_say_nothing_are_refused() {
    let mut rig = provisional();
    let blank = Confirm { judge: "  ".into(), ..initials(1, "0:20.0") };
    assert_eq!(confirm(&mut rig, 65_000, blank), Outcome::Refused(Refused::NoInitials));
    let long = Confirm { athlete: "x".repeat(65), ..initials(1, "0:20.0") };
    assert!(matches!(confirm(&mut rig, 65_000, long), Outcome::Refused(Refused::TooLong(..))));
    let nowhere = confirm(&mut rig, 65_000, initials(9, "0:20.0"));
    assert_eq!(nowhere, Outcome::Refused(Refused::UnknownLane(LaneNo(9))));
}

#[test]
fn a_ruling_is_kept_beside_what_it_replaced() {
    let mut rig = provisional();
    rig.ruled(65_000, 1, RulingKind::Penalty(Penalty::Time(SpanMs(5_000))));
    let record = rig.heat.record(LaneNo(1)).unwrap();
    let told = record.last().unwrap().told.as_deref().unwrap();
    assert_eq!((told.before.as_str(), told.after.as_str()), ("0:20.0", "0:25.0, with 5 s penalty"));
    assert_eq!(rig.heat.done_after(LaneNo(1), 3), Some(4), "after the fourth call");
    assert_eq!(rig.heat.done_after(LaneNo(1), record.len()), None);
}
