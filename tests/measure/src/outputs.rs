//! What the outputs of a display cost: the stream's overlay and its page, raw frames to a reader, five outputs beside
//! one, and a second in which nothing changes.

use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use anyhow::Context;
use fivemark_display::clock::MonoClock;
use fivemark_display::connection::{Connection, FeedAddress, Identity, Source};
use fivemark_display::plan::{Ground, Kind, Picture, Plan, Shift};
use fivemark_display::stage::{Cast, Wake, set_up};
use fivemark_display::voice::Voice;

use crate::playing::{Heat, Playing};
use crate::process::{Running, beside, first_line, tree_cpu};
use crate::report::{Figure, Goal};
use crate::samples::Samples;

const HD: &str = "1920x1080";
/// Until a program has opened its device, joined, and warmed its caches.
const WARM_UP: Duration = Duration::from_secs(5);
/// Samples of CPU, a second each.
const SECONDS: usize = 20;
/// How long raw frames are read.
const FRAMES_FOR: Duration = Duration::from_secs(60);
/// The access key of pages.
const KEY: &str = "4b1d7c0e2a964f35";

/// The overlay without a reader, and with a page in a browser.
///
/// # Errors
/// A program does not start.
pub fn overlay() -> anyhow::Result<Vec<Figure>> {
    const NAME: &str = "overlay";
    let feed = Playing::start(Heat::Ordinary)?;
    let alone = display(&feed, &["overlay", "--size", HD, "--headless"])?;
    let own = cpu_percent(alone.id());
    drop(alone);
    let served = ["overlay", "--size", HD, "--canvas", "127.0.0.1:0"];
    let mut serving = command(&feed, &served)?.stdout(Stdio::piped()).spawn().map(Running)?;
    let mut said = serving.0.stdout.take().context("it says nothing")?;
    let url = first_line(&mut said)?.replace("canvas on ", "");
    let profile = crate::folder()?;
    let browser = crate::pages::start(&format!("{url}#access_key={KEY}"), profile.path())?;
    let page = cpu_percent(browser.id());
    drop(browser);
    let figures = end(&mut serving.0, &mut said)?;
    let seconds = (WARM_UP + Duration::from_secs(SECONDS as u64)).as_secs_f64();
    let bytes = number_before(&figures, " bytes of changes in all")?;
    Ok(vec![
        Figure::of(
            NAME,
            "ribbon, 1920×1080, 60 a second, all of the process",
            "% of a core",
            &own,
            Goal::Median(40.0),
        ),
        Figure::of(
            NAME,
            "its page in headless Chromium, all its processes",
            "% of a core",
            &page,
            Goal::Median(40.0),
        ),
        Figure::once(NAME, "bytes of changes to the page", "MB/s", bytes / seconds / 1e6, Goal::Median(8.0)),
    ])
}

/// The overlay as raw frames, read by ffmpeg, which discards them.
///
/// # Errors
/// There is no ffmpeg, or a program does not start.
pub fn raw_frames() -> anyhow::Result<Vec<Figure>> {
    const NAME: &str = "raw-frames";
    let feed = Playing::start(Heat::Ordinary)?;
    let folder = crate::folder()?;
    let pipe = folder.path().join("frames");
    let pipe = pipe.to_str().context("a folder with an odd name")?;
    let sent = ["overlay", "--size", HD, "--frames", pipe, "--fps", "60", "--alpha", "premultiplied"];
    let mut display = command(&feed, &sent)?.stdout(Stdio::piped()).spawn().map(Running)?;
    wait_for(Path::new(pipe))?;
    let reader = Command::new("ffmpeg")
        .args(["-v", "error", "-f", "rawvideo", "-pixel_format", "rgba", "-video_size", HD])
        .args(["-framerate", "60", "-i", pipe, "-f", "null", "-"])
        .stdin(Stdio::null())
        .spawn()
        .map(Running)
        .context("there is no ffmpeg")?;
    std::thread::sleep(FRAMES_FOR);
    let mut said = display.0.stdout.take().context("it says nothing")?;
    let figures = end(&mut display.0, &mut said)?;
    drop(reader);
    let what = |what: &str| format!("raw frames to ffmpeg, 1920×1080, 60 a second, 60 s: {what}");
    let late_ms = number_before(&figures, " µs")? / 1e3;
    Ok(vec![
        Figure::once(
            NAME,
            what("frames dropped"),
            "frames",
            number_before(&figures, " dropped")?,
            Goal::Median(0.0),
        ),
        Figure::once(NAME, what("frames sent"), "frames", number_before(&figures, " sent")?, Goal::Yardstick),
        Figure::once(NAME, what("p99 of how late a frame's write began"), "ms", late_ms, Goal::Median(5.0)),
    ])
}

