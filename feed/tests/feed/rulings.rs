//! Every ruling and every run again through a socket, with the feed killed and started again after each: what screens
//! are shown is the same before and after.

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, Ruling, RulingKind};
use fivemark_wire::from_feed::{ReasonCode, Snapshot};
use fivemark_wire::view::{State, Status};
use rustix::process::Signal;

use crate::harness::{Client, Program, TestFeed};

/// What hangs on the record alone: everything but the moment, the stream's numbers and who is on the line.
fn record_of(mut picture: Snapshot) -> Snapshot {
    (picture.number, picture.at_ms) = (0, 0);
    picture.lanes.iter_mut().for_each(|lane| lane.judge_on = false);
    picture
}

async fn shown(feed: &Program) -> Snapshot {
    record_of(feed.door().join(Role::HeadJudge, None).await.snapshot.unwrap())
}

/// Kills the feed and starts it again: nothing that was acknowledged changes.
async fn killed(feed: Program, folder: &std::path::Path) -> Program {
    let before = shown(&feed).await;
    feed.signal(Signal::KILL);
    drop(feed);
    let feed = Program::serve(folder, &[]);
    assert_eq!(shown(&feed).await, before);
    feed
}

fn why() -> String {
    "Seen from the side".to_owned()
}

/// The first three lanes of heat 1 do the course of 12 units, one after another; lane 3 leaves two undone.
async fn worked(feed: &Program) {
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    for (lane, units) in [(1, 12), (2, 12), (3, 10)] {
        let mut judge = feed.door().judge(lane).await;
        for number in 1..=units {
            judge.call(1, number, Call::Good).await;
        }
    }
}

#[tokio::test]
async fn rulings_are_the_same_after_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut feed = Program::serve(folder.path(), &[]);
    worked(&feed).await;
    let rulings = [
        (3, RulingKind::AddUnits { add: -1 }),
        (1, RulingKind::Credit { credit_ms: 1_000 }),
        (3, RulingKind::FromPaper { done: 8, finish_ms: None }),
        (3, RulingKind::MoveAthlete { to: 4 }),
    ];
    for (id, (lane, kind)) in (100..).zip(rulings) {
        let mut head = feed.door().join(Role::HeadJudge, None).await;
        let mut board = feed.door().join(Role::HeadJudge, None).await;
        head.rule(id, 1, lane, kind.clone()).await;
        if matches!(kind, RulingKind::MoveAthlete { .. }) {
            // Who stands where is told by a snapshot.
            board.snapshot_again().await;
        }
        feed = killed(feed, folder.path()).await;
    }
    let picture = shown(&feed).await;
    assert_eq!((picture.entries[2].bib.as_str(), picture.entries[3].bib.as_str()), ("", "103"));
    assert_eq!((picture.lanes[2].status, picture.lanes[3].done), (Status::Empty, 8));
    assert_eq!(picture.lanes[0].credit_ms, Some(1_000));
    // The judges stayed with their lanes: the phone of lane 4 counts for the athlete who is there now.
    let mut judge = feed.door().judge(4).await;
    assert_eq!(judge.call(1, 1, Call::Good).await.done, Some(9));
}

#[tokio::test]
async fn runs_again_and_a_reopening_are_the_same_after_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut feed = Program::serve(folder.path(), &[]);
    worked(&feed).await;
    let commands = [
        FloorCommand::CallTime,
        FloorCommand::Close,
        FloorCommand::RerunLane { lane: 3, reason: why() },
        FloorCommand::StartCountdown,
        FloorCommand::Cancel,
        FloorCommand::Sign,
        FloorCommand::Reopen { reason: why() },
        FloorCommand::Rerun { reason: why() },
    ];
    for (id, command) in (200..).zip(commands) {
        let mut head = feed.door().join(Role::HeadJudge, None).await;
        head.command(id, 1, command).await;
        feed = killed(feed, folder.path()).await;
    }
    let picture = shown(&feed).await;
    assert_eq!(picture.heat.state, State::OnDeck);
    assert!(picture.lanes.iter().all(|lane| lane.done == 0 && lane.run == picture.heat.run));
    assert!(picture.heat.run >= 2);
}

async fn refused_ruling(head: &mut Client, id: u64, kind: RulingKind) -> ReasonCode {
    head.say(&ClientMessage::Ruling(Ruling { id, heat: 1, lane: 1, reason: why(), kind })).await;
    head.refusal().await.1.code
}

#[tokio::test]
async fn what_a_heat_cannot_take_is_refused_in_words_and_changes_nothing() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    let fresh = record_of(feed.door().join(Role::HeadJudge, None).await.snapshot.unwrap());
    for (id, kind, code) in [
        (1, RulingKind::AddUnits { add: 0 }, ReasonCode::OutOfRange),
        (2, RulingKind::AddUnits { add: i32::MIN }, ReasonCode::OutOfRange),
        (3, RulingKind::Credit { credit_ms: 0 }, ReasonCode::OutOfRange),
        (4, RulingKind::Credit { credit_ms: i64::MAX }, ReasonCode::OutOfRange),
        (5, RulingKind::MoveAthlete { to: 2 }, ReasonCode::NotInThisState),
        (6, RulingKind::MoveAthlete { to: 40 }, ReasonCode::UnknownLane),
        (7, RulingKind::FromPaper { done: 99, finish_ms: None }, ReasonCode::OutOfRange),
    ] {
        assert_eq!(refused_ruling(&mut head, id, kind).await, code, "ruling {id}");
    }
    let after = record_of(feed.door().join(Role::HeadJudge, None).await.snapshot.unwrap());
    assert_eq!(after, fresh);

    head.command(20, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    head.command(21, 1, FloorCommand::Sign).await;
    let penalty = RulingKind::TimePenalty { add_ms: 1_000 };
    assert_eq!(refused_ruling(&mut head, 22, penalty).await, ReasonCode::HeatSigned);
    head.command(23, 1, FloorCommand::Reopen { reason: why() }).await;
    head.rule(24, 1, 1, RulingKind::UnitPenalty { take: 1 }).await;
    feed.stop().await;
}
