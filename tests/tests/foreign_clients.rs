//! Clients that share no code with us join the real feed: Python's `websockets` and headless Chromium. Every
//! message of the first is held against the JSON Schema by Python's `jsonschema`.

use std::path::{Path, PathBuf};
use std::process::Command;

use fivemark_tests::binaries::Feed;

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

/// Runs a script of `foreign/` with the Python that `./tests/run` set up, and shows what it said if it failed.
fn run(script: &str, arguments: &[&str]) {
    let python = std::env::var_os("FIVEMARK_PYTHON").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/foreign/bin/python"),
        PathBuf::from,
    );
    assert!(python.is_file(), "{} is missing; `./tests/run --install-only` sets it up", python.display());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("foreign").join(script);
    let output = Command::new(python).arg(script).args(arguments).output().expect("Python starts");
    let (said, errors) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{said}\n{errors}");
    assert!(said.trim_end().ends_with("checks held"), "the script ended early: {said}\n{errors}");
}

fn text(path: &Path) -> &str {
    path.to_str().expect("test folders have names in UTF-8")
}
