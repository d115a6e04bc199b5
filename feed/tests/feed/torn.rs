//! Journals that were cut short, or written by an older feed. SQLite in its write-ahead mode keeps a commit in the log beside the file until it is
//! taken in: a log that is cut loses whole commits from its end and never half of one, and nothing that was
//! acknowledged while the disk kept its word is in the part that a crash can cut. A main file that is cut has lost
//! pages, and is refused.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use fivemark_feed::journal::{Body, Entry, Journal, OpenError, Opened, SqliteJournal};

const ENTRIES: i64 = 60;

fn entry(number: i64) -> Entry {
    let body = Body::Link { lane: 1, up: number % 2 == 0 };
    let device = format!("phone with a name that fills the page, {number:040}");
    Entry { at_ms: number, wall_ms: number, boot_ms: number, heat: 1, device, body }
}

/// A journal as a kill leaves it, its log still beside it; the files as they were after each acknowledged entry.
fn killed(folder: &Path) -> (PathBuf, BTreeMap<i64, u64>) {
    let file = folder.join("record.journal");
    let (mut journal, _) = SqliteJournal::open(&file).unwrap();
    let mut log_at = BTreeMap::new();
    for number in 1..=ENTRIES {
        journal.append(&[entry(number)]).unwrap();
        log_at.insert(number, std::fs::metadata(beside(&file)).unwrap().len());
    }
    // The copies are what a killed program leaves: nothing was closed.
    let left = folder.join("left.journal");
    std::fs::copy(&file, &left).unwrap();
    std::fs::copy(beside(&file), beside(&left)).unwrap();
    (left, log_at)
}

fn beside(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push("-wal");
    name.into()
}

/// Opens copies of both files, each cut to a length.
fn open_cut(left: &Path, main: u64, log: u64) -> Result<Opened, OpenError> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("cut.journal");
    for (from, to, length) in [(left, file.clone(), main), (&beside(left), beside(&file), log)] {
        let mut bytes = std::fs::read(from).unwrap();
        bytes.truncate(usize::try_from(length).unwrap());
        std::fs::write(to, bytes).unwrap();
    }
    SqliteJournal::open(&file).map(|(_, opened)| opened)
}

fn length(file: &Path) -> u64 {
    std::fs::metadata(file).unwrap().len()
}

#[test]
fn a_log_that_is_cut_keeps_every_entry_that_was_whole_before_the_cut() {
    let folder = tempfile::tempdir().unwrap();
    let (left, log_at) = killed(folder.path());
    let (main, log) = (length(&left), length(&beside(&left)));
    let step = usize::try_from(log / 97).unwrap();
    for cut in (0..log).rev().step_by(step).chain([log, log - 1, 32, 1, 0]) {
        let acknowledged =
            log_at.iter().filter(|(_, at)| **at <= cut).map(|(number, _)| *number).max().unwrap_or(0);
        match open_cut(&left, main, cut) {
            Ok(opened) => {
                let expected: Vec<Entry> = (1..=acknowledged).map(entry).collect();
                assert_eq!(opened.entries, expected, "cut at {cut} of {log}");
            }
            // Before the first commit there is no journal in the file yet.
            Err(error) => assert_eq!(acknowledged, 0, "cut at {cut}: {error}"),
        }
    }
}

#[test]
fn a_file_that_is_cut_is_refused_or_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (left, _) = killed(folder.path());
    // Closed in order, everything is in the main file.
    let (mut journal, opened) = SqliteJournal::open(&left).unwrap();
    journal.close();
    drop(journal);
    assert_eq!(opened.entries.len(), usize::try_from(ENTRIES).unwrap());
    let main = length(&left);
    std::fs::write(beside(&left), b"").unwrap();
    for cut in (1..main).rev().step_by(509) {
        if let Ok(opened) = open_cut(&left, cut, 0) {
            assert_eq!(opened.entries.len(), usize::try_from(ENTRIES).unwrap(), "cut at {cut} of {main}");
        }
    }
}

#[test]
fn a_journal_of_an_older_feed_is_read_and_then_closed_to_it() {
    for format in [1, 2, 3, 4, 5] {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("record.journal");
        let (mut journal, _) = SqliteJournal::open(&file).unwrap();
        let entries: Vec<Entry> = (1..=9).map(entry).collect();
        journal.append(&entries).unwrap();
        journal.close();
        drop(journal);
        let older = rusqlite::Connection::open(&file).unwrap();
        if format == 1 {
            // As the first format had it: the kind stands in the body as well.
            let insert = "UPDATE entry SET body = json_insert(body, '$.kind', kind)";
            assert_eq!(older.execute(insert, []).unwrap(), entries.len());
        }
        older.pragma_update(None, "user_version", format).unwrap();
        drop(older);

        let (journal, opened) = SqliteJournal::open(&file).unwrap();
        assert_eq!(opened.entries, entries);
        drop(journal);
        let taken_on = rusqlite::Connection::open(&file).unwrap();
        let now: i64 = taken_on.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
        assert_eq!(now, 6, "an older feed would not understand what this one adds, and is told so");
    }
}
