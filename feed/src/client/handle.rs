//! What the rest of the feed holds of a connection: a bounded queue of answers, and a way to end it.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use fivemark_wire::from_feed::FeedMessage;
use tokio::sync::{mpsc, watch};

/// Answers that wait for a client to read: what a judge may send in one burst, and some.
pub const MAX_ANSWERS: usize = 512;

/// Why the feed ends a connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The same device came back on a new connection.
    Replaced,
    /// It does not read its answers.
    NotReading,
}

/// Something to say to one client.
#[derive(Clone, Debug)]
pub enum Answer {
    /// A message. Boxed: a queue holds room for dozens of answers for each of a thousand clients.
    Message(Box<FeedMessage>),
    /// A clock exchange, stamped once more when it leaves.
    Clock {
        /// The client's stamp.
        t1_us: i64,
        /// The feed's stamp at receipt.
        t2_us: i64,
    },
    /// What follows this delta number, or a snapshot.
    Resume {
        /// Whether the client's place is in this stream.
        known: bool,
        /// The last delta that it applied.
        last: u64,
    },
}

/// A connection as others see it.
#[derive(Clone, Debug)]
pub struct ClientHandle {
    answers: mpsc::Sender<Answer>,
    end: Arc<watch::Sender<Option<End>>>,
    heard: Arc<AtomicI64>,
}

/// The connection's own side.
#[derive(Debug)]
pub struct ClientInbox {
    /// Answers to be written.
    pub answers: mpsc::Receiver<Answer>,
    /// Set when the connection has to end.
    pub end: watch::Receiver<Option<End>>,
}

impl ClientHandle {
    /// A handle and its inbox, of a client that was heard of now, on the boot-time clock, milliseconds.
    #[must_use]
    pub fn new(now_boot_ms: i64) -> (Self, ClientInbox) {
        let (answers, inbox) = mpsc::channel(MAX_ANSWERS);
        let (end, ended) = watch::channel(None);
        let heard = Arc::new(AtomicI64::new(now_boot_ms));
        (Self { answers, end: Arc::new(end), heard }, ClientInbox { answers: inbox, end: ended })
    }

    /// Notes that the client was heard of, on the boot-time clock, milliseconds.
    pub fn hear(&self, now_boot_ms: i64) {
        self.heard.store(now_boot_ms, Ordering::Relaxed);
    }

    /// When the client was last heard of, on the boot-time clock, milliseconds.
    #[must_use]
    pub fn heard_boot_ms(&self) -> i64 {
        self.heard.load(Ordering::Relaxed)
    }

    /// Queues an answer; a client whose queue is full does not read and is ended.
    pub fn answer(&self, answer: Answer) {
        if let Err(mpsc::error::TrySendError::Full(_)) = self.answers.try_send(answer) {
            self.end(End::NotReading);
        }
    }

    /// Ends the connection; the first reason stands.
    pub fn end(&self, why: End) {
        self.end.send_if_modified(|end| {
            let first = end.is_none();
            if first {
                *end = Some(why);
            }
            first
        });
    }

    /// Whether both are the same connection.
    #[must_use]
    pub fn same_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.end, &other.end)
    }
}
