//! Several outputs of one process: from a screens file to what comes out of it, and every fault of such a file.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use fivemark_display::excerpt::{Show, Turn};
use fivemark_display::gpu::damage::PxRect;
use fivemark_display::plan::{Alpha, Fps, Ground, Monitor, PixelOrder, Plan, To, parse};
use fivemark_scene::draw::Rgba;
use fivemark_wire::from_feed::FeedMessage;

use crate::feed::FakeFeed;
use crate::machine::read_png;
use crate::screen::{SIZE, Screen, Shown, on};
use crate::support::{PATIENCE, display, eventually, refusal_of};
use crate::window::{standing, still};

const GOOD: &str = r##"
[[picture]]
name = "wall"
screen = "board"
size = "3840x1080"
theme = "light"
background = "#00ff00"
reduced_motion = true
ahead_ms = 80

[[picture]]
name = "stream"
screen = "board"
background = "clear"
delay_ms = 4000

[[output]]
name = "left"
picture = "wall"
part = { width = 1920, height = 1080 }
to = "window"
monitor = "HDMI-1"
full_screen = true

[[output]]
name = "right"
picture = "wall"
part = { x = 1920, y = 0, width = 1920, height = 1080 }
turn = 270
to = "window"
monitor = 2
at = { x = -10, y = 20 }

[[output]]
name = "pages"
picture = "stream"
to = "pages"
listen = "127.0.0.1:0"

[[output]]
name = "key"
picture = "stream"
show = "key"
to = "frames"
pipe = "-"
pixels = "bgra"
alpha = "premultiplied"
fps = 50
"##;

fn good() -> Plan {
    parse("hall.toml", GOOD).expect("a good file")
}

#[test]
fn a_screens_file_says_what_is_shown_where() {
    let plan = good();
    let [wall, stream] = plan.pictures.as_slice() else { panic!("two pictures") };
    assert_eq!((wall.size, wall.theme.as_str(), wall.reduced_motion), (Some([3840, 1080]), "light", true));
    assert_eq!((wall.ground, wall.shift.ahead_us), (Ground::Solid(Rgba([0, 255, 0, 255])), 80_000));
    assert_eq!((stream.size, stream.ground), (Some([1920, 1080]), Ground::Clear));
    assert_eq!((stream.theme.as_str(), stream.shift.delay_us), ("dark", 4_000_000));
    let [left, right, pages, key] = plan.outputs.as_slice() else { panic!("four outputs") };
    assert_eq!(left.excerpt.part, Some(PxRect { left: 0, top: 0, right: 1920, bottom: 1080 }));
    let To::Window(window) = &left.to else { panic!("a window") };
    assert_eq!((&window.monitor, window.full_screen), (&Some(Monitor::Name("HDMI-1".into())), true));
    let To::Window(window) = &right.to else { panic!("a window") };
    assert_eq!((&window.monitor, window.at), (&Some(Monitor::Number(2)), Some([-10, 20])));
    assert_eq!(
        (right.excerpt.turn, right.excerpt.of([3840, 1080]).size()),
        (Turn::ThreeQuarters, [1080, 1920])
    );
    assert_eq!((pages.picture, pages.fps), (1, Fps::USUAL));
    let To::Frames(frames) = &key.to else { panic!("frames") };
    assert_eq!((frames.pixels, frames.alpha), (PixelOrder::Bgra, Alpha::Premultiplied));
    assert_eq!((key.excerpt.show, Some(key.fps)), (Show::Key, Fps::new(50, 1)));
    assert!(plan.takes_standard_output());
}

#[test]
fn the_example_in_the_demo_is_a_good_one() {
    let plan = parse("demo/screens.toml", include_str!("../../../demo/screens.toml")).expect("a good file");
    assert_eq!((plan.pictures.len(), plan.outputs.len()), (3, 6));
}

#[test]
fn some_outputs_take_their_pictures_with_them() {
    let names = |names: &[&str]| names.iter().map(ToString::to_string).collect::<Vec<_>>();
    let plan = good().only(&names(&["pages"])).expect("there is one");
    assert_eq!((plan.pictures.len(), plan.pictures[0].name.as_str()), (1, "stream"));
    assert_eq!((plan.outputs.len(), plan.outputs[0].picture), (1, 0));
    assert!(!plan.takes_standard_output());
    assert_eq!(good().only(&[]), Ok(good()));
    let error = good().only(&names(&["pages", "roof"])).expect_err("there is none").to_string();
    assert!(error.contains("`roof`") && error.contains("left, right, pages, key"), "{error}");
}

