//! The program, and patience with it.

use std::process::Command;
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

/// Enough for a loaded machine of two cores; nothing is measured with it.
pub const PATIENCE: Duration = Duration::from_secs(60);
