//! Whole heats kept as data: what was said, when, and the standings that a person worked out by hand. Each is written
//! into a real journal, and a real feed that opens it has to show those standings.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use fivemark_feed::actor::{Changes, Heats};
use fivemark_feed::competition;
use fivemark_feed::journal::{Body, Entry, Journal, SqliteJournal};
use fivemark_wire::from_client::{Call, Floor, FloorCommand, Offset, Role, Ruling, RulingKind, Tally};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Snapshot};
use fivemark_wire::view::{State, Status};
use serde::Deserialize;

use crate::harness::TestFeed;

/// Feed time of the start. Recordings tell heat time; athletes are on deck before it.
const ZERO_MS: i64 = 100_000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Recording {
    workout: String,
    lanes: String,
    said: Vec<Said>,
    state: State,
    expect: Vec<Expected>,
}

/// Something that was said, at one or several moments of heat time, in seconds.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Said {
    at: Vec<f64>,
    #[serde(default)]
    late: f64,
    #[serde(default)]
    lane: u8,
    call: Option<Call>,
    load_g: Option<u32>,
    #[serde(default = "first")]
    run: u32,
    #[serde(default)]
    phone: String,
    ruling: Option<RulingKind>,
    floor: Option<FloorCommand>,
    refused: Option<ReasonCode>,
    not_counted: Option<ReasonCode>,
}

fn first() -> u32 {
    1
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    lane: u8,
    place: u8,
    status: Status,
    result: Option<String>,
    run: Option<u32>,
    bib: Option<String>,
    credit_ms: Option<i64>,
    tie_break_ms: Option<i64>,
    #[serde(default)]
    tied_apart: bool,
}

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/recordings")
}

impl Recording {
    fn competition(&self) -> String {
        let floor = std::fs::read_to_string(folder().join("floor.toml")).unwrap();
        let workout = format!("[[workout]]\nid = \"w\"\nname = \"Recorded\"\n{}", self.workout);
        format!("{floor}\n{workout}\n[[heat]]\nnumber = 1\nworkout = \"w\"\nlanes = {}\n", self.lanes)
    }

    /// Everything said, in order of receipt, with the answer that is expected.
    fn entries(&self) -> Vec<(Entry, Said)> {
        let ms = |seconds: f64| ZERO_MS + (seconds * 1_000.0).round() as i64;
        let mut moments: Vec<(i64, i64, &Said)> = self
            .said
            .iter()
            .flat_map(|said| said.at.iter().map(move |at| (ms(*at + said.late), ms(*at), said)))
            .collect();
        moments.sort_by_key(|(received_ms, ..)| *received_ms);
        let mut numbers = BTreeMap::new();
        moments
            .into_iter()
            .zip(1..)
            .map(|((at_ms, tapped_ms, said), id)| {
                let device = format!("phone-{}{}", said.lane, said.phone);
                let body = match (said.call, &said.ruling, &said.floor) {
                    (Some(call), None, None) => {
                        let number = numbers.entry(device.clone()).or_insert(0);
                        *number += 1;
                        let said = tally(said, call, *number, tapped_ms);
                        Body::Tally { said, link_since_ms: 0, shadow: false }
                    }
                    (None, Some(kind), None) => {
                        let (kind, reason) = (kind.clone(), "Seen from the side".to_owned());
                        let said = Ruling { id, heat: 1, lane: said.lane, reason, kind };
                        Body::Ruling { said, by: "head judge".to_owned() }
                    }
                    (None, None, Some(command)) => {
                        let said = Floor { id, heat: 1, command: command.clone() };
                        Body::Floor { said, by: "head judge".to_owned(), initials: false }
                    }
                    _ => panic!("one of call, ruling and floor is said at a time"),
                };
                (Entry { at_ms, wall_ms: at_ms, boot_ms: at_ms, heat: 1, device, body }, said.clone())
            })
            .collect()
    }
}