#[test]
fn every_fault_is_named_at_its_line() {
    // What is changed in the good file, at which line the fault stands, and words of it.
    let faults: &[(&str, &str, usize, &str)] = &[
        ("[[picture]]\nname = \"wall\"", "[[picture]\nname = \"wall\"", 2, "not TOML"),
        ("name = \"wall\"", "name = 7", 3, "name has to be a text, not a whole number"),
        ("name = \"wall\"", "title = \"wall\"", 2, "this picture has no name"),
        ("name = \"wall\"", "name = \"\"", 3, "name is empty"),
        ("screen = \"board\"\nsize", "screen = \"bord\"\nsize", 4, "not `bord`"),
        ("screen = \"board\"\nsize", "size", 2, "this picture has no screen"),
        ("theme = \"light\"", "language = \"xx\"", 6, "xx"),
        ("3840x1080", "0x1080", 5, "from 16 to 16384 pixels"),
        ("3840x1080", "1000000x1080", 5, "from 16 to 16384 pixels"),
        ("3840x1080", "wide", 5, "write it like 1920x1080"),
        ("#00ff00", "green", 7, "#00ff00"),
        ("reduced_motion = true", "reduced_motion = 1", 8, "true or false"),
        ("reduced_motion = true", "reduced_moton = true", 8, "no field `reduced_moton`"),
        ("ahead_ms = 80", "ahead_ms = 5000", 9, "from 0 to 1000"),
        ("delay_ms = 4000", "delay_ms = 4000\nahead_ms = 1", 15, "never both"),
        ("name = \"stream\"", "name = \"wall\"", 12, "`wall` is taken"),
        ("picture = \"wall\"\npart = { w", "picture = \"wal\"\npart = { w", 19, "named `wal`"),
        ("{ width = 1920, height = 1080 }", "{ width = 1920 }", 20, "part has no height"),
        ("{ width = 1920, height = 1080 }", "{ width = 1920, height = 1081 }", 20, "which is 3840x1080"),
        ("{ width = 1920, height = 1080 }", "{ width = 0, height = 1080 }", 20, "from 1 to"),
        ("{ width = 1920, height = 1080 }", "[0, 0]", 20, "part has to be a table, not a list"),
        ("turn = 270", "turn = 45", 29, "0, 90, 180 or 270"),
        ("monitor = 2", "monitor = 0", 31, "from 1 to 64"),
        ("to = \"window\"\nmonitor = 2", "to = \"wall\"\nmonitor = 2", 30, "window, pages, frames"),
        ("at = { x = -10", "full_screen = true\nat = { x = -10", 33, "stands at no place"),
        ("listen = \"127.0.0.1:0\"", "listen = \"here\"", 38, "like 127.0.0.1:7334"),
        ("listen = \"127.0.0.1:0\"", "", 34, "no listen address"),
        ("listen = \"127.0.0.1:0\"", "listen = \"127.0.0.1:0\"\npipe = \"x\"", 39, "no field `pipe`"),
        ("show = \"key\"", "show = \"alpha\"", 43, "picture, fill, key"),
        ("pipe = \"-\"", "", 40, "has no pipe"),
        ("\"bgra\"", "\"argb\"", 46, "rgba, bgra"),
        ("\"premultiplied\"", "\"none\"", 47, "straight, premultiplied"),
        ("fps = 50", "fps = 0", 48, "from 1 to 240"),
        ("picture = \"stream\"\nto", "picture = \"wall\"\nto", 12, "no [[output]] shows"),
    ];
    for (from, to, line, says) in faults {
        assert!(GOOD.contains(from), "{from}");
        let mut text = GOOD.replacen(from, to, 1);
        if says.starts_with("no [[output]]") {
            text = text.replace("picture = \"stream\"", "picture = \"wall\"");
        }
        let faults = parse("hall.toml", &text).expect_err(to);
        let named = faults.iter().any(|fault| fault.line == *line && fault.says.contains(says));
        assert!(named, "{to}: {faults:?}");
        assert!(faults[0].to_string().starts_with("hall.toml:"), "{}", faults[0]);
    }
    // All of them at once, in the order of the file.
    let text =
        GOOD.replace("3840x1080", "0x0").replace("turn = 270", "turn = 1").replace("fps = 50", "fps = -1");
    let lines: Vec<usize> =
        parse("hall.toml", &text).expect_err("three").iter().map(|fault| fault.line).collect();
    assert_eq!(lines.first(), Some(&5), "{lines:?}");
    assert!(lines.contains(&29) && lines.contains(&48) && lines.is_sorted(), "{lines:?}");
    assert!(parse("hall.toml", "").is_err(), "an empty file shows nothing");
}

