//! A heat over the socket, from the floor's first command to the signature, and what counts in it.

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};
use fivemark_wire::view::{State, Status};

use crate::harness::TestFeed;

#[tokio::test]
async fn a_whole_small_heat() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    let (mut one, mut two, mut three) = (door.judge(1).await, door.judge(2).await, door.judge(3).await);
    head.start_heat(1).await;
    board.state(State::Running).await;

    let undone = three.call(1, 1, Call::Good).await;
    assert_eq!(undone.done, Some(1));
    assert_eq!(three.call(1, 2, Call::Undo).await.done, Some(0));
    let mut no_rep = two.tally(1, 1, Call::NoRep);
    no_rep.fault = Some("depth".to_owned());
    two.say(&ClientMessage::Tally(no_rep)).await;
    assert_eq!(two.ack().await.done, Some(0));
    for number in 2..=5 {
        assert_eq!(two.call(1, number, Call::Good).await.done, Some(number - 1));
    }
    for number in 1..=12 {
        let ack = one.call(1, number, Call::Good).await;
        assert_eq!((ack.done, ack.not_counted), (Some(number), None));
    }

    let lane = board.lane(1, |lane| lane.status == Status::Finished).await;
    assert_eq!((lane.done, lane.score, lane.to_go), (12, 12, None));
    let official_ms = lane.result.unwrap().official_ms.unwrap();
    assert_eq!(official_ms % 100, 0, "the resolution is a tenth");

    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    head.rule(2, 1, 2, RulingKind::SetCount { done: 6, finish_ms: None }).await;
    let ruled = head.lane(2, |lane| lane.ruled).await;
    assert_eq!((ruled.done, ruled.no_reps), (6, 1));
    head.command(3, 1, FloorCommand::Sign).await;
    board.state(State::Signed).await;

    let late = door.join(Role::Display, None).await.snapshot.unwrap();
    let places: Vec<(u8, u8)> = late.order.iter().map(|row| (row.lane, row.place)).collect();
    assert_eq!(places, [(1, 1), (2, 2), (3, 3), (4, 0)]);
    let texts: Vec<Option<String>> =
        late.lanes.iter().map(|lane| lane.result.as_ref().map(|result| result.text.clone())).collect();
    // Work left, as this workout shows a capped lane: 12 − 6 and 12 − 0.
    assert_eq!(texts[1..], [Some("cap + 6".to_owned()), Some("cap + 12".to_owned()), None]);
    feed.stop().await;
}

#[tokio::test]
async fn deltas_run_on_by_one_and_add_up_to_the_snapshot() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut board = door.join(Role::Display, None).await;
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    for number in 1..=12 {
        judge.call(1, number, Call::Good).await;
    }
    let mut kept = board.snapshot.clone().unwrap();
    for message in board.drain().await {
        let FeedMessage::Delta(delta) = message else { panic!("not a delta: {message:?}") };
        assert_eq!(delta.number, kept.number + 1);
        kept.number = delta.number;
        kept.heat = delta.heat.unwrap_or(kept.heat);
        for lane in delta.lanes {
            kept.lanes.iter_mut().find(|known| known.lane == lane.lane).unwrap().clone_from(&lane);
        }
        for row in delta.order {
            *kept.order.iter_mut().find(|known| known.lane == row.lane).unwrap() = row;
        }
        kept.shows = delta.shows.unwrap_or(kept.shows);
    }
    let fresh = door.join(Role::Display, None).await.snapshot.unwrap();
    kept.at_ms = fresh.at_ms;
    assert_eq!(kept, fresh);
    feed.stop().await;
}

#[tokio::test]
async fn calls_outside_the_running_heat_are_recorded_and_told() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    let code = |ack: fivemark_wire::from_feed::Ack| ack.not_counted.map(|why| why.code);
    head.command(1, 8, FloorCommand::OpenHeat).await;

    assert_eq!(code(judge.call(8, 1, Call::Good).await), Some(ReasonCode::BeforeStart));
    head.start_heat(8).await;
    assert_eq!(code(judge.call(8, 2, Call::Good).await), None);
    let mut unknown_fault = judge.tally(8, 3, Call::NoRep);
    unknown_fault.fault = Some("posture".to_owned());
    judge.say(&ClientMessage::Tally(unknown_fault)).await;
    assert_eq!(code(judge.ack().await), Some(ReasonCode::UnknownFault));
    let mut other_run = judge.tally(8, 4, Call::Good);
    other_run.run = 9;
    judge.say(&ClientMessage::Tally(other_run)).await;
    assert_eq!(code(judge.ack().await), Some(ReasonCode::WrongRun));

    // The cap of 30 s takes 3 s here.
    judge.state(State::TimeCalled).await;
    let late = judge.call(8, 5, Call::Good).await;
    assert_eq!((late.done, code(late)), (Some(1), Some(ReasonCode::AfterCap)));

    let elsewhere = judge.tally(7, 6, Call::Good);
    judge.say(&ClientMessage::Tally(elsewhere)).await;
    assert_eq!(judge.refusal().await.1.code, ReasonCode::UnknownHeat, "heat 7 was never opened");
    feed.stop().await;
}

