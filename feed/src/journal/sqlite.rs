//! The journal in one SQLite file: write-ahead log, synchronised at every commit, locked for one feed. Opens, checks
//! and reads it; leaves threads and retries to the writer.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, params};
use thiserror::Error;

use super::{Body, Entry, Journal, Start, WriteError, Written};

/// Format of the file. Counts up when an older feed could not read what this one writes; a file of an older feed is
/// taken on in this format.
const FORMAT: i64 = 6;
/// Marks the file as ours (SQLite's application id): "FMRK".
const APPLICATION_ID: i64 = 0x464D_524B;
/// Bytes that a probe writes: more than a busy moment's entries need.
const PROBE_BYTES: i64 = 32 * 1024;

const TABLES: &str = "
CREATE TABLE start (
    number INTEGER PRIMARY KEY,
    body   TEXT NOT NULL
) STRICT;
CREATE TABLE entry (
    seq     INTEGER PRIMARY KEY,
    at_ms   INTEGER NOT NULL,
    wall_ms INTEGER NOT NULL,
    boot_ms INTEGER NOT NULL,
    heat    INTEGER NOT NULL,
    device  TEXT NOT NULL,
    kind    TEXT NOT NULL,
    body    TEXT NOT NULL
) STRICT;
CREATE TABLE scratch (
    one   INTEGER PRIMARY KEY CHECK (one = 1),
    bytes BLOB NOT NULL
) STRICT;
";

/// Why a journal cannot be used.
#[derive(Debug, Error)]
pub enum OpenError {
    /// Another feed writes it.
    #[error("the journal {} is in use by another feed; stop that one, or give this one a journal of its own", .0.display())]
    InUse(PathBuf),
    /// The file or its folder cannot be written.
    #[error("the journal {} cannot be written; check the permissions of the file and of its folder", .0.display())]
    ReadOnly(PathBuf),
    /// Another kind of file.
    #[error("{} is not a journal of Fivemark; give another file name", .0.display())]
    NotAJournal(PathBuf),
    /// Written by a newer feed.
    #[error(
        "the journal {} has format {found}, newer than this feed's {FORMAT}; use the newer feed, or another file",
        .file.display()
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its format.
        found: i64,
    },
    /// An entry that this feed cannot read.
    #[error("entry {seq} of the journal {} cannot be read: {says}; restore the file from a copy", .file.display())]
    Damaged {
        /// The file.
        file: PathBuf,
        /// Its sequence number.
        seq: i64,
        /// What is wrong.
        says: String,
    },
    /// Anything else that SQLite says.
    #[error("cannot open the journal {}: {says}; check the folder and the free space", .file.display())]
    Other {
        /// The file.
        file: PathBuf,
        /// What SQLite says.
        says: String,
    },
}

/// The journal file, open and locked.
#[derive(Debug)]
pub struct SqliteJournal {
    connection: Connection,
}

/// What an opened journal already holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Opened {
    /// The last start before this one.
    pub last_start: Option<Start>,
    /// Every entry, in order.
    pub entries: Vec<Entry>,
}

impl SqliteJournal {
    /// Opens or makes a journal, locks it, and reads what it holds.
    ///
    /// # Errors
    /// See [`OpenError`].
    pub fn open(file: &Path) -> Result<(Self, Opened), OpenError> {
        let mut entries = Vec::new();
        let (journal, last_start) = Self::open_each(file, |written| entries.push(written.entry))?;
        Ok((journal, Opened { last_start, entries }))
    }