/// One board in one window, and in five.
///
/// # Errors
/// There is no Xvfb, or a program does not start.
pub fn five_outputs() -> anyhow::Result<Vec<Figure>> {
    const NAME: &str = "five-outputs";
    let feed = Playing::start(Heat::Ordinary)?;
    let folder = crate::folder()?;
    let number = folder.path().join("number");
    let _screen = Command::new("Xvfb")
        .args(["-displayfd", "1", "-noreset", "-screen", "0", "6400x720x24"])
        .stdout(std::fs::File::create(&number)?)
        .stderr(Stdio::null())
        .spawn()
        .map(Running)
        .context("there is no Xvfb")?;
    let screen = loop_until(|| {
        let text = std::fs::read_to_string(&number).ok()?;
        text.trim().parse::<u32>().ok().map(|number| format!(":{number}"))
    })?;
    let mut cpu = Vec::new();
    for windows in [1, 5] {
        let file = folder.path().join("screens.toml");
        std::fs::write(&file, in_windows(windows))?;
        let file = file.to_str().context("a folder with an odd name")?;
        let mut command = command(&feed, &["screens", file])?;
        command.env("DISPLAY", &screen).env_remove("WAYLAND_DISPLAY");
        let display = command.stdout(Stdio::null()).spawn().map(Running)?;
        cpu.push(cpu_percent(display.id()));
    }
    let [one, five] = cpu.as_slice() else { anyhow::bail!("both were measured") };
    let times = five.median().zip(one.median()).map_or(f64::NAN, |(five, one)| five / one);
    let what = |windows: &str| format!("a board of 1280×720 in {windows}, all of the process");
    Ok(vec![
        Figure::of(NAME, what("one window"), "% of a core", one, Goal::Yardstick),
        Figure::of(NAME, what("five windows"), "% of a core", five, Goal::Yardstick),
        Figure::once(NAME, "five windows against one", "times", times, Goal::Median(3.0)),
    ])
}

fn in_windows(windows: u32) -> String {
    let mut text = "[[picture]]\nname = \"p\"\nscreen = \"board\"\nsize = \"1280x720\"\n".to_owned();
    for window in 0..windows {
        let x = window * 1_280;
        text += &format!(
            "[[output]]\nname = \"{window}\"\npicture = \"p\"\nto = \"window\"\nat = {{ x = {x}, y = 0 }}\n"
        );
    }
    text
}

