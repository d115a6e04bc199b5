//! From a journal to the heats that it tells: one thread reads and decodes while another applies, so that a long day is
//! rebuilt in the time of the slower of the two.

use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::sync_channel;

use thiserror::Error;

use crate::actor::{Changes, Heats, OpenHeatError};
use crate::competition::Competition;
use crate::journal::{OpenError, SqliteJournal, Start, Written};
use crate::restart::LastSeen;

/// Entries that go from one thread to the other at once: waking a thread costs as much as dozens of them.
const BATCH: usize = 512;
/// Batches that may wait: enough for one thread not to stand still for the other.
const BATCHES_AHEAD: usize = 8;

/// What a journal told.
#[derive(Debug)]
pub struct Replayed {
    /// The journal, open and locked.
    pub journal: SqliteJournal,
    /// The heats as its entries left them.
    pub heats: Heats,
    /// The last start before this one.
    pub last_start: Option<Start>,
    /// The moment of the last entry.
    pub last: Option<LastSeen>,
    /// How many entries there were.
    pub entries: usize,
}

/// Why a journal could not be replayed.
#[derive(Debug, Error)]
pub enum ReplayError {
    /// The journal.
    #[error(transparent)]
    Journal(#[from] OpenError),
    /// A heat.
    #[error(transparent)]
    Heat(#[from] OpenHeatError),
}

/// Opens a journal and rebuilds the heats of a competition from it.
///
/// # Errors
/// See [`ReplayError`].
pub fn replay(file: &Path, competition: Arc<Competition>) -> Result<Replayed, ReplayError> {
    let mut heats = Heats::new(competition)?;
    let (mut last, mut entries) = (None, 0);
    let (batches, waiting) = sync_channel::<Vec<Written>>(BATCHES_AHEAD);
    let (journal, last_start) = std::thread::scope(|scope| {
        let reader = scope.spawn(move || {
            let mut batch = Vec::with_capacity(BATCH);
            let opened = SqliteJournal::open_each(file, |entry| {
                batch.push(entry);
                if batch.len() == BATCH {
                    // The receiver lives until this sender is gone.
                    drop(batches.send(std::mem::replace(&mut batch, Vec::with_capacity(BATCH))));
                }
            });
            drop(batches.send(batch));
            opened
        });
        for Written { entry, body } in waiting.into_iter().flatten() {
            heats.apply_written(&entry, &body, &mut Changes::default());
            last = Some(LastSeen { at_ms: entry.at_ms, wall_ms: entry.wall_ms });
            entries += 1;
        }
        reader.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })?;
    Ok(Replayed { journal, heats, last_start, last, entries })
}
