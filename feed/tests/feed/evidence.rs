//! What stands beside a result and decides nothing, over sockets: a judge's stop by hand, the head judge's, and the deadline
//! of a review. A feed that was stopped has them again.

use fivemark_wire::from_client::{Call, ClientMessage, Role, Ruling, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode};
use fivemark_wire::lane_record::{AskLane, Recorded, Verdict};
use fivemark_wire::view::Status;

use crate::harness::TestFeed;

#[tokio::test]
async fn a_stop_by_hand_and_a_deadline_are_kept_and_decide_nothing() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut judge = feed.door().judge(1).await;
    head.start_heat(1).await;
    for number in 1..=11 {
        judge.call(1, number, Call::Good).await;
    }
    assert_eq!(judge.call(1, 12, Call::ManualStop).await.done, Some(11));
    let count = head.lane(1, |count| count.stop_ms.is_some()).await;
    assert_eq!((count.done, count.status, count.ruled), (11, Status::Racing, false));
    judge.call(1, 13, Call::Good).await;
    let count = head.lane(1, |count| count.status == Status::Finished).await;
    let (stop_ms, official_ms) = (count.stop_ms.unwrap(), count.result.unwrap().official_ms.unwrap());
    assert!(stop_ms <= official_ms, "{stop_ms} {official_ms}");

    head.rule(1, 1, 1, RulingKind::NoteStop { elapsed_ms: 1_200 }).await;
    assert_eq!(
        head.lane(1, |count| count.stop_ms == Some(1_200)).await.result.unwrap().official_ms,
        Some(official_ms)
    );
    head.rule(2, 1, 2, RulingKind::Review { within_min: 20 }).await;
    let until = head.lane(2, |count| count.status == Status::UnderReview).await.review_until_ms;
    for (id, kind) in
        [(3, RulingKind::Review { within_min: 0 }), (4, RulingKind::Review { within_min: 1_441 })]
    {
        let reason = "Appeal".to_owned();
        head.say(&ClientMessage::Ruling(Ruling { id, heat: 1, lane: 2, reason, kind })).await;
        assert_eq!(head.refusal().await.1.code, ReasonCode::OutOfRange);
    }
    head.say(&ClientMessage::AskLane(AskLane { id: 5, heat: 1, lane: 1 })).await;
    let record = head
        .hear_until(|message| if let FeedMessage::LaneRecord(told) = message { Some(told) } else { None })
        .await;
    let noted = record.entries.iter().filter(|entry| match &entry.what {
        Recorded::Call(call) => call.call == Call::ManualStop && call.verdict == Verdict::Noted,
        _ => false,
    });
    assert_eq!(noted.count(), 1);
    let folder = feed.stop().await;

    let feed = TestFeed::start_in(folder, |_| {});
    let picture = feed.door().join(Role::HeadJudge, None).await.snapshot.unwrap();
    assert_eq!((picture.lanes[0].stop_ms, picture.lanes[1].review_until_ms), (Some(1_200), until));
    assert!(until.is_some());
    feed.stop().await;
}
