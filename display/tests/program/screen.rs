//! A screen of a test's own, and the program in a window on it.

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use x11rb::connection::Connection;
use x11rb::protocol::xproto::{ConnectionExt as _, KEY_PRESS_EVENT, KEY_RELEASE_EVENT, MOTION_NOTIFY_EVENT};
use x11rb::protocol::xtest::ConnectionExt as _;

use crate::feed::FakeFeed;
use crate::support::{PATIENCE, display, eventually};

/// Of the screen, pixels.
pub const SIZE: [u32; 2] = [640, 360];
/// The key symbol of Escape, from X11's keysymdef.
pub const ESCAPE: u32 = 0xff1b;

/// A virtual screen that ends with the test.
pub struct Screen {
    server: Child,
    name: String,
    folder: tempfile::TempDir,
}

impl Screen {
    pub fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let mut server = Command::new("Xvfb");
        server.args(["-noreset", "-screen", "0", "640x360x24", "-fbdir"]).arg(folder.path());
        let (server, name) = serve(server, folder.path());
        Self { server, name, folder }
    }

    /// The pixels on the screen, three bytes each, from the X window dump that the server keeps.
    pub fn pixels(&self) -> Option<Vec<[u8; 3]>> {
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

    /// The folder that goes away with the screen.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Presses and lets go of a key, as a keyboard on the screen would.
    pub fn press(&self, keysym: u32) {
        let (connection, number) = x11rb::connect(Some(&self.name)).expect("the screen");
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
            connection
                .xtest_fake_input(kind, code, 0, root, 0, 0, 0)
                .expect("a request")
                .check()
                .expect("a key");
        }
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // It may have ended already; either way it is gone afterwards.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// Starts an X server, which chooses a free number itself and writes it down, and gives its name.
pub fn serve(mut server: Command, folder: &Path) -> (Child, String) {
    let number = folder.join("number");
    let server = server
        .args(["-displayfd", "1"])
        .stdin(Stdio::null())
        .stdout(fs::File::create(&number).expect("a file"))
        .stderr(Stdio::null())
        .spawn()
        .expect("an X server is not installed; run ./tests/run, which installs what the tests need");
    let name = eventually("a screen", PATIENCE, || {
        let text = fs::read_to_string(&number).ok()?;
        text.trim().parse::<u32>().ok().map(|number| format!(":{number}"))
    });
    (server, name)
}

/// The program in a window on the screen, ended with the test.
pub struct Shown(pub Child);

impl Drop for Shown {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

pub fn show(screen: &Screen, feed: &FakeFeed, more: &[&str]) -> Shown {
    Shown(command(screen, feed, more).spawn().expect("the program"))
}

/// The program as it is started in a window on the screen.
pub fn command(screen: &Screen, feed: &FakeFeed, more: &[&str]) -> Command {
    let mut command = on(screen);
    command.args(["board", "--feed", &feed.address, "--reduced-motion"]).args(more);
    command
}

/// The program on the screen.
pub fn on(screen: &Screen) -> Command {
    on_server(&screen.name, screen.folder.path())
}

/// The program on an X server of this name.
pub fn on_server(name: &str, folder: &Path) -> Command {
    let mut command = display();
    command.env("DISPLAY", name).env_remove("WAYLAND_DISPLAY").env("XDG_RUNTIME_DIR", folder);
    command
}
