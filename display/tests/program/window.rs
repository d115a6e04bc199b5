//! The window, on a screen of the test's own: what stands on it is the board, and keys do what they should.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use fivemark_wire::from_feed::{FeedMessage, Snapshot};

use crate::feed::FakeFeed;
use crate::heat::{count, snapshot};
use crate::machine::read_png;
use crate::screen::{ESCAPE, SIZE, Screen, Shown, command, show};
use crate::support::{PATIENCE, display, eventually};

/// What a still of the same snapshot looks like, three bytes a pixel.
pub fn still(folder: &Path, message: &FeedMessage) -> Vec<[u8; 3]> {
    let (file, out) = (folder.join("saved.json"), folder.join("still.png"));
    fs::write(&file, serde_json::to_string(message).expect("JSON")).expect("a file");
    let mut command = display();
    command.arg("still").arg("--snapshot").arg(&file).arg("--out").arg(&out);
    command.args(["--size", &format!("{}x{}", SIZE[0], SIZE[1])]);
    assert!(command.status().expect("the program").success());
    let (size, bytes) = read_png(&out);
    assert_eq!(size, SIZE);
    bytes.chunks_exact(4).map(|pixel| [pixel[0], pixel[1], pixel[2]]).collect()
}

/// A heat whose clock stands, so that a still and the window show the same.
pub fn standing() -> fivemark_wire::from_feed::Snapshot {
    let mut snapshot = snapshot(4);
    snapshot.heat.state = fivemark_wire::view::State::Provisional;
    snapshot.heat.clock = fivemark_wire::view::Clock::Stopped { elapsed_ms: 90_000 };
    snapshot
}

#[test]
fn the_window_shows_the_board_pixel_for_pixel_and_follows_it() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let _shown = show(&screen, &feed, &["--windowed", "--size", "640x360"]);
    feed.hear();
    feed.welcome("one");
    let mut snapshot = standing();
    for done in [12, 77] {
        snapshot.number += 1;
        snapshot.lanes[1] = count(2, done);
        let message = FeedMessage::Snapshot(Box::new(snapshot.clone()));
        feed.say(message.clone());
        let expected = still(screen.folder(), &message);
        let same = |pixels: Vec<[u8; 3]>| (pixels == expected).then_some(());
        eventually("the board on the screen", PATIENCE, || screen.pixels().and_then(same));
    }
}

#[test]
fn full_screen_fills_the_screen_and_escape_leaves() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let mut shown = show(&screen, &feed, &[]);
    feed.hear();
    feed.welcome("one");
    let message = FeedMessage::Snapshot(Box::new(standing()));
    feed.say(message.clone());
    let expected = still(screen.folder(), &message);
    eventually("the board on the whole screen", PATIENCE, || {
        screen.pixels().and_then(|pixels| (pixels == expected).then_some(()))
    });
    screen.press(ESCAPE);
    let status = eventually("the end", PATIENCE, || shown.0.try_wait().expect("the program"));
    assert!(status.success());
}

#[test]
fn a_window_without_a_feed_says_so_and_is_never_black() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let _shown = show(&screen, &feed, &["--windowed", "--size", "640x360"]);
    // The display joins and is never answered.
    feed.hear();
    eventually("words on the screen", PATIENCE, || {
        let pixels = screen.pixels()?;
        let bright = pixels.iter().filter(|pixel| pixel.iter().any(|channel| *channel > 120)).count();
        (bright > 200).then_some(())
    });
}

/// A window through everything that a driver can do to it: it is never dark, and shows the board again each time.
#[test]
fn a_lost_device_and_every_trouble_of_a_surface_leave_the_board_on_the_screen() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let more = ["--windowed", "--size", "640x360", "--practise-faults"];
    let mut shown = Shown(command(&screen, &feed, &more).stdin(Stdio::piped()).spawn().expect("the program"));
    let mut words = shown.0.stdin.take().expect("its input");
    feed.hear();
    feed.welcome("one");
    let mut snapshot = standing();
    let say = |snapshot: &Snapshot| {
        let message = FeedMessage::Snapshot(Box::new(snapshot.clone()));
        feed.say(message.clone());
        still(screen.folder(), &message)
    };
    let expected = say(&snapshot);
    let mut last = eventually("the board", PATIENCE, || screen.pixels().filter(|pixels| *pixels == expected));
    for (fault, done) in
        ["device", "lost", "outdated", "timeout", "occluded", "invalid", "device"].into_iter().zip(20..)
    {
        writeln!(words, "{fault}").expect("its input");
        snapshot.number += 1;
        snapshot.lanes[1] = count(2, done);
        let expected = say(&snapshot);
        last = eventually(fault, PATIENCE, || {
            let pixels = screen.pixels()?;
            // While a frame is copied to the screen, rows of both may be on it, but nothing else.
            let known = pixels.chunks(640).zip(last.chunks(640).zip(expected.chunks(640)));
            let foreign = known.filter(|(row, (before, after))| row != before && row != after).count();
            assert!(foreign <= 1, "{fault}: {foreign} rows of neither picture");
            (pixels == expected).then_some(pixels)
        });
    }
    assert!(shown.0.try_wait().expect("the program").is_none(), "it still runs");
}
