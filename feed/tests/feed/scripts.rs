//! The pages' scripts, tested by Node's own test runner.

use std::path::Path;
use std::process::Command;

#[test]
fn the_scripts_of_the_pages_hold_their_own_tests() {
    let pages = Path::new(env!("CARGO_MANIFEST_DIR")).join("pages");
    let tests = std::fs::read_dir(pages.join("tests")).unwrap().map(|entry| entry.unwrap().path());
    let tests: Vec<_> = tests.filter(|path| path.to_string_lossy().ends_with(".test.js")).collect();
    assert!(!tests.is_empty());
    let ran = Command::new("node").arg("--test").args(tests).current_dir(&pages).output();
    let ran = ran.expect("Node is there; `./tests/run --install-only` brings it");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stdout));
}
