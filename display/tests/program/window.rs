//! The window, on a screen of the test's own: what stands on it is the board, and keys do what they should.

use std::fs;
use std::path::Path;

use fivemark_wire::from_feed::FeedMessage;

use crate::feed::FakeFeed;
use crate::heat::{count, snapshot};
use crate::machine::read_png;
use crate::screen::{ESCAPE, SIZE, Screen, show};
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
