//! Who gets in, who may say what, and who sees what.

use fivemark_feed::shared::MAX_KEYED;
use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};

use crate::harness::{Client, Program, TestFeed};

async fn refused_join(feed: &TestFeed, join: fivemark_wire::from_client::Join) -> (ReasonCode, Option<u16>) {
    let mut client = Client::connect(feed.address).await;
    client.say(&ClientMessage::Join(join)).await;
    let (of, why) = client.refusal().await;
    assert_eq!(of, Subject::Join);
    assert!(why.says.ends_with('.'), "{}", why.says);
    (why.code, client.closed().await)
}

#[tokio::test]
async fn a_wrong_key_role_or_lane_is_told_and_closed() {
    let feed = TestFeed::start();
    let door = feed.door();
    let right = door.join_message(Role::LaneJudge, Some(1), "phone");
    let display_key = door.key(Role::Display, None);
    // 1008 is "policy violation": RFC 6455 section 7.4.1.
    for (change, code) in [
        (door.join_message(Role::LaneJudge, Some(99), "phone"), ReasonCode::UnknownLane),
        (door.join_message(Role::LaneJudge, None, "phone"), ReasonCode::UnknownLane),
        (fivemark_wire::from_client::Join { lane: Some(2), ..right.clone() }, ReasonCode::WrongAccessKey),
        (
            fivemark_wire::from_client::Join { role: Role::ShadowJudge, ..right.clone() },
            ReasonCode::WrongAccessKey,
        ),
        (
            fivemark_wire::from_client::Join { role: Role::HeadJudge, ..right.clone() },
            ReasonCode::WrongAccessKey,
        ),
        (fivemark_wire::from_client::Join { access_key: None, ..right.clone() }, ReasonCode::WrongAccessKey),
        (
            fivemark_wire::from_client::Join { access_key: display_key, ..right.clone() },
            ReasonCode::WrongAccessKey,
        ),
        (fivemark_wire::from_client::Join { device: String::new(), ..right.clone() }, ReasonCode::OutOfRange),
        (fivemark_wire::from_client::Join { device: "x".repeat(65), ..right }, ReasonCode::OutOfRange),
    ] {
        assert_eq!(refused_join(&feed, change).await, (code, Some(1008)));
    }
    feed.stop().await;
}

#[tokio::test]
async fn spectators_come_in_only_where_they_are_let_in() {
    let open = TestFeed::start();
    let spectator = open.door().join(Role::Spectator, None).await;
    assert!(spectator.snapshot.is_some(), "on by default on loopback");
    open.stop().await;
    let closed = TestFeed::start_with(|config| config.spectators = Some(false), |journal| Box::new(journal));
    let join = closed.door().join_message(Role::Spectator, None, "phone");
    assert_eq!(refused_join(&closed, join).await.0, ReasonCode::SpectatorsOff);
    closed.stop().await;
}

#[tokio::test]
async fn each_role_says_only_what_is_its_to_say() {
    let feed = TestFeed::start();
    let door = feed.door();
    let tally =
        r#"{"type":"tally","heat":1,"run":1,"lane":1,"epoch":1,"number":1,"call":"good","stamp_ms":1}"#;
    let ruling =
        r#"{"type":"ruling","id":1,"heat":1,"lane":1,"reason":"x","kind":{"unit_penalty":{"take":1}}}"#;
    let start = r#"{"type":"floor","id":1,"heat":1,"command":"on_deck"}"#;
    let sign = r#"{"type":"floor","id":2,"heat":1,"command":"sign"}"#;
    let other_lane = tally.replace("\"lane\":1", "\"lane\":2");
    let wrong_role = ReasonCode::WrongRole;
    for (role, lane, message, code) in [
        (Role::HeadJudge, None, tally, wrong_role),
        (Role::Display, None, tally, wrong_role),
        (Role::Spectator, None, tally, wrong_role),
        (Role::LaneJudge, Some(1), other_lane.as_str(), ReasonCode::NotYourLane),
        (Role::ShadowJudge, Some(1), other_lane.as_str(), ReasonCode::NotYourLane),
        (Role::FloorOperator, None, ruling, wrong_role),
        (Role::LaneJudge, Some(1), ruling, wrong_role),
        (Role::Announcer, None, start, wrong_role),
        (Role::LaneJudge, Some(1), start, wrong_role),
        (Role::FloorOperator, None, sign, wrong_role),
        (
            Role::HeadJudge,
            None,
            r#"{"type":"join","role":"display","device":"x"}"#,
            ReasonCode::AlreadyJoined,
        ),
    ] {
        let mut client = door.join(role, lane).await;
        client.say_text(message).await;
        assert_eq!(client.refusal().await.1.code, code, "{role:?}: {message}");
        client.close().await;
    }
    feed.stop().await;
}

