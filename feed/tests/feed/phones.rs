//! What officials are told of judges' phones.

use fivemark_wire::from_client::{Call, ClientMessage, Join, Role};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode};
use fivemark_wire::phones::{Phone, PhoneState, Phones};

use crate::harness::{Client, TestFeed};

/// The phones as they are told once `wanted` holds.
async fn phones(official: &mut Client, wanted: impl Fn(&[PhoneState]) -> bool) -> Vec<PhoneState> {
    official
        .hear_until(|message| match message {
            FeedMessage::Phones(Phones { phones, .. }) if wanted(&phones) => Some(phones),
            _ => None,
        })
        .await
}

fn phone(charge_percent: Option<u8>, waiting: u32) -> ClientMessage {
    let (charging, stays_awake, delay_us) = (Some(false), Some(true), Some(24_000));
    ClientMessage::Phone(Phone { charge_percent, charging, waiting, stays_awake, delay_us })
}

#[tokio::test]
async fn officials_are_told_of_every_phone_and_nobody_else_is() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    let mut board = door.join(Role::Display, None).await;
    let mut shadow = door.join(Role::ShadowJudge, Some(1)).await;
    let stander = Join { stand_by: true, ..door.join_message(Role::LaneJudge, Some(1), "spare") };
    let spare = door.join_as(stander).await;
    let told = phones(&mut head, |phones| phones.len() == 3).await;
    let each: Vec<_> =
        told.iter().map(|phone| (phone.device.as_str(), phone.holds, phone.shadow, phone.on_line)).collect();
    assert_eq!(
        each,
        [
            ("LaneJudge-1", true, false, true),
            ("spare", false, false, true),
            ("ShadowJudge-1", false, true, true)
        ]
    );
    assert!(told.iter().all(|phone| phone.waiting.is_none() && phone.heard_ms.is_some()));

    judge.say(&phone(Some(81), 2)).await;
    shadow.say(&phone(None, 0)).await;
    let told = phones(&mut head, |phones| phones.iter().any(|phone| phone.charge_percent.is_some())).await;
    assert_eq!(
        (told[0].charge_percent, told[0].waiting, told[0].stays_awake),
        (Some(81), Some(2), Some(true))
    );
    assert_eq!(told[0].delay_us, Some(24_000), "as the phone told it");
    judge.call(1, 1, Call::Good).await;
    phones(&mut head, |phones| phones[0].delay_us != Some(24_000)).await;

    for (client, message) in [(&mut judge, phone(Some(101), 0)), (&mut board, phone(Some(50), 0))] {
        client.say(&message).await;
        assert!(matches!(client.refusal().await.1.code, ReasonCode::OutOfRange | ReasonCode::WrongRole));
    }
    let not_told = |message: &FeedMessage| !matches!(message, FeedMessage::Phones(_));
    assert!(board.drain().await.iter().all(not_told) && judge.drain().await.iter().all(not_told));

    spare.close().await;
    judge.close().await;
    // Who holds a lane stays in sight off the line, with what was known last.
    let told = phones(&mut head, |phones| phones.len() == 2 && !phones[0].on_line).await;
    assert_eq!((told[0].holds, told[0].charge_percent), (true, Some(81)));
    let folder = feed.stop().await;

    let feed = TestFeed::start_in(folder, |_| {});
    let mut operator = feed.door().join(Role::FloorOperator, None).await;
    let told = phones(&mut operator, |phones| !phones.is_empty()).await;
    assert_eq!((told[0].device.as_str(), told[0].holds, told[0].heard_ms), ("LaneJudge-1", true, None));
    feed.stop().await;
}
