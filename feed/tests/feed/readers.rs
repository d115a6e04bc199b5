//! Readers that come back, fall behind, or do not read at all.

use std::time::Duration;

use fivemark_wire::from_client::{Call, ClientMessage, Join, Role};
use fivemark_wire::from_feed::FeedMessage;

use crate::harness::{Client, PATIENCE, TestFeed, get, resume};

#[tokio::test]
async fn a_client_that_comes_back_gets_what_it_missed() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    let mut board = door.join(Role::Display, None).await;
    let last = board.snapshot.as_ref().unwrap().number;
    let place = resume(&board, last);
    for number in 1..=3 {
        judge.call(1, number, Call::Good).await;
    }
    let seen = board.lane(1, |lane| lane.done == 3).await;

    let join = Join { resume: Some(place.clone()), ..door.join_message(Role::Display, None, "board") };
    let mut again = Client::connect(feed.address).await;
    again.say(&ClientMessage::Join(join)).await;
    assert!(matches!(again.hear().await, FeedMessage::Welcome(_)));
    let mut numbers = Vec::new();
    let caught_up = loop {
        let delta = again.delta().await;
        numbers.push(delta.number);
        if let Some(lane) = delta.lanes.into_iter().find(|lane| lane.lane == 1 && lane.done == 3) {
            break lane;
        }
    };
    assert_eq!(caught_up, seen);
    assert_eq!(numbers, (last + 1..=last + numbers.len() as u64).collect::<Vec<_>>());

    // Asked for on an open connection.
    again.say(&ClientMessage::Resume(place.clone())).await;
    assert_eq!(again.delta().await.number, last + 1);

    // The place is in another stream, or ahead of this one: a snapshot.
    for wrong in [
        fivemark_wire::from_client::Resume { stream: "another".to_owned(), last },
        fivemark_wire::from_client::Resume { last: u64::MAX, ..place },
    ] {
        again.say(&ClientMessage::Resume(wrong)).await;
        again.hear_until(|message| matches!(message, FeedMessage::Snapshot(_)).then_some(())).await;
    }
    feed.stop().await;
}

/// Three judges who call one after the other, each as often as one may in a burst, so that every call is a delta of
/// its own: more than the kernel's buffers and a reader's allowance hold together.
async fn crowd_of_calls(feed: &TestFeed) {
    const CALLS: u32 = 480;
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    head.close().await;
    for lane in 1..=3 {
        let mut judge = door.judge(lane).await;
        for number in 1..=CALLS {
            judge.call(1, number, Call::NoRep).await;
        }
        judge.close().await;
    }
}

fn counter(counters: &str, name: &str) -> u64 {
    let line = counters.lines().find(|line| line.starts_with(name)).unwrap();
    line.rsplit(' ').next().unwrap().parse().unwrap()
}

#[tokio::test]
async fn a_reader_that_falls_behind_gets_a_snapshot_and_no_hole() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut board = Client::connect_narrow(feed.address).await;
    board.say(&ClientMessage::Join(door.join_message(Role::Display, None, "slow board"))).await;
    board.take_welcome().await;
    crowd_of_calls(&feed).await;
    let counted = counter(&get(feed.address, "/metrics").await, "fivemark_delta_number");

    let mut last = board.snapshot.as_ref().unwrap().number;
    let mut jumps = 0;
    while last < counted {
        match board.hear().await {
            FeedMessage::Delta(delta) => {
                assert_eq!(delta.number, last + 1, "a hole");
                last = delta.number;
            }
            FeedMessage::Snapshot(snapshot) => {
                assert!(snapshot.number > last);
                jumps += 1;
                last = snapshot.number;
            }
            other => panic!("{other:?}"),
        }
    }
    assert!(jumps > 0, "{counted} deltas and never behind");
    feed.stop().await;
}

#[tokio::test]
async fn a_reader_that_does_not_read_is_dropped_and_holds_nobody_up() {
    let feed = TestFeed::start_with(
        |config| config.patience.write = Duration::from_millis(500),
        |journal| Box::new(journal),
    );
    let door = feed.door();
    let mut deaf = Client::connect_narrow(feed.address).await;
    deaf.say(&ClientMessage::Join(door.join_message(Role::Display, None, "deaf board"))).await;
    deaf.take_welcome().await;
    crowd_of_calls(&feed).await;
    let dropped = async {
        while counter(&get(feed.address, "/metrics").await, "fivemark_readers_dropped_total") == 0 {
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    };
    tokio::time::timeout(PATIENCE, dropped).await.unwrap();
    let mut board = door.join(Role::Display, None).await;
    board.exchange_clocks().await;
    feed.stop().await;
}

#[tokio::test]
async fn a_client_that_says_nothing_at_all_is_left() {
    let feed = TestFeed::start_with(
        |config| {
            config.patience.join = Duration::from_secs(1);
            config.patience.ping = Duration::from_millis(50);
            config.patience.silence = Duration::from_millis(200);
        },
        |journal| Box::new(journal),
    );
    // It connects and never joins.
    let mut stranger = Client::connect(feed.address).await;
    assert_eq!(stranger.closed().await, Some(1008));
    // It joins and never answers a ping; the harness answers pings only while it reads.
    let door = feed.door();
    let board = door.join(Role::Display, None).await;
    let gone = async {
        while !get(feed.address, "/metrics").await.contains("fivemark_clients{role=\"display\"} 0\n") {
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    };
    tokio::time::timeout(PATIENCE, gone).await.unwrap();
    drop(board);
    feed.stop().await;
}

#[tokio::test]
async fn spectators_are_written_to_in_batches_and_miss_nothing() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut spectator = door.join(Role::Spectator, None).await;
    head.start_heat(1).await;
    let mut judge = door.judge(1).await;
    for number in 1..=12 {
        judge.call(1, number, Call::Good).await;
    }
    let lane = spectator.lane(1, |lane| lane.done == 12).await;
    assert_eq!(lane.score, 12);
    feed.stop().await;
}
