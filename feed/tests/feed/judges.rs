//! How the judges call, as the head judge alone is told it; shadow judges beside lane judges; and what is flagged on lanes.

use std::time::Duration;

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, Tally};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};
use fivemark_wire::judges::{AskJudges, Flag, JudgeName, Judges, LaneFlag};
use fivemark_wire::phones::Phones;

use crate::harness::{Client, TestFeed};

async fn ask(head: &mut Client) -> Judges {
    head.say(&ClientMessage::AskJudges(AskJudges { id: 60 })).await;
    let answer = |message| if let FeedMessage::Judges(judges) = message { Some(judges) } else { None };
    let judges = head.hear_until(answer).await;
    assert_eq!(judges.id, 60);
    judges
}

/// A feed whose heat time is real time, so that a slow machine does not part what belongs together.
fn start() -> TestFeed {
    TestFeed::start_with(|config| config.speed_milli = 1_000, |journal| Box::new(journal))
}

/// A moment of feed time, milliseconds, as a client that has exchanged clocks knows it.
fn now_ms(client: &Client) -> i64 {
    (client.mono_us() + client.estimator.best().unwrap().add_us) / 1_000
}

/// A call that was tapped at a moment of feed time.
async fn tap(client: &mut Client, at_ms: i64, number: u32, call: Call) {
    let fault = (call == Call::NoRep).then(|| "depth".to_owned());
    let stamp_ms = at_ms - client.estimator.best().unwrap().add_us / 1_000;
    let tally = client.tally(1, number, call);
    client.say(&ClientMessage::Tally(Tally { stamp_ms, fault, ..tally })).await;
    assert!(client.ack().await.not_counted.is_none());
}

fn named(name: &str) -> JudgeName {
    JudgeName::Name(name.to_owned())
}

#[tokio::test]
async fn the_head_judge_sees_how_the_judges_call_and_a_restart_changes_nothing() {
    let feed = start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let nothing = ask(&mut head).await;
    assert_eq!((nothing.heats, nothing.rates.len(), nothing.agreement.len()), (0, 0, 0));
    let (mut one, mut two) = (door.judge(1).await, door.judge(2).await);
    let mut shadow = door.join(Role::ShadowJudge, Some(1)).await;
    shadow.exchange_clocks().await;
    head.start_heat(1).await;

    let go_ms = now_ms(&one);
    tokio::time::sleep(Duration::from_millis(500)).await;
    let calls = [(1, Call::Good), (2, Call::Good), (3, Call::Good), (4, Call::NoRep)];
    for (number, call) in calls {
        let at_ms = go_ms + i64::from(number) * 100;
        tap(&mut shadow, at_ms + 10, number, call).await;
        tap(&mut one, at_ms, number, call).await;
    }
    tap(&mut two, go_ms + 100, 1, Call::NoRep).await;
    let told = head.lane(1, |lane| lane.no_reps == 1).await;
    assert_eq!((told.done, told.no_reps), (3, 1), "a shadow's calls change no count");

    let judges = ask(&mut head).await;
    assert_eq!((judges.heats, judges.left_out, judges.comparisons, judges.window_ms), (1, 0, 4, 1_500));
    let field = &judges.field[0];
    assert_eq!((field.movement.as_str(), field.judges, field.attempts, field.no_reps), ("Thruster", 2, 5, 2));
    let each: Vec<_> =
        judges.rates.iter().map(|rate| (rate.judge.clone(), rate.attempts, rate.no_reps)).collect();
    assert_eq!(each, [(named("Bo Tamiya"), 1, 1), (named("Sanna Krueger"), 4, 1)]);
    let agreement = &judges.agreement[0];
    assert_eq!((agreement.movement.as_str(), agreement.decisions, agreement.same), ("Thruster", 4, 4));
    assert_eq!(agreement.kappa.map(|kappa| (kappa.ppm, kappa.interval)), Some((1_000_000, None)));

    let folder = feed.stop().await;
    let feed = TestFeed::start_in(folder, |_| {});
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    assert_eq!(ask(&mut head).await, judges);
    feed.stop().await;
}

