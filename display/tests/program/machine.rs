//! The program on machines that lack something, and with files that are wrong.

use std::fs;
use std::io::{BufRead, BufReader};
use std::process::{Command, Output, Stdio};

use fivemark_wire::from_feed::{Delta, FeedMessage};

use crate::heat::{count, snapshot};
use crate::support::{PATIENCE, display, eventually, refusal_of};

fn saved(folder: &std::path::Path, messages: &[FeedMessage]) -> std::path::PathBuf {
    let file = folder.join("saved.json");
    let lines: Vec<String> = messages.iter().map(|m| serde_json::to_string(m).expect("JSON")).collect();
    fs::write(&file, lines.join("\n")).expect("a file");
    file
}

fn still(folder: &std::path::Path, more: &[&str]) -> Output {
    let mut command = display();
    command.arg("still").arg("--snapshot").arg(folder.join("saved.json"));
    command.arg("--out").arg(folder.join("out.png")).args(["--size", "640x360"]).args(more);
    command.output().expect("the program")
}

fn error_of(output: &Output) -> String {
    assert!(!output.status.success(), "it should have failed");
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn a_still_shows_the_snapshot_and_the_deltas_after_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let first = FeedMessage::Snapshot(Box::new(snapshot(4)));
    saved(folder.path(), std::slice::from_ref(&first));
    let output = still(folder.path(), &[]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let before = read_png(&folder.path().join("out.png"));
    assert_eq!(before.0, [640, 360]);
    assert!(before.1.chunks_exact(4).all(|pixel| pixel[3] == 255), "a board has no holes");
    let delta = FeedMessage::Delta(Delta {
        number: 11,
        at_ms: 61_000,
        heat: None,
        lanes: vec![count(2, 40)],
        order: Vec::new(),
        no_reps: Vec::new(),
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    });
    saved(folder.path(), &[first, delta]);
    assert!(still(folder.path(), &[]).status.success());
    assert_ne!(read_png(&folder.path().join("out.png")).1, before.1);
    let left: Vec<_> = fs::read_dir(folder.path()).expect("the folder").collect();
    assert_eq!(left.len(), 2, "no unfinished picture stays behind: {left:?}");
}

pub fn read_png(path: &std::path::Path) -> ([u32; 2], Vec<u8>) {
    let file = std::io::BufReader::new(fs::File::open(path).expect("a picture"));
    let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
    let mut bytes = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut bytes).expect("a frame");
    bytes.truncate(info.buffer_size());
    ([info.width, info.height], bytes)
}

#[test]
fn a_machine_without_any_adapter_is_told_what_to_install() {
    let folder = tempfile::tempdir().expect("a folder");
    saved(folder.path(), &[FeedMessage::Snapshot(Box::new(snapshot(4)))]);
    let nowhere = folder.path().join("nowhere");
    let mut command = display();
    for variable in ["VK_ICD_FILENAMES", "VK_DRIVER_FILES", "LIBGL_DRIVERS_PATH", "__EGL_VENDOR_LIBRARY_DIRS"]
    {
        command.env(variable, &nowhere);
    }
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    command.arg("still").arg("--snapshot").arg(folder.path().join("saved.json"));
    command.arg("--out").arg(folder.path().join("out.png"));
    let error = refusal_of(&mut command);
    assert!(error.contains("no graphics adapter was found"), "{error}");
    assert!(error.contains("apt-get install mesa-vulkan-drivers"), "{error}");
    assert!(!folder.path().join("out.png").exists());
}

#[test]
fn a_desktop_that_is_not_there_is_named() {
    let mut command = display();
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("WAYLAND_SOCKET");
    let error = refusal_of(command.args(["board", "--feed", "127.0.0.1:9"]));
    assert!(error.contains("no window can be opened here") && error.contains("--headless"), "{error}");
}

#[cfg(unix)]
#[test]
fn a_signal_ends_the_program_cleanly() {
    for signal in ["-INT", "-TERM"] {
        // Nobody listens on the discard port: it waits for a feed, and is interrupted while it waits.
        let mut command = display();
        let child = command.args(["board", "--headless", "--size", "320x180", "--feed", "127.0.0.1:9"]);
        let mut child = child.stderr(Stdio::piped()).spawn().expect("the program");
        let mut log = BufReader::new(child.stderr.take().expect("its log")).lines();
        let waits = log.any(|line| line.expect("text").contains("trying again by itself"));
        assert!(waits, "it says that it waits");
        let killed = Command::new("kill").args([signal, &child.id().to_string()]).status();
        assert!(killed.expect("kill").success());
        let status = eventually("the end", PATIENCE, || child.try_wait().expect("the program"));
        assert!(status.success(), "{signal}: {status}");
    }
}

#[test]
fn wrong_files_and_options_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path();
    assert!(error_of(&still(out, &[])).contains("saved.json: cannot be read"));
    for (text, says) in [
        ("", "no snapshot in it"),
        ("{\"type\":\"snapshot\"", "at line 1"),
        ("[1, 2]", "not a message of the feed"),
        ("\u{0}\u{0}", "not a message of the feed"),
    ] {
        fs::write(out.join("saved.json"), text).expect("a file");
        let error = error_of(&still(out, &[]));
        assert!(error.contains(says), "{text:?}: {error}");
    }
    saved(out, &[FeedMessage::Snapshot(Box::new(snapshot(4)))]);
    assert!(error_of(&still(out, &["--theme", "no-such-theme"])).contains("no-such-theme"));
    let mut command = display();
    command.arg("still").arg("--snapshot").arg(out.join("saved.json")).args(["--size", "320x180"]);
    command.arg("--out").arg(out.join("no/such/folder.png"));
    let error = refusal_of(&mut command);
    assert!(error.contains("could not be written") && error.contains("no/such/folder.png"), "{error}");
    for address in ["ftp://hall", "hall:99999999"] {
        assert!(refusal_of(display().args(["board", "--headless", "--feed", address])).contains(address));
    }
}

#[test]
fn a_size_beyond_the_adapter_is_refused_in_words() {
    let folder = tempfile::tempdir().expect("a folder");
    saved(folder.path(), &[FeedMessage::Snapshot(Box::new(snapshot(4)))]);
    let gpu = fivemark_display::gpu::Gpu::open().expect("an adapter");
    let most = gpu.device.limits().max_texture_dimension_2d;
    let error = gpu.check_size([most + 1, 100]).expect_err("too wide").to_string();
    assert!(error.contains(&most.to_string()), "{error}");
    assert!(gpu.check_size([most, 1]).is_ok());
    assert!(gpu.check_size([0, 100]).is_err());
}