/// Every page's clock is two seconds behind the feed's.
fn tally(said: &Said, call: Call, number: u32, tapped_ms: i64) -> Tally {
    Tally {
        heat: 1,
        run: said.run,
        lane: said.lane,
        epoch: 5,
        number,
        call,
        amount: 0,
        fault: None,
        stamp_ms: tapped_ms - 2_000,
        wall_ms: None,
        offset: Some(Offset { add_us: 2_000_000, delay_us: 20_000 }),
        athlete: None,
        load_g: said.load_g,
        slot: None,
    }
}

/// Each answer is the expected one.
fn check_answers(name: &str, competition: &str, entries: &[(Entry, Said)]) {
    let competition = competition::parse(name, competition).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let mut heats = Heats::new(Arc::new(competition)).unwrap();
    for (entry, said) in entries {
        let (mut refused, mut not_counted) = (None, None);
        match heats.apply(entry, &mut Changes::default()) {
            Some(FeedMessage::Ack(ack)) => not_counted = ack.not_counted.map(|why| why.code),
            Some(FeedMessage::Refusal(refusal)) => refused = Some(refusal.why.code),
            other => panic!("{name}: {other:?} to {entry:?}"),
        }
        assert_eq!((refused, not_counted), (said.refused, said.not_counted), "{name}: {entry:?}");
    }
}

fn check_standings(name: &str, recording: &Recording, shown: &Snapshot) {
    assert_eq!(shown.heat.state, recording.state, "{name}");
    for expected in &recording.expect {
        let at = |lane: u8| format!("{name}, lane {lane}");
        let find = |lane: u8| shown.lanes.iter().position(|known| known.lane == lane).unwrap();
        let index = find(expected.lane);
        let (lane, row, entry) = (&shown.lanes[index], &shown.order[index], &shown.entries[index]);
        let result = lane.result.as_ref();
        assert_eq!(
            (lane.status, result.map(|result| result.text.as_str()), row.place),
            (expected.status, expected.result.as_deref(), expected.place),
            "{}",
            at(expected.lane)
        );
        assert_eq!(lane.credit_ms, expected.credit_ms, "{}", at(expected.lane));
        assert_eq!(lane.tie_break_ms, expected.tie_break_ms, "{}", at(expected.lane));
        assert_eq!(row.tied_apart, expected.tied_apart, "{}", at(expected.lane));
        assert!(expected.run.is_none_or(|run| run == lane.run), "{}: run {}", at(expected.lane), lane.run);
        assert!(
            expected.bib.as_ref().is_none_or(|bib| *bib == entry.bib),
            "{}: {}",
            at(expected.lane),
            entry.bib
        );
    }
}

async fn play(file: &Path) {
    let name = file.file_stem().unwrap().to_string_lossy().into_owned();
    let recording: Recording = toml::from_str(&std::fs::read_to_string(file).unwrap())
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    let (competition, entries) = (recording.competition(), recording.entries());
    check_answers(&name, &competition, &entries);

    let folder = tempfile::tempdir().unwrap();
    let written = folder.path().join("competition.toml");
    std::fs::write(&written, competition).unwrap();
    let (mut journal, _) = SqliteJournal::open(&folder.path().join("record.journal")).unwrap();
    let entries: Vec<Entry> = entries.into_iter().map(|(entry, _)| entry).collect();
    journal.append(&entries).unwrap();
    journal.close();
    drop(journal);
    let feed = TestFeed::start_in(folder, |config| config.competition = written);
    let shown = feed.door().join(Role::Display, None).await.snapshot.unwrap();
    check_standings(&name, &recording, &shown);
    feed.stop().await;
}

#[tokio::test]
async fn recorded_heats_end_as_worked_out_by_hand() {
    let mut played = 0;
    for file in std::fs::read_dir(folder()).unwrap() {
        let file = file.unwrap().path();
        if file.file_stem().is_some_and(|name| name != "floor") {
            play(&file).await;
            played += 1;
        }
    }
    assert!(played >= 17, "{played} recordings");
}
