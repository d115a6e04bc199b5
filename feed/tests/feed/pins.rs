//! Judges' phones that come in by PIN, and who guesses one.

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Join, Role};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};
use fivemark_wire::phones::{AskPins, Pins};
use fivemark_wire::view::State;
use rustix::process::Signal;

use crate::harness::{Client, Program, TestFeed};

async fn pins(official: &mut Client) -> Pins {
    official.say(&ClientMessage::AskPins(AskPins {})).await;
    official.hear_until(|message| if let FeedMessage::Pins(pins) = message { Some(pins) } else { None }).await
}

fn pin(pins: &Pins, lane: u8, shadow: bool) -> Option<String> {
    let of_lane = pins.pins.iter().find(|pin| (pin.lane, pin.shadow) == (lane, shadow));
    of_lane.map(|pin| pin.pin.clone())
}

fn by_pin(role: Role, pin: Option<String>) -> Join {
    Join { pin, ..Join::new(role, "pocket phone") }
}

async fn refused(address: std::net::SocketAddr, join: Join) -> (ReasonCode, String) {
    let mut client = Client::connect(address).await;
    client.say(&ClientMessage::Join(join)).await;
    let (of, why) = client.refusal().await;
    assert_eq!(of, Subject::Join);
    assert_eq!(client.closed().await, Some(1008));
    (why.code, why.says)
}

#[tokio::test]
async fn a_judge_comes_in_by_pin_and_back_by_the_key_that_came_with_the_welcome() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let told = pins(&mut head).await;
    assert_eq!((told.heat, told.pins.len()), (1, 8), "two for each of four lanes");
    let mut operator = door.join(Role::FloorOperator, None).await;
    assert_eq!(pins(&mut operator).await, told);
    for (role, lane) in [(Role::Announcer, None), (Role::Display, None), (Role::LaneJudge, Some(1))] {
        let mut other = door.join(role, lane).await;
        other.say(&ClientMessage::AskPins(AskPins {})).await;
        assert_eq!(other.refusal().await.1.code, ReasonCode::WrongRole, "{role:?}");
    }

    let mut judge = door.join_as(by_pin(Role::LaneJudge, pin(&told, 2, false))).await;
    let welcome = judge.welcome.clone().unwrap();
    assert_eq!((welcome.lane, welcome.standing_by), (Some(2), false));
    let shadow = door.join_as(by_pin(Role::ShadowJudge, pin(&told, 2, true))).await;
    assert_eq!(shadow.welcome.unwrap().lane, Some(2));
    judge.exchange_clocks().await;
    head.start_heat(1).await;
    assert_eq!(judge.call(1, 1, Call::Good).await.done, Some(1));

    let again =
        Join { access_key: welcome.access_key, lane: Some(2), ..Join::new(Role::LaneJudge, "pocket phone") };
    let mut back = door.join_as(again.clone()).await;
    assert_eq!(judge.closed().await, Some(4001));
    back.exchange_clocks().await;
    assert_eq!(back.call(1, 2, Call::Good).await.done, Some(2));
    for other in [
        Join { lane: Some(1), ..again.clone() },
        Join { device: "another phone".to_owned(), ..again.clone() },
        Join { role: Role::ShadowJudge, ..again.clone() },
    ] {
        assert_eq!(refused(feed.address, other).await.0, ReasonCode::WrongAccessKey);
    }
    feed.stop().await;
}

