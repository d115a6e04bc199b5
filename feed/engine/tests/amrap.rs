//! As many rounds or repetitions as possible: a whole heat worked by hand, order and tie-breaks, how results read.
//!
//! The heat: a buy-in of a 100 m run in steps of 50 m that scores 2, then rounds of 4 squats, which give the tie-break,
//! and 3 calories of rowing; 7 score units a round, for 2 minutes. In seconds after the start:
//!
//! | lane | run | first round | second | third |
//! | --- | --- | --- | --- | --- |
//! | 1 | 10 20 | 22 24 26 28, 32 36 40 | 42 44 46 48, 52 56 60 | 62 64 66 68, 72 76 |
//! | 2 | 10 20 | 22 24 26 28, 32 36 40 | 42 44 46 48, 52 56 60 | 61 63 65 67, 74 78 |
//! | 3 | 30 | | | |
//! | 4 | 20 40 | 50 60 70 80, 90 100 110 | 120 (comes in at 121) | |

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{AmrapShows, ScoreRule, Scoring};
use fivemark_engine::{HeatSetup, NotCounted, Outcome, State, Status};
use support::{GO, Rig, amrap, goods, part, set_count, setup, status, tie_part, unit_penalty};

fn plan() -> HeatSetup {
    let mut plan = amrap(vec![tie_part(0, 4), part(2, 3)]);
    let mut run = part(1, 100);
    run.scores = ScoreRule::WhenDone(2);
    plan.buy_in = vec![run];
    setup(plan, 4)
}

fn seconds(lane: u8, at: &[i64]) -> Vec<(u8, i64, Call)> {
    at.iter().map(|second| (lane, second * 1_000, Call::Good)).collect()
}

fn all_calls() -> Vec<(u8, i64, Call)> {
    let two_rounds = [10, 20, 22, 24, 26, 28, 32, 36, 40, 42, 44, 46, 48, 52, 56, 60];
    let mut calls = seconds(1, &two_rounds);
    calls.extend(seconds(1, &[62, 64, 66, 68, 72, 76]));
    calls.extend(seconds(2, &two_rounds));
    calls.extend(seconds(2, &[61, 63, 65, 67, 74, 78]));
    calls.extend(seconds(3, &[30]));
    calls.extend(seconds(4, &[20, 40, 50, 60, 70, 80, 90, 100, 110]));
    calls
}

/// All calls but lane 4's last are in.
fn played() -> Rig {
    let mut rig = Rig::started(plan());
    rig.play(all_calls());
    rig
}

#[test]
fn the_course_is_the_buy_in_and_one_round() {
    let rig = Rig::new(plan());
    let course = &rig.heat.courses()[0];
    assert_eq!((course.units, course.score_units, course.closing_blocks), (107, 9, 0));
    let parts: Vec<_> =
        course.parts.iter().map(|part| (part.round, part.track_start_ppm, part.track_len_ppm)).collect();
    // The buy-in has the whole track. A round: 4 squats of 3 s and 3 calories of 4 s share it half and half.
    assert_eq!(parts, [(0, 0, 1_000_000), (1, 0, 500_000), (1, 500_000, 500_000)]);
}

