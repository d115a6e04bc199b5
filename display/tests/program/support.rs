//! The program, and patience with it.

use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The program, with Mesa's software Vulkan drawing as the pictures were recorded with it.
pub fn display() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fivemark-display"));
    // Some drivers complain aloud where there is no folder for a desktop's sockets.
    command.env("XDG_RUNTIME_DIR", std::env::temp_dir());
    command.env("LP_NATIVE_VECTOR_WIDTH", "256").env_remove("WGPU_BACKEND").env_remove("RUST_LOG");
    command
}

/// Polls until something is there, for at most `within`.
#[track_caller]
pub fn eventually<T>(what: &str, within: Duration, mut look: impl FnMut() -> Option<T>) -> T {
    let until = Instant::now() + within;
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(Instant::now() < until, "not within {within:?}: {what}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// The words with which the program ends in failure. One that goes on instead is stopped, and fails the test.
#[track_caller]
pub fn refusal_of(command: &mut Command) -> String {
    let mut child = command.stderr(Stdio::piped()).spawn().expect("the program");
    let until = Instant::now() + PATIENCE;
    let status = loop {
        if let Some(status) = child.try_wait().expect("the program") {
            break status;
        }
        if Instant::now() >= until {
            child.kill().and_then(|()| child.wait()).expect("its end");
            panic!("it goes on, and should have failed: {command:?}");
        }
        std::thread::sleep(Duration::from_millis(20));
    };
    assert!(!status.success(), "it should have failed: {command:?}");
    let mut said = Vec::new();
    child.stderr.take().expect("its messages").read_to_end(&mut said).expect("its messages");
    String::from_utf8_lossy(&said).into_owned()
}

/// Enough for a loaded machine of two cores; nothing is measured with it.
pub const PATIENCE: Duration = Duration::from_secs(60);
