//! The window, on a screen of the test's own: what stands on it is the board, and keys do what they should.

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use fivemark_wire::from_feed::FeedMessage;
use x11rb::connection::Connection;
use x11rb::protocol::xproto::{ConnectionExt as _, KEY_PRESS_EVENT, KEY_RELEASE_EVENT, MOTION_NOTIFY_EVENT};
use x11rb::protocol::xtest::ConnectionExt as _;

use crate::feed::FakeFeed;
use crate::heat::{count, snapshot};
use crate::machine::read_png;
use crate::support::{PATIENCE, display, eventually};

const SIZE: [u32; 2] = [640, 360];
/// The key symbol of Escape, from X11's keysymdef.
const ESCAPE: u32 = 0xff1b;

/// A virtual screen that ends with the test.
struct Screen {
    server: Child,
    name: String,
    folder: tempfile::TempDir,
}

impl Screen {
    /// The server chooses a free number itself and writes it down.
    fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let number = folder.path().join("number");
        let file = fs::File::create(&number).expect("a file");
        let server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-noreset", "-screen", "0", "640x360x24", "-fbdir"])
            .arg(folder.path())
            .stdin(Stdio::null())
            .stdout(file)
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb is not installed; run ./tests/run, which installs what the tests need");
        let name = eventually("a screen", PATIENCE, || {
            let text = fs::read_to_string(&number).ok()?;
            text.trim().parse::<u32>().ok().map(|number| format!(":{number}"))
        });
        Self { server, name, folder }
    }

    /// The pixels on the screen, three bytes each, from the X window dump that the server keeps.
    fn pixels(&self) -> Option<Vec<[u8; 3]>> {
        let dump = fs::read(self.folder.path().join("Xvfb_screen0")).ok()?;
        let word = |index: usize| -> Option<usize> {
            let bytes: [u8; 4] = dump.get(index * 4..index * 4 + 4)?.try_into().ok()?;
            Some(u32::from_be_bytes(bytes) as usize)
        };
        // The header of the X window dump format, version 7: size, bytes a line, colours, in words of 32 bits.
        let (header, width, height) = (word(0)?, word(4)?, word(5)?);
        let (line, colors) = (word(12)?, word(19)?);
        let start = header + colors * 12;
        let mut pixels = Vec::with_capacity(width * height);
        for y in 0..height {
            let row = dump.get(start + y * line..start + y * line + width * 4)?;
            pixels.extend(row.chunks_exact(4).map(|pixel| [pixel[2], pixel[1], pixel[0]]));
        }
        Some(pixels)
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // It may have ended already; either way it is gone afterwards.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// The program in a window on the screen, ended with the test.
struct Shown(Child);

impl Drop for Shown {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn show(screen: &Screen, feed: &FakeFeed, more: &[&str]) -> Shown {
    let mut command = display();
    command
        .env("DISPLAY", &screen.name)
        .env_remove("WAYLAND_DISPLAY")
        .env("XDG_RUNTIME_DIR", screen.folder.path());
    command.args(["board", "--feed", &feed.address, "--reduced-motion"]).args(more);
    Shown(command.spawn().expect("the program"))
}

/// What a still of the same snapshot looks like, three bytes a pixel.
fn still(folder: &Path, message: &FeedMessage) -> Vec<[u8; 3]> {
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
fn standing() -> fivemark_wire::from_feed::Snapshot {
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
        let expected = still(screen.folder.path(), &message);
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
    let expected = still(screen.folder.path(), &message);
    eventually("the board on the whole screen", PATIENCE, || {
        screen.pixels().and_then(|pixels| (pixels == expected).then_some(()))
    });
    press(&screen, ESCAPE);
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

/// Presses and lets go of a key, as a keyboard on the screen would.
fn press(screen: &Screen, keysym: u32) {
    let (connection, number) = x11rb::connect(Some(&screen.name)).expect("the screen");
    let setup = connection.setup();
    let (first, last) = (setup.min_keycode, setup.max_keycode);
    let keys = connection.get_keyboard_mapping(first, last - first + 1).expect("a request");
    let keys = keys.reply().expect("the keyboard");
    let rows = keys.keysyms.chunks(usize::from(keys.keysyms_per_keycode));
    let code = (first..=last).zip(rows).find(|(_, row)| row.contains(&keysym)).expect("such a key").0;
    let root = setup.roots[number].root;
    // Without a window manager nobody gives the window the focus; keys go to where the pointer is.
    connection.xtest_fake_input(MOTION_NOTIFY_EVENT, 0, 0, root, 320, 180, 0).expect("a request");
    for kind in [KEY_PRESS_EVENT, KEY_RELEASE_EVENT] {
        connection.xtest_fake_input(kind, code, 0, root, 0, 0, 0).expect("a request").check().expect("a key");
    }
}
