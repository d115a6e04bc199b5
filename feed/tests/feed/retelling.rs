//! A heat told again from its journal, held against what a board heard when it ran.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use fivemark_feed::competition;
use fivemark_feed::journal::{Body, Entry, Journal, SqliteJournal};
use fivemark_feed::retell::{RetellError, retell};
use fivemark_wire::from_client::{Call, ClientMessage, Floor, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, Snapshot};
use fivemark_wire::view::{Clock, NoRep, State};

use crate::harness::{TestFeed, data};

/// Snapshot and deltas put together, with every state on the way and every no-rep.
fn told(messages: impl IntoIterator<Item = FeedMessage>) -> (Snapshot, Vec<State>, Vec<NoRep>) {
    let mut messages = messages.into_iter();
    let Some(FeedMessage::Snapshot(first)) = messages.next() else { panic!("it begins with a snapshot") };
    let (mut kept, mut states, mut no_reps) = (*first, Vec::new(), Vec::new());
    for message in messages {
        match message {
            FeedMessage::Snapshot(snapshot) => kept = *snapshot,
            FeedMessage::Delta(delta) => {
                assert_eq!(delta.number, kept.number + 1);
                assert!(delta.at_ms >= kept.at_ms, "{} after {}", delta.at_ms, kept.at_ms);
                assert!(delta.rulings.is_empty(), "rulings are for officials");
                (kept.number, kept.at_ms) = (delta.number, delta.at_ms);
                kept.heat = delta.heat.unwrap_or(kept.heat);
                for lane in delta.lanes {
                    kept.lanes.iter_mut().find(|known| known.lane == lane.lane).unwrap().clone_from(&lane);
                }
                for row in delta.order {
                    *kept.order.iter_mut().find(|known| known.lane == row.lane).unwrap() = row;
                }
                if let Some(shows) = delta.shows {
                    kept.shows = shows;
                }
                no_reps.extend(delta.no_reps);
            }
            other => panic!("{other:?}"),
        }
        if states.last() != Some(&kept.heat.state) {
            states.push(kept.heat.state);
        }
    }
    (kept, states, no_reps)
}

#[tokio::test]
async fn a_heat_is_told_again_as_a_board_heard_it() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    // Heard to the end, and only then looked at.
    let mut watched = door.join(Role::Display, None).await;
    let mut one = door.judge(1).await;
    head.start_heat(1).await;
    let mut no_rep = one.tally(1, 1, Call::NoRep);
    no_rep.fault = Some("depth".to_owned());
    one.say(&ClientMessage::Tally(no_rep)).await;
    one.ack().await;
    for number in 2..=13 {
        one.call(1, number, Call::Good).await;
    }
    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    head.rule(2, 1, 2, RulingKind::SetCount { done: 6, finish_ms: None }).await;
    head.command(3, 1, FloorCommand::Sign).await;
    board.state(State::Signed).await;
    // What comes after it on the floor is not part of it.
    head.command(4, 8, FloorCommand::OpenHeat).await;
    let last = door.join(Role::Display, None).await.snapshot.unwrap();
    assert_eq!(last.titles.heat, 8);
    let live = watched.drain().await;
    let folder = feed.stop().await;

    let first = FeedMessage::Snapshot(Box::new(watched.snapshot.clone().unwrap()));
    let of_the_heat = |message: &FeedMessage| !matches!(message, FeedMessage::Snapshot(_));
    let heard = std::iter::once(first).chain(live.into_iter().take_while(of_the_heat));
    let (mut kept, _, _) = told(heard.collect::<Vec<_>>());

    let again = Command::new(env!("CARGO_BIN_EXE_fivemark-feed"))
        .args(["retell", "--heat", "1", "--competition"])
        .arg(data("competition.toml"))
        .arg("--journal")
        .arg(folder.path().join("record.journal"))
        .output()
        .unwrap();
    assert!(again.status.success(), "{again:?}");
    let lines = String::from_utf8(again.stdout).unwrap();
    let (retold, states, no_reps) = told(lines.lines().map(|line| serde_json::from_str(line).unwrap()));
    (kept.number, kept.at_ms) = (retold.number, retold.at_ms);
    // Whose phones are on the line is not part of the heat: a stop of the feed ends it in the record too.
    kept.lanes.iter_mut().zip(&retold.lanes).for_each(|(kept, retold)| kept.judge_on = retold.judge_on);
    assert_eq!(retold, kept);
    let way = [
        State::LanesSet,
        State::OnDeck,
        State::Countdown,
        State::Running,
        State::TimeCalled,
        State::Provisional,
        State::Signed,
    ];
    assert_eq!(states, way);
    assert_eq!(no_reps.len(), 1);
    assert_eq!((no_reps[0].lane, no_reps[0].fault.as_str()), (1, "Not deep enough"));
    assert!(matches!(retold.heat.clock, Clock::Stopped { elapsed_ms } if elapsed_ms > 0));
}