    /// The same, handing each entry over in order as it is read; gives the last start before this one.
    ///
    /// # Errors
    /// See [`OpenError`]; what was handed over before is of no use then.
    pub fn open_each(file: &Path, each: impl FnMut(Written)) -> Result<(Self, Option<Start>), OpenError> {
        let told = |error: rusqlite::Error| told(file, &error);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut connection = Connection::open_with_flags(file, flags).map_err(told)?;
        if connection.is_readonly("main").map_err(told)? {
            return Err(OpenError::ReadOnly(file.to_owned()));
        }
        // Exclusive mode keeps the lock until the process ends, however it ends.
        connection.pragma_update(None, "locking_mode", "EXCLUSIVE").map_err(told)?;
        check_kind(file, &connection)?;
        connection
            .pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get::<_, String>(0))
            .map_err(told)?;
        connection.pragma_update(None, "synchronous", "FULL").map_err(told)?;
        prepare(&mut connection).map_err(told)?;
        let last_start = read_start(file, &connection)?;
        read_entries(file, &connection, each)?;
        Ok((Self { connection }, last_start))
    }

    /// Writes down a start of the feed, with what it has to say itself, all or nothing.
    ///
    /// # Errors
    /// When it is not durable.
    pub fn begin(&mut self, start: &Start, entries: &[Entry]) -> Result<(), WriteError> {
        let disk = |error: rusqlite::Error| WriteError::Disk(error.to_string());
        let body = serde_json::to_string(start).map_err(|error| WriteError::Entry(error.to_string()))?;
        let transaction = self.connection.transaction().map_err(disk)?;
        transaction.execute("INSERT INTO start (body) VALUES (?1)", [body]).map_err(disk)?;
        for entry in entries {
            insert(&transaction, entry)?;
        }
        transaction.commit().map_err(disk)
    }
}

/// Hands over each entry of a journal that no feed has open, in order, and changes nothing.
///
/// # Errors
/// See [`OpenError`]; what was handed over before is of no use then.
pub fn read_each(file: &Path, each: impl FnMut(Written)) -> Result<(), OpenError> {
    let told = |error: rusqlite::Error| told(file, &error);
    // Its log may have to be taken in, so even reading may write.
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(file, flags).map_err(told)?;
    check_kind(file, &connection)?;
    let new = "SELECT NOT EXISTS (SELECT 1 FROM sqlite_master WHERE name = 'entry')";
    if connection.query_row(new, [], |row| row.get(0)).map_err(told)? {
        return Err(OpenError::NotAJournal(file.to_owned()));
    }
    read_entries(file, &connection, each)
}

impl Journal for SqliteJournal {
    fn append(&mut self, entries: &[Entry]) -> Result<(), WriteError> {
        let disk = |error: rusqlite::Error| WriteError::Disk(error.to_string());
        let transaction = self.connection.transaction().map_err(disk)?;
        for entry in entries {
            insert(&transaction, entry)?;
        }
        transaction.commit().map_err(disk)
    }

    fn probe(&mut self) -> Result<(), WriteError> {
        let disk = |error: rusqlite::Error| WriteError::Disk(error.to_string());
        self.connection
            .execute("INSERT OR REPLACE INTO scratch VALUES (1, zeroblob(?1))", [PROBE_BYTES])
            .map_err(disk)?;
        self.connection.execute("DELETE FROM scratch", []).map_err(disk)?;
        Ok(())
    }

    fn close(&mut self) {
        let done = self
            .connection
            .pragma_update_and_check(None, "wal_checkpoint", "TRUNCATE", |row| row.get::<_, i64>(0));
        if let Err(error) = done {
            tracing::warn!(%error, "the journal's log stays beside it; the next start takes it in");
        }
    }
}

