//! A theme that is edited while it is on screen.

use std::fs;
use std::io::{BufRead, BufReader};
use std::process::Stdio;
use std::sync::mpsc::channel;

use fivemark_wire::from_feed::FeedMessage;

use crate::feed::FakeFeed;
use crate::screen::{Screen, Shown, command};
use crate::support::{PATIENCE, eventually};
use crate::window::standing;

const THEME: &str = include_str!("../../../themes/dark/theme.toml");
const BACKGROUND: &str = "#080A10";

#[test]
fn a_saved_theme_is_shown_and_a_half_written_one_is_told_and_changes_nothing() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let folder = screen.folder().join("theme");
    fs::create_dir(&folder).expect("a folder");
    let save = |text: &str| fs::write(folder.join("theme.toml"), text).expect("a file");
    save(THEME);
    let path = folder.to_string_lossy();
    let mut command = command(&screen, &feed, &["--windowed", "--size", "640x360", "--theme", &path]);
    let mut shown = Shown(command.stderr(Stdio::piped()).spawn().expect("the program"));
    let log = BufReader::new(shown.0.stderr.take().expect("its log"));
    let (lines, told) = channel();
    std::thread::spawn(move || log.lines().map_while(Result::ok).try_for_each(|line| lines.send(line)));
    feed.hear();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(standing())));
    let background = |color: [u8; 3]| {
        eventually("the theme's background", PATIENCE, || {
            // The corner belongs to nothing but the background.
            screen.pixels().filter(|pixels| pixels[0] == color).map(|pixels| pixels.len())
        });
    };
    background([0x08, 0x0A, 0x10]);
    save(&THEME.replace(BACKGROUND, "#0A0810"));
    background([0x0A, 0x08, 0x10]);

    save(&THEME[..THEME.len() / 3]);
    let fault = loop {
        let line = told.recv_timeout(PATIENCE).expect("a line of the log");
        if line.contains("the one before stays") {
            break line;
        }
    };
    assert!(fault.contains("theme.toml"), "{fault}");
    background([0x0A, 0x08, 0x10]);

    save(&THEME.replace(BACKGROUND, "#081010"));
    background([0x08, 0x10, 0x10]);
}