#[tokio::test]
async fn a_pin_dies_with_the_signing_and_its_phone_only_drains() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let told = pins(&mut head).await;
    let judge = door.join_as(by_pin(Role::LaneJudge, pin(&told, 1, false))).await;
    let access_key = judge.welcome.as_ref().unwrap().access_key.clone();
    let again = Join { access_key, lane: Some(1), ..Join::new(Role::LaneJudge, "pocket phone") };
    head.start_heat(1).await;
    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;

    // Another heat on the floor: the phone of the one before holds nothing there and may not speak of it.
    head.command(2, 8, FloorCommand::OpenHeat).await;
    assert_eq!(pins(&mut head).await.heat, 8);
    let mut judge = judge;
    judge.hear_until(|message| matches!(message, FeedMessage::Lane(hold) if !hold.holds).then_some(())).await;
    let tally = judge.tally(8, 1, Call::Good);
    judge.say(&ClientMessage::Tally(tally)).await;
    assert_eq!(judge.refusal().await.1.code, ReasonCode::NotYourHeat);
    let late = judge.tally(1, 1, Call::Good);
    judge.say(&ClientMessage::Tally(late)).await;
    assert_eq!(judge.ack().await.not_counted.unwrap().code, ReasonCode::AfterCap, "it is taken all the same");
    let mut next = door.judge(1).await;
    assert!(!next.welcome.as_ref().unwrap().standing_by, "the lane is free in the new heat");
    next.exchange_clocks().await;
    drop(judge);
    let back = door.join_as(again.clone()).await;
    assert!(back.welcome.as_ref().unwrap().standing_by);
    back.close().await;

    head.command(3, 1, FloorCommand::OpenHeat).await;
    head.command(4, 1, FloorCommand::Sign).await;
    assert!(pins(&mut head).await.pins.is_empty());
    let old = by_pin(Role::LaneJudge, pin(&told, 1, false));
    assert_eq!(refused(feed.address, old).await.0, ReasonCode::WrongPin);
    door.join_as(again.clone()).await.close().await;
    head.command(5, 8, FloorCommand::OpenHeat).await;
    assert_eq!(refused(feed.address, again).await.0, ReasonCode::WrongAccessKey);
    feed.stop().await;
}

#[tokio::test]
async fn who_guesses_is_held_back_and_told_for_how_long() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let told = pins(&mut head).await;
    let wrong = (0..1_000_000)
        .map(|number| format!("{number:06}"))
        .find(|wrong| told.pins.iter().all(|pin| pin.pin != *wrong));
    for tried in [wrong.clone(), Some(String::new()), Some("x".repeat(2_000)), pin(&told, 1, true)] {
        let join = by_pin(Role::LaneJudge, tried.clone());
        assert_eq!(refused(feed.address, join).await.0, ReasonCode::WrongPin, "{tried:?}");
    }
    let join = by_pin(Role::HeadJudge, pin(&told, 1, false));
    assert_eq!(refused(feed.address, join).await.0, ReasonCode::WrongRole);
    for _ in 4..10 {
        refused(feed.address, by_pin(Role::LaneJudge, wrong.clone())).await;
    }
    let (code, says) = refused(feed.address, by_pin(Role::LaneJudge, pin(&told, 1, false))).await;
    assert_eq!(code, ReasonCode::PinsPaused);
    assert!(says.contains("Wait 1"), "{says}");
    feed.door().judge(1).await;
    feed.stop().await;
}

#[tokio::test]
async fn pins_and_the_keys_of_phones_outlive_a_kill_and_stand_in_no_log() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log");
    let mut command = Program::command(folder.path(), &[]);
    command.stderr(std::fs::File::create(&log).unwrap());
    let feed = Program::spawn_logging(command, folder.path());
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let told = pins(&mut head).await;
    let judge = feed.door().join_as(by_pin(Role::LaneJudge, pin(&told, 3, false))).await;
    let key = judge.welcome.as_ref().unwrap().access_key.clone().unwrap();
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    assert_eq!(pins(&mut head).await, told);
    let access_key = Some(key.clone());
    let again = Join { access_key, lane: Some(3), ..Join::new(Role::LaneJudge, "pocket phone") };
    assert!(!feed.door().join_as(again).await.welcome.unwrap().standing_by, "it has its lane again");
    let said = std::fs::read_to_string(&log).unwrap();
    assert!(said.contains("pocket phone"), "{said}");
    assert!(!said.contains(&key) && told.pins.iter().all(|pin| !said.contains(&pin.pin)), "{said}");
}
