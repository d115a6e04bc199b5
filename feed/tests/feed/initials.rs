//! Initials under results, the signing that waits for them, and the record behind a lane's numbers.

use fivemark_wire::from_client::{Call, ClientMessage, Floor, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Subject};
use fivemark_wire::lane_record::{AskLane, Confirm, LaneRecord, Recorded, Verdict};
use fivemark_wire::view::State;

use crate::harness::{Client, TestFeed, data};

/// A feed whose competition wants initials, as one does that says nothing of them.
fn start() -> TestFeed {
    start_in(tempfile::tempdir().unwrap())
}

fn start_in(folder: tempfile::TempDir) -> TestFeed {
    let competition = std::fs::read_to_string(data("competition.toml")).unwrap();
    assert!(competition.contains("initials = false\n"));
    let file = folder.path().join("signed.toml");
    std::fs::write(&file, competition.replace("initials = false\n", "")).unwrap();
    TestFeed::start_in(folder, |config| config.competition = file)
}

fn confirm(id: u64, lane: u8, result: &str, reason: Option<&str>) -> ClientMessage {
    ClientMessage::Confirm(Confirm {
        id,
        heat: 1,
        lane,
        run: 1,
        result: result.to_owned(),
        athlete: "IBO".to_owned(),
        judge: "Ж".to_owned(),
        reason: reason.map(str::to_owned),
    })
}

async fn refused(client: &mut Client, message: &ClientMessage) -> ReasonCode {
    client.say(message).await;
    client.refusal().await.1.code
}

async fn record(official: &mut Client, lane: u8) -> LaneRecord {
    official.say(&ClientMessage::AskLane(AskLane { id: 40, heat: 1, lane })).await;
    let answer = |message| if let FeedMessage::LaneRecord(record) = message { Some(record) } else { None };
    let record = official.hear_until(answer).await;
    assert_eq!((record.id, record.heat, record.lane), (40, 1, lane));
    record
}

#[tokio::test]
async fn a_heat_is_signed_when_its_results_are_confirmed_and_a_restart_knows_it() {
    let feed = start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    let mut judge = door.judge(1).await;
    head.start_heat(1).await;
    assert_eq!(refused(&mut judge, &confirm(1, 1, "", None)).await, ReasonCode::NotInThisState);
    judge.call(1, 1, Call::Good).await;
    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    let sign = |id| ClientMessage::Floor(Floor { id, heat: 1, command: FloorCommand::Sign });
    assert_eq!(refused(&mut head, &sign(2)).await, ReasonCode::NotConfirmed);

    assert_eq!(refused(&mut judge, &confirm(2, 1, "cap + 12", None)).await, ReasonCode::ResultChanged);
    assert_eq!(refused(&mut judge, &confirm(3, 2, "cap + 12", None)).await, ReasonCode::NotYourLane);
    judge.say(&confirm(4, 1, "cap + 11", None)).await;
    assert_eq!(judge.ack().await.of, Subject::Confirm { id: 4 });
    board.lane(1, |lane| lane.confirmed).await;
    assert_eq!(refused(&mut head, &confirm(3, 2, "cap + 12", None)).await, ReasonCode::OutOfRange, "why?");
    for lane in [2, 3] {
        head.say(&confirm(10 + u64::from(lane), lane, "cap + 12", Some("Initials on the card"))).await;
        head.ack().await;
    }
    // A ruling makes it another result, and the initials are wanted again.
    head.rule(20, 1, 1, RulingKind::UnitPenalty { take: 1 }).await;
    board.lane(1, |lane| !lane.confirmed).await;
    assert_eq!(refused(&mut head, &sign(21)).await, ReasonCode::NotConfirmed);
    judge.say(&confirm(5, 1, "cap + 12", None)).await;
    judge.ack().await;
    let folder = feed.stop().await;

    let feed = start_in(folder);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let shown = head.snapshot.clone().unwrap();
    let confirmed: Vec<bool> = shown.lanes.iter().map(|lane| lane.confirmed).collect();
    assert_eq!(confirmed, [true, true, true, false], "nobody stands on lane 4");
    head.command(22, 1, FloorCommand::Sign).await;
    head.state(State::Signed).await;
    feed.stop().await;
}