#[test]
fn a_whole_heat_comes_out_as_worked_by_hand() {
    let mut rig = Rig::started(plan());
    let (early, late) = all_calls().into_iter().partition(|(_, at, _)| *at <= 30_000);
    rig.play(early);
    let lane = rig.lane(3);
    assert_eq!((lane.round, lane.round_score, lane.part, lane.part_done, lane.score), (0, 0, 0, 50, 0));
    rig.play(late);
    // Lane 1: 2 + 7 + 7 + 4 + 2 = 22 score units; 100 + 7 + 7 + 4 + 2 = 120 units; calorie 2 of 3 in round 3.
    let lane = rig.lane(1);
    assert_eq!((lane.score, lane.done, lane.round, lane.round_score), (22, 120, 3, 6));
    assert_eq!((lane.part, lane.part_done, lane.to_go, lane.status), (2, 2, None, Status::Racing));
    assert_eq!((lane.result, lane.tie_break), (None, Some(SpanMs(68_000))));
    // While the heat runs, who came to 22 first is ahead: lane 1 at 76, lane 2 at 78.
    assert_eq!(rig.places(), [1, 2, 0, 3]);
    assert_eq!((rig.standing(2).gap_units, rig.standing(2).gap), (Some(0), Some(SpanMs(2_000))));
    assert!(!rig.standing(1).tied_apart && !rig.standing(2).tied_apart);

    let at_the_end = rig.tap(4, 120_000, Call::Good);
    rig.pass(GO + 120_000);
    assert_eq!((rig.state(), rig.heat.state().finished), (State::TimeCalled, 4));
    assert_eq!(rig.texts(), ["2 + 6", "2 + 6", "buy-in + 0", "1 + 0"]);
    // From then on the third round's squats part them: lane 2 ended them at 67, lane 1 at 68. That is shown.
    assert_eq!(rig.places(), [2, 1, 4, 3]);
    assert!(rig.standing(1).tied_apart && rig.standing(2).tied_apart && !rig.standing(4).tied_apart);
    // Tapped at the very end of the window, it counts, and is flagged as late.
    assert_eq!(rig.tally(GO + 121_000, at_the_end), Outcome::Applied { done: 108 });
    assert_eq!((rig.text(4), rig.lane(4).flagged), ("1 + 1".into(), true));
    let after = rig.say(4, 121_500, Call::Good);
    assert_eq!(after, Outcome::NotCounted { why: NotCounted::AfterCap, done: 108 });

    let lane = rig.lane(1);
    assert_eq!(lane.status, Status::Finished);
    assert_eq!(lane.result.map(|result| result.official), Some(None));
    rig.pass(GO + 124_500);
    rig.floor(GO + 200_000, Floor::Sign { initials: false });
    rig.replays(plan());
}

#[test]
fn a_total_reads_as_one_number() {
    let mut plan = plan();
    plan.workouts[0].scoring = Scoring::Amrap { shows: AmrapShows::Total };
    let mut rig = Rig::started(plan);
    rig.play(all_calls());
    rig.pass(GO + 120_000);
    assert_eq!(rig.texts(), ["22", "22", "0", "9"]);
}

#[test]
fn a_scheme_is_one_round_of_all_its_sets() {
    let mut plan = amrap(vec![part(0, 1), part(2, 1)]);
    plan.scheme = vec![3, 2];
    let mut rig = Rig::started(setup(plan, 1));
    let course = &rig.heat.courses()[0];
    let amounts: Vec<_> = course.parts.iter().map(|part| (part.amount, part.round)).collect();
    assert_eq!(amounts, [(3, 1), (3, 1), (2, 1), (2, 1)]);
    // 10 a round: 12 calls are one round and 2.
    rig.goods(1, 1_000, 1_000, 12);
    assert_eq!((rig.lane(1).round, rig.lane(1).round_score, rig.lane(1).done), (2, 2, 12));
    rig.pass(GO + 120_000);
    assert_eq!(rig.text(1), "1 + 2");
}

#[test]
fn rulings_move_rounds_and_tie_breaks() {
    let mut rig = played();
    rig.pass(GO + 120_000);
    // Four units less than 120 leave lane 1 at 116: 2 of the third round's squats. What it ended last is then the
    // second round's squats, at 48.
    rig.ruled(130_000, 1, RulingKind::AddUnits(-4));
    assert_eq!((rig.text(1), rig.lane(1).done), ("2 + 2".into(), 116));
    assert_eq!(rig.lane(1).tie_break, Some(SpanMs(48_000)));
    // Three more bring it past those squats again, which no tally has ended since.
    rig.ruled(131_000, 1, RulingKind::AddUnits(3));
    assert_eq!((rig.text(1), rig.lane(1).tie_break), ("2 + 5".into(), None));
    // Seven taken off 9 leave lane 4 at the end of its buy-in, eight inside it.
    rig.ruled(132_000, 4, unit_penalty(7));
    assert_eq!((rig.text(4), rig.lane(4).done), ("0 + 0".into(), 107));
    rig.ruled(133_000, 4, unit_penalty(1));
    assert_eq!(rig.text(4), "buy-in + 1");
    // The whole of the work set by a card: 100 m, two rounds, one squat.
    rig.ruled(134_000, 3, RulingKind::FromPaper { done: 115, finish: None });
    assert_eq!((rig.text(3), rig.lane(3).score), ("2 + 1".into(), 17));
    rig.ruled(135_000, 2, status(StatusRuling::DidNotFinish));
    assert_eq!((rig.texts()[1].as_str(), rig.places()), ("DNF", vec![1, 4, 2, 3]));
    rig.replays(plan());
}

