//! A heat shown again from a film: where it begins, what it leaves out, and the frames that come of it.

use std::path::{Path, PathBuf};
use std::process::Output;

use fivemark_display::clock::MonoClock;
use fivemark_display::connection::{Connection, Shared, Showing, Source};
use fivemark_display::replay::{Film, FilmError};
use fivemark_wire::from_feed::{Delta, FeedMessage};
use fivemark_wire::view::{Clock, HeatState, NoRep, State};

use crate::heat::{count, row, snapshot};
use crate::machine::read_png;
use crate::support::{PATIENCE, display, eventually};

/// Feed time of go and of a hold of a minute, milliseconds; the clock shows 0:20 meanwhile.
const GO_MS: i64 = 20_000;
const HELD_MS: i64 = 40_000;
const ON_MS: i64 = 100_000;
const CALLED_MS: i64 = 130_000;

fn heat(run: u32, state: State, clock: Clock) -> HeatState {
    HeatState { run, state, clock, ..snapshot(4).heat }
}

/// Its moment, the heat's new state, and a lane with what it has done.
type Step = (i64, Option<HeatState>, Option<(u8, u32)>);

/// A heat of four lanes that is held once, with what happens in it.
fn messages() -> Vec<FeedMessage> {
    let mut first = snapshot(4);
    (first.number, first.at_ms, first.heat) = (1, 0, heat(1, State::OnDeck, Clock::Idle));
    let counting = Clock::CountingDown { since_ms: 10_000, go_at_ms: GO_MS, elapsed_ms: 0 };
    let steps = [
        (10_000, Some(heat(1, State::Countdown, counting)), None),
        (GO_MS, Some(heat(1, State::Running, Clock::Running { zero_at_ms: GO_MS })), None),
        (30_000, None, Some((2, 7))),
        (HELD_MS, Some(heat(1, State::Held, Clock::Stopped { elapsed_ms: 20_000 })), None),
        (ON_MS, Some(heat(1, State::Running, Clock::Running { zero_at_ms: ON_MS - 20_000 })), None),
        (110_000, None, Some((3, 12))),
        (CALLED_MS, Some(heat(1, State::Provisional, Clock::Stopped { elapsed_ms: 50_000 })), None),
    ];
    let delta = |(number, (at_ms, heat, done)): (u64, Step)| {
        FeedMessage::Delta(Delta {
            number,
            at_ms,
            heat,
            lanes: done.iter().map(|(lane, done)| count(*lane, *done)).collect(),
            order: done.iter().map(|(lane, _)| row(*lane, 1)).collect(),
            no_reps: done
                .iter()
                .map(|(lane, _)| NoRep { lane: *lane, fault: "depth".into(), partial: false, at_ms })
                .collect(),
            ..Delta::default()
        })
    };
    let first = FeedMessage::Snapshot(Box::new(first));
    std::iter::once(first).chain((2..).zip(steps).map(delta)).collect()
}

pub fn kept(folder: &Path, lines: &[String]) -> PathBuf {
    let file = folder.join("film.jsonl");
    std::fs::write(&file, lines.join("\n")).expect("a file");
    file
}

pub fn lines() -> Vec<String> {
    messages().iter().map(|message| serde_json::to_string(message).expect("JSON")).collect()
}

pub fn replay(film: &Path, args: &[&str]) -> Output {
    display().arg("replay").arg(film).args(args).output().expect("the program")
}

#[test]
fn the_heat_s_clock_finds_its_moments_through_a_hold() {
    let folder = tempfile::tempdir().expect("a folder");
    let film = Film::read(&kept(folder.path(), &lines()), None).expect("a film");
    assert_eq!(film.begins_ms(None).expect("a run"), 10_000);
    for (elapsed_ms, feed_ms) in [(0, GO_MS), (10_000, 30_000), (20_000, HELD_MS), (20_001, ON_MS + 1)] {
        assert_eq!(film.moment_ms(elapsed_ms, None).expect("it was reached"), feed_ms, "{elapsed_ms}");
    }
    assert_eq!(film.moment_ms(50_000, Some(1)).expect("it was reached"), CALLED_MS);
    let never = film.moment_ms(50_001, None).expect_err("it was not reached");
    assert_eq!(never.to_string(), "the heat's clock never reached that moment; it got to 0:50.0");
    assert!(matches!(film.begins_ms(Some(2)), Err(FilmError::NoRun { run: 2, last: 1 })));

    let (then, after) = film.from_ms(50_000);
    assert_eq!((then.number, then.heat.state, then.lanes[1].done, after.len()), (5, State::Held, 7, 3));
    let (first, all) = film.from_ms(-1);
    assert_eq!((first.number, all.len()), (1, 7));
}

