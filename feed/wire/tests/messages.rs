//! Every kind of message, as an example: it survives the way to text and back, and holds against the published
//! schema, read by a JSON Schema validator that is not ours (draft 2020-12).

// Helpers of tests: a value that is not there is a failed test.
#![allow(clippy::unwrap_used)]

use fivemark_wire::from_client::{
    Call, ClientMessage, ClockRequest, Floor, FloorCommand, Join, Offset, PageClock, Resume, Role, Ruling,
    RulingKind, StatusRuling, Tally,
};
use fivemark_wire::from_feed::{
    Ack, ClockReply, Delta, FeedMessage, Gap, Reason, ReasonCode, Refusal, Snapshot, Subject, Welcome,
};
use fivemark_wire::lane_record::{AskLane, Confirm};
use fivemark_wire::lanes::{AskAthletes, LaneAthlete};
use fivemark_wire::papers::AskPapers;
use fivemark_wire::phones::{AskPins, HandOver, LaneHold, Phone};
use fivemark_wire::schema::schema_json;
use fivemark_wire::show_commands::{Show, ShowCommand};
use fivemark_wire::shows::{AskStandings, Card, FloorStandings, NextHeat, Shows};
use fivemark_wire::view::{Clock, Course, HeatState, LaneCount, NoRep, OrderRow, RulingNote, Scoring};
use serde_json::{Value, json};

#[path = "samples/heat.rs"]
mod heat;
#[path = "samples/judges.rs"]
mod judges;
#[path = "samples/papers.rs"]
mod papers;
#[path = "samples/phones.rs"]
mod phones;
#[path = "samples/shows.rs"]
mod samples;

use heat::{heat_state, lane_count, snapshot};
use samples::{show_commands, shows, standings};

/// Who comes next, as a card has it.
fn next_heat() -> Option<Box<NextHeat>> {
    shows().board.steps.into_iter().find_map(|step| match step.card {
        Card::NextHeat(next) => Some(Box::new(next)),
        _ => None,
    })
}

fn validator(direction: &str) -> jsonschema::Validator {
    let whole: Value = serde_json::from_str(&schema_json()).unwrap();
    let mut part = whole["properties"][direction].clone();
    part["$defs"] = whole["$defs"].clone();
    jsonschema::draft202012::new(&part).unwrap()
}

fn tally() -> Tally {
    Tally {
        heat: 7,
        run: 2,
        lane: 4,
        epoch: (1 << 53) - 1,
        number: 12,
        call: Call::LastWasNoRep,
        amount: 5,
        fault: Some("depth".to_owned()),
        stamp_ms: 123_456,
        wall_ms: Some(1_900_000_000_000),
        offset: Some(Offset { add_us: -5_000_001, delay_us: 4_200 }),
        athlete: Some("101".to_owned()),
        load_g: Some(43_000),
        slot: Some(1),
    }
}

fn ruling(kind: RulingKind) -> ClientMessage {
    ClientMessage::Ruling(Ruling { id: 9, heat: 7, lane: 4, reason: "Seen from the side".to_owned(), kind })
}

fn floor(command: FloorCommand) -> ClientMessage {
    ClientMessage::Floor(Floor { id: 3, heat: 7, command })
}

