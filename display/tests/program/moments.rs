//! Pictures at the moments of a heat: the program without a window, against a feed that plays a whole heat.

use std::process::Stdio;
use std::time::Duration;

use fivemark_display::moments::{MOMENTS, Moment, Moments};
use fivemark_scene::View;
use fivemark_wire::from_feed::{FeedMessage, Snapshot};
use fivemark_wire::view::{Clock, State, Status};

use crate::feed::FakeFeed;
use crate::heat::{count, row, snapshot};
use crate::machine::read_png;
use crate::support::{PATIENCE, display, eventually};

/// A step of a heat: a state and what each of two lanes has done.
fn step(state: State, clock: Clock, done: [u32; 2], places: [u8; 2]) -> Snapshot {
    let mut snapshot = snapshot(2);
    snapshot.heat.state = state;
    snapshot.heat.clock = clock;
    for (index, lane) in (1..=2).enumerate() {
        snapshot.lanes[index] = count(lane, done[index]);
        snapshot.order[index] = row(lane, places[index]);
        if done[index] == 90 {
            snapshot.lanes[index].status = Status::Finished;
            snapshot.heat.finished += 1;
        }
    }
    snapshot
}

const RUNNING: Clock = Clock::Running { zero_at_ms: 1_000 };

fn heat() -> Vec<(Snapshot, &'static [Moment])> {
    let counting = Clock::CountingDown { since_ms: 0, go_at_ms: 8_000, elapsed_ms: 0 };
    let stopped = Clock::Stopped { elapsed_ms: 90_000 };
    vec![
        (step(State::LanesSet, Clock::Idle, [0, 0], [0, 0]), &[Moment::LanesSet]),
        (step(State::Countdown, counting, [0, 0], [0, 0]), &[Moment::Countdown]),
        (step(State::Running, RUNNING, [0, 0], [0, 0]), &[]),
        (step(State::Running, RUNNING, [3, 2], [1, 2]), &[]),
        // A change of the lead in the first tenth of the work is none worth a picture.
        (step(State::Running, RUNNING, [3, 4], [2, 1]), &[]),
        (step(State::Running, RUNNING, [23, 20], [1, 2]), &[Moment::Quarter, Moment::LeadChange]),
        (step(State::Running, RUNNING, [40, 40], [1, 1]), &[]),
        (step(State::Running, RUNNING, [84, 80], [1, 2]), &[]),
        (step(State::Running, RUNNING, [86, 80], [1, 2]), &[Moment::LastFive]),
        (step(State::Running, RUNNING, [90, 82], [1, 2]), &[Moment::FirstFinish]),
        (step(State::TimeCalled, stopped, [90, 84], [1, 2]), &[Moment::Cap]),
        (step(State::Provisional, stopped, [90, 84], [1, 2]), &[Moment::Provisional]),
        (step(State::Signed, stopped, [90, 84], [1, 2]), &[]),
    ]
}

#[test]
fn each_moment_is_found_once_when_it_comes() {
    let mut moments = Moments::default();
    for (number, (snapshot, expected)) in heat().into_iter().enumerate() {
        let view = View::new(snapshot);
        let now_us = number as i64 * 5_000_000;
        // Feed time stands at 5.5 s: two and a half seconds before the start.
        assert_eq!(moments.look(&view, 5_500_000, 1_000, now_us), [], "step {number}");
        assert_eq!(moments.look(&view, 5_500_000, 1_000, now_us), []);
        let settled = moments.due(now_us + 2_000_000, true);
        assert_eq!(settled, expected, "step {number}");
        assert_eq!(moments.next_due_us(), None);
    }
    assert!(MOMENTS.into_iter().all(|moment| moments.is_taken(moment)));
}

#[test]
fn a_moment_that_is_over_before_its_picture_is_taken_from_the_canvas() {
    let mut moments = Moments::default();
    let steps = heat();
    let mut at_once = |step: usize, now_us| {
        let view = View::new(steps[step].0.clone());
        (moments.look(&view, 5_500_000, 1_000, now_us), moments.due(now_us, true))
    };
    assert_eq!(at_once(0, 0), (vec![], vec![]));
    assert_eq!(at_once(1, 10), (vec![Moment::LanesSet], vec![Moment::Countdown]));
    assert_eq!(at_once(8, 15), (vec![], vec![]));
    assert_eq!(at_once(9, 20), (vec![Moment::LastFive], vec![]), "nobody is in the last five any more");
    assert_eq!(at_once(10, 30), (vec![Moment::Quarter], vec![]));
    assert_eq!(at_once(11, 40).0, [Moment::FirstFinish, Moment::Cap], "a finish lasts until time is called");
}

#[test]
fn a_picture_waits_for_the_board_to_stand_still_but_not_for_ever() {
    let view = View::new(step(State::Running, RUNNING, [86, 80], [1, 2]));
    let mut moments = Moments::default();
    moments.look(&view, 5_500_000, 1_000, 0);
    assert_eq!(moments.due(300_000, false), []);
    assert_eq!(moments.due(400_000, true), [Moment::LastFive]);
    assert_eq!(moments.due(900_000, false), [], "the quarter's picture still waits");
    assert_eq!(moments.due(1_500_000, false), [Moment::Quarter]);
}