/// A screens file of a test, in its folder.
fn screens(folder: &Path, text: &str) -> Command {
    let file = folder.join("screens.toml");
    fs::write(&file, text).expect("a file");
    let mut command = display();
    command.arg("screens").arg(file);
    command
}

#[test]
fn wrong_files_and_names_end_the_program_with_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let error = |command: &mut Command| refusal_of(command.args(["--feed", "127.0.0.1:9"]));
    let said = error(&mut screens(folder.path(), "[[picture]]\nname = \"a\"\nsize = \"0x5\"\n"));
    assert!(said.contains("screens.toml:3: each side has to be from 16"), "{said}");
    let said = error(screens(folder.path(), GOOD).args(["--only", "roof"]));
    assert!(said.contains("no output is named `roof`"), "{said}");
    let said = error(display().arg("screens").arg(folder.path().join("none.toml")));
    assert!(said.contains("none.toml: cannot be read"), "{said}");
    let there = folder.path().join("file");
    fs::write(&there, "").expect("a file");
    let pipe = format!("pipe = {:?}", there.display().to_string());
    let said = error(screens(folder.path(), &GOOD.replace("pipe = \"-\"", &pipe)).args(["--only", "key"]));
    assert!(said.contains("output `key`") && said.contains("is not a pipe"), "{said}");
}

/// The still of a heat on a clear ground, straight, four bytes a pixel.
fn clear_still(folder: &Path) -> Vec<u8> {
    let out = folder.join("clear.png");
    let mut command = display();
    command.arg("still").arg("--snapshot").arg(folder.join("saved.json")).arg("--out").arg(&out);
    assert!(
        command.args(["--size", "640x360", "--background", "clear"]).status().expect("the program").success()
    );
    read_png(&out).1
}

#[test]
fn frames_on_the_standard_output_are_the_picture_and_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    let feed = FakeFeed::start();
    let message = FeedMessage::Snapshot(Box::new(standing()));
    still(folder.path(), &message);
    let expected = clear_still(folder.path());
    let mut command = display();
    command.args([
        "board",
        "--feed",
        &feed.address,
        "--frames",
        "-",
        "--background",
        "clear",
        "--reduced-motion",
    ]);
    command.args(["--size", "640x360"]).arg("--pictures").arg(folder.path().join("pictures"));
    let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
    let mut shown = Shown(child);
    feed.hear();
    feed.welcome("one");
    feed.say(message);
    let mut frames = shown.0.stdout.take().expect("its output");
    let mut frame = vec![0; expected.len()];
    eventually("the board in the frames", PATIENCE, || {
        frames.read_exact(&mut frame).expect("a frame");
        // The file's path is told meanwhile, and not between the frames.
        let told = folder.path().join("pictures/08-provisional.png").exists();
        (told && frame == expected).then_some(())
    });
    drop(frames);
    let mut said = String::new();
    shown.0.stderr.take().expect("its messages").read_to_string(&mut said).expect("text");
    assert!(
        shown.0.wait().expect("the program").success(),
        "its reader is gone, which is no failure: {said}"
    );
    assert!(said.contains("the reader of the raw frames is gone"), "{said}");
    assert!(said.contains("frames board: ") && said.contains("provisional.png"), "{said}");
}

#[test]
fn fill_and_key_of_one_picture_are_two_outputs() {
    let folder = tempfile::tempdir().expect("a folder");
    let feed = FakeFeed::start();
    let message = FeedMessage::Snapshot(Box::new(standing()));
    still(folder.path(), &message);
    let expected = clear_still(folder.path());
    let output = |name: &str| {
        let pipe = folder.path().join(name);
        format!(
            "[[output]]\nname = {name:?}\npicture = \"p\"\nshow = {name:?}\nto = \"frames\"\npipe = {pipe:?}\n"
        )
    };
    let text = format!(
        "[[picture]]\nname = \"p\"\nscreen = \"board\"\nsize = \"640x360\"\nbackground = \"clear\"\n\
         reduced_motion = true\n{}{}",
        output("fill"),
        output("key")
    );
    let child = screens(folder.path(), &text).args(["--feed", &feed.address]).spawn().expect("the program");
    let _shown = Shown(child);
    feed.hear();
    feed.welcome("one");
    feed.say(message);
    for name in ["fill", "key"] {
        let mut pipe = eventually("the pipe", PATIENCE, || File::open(folder.path().join(name)).ok());
        let mut frame = vec![0; expected.len()];
        let near = |frame: &[u8]| {
            frame.chunks_exact(4).zip(expected.chunks_exact(4)).all(|(found, straight)| {
                let alpha = straight[3];
                let wanted = |channel: usize| match name {
                    "key" => alpha,
                    _ => ((u32::from(straight[channel]) * u32::from(alpha) + 127) / 255) as u8,
                };
                // The still has gone through straight colours, which costs a step.
                (0..3).all(|channel| found[channel].abs_diff(wanted(channel)) <= 1) && found[3] == 255
            })
        };
        eventually(name, PATIENCE, || {
            pipe.read_exact(&mut frame).expect("a frame");
            near(&frame).then_some(())
        });
    }
}

