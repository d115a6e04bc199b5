//! What screens are asked to show, over real sockets: the running order follows the heats, show commands are taken
//! from those who may, applied once, and survive the feed.

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, RulingKind, StatusRuling};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Snapshot, Subject};
use fivemark_wire::show_commands::{BoardCommand, CardAsked, OverlayPart, Show, ShowCommand, StepAsked};
use fivemark_wire::shows::{Card, Duel, Shows};
use fivemark_wire::view::State;
use rustix::process::Signal;

use crate::harness::{Client, Door, Program, TestFeed};

fn show(id: u64, command: ShowCommand) -> ClientMessage {
    ClientMessage::Show(Show { id, command })
}

fn own(steps: Vec<CardAsked>) -> ShowCommand {
    let steps = steps.into_iter().map(|card| StepAsked { for_ms: 5_000, card }).collect();
    ShowCommand::Board(BoardCommand::Own { again: true, steps })
}

fn words(text: &str) -> CardAsked {
    CardAsked::Words { title: "Lunch".to_owned(), text: text.to_owned() }
}

async fn asked(client: &mut Client, id: u64, command: ShowCommand) {
    client.say(&show(id, command)).await;
    assert_eq!(client.ack().await.of, Subject::Show { id });
}

async fn seen(door: Door<'_>) -> Snapshot {
    door.join(Role::Display, None).await.snapshot.unwrap()
}

async fn shows(client: &mut Client) -> Box<Shows> {
    client
        .hear_until(|message| match message {
            FeedMessage::Delta(delta) => delta.shows,
            FeedMessage::Snapshot(snapshot) => Some(snapshot.shows),
            _ => None,
        })
        .await
}

fn kinds(shows: &Shows) -> Vec<&'static str> {
    let kind = |card: &Card| match card {
        Card::Heat => "heat",
        Card::NextHeat(_) => "next heat",
        Card::Results(_) => "results",
        Card::Standings(_) => "standings",
        Card::Event { .. } => "event",
        Card::Words { .. } => "words",
        Card::Countdown { .. } => "countdown",
    };
    shows.board.steps.iter().map(|step| kind(&step.card)).collect()
}

