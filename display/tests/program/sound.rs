//! Sound as a device gets it: the program plays into ALSA's own file device, whose file is a pipe that the test reads
//! at the pace of a real device.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use fivemark_wire::from_feed::{FeedMessage, Snapshot};
use fivemark_wire::view::{Clock, State};

use crate::feed::FakeFeed;
use crate::heat::snapshot;
use crate::support::{PATIENCE, display, eventually};

const RATE: usize = 48_000;
/// By how much sounds may lie nearer or further apart: the clock of this device, a file, is the machine's own turns, and
/// comes late on a busy one.
const WITHIN: usize = RATE * 20 / 1_000;
/// Of the test's device, all of one frame: two channels of 16 bits.
const FRAME_BYTES: usize = 4;
/// Read at a time.
const STEP: Duration = Duration::from_millis(2);
/// Silence of this many samples parts one sound from the next; the last minute's two notes are nearer.
const PAUSE: usize = RATE * 3 / 20;

/// A device that keeps what is played.
fn device(folder: &Path, slave: &str) -> std::path::PathBuf {
    let config = folder.join("asound.conf");
    fs::write(&config, slave).expect("a file");
    config
}

struct Playing {
    program: Child,
    feed: FakeFeed,
    started: Instant,
    samples: Receiver<Vec<u8>>,
}

impl Playing {
    fn start(folder: &Path) -> Self {
        let pipe = folder.join("samples");
        assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
        let config = device(
            folder,
            &format!(
                "pcm.!default {{ type plug slave {{ pcm {{ type file slave.pcm {{ type null }} file \"{}\" \
                 format raw }} format S16_LE rate {RATE} channels 2 }} }}",
                pipe.display()
            ),
        );
        let (say, samples) = channel();
        std::thread::spawn(move || {
            let mut file = File::open(&pipe).expect("the pipe");
            let mut next = Instant::now();
            loop {
                let mut step = vec![0; RATE * FRAME_BYTES * STEP.as_millis() as usize / 1_000];
                if file.read_exact(&mut step).is_err() || say.send(step).is_err() {
                    return;
                }
                next += STEP;
                std::thread::sleep(next.saturating_duration_since(Instant::now()));
            }
        });
        let feed = FakeFeed::start();
        let started = Instant::now();
        let mut command = display();
        command.args(["board", "--headless", "--size", "320x180", "--sound", "--feed", &feed.address]);
        let program = command.env("ALSA_CONFIG_PATH", config).spawn().expect("the program");
        feed.hear();
        feed.welcome("one");
        Self { program, feed, started, samples }
    }

    /// Now by the fake feed's clock, which is five seconds ahead of the program's own; that began with the program.
    fn feed_ms(&self) -> i64 {
        5_000 + i64::try_from(self.started.elapsed().as_millis()).expect("seconds")
    }

    fn say(&self, snapshot: &Snapshot) {
        self.feed.say(FeedMessage::Snapshot(Box::new(snapshot.clone())));
    }

    /// Ends the program; all samples of the left channel.
    fn end(mut self) -> Vec<i16> {
        self.program.kill().expect("the program");
        self.program.wait().expect("its end");
        let bytes: Vec<u8> = self.samples.iter().flatten().collect();
        bytes.chunks_exact(FRAME_BYTES).map(|frame| i16::from_le_bytes([frame[0], frame[1]])).collect()
    }
}

/// Begin, length and pitch (crossings of nothing in a second) of each sound.
fn sounds(samples: &[i16]) -> Vec<(usize, usize, usize)> {
    let loud: Vec<usize> = (0..samples.len()).filter(|at| samples[*at].unsigned_abs() > 8).collect();
    let mut sounds: Vec<(usize, usize)> = Vec::new();
    for at in loud {
        match sounds.last_mut() {
            Some((_, last)) if at - *last < PAUSE => *last = at,
            _ => sounds.push((at, at)),
        }
    }
    sounds
        .into_iter()
        .map(|(first, last)| {
            // The first tenth of a second, which every sound has.
            let part = &samples[first..(first + RATE / 10).min(samples.len())];
            let crossings = part.windows(2).filter(|pair| (pair[0] < 0) != (pair[1] < 0)).count();
            (first, last - first, crossings * 10 / 2)
        })
        .collect()
}

