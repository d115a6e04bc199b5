//! Windows on two monitors that are unplugged and plugged in again, as X's own server has them.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};

use fivemark_wire::from_feed::FeedMessage;
use x11rb::connection::Connection as _;
use x11rb::protocol::xproto::{ConnectionExt as _, ImageFormat};

use crate::feed::FakeFeed;
use crate::heat::count;
use crate::screen::{SIZE, Shown, on_server, serve};
use crate::support::{PATIENCE, eventually};
use crate::window::{standing, still};

/// The server itself: the command of the same name in the path asks who sits at the machine first.
const SERVER: &str = "/usr/lib/xorg/Xorg";

/// Monitors without glass, up to sixteen of them, of which the first is plugged in.
const CONFIG: &str = "\
Section \"ServerFlags\"
  Option \"AutoAddDevices\" \"false\"
  Option \"AutoAddGPU\" \"false\"
EndSection
Section \"Device\"
  Identifier \"card\"
  Driver \"dummy\"
  VideoRam 65536
EndSection
Section \"Monitor\"
  Identifier \"glass\"
  HorizSync 5.0-1000.0
  VertRefresh 5.0-200.0
EndSection
Section \"Screen\"
  Identifier \"screen\"
  Device \"card\"
  Monitor \"glass\"
  DefaultDepth 24
  SubSection \"Display\"
    Modes \"640x360\"
    Virtual 2560 1440
  EndSubSection
EndSection
";

/// Two monitors side by side; the first stays.
struct Desk {
    server: Child,
    name: String,
    folder: tempfile::TempDir,
}

impl Desk {
    fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let config = folder.path().join("xorg.conf");
        fs::write(&config, CONFIG).expect("a file");
        let mut server = Command::new(SERVER);
        server.arg("-config").arg(&config).args(["-noreset", "-nolisten", "tcp", "-logfile"]);
        server.arg(folder.path().join("log"));
        let (server, name) = serve(server, folder.path());
        let desk = Self { server, name, folder };
        desk.xrandr(&["--addmode", "DUMMY1", "640x360"]);
        desk.plug();
        desk
    }

    fn folder(&self) -> &Path {
        self.folder.path()
    }

    fn plug(&self) {
        self.xrandr(&["--output", "DUMMY1", "--mode", "640x360", "--pos", "640x0"]);
    }

    fn unplug(&self) {
        self.xrandr(&["--output", "DUMMY1", "--off"]);
    }

    fn xrandr(&self, arguments: &[&str]) {
        let mut command = Command::new("xrandr");
        let done = command.env("DISPLAY", &self.name).args(arguments).output().expect("xrandr");
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    }

    /// What stands from this column on, as large as one monitor; nothing if no monitor is there.
    fn pixels(&self, x: i16) -> Option<Vec<[u8; 3]>> {
        let (connection, number) = x11rb::connect(Some(&self.name)).expect("the server");
        let root = connection.setup().roots[number].root;
        let (width, height) = (u16::try_from(SIZE[0]).ok()?, u16::try_from(SIZE[1]).ok()?);
        let asked = connection.get_image(ImageFormat::Z_PIXMAP, root, x, 0, width, height, !0);
        let image = asked.expect("a request").reply().ok()?;
        Some(image.data.chunks_exact(4).map(|pixel| [pixel[2], pixel[1], pixel[0]]).collect())
    }

    #[track_caller]
    fn shows(&self, x: i16, expected: &[[u8; 3]]) {
        eventually("the board on the monitor", PATIENCE, || {
            self.pixels(x).and_then(|pixels| (pixels == expected).then_some(()))
        });
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        // It may have ended already; either way it is gone afterwards.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// A window without a frame on each monitor, with the same picture.
fn screens_file(folder: &Path) -> PathBuf {
    let window = |name: &str, monitor: &str| {
        format!(
            "[[output]]\nname = {name:?}\npicture = \"p\"\nto = \"window\"\nmonitor = {monitor:?}\n\
             at = {{ x = 0, y = 0 }}\n"
        )
    };
    let picture =
        "[[picture]]\nname = \"p\"\nscreen = \"board\"\nsize = \"640x360\"\nreduced_motion = true\n";
    let file = folder.join("screens.toml");
    fs::write(&file, format!("{picture}{}{}", window("wall", "DUMMY0"), window("roof", "DUMMY1")))
        .expect("a file");
    file
}

/// Waits for words among the program's messages.
#[track_caller]
fn says(log: &Path, words: &str) {
    let said = || fs::read_to_string(log).ok().filter(|text| text.contains(words)).map(drop);
    eventually(words, PATIENCE, said);
}

#[test]
fn a_window_goes_and_comes_back_with_its_monitor_and_the_other_goes_on() {
    let desk = Desk::start();
    let feed = FakeFeed::start();
    let mut command = on_server(&desk.name, desk.folder());
    command.arg("screens").arg(screens_file(desk.folder())).args(["--feed", &feed.address]);
    let log = desk.folder().join("messages");
    command.stderr(fs::File::create(&log).expect("a file"));
    let mut shown = Shown(command.spawn().expect("the program"));
    feed.hear();
    feed.welcome("one");
    let mut snapshot = standing();
    let mut next = |done: u32| {
        snapshot.number += 1;
        snapshot.lanes[1] = count(2, done);
        let message = FeedMessage::Snapshot(Box::new(snapshot.clone()));
        feed.say(message.clone());
        still(desk.folder(), &message)
    };
    let board = next(12);
    desk.shows(0, &board);
    desk.shows(640, &board);
    desk.unplug();
    says(&log, "its monitor is gone");
    desk.shows(0, &next(40));
    desk.plug();
    says(&log, "its monitor is there");
    let board = next(77);
    desk.shows(0, &board);
    desk.shows(640, &board);
    assert!(shown.0.try_wait().expect("the program").is_none(), "it goes on");
}
