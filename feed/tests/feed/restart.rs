//! What was acknowledged survives the feed, however it ends, and the heat goes on, clock included.

use std::sync::Arc;

use fivemark_engine::time::HeatMs;
use fivemark_feed::actor::{Changes, Heats};
use fivemark_feed::competition;
use fivemark_feed::journal::{Body, Entry};
use fivemark_wire::from_client::{Call, ClientMessage, Floor, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, Subject};
use fivemark_wire::view::{Clock, State};
use rustix::process::Signal;

use crate::harness::{Program, TestFeed, config, data};

#[tokio::test]
async fn a_heat_goes_on_after_the_feed_is_killed_in_the_middle_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    let mut judge = feed.door().judge(1).await;
    for number in 1..=3 {
        judge.call(1, number, Call::Good).await;
    }
    let before = feed.door().join(Role::Display, None).await.snapshot.unwrap();
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let after = feed.door().join(Role::Display, None).await.snapshot.unwrap();
    assert_eq!(after.heat, before.heat, "state and clock are the same");
    assert!(matches!(after.heat.clock, Clock::Running { .. }));
    assert!(after.at_ms >= before.at_ms, "feed time runs on");
    assert_eq!((after.lanes[0].done, after.lanes[0].last_good_ms), (3, before.lanes[0].last_good_ms));
    assert_eq!(after.order, before.order);

    let mut judge = feed.door().judge(1).await;
    assert_eq!(judge.call(1, 3, Call::Good).await.done, Some(3), "sent again, it counts once");
    assert_eq!(judge.call(1, 4, Call::Good).await.done, Some(4));
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let again = head.command(9_101, 1, FloorCommand::StartCountdown).await;
    assert_eq!(again.of, Subject::Floor { id: 9_101 }, "the start, sent again, starts nothing");
    let seen = feed.door().join(Role::Display, None).await.snapshot.unwrap();
    assert_eq!(seen.heat.clock, before.heat.clock);
}

#[tokio::test]
async fn what_was_acknowledged_survives_a_kill_in_a_burst_of_calls() {
    const CALLS: u32 = 40;
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.command(1, 7, FloorCommand::OpenHeat).await;
    head.start_heat(7).await;
    let mut judge = feed.door().judge(1).await;
    let tallies: Vec<_> =
        (1..=CALLS).map(|number| ClientMessage::Tally(judge.tally(7, number, Call::Good))).collect();
    for tally in &tallies {
        judge.say(tally).await;
    }
    let mut acknowledged = 0;
    while acknowledged < CALLS / 4 {
        acknowledged = judge.ack().await.done.unwrap();
    }
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let kept = feed.door().join(Role::Display, None).await.snapshot.unwrap().lanes[0].done;
    assert!(kept >= acknowledged, "{acknowledged} were acknowledged, {kept} survived");
    let mut judge = feed.door().judge(1).await;
    for tally in &tallies {
        judge.say(tally).await;
        judge.ack().await;
    }
    let counted = feed.door().join(Role::Display, None).await.snapshot.unwrap().lanes[0].done;
    assert_eq!(counted, CALLS, "each counts once");
}

#[tokio::test]
async fn a_signed_heat_with_rulings_is_rebuilt_as_it_was() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    let mut judge = door.judge(2).await;
    for number in 1..=4 {
        judge.call(1, number, Call::Good).await;
    }
    judge.call(1, 5, Call::NoRep).await;
    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    head.rule(2, 1, 2, RulingKind::UnitPenalty { take: 1 }).await;
    head.command(3, 1, FloorCommand::Sign).await;
    judge.close().await;
    let mut board = door.join(Role::Display, None).await;
    if board.snapshot.as_ref().unwrap().lanes[1].judge_on {
        board.lane(2, |lane| !lane.judge_on).await;
    }
    let before = door.join(Role::HeadJudge, None).await.snapshot.unwrap();
    let folder = feed.stop().await;

    let again = fivemark_feed::run::Feed::start(config(folder.path()), |journal| Box::new(journal)).unwrap();
    let address = again.address();
    let keys = crate::harness::keys(&config(folder.path()).journal);
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let task = tokio::spawn(again.run_until(async {
        stopped.await.ok();
    }));
    let mut after =
        crate::harness::Door { address, keys: &keys }.join(Role::HeadJudge, None).await.snapshot.unwrap();
    after.at_ms = before.at_ms;
    after.number = before.number;
    assert_eq!(after, before);
    drop(stop);
    task.await.unwrap().unwrap();
}

#[tokio::test]
async fn a_stop_answers_what_came_says_goodbye_and_leaves_one_tidy_file() {
    let folder = tempfile::tempdir().unwrap();
    let mut feed = Program::serve(folder.path(), &["--speed", "10"]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut board = feed.door().join(Role::Display, None).await;
    head.command(1, 1, FloorCommand::OnDeck).await;
    head.say_text(r#"{"type":"floor","id":2,"heat":1,"command":"start_countdown"}"#).await;
    head.hear_until(|message| matches!(message, FeedMessage::Ack(_)).then_some(())).await;
    feed.signal(Signal::TERM);
    // 1001 is "going away": RFC 6455 section 7.4.1.
    assert_eq!(board.closed().await, Some(1001));
    assert_eq!(head.closed().await, Some(1001));
    assert!(feed.child.wait().unwrap().success());
    let mut left: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(left, ["record.journal", "record.journal.access.toml"]);
}

/// Heat 1 starts at 21 s and comes to its cap without another word; heat 2 is opened a quarter of an hour later.
#[test]
fn the_next_heat_is_on_the_floor_again_though_the_one_before_ended_by_itself() {
    let competition = Arc::new(competition::load(&data("competition.toml")).unwrap());
    let entry = |at_ms, id, heat, command| Entry {
        at_ms,
        wall_ms: at_ms,
        boot_ms: at_ms,
        heat,
        device: "head".to_owned(),
        body: Body::Floor { said: Floor { id, heat, command }, by: "Head judge".to_owned(), initials: false },
    };
    let entries = [
        entry(10_000, 1, 1, FloorCommand::OnDeck),
        entry(20_000, 2, 1, FloorCommand::StartCountdown),
        entry(900_000, 3, 2, FloorCommand::OpenHeat),
    ];
    let play = |as_it_happens: bool| {
        let mut heats = Heats::new(Arc::clone(&competition)).unwrap();
        let answers = entries.each_ref().map(|entry| {
            let mut changes = Changes::default();
            if as_it_happens {
                heats.fire(HeatMs(entry.at_ms), &mut changes);
            }
            heats.apply(entry, &mut changes)
        });
        (answers, heats.on_floor())
    };
    let (answers, on_floor) = play(true);
    assert!(matches!(answers[2], Some(FeedMessage::Ack(_))), "{answers:?}");
    assert_eq!(on_floor, 2);
    assert_eq!(play(false), (answers, on_floor), "rebuilt from its record");
}
