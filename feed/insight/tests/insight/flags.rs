//! What is flagged on a lane, and what is not.

use fivemark_engine::command::{Call, Floor, Offset, Tally};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_insight::flags::{Flag, of_lane};

use crate::support::{GO, Rig, part, setup, workout};

/// Sixty squats of 3 s, then a run of 400 m of 120 s that is tapped every 50 m.
fn rig() -> Rig {
    Rig::started(setup(workout(vec![part(0, 60), part(1, 400)]), 2))
}

fn flags(rig: &Rig, after_go: i64) -> Vec<Flag> {
    of_lane(&rig.heat, LaneNo(1), HeatMs(GO + after_go))
}

#[test]
fn two_reps_in_a_row_faster_than_a_human_are_flagged_and_a_single_one_is_not() {
    let mut rig = rig();
    rig.goods(1, 3_000, 3_000, 3);
    // A tap that catches up.
    rig.say(1, 9_700, Call::Good);
    rig.goods(1, 12_000, 3_000, 2);
    assert_eq!(flags(&rig, 15_000), []);
    // A quarter of the expected time exactly is not yet too fast.
    rig.say(1, 15_750, Call::Good);
    rig.say(1, 16_500, Call::Good);
    assert_eq!(flags(&rig, 17_000), []);
    rig.say(1, 17_249, Call::Good);
    rig.say(1, 17_998, Call::Good);
    let flag = |times, at, took| Flag::TooFast {
        times,
        at: HeatMs(GO + at),
        took: SpanMs(took),
        expected: SpanMs(3_000),
    };
    assert_eq!(flags(&rig, 18_000), [flag(1, 17_998, 749)]);
    rig.say(1, 18_500, Call::Good);
    assert_eq!(flags(&rig, 19_000), [flag(2, 18_500, 502)]);
    assert_eq!(of_lane(&rig.heat, LaneNo(2), HeatMs(GO + 19_000)), []);
    assert_eq!(of_lane(&rig.heat, LaneNo(9), HeatMs(GO + 19_000)), []);
}

#[test]
fn times_that_are_not_known_flag_nobody() {
    let mut rig = rig();
    for at in [3_000, 3_100, 3_200, 3_300] {
        let tally = Tally { offset: None, ..rig.tap(1, at, Call::Good) };
        rig.tally(GO + at, tally);
    }
    assert_eq!(rig.lane(1).done, 4);
    assert_eq!(flags(&rig, 4_000), []);
}

#[test]
fn a_lane_goes_quiet_by_its_own_pace() {
    let mut rig = rig();
    rig.goods(1, 4_000, 4_000, 10);
    let quiet = |since, usual| Flag::Quiet { since: HeatMs(GO + since), usual: SpanMs(usual) };
    // Six times the usual 4 s.
    assert_eq!(flags(&rig, 63_900), []);
    assert_eq!(flags(&rig, 64_000), [quiet(40_000, 3_999)]);
    // A no-rep is a call as well, and a hold is no silence.
    rig.say(1, 65_000, Call::NoRep);
    assert_eq!(flags(&rig, 80_000), []);
    rig.floor(GO + 80_000, Floor::Hold);
    assert_eq!(flags(&rig, 95_000), []);
    rig.floor(GO + 95_000, Floor::Resume);
    rig.pass(GO + 105_000);
    assert_eq!(flags(&rig, 113_000), []);
    assert_eq!(flags(&rig, 114_100), [quiet(65_000, 3_999)]);
    rig.floor(GO + 115_000, Floor::CallTime);
    assert_eq!(flags(&rig, 130_000), [], "nobody works any more");
}

#[test]
fn a_fast_lane_may_rest_and_a_slow_part_takes_its_time() {
    let mut rig = rig();
    rig.goods(1, 1_000, 1_000, 4);
    assert_eq!(flags(&rig, 200_000), [], "nothing is usual yet");
    rig.goods(1, 5_000, 1_000, 56);
    // Fifty metres take 15 s; at this pace of a third 5 s, of which six times are waited.
    assert_eq!(flags(&rig, 80_100), []);
    assert_eq!(flags(&rig, 90_100), [Flag::Quiet { since: HeatMs(GO + 60_000), usual: SpanMs(4_995) }]);
}

#[test]
fn late_calls_are_counted() {
    let mut rig = rig();
    let late: Vec<Tally> = [3_000, 6_000, 9_000].map(|at| rig.tap(1, at, Call::Good)).into();
    for tally in late {
        // The link was lost meanwhile, so that the calls keep their times.
        let tally = Tally { link_since: HeatMs(GO + 18_000), ..tally };
        rig.tally(GO + 19_000, tally);
    }
    assert_eq!(flags(&rig, 19_000), [Flag::Late { calls: 2, longest: SpanMs(16_000) }]);
    let ahead = Tally {
        offset: Some(Offset { add: SpanMs(1_000), delay: SpanMs(1) }),
        ..rig.tap(1, 19_500, Call::Good)
    };
    rig.tally(GO + 19_500, ahead);
    assert_eq!(flags(&rig, 20_000).len(), 1, "only what waited");
}