#[test]
fn work_without_an_end_has_no_finish() {
    use fivemark_engine::Refused;
    let mut rig = played();
    let finish = rig.rule(GO + 111_000, 1, set_count(107, Some(10_000)));
    assert_eq!(finish, Outcome::Refused(Refused::NoFinish));
    let far = rig.rule(GO + 111_000, 1, set_count(100_001, None));
    assert_eq!(far, Outcome::Refused(Refused::CountOutOfRange { units: 100_000 }));
    let called = rig.say(1, 111_000, Call::Finish);
    assert_eq!(called, Outcome::NotCounted { why: NotCounted::CallDoesNotFit, done: 120 });
    rig.ruled(112_000, 1, set_count(100_000, None));
    let beyond = rig.say(1, 113_000, Call::Good);
    assert_eq!(beyond, Outcome::NotCounted { why: NotCounted::PastEnd, done: 100_000 });
}

#[test]
fn equal_work_is_ranked_as_in_the_check_values() {
    // Five lanes of a larger table of ranks (own sort, re-checked with scipy's rankdata; that tie-break times part
    // equal work is common practice): reps, tie-break time in ms, and their ranks among themselves.
    let lanes: [(i64, Option<i64>); 5] =
        [(87, Some(402_000)), (90, Some(500_000)), (87, Some(398_500)), (87, Some(402_000)), (0, None)];
    let mut plan = amrap(vec![tie_part(0, 80), part(0, 20)]);
    plan.clock.cap = SpanMs(600_000);
    let mut rig = Rig::started(setup(plan, 5));
    let mut calls = vec![];
    for (lane, (reps, tie_break)) in (1..).zip(lanes) {
        if let Some(tie_break) = tie_break {
            calls.extend(goods(lane, tie_break - 79_000, 1_000, 80));
            calls.extend(goods(lane, 510_000, 1_000, reps - 80));
        }
    }
    rig.play(calls);
    rig.pass(GO + 600_000);
    assert_eq!(rig.places(), [3, 1, 2, 3, 5]);
    let apart: Vec<bool> = rig.heat.order().iter().map(|row| row.tied_apart).collect();
    assert_eq!(apart, [true, false, true, true, false]);
}

#[test]
fn a_published_table_of_counts_is_ranked_alike() {
    // Chin-ups, sit-ups and jumps of twenty men (Linnerud, as in scikit-learn's load_linnerud), with ranks by scipy
    // 1.17.1's rankdata(method="min") of the negated counts.
    #[track_caller]
    fn check(counts: [i64; 20], ranks: [u8; 20]) {
        let mut plan = amrap(vec![part(0, 5)]);
        plan.clock.cap = SpanMs(600_000);
        let mut rig = Rig::started(setup(plan, 20));
        rig.play((1..).zip(counts).flat_map(|(lane, count)| goods(lane, 1_000, 1_000, count)).collect());
        rig.pass(GO + 600_000);
        assert_eq!(rig.places(), ranks);
    }
    check(
        [5, 2, 12, 12, 13, 4, 8, 6, 15, 17, 17, 13, 14, 1, 6, 12, 4, 11, 15, 2],
        [15, 18, 8, 8, 6, 16, 12, 13, 3, 1, 1, 6, 5, 20, 13, 8, 16, 11, 3, 18],
    );
    check(
        [162, 110, 101, 105, 155, 101, 101, 125, 200, 251, 120, 210, 215, 50, 70, 210, 60, 230, 225, 110],
        [8, 12, 15, 14, 9, 15, 15, 10, 7, 1, 11, 5, 4, 20, 18, 5, 19, 2, 3, 12],
    );
    check(
        [60, 60, 101, 37, 58, 42, 38, 40, 40, 250, 38, 115, 105, 50, 31, 120, 25, 80, 73, 43],
        [8, 8, 5, 18, 10, 13, 16, 14, 14, 1, 16, 3, 4, 11, 19, 2, 20, 6, 7, 12],
    );
}

#[test]
fn tie_break_times_are_cut_like_official_times() {
    // 28.320 to the next longer tenth is 28.4 and 28.4 stays (the rule of track and field for hand times); they tie.
    let mut rig = Rig::started(setup(amrap(vec![tie_part(0, 1), part(0, 9)]), 3));
    rig.play(vec![(1, 28_320, Call::Good), (2, 28_400, Call::Good), (3, 28_401, Call::Good)]);
    rig.pass(GO + 120_000);
    let ties: Vec<_> = (1..=3).map(|lane| rig.lane(lane).tie_break.map(|tie| tie.0)).collect();
    assert_eq!(ties, [Some(28_400), Some(28_400), Some(28_500)]);
    assert_eq!(rig.places(), [1, 1, 3]);
}