/// Frames that are drawn while nothing changes.
///
/// # Errors
/// Nothing can be drawn.
pub fn idle() -> anyhow::Result<Vec<Figure>> {
    let feed = Playing::start(Heat::Standing)?;
    let clock = MonoClock::start();
    let cast = Cast {
        feed: &feed.address,
        access_key: None,
        clock,
        wake: Wake::new(|| ()),
        until_provisional: false,
        voice: Voice::Output,
    };
    let picture = Picture {
        name: "board".into(),
        kind: Kind::Board,
        size: Some([1920, 1080]),
        theme: "dark".into(),
        language: "en",
        ground: Ground::Theme,
        reduced_motion: false,
        shift: Shift::default(),
        moments: None,
    };
    let (mut stage, _, known) = set_up(&Plan { pictures: vec![picture], outputs: Vec::new() }, &cast)?;
    stage.open()?;
    let identity = Identity { device: "display-0".into(), access_key: None };
    let source = Source::Feed { address: FeedAddress::read(&feed.address)?, identity, seed: 1 };
    let _connection = Connection::start(source, known, clock)?;
    let second = |stage: &mut fivemark_display::stage::Stage| -> anyhow::Result<f64> {
        let (until_us, mut frames) = (clock.now_us() + 1_000_000, 0.0);
        while clock.now_us() < until_us {
            // Messages of other kinds, clock exchanges among them, wake a display; only a difference is drawn.
            stage.take_wake();
            let now_us = clock.now_us();
            if stage.pictures[0].due_us(now_us).is_some_and(|due_us| due_us <= now_us) {
                let drawn = stage.pictures[0].prepare(now_us)?;
                stage.pictures[0].finish([])?;
                frames += f64::from(u8::from(drawn.rects > 0));
            }
            std::thread::sleep(Duration::from_millis(1));
        }
        Ok(frames)
    };
    for _ in 0..WARM_UP.as_secs() {
        second(&mut stage)?;
    }
    let samples: Samples =
        (0..SECONDS).map(|_| second(&mut stage)).collect::<anyhow::Result<Vec<f64>>>()?.into_iter().collect();
    let what = "frames drawn in a second in which nothing changes";
    Ok(vec![Figure::of("idle", what, "frames", &samples, Goal::Both(0.0, 0.0))])
}

fn command(feed: &Playing, args: &[&str]) -> anyhow::Result<Command> {
    let mut command = Command::new(beside("fivemark-display")?);
    command.args(args).args(["--feed", &feed.address]).env("FIVEMARK_ACCESS_KEY", KEY);
    command.env("RUST_LOG", "error").stdin(Stdio::null());
    Ok(command)
}

fn display(feed: &Playing, args: &[&str]) -> anyhow::Result<Running> {
    Ok(Running(command(feed, args)?.stdout(Stdio::null()).spawn()?))
}

/// CPU of a process and its children in each second after the warm-up.
fn cpu_percent(id: u32) -> Samples {
    std::thread::sleep(WARM_UP);
    let second = |_| {
        let (began, from) = (std::time::Instant::now(), tree_cpu(id));
        std::thread::sleep(Duration::from_secs(1));
        (tree_cpu(id) - from).as_secs_f64() / began.elapsed().as_secs_f64() * 100.0
    };
    (0..SECONDS).map(second).collect()
}

/// Ends a display as Ctrl-C does, and gives what it says at the end.
fn end(display: &mut Child, said: &mut impl Read) -> anyhow::Result<String> {
    let id = i32::try_from(display.id()).ok().and_then(rustix::process::Pid::from_raw);
    rustix::process::kill_process(id.context("an odd process")?, rustix::process::Signal::INT)?;
    let mut text = String::new();
    said.read_to_string(&mut text)?;
    display.wait()?;
    Ok(text)
}

/// The number that stands before these words.
fn number_before(text: &str, words: &str) -> anyhow::Result<f64> {
    let found = text.find(words).map(|at| text[..at].rsplit(|character: char| !character.is_ascii_digit()));
    let number = found.and_then(|mut parts| parts.next()).context("the display told no figures")?;
    number.parse().with_context(|| format!("no number before `{words}` in `{text}`"))
}

fn wait_for(path: &Path) -> anyhow::Result<()> {
    loop_until(|| path.exists().then_some(()))
}

fn loop_until<T>(mut look: impl FnMut() -> Option<T>) -> anyhow::Result<T> {
    for _ in 0..500 {
        if let Some(found) = look() {
            return Ok(found);
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    anyhow::bail!("a program did not start within ten seconds")
}
