//! Messages that are broken, too large, too many, or nothing at all. Each is told, and the feed goes on.

use fivemark_wire::from_client::{Call, ClientMessage, Role};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};
use serde_json::Value;
use tokio_tungstenite::tungstenite::Message;

use crate::harness::{Client, TestFeed, data};

/// Accept and reject table of JSON texts: verdicts by the grammar of RFC 8259, as V8's `JSON.parse` and CPython's
/// `json` (NaN and Infinity refused) gave them.
fn json_cases() -> Vec<(String, String, bool)> {
    let table: Value = serde_json::from_slice(&std::fs::read(data("json_edge.json")).unwrap()).unwrap();
    let cases = table["cases"].as_array().unwrap();
    assert!(cases.len() > 20);
    cases
        .iter()
        .map(|case| {
            let text = |name: &str| case[name].as_str().unwrap().to_owned();
            (text("name"), text("text"), case["valid_rfc8259"].as_bool().unwrap())
        })
        .collect()
}

#[test]
fn what_is_not_json_is_not_read_as_json() {
    // A receiver may be stricter than the grammar (RFC 8259 section 9 lets it set limits): numbers beyond doubles,
    // half of a surrogate pair, and nesting beyond 128 are refused here.
    let stricter = ["huge exponent", "lone surrogate escape", "deep nesting 200"];
    for (name, text, valid) in json_cases() {
        let taken = serde_json::from_str::<Value>(&text).is_ok();
        assert_eq!(taken, valid && !stricter.contains(&name.as_str()), "{name}");
    }
}

#[tokio::test]
async fn texts_at_the_edge_of_json_are_refused_and_the_connection_goes_on() {
    let feed = TestFeed::start();
    let mut board = feed.door().join(Role::Display, None).await;
    for (name, text, _) in json_cases() {
        // Valid or not, none of them is a message of the wire.
        board.say_text(&text).await;
        let (of, why) = board.refusal().await;
        assert_eq!((of, why.code), (Subject::Message, ReasonCode::Malformed), "{name}");
    }
    board.exchange_clocks().await;
    feed.stop().await;
}

#[tokio::test]
async fn a_clock_request_is_read_as_json_says_and_its_numbers_are_exact() {
    let feed = TestFeed::start();
    let mut board = feed.door().join(Role::Display, None).await;
    // RFC 8259: white space around a text is allowed, a name should be there once, numbers are not limited to
    // doubles: 2^53 + 1 would lose a unit in one.
    for (text, echoed) in [
        (" \t{\"type\":\"clock\",\"t1_us\":1}\r\n", Some(1)),
        (r#"{"type":"clock","t1_us":9007199254740993}"#, Some(9_007_199_254_740_993)),
        (r#"{"t1_us":-7,"type":"clock"}"#, Some(-7)),
        (r#"{"type":"\u0063lock","t1_us":2}"#, Some(2)),
        (r#"{"type":"clock","t1_us":1,"t1_us":2}"#, None),
        (r#"{"type":"clock","t1_us":1.5}"#, None),
        (r#"{"type":"clock","t1_us":99999999999999999999}"#, None),
        (r#"{"type":"clock","t1_us":1}{"type":"clock","t1_us":2}"#, None),
        (r#"{"type":"clock"}"#, None),
        (r#"{"type":"clock","t1_us":1,"more":true}"#, None),
    ] {
        board.say_text(text).await;
        let answer = board
            .hear_until(|message| match message {
                FeedMessage::Clock(reply) => Some(Some(reply.t1_us)),
                FeedMessage::Refusal(refusal) if refusal.why.code == ReasonCode::Malformed => Some(None),
                _ => None,
            })
            .await;
        assert_eq!(answer, echoed, "{text}");
    }
    feed.stop().await;
}

#[tokio::test]
async fn binary_frames_and_texts_that_are_not_utf8_are_not_messages() {
    let feed = TestFeed::start();
    let mut board = feed.door().join(Role::Display, None).await;
    board.send(Message::binary(vec![0, 159, 146, 150])).await;
    assert_eq!(board.refusal().await.1.code, ReasonCode::Malformed);
    board.exchange_clocks().await;
    feed.stop().await;
}

#[tokio::test]
async fn a_message_too_large_for_its_role_is_refused() {
    let feed = TestFeed::start();
    let door = feed.door();
    let padded = |bytes: usize| {
        let message = r#"{"type":"clock","t1_us":1}"#;
        format!("{message}{}", " ".repeat(bytes - message.len()))
    };
    let mut judge = door.join(Role::LaneJudge, Some(1)).await;
    judge.say_text(&padded(4_096)).await;
    judge.hear_until(|message| matches!(message, FeedMessage::Clock(_)).then_some(())).await;
    judge.say_text(&padded(4_097)).await;
    assert_eq!(judge.refusal().await.1.code, ReasonCode::TooLarge);
    judge.exchange_clocks().await;

    let mut board = door.join(Role::Display, None).await;
    board.say_text(&padded(65_536)).await;
    board.hear_until(|message| matches!(message, FeedMessage::Clock(_)).then_some(())).await;
    board.say_text(&padded(65_537)).await;
    assert_eq!(board.refusal().await.1.code, ReasonCode::TooLarge);
    // 1009 is "message too big": RFC 6455 section 7.4.1.
    assert_eq!(board.closed().await, Some(1009));

    let mut stranger = Client::connect(feed.address).await;
    stranger.say_text(&padded(4_097)).await;
    assert_eq!(stranger.refusal().await.1.code, ReasonCode::TooLarge);
    assert_eq!(stranger.closed().await, Some(1008));
    feed.stop().await;
}

#[tokio::test]
async fn fields_out_of_their_bounds_never_reach_the_record() {
    let feed = TestFeed::start();
    let mut judge = feed.door().judge(1).await;
    let mut far = judge.tally(1, 1, Call::Good);
    far.stamp_ms = i64::MIN;
    judge.say(&ClientMessage::Tally(far)).await;
    let (of, why) = judge.refusal().await;
    assert_eq!((of, why.code), (Subject::Tally { epoch: judge.epoch, number: 1 }, ReasonCode::OutOfRange));
    judge
        .say_text(
            r#"{"type":"tally","heat":1,"run":1,"lane":300,"epoch":1,"number":1,"call":"good","stamp_ms":1}"#,
        )
        .await;
    assert_eq!(judge.refusal().await.1.code, ReasonCode::Malformed);
    assert!(judge.call(1, 1, Call::Good).await.done.is_some(), "number 1 is still free");
    feed.stop().await;
}

#[tokio::test]
async fn a_client_that_talks_too_fast_is_told_and_one_that_goes_on_is_closed() {
    let feed = TestFeed::start();
    let mut spectator = feed.door().join(Role::Spectator, None).await;
    for _ in 0..30 {
        spectator.say_text(r#"{"type":"clock","t1_us":1}"#).await;
    }
    assert_eq!(spectator.refusal().await.1.code, ReasonCode::TooFast);

    let mut board = feed.door().join(Role::Display, None).await;
    for _ in 0..200 {
        board.say_text("nonsense").await;
    }
    assert_eq!(board.closed().await, Some(1008));
    feed.stop().await;
}