#[tokio::test]
async fn nobody_but_the_head_judge_is_told_how_the_judges_call() {
    let feed = TestFeed::start();
    let door = feed.door();
    for (role, lane) in [
        (Role::FloorOperator, None),
        (Role::Announcer, None),
        (Role::Display, None),
        (Role::LaneJudge, Some(1)),
        (Role::ShadowJudge, Some(1)),
    ] {
        let mut client = door.join(role, lane).await;
        client.say(&ClientMessage::AskJudges(AskJudges { id: 61 })).await;
        let (of, why) = client.refusal().await;
        assert_eq!((of, why.code), (Subject::AskJudges { id: 61 }, ReasonCode::WrongRole), "{role:?}");
    }
    feed.stop().await;
}

#[tokio::test]
async fn a_signed_heat_is_counted_once_and_a_reopened_one_anew() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    judge.call(1, 1, Call::Good).await;
    judge.call(1, 2, Call::NoRep).await;
    for (id, command) in [(1, FloorCommand::CallTime), (2, FloorCommand::Close), (3, FloorCommand::Sign)] {
        head.command(id, 1, command).await;
    }
    let signed = ask(&mut head).await;
    assert_eq!((signed.heats, signed.rates[0].attempts, signed.rates[0].no_reps), (1, 2, 1));
    assert_eq!(ask(&mut head).await, signed);
    head.command(4, 1, FloorCommand::Reopen { reason: "An appeal".to_owned() }).await;
    head.command(5, 1, FloorCommand::Rerun { reason: "The rig gave way".to_owned() }).await;
    let again = ask(&mut head).await;
    assert_eq!((again.heats, again.rates.len()), (0, 0), "the run before scores nothing");
    feed.stop().await;
}

/// What is flagged, once there is something.
async fn flags(official: &mut Client, wanted: impl Fn(&[LaneFlag]) -> bool) -> Vec<LaneFlag> {
    official
        .hear_until(|message| match message {
            FeedMessage::Phones(Phones { flags, .. }) if wanted(&flags) => Some(flags),
            _ => None,
        })
        .await
}

#[tokio::test]
async fn officials_are_told_what_is_flagged_on_a_lane() {
    let feed = start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut operator = door.join(Role::FloorOperator, None).await;
    let (mut fast, mut even) = (door.judge(1).await, door.judge(2).await);
    head.start_heat(1).await;
    let go_ms = now_ms(&fast);
    tokio::time::sleep(Duration::from_millis(2_200)).await;
    // Thrusters are expected to take 2.5 s: on one lane they take a tenth of a second each, on the other 0.7 s.
    for number in 1..=3 {
        let index = i64::from(number);
        tap(&mut fast, go_ms + index * 100, number, Call::Good).await;
        tap(&mut even, go_ms + index * 700, number, Call::Good).await;
    }
    for official in [&mut head, &mut operator] {
        let told = flags(official, |flags| !flags.is_empty()).await;
        let Flag::TooFast { times, expected_ms, .. } = told[0].what else { panic!("{told:?}") };
        assert_eq!((told[0].lane, expected_ms, told.len()), (1, 2_500, 1));
        assert!(times >= 1, "{told:?}");
    }
    head.command(1, 1, FloorCommand::CallTime).await;
    head.command(2, 1, FloorCommand::Close).await;
    head.command(3, 1, FloorCommand::Sign).await;
    flags(&mut head, <[LaneFlag]>::is_empty).await;
    feed.stop().await;
}

#[tokio::test]
async fn a_phone_that_is_long_off_the_line_is_flagged_until_it_comes_back() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let judge = door.judge(2).await;
    head.start_heat(1).await;
    judge.close().await;
    // Ten heat seconds pass in a real one, and thirty are waited.
    let told = flags(&mut head, |flags| !flags.is_empty()).await;
    assert!(matches!(told[..], [LaneFlag { lane: 2, what: Flag::OffLine { .. } }]), "{told:?}");
    let back = door.judge(2).await;
    flags(&mut head, <[LaneFlag]>::is_empty).await;
    back.close().await;
    feed.stop().await;
}
