//! The record of everything that was called and ruled, in order, and the file that keeps it. An entry is durable
//! before it takes effect; the heat is rebuilt from entries alone.
//!
//! The journal stands behind a trait, so that tests can let a disk fail.

mod body;
mod sqlite;
mod writer;

use fivemark_wire::from_client::{Floor, Ruling, Tally};
use fivemark_wire::lane_record::Confirm;
use fivemark_wire::phones::HandOver;
use fivemark_wire::show_commands::Show;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::restart::Carried;
use crate::timeline::Anchor;

pub use self::sqlite::{OpenError, Opened, SqliteJournal, read_each};
pub use self::writer::{JournalWriter, Report};

/// Most entries that wait for the disk at once: a busy floor for several seconds.
pub const MAX_WAITING: usize = 1_024;

/// One entry of the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Feed time of receipt, milliseconds; never before an earlier entry's.
    pub at_ms: i64,
    /// Wall clock at receipt, Unix milliseconds.
    pub wall_ms: i64,
    /// Boot-time clock at receipt, milliseconds.
    pub boot_ms: i64,
    /// Heat that it is for.
    pub heat: u32,
    /// Name of the device that sent it; empty for what the feed says itself.
    pub device: String,
    /// What was said.
    pub body: Body,
}

/// An entry as it was read, with the very text of its body: an older feed may have written it another way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The entry.
    pub entry: Entry,
    /// Its body as the journal has it.
    pub body: Box<str>,
}

/// What was said, in the words of the wire.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Body {
    /// A judge's call.
    Tally {
        /// As sent.
        said: Tally,
        /// Feed time at which its link was joined, milliseconds.
        link_since_ms: i64,
        /// From a shadow judge.
        shadow: bool,
    },
    /// A ruling.
    Ruling {
        /// As sent.
        said: Ruling,
        /// Who rules.
        by: String,
    },
    /// A floor command.
    Floor {
        /// As sent.
        said: Floor,
        /// Who commands.
        by: String,
        /// For a signing: results without initials stand in its way. Older feeds did not ask for them.
        initials: bool,
    },
    /// A show command.
    Show {
        /// As sent.
        said: Show,
        /// Who commands.
        by: String,
    },
    /// A lane judge's link came or went.
    Link {
        /// The lane.
        lane: u8,
        /// Joined, or lost.
        up: bool,
    },
    /// A lane goes to another phone.
    HandOver {
        /// As sent.
        said: HandOver,
        /// Who decides.
        by: String,
    },
    /// A lane judge's phone took a lane that another one held, off the line and before the start.
    Taken {
        /// The lane.
        lane: u8,
    },
    /// Initials under a result.
    Confirm {
        /// As sent.
        said: Confirm,
        /// Who sends them.
        by: String,
    },
    /// The feed says that its machine was restarted while the heat was under way.
    Reboot {
        /// By what feed time was carried over.
        carried: Carried,
    },
}

/// A start of the feed, as the journal remembers it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Start {
    /// Where feed time went on.
    pub anchor: Anchor,
    /// By what it was carried over; older feeds did not say.
    #[serde(default)]
    pub carried: Option<Carried>,
    /// SHA-256 of the competition file, in hexadecimal.
    pub competition: String,
    /// Version of the program.
    pub version: String,
}

/// Why entries could not be made durable.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WriteError {
    /// The disk refused, for instance because it is full or read-only.
    #[error("the journal cannot be written: {0}")]
    Disk(String),
    /// An entry cannot be expressed.
    #[error("an entry cannot be written: {0}")]
    Entry(String),
}

/// Where the record is kept. Used by one thread.
pub trait Journal: Send {
    /// Makes entries durable, all or none.
    ///
    /// # Errors
    /// When they are not durable; then none of them is in the record.
    fn append(&mut self, entries: &[Entry]) -> Result<(), WriteError>;

    /// Tries whether the journal can be written again, without changing the record.
    ///
    /// # Errors
    /// When it cannot.
    fn probe(&mut self) -> Result<(), WriteError>;

    /// Tidies up before the end.
    fn close(&mut self);
}
