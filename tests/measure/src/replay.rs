//! Starting again on a long journal: reading it and rebuilding every heat from 100,000 calls, the record of a long
//! day.

use std::fmt::Write;
use std::sync::Arc;
use std::time::Instant;

use fivemark_feed::competition;
use fivemark_feed::journal::{Body, Entry, Journal, SqliteJournal};
use fivemark_feed::replay::replay;
use fivemark_wire::from_client::{Call, Floor, FloorCommand, Offset, Tally};

use crate::report::{Figure, Goal};
use crate::samples::Samples;

const NAME: &str = "replay";
const HEATS: u32 = 50;
const LANES: u8 = 20;
const REPS: u32 = 100;
const CALLS: u32 = HEATS * LANES as u32 * REPS;
/// Feed time of a heat, milliseconds.
const HEAT_MS: i64 = 600_000;
/// Entries that are written in one commit.
const GROUP: usize = 1_000;
const TIMES: u32 = 11;

/// Measures.
///
/// # Errors
/// The journal cannot be written or read.
pub fn measure() -> anyhow::Result<Vec<Figure>> {
    let folder = crate::folder()?;
    let file = folder.path().join("day.journal");
    let competition = Arc::new(
        competition::parse("measured", &many_heats())
            .map_err(|faults| anyhow::anyhow!("the competition has faults: {faults:?}"))?,
    );
    let (mut journal, _) = SqliteJournal::open(&file)?;
    for group in entries().chunks(GROUP) {
        journal.append(group)?;
    }
    journal.close();
    drop(journal);

    let mut whole = Samples::default();
    let mut read = Samples::default();
    for _ in 0..TIMES {
        let began = Instant::now();
        let replayed = replay(&file, Arc::clone(&competition))?;
        whole.push(began.elapsed().as_secs_f64() * 1e3);
        anyhow::ensure!(replayed.entries > CALLS as usize, "the journal holds too little");
        let picture = replayed
            .heats
            .picture(true)
            .map(|picture| picture.for_audience(fivemark_feed::roles::Audience::Public, 0));
        let finished = picture.map_or(0, |picture| picture.heat.finished);
        anyhow::ensure!(finished == LANES, "the last heat ended with {finished} finished lanes");
        drop(replayed.journal);
        let began = Instant::now();
        let _opened = SqliteJournal::open(&file)?;
        read.push(began.elapsed().as_secs_f64() * 1e3);
    }
    Ok(vec![
        Figure::of(NAME, "replaying a journal of 100,000 calls", "ms", &whole, Goal::Median(200.0)),
        Figure::of(NAME, "reading the file alone", "ms", &read, Goal::Yardstick),
    ])
}

fn many_heats() -> String {
    let one = crate::floor::competition(LANES, REPS);
    let (head, heat) = one.split_once("[[heat]]").unwrap_or((&one, ""));
    let mut file = head.to_owned();
    for number in 1..=HEATS {
        let heat = heat.replace("number = 1\n", &format!("number = {number}\n"));
        let heat = heat.replace("\"Heat 1\"", &format!("\"Heat {number}\""));
        // Writing into a string cannot fail.
        let _ = write!(file, "[[heat]]{heat}");
    }
    file
}

fn entries() -> Vec<Entry> {
    let mut entries = Vec::new();
    for heat in 1..=HEATS {
        let at_ms = i64::from(heat) * HEAT_MS;
        let commands = [FloorCommand::OpenHeat, FloorCommand::OnDeck, FloorCommand::StartCountdown];
        for (id, command) in (1..).zip(commands) {
            let said = Floor { id: u64::from(heat) * 10 + id, heat, command };
            let body = Body::Floor { said, by: "head judge".to_owned(), initials: false };
            entries.push(entry(at_ms, heat, "head-judge".to_owned(), body));
        }
        for number in 1..=REPS {
            for lane in 1..=LANES {
                let at_ms = at_ms + 5_000 + i64::from(number) * 2_500 + i64::from(lane) * 100;
                let said = tally(heat, lane, number, at_ms);
                let body = Body::Tally { said, link_since_ms: at_ms - 1_000, shadow: false };
                entries.push(entry(at_ms, heat, format!("phone-{lane}"), body));
            }
        }
    }
    entries
}

fn entry(at_ms: i64, heat: u32, device: String, body: Body) -> Entry {
    Entry { at_ms, wall_ms: 1_900_000_000_000 + at_ms, boot_ms: at_ms, heat, device, body }
}

fn tally(heat: u32, lane: u8, number: u32, at_ms: i64) -> Tally {
    Tally {
        heat,
        run: 1,
        lane,
        epoch: u64::from(heat) * 100 + u64::from(lane),
        number,
        call: Call::Good,
        amount: 0,
        fault: None,
        stamp_ms: at_ms - 40,
        wall_ms: Some(1_900_000_000_000 + at_ms - 40),
        offset: Some(Offset { add_us: 0, delay_us: 20_000 }),
        athlete: None,
        load_g: None,
        slot: None,
    }
}