/// Ends the heat on the floor with lane 1 finished in this many units, and waits until it is provisional.
async fn work(door: Door<'_>, head: &mut Client, heat: u32, calls: u32) {
    head.start_heat(heat).await;
    let mut judge = door.judge(1).await;
    for number in 1..=calls {
        judge.call(heat, number, Call::Good).await;
    }
    head.command(9_200 + u64::from(heat), heat, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    judge.close().await;
}

#[tokio::test]
async fn the_running_order_follows_the_heats() {
    let feed = TestFeed::start();
    let door = feed.door();
    let before = seen(door).await;
    assert_eq!(kinds(&before.shows), ["next heat", "heat"], "before the heat: its lanes and its board");
    let Card::NextHeat(next) = &before.shows.board.steps[0].card else { panic!("the lanes come first") };
    assert_eq!(next.heat_name, before.titles.heat_name);
    assert_eq!(next.lanes[0].name, before.entries[0].name);
    let private = next.lanes.iter().find(|lane| lane.bib == "103");
    assert_eq!(private.map(|lane| (&*lane.name, &*lane.family)), Some(("N. A.", "")), "only initials");

    let mut head = door.join(Role::HeadJudge, None).await;
    let mut board = door.join(Role::Display, None).await;
    head.command(1, 1, FloorCommand::OnDeck).await;
    head.command(2, 1, FloorCommand::StartCountdown).await;
    let during = shows(&mut board).await;
    assert_eq!(kinds(&during), ["heat"], "a heat that begins takes the board over");
    head.state(State::Running).await;
    let mut judge = door.judge(1).await;
    for number in 1..=3 {
        judge.call(1, number, Call::Good).await;
    }
    head.command(3, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    let after = shows(&mut board).await;
    let whole = seen(door).await;
    assert_eq!(after, whole.shows, "told as a change and as a whole");
    let of = kinds(&after);
    assert_eq!(of.first(), Some(&"heat"));
    assert_eq!(of[1..3], ["results", "standings"]);
    assert_eq!(of.last(), Some(&"event"));
    let Card::Results(results) = &after.board.steps[1].card else { panic!("results") };
    assert!(!results.official);
    let first = results.rows.iter().find(|row| row.lane == 1).unwrap();
    assert_eq!(first.place, 1);
    let lane = whole.lanes.iter().find(|lane| lane.lane == 1).unwrap();
    assert_eq!(Some(&first.result), lane.result.as_ref().map(|result| &result.text));

    // A ruling changes the cards, and signing makes them official.
    head.rule(50, 1, 1, RulingKind::Status { status: StatusRuling::DidNotFinish }).await;
    let ruled = shows(&mut board).await;
    let Card::Results(results) = &ruled.board.steps[1].card else { panic!("results") };
    let last = results.rows.iter().rfind(|row| row.division == first.division).unwrap();
    assert_eq!((last.lane, last.place, last.result.as_str()), (1, 0, "DNF"), "last, and without a place");
    head.command(4, 1, FloorCommand::Sign).await;
    let signed = shows(&mut board).await;
    let Card::Results(results) = &signed.board.steps[1].card else { panic!("results") };
    assert!(results.official);
    assert_eq!(signed.board.since_ms, after.board.since_ms, "the order goes on where it was");
    feed.stop().await;
}

#[tokio::test]
async fn standings_run_over_all_heats_of_a_workout() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    let heats = seen(door).await.titles.heats;
    work(door, &mut head, heats[0], 3).await;
    head.command(1, heats[0], FloorCommand::Sign).await;
    head.command(2, heats[1], FloorCommand::OpenHeat).await;
    work(door, &mut head, heats[1], 2).await;
    let shows = seen(door).await.shows;
    let standings: Vec<_> = shows
        .board
        .steps
        .iter()
        .filter_map(|step| match &step.card {
            Card::Standings(standings) => Some(standings),
            _ => None,
        })
        .collect();
    let [open, masters] = standings[..] else { panic!("one for each division of the heat: {standings:?}") };
    assert_eq!((&*open.division, open.heats_done, open.heats_of), ("Open", 2, 2));
    // Bib 101 did 3 in the first heat and none in the second: it stands once, with the better one.
    let rows: Vec<_> = open.rows.iter().map(|row| (row.place, &*row.bib, row.provisional)).collect();
    assert_eq!(rows, [(1, "101", false), (2, "102", false), (2, "103", false)]);
    assert_eq!((&*masters.division, masters.heats_done, masters.heats_of), ("Masters 45+", 1, 1));
    let rows: Vec<_> = masters.rows.iter().map(|row| (row.place, &*row.bib, row.provisional)).collect();
    assert_eq!(rows, [(1, "104", true)], "the second heat is not signed");
    feed.stop().await;
}

#[tokio::test]
async fn the_floor_operator_has_a_program_of_their_own() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut operator = door.join(Role::FloorOperator, None).await;
    let mut board = door.join(Role::Display, None).await;
    let countdown = CardAsked::Countdown { title: String::new(), to_ms: None, in_ms: Some(60_000) };
    asked(
        &mut operator,
        1,
        own(vec![words("Back at one."), CardAsked::LastResults { heat: None }, countdown]),
    )
    .await;
    let own_shows = shows(&mut board).await;
    assert_eq!(kinds(&own_shows), ["words", "countdown"], "what is not there yet is left out");
    let Card::Countdown { to_ms, .. } = &own_shows.board.steps[1].card else { panic!("a countdown") };
    assert_eq!(*to_ms, own_shows.board.since_ms + 60_000);
    // Sent again, it changes nothing: the same answer, no other beginning.
    asked(&mut operator, 1, own(vec![CardAsked::Event])).await;
    assert_eq!(seen(door).await.shows, own_shows);

    asked(&mut operator, 2, ShowCommand::Overlay { part: OverlayPart::Ribbon, on: true }).await;
    asked(&mut operator, 3, ShowCommand::Duel { left: 2, right: 1 }).await;
    let overlay = seen(door).await.shows.overlay;
    assert_eq!((overlay.ribbon, overlay.rail, overlay.duel), (true, false, Some(Duel { left: 2, right: 1 })));

    // A heat takes the board over, and gives it back.
    let mut head = door.join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    assert_eq!(kinds(&seen(door).await.shows), ["heat"]);
    head.command(10, 1, FloorCommand::Cancel).await;
    let back = seen(door).await.shows;
    assert_eq!(back.board, own_shows.board, "the program goes on where it would be");
    head.command(11, 7, FloorCommand::OpenHeat).await;
    assert_eq!(seen(door).await.shows.overlay.duel, None, "the duel was of another heat");
    asked(&mut operator, 4, ShowCommand::Board(BoardCommand::Heat)).await;
    assert_eq!(kinds(&seen(door).await.shows), ["heat"]);
    asked(&mut operator, 5, ShowCommand::Board(BoardCommand::Follow)).await;
    assert_eq!(kinds(&seen(door).await.shows), ["next heat", "heat"]);
    feed.stop().await;
}

