//! Two phones on one lane: who holds it, who stands by, and what becomes of the calls of either.

use std::time::Duration;

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Join, Role};
use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode, Subject};
use fivemark_wire::phones::HandOver;
use rustix::process::Signal;

use crate::harness::{Client, Door, Program, TestFeed};

/// By how much a phone's idea of the feed's clock may be off on a busy machine: what is before and what is after has to be
/// further apart.
const CLOCK_ERROR: Duration = Duration::from_millis(300);

fn phone(door: Door<'_>, device: &str, stand_by: bool) -> Join {
    Join { stand_by, ..door.join_message(Role::LaneJudge, Some(1), device) }
}

async fn standing_by(door: Door<'_>, device: &str) -> Client {
    let mut client = door.join_as(phone(door, device, true)).await;
    assert!(client.welcome.as_ref().unwrap().standing_by);
    client.exchange_clocks().await;
    client
}

async fn holding(door: Door<'_>, device: &str) -> Client {
    let mut client = door.join_as(phone(door, device, false)).await;
    assert!(!client.welcome.as_ref().unwrap().standing_by);
    client.exchange_clocks().await;
    client
}

fn hand_over(id: u64, to: &str) -> ClientMessage {
    ClientMessage::HandOver(HandOver { id, heat: 1, lane: 1, to: to.to_owned() })
}

async fn holds(client: &mut Client) -> bool {
    let told = client
        .hear_until(|message| if let FeedMessage::Lane(hold) = message { Some(hold) } else { None })
        .await;
    assert_eq!(told.lane, 1);
    told.holds
}

async fn refused(client: &mut Client, message: ClientMessage) -> ReasonCode {
    client.say(&message).await;
    let (_, Reason { code, says }) = client.refusal().await;
    assert!(says.ends_with('.'), "{says}");
    code
}

async fn turned_away(door: Door<'_>, device: &str) -> ReasonCode {
    let mut client = Client::connect(door.address).await;
    client.say(&ClientMessage::Join(phone(door, device, false))).await;
    client.refusal().await.1.code
}

#[tokio::test]
async fn a_second_phone_stands_by_and_takes_over_by_the_head_judges_word() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut first = holding(door, "first").await;
    head.start_heat(1).await;
    assert_eq!(turned_away(door, "second").await, ReasonCode::LaneTaken);
    let mut second = standing_by(door, "second").await;
    assert_eq!(first.call(1, 1, Call::Good).await.done, Some(1));
    second.lane(1, |lane| lane.done == 1).await;
    let tally = ClientMessage::Tally(second.tally(1, 1, Call::Good));
    assert_eq!(refused(&mut second, tally).await, ReasonCode::StandingBy);
    assert_eq!(refused(&mut second, hand_over(1, "second")).await, ReasonCode::StandingBy);
    assert_eq!(refused(&mut head, hand_over(1, "third")).await, ReasonCode::NotStandingBy);
    let elsewhere = ClientMessage::HandOver(HandOver { id: 2, heat: 8, lane: 1, to: "second".to_owned() });
    assert_eq!(refused(&mut head, elsewhere).await, ReasonCode::UnknownHeat);
    let mut operator = door.join(Role::FloorOperator, None).await;
    assert_eq!(refused(&mut operator, hand_over(1, "second")).await, ReasonCode::WrongRole);

    let waiting = first.tally(1, 2, Call::Good);
    tokio::time::sleep(CLOCK_ERROR).await;
    head.say(&hand_over(3, "second")).await;
    assert_eq!(head.ack().await.of, Subject::HandOver { id: 3 });
    assert!(!holds(&mut first).await && holds(&mut second).await);
    head.say(&hand_over(3, "second")).await;
    assert_eq!(head.ack().await.of, Subject::HandOver { id: 3 }, "sent again, it is answered again");
    // What was refused has not taken its number.
    assert_eq!(second.call(1, 1, Call::Good).await.done, Some(2));
    first.say(&ClientMessage::Tally(waiting)).await;
    assert_eq!(first.ack().await.done, Some(3), "tapped before the hand-over, it counts");
    tokio::time::sleep(CLOCK_ERROR).await;
    let later = first.call(1, 3, Call::Good).await;
    assert_eq!((later.done, later.not_counted.unwrap().code), (Some(3), ReasonCode::HandedOver));

    // The phone that holds the lane gives it back by itself.
    second.say(&hand_over(1, "first")).await;
    second.ack().await;
    assert!(holds(&mut first).await);
    assert_eq!(first.call(1, 4, Call::Good).await.done, Some(4));
    feed.stop().await;
}

#[tokio::test]
async fn a_lane_stays_with_its_phone_off_the_line_but_for_the_time_before_the_start() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    holding(door, "first").await.close().await;
    head.command(1, 1, FloorCommand::OnDeck).await;
    let second = holding(door, "second").await;
    // The first one may have calls waiting, so it is let in, and stands by.
    let first = door.join_as(phone(door, "first", false)).await;
    assert!(first.welcome.as_ref().unwrap().standing_by);
    first.close().await;
    second.close().await;
    head.command(2, 1, FloorCommand::StartCountdown).await;
    head.state(fivemark_wire::view::State::Running).await;
    assert_eq!(turned_away(door, "third").await, ReasonCode::LaneTaken, "off the line it keeps its lane");
    let mut third = standing_by(door, "third").await;
    head.say(&hand_over(1, "third")).await;
    head.ack().await;
    assert!(holds(&mut third).await);
    assert_eq!(third.call(1, 1, Call::Good).await.done, Some(1));
    // The one before comes back and is told at once; it needs no word of its own to drain.
    let mut second = door.join_as(phone(door, "second", false)).await;
    assert!(second.welcome.as_ref().unwrap().standing_by);
    second.exchange_clocks().await;
    assert_eq!(second.call(1, 1, Call::Good).await.not_counted.unwrap().code, ReasonCode::HandedOver);
    feed.stop().await;
}

#[tokio::test]
async fn a_hand_over_outlives_a_kill_before_the_old_phones_calls_come_in() {
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut first = holding(feed.door(), "first").await;
    head.start_heat(1).await;
    first.call(1, 1, Call::Good).await;
    let waiting: Vec<_> = (2..=4).map(|number| first.tally(1, number, Call::Good)).collect();
    let mut second = standing_by(feed.door(), "second").await;
    head.say(&hand_over(1, "second")).await;
    head.ack().await;
    // The old phone taps on, without a link.
    tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    let too_late = first.tally(1, 5, Call::Good);
    assert!(holds(&mut second).await);
    assert_eq!(second.call(1, 1, Call::Good).await.done, Some(2));
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let mut back = feed.door().join_as(phone(feed.door(), "first", false)).await;
    assert!(back.welcome.as_ref().unwrap().standing_by, "the record says who holds the lane");
    for tally in waiting {
        let number = tally.number;
        back.say(&ClientMessage::Tally(tally)).await;
        let ack = back.ack().await;
        assert_eq!((ack.done, ack.not_counted), (Some(number + 1), None));
    }
    back.say(&ClientMessage::Tally(too_late)).await;
    assert_eq!(back.ack().await.not_counted.unwrap().code, ReasonCode::HandedOver);
    let mut second = feed.door().join_as(phone(feed.door(), "second", false)).await;
    assert!(!second.welcome.as_ref().unwrap().standing_by);
    second.exchange_clocks().await;
    assert_eq!(second.call(1, 2, Call::Good).await.done, Some(6));
}