fn from_clients() -> Vec<ClientMessage> {
    let resume = Resume { stream: "5f0c".to_owned(), last: 88 };
    let join = |role, lane, access_key: Option<&str>, resume| {
        let access_key = access_key.map(str::to_owned);
        ClientMessage::Join(Join { access_key, lane, resume, ..Join::new(role, "phone-4") })
    };
    let mut messages = vec![
        join(Role::LaneJudge, Some(4), Some("0123"), None),
        join(Role::Spectator, None, None, Some(resume.clone())),
        ClientMessage::Join(Join {
            lane: Some(4),
            clock: Some(PageClock { now_us: 61_000_000, add_us: -4_500_000, delay_us: 8_100 }),
            ..Join::new(Role::LaneJudge, "phone-4")
        }),
        ClientMessage::Join(Join {
            pin: Some("004711".to_owned()),
            stand_by: true,
            ..Join::new(Role::ShadowJudge, "phone-4")
        }),
        ClientMessage::Tally(tally()),
        ClientMessage::Clock(ClockRequest { t1_us: 9_007_199_254_740_993 }),
        ClientMessage::Resume(resume),
        ruling(RulingKind::SetCount { done: 40, finish_ms: None }),
        ruling(RulingKind::SetCount { done: 90, finish_ms: Some(428_400) }),
        ruling(RulingKind::MoveFinish { elapsed_ms: 428_400 }),
        ruling(RulingKind::TimePenalty { add_ms: -5_000 }),
        ruling(RulingKind::UnitPenalty { take: 2 }),
        ruling(RulingKind::Status { status: StatusRuling::UnderReview }),
        ruling(RulingKind::AddUnits { add: -3 }),
        ruling(RulingKind::Credit { credit_ms: 12_000 }),
        ruling(RulingKind::MoveAthlete { to: 6 }),
        ruling(RulingKind::SetBestLoad { load_g: 142_500 }),
        ruling(RulingKind::SetHeld { held_ms: 83_400 }),
        ruling(RulingKind::Review { within_min: 20 }),
        ruling(RulingKind::NoteStop { elapsed_ms: 428_000 }),
        ruling(RulingKind::FromPaper { done: 61, finish_ms: None }),
        ruling(RulingKind::FromPaper { done: 90, finish_ms: Some(428_400) }),
    ];
    messages.extend(
        [
            FloorCommand::OpenHeat,
            FloorCommand::OnDeck,
            FloorCommand::StartCountdown,
            FloorCommand::Recall,
            FloorCommand::Hold,
            FloorCommand::Resume,
            FloorCommand::Cancel,
            FloorCommand::CallTime,
            FloorCommand::Close,
            FloorCommand::Sign,
            FloorCommand::Rerun { reason: "The rig gave way".to_owned() },
            FloorCommand::RerunLane { lane: 4, reason: "The bar was loaded wrong".to_owned() },
            FloorCommand::Reopen { reason: "Two lanes were swapped".to_owned() },
            FloorCommand::ConfirmClock,
            FloorCommand::SetLanes { lanes: lanes(), reason: "Lane 4 is hurt".to_owned() },
        ]
        .map(floor),
    );
    messages.extend(show_commands().into_iter().map(show));
    messages.extend(of_phones());
    messages
}

fn lanes() -> Vec<LaneAthlete> {
    vec![LaneAthlete { lane: 4, bib: None }, LaneAthlete { lane: 5, bib: Some("101".to_owned()) }]
}

/// What is said of phones, initials and records.
fn of_phones() -> Vec<ClientMessage> {
    let confirm = Confirm {
        id: 6,
        heat: 7,
        lane: 4,
        run: 2,
        result: "7:08.4".to_owned(),
        athlete: "IBO".to_owned(),
        judge: "Ж".to_owned(),
        reason: None,
    };
    let reason = Some("Initials on the paper card".to_owned());
    let quiet = Phone { charge_percent: None, charging: None, waiting: 0, stays_awake: None, delay_us: None };
    vec![
        ClientMessage::HandOver(HandOver { id: 5, heat: 7, lane: 4, to: "phone-9".to_owned() }),
        ClientMessage::Confirm(Confirm { reason, ..confirm.clone() }),
        ClientMessage::Confirm(confirm),
        ClientMessage::Phone(quiet),
        ClientMessage::Phone(Phone {
            charge_percent: Some(81),
            charging: Some(true),
            waiting: 3,
            stays_awake: Some(false),
            delay_us: Some(24_000),
        }),
        ClientMessage::AskPins(AskPins {}),
        ClientMessage::AskLane(AskLane { id: 7, heat: 7, lane: 4 }),
        ClientMessage::AskAthletes(AskAthletes { id: 8, heat: 7, find: "il".to_owned() }),
        ClientMessage::AskPapers(AskPapers { id: 8, heat: 7 }),
        ClientMessage::AskStandings(AskStandings { id: 9 }),
        judges::ask(),
    ]
}

fn show(command: ShowCommand) -> ClientMessage {
    ClientMessage::Show(Show { id: 4, command })
}

