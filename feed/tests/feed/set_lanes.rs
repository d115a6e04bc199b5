//! Lanes set before the start, over sockets: who may, what is refused and in which words, what everybody is told, and that
//! a feed that was killed has the same lanes again.

use fivemark_wire::from_client::{Call, ClientMessage, Floor, FloorCommand, Role};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Snapshot};
use fivemark_wire::lane_record::{AskLane, Recorded};
use fivemark_wire::lanes::{AskAthletes, Athletes, LaneAthlete};
use fivemark_wire::show_commands::{BoardCommand, CardAsked, Show, ShowCommand, StepAsked};
use fivemark_wire::shows::{Card, Standings};
use fivemark_wire::view::{State, Status};
use rustix::process::Signal;

use crate::harness::{Client, Program, TestFeed};

fn command(lanes: &[(u8, &str)], reason: &str) -> FloorCommand {
    let bib = |bib: &str| Some(bib.to_owned()).filter(|bib| !bib.is_empty());
    let lanes = lanes.iter().map(|(lane, of)| LaneAthlete { lane: *lane, bib: bib(of) }).collect();
    FloorCommand::SetLanes { lanes, reason: reason.to_owned() }
}

fn set(id: u64, heat: u32, lanes: &[(u8, &str)]) -> ClientMessage {
    ClientMessage::Floor(Floor { id, heat, command: command(lanes, "Drawn anew") })
}

async fn refused(client: &mut Client, said: &ClientMessage) -> (ReasonCode, String) {
    client.say(said).await;
    let (_, why) = client.refusal().await;
    (why.code, why.says)
}

async fn athletes(client: &mut Client, heat: u32, find: &str) -> Athletes {
    client.say(&ClientMessage::AskAthletes(AskAthletes { id: 1, heat, find: find.to_owned() })).await;
    client
        .hear_until(|message| if let FeedMessage::Athletes(told) = message { Some(told) } else { None })
        .await
}

fn bibs(picture: &Snapshot) -> Vec<&str> {
    picture.entries.iter().map(|entry| entry.bib.as_str()).collect()
}

#[tokio::test]
async fn lanes_are_swapped_filled_and_emptied_and_a_killed_feed_has_them_so() {
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let mut floor = feed.door().join(Role::FloorOperator, None).await;
    let mut judge = feed.door().judge(1).await;
    // 101 and 102 change, 103 is hurt, and a master comes in on the empty lane: another course on the floor.
    let lanes = [(1, "102"), (2, "101"), (3, ""), (4, "104")];
    floor.command(1, 1, command(&lanes, "Drawn anew")).await;
    let told = judge.snapshot_again().await;
    assert_eq!(bibs(&told), ["102", "101", "", "104"]);
    assert_eq!(told.titles.divisions, ["Open", "Masters 45+"]);
    assert_eq!([0, 3].map(|lane| told.courses[usize::from(told.entries[lane].course)].units), [12, 9]);
    let status: Vec<Status> = told.lanes.iter().map(|lane| lane.status).collect();
    assert_eq!(status, [Status::Racing, Status::Racing, Status::Empty, Status::Racing]);
    assert!(told.lanes[0].judge_on, "the phone stayed on lane 1");
    // Sent again, it is done once, and answered as before.
    floor.command(1, 1, command(&lanes, "Drawn anew")).await;
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    assert_eq!(bibs(&head.snapshot.clone().unwrap()), ["102", "101", "", "104"]);
    head.say(&ClientMessage::AskLane(AskLane { id: 3, heat: 1, lane: 3 })).await;
    let record = head
        .hear_until(|message| if let FeedMessage::LaneRecord(told) = message { Some(told) } else { None })
        .await;
    let Recorded::Heat(remark) = &record.entries[0].what else { panic!("{record:?}") };
    let says = "lanes were set (floor operator: lane 1 has 102 (was 101), lane 2 has 101 (was 102), \
                lane 3 is empty (was 103), lane 4 has 104 (was empty))";
    assert_eq!((remark.says.as_str(), remark.reason.as_str()), (says, "Drawn anew"));
    assert_eq!(record.entries.len(), 1, "once");
    head.start_heat(1).await;
    let mut judge = feed.door().judge(4).await;
    assert_eq!(judge.call(1, 1, Call::Good).await.done, Some(1));
    let running = refused(&mut head, &set(2, 1, &[(3, "103")])).await;
    assert_eq!(running.0, ReasonCode::NotInThisState);
    assert_eq!(
        running.1,
        "Lanes are set before the start, and the heat is running. Rule on the lane instead, or run the heat again."
    );
}