#[tokio::test]
async fn nothing_is_taken_before_the_join() {
    let feed = TestFeed::start();
    let mut client = Client::connect(feed.address).await;
    client.say_text(r#"{"type":"clock","t1_us":1}"#).await;
    assert_eq!(client.refusal().await.1.code, ReasonCode::NotJoined);
    assert_eq!(client.closed().await, Some(1008));
    feed.stop().await;
}

#[tokio::test]
async fn a_second_phone_on_a_lane_is_told_and_the_same_phone_takes_its_place_again() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut first = door.join(Role::LaneJudge, Some(1)).await;
    let other = door.join_message(Role::LaneJudge, Some(1), "another phone");
    assert_eq!(refused_join(&feed, other.clone()).await.0, ReasonCode::LaneTaken);

    let mut again = door.join(Role::LaneJudge, Some(1)).await;
    assert_eq!(first.closed().await, Some(4001));
    again.exchange_clocks().await;
    assert!(again.call(1, 1, Call::Good).await.done.is_some());

    again.close().await;
    let mut board = door.join(Role::Display, None).await;
    if board.snapshot.as_ref().unwrap().lanes[0].judge_on {
        board.lane(1, |lane| !lane.judge_on).await;
    }
    let mut taken = Client::connect(feed.address).await;
    taken.say(&ClientMessage::Join(other)).await;
    taken.take_welcome().await;
    board.lane(1, |lane| lane.judge_on).await;
    feed.stop().await;
}

#[tokio::test]
async fn private_names_judges_and_rulings_reach_only_those_they_are_for() {
    let feed = TestFeed::start();
    let door = feed.door();
    for (role, lane, name, judge) in [
        (Role::HeadJudge, None, "Noor Ashdale", "Sanna Krueger"),
        (Role::FloorOperator, None, "Noor Ashdale", "Sanna Krueger"),
        (Role::Announcer, None, "Noor Ashdale", ""),
        (Role::LaneJudge, Some(2), "Noor Ashdale", ""),
        (Role::Display, None, "N. A.", ""),
        (Role::Spectator, None, "N. A.", ""),
    ] {
        let seen = door.join(role, lane).await.snapshot.unwrap();
        assert_eq!(seen.entries[2].name, name, "{role:?}");
        assert_eq!(seen.entries[2].family.is_empty(), name == "N. A.", "{role:?}");
        assert_eq!(seen.entries[0].judge, judge, "{role:?}");
        assert_eq!(seen.entries[0].name, "Ilva Brandt-Osei");
        assert!(seen.entries[3].name.is_empty(), "lane 4 is empty");
    }
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    head.start_heat(1).await;
    let mut judge = door.judge(1).await;
    judge.call(1, 1, Call::Good).await;
    head.rule(1, 1, 1, RulingKind::UnitPenalty { take: 1 }).await;
    head.command(2, 1, FloorCommand::Hold).await;
    let told = |messages: Vec<FeedMessage>| {
        messages
            .into_iter()
            .filter_map(
                |message| if let FeedMessage::Delta(delta) = message { Some(delta.rulings) } else { None },
            )
            .flatten()
            .collect::<Vec<_>>()
    };
    assert!(told(board.drain().await).is_empty());
    let mut operator = door.join(Role::FloorOperator, None).await;
    head.rule(3, 1, 1, RulingKind::UnitPenalty { take: -1 }).await;
    let notes = told(operator.drain().await);
    assert_eq!(notes.len(), 1);
    assert_eq!((notes[0].by.as_str(), notes[0].reason.as_str()), ("head judge", "Seen from the side"));
    feed.stop().await;
}

#[tokio::test]
async fn a_client_too_many_is_told_and_a_place_that_is_left_is_free_again() {
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let door = feed.door();
    let mut screens = Vec::new();
    for _ in 0..MAX_KEYED {
        screens.push(door.join(Role::Display, None).await);
    }
    let mut late = Client::connect(feed.address).await;
    late.say(&ClientMessage::Join(door.join_message(Role::Display, None, "late"))).await;
    assert_eq!(late.refusal().await.1.code, ReasonCode::TooManyClients);
    assert_eq!(late.closed().await, Some(1008));
    screens.pop().unwrap().close().await;
    let mut again = door.join(Role::Display, None).await;
    again.exchange_clocks().await;
}