#[tokio::test]
async fn officials_see_the_calls_and_rulings_behind_a_number() {
    let feed = start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let mut judge = door.judge(1).await;
    let early = judge.call(1, 1, Call::Good).await;
    assert!(early.not_counted.is_some());
    head.start_heat(1).await;
    judge.call(1, 2, Call::Good).await;
    let mut no_rep = judge.tally(1, 3, Call::NoRep);
    no_rep.fault = Some("depth".to_owned());
    judge.say(&ClientMessage::Tally(no_rep)).await;
    judge.ack().await;
    judge.call(1, 4, Call::Good).await;
    judge.call(1, 5, Call::Undo).await;
    head.rule(1, 1, 1, RulingKind::AddUnits { add: 2 }).await;
    head.command(2, 1, FloorCommand::CallTime).await;
    judge.state(State::Provisional).await;
    judge.say(&confirm(1, 1, "cap + 9", None)).await;
    judge.ack().await;

    let told = record(&mut head, 1).await;
    assert_eq!((told.judge.as_str(), told.left_out), ("Sanna Krueger", 0));
    let verdicts: Vec<_> = told
        .entries
        .iter()
        .filter_map(|entry| match &entry.what {
            Recorded::Call(call) => Some((call.number, call.verdict.clone(), call.done)),
            _ => None,
        })
        .collect();
    assert!(matches!(&verdicts[0].1, Verdict::NotCounted(why) if why.code == ReasonCode::BeforeStart));
    assert_eq!(told.entries[0].heat_ms, None, "before the start there is no heat time");
    assert_eq!(
        verdicts[1..],
        [
            (2, Verdict::Counted { units: 1 }, Some(1)),
            (3, Verdict::Counted { units: 0 }, Some(1)),
            (4, Verdict::TakenBack { epoch: 77, number: 5 }, Some(1)),
            (5, Verdict::Counted { units: 0 }, Some(1)),
        ]
    );
    let [.., ruling, initials] = told.entries.as_slice() else { panic!("{told:?}") };
    assert!(ruling.heat_ms.is_some() && ruling.at_ms == ruling.received_ms);
    let Recorded::Ruling(ruling) = &ruling.what else { panic!("{ruling:?}") };
    assert_eq!((ruling.before.as_str(), ruling.after.as_str()), ("1 of 12", "3 of 12"));
    let Recorded::Initials(initials) = &initials.what else { panic!("{initials:?}") };
    assert_eq!((initials.athlete.as_str(), initials.by.as_str()), ("IBO", "lane judge"));

    let ask = |heat, lane| ClientMessage::AskLane(AskLane { id: 41, heat, lane });
    let mut announcer = door.join(Role::Announcer, None).await;
    assert_eq!(refused(&mut announcer, &ask(1, 1)).await, ReasonCode::WrongRole);
    assert_eq!(refused(&mut head, &ask(1, 9)).await, ReasonCode::UnknownLane);
    assert_eq!(refused(&mut head, &ask(8, 1)).await, ReasonCode::UnknownHeat);
    feed.stop().await;
}

#[tokio::test]
async fn a_long_record_keeps_its_newest_entries_and_says_how_many_are_left_out() {
    const CALLS: u32 = 1_500;
    let feed = start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut judge = feed.door().judge(1).await;
    // In shares that fit a judge's burst.
    for first in (1..=CALLS).step_by(100) {
        for number in first..first + 100 {
            judge.say(&ClientMessage::Tally(judge.tally(1, number, Call::NoRep))).await;
        }
        for _ in 0..100 {
            judge.hear_until(|message| matches!(message, FeedMessage::Ack(_)).then_some(())).await;
        }
        tokio::time::sleep(std::time::Duration::from_millis(1_800)).await;
    }
    let told = record(&mut head, 1).await;
    assert!(told.left_out > 0 && told.left_out < CALLS, "{}", told.left_out);
    assert_eq!(told.entries.len(), usize::try_from(CALLS - told.left_out).unwrap());
    let Some(Recorded::Call(last)) = told.entries.last().map(|entry| &entry.what) else { panic!() };
    assert_eq!(last.number, CALLS);
    feed.stop().await;
}