fn insert(transaction: &Transaction<'_>, entry: &Entry) -> Result<(), WriteError> {
    let body = entry.body.to_json().map_err(|error| WriteError::Entry(error.to_string()))?;
    let mut statement = transaction
        .prepare_cached(
            "INSERT INTO entry (at_ms, wall_ms, boot_ms, heat, device, kind, body)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )
        .map_err(|error| WriteError::Disk(error.to_string()))?;
    statement
        .execute(params![
            entry.at_ms,
            entry.wall_ms,
            entry.boot_ms,
            entry.heat,
            entry.device,
            entry.body.kind(),
            body
        ])
        .map(|_| ())
        .map_err(|error| WriteError::Disk(error.to_string()))
}

/// Refuses files of others and of newer feeds before anything is written to them.
fn check_kind(file: &Path, connection: &Connection) -> Result<(), OpenError> {
    let told = |error: rusqlite::Error| told(file, &error);
    let number = |name: &str| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let application = number("application_id").map_err(told)?;
    let format = number("user_version").map_err(told)?;
    if application == APPLICATION_ID {
        return if format > FORMAT {
            Err(OpenError::Newer { file: file.to_owned(), found: format })
        } else {
            Ok(())
        };
    }
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get(0)).map_err(told)?;
    if application != 0 || format != 0 || tables > 0 {
        return Err(OpenError::NotAJournal(file.to_owned()));
    }
    Ok(())
}

/// Makes the tables of a new file; in an old one, takes the lock.
fn prepare(connection: &mut Connection) -> rusqlite::Result<()> {
    let transaction = connection.transaction_with_behavior(rusqlite::TransactionBehavior::Exclusive)?;
    let new: bool = transaction.query_row(
        "SELECT NOT EXISTS (SELECT 1 FROM sqlite_master WHERE name = 'entry')",
        [],
        |row| row.get(0),
    )?;
    if new {
        transaction.execute_batch(TABLES)?;
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    }
    let format: i64 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
    if format != FORMAT {
        transaction.pragma_update(None, "user_version", FORMAT)?;
    }
    transaction.commit()
}

fn read_start(file: &Path, connection: &Connection) -> Result<Option<Start>, OpenError> {
    let told = |error: rusqlite::Error| told(file, &error);
    let mut statement =
        connection.prepare("SELECT body FROM start ORDER BY number DESC LIMIT 1").map_err(told)?;
    let mut rows = statement.query([]).map_err(told)?;
    let Some(row) = rows.next().map_err(told)? else { return Ok(None) };
    let body: String = row.get(0).map_err(told)?;
    let start = serde_json::from_str(&body).map_err(|error| OpenError::Damaged {
        file: file.to_owned(),
        seq: 0,
        says: error.to_string(),
    })?;
    Ok(Some(start))
}

fn read_entries(
    file: &Path,
    connection: &Connection,
    mut each: impl FnMut(Written),
) -> Result<(), OpenError> {
    let told = |error: rusqlite::Error| told(file, &error);
    let damaged = |seq, says| OpenError::Damaged { file: file.to_owned(), seq, says };
    let mut statement = connection
        .prepare("SELECT seq, at_ms, wall_ms, boot_ms, heat, device, kind, body FROM entry ORDER BY seq")
        .map_err(told)?;
    let mut rows = statement.query([]).map_err(told)?;
    while let Some(row) = rows.next().map_err(told)? {
        let seq = row.get(0).map_err(told)?;
        let text = |column| {
            row.get_ref(column).map_err(told)?.as_str().map_err(|error| damaged(seq, error.to_string()))
        };
        let written = text(7)?;
        let body = Body::from_json(text(6)?, written).map_err(|error| damaged(seq, error.to_string()))?;
        let entry = Entry {
            at_ms: row.get(1).map_err(told)?,
            wall_ms: row.get(2).map_err(told)?,
            boot_ms: row.get(3).map_err(told)?,
            heat: row.get(4).map_err(told)?,
            device: text(5)?.to_owned(),
            body,
        };
        each(Written { entry, body: written.into() });
    }
    Ok(())
}

/// What SQLite says, in words for people.
fn told(file: &Path, error: &rusqlite::Error) -> OpenError {
    let file = file.to_owned();
    match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => OpenError::InUse(file),
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => OpenError::ReadOnly(file),
        Some(ErrorCode::NotADatabase) => OpenError::NotAJournal(file),
        _ => OpenError::Other { file, says: error.to_string() },
    }
}