#[test]
fn two_windows_show_two_halves_of_one_picture() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let window = |name: &str, part: u32, at: u32, turn: u32| {
        format!(
            "[[output]]\nname = {name:?}\npicture = \"p\"\nto = \"window\"\nturn = {turn}\n\
             part = {{ x = {part}, y = 0, width = 320, height = 360 }}\nat = {{ x = {at}, y = 0 }}\n"
        )
    };
    // Each half stands where the other would be, and one is upside down.
    let text = format!(
        "[[picture]]\nname = \"p\"\nscreen = \"board\"\nsize = \"640x360\"\nreduced_motion = true\n{}{}",
        window("first", 0, 320, 0),
        window("second", 320, 0, 180)
    );
    let file = screen.folder().join("screens.toml");
    fs::write(&file, text).expect("a file");
    let child = on(&screen).arg("screens").arg(&file).args(["--feed", &feed.address]).spawn();
    let _shown = Shown(child.expect("the program"));
    feed.hear();
    feed.welcome("one");
    let message = FeedMessage::Snapshot(Box::new(standing()));
    feed.say(message.clone());
    let board = still(screen.folder(), &message);
    let expected: Vec<[u8; 3]> = (0..SIZE[1])
        .flat_map(|y| (0..SIZE[0]).map(move |x| (x, y)))
        .map(|(x, y)| if x >= 320 { (x - 320, y) } else { (639 - x, 359 - y) })
        .map(|(x, y)| board[(y * SIZE[0] + x) as usize])
        .collect();
    eventually("both halves", PATIENCE, || {
        screen.pixels().and_then(|pixels| (pixels == expected).then_some(()))
    });
}

#[test]
fn monitors_are_listed_and_one_that_is_not_there_is_waited_for() {
    let screen = Screen::start();
    let output = on(&screen).args(["screens", "--monitors"]).output().expect("the program");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success() && said.starts_with("1  ") && said.contains("640x360 at 0,0"), "{said}");
    let text = "[[picture]]\nname = \"p\"\nscreen = \"board\"\n\
                [[output]]\nname = \"roof\"\npicture = \"p\"\nto = \"window\"\nmonitor = \"roof\"\n";
    let file = screen.folder().join("screens.toml");
    fs::write(&file, text).expect("a file");
    let mut command = on(&screen);
    command.arg("screens").arg(&file).args(["--feed", "127.0.0.1:9"]);
    let mut shown = Shown(command.stderr(Stdio::piped()).spawn().expect("the program"));
    let mut log = std::io::BufReader::new(shown.0.stderr.take().expect("its messages"));
    let waits = std::io::BufRead::lines(&mut log)
        .any(|line| line.expect("text").contains("waiting for the monitor `roof`"));
    assert!(waits);
    assert!(shown.0.try_wait().expect("the program").is_none(), "it goes on");
}

#[test]
fn a_window_that_can_not_be_clear_says_what_to_do() {
    let screen = Screen::start();
    let mut command = on(&screen);
    command.args(["board", "--feed", "127.0.0.1:9", "--windowed", "--background", "clear"]);
    let said = refusal_of(&mut command);
    assert!(said.contains("--background '#00ff00'"), "{said}");
}

#[test]
fn a_key_colour_stands_where_the_picture_is_clear() {
    let screen = Screen::start();
    let feed = FakeFeed::start();
    let mut command = on(&screen);
    command.args(["board", "--feed", &feed.address, "--reduced-motion", "--background", "#00ff00"]);
    let _shown = Shown(command.args(["--windowed", "--size", "640x360"]).spawn().expect("the program"));
    feed.hear();
    feed.welcome("one");
    let message = FeedMessage::Snapshot(Box::new(standing()));
    still(screen.folder(), &message);
    feed.say(message);
    let clear = clear_still(screen.folder());
    eventually("the key colour", PATIENCE, || {
        let pixels = screen.pixels()?;
        let right = pixels.iter().zip(clear.chunks_exact(4)).all(|(found, straight)| match straight[3] {
            0 => *found == [0, 255, 0],
            255 => found == &straight[..3],
            _ => true,
        });
        right.then_some(())
    });
}