#[test]
fn one_lane_can_be_followed_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = kept(folder.path(), &lines());
    let film = Film::read(&file, Some(3)).expect("a film");
    let (last, _) = film.from_ms(i64::MAX);
    let lanes: Vec<u8> = last.entries.iter().map(|entry| entry.lane).collect();
    assert_eq!((lanes, last.lanes[0].done, last.order.len()), (vec![3], 12, 1));
    let (_, all) = film.from_ms(-1);
    let no_reps = |(_, message): &(i64, FeedMessage)| match message {
        FeedMessage::Delta(delta) => delta.no_reps.len(),
        _ => 0,
    };
    assert_eq!(all.iter().map(no_reps).sum::<usize>(), 1, "the other lane's no-rep is not told");
    let none = Film::read(&file, Some(9)).expect_err("there is no lane 9");
    assert_eq!(none.to_string(), "no lane 9 in this heat; it has lanes 1 to 4");
}

#[test]
fn frames_come_at_their_rate_and_end_with_the_last_picture() {
    let folder = tempfile::tempdir().expect("a folder");
    let film = kept(folder.path(), &lines());
    let how = ["--frames", "-", "--fps", "20", "--size", "320x180"];
    let output = replay(&film, &[&["--at", "0:20.5", "--speed", "10"], &how[..]].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let bytes = 320 * 180 * 4;
    assert_eq!(output.stdout.len() % bytes, 0, "whole frames");
    // 29.5 s of the heat take 2.95 s, and the last picture stays for three.
    let frames = output.stdout.len() / bytes;
    assert!(frames > 40, "{frames} frames");

    let picture = folder.path().join("last.png");
    let still = display()
        .args(["still", "--size", "320x180", "--snapshot"])
        .arg(&film)
        .arg("--out")
        .arg(&picture)
        .output()
        .expect("the program");
    assert!(still.status.success(), "{}", String::from_utf8_lossy(&still.stderr));
    assert!(output.stdout[output.stdout.len() - bytes..] == read_png(&picture).1, "the last frame");
    assert!(output.stdout[..bytes] != output.stdout[output.stdout.len() - bytes..], "it moved");

    let until = replay(&film, &[&["--at", "0:20.5", "--until", "0:25", "--speed", "10"], &how[..]].concat());
    assert!(until.status.success());
    assert!(until.stdout.len() < output.stdout.len(), "it ends where it is told to");
}

#[test]
fn an_end_with_the_provisional_heat_leaves_its_picture_in_the_pipe() {
    let folder = tempfile::tempdir().expect("a folder");
    let film = kept(folder.path(), &lines());
    let how = ["--at", "0:45", "--speed", "10", "--until-provisional", "--reduced-motion"];
    let output = replay(&film, &[&how[..], &["--frames", "-", "--size", "320x180"]].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let picture = folder.path().join("last.png");
    let mut still = display();
    still.args(["still", "--size", "320x180", "--snapshot"]).arg(&film).arg("--out").arg(&picture);
    assert!(still.output().expect("the program").status.success());
    assert!(output.stdout.ends_with(&read_png(&picture).1), "the last frame is the provisional heat");
}

#[test]
fn whoever_shows_it_late_sees_its_end_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let film = Film::read(&kept(folder.path(), &lines()), None).expect("a film");
    let showing = Showing { film, from_ms: ON_MS, until_ms: Some(CALLED_MS), speed_milli: 100_000 };
    let shared = [0, 700_000].map(|delay_us| Shared::delayed(|| (), delay_us));
    let source = Source::Film(Box::new(showing));
    let connection =
        Connection::start(source, shared.to_vec(), MonoClock::start()).expect("a thread to hear it");
    eventually("the film's end", PATIENCE, || connection.interrupted().then_some(()));
    for shared in shared {
        let known = shared.lock();
        let state = known.view.as_ref().map(|view| view.snapshot.heat.state);
        assert_eq!(state, Some(State::Provisional), "{} µs late", shared.delay_us());
    }
}

#[test]
fn what_is_no_film_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let error = |lines: &[String], args: &[&str]| {
        let output = replay(&kept(folder.path(), lines), &[args, &["--headless"]].concat());
        assert!(!output.status.success(), "it should have failed");
        String::from_utf8_lossy(&output.stderr).into_owned()
    };
    let whole = lines();
    assert!(error(&["nonsense".into()], &[]).contains("film.jsonl, line 1: not a message of the feed"));
    assert!(error(&[], &[]).contains("no snapshot in it; write it with `fivemark-feed retell`"));
    assert!(error(&whole[1..], &[]).contains("no snapshot in it"));
    let hole: Vec<String> = whole[..3].iter().chain(&whole[4..]).cloned().collect();
    assert!(error(&hole, &[]).contains("line 4: delta 5 came after 3; those between are missing"));
    assert!(error(&whole, &["--at", "3:00"]).contains("never reached that moment; it got to 0:50.0"));
    assert!(error(&whole, &["--at", "half past"]).contains("write it like 5:00 or 12:34.5"));
    assert!(error(&whole, &["--run", "2"]).contains("no run 2 of this heat began; its last one is run 1"));
    assert!(error(&whole, &["--speed", "0"]).contains("give a factor from 0.1 to 100"));
    let missing = replay(&folder.path().join("none.jsonl"), &["--headless"]);
    assert!(String::from_utf8_lossy(&missing.stderr).contains("none.jsonl can't be read"));
}