#[track_caller]
fn near(what: &str, found: usize, expected: usize, within: usize) {
    assert!(found.abs_diff(expected) <= within, "{what}: {found} is not {expected}");
}

#[test]
fn a_heat_sounds_on_its_seconds_and_what_is_taken_back_does_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let playing = Playing::start(folder.path());
    let mut heat = snapshot(2);
    heat.heat.cap_ms = 61_500;
    heat.heat.state = State::Countdown;
    // Time for the first exchanges of clocks.
    let go_at_ms = playing.feed_ms() + 6_000;
    heat.heat.clock = Clock::CountingDown { since_ms: go_at_ms - 10_000, go_at_ms, elapsed_ms: 0 };
    playing.say(&heat);
    let until = |feed_ms: i64| {
        eventually("that time", PATIENCE, || (playing.feed_ms() >= feed_ms).then_some(()));
    };
    until(go_at_ms + 5);
    heat.heat.state = State::Running;
    heat.heat.clock = Clock::Running { zero_at_ms: go_at_ms };
    playing.say(&heat);
    // The last minute begins at 1.5 s.
    until(go_at_ms + 2_300);
    heat.heat.state = State::Held;
    heat.heat.clock = Clock::Stopped { elapsed_ms: 2_300 };
    playing.say(&heat);
    // It resumes, and is recalled between the beeps.
    let again_at_ms = playing.feed_ms() + 3_500;
    heat.heat.state = State::Countdown;
    heat.heat.clock = Clock::CountingDown { since_ms: 0, go_at_ms: again_at_ms, elapsed_ms: 2_300 };
    playing.say(&heat);
    until(again_at_ms - 1_500);
    heat.heat.state = State::Held;
    heat.heat.clock = Clock::Stopped { elapsed_ms: 2_300 };
    playing.say(&heat);
    until(again_at_ms + 1_000);
    // It runs on, near its cap.
    let cap_at_ms = playing.feed_ms() + 800;
    heat.heat.state = State::Running;
    heat.heat.clock = Clock::Running { zero_at_ms: cap_at_ms - 61_500 };
    playing.say(&heat);
    until(cap_at_ms + 2_500);
    let samples = playing.end();
    let peak = samples.iter().map(|sample| sample.unsigned_abs()).max();
    assert!(peak.is_some_and(|peak| (5_000..13_000).contains(&peak)), "a moderate level: {peak:?}");
    let sounds = sounds(&samples);
    assert_eq!(sounds.len(), 8, "{sounds:?}");
    let pitches = [880, 880, 880, 1_318, 1_046, 880, 880, 220];
    for ((_, _, pitch), expected) in sounds.iter().zip(pitches) {
        near("the pitch", *pitch, expected, expected / 8);
    }
    let begins: Vec<usize> = sounds.iter().map(|sound| sound.0).collect();
    let apart: Vec<usize> = begins.windows(2).map(|pair| pair[1] - pair[0]).collect();
    // Beeps and start, second by second.
    for apart in &apart[..3] {
        near("a second", *apart, RATE, WITHIN);
    }
    near("the last minute", apart[3], RATE * 3 / 2, WITHIN);
    near("the beeps of the resumed heat", apart[5], RATE, WITHIN);
}

#[test]
fn a_machine_without_a_sound_device_is_told_once_and_shows_the_board() {
    let folder = tempfile::tempdir().expect("a folder");
    let config = device(folder.path(), "# no device\n");
    let pictures = folder.path().join("pictures");
    let feed = FakeFeed::start();
    let mut command = display();
    command.args(["board", "--headless", "--size", "320x180", "--until-provisional", "--sound"]);
    command.arg("--pictures").arg(&pictures).args(["--feed", &feed.address]);
    command.env("ALSA_CONFIG_PATH", config).stderr(Stdio::piped());
    let program = command.spawn().expect("the program");
    feed.hear();
    feed.welcome("one");
    let mut heat = snapshot(2);
    heat.heat.state = State::Provisional;
    heat.heat.clock = Clock::Stopped { elapsed_ms: 90_000 };
    feed.say(FeedMessage::Snapshot(Box::new(heat)));
    let output = program.wait_with_output().expect("its end");
    let log = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{log}");
    assert_eq!(log.matches("the board goes on without sound").count(), 1, "{log}");
    assert!(!log.contains("ALSA lib"), "the library below keeps quiet: {log}");
    assert!(pictures.join("08-provisional.png").exists());
}