fn delta(heat: Option<HeatState>) -> Delta {
    Delta {
        number: 89,
        at_ms: 502_000,
        heat,
        lanes: vec![lane_count()],
        order: vec![OrderRow {
            lane: 2,
            place: 2,
            division_place: 2,
            gap_units: Some(3),
            gap_ms: Some(-1),
            tied_apart: true,
        }],
        no_reps: vec![NoRep { lane: 2, fault: "No lockout".to_owned(), partial: true, at_ms: 501_900 }],
        rulings: vec![RulingNote {
            lane: 4,
            by: "head judge".to_owned(),
            says: "count set to 90".to_owned(),
            reason: "Seen from the side".to_owned(),
            before: "89".to_owned(),
            after: "90".to_owned(),
        }],
        journal_ok: Some(false),
        shows: None,
    }
}

fn from_feed() -> Vec<FeedMessage> {
    let reason = || Reason { code: ReasonCode::BeforeStart, says: "Too early.".to_owned() };
    let ack = |of, not_counted, done| FeedMessage::Ack(Ack { of, not_counted, done });
    vec![
        FeedMessage::Welcome(Welcome {
            role: Role::LaneJudge,
            lane: Some(4),
            access_key: None,
            standing_by: false,
            stream: "5f0c".to_owned(),
            speed_milli: 1_000,
            version: "0.1.0".to_owned(),
        }),
        FeedMessage::Snapshot(Box::new(snapshot())),
        FeedMessage::Snapshot(Box::new(Snapshot { shows: shows(), next: next_heat(), ..snapshot() })),
        FeedMessage::Delta(Delta { shows: Some(shows()), ..Delta::default() }),
        FeedMessage::Delta(delta(Some(heat_state(Clock::Running { zero_at_ms: 10_001 })))),
        FeedMessage::Delta(delta(Some(heat_state(Clock::Stopped { elapsed_ms: 40_000 })))),
        FeedMessage::Delta(delta(Some(heat_state(Clock::Idle)))),
        FeedMessage::Delta(delta(Some(HeatState {
            cap_on_heat: true,
            ends_ms: Some(630_000),
            clock_in_doubt: true,
            alone: Some(4),
            ..heat_state(Clock::Idle)
        }))),
        FeedMessage::Delta(Delta {
            lanes: vec![],
            order: vec![],
            no_reps: vec![],
            rulings: vec![],
            ..delta(None)
        }),
        ack(Subject::Tally { epoch: 5, number: 12 }, Some(reason()), Some(3)),
        ack(Subject::Floor { id: 3 }, None, None),
        ack(Subject::Show { id: 4 }, None, None),
        FeedMessage::Refusal(Refusal { of: Subject::Ruling { id: 9 }, why: reason() }),
        FeedMessage::Refusal(Refusal { of: Subject::Join, why: reason() }),
        FeedMessage::Refusal(Refusal { of: Subject::Message, why: reason() }),
        FeedMessage::Gap(Gap { epoch: 5, from: 9 }),
        FeedMessage::Clock(ClockReply { t1_us: 1, t2_us: 2, t3_us: 3 }),
        FeedMessage::Lane(LaneHold { lane: 4, holds: false }),
        ack(Subject::HandOver { id: 5 }, None, None),
        ack(Subject::Confirm { id: 6 }, None, None),
        FeedMessage::Refusal(Refusal { of: Subject::AskLane { id: 7 }, why: reason() }),
        FeedMessage::Refusal(Refusal { of: Subject::AskAthletes { id: 8 }, why: reason() }),
        phones::athletes(),
        phones::states(),
        phones::pins(),
        phones::record(),
        FeedMessage::Refusal(Refusal { of: Subject::AskPapers { id: 8 }, why: reason() }),
        FeedMessage::Papers(Box::new(papers::papers())),
        FeedMessage::Refusal(Refusal { of: Subject::AskStandings { id: 9 }, why: reason() }),
        FeedMessage::Standings(FloorStandings { id: 9, heat: 7, standings: standings() }),
        judges::tables(),
    ]
}

fn check<T>(messages: &[T], direction: &str)
where
    T: serde::Serialize + serde::de::DeserializeOwned + PartialEq + std::fmt::Debug,
{
    let validator = validator(direction);
    for message in messages {
        let text = serde_json::to_string(message).unwrap();
        assert_eq!(&serde_json::from_str::<T>(&text).unwrap(), message);
        let value: Value = serde_json::from_str(&text).unwrap();
        let faults: Vec<String> = validator.iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{text}: {faults:?}");
    }
}

#[test]
fn what_clients_say_survives_and_holds_against_the_schema() {
    check(&from_clients(), "from_client");
}

