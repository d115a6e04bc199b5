//! The clocks of the machine that the feed runs on: the only place that asks the operating system for the time.
//! Behind a trait, so that a test can reboot its machine.

use std::fmt::Debug;
use std::time::{SystemTime, UNIX_EPOCH};

/// A machine with clocks.
pub trait Machine: Debug + Send + Sync {
    /// Names the boot: times of two boots cannot be compared. Empty if the machine does not tell.
    fn boot_id(&self) -> String;

    /// Boot-time clock, microseconds; runs on while the machine sleeps.
    fn boot_us(&self) -> i64;

    /// Wall clock, Unix milliseconds.
    fn wall_ms(&self) -> i64;
}

/// The machine that this program runs on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ThisMachine;

impl Machine for ThisMachine {
    fn boot_id(&self) -> String {
        // Without the file every start counts as a new boot: safe, and flagged.
        let boot_id = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").unwrap_or_default();
        boot_id.trim().to_owned()
    }

    fn boot_us(&self) -> i64 {
        let time = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
        time.tv_sec.saturating_mul(1_000_000).saturating_add(time.tv_nsec / 1_000)
    }

    fn wall_ms(&self) -> i64 {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
    }
}