#[test]
fn at_twenty_times_the_speed_pictures_come_sooner() {
    let view = View::new(step(State::Running, RUNNING, [90, 80], [1, 2]));
    for (speed_milli, due_us) in [(1_000, 600_000), (10_000, 400_000), (20_000, 250_000)] {
        let mut moments = Moments::default();
        moments.look(&view, 5_500_000, speed_milli, 0);
        assert!(!moments.due(due_us - 1, true).contains(&Moment::FirstFinish), "{speed_milli}");
        assert!(moments.due(due_us, true).contains(&Moment::FirstFinish), "{speed_milli}");
    }
}

#[test]
fn a_quarter_is_measured_on_the_track_and_not_in_units() {
    let mut snapshot = step(State::Running, RUNNING, [1, 1], [1, 1]);
    // 500 metres that take a fifth of the track, then 45 lifts.
    let course = &mut snapshot.courses[0];
    course.units = 545;
    course.parts[0].amount = 500;
    (course.parts[0].track_len_ppm, course.parts[1].track_start_ppm) = (200_000, 200_000);
    course.parts[1].track_len_ppm = 800_000;
    let lane = &mut snapshot.lanes[0];
    (lane.done, lane.part, lane.part_done) = (499, 0, 499);
    let mut moments = Moments::default();
    moments.look(&View::new(snapshot.clone()), 5_500_000, 1_000, 0);
    assert_eq!(moments.due(5_000_000, true), []);
    let lane = &mut snapshot.lanes[0];
    (lane.done, lane.part, lane.part_done) = (503, 1, 3);
    moments.look(&View::new(snapshot), 5_500_000, 1_000, 6_000_000);
    assert_eq!(moments.due(9_000_000, true), [Moment::Quarter]);
}

#[test]
fn a_cap_that_no_frame_saw_is_taken_with_the_provisional_result() {
    let mut moments = Moments::default();
    let steps = heat();
    moments.look(&View::new(steps[9].0.clone()), 0, 1_000, 0);
    moments.due(2_000_000, true);
    moments.look(&View::new(steps[11].0.clone()), 0, 1_000, 3_000_000);
    assert_eq!(moments.due(5_000_000, true), [Moment::Cap, Moment::Provisional]);
}

#[test]
fn another_run_starts_over_and_a_quarter_comes_by_the_clock_too() {
    let mut moments = Moments::default();
    let mut snapshot = step(State::Running, RUNNING, [1, 1], [1, 1]);
    moments.look(&View::new(snapshot.clone()), 150_999_000, 1_000, 0);
    assert_eq!(moments.due(5_000_000, true), [], "one millisecond before a quarter of the cap");
    moments.look(&View::new(snapshot.clone()), 151_000_000, 1_000, 6_000_000);
    assert_eq!(moments.due(9_000_000, true), [Moment::Quarter]);
    snapshot.heat.run = 2;
    moments.look(&View::new(snapshot), 152_000_000, 1_000, 10_000_000);
    assert_eq!(moments.due(20_000_000, true), [Moment::Quarter]);
}

#[test]
fn the_program_writes_every_picture_and_ends_with_the_heat() {
    let folder = tempfile::tempdir().expect("a folder");
    let feed = FakeFeed::start();
    let mut command = display();
    command.args([
        "board",
        "--headless",
        "--until-provisional",
        "--size",
        "640x360",
        "--feed",
        &feed.address,
    ]);
    command.arg("--pictures").arg(folder.path()).stdout(Stdio::piped());
    let child = command.spawn().expect("the program");
    feed.hear();
    feed.welcome("one");
    let mut number = 100;
    for (mut snapshot, moments) in heat() {
        number += 1;
        snapshot.number = number;
        if snapshot.heat.state == State::Signed {
            break;
        }
        // Feed time of the fake feed's clock is some seconds after the display's start: go is far enough ahead.
        if let Clock::CountingDown { go_at_ms, .. } = &mut snapshot.heat.clock {
            *go_at_ms = 5_100;
        }
        feed.say(FeedMessage::Snapshot(Box::new(snapshot)));
        for moment in moments {
            let path = folder.path().join(moment.file_name());
            eventually(moment.file_name(), PATIENCE, || path.exists().then_some(()));
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    let output = child.wait_with_output().expect("its end");
    assert!(output.status.success());
    let printed = String::from_utf8(output.stdout).expect("text");
    for moment in MOMENTS {
        let path = folder.path().join(moment.file_name());
        assert!(printed.lines().any(|line| line == path.display().to_string()), "{printed}");
        let (size, bytes) = read_png(&path);
        assert_eq!(size, [640, 360]);
        let first = &bytes[..4];
        assert!(bytes.chunks_exact(4).any(|pixel| pixel != first), "{moment:?} is one flat colour");
    }
}