#[test]
fn what_the_feed_says_survives_and_holds_against_the_schema() {
    check(&from_feed(), "from_feed");
}

/// What is rare is left out on the wire, and read as not there.
#[test]
fn rare_fields_are_left_out() {
    let lane = LaneCount {
        round: 0,
        round_score: 0,
        tries: None,
        credit_ms: None,
        tie_break_ms: None,
        ruled: false,
        flagged: false,
        ..lane_count()
    };
    let row =
        OrderRow { lane: 4, place: 1, division_place: 1, gap_units: None, gap_ms: None, tied_apart: false };
    let texts = [
        serde_json::to_string(&lane).unwrap(),
        serde_json::to_string(&row).unwrap(),
        serde_json::to_string(&heat_state(Clock::Idle)).unwrap(),
    ];
    for (text, names) in texts.iter().zip([
        &["round", "round_score", "tries", "tie_break_ms", "ruled", "flagged"][..],
        &["gap_units", "gap_ms", "tied_apart"],
        &["cap_on_heat", "ends_ms", "clock_in_doubt", "alone"],
    ]) {
        for name in names {
            assert!(!text.contains(&format!("\"{name}\"")), "{text}");
        }
    }
    assert_eq!(serde_json::from_str::<LaneCount>(&texts[0]).unwrap(), lane);
    assert_eq!(serde_json::from_str::<OrderRow>(&texts[1]).unwrap(), row);
    let course: Course = serde_json::from_value(json!({
        "parts": [], "units": 0, "score_units": 0, "closing_blocks": 0, "closing_step": 0, "finish_call": false,
    }))
    .unwrap();
    assert_eq!(course.scoring, Scoring::ForTime);
}

/// A feed of before show commands tells a new screen nothing about them: it shows the heat.
#[test]
fn what_an_older_feed_does_not_say_is_the_heats_board() {
    let mut older = serde_json::to_value(snapshot()).unwrap();
    assert!(older.as_object_mut().unwrap().remove("shows").is_some());
    let read: Snapshot = serde_json::from_value(older).unwrap();
    assert_eq!(*read.shows, Shows::default());
    assert_eq!(read.shows.board.at(5).card, &Card::Heat);
}

#[test]
fn show_commands_refuse_what_they_do_not_know() {
    let validator = validator("from_client");
    for command in [
        json!({ "overlay": { "part": "lid", "on": true } }),
        json!({ "overlay": { "part": "rail" } }),
        json!({ "duel": { "left": 256, "right": 1 } }),
        json!({ "board": "followed" }),
        json!({ "board": { "own": { "again": true, "steps": [{ "for_ms": 1, "card": "picture" }] } } }),
        json!({ "board": { "own": { "again": true, "steps": [{ "for_ms": 1, "card": "heat", "more": 1 }] } } }),
        json!({ "board": { "own": { "steps": [] } } }),
    ] {
        let message = json!({ "type": "show", "id": 1, "command": command });
        assert!(serde_json::from_value::<ClientMessage>(message.clone()).is_err(), "types take {message}");
        assert!(!validator.is_valid(&message), "the schema takes {message}");
    }
}

#[test]
fn the_schema_in_the_tree_is_the_generated_one() {
    let kept = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/schema.json")).unwrap();
    assert!(kept == schema_json(), "write it anew: fivemark-feed schema > feed/wire/schema.json");
}

#[test]
fn schema_and_types_refuse_the_same_messages() {
    let validator = validator("from_client");
    let good = serde_json::to_value(ClientMessage::Tally(tally())).unwrap();
    assert!(validator.is_valid(&good));
    for (field, value) in [
        ("lane", json!(-1)),
        ("lane", json!(256)),
        ("lane", json!("4")),
        ("number", json!(1.5)),
        ("call", json!("maybe")),
        ("stamp_ms", Value::Null),
        ("offset", json!({ "add_us": 1 })),
        ("offset", json!({ "add_us": 1, "delay_us": 1, "more": 1 })),
        ("surprise", json!(1)),
        ("type", json!("tallly")),
    ] {
        let mut bad = good.clone();
        bad[field] = value;
        assert!(serde_json::from_value::<ClientMessage>(bad.clone()).is_err(), "types take {bad}");
        assert!(!validator.is_valid(&bad), "the schema takes {bad}");
    }
}
