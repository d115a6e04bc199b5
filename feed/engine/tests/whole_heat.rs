//! One whole heat, worked out by hand beside the calls, from the lanes being set to the signature; and the same
//! heat again from its journal.
//!
//! The course: a run of 200 m in 50 m steps that scores 5 when it is done and gives the tie-break time; 6 squats,
//! 6 calories, 4 squats, 4 calories; 3 squats. 223 units, 5 + 6 + 6 + 4 + 4 + 3 = 28 score units; the last five
//! are 3 blocks. Cap 2:00, times to the tenth, rounded up. Seconds after the start:
//!
//! | lane | run | 6 squats | 6 calories | 4 squats | 4 calories | 3 squats |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | 1 | 10 20 30 40 | 42 … 52 by 2 | 56 … 76 by 4 | 78 … 84 by 2 | 88 … 100 by 4 | 102 104 106.25 |
//! | 2 | 9 18 27 36 | 39 … 54 by 3 | 58 … 78 by 4 | 81 … 90 by 3 | 94 … 106 by 4 | 109, no-rep 112, 115 118 |
//! | 3 | 12 24 36 48 | 52 … 72 by 4 | 78 … 108 by 6 | 112 116 120 | | |
//! | 4 | did not start | | | | | |

mod support;

use fivemark_engine::command::{Call, Floor, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{ScoreRule, Unit, Workout};
use fivemark_engine::{Clock, Event, Heat, HeatSetup, Outcome, State, Status};
use support::{GO, Rig, part, setup, status, time_penalty, workout};

fn plan() -> HeatSetup {
    let mut run = part(1, 200);
    run.scores = ScoreRule::WhenDone(5);
    run.tie_break = true;
    let mut plan: Workout = workout(vec![part(0, 0), part(2, 0)]);
    plan.buy_in = vec![run];
    plan.scheme = vec![6, 4];
    plan.cash_out = vec![part(0, 3)];
    plan.clock.cap = SpanMs(120_000);
    setup(plan, 4)
}

/// Good calls at these tenths of seconds.
fn calls(lane: u8, blocks: &[(i64, i64, i64)]) -> Vec<(u8, i64, Call)> {
    blocks.iter().flat_map(|&(first, by, count)| support::goods(lane, first * 100, by * 100, count)).collect()
}

fn all_calls() -> Vec<(u8, i64, Call)> {
    let mut all =
        calls(1, &[(100, 100, 4), (420, 20, 6), (560, 40, 6), (780, 20, 4), (880, 40, 4), (1_020, 20, 2)]);
    all.push((1, 106_250, Call::Good));
    all.extend(calls(
        2,
        &[(90, 90, 4), (390, 30, 6), (580, 40, 6), (810, 30, 4), (940, 40, 4), (1_090, 60, 1)],
    ));
    all.push((2, 112_000, Call::NoRep));
    all.extend(calls(2, &[(1_150, 30, 2)]));
    all.extend(calls(3, &[(120, 120, 4), (520, 40, 6), (780, 60, 6), (1_120, 40, 2)]));
    all.sort_by_key(|(lane, at, _)| (*at, *lane));
    all
}

struct Looks {
    rig: Rig,
    left: Vec<(u8, i64, Call)>,
}

impl Looks {
    /// Plays all calls up to a moment, in milliseconds after the start.
    fn at(&mut self, after_go: i64) -> &Rig {
        let later = self.left.split_off(self.left.partition_point(|(_, at, _)| *at <= after_go));
        self.rig.play(std::mem::replace(&mut self.left, later));
        self.rig.pass(GO + after_go);
        &self.rig
    }

    fn rows(&mut self, after_go: i64) -> Vec<(u32, u8, Option<u32>, Option<i64>)> {
        let rig = self.at(after_go);
        (1..=3)
            .map(|lane| {
                let row = rig.standing(lane);
                (rig.lane(lane).score, row.place, row.gap_units, row.gap.map(|gap| gap.0))
            })
            .collect()
    }
}

#[test]
fn a_whole_heat_comes_out_as_worked_by_hand() {
    let mut rig = Rig::new(plan());
    let course = &rig.heat.courses()[0];
    assert_eq!((course.units, course.score_units, course.parts.len()), (223, 28, 6));
    assert_eq!((course.closing_blocks, course.closing_step, course.parts[0].unit), (3, 1, Unit::Metre));
    rig.floor(10_000, Floor::OnDeck);
    assert_eq!(rig.rule(15_000, 4, status(StatusRuling::DidNotStart)), Outcome::Done);
    rig.floor(20_000, Floor::StartCountdown);
    rig.pass(GO);
    let mut looks = Looks { rig, left: all_calls() };

    // Lane 2 finished its run at 36.0; 150 m of a run score nothing.
    assert_eq!(looks.rows(36_500), [(0, 0, Some(5), None), (5, 1, None, None), (0, 0, Some(5), None)]);
    assert_eq!(looks.rig.lane(1).done, 150);
    // Lane 1 scored 5 at 40.0, lane 2 at 36.0: 4.0 s behind, and one unit, as lane 2 has had a squat since.
    assert_eq!(looks.rows(40_500)[0], (5, 2, Some(1), Some(4_000)));
    // Both scored their ninth at 48.0: they share place 1. Lane 3 scored 5 at 48.0, lanes 1 and 2 at 40.0 and
    // 36.0; the leader is the one with the lower number.
    assert_eq!(looks.rows(48_500), [(9, 1, None, None), (9, 1, None, None), (5, 3, Some(4), Some(8_000))]);
    // Lane 1 takes the lead at 50.0.
    assert_eq!(looks.rows(50_500)[..2], [(10, 1, None, None), (9, 2, Some(1), Some(0))]);
    assert_eq!(looks.rig.heat.state().first_on_floor, Some(LaneNo(1)));
    // With the last calorie, at 100.0, lane 1 is in its last five, which here are three.
    assert_eq!(looks.at(99_999).lane(1).to_go, None);
    assert_eq!(looks.at(100_000).lane(1).to_go, Some(3));

    // First finish: 106.25 is rounded up to 1:46.3. At 106.25 lane 2 has 5 + 12 + 4 + 4 = 25 and lane 3, with 5
    // of its calories, 5 + 6 + 5 = 16: 9 behind first on floor.
    assert_eq!(looks.rows(106_250), [(28, 1, None, None), (25, 2, None, None), (16, 3, Some(9), None)]);
    assert_eq!((looks.rig.text(1).as_str(), looks.rig.lane(1).status), ("1:46.3", Status::Finished));
    assert_eq!(looks.rig.heat.state().first_on_floor, Some(LaneNo(2)));
    // Lane 2 finishes at 118.0, 11.7 s after the winner's official time.
    assert_eq!(looks.rows(118_000)[1], (28, 2, None, Some(11_700)));
    assert_eq!((looks.rig.text(2).as_str(), looks.rig.lane(2).no_reps), ("1:58.0", 1));
    assert_eq!(looks.rig.heat.state().first_on_floor, Some(LaneNo(3)));

    close_and_sign(looks);
}

/// Lane 3's last squat is tapped exactly at the cap and comes in 0.3 s later.
fn close_and_sign(mut looks: Looks) {
    assert_eq!(looks.rows(119_999)[2], (19, 3, None, None));
    let at_cap = looks.rig.tap(3, 120_000, Call::Good);
    let rig = &mut looks.rig;
    rig.pass(GO + 120_000);
    assert_eq!((rig.state(), rig.text(3).as_str()), (State::TimeCalled, "19 of 28"));
    assert_eq!(rig.tally(GO + 120_300, at_cap), Outcome::Applied { done: 215 });
    assert_eq!((rig.text(3).as_str(), rig.lane(3).flagged), ("20 of 28", true));
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(120_000) });
    rig.pass(GO + 123_000);
    assert_eq!(rig.state(), State::Provisional);

    // A penalty takes lane 2 past the cap; it stays above the capped lane.
    assert_eq!(rig.rule(GO + 150_000, 2, time_penalty(3_000)), Outcome::Done);
    assert_eq!((rig.text(2).as_str(), rig.places()), ("2:01.0", vec![1, 2, 3, 0]));
    rig.floor(GO + 200_000, Floor::Sign { initials: false });
    let results: Vec<String> = (1..=4).map(|lane| rig.text(lane)).collect();
    assert_eq!(results, ["1:46.3", "2:01.0", "20 of 28", "DNS"]);
    assert_eq!((rig.heat.state().finished, rig.heat.state().starters), (2, 4));

    replays_from_its_journal(rig);
}

fn replays_from_its_journal(rig: &Rig) {
    let mut again = Heat::new(plan()).expect("the setup is sound");
    let mut events = vec![];
    for (at, command) in &rig.journal {
        again.handle_command(*at, command);
        while let Some(event) = again.poll_event() {
            events.push(event);
        }
    }
    assert_eq!(again, rig.heat);
    // Timeouts that were fired by themselves in the first hearing come with the next command in the second, so
    // what changed is told at other moments; no-reps and rulings are told alike.
    let told = |events: &[Event]| -> Vec<Event> {
        events
            .iter()
            .filter(|event| matches!(event, Event::NoRep { .. } | Event::Ruled { .. }))
            .cloned()
            .collect()
    };
    assert_eq!(told(&events), told(&rig.events));
    assert_eq!(told(&events).len(), 3);
}
