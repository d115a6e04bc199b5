//! The journal's thread: takes entries from a bounded queue, commits whatever waits in one transaction, and reports.
//! After a failure it takes nothing more until a probe succeeds; then it says so.

use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use tokio::sync::mpsc;

use super::{Entry, Journal, MAX_WAITING, WriteError};

/// Most entries in one transaction: keeps a commit short while a backlog drains.
const MAX_GROUP: usize = 256;
/// How often a journal that failed is tried again.
const PROBE_EVERY: Duration = Duration::from_secs(1);

/// What became of entries, in the order in which they were given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Report {
    /// The next `count` entries are durable.
    Committed {
        /// How many.
        count: usize,
        /// How long the commit took.
        took: Duration,
    },
    /// The next `count` entries are not in the record.
    Failed {
        /// How many.
        count: usize,
        /// Why.
        why: WriteError,
    },
    /// The journal can be written again.
    Recovered,
}

/// The door to the journal's thread.
#[derive(Debug)]
pub struct JournalWriter {
    queue: Option<SyncSender<Entry>>,
    thread: Option<JoinHandle<()>>,
}

impl JournalWriter {
    /// Starts the thread. Reports come through the receiver, which must be drained.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn start(journal: Box<dyn Journal>) -> std::io::Result<(Self, mpsc::Receiver<Report>)> {
        // Twice: the feed's own notes of links come on top of what clients wait for.
        let (queue, entries) = sync_channel(2 * MAX_WAITING);
        // Each report answers at least one entry, or is the one recovery after a failure.
        let (reports, receiver) = mpsc::channel(2 * MAX_WAITING + 1);
        let thread = std::thread::Builder::new()
            .name("journal".to_owned())
            .spawn(move || Thread { journal, entries, reports, broken: None }.run())?;
        Ok((Self { queue: Some(queue), thread: Some(thread) }, receiver))
    }

    /// Hands an entry over. False if the queue is full or the thread is gone; then no report will come.
    #[must_use]
    pub fn give(&self, entry: Entry) -> bool {
        self.queue.as_ref().is_some_and(|queue| queue.try_send(entry).is_ok())
    }

    /// Ends the thread after everything that waits is committed.
    pub fn close(mut self) {
        self.queue = None;
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the journal's thread ended badly");
        }
    }
}

struct Thread {
    journal: Box<dyn Journal>,
    entries: Receiver<Entry>,
    reports: mpsc::Sender<Report>,
    /// Why nothing can be written at present, and when to try again.
    broken: Option<(WriteError, Instant)>,
}

impl Thread {
    fn run(mut self) {
        while self.turn() {}
        self.journal.close();
    }

    /// One entry, group or probe. False at the end.
    fn turn(&mut self) -> bool {
        let Some((_, probe_at)) = self.broken else {
            return match self.entries.recv() {
                Ok(entry) => self.commit(entry),
                Err(_) => false,
            };
        };
        let wait = probe_at.saturating_duration_since(Instant::now());
        if wait.is_zero() {
            return self.probe();
        }
        match self.entries.recv_timeout(wait) {
            Ok(entry) => self.commit(entry),
            Err(RecvTimeoutError::Timeout) => true,
            Err(RecvTimeoutError::Disconnected) => false,
        }
    }

    /// Commits an entry with all that wait behind it. False if nobody listens any more.
    fn commit(&mut self, first: Entry) -> bool {
        let mut group = vec![first];
        group.extend(self.entries.try_iter().take(MAX_GROUP - 1));
        let count = group.len();
        if let Some((why, _)) = self.broken.clone() {
            return self.reports.blocking_send(Report::Failed { count, why }).is_ok();
        }
        let began = Instant::now();
        let report = match self.journal.append(&group) {
            Ok(()) => Report::Committed { count, took: began.elapsed() },
            Err(why) => {
                tracing::error!(%why, count, "entries are not in the record; nothing is acknowledged");
                self.broken = Some((why.clone(), Instant::now() + PROBE_EVERY));
                Report::Failed { count, why }
            }
        };
        self.reports.blocking_send(report).is_ok()
    }

    fn probe(&mut self) -> bool {
        match self.journal.probe() {
            Ok(()) => {
                tracing::info!("the journal can be written again");
                self.broken = None;
                self.reports.blocking_send(Report::Recovered).is_ok()
            }
            Err(why) => {
                tracing::warn!(%why, "the journal still cannot be written");
                self.broken = Some((why, Instant::now() + PROBE_EVERY));
                true
            }
        }
    }
}