#[tokio::test]
async fn what_cannot_be_is_refused_in_words() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut judge = feed.door().judge(1).await;
    let cases = [
        (vec![(9, "101")], ReasonCode::UnknownLane, "Heat 1 has no lane 9. Name its own lanes."),
        (
            vec![(4, "777")],
            ReasonCode::UnknownAthlete,
            "No athlete of the competition has bib 777. Check the bib.",
        ),
        (
            vec![(4, "101")],
            ReasonCode::StandsTwice,
            "Athlete 101 would stand on lane 1 and on lane 4. Say who is to stand on each of the two.",
        ),
        (vec![(4, "104"), (4, "")], ReasonCode::OutOfRange, "Lane 4 is named twice. Name each lane once."),
        (
            vec![(1, ""), (2, ""), (3, "")],
            ReasonCode::OutOfRange,
            "Nobody would stand in heat 1. Leave one athlete at least, or go on to another heat.",
        ),
        (vec![(1, "101"), (4, "")], ReasonCode::OutOfRange, "The lanes are set so already."),
        (vec![], ReasonCode::OutOfRange, "lanes must be 1 to 40."),
    ];
    for (id, (lanes, code, says)) in (1..).zip(cases) {
        assert_eq!(refused(&mut head, &set(id, 1, &lanes)).await, (code, says.to_owned()));
    }
    let unopened = refused(&mut head, &set(20, 2, &[(1, "101")])).await;
    assert_eq!(unopened.0, ReasonCode::UnknownHeat);
    assert_eq!(refused(&mut judge, &set(1, 1, &[(1, "102")])).await.0, ReasonCode::WrongRole);
    let unsaid = Floor { id: 21, heat: 1, command: command(&[(4, "104")], " ") };
    assert_eq!(refused(&mut head, &ClientMessage::Floor(unsaid)).await.0, ReasonCode::OutOfRange);
    let ask = ClientMessage::AskAthletes(AskAthletes { id: 1, heat: 1, find: String::new() });
    assert_eq!(refused(&mut judge, &ask).await.0, ReasonCode::WrongRole);
    assert_eq!(
        bibs(&feed.door().join(Role::HeadJudge, None).await.snapshot.unwrap()),
        ["101", "102", "103", ""]
    );
    feed.stop().await;
}

#[tokio::test]
async fn athletes_who_could_come_in_are_found() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let found =
        |told: &Athletes| told.athletes.iter().map(|of| (of.bib.clone(), of.scratched)).collect::<Vec<_>>();
    let of =
        |list: &[(&str, bool)]| list.iter().map(|(bib, out)| ((*bib).to_owned(), *out)).collect::<Vec<_>>();
    let told = athletes(&mut head, 1, "").await;
    assert_eq!((found(&told), told.more), (of(&[("104", false)]), false));
    assert_eq!(
        (told.athletes[0].name.as_str(), told.athletes[0].division.as_str()),
        ("Pell Okonkwo-Lindqvist", "Masters 45+")
    );
    head.command(1, 1, command(&[(3, ""), (1, "")], "Both are hurt")).await;
    assert_eq!(found(&athletes(&mut head, 1, "").await), of(&[("101", true), ("103", true), ("104", false)]));
    assert_eq!(found(&athletes(&mut head, 1, "QUARRY").await), of(&[("101", true)]));
    assert_eq!(found(&athletes(&mut head, 1, "nobody").await), of(&[]));
    // Back in on another lane, somebody is not out any more.
    head.command(2, 1, command(&[(4, "103")], "Fit again")).await;
    assert_eq!(found(&athletes(&mut head, 1, "").await), of(&[("101", true), ("104", false)]));
    feed.stop().await;
}

/// The workout's standings in the division of open athletes, as a display is told them.
fn standings_of(picture: &Snapshot) -> Standings {
    let mut cards = picture.shows.board.steps.iter().filter_map(|step| match &step.card {
        Card::Standings(standings) if standings.division == "Open" => Some(standings.clone()),
        _ => None,
    });
    cards.next_back().unwrap()
}

#[tokio::test]
async fn who_was_taken_out_did_not_start() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.command(1, 1, command(&[(1, ""), (3, ""), (2, "104"), (4, "102")], "Two are hurt")).await;
    head.start_heat(1).await;
    head.command(2, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    let card = CardAsked::Standings { division: Some("open".to_owned()) };
    let own =
        ShowCommand::Board(BoardCommand::Own { again: false, steps: vec![StepAsked { for_ms: 0, card }] });
    head.say(&ClientMessage::Show(Show { id: 9, command: own })).await;
    head.ack().await;
    let display = feed.door().join(Role::Display, None).await;
    let standings = standings_of(display.snapshot.as_ref().unwrap());
    let rows: Vec<_> =
        standings.rows.iter().map(|row| (row.bib.as_str(), row.place, row.result.as_str())).collect();
    assert_eq!(rows, [("102", 1, "cap + 12"), ("101", 0, "DNS"), ("103", 0, "DNS")]);
    feed.stop().await;
}
