//! A theme that is edited while it is on screen.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::Stdio;
use std::sync::mpsc::{Receiver, channel};

use fivemark_wire::from_feed::FeedMessage;

use crate::feed::FakeFeed;
use crate::screen::{Screen, Shown, command};
use crate::support::{PATIENCE, eventually};
use crate::window::standing;

const THEME: &str = include_str!("../../../themes/dark/theme.toml");
const BACKGROUND: &str = "#080A10";

/// A board in a theme's folder, with the lines of its log as they come.
fn board(screen: &Screen, feed: &FakeFeed, folder: &Path) -> (Shown, Receiver<String>) {
    let path = folder.to_string_lossy();
    let mut command = command(screen, feed, &["--windowed", "--size", "640x360", "--theme", &path]);
    let mut shown = Shown(command.stderr(Stdio::piped()).spawn().expect("the program"));
    let log = BufReader::new(shown.0.stderr.take().expect("its log"));
    let (lines, told) = channel();
    std::thread::spawn(move || log.lines().map_while(Result::ok).try_for_each(|line| lines.send(line)));
    feed.hear();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(standing())));
    (shown, told)
}

/// The line that says why a save is not shown.
fn refused(told: &Receiver<String>) -> String {
    loop {
        let line = told.recv_timeout(PATIENCE).expect("a line of the log");
        if line.contains("the one before stays") {
            break line;
        }
    }
}

#[test]
fn a_saved_theme_is_shown_and_a_half_written_one_is_told_and_changes_nothing() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let folder = screen.folder().join("theme");
    fs::create_dir(&folder).expect("a folder");
    let save = |text: &str| fs::write(folder.join("theme.toml"), text).expect("a file");
    save(THEME);
    let (_shown, told) = board(&screen, &feed, &folder);
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
    let fault = refused(&told);
    assert!(fault.contains("theme.toml"), "{fault}");
    background([0x0A, 0x08, 0x10]);

    save(&THEME.replace(BACKGROUND, "#081010"));
    background([0x08, 0x10, 0x10]);
}

/// The logo and what lies behind the board are files of the theme too.
#[test]
fn a_good_picture_that_is_replaced_by_a_broken_one_stays_on_the_screen() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let folder = screen.folder().join("theme");
    fs::create_dir(&folder).expect("a folder");
    let save = |name: &str, text: &str| fs::write(folder.join(name), text).expect("a file");
    let plain = |color: &str| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 16 9\"><rect width=\"16\" height=\"9\" \
             fill=\"{color}\"/></svg>"
        )
    };
    let pictures = "[logo]\nfile = \"mark.svg\"\nheight = 90\nwidth = 90\n\n\
                    [background]\nfile = \"hall.svg\"\nlies = \"cover\"\nopacity = 1000\n";
    save("theme.toml", &format!("{THEME}\n{pictures}"));
    save("mark.svg", &plain("#FFCC00"));
    save("hall.svg", &plain("#102030"));
    let (_shown, told) = board(&screen, &feed, &folder);
    // The corner belongs to nothing but what lies behind the board; the logo's colour is nobody else's.
    let shows = |corner: [u8; 3], logo: [u8; 3]| {
        eventually("the theme's pictures", PATIENCE, || {
            screen.pixels().filter(|pixels| pixels[0] == corner && pixels.contains(&logo)).map(|_| ())
        });
    };
    shows([0x10, 0x20, 0x30], [0xFF, 0xCC, 0x00]);
    for (name, broken, says) in [
        ("mark.svg", plain("#FFCC00").replace("rect", "text"), "it has a <text>"),
        ("hall.svg", plain("#E0E0E0"), "has a contrast of"),
    ] {
        save(name, &broken);
        let fault = refused(&told);
        assert!(fault.contains(name) && fault.contains(says) && fault.contains("theme.toml:"), "{fault}");
        shows([0x10, 0x20, 0x30], [0xFF, 0xCC, 0x00]);
        save(name, &plain(if name == "mark.svg" { "#FFCC00" } else { "#102030" }));
    }
    save("hall.svg", &plain("#203040"));
    save("mark.svg", &plain("#00CCFF"));
    shows([0x20, 0x30, 0x40], [0x00, 0xCC, 0xFF]);
}