#[tokio::test]
async fn spectators_and_judges_follow_the_heat_alone() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut alone = Vec::new();
    for (role, lane) in [(Role::Spectator, None), (Role::LaneJudge, Some(1)), (Role::ShadowJudge, Some(1))] {
        let client = door.join(role, lane).await;
        assert_eq!(*client.snapshot.as_ref().unwrap().shows, Shows::default(), "{role:?}");
        alone.push(client);
    }
    let mut told = Vec::new();
    for role in [Role::Display, Role::Announcer, Role::HeadJudge, Role::FloorOperator] {
        let client = door.join(role, None).await;
        assert_eq!(kinds(&client.snapshot.as_ref().unwrap().shows), ["next heat", "heat"], "{role:?}");
        told.push(client);
    }
    let mut operator = told.pop().unwrap();
    asked(&mut operator, 1, own(vec![words("For screens.")])).await;
    let number = seen(door).await.number;
    for client in &mut told {
        assert_eq!(kinds(&*shows(client).await), ["words"]);
    }
    for client in &mut alone {
        let mut last = client.snapshot.as_ref().unwrap().number;
        while last < number {
            let delta = client.delta().await;
            assert_eq!((delta.number, delta.shows), (last + 1, None), "numbers run on without what it shows");
            last = delta.number;
        }
    }
    feed.stop().await;
}

#[tokio::test]
async fn only_the_floor_operator_and_the_head_judge_choose() {
    let feed = TestFeed::start();
    let door = feed.door();
    let part = |on| ShowCommand::Overlay { part: OverlayPart::Rail, on };
    for (role, lane) in [
        (Role::Display, None),
        (Role::Announcer, None),
        (Role::Spectator, None),
        (Role::LaneJudge, Some(1)),
        (Role::ShadowJudge, Some(1)),
    ] {
        let mut client = door.join(role, lane).await;
        client.say(&show(1, part(true))).await;
        let (of, why) = client.refusal().await;
        assert_eq!((of, why.code), (Subject::Show { id: 1 }, ReasonCode::WrongRole), "{role:?}");
    }
    assert!(!seen(door).await.shows.overlay.rail);
    let mut head = door.join(Role::HeadJudge, None).await;
    asked(&mut head, 1, part(true)).await;
    assert!(seen(door).await.shows.overlay.rail);
    feed.stop().await;
}

#[tokio::test]
async fn what_cannot_be_shown_is_refused_and_changes_nothing() {
    let feed = TestFeed::start();
    let door = feed.door();
    let mut operator = door.join(Role::FloorOperator, None).await;
    let before = seen(door).await.shows;
    let unknown = CardAsked::Standings { division: Some("giants".to_owned()) };
    for (id, (command, code)) in (1..).zip([
        (own(vec![CardAsked::Heat; 25]), ReasonCode::OutOfRange),
        (own(vec![]), ReasonCode::OutOfRange),
        (own(vec![words(&"w".repeat(401))]), ReasonCode::OutOfRange),
        (own(vec![CardAsked::NextHeat { heat: Some(999), in_ms: None }]), ReasonCode::UnknownHeat),
        (own(vec![CardAsked::LastResults { heat: Some(999) }]), ReasonCode::UnknownHeat),
        (own(vec![unknown]), ReasonCode::OutOfRange),
        (ShowCommand::Duel { left: 1, right: 40 }, ReasonCode::UnknownLane),
        (ShowCommand::Duel { left: 1, right: 1 }, ReasonCode::OutOfRange),
        (ShowCommand::Duel { left: 0, right: 255 }, ReasonCode::OutOfRange),
    ]) {
        operator.say(&show(id, command)).await;
        let (of, why) = operator.refusal().await;
        assert_eq!((of, why.code), (Subject::Show { id }, code), "{}", why.says);
    }
    operator.say_text(r#"{"type":"show","id":90,"command":{"board":"follow"},"more":1}"#).await;
    assert_eq!(operator.refusal().await.1.code, ReasonCode::Malformed);
    assert_eq!(seen(door).await.shows, before);
    feed.stop().await;
}

#[tokio::test]
async fn what_was_asked_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let feed = Program::serve(folder.path(), &[]);
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    work(feed.door(), &mut head, 1, 3).await;
    asked(&mut head, 40, ShowCommand::Overlay { part: OverlayPart::Corner, on: true }).await;
    let standings = CardAsked::Standings { division: None };
    asked(&mut head, 41, own(vec![words("Two\nlines."), CardAsked::LastResults { heat: None }, standings]))
        .await;
    let before = seen(feed.door()).await.shows;
    assert_eq!(kinds(&before)[..3], ["words", "results", "standings"]);
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    assert_eq!(seen(feed.door()).await.shows, before, "cards, order and their times are the same");
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    asked(&mut head, 41, ShowCommand::Board(BoardCommand::Follow)).await;
    assert_eq!(seen(feed.door()).await.shows, before, "sent again, it applies once");
    asked(&mut head, 42, ShowCommand::Board(BoardCommand::Follow)).await;
    let followed = seen(feed.door()).await.shows;
    assert_eq!(kinds(&followed)[..2], ["heat", "results"]);
    feed.signal(Signal::KILL);
    drop(feed);

    let feed = Program::serve(folder.path(), &[]);
    let again = seen(feed.door()).await.shows;
    assert_eq!(again.board, followed.board, "the moment at which the heat became provisional is the same");
}