#[tokio::test]
async fn what_cannot_be_told_is_said() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.command(1, 8, FloorCommand::OpenHeat).await;
    let journal = feed.folder.path().join("record.journal");
    let competition = Arc::new(competition::load(&data("competition.toml")).unwrap());
    let failure = |path: &std::path::Path, heat| {
        retell(path, Arc::clone(&competition), heat, |_| Ok(())).expect_err("it can't be told").to_string()
    };
    assert!(failure(&journal, 1).contains("in use by another feed"), "{}", failure(&journal, 1));
    let folder = feed.stop().await;
    let journal = folder.path().join("record.journal");
    assert_eq!(failure(&journal, 2), "heat 2 was never on the floor in this journal; it has heats 1, 8");
    let other = folder.path().join("other.txt");
    std::fs::write(&other, "no journal at all, but long enough to be looked at").unwrap();
    assert!(failure(&other, 1).contains("is not a journal of Fivemark"));
    assert!(!folder.path().join("none.journal").exists());
    failure(&folder.path().join("none.journal"), 1);
    assert!(!folder.path().join("none.journal").exists(), "reading makes no file");
    let full = retell(&journal, competition, 1, |_| Err(std::io::Error::other("full")));
    assert!(matches!(full, Err(RetellError::Telling(_))), "{full:?}");
}

fn journal_of(folder: &Path, floor: &[(i64, FloorCommand)]) -> PathBuf {
    let file = folder.join("record.journal");
    let (mut journal, _) = SqliteJournal::open(&file).unwrap();
    let entry = |(id, (at_ms, command)): (u64, &(i64, FloorCommand))| {
        let (said, by) = (Floor { id, heat: 1, command: command.clone() }, "head judge".to_owned());
        let (device, body) = ("desk".to_owned(), Body::Floor { said, by, initials: false });
        Entry { at_ms: *at_ms, wall_ms: 0, boot_ms: 0, heat: 1, device, body }
    };
    let entries: Vec<_> = (1..).zip(floor).map(entry).collect();
    journal.append(&entries).unwrap();
    journal.close();
    file
}

#[test]
fn what_was_due_when_a_command_came_is_told_before_it() {
    let folder = tempfile::tempdir().unwrap();
    let competition = Arc::new(competition::load(&data("competition.toml")).unwrap());
    // The countdown takes 10 s.
    let floor = [
        (1_000, FloorCommand::OnDeck),
        (2_000, FloorCommand::StartCountdown),
        (12_000, FloorCommand::CallTime),
    ];
    let journal = journal_of(folder.path(), &floor);
    let mut messages = Vec::new();
    let heard = |message: &FeedMessage| {
        messages.push(message.clone());
        Ok(())
    };
    retell(&journal, competition, 1, heard).unwrap();
    let (_, states, _) = told(messages);
    let way = [State::OnDeck, State::Countdown, State::Running, State::TimeCalled, State::Provisional];
    assert_eq!(states, way, "it ran, for a moment");
}

#[test]
fn whichever_message_cannot_be_passed_on_is_the_last_one() {
    let folder = tempfile::tempdir().unwrap();
    let competition = Arc::new(competition::load(&data("competition.toml")).unwrap());
    let reason = "The rig gave way".to_owned();
    let floor = [
        (1_000, FloorCommand::OnDeck),
        (2_000, FloorCommand::StartCountdown),
        (20_000, FloorCommand::Rerun { reason }),
    ];
    let journal = journal_of(folder.path(), &floor);
    let retold = |fails_at: usize| {
        let mut count = 0;
        let tell = |_: &FeedMessage| {
            count += 1;
            if count == fails_at { Err(std::io::Error::other("full")) } else { Ok(()) }
        };
        let done = retell(&journal, Arc::clone(&competition), 1, tell);
        (done, count)
    };
    let (done, all) = retold(0);
    assert!(done.is_ok() && all > 4, "{done:?} after {all}");
    for fails_at in 1..=all {
        let (done, count) = retold(fails_at);
        assert!(matches!(done, Err(RetellError::Telling(_))), "{fails_at} of {all}: {done:?}");
        assert_eq!(count, fails_at);
    }
}
