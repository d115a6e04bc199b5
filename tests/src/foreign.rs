//! Runs the scripts of `foreign/`, which share no code with us.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

/// Longest that a script may take: many times what it needs on a slow machine.
const LONGEST: Duration = Duration::from_secs(600);

/// Runs a script of `foreign/` with the Python that `./tests/run` set up, and shows what it said if it failed.
///
/// # Panics
/// Python is missing, the script fails, takes too long or ends without its last words.
pub fn run(script: &str, arguments: &[&str]) {
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
