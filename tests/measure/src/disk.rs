//! What the disk itself needs to make a little data durable: the floor under everything that is acknowledged.

use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::Context;

use crate::samples::Samples;

/// Bytes of a write: a page of the journal.
const WRITE_BYTES: usize = 4_096;
/// Writes of one probe.
const WRITES: usize = 300;
/// Between two writes: as a floor of 24 lanes calls twice a second, so that the disk gets as much rest.
const EVERY: Duration = Duration::from_millis(21);

/// Appends pages to a new file and waits for each to be durable. Milliseconds.
///
/// # Errors
/// The folder cannot be written.
pub fn fdatasync_ms(folder: &Path) -> anyhow::Result<Samples> {
    let path = folder.join("probe");
    let mut file = File::create(&path).with_context(|| format!("cannot write {}", path.display()))?;
    let page = [0x5a; WRITE_BYTES];
    let mut samples = Samples::default();
    for _ in 0..WRITES {
        let began = Instant::now();
        file.write_all(&page)?;
        file.sync_data()?;
        samples.push(began.elapsed().as_secs_f64() * 1e3);
        std::thread::sleep(EVERY.saturating_sub(began.elapsed()));
    }
    std::fs::remove_file(&path)?;
    Ok(samples)
}