#[tokio::test]
async fn a_call_applies_once_and_a_hole_is_asked_for() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    let first = judge.call(1, 1, Call::Good).await;
    judge.call(1, 2, Call::Good).await;
    assert_eq!(judge.call(1, 1, Call::Good).await, first, "a replay gets the first answer again");

    judge.say(&ClientMessage::Tally(judge.tally(1, 5, Call::Good))).await;
    let gap =
        judge.hear_until(|message| if let FeedMessage::Gap(gap) = message { Some(gap) } else { None }).await;
    assert_eq!((gap.epoch, gap.from), (judge.epoch, 3));
    assert_eq!(judge.call(1, 3, Call::Good).await.done, Some(3));
    feed.stop().await;
}

#[tokio::test]
async fn rulings_and_floor_commands_apply_once_by_their_id() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    let first = head.command(9_001, 1, FloorCommand::OnDeck).await;
    assert_eq!(first.of, Subject::Floor { id: 9_001 }, "sent again, it is acknowledged and does nothing");

    let mut judge = door.judge(1).await;
    for number in 1..=4 {
        judge.call(1, number, Call::Good).await;
    }
    for _ in 0..3 {
        head.rule(5, 1, 1, RulingKind::UnitPenalty { take: 2 }).await;
    }
    let seen = door.join(Role::Display, None).await.snapshot.unwrap();
    assert_eq!((seen.lanes[0].done, seen.lanes[0].score), (4, 2));
    assert_eq!(seen.heat.state, State::Running);
    feed.stop().await;
}

#[tokio::test]
async fn a_shadow_judge_is_recorded_and_does_not_count() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    let mut shadow = door.join(Role::ShadowJudge, Some(1)).await;
    head.start_heat(1).await;
    judge.call(1, 1, Call::Good).await;
    for number in 1..=3 {
        shadow.call(1, number, Call::Good).await;
    }
    assert_eq!(judge.call(1, 2, Call::Good).await.done, Some(2));
    feed.stop().await;
}

#[tokio::test]
async fn another_heat_is_opened_with_a_snapshot_for_everybody() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    let mut judge = door.judge(2).await;
    head.start_heat(1).await;
    head.say_text(r#"{"type":"floor","id":1,"heat":2,"command":"open_heat"}"#).await;
    assert_eq!(head.refusal().await.1.code, ReasonCode::NotInThisState);
    head.command(2, 1, FloorCommand::Recall).await;
    head.say_text(r#"{"type":"floor","id":3,"heat":99,"command":"open_heat"}"#).await;
    assert_eq!(head.refusal().await.1.code, ReasonCode::UnknownHeat);

    head.command(4, 2, FloorCommand::OpenHeat).await;
    let snapshot = |message| match message {
        FeedMessage::Snapshot(snapshot) if snapshot.titles.heat == 2 => Some(snapshot),
        _ => None,
    };
    let seen = board.hear_until(snapshot).await;
    assert_eq!(seen.titles.heat_name, "Heat 2, mixed");
    assert_eq!(seen.titles.divisions, ["Open", "Masters 45+"]);
    // 6 + 6 units for one division, 4 + 5 for the other.
    assert_eq!(seen.courses.iter().map(|course| course.units).collect::<Vec<_>>(), [12, 9]);
    judge.hear_until(snapshot).await;
    let present = judge.lane(2, |lane| lane.judge_on).await;
    assert!(present.judge_on, "a judge who was there is there in the new heat");

    head.start_heat(2).await;
    assert_eq!(judge.call(2, 1, Call::Good).await.done, Some(1));
    feed.stop().await;
}
