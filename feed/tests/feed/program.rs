//! The binary's command line: what it says and how it ends when it cannot do what was asked. And a real disk that is
//! full.

use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Command;

use fivemark_wire::from_client::{Call, ClientMessage, Role};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode};
use rustix::process::{Pid, Resource, Rlimit};

use crate::harness::{Program, data};

/// Runs to the end, which has to be a failure; what it said.
fn failure(mut command: Command) -> String {
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(!said.contains("panicked"), "{said}");
    said
}

fn feed(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fivemark-feed"));
    command.args(args);
    command
}

#[test]
fn a_file_without_faults_passes_and_one_with_faults_does_not() {
    let path = data("competition.toml");
    let output = feed(&["check", path.to_str().unwrap()]).output().unwrap();
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.ends_with("competition.toml: no faults; 4 heats, 4 athletes\n"), "{said}");

    let folder = tempfile::tempdir().unwrap();
    let broken = folder.path().join("competition.toml");
    let text = std::fs::read_to_string(&path)
        .unwrap()
        .replace("lane = 2, athlete = \"102\", judge", "lane = 1, judge");
    std::fs::write(&broken, text).unwrap();
    let said = failure(feed(&["check", broken.to_str().unwrap()]));
    assert!(said.contains("lane 1 is listed twice in heat 1; give each athlete a lane of its own"), "{said}");
    assert!(said.ends_with("1 fault found\n"), "{said}");
    assert!(
        failure(feed(&["check", "/nowhere/competition.toml"]))
            .starts_with("cannot read the competition file")
    );
}

#[test]
fn the_schema_is_printed() {
    let output = feed(&["schema"]).output().unwrap();
    assert_eq!(String::from_utf8(output.stdout).unwrap(), fivemark_wire::schema::schema_json());
}

#[tokio::test]
async fn a_port_in_use_and_a_bad_address_are_one_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let first = Program::serve(folder.path(), &[]);
    let other = tempfile::tempdir().unwrap();
    let mut command = feed(&["serve", "--listen", &first.address.to_string(), "--competition"]);
    command.arg(data("competition.toml")).arg("--journal").arg(other.path().join("record.journal"));
    let said = failure(command);
    assert!(said.contains("the port is in use by another program"), "{said}");
    assert_eq!(std::fs::read_dir(other.path()).unwrap().count(), 0, "nothing is left behind");

    let mut command = feed(&["serve", "--listen", "nonsense", "--competition"]);
    command.arg(data("competition.toml")).arg("--journal").arg(other.path().join("record.journal"));
    assert!(failure(command).contains("\"nonsense\" is not an address to listen on"));
}

#[tokio::test]
async fn a_second_feed_on_one_journal_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let first = Program::serve(folder.path(), &[]);
    let said = failure(Program::command(folder.path(), &[]));
    assert!(said.contains("is in use by another feed"), "{said}");
    let mut board = first.door().join(Role::Display, None).await;
    board.exchange_clocks().await;
}

#[test]
fn files_that_are_not_this_feeds_journal_are_refused_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("record.journal");
    let refuse = |says: &str| {
        let before = std::fs::read(&journal).unwrap();
        let said = failure(Program::command(folder.path(), &[]));
        assert!(said.contains(says), "{said}");
        assert_eq!(std::fs::read(&journal).unwrap(), before);
    };
    std::fs::write(
        &journal,
        "Not a database at all, but long enough to look like a file of some kind.\n".repeat(20),
    )
    .unwrap();
    refuse("is not a journal of Fivemark");

    std::fs::remove_file(&journal).unwrap();
    let foreign = rusqlite::Connection::open(&journal).unwrap();
    foreign.execute_batch("CREATE TABLE shopping (item TEXT)").unwrap();
    drop(foreign);
    refuse("is not a journal of Fivemark");

    std::fs::remove_file(&journal).unwrap();
    drop(Program::serve(folder.path(), &[]));
    let newer = rusqlite::Connection::open(&journal).unwrap();
    newer.pragma_update(None, "user_version", 99).unwrap();
    newer.pragma_update_and_check(None, "wal_checkpoint", "TRUNCATE", |_| Ok(())).unwrap();
    drop(newer);
    refuse("has format 99, newer than this feed's 6");
}

#[test]
fn a_journal_that_cannot_be_written_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    drop(Program::serve(folder.path(), &[]));
    let journal = folder.path().join("record.journal");
    std::fs::set_permissions(&journal, std::fs::Permissions::from_mode(0o444)).unwrap();
    let command = as_nobody(folder.path(), Program::command(folder.path(), &[]));
    let said = failure(command);
    assert!(said.contains("cannot be written; check the permissions"), "{said}");
}

/// Permissions do not bind the superuser; for it, the same command is run as an ordinary user.
fn as_nobody(folder: &Path, command: Command) -> Command {
    const NOBODY: u32 = 65_534;
    if !rustix::process::geteuid().is_root() {
        return command;
    }
    let own = folder.join("fivemark-feed");
    std::fs::copy(command.get_program(), &own).unwrap();
    let competition = folder.join("competition.toml");
    std::fs::copy(data("competition.toml"), &competition).unwrap();
    for (file, mode) in [(folder, 0o755), (&own, 0o755), (&competition, 0o644)] {
        std::fs::set_permissions(file, std::fs::Permissions::from_mode(mode)).unwrap();
    }
    let mut copy = Command::new(own);
    let original = data("competition.toml");
    copy.args(
        command.get_args().map(|arg| if arg == original.as_os_str() { competition.as_os_str() } else { arg }),
    );
    copy.uid(NOBODY);
    copy
}

#[tokio::test]
async fn a_disk_that_is_full_is_told_and_mends_by_itself() {
    let folder = tempfile::tempdir().unwrap();
    // Beyond the limit on a file's size the system refuses writes, as a full disk does; the signal that comes with it
    // is ignored by the shell on the feed's behalf.
    let plain = Program::command(folder.path(), &["--speed", "10"]);
    let mut command = Command::new("/bin/sh");
    command.args(["-c", "trap '' XFSZ; exec \"$0\" \"$@\""]).arg(plain.get_program()).args(plain.get_args());
    let feed = Program::spawn(command, folder.path());
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    judge.call(1, 1, Call::Good).await;

    let limit = |bytes| {
        let pid = Pid::from_child(&feed.child);
        rustix::process::prlimit(Some(pid), Resource::Fsize, Rlimit { current: bytes, maximum: None })
            .unwrap();
    };
    limit(Some(4_096));
    judge.say(&ClientMessage::Tally(judge.tally(1, 2, Call::Good))).await;
    assert_eq!(judge.refusal().await.1.code, ReasonCode::JournalFull);
    let journal_ok = |message| match message {
        FeedMessage::Delta(delta) => delta.journal_ok,
        _ => None,
    };
    assert!(!board.hear_until(journal_ok).await);

    limit(None);
    assert!(board.hear_until(journal_ok).await);
    assert_eq!(judge.call(1, 2, Call::Good).await.done, Some(2));
}
