//! Clients that share no code with us join the real programs: Python's `websockets` and headless Chromium. Every
//! message of the first is held against the JSON Schema by Python's `jsonschema`; the pixels that the browser shows of
//! a display's canvas feed are held against the display's own picture files.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use fivemark_engine::command::{Penalty, RulingKind};
use fivemark_engine::time::SpanMs;
use fivemark_tests::binaries::{Feed, path_of};
use fivemark_tests::rehearsal::{GO_MS, Rehearsal};
use fivemark_wire::from_feed::FeedMessage;

/// Longest that a script may take: many times what it needs on a slow machine.
const LONGEST: Duration = Duration::from_secs(600);

#[test]
fn pythons_websockets_runs_a_heat() {
    let feed = Feed::start(10);
    let schema = Path::new(env!("CARGO_MANIFEST_DIR")).join("../feed/wire/schema.json");
    let socket = format!("{}/feed", feed.url.replace("http://", "ws://"));
    run("board_client.py", &[&socket, text(&feed.access_file), text(&schema)]);
}

#[test]
fn a_browser_joins_and_a_page_from_elsewhere_does_not() {
    let feed = Feed::start(1);
    run("browser_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_browser_shows_the_boards_own_pixels() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let now_ms = GO_MS + 620_000;
    let paces: Vec<(u8, i64)> = (1..=10).map(|lane| (lane, 770 + i64::from(lane) * 31)).collect();
    let ended = Rehearsal::of_heat(7).with_paces(&paces).started().played_to(now_ms);
    let before = ended.snapshot(now_ms);
    let mut after =
        ended.ruled(now_ms, 1, RulingKind::Penalty(Penalty::Time(SpanMs(10_000)))).snapshot(now_ms);
    after.number = before.number + 1;
    for (name, snapshot) in [("before.json", before), ("after.json", after)] {
        let message = serde_json::to_string(&FeedMessage::Snapshot(Box::new(snapshot))).expect("JSON");
        std::fs::write(folder.path().join(name), message).expect("the folder can be written");
    }
    run("canvas_client.py", &[text(&path_of("fivemark-display")), text(folder.path())]);
}

/// Runs a script of `foreign/` with the Python that `./tests/run` set up, and shows what it said if it failed.
fn run(script: &str, arguments: &[&str]) {
    let python = std::env::var_os("FIVEMARK_PYTHON").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/foreign/bin/python"),
        PathBuf::from,
    );
    assert!(python.is_file(), "{} is missing; `./tests/run --install-only` sets it up", python.display());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("foreign").join(script);
    // Into a file and not through a pipe: the end of a pipe comes only when everything that a script started has
    // let go of it, and a script that fails must not keep the tests waiting.
    let folder = tempfile::tempdir().expect("a folder can be made");
    let path = folder.path().join("said");
    let said = File::create(&path).expect("a file can be made");
    let errors = said.try_clone().expect("a file can be shared");
    let mut child = Command::new(python)
        .arg(script)
        .args(arguments)
        .stdout(said)
        .stderr(errors)
        .spawn()
        .expect("Python starts");
    let until = Instant::now() + LONGEST;
    let status = loop {
        match child.try_wait().expect("a child can be asked") {
            Some(status) => break Some(status),
            None if Instant::now() > until => break None,
            None => std::thread::sleep(Duration::from_millis(50)),
        }
    };
    if status.is_none() {
        child.kill().expect("a child can be killed");
        child.wait().expect("a killed child ends");
    }
    let said = std::fs::read_to_string(&path).expect("what was said can be read");
    let status = status.unwrap_or_else(|| panic!("not done within {LONGEST:?}: {said}"));
    assert!(status.success(), "{said}");
    assert!(said.trim_end().ends_with("checks held"), "the script ended early: {said}");
}

fn text(path: &Path) -> &str {
    path.to_str().expect("test folders have names in UTF-8")
}
