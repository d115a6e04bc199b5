//! A disk that refuses: nothing is acknowledged, every screen says so, and it mends itself.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use fivemark_feed::journal::{Entry, Journal, SqliteJournal, WriteError};
use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role};
use fivemark_wire::from_feed::{ReasonCode, Subject};

use crate::harness::{TestFeed, get};

/// A journal whose disk can be taken away.
struct Failing {
    inner: SqliteJournal,
    full: Arc<AtomicBool>,
}

impl Failing {
    fn check(&self) -> Result<(), WriteError> {
        if self.full.load(Ordering::SeqCst) {
            return Err(WriteError::Disk("database or disk is full".to_owned()));
        }
        Ok(())
    }
}

impl Journal for Failing {
    fn append(&mut self, entries: &[Entry]) -> Result<(), WriteError> {
        self.check()?;
        self.inner.append(entries)
    }

    fn probe(&mut self) -> Result<(), WriteError> {
        self.check()?;
        self.inner.probe()
    }

    fn close(&mut self) {
        self.inner.close();
    }
}

#[tokio::test]
async fn while_the_journal_cannot_be_written_nothing_is_acknowledged_and_screens_say_so() {
    let full = Arc::new(AtomicBool::new(false));
    let disk = Arc::clone(&full);
    let feed = TestFeed::start_with(|_| {}, move |inner| Box::new(Failing { inner, full: disk }));
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    judge.call(1, 1, Call::Good).await;

    full.store(true, Ordering::SeqCst);
    for number in [2, 3] {
        judge.say(&ClientMessage::Tally(judge.tally(1, number, Call::Good))).await;
        let (of, why) = judge.refusal().await;
        assert_eq!((of, why.code), (Subject::Tally { epoch: judge.epoch, number }, ReasonCode::JournalFull));
    }
    let told = board
        .hear_until(|message| match message {
            fivemark_wire::from_feed::FeedMessage::Delta(delta) => delta.journal_ok,
            _ => None,
        })
        .await;
    assert!(!told);
    assert!(!door.join(Role::Display, None).await.snapshot.unwrap().journal_ok, "late screens say so too");
    assert!(get(feed.address, "/healthz").await.starts_with("HTTP/1.1 503 "));
    head.say_text(r#"{"type":"floor","id":5,"heat":1,"command":"hold"}"#).await;
    assert_eq!(head.refusal().await.1.code, ReasonCode::JournalFull);

    full.store(false, Ordering::SeqCst);
    loop {
        if board.delta().await.journal_ok == Some(true) {
            break;
        }
    }
    assert!(get(feed.address, "/healthz").await.starts_with("HTTP/1.1 200 "));
    assert_eq!(judge.call(1, 2, Call::Good).await.done, Some(2), "the kept call counts once");
    assert_eq!(judge.call(1, 3, Call::Good).await.done, Some(3));
    head.command(5, 1, FloorCommand::Hold).await;
    feed.stop().await;
}
