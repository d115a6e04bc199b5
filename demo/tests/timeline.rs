//! The floor's timeline: the same seed gives the same taps, people move and tap like people, and the engine, given
//! the taps in virtual time, comes to what the floor says is true.

mod support;

use fivemark_demo::athlete::{Attempt, AttemptEnd};
use fivemark_demo::floor::{Floor, Lane};
use fivemark_demo::judge::{BETWEEN_TAPS_MS, LATEST_TAP_MS};
use fivemark_engine::command::{self, Command, Tally};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::time::{HeatMs, MonoMs, SpanMs};
use fivemark_engine::{Outcome, State, Status};
use fivemark_wire::from_client::Call;
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Course, Scoring, Unit};
use support::rehearsal;

const SEEDS: std::ops::Range<u64> = 1..25;

fn course_of<'a>(snapshot: &'a Snapshot, lane: &Lane) -> &'a Course {
    let entry =
        snapshot.entries.iter().find(|entry| entry.lane == lane.lane).expect("every lane has an entry");
    &snapshot.courses[usize::from(entry.course)]
}

/// Each lane of each heat, for many seeds and sizes.
fn each_lane(mut check: impl FnMut(&Snapshot, &Course, &Lane)) {
    for seed in SEEDS {
        for (lanes, number) in [(1, 1), (10, 1), (40, 2), (8, 3)] {
            let snapshot = rehearsal(seed, lanes, number).snapshot;
            let floor = Floor::new(seed, &snapshot);
            assert_eq!(floor.lanes.len(), usize::from(lanes));
            for lane in &floor.lanes {
                check(&snapshot, course_of(&snapshot, lane), lane);
            }
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_floor() {
    let snapshot = rehearsal(3, 10, 1).snapshot;
    assert_eq!(Floor::new(3, &snapshot), Floor::new(3, &snapshot));
    assert_ne!(Floor::new(3, &snapshot), Floor::new(4, &snapshot));
}

#[test]
fn a_lane_finishes_its_course_or_stops_at_the_cap() {
    each_lane(|snapshot, course, lane| {
        let cap_ms = snapshot.heat.cap_ms;
        let tapped = lane.tapped_by(course, i64::MAX);
        match lane.finished_ms(course) {
            Some(ms) => assert!(tapped == course.units && ms <= cap_ms),
            None => assert!(tapped < course.units),
        }
        assert!(lane.attempts.iter().all(|attempt| attempt.ended_ms <= cap_ms));
        // Nobody stands idle: work goes on until little before the cap.
        let last = lane.attempts.last().unwrap();
        assert!(last.left == last.units || cap_ms - last.ended_ms < 20_000);
    });
}

#[test]
fn most_lanes_finish_and_some_are_capped() {
    let mut finished = Vec::new();
    for seed in SEEDS {
        let snapshot = rehearsal(seed, 10, 1).snapshot;
        let floor = Floor::new(seed, &snapshot);
        let done = floor.lanes.iter().filter(|lane| lane.finished_ms(course_of(&snapshot, lane)).is_some());
        finished.push(done.count());
    }
    assert!(finished.iter().all(|of_ten| (3..=10).contains(of_ten)), "{finished:?}");
    let all = finished.len() * 10;
    let done: usize = finished.iter().sum();
    assert!(done * 10 > all * 6 && done * 10 < all * 8, "{done} of {all} finish");
}

#[test]
fn athletes_and_judges_are_human() {
    each_lane(|_, course, lane| {
        let good: Vec<&Attempt> =
            lane.attempts.iter().filter(|attempt| attempt.end == AttemptEnd::Good).collect();
        for pair in good.windows(2).filter(|pair| pair[0].part == pair[1].part) {
            let part = &course.parts[pair[1].part];
            let expected = i64::from(part.expected_ms_per_unit) * i64::from(pair[1].units);
            let took = pair[1].ended_ms - pair[0].ended_ms;
            assert!(took * 10 >= expected * 4, "{took} ms for {} ({expected} ms expected)", part.movement);
        }
        for pair in lane.taps.windows(2) {
            assert!(pair[1].at_ms - pair[0].at_ms >= BETWEEN_TAPS_MS);
        }
        if let (Some(ms), Some(tap)) = (lane.finished_ms(course), lane.taps.last()) {
            assert!((ms..=ms + LATEST_TAP_MS).contains(&tap.at_ms));
        }
    });
}

#[test]
fn floors_have_everything_that_can_happen() {
    let (mut no_reps, mut partial, mut late, mut undone, mut several) = (0, 0, 0, 0, 0);
    each_lane(|_, course, lane| {
        for attempt in &lane.attempts {
            if let AttemptEnd::Failed(fault) = attempt.end {
                partial += usize::from(course.parts[attempt.part].faults[fault].partial);
            }
        }
        let count = |call| lane.taps.iter().filter(|tap| tap.call == call).count();
        no_reps += count(Call::NoRep);
        late += count(Call::LastWasNoRep);
        undone += count(Call::Undo);
        several += lane.taps.iter().filter(|tap| tap.amount > 0).count();
    });
    assert!(no_reps > 100 && partial > 20 && late > 20 && undone > 20 && several > 100);
}

/// The taps go straight to the engine, at their times, as if every phone and link were perfect.
#[test]
fn the_engine_comes_to_what_is_true_on_the_floor() {
    for seed in SEEDS {
        for (lanes, number) in [(10, 1), (40, 2), (8, 3), (10, 4)] {
            let mut rehearsal = rehearsal(seed, lanes, number);
            let floor = Floor::new(seed, &rehearsal.snapshot);
            let heat = &mut rehearsal.heat;
            let go_ms = 10_000;
            heat.handle_command(HeatMs(0), &Command::Floor(command::Floor::OnDeck));
            heat.handle_command(HeatMs(0), &Command::Floor(command::Floor::StartCountdown));
            let mut taps: Vec<(i64, Tally)> =
                floor.lanes.iter().flat_map(|lane| tallies(lane, go_ms)).collect();
            taps.sort_by_key(|(at_ms, _)| *at_ms);
            let cap_ms = rehearsal.snapshot.heat.cap_ms;
            for (at_ms, tally) in taps {
                let outcome = heat.handle_command(HeatMs(at_ms), &Command::Tally(tally.clone()));
                let applied = matches!(outcome, Outcome::Applied { .. });
                assert!(applied || at_ms - go_ms > cap_ms, "seed {seed}: {tally:?}: {outcome:?}");
            }
            heat.handle_timeout(HeatMs(go_ms + cap_ms + 60_000));
            assert_eq!(heat.state().state, State::Provisional);
            for lane in &floor.lanes {
                let course = course_of(&rehearsal.snapshot, lane);
                let view = heat.lane(LaneNo(lane.lane)).unwrap();
                assert_eq!(view.done, lane.tapped_by(course, cap_ms), "seed {seed}, lane {}", lane.lane);
                let last_ms = lane.taps.last().unwrap().at_ms;
                if course.scoring != Scoring::ForTime {
                    // Rounds and reps by hand: the demo's round is scored by its units, and has no buy-in.
                    let (rounds, reps) = (view.done / course.units, view.done % course.units);
                    assert!(rounds > 2, "seed {seed}: {rounds} rounds");
                    assert_eq!(view.result.unwrap().text, format!("{rounds} + {reps}"));
                    assert_eq!(view.status, Status::Finished);
                } else if view.done == course.units {
                    // The demo's workouts cut to tenths, upward.
                    let official = view.result.unwrap().official.unwrap();
                    assert_eq!(official, SpanMs((last_ms + 99) / 100 * 100));
                } else {
                    assert_eq!(view.status, Status::Capped);
                }
            }
        }
    }
}

#[test]
fn only_reps_are_failed() {
    each_lane(|_, course, lane| {
        for attempt in lane.attempts.iter().filter(|attempt| attempt.end != AttemptEnd::Good) {
            assert_eq!(course.parts[attempt.part].unit, Unit::Rep);
        }
    });
}

fn tallies(lane: &Lane, go_ms: i64) -> Vec<(i64, Tally)> {
    let call = |call| match call {
        Call::Good => command::Call::Good,
        Call::NoRep => command::Call::NoRep,
        Call::LastWasNoRep => command::Call::LastWasNoRep,
        Call::Undo => command::Call::Undo,
        other => panic!("the floor does not say {other:?}"),
    };
    let tally = |(number, tap): (u32, &fivemark_demo::judge::Tap)| {
        let at_ms = go_ms + tap.at_ms;
        let tally = Tally {
            run: 1,
            lane: LaneNo(lane.lane),
            device: DeviceId(format!("phone-{}", lane.lane)),
            epoch: Epoch(u64::from(lane.lane)),
            number,
            call: call(tap.call),
            amount: tap.amount,
            fault: tap.fault.clone(),
            stamp: MonoMs(at_ms),
            wall_ms: None,
            offset: Some(command::Offset { add: SpanMs(0), delay: SpanMs(2) }),
            link_since: HeatMs(0),
            athlete: None,
            load_g: None,
            slot: None,
            shadow: false,
        };
        (at_ms, tally)
    };
    (1..).zip(&lane.taps).map(tally).collect()
}
