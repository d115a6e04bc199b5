//! A heat to show.

use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{
    Clock, Course, HeatState, LaneCount, LaneEntry, OrderRow, Part, Scoring, State, Status, Titles, Unit,
};

/// A running heat of this many lanes on a course of 90 reps; nobody has done anything yet.
pub fn snapshot(lanes: u8) -> Snapshot {
    Snapshot {
        number: 10,
        at_ms: 61_000,
        titles: Titles {
            event: "Lighthouse Games".into(),
            workout: "Ebb and Flow".into(),
            heat: 3,
            heat_name: "Heat 3".into(),
            divisions: vec!["Open".into()],
            heats: vec![1, 2, 3],
        },
        heat: HeatState {
            state: State::Running,
            run: 1,
            clock: Clock::Running { zero_at_ms: 1_000 },
            cap_ms: 600_000,
            resolution_ms: 100,
            finished: 0,
            starters: lanes,
            first_on_floor: 0,
            cap_on_heat: false,
            ends_ms: None,
            clock_in_doubt: false,
            alone: None,
        },
        courses: vec![course()],
        entries: (1..=lanes).map(entry).collect(),
        lanes: (1..=lanes).map(|lane| count(lane, 0)).collect(),
        order: (1..=lanes).map(|lane| row(lane, 0)).collect(),
        journal_ok: true,
        initials: true,
        shows: Box::default(),
        next: None,
    }
}

fn course() -> Course {
    let part = |movement: &str, start: u32| Part {
        movement: movement.into(),
        short_name: movement.into(),
        amount: 45,
        unit: Unit::Rep,
        step: 1,
        several_at_once: false,
        load: String::new(),
        round: 1,
        track_start_ppm: start,
        track_len_ppm: 500_000,
        expected_ms_per_unit: 2_000,
        start: String::new(),
        finish: String::new(),
        faults: Vec::new(),
    };
    Course {
        scoring: Scoring::ForTime,
        attempts: None,
        load_unit: None,
        parts: vec![part("Step-up", 0), part("Swing", 500_000)],
        units: 90,
        score_units: 90,
        closing_blocks: 5,
        closing_step: 1,
        finish_call: false,
    }
}

fn entry(lane: u8) -> LaneEntry {
    LaneEntry {
        lane,
        course: 0,
        division: 0,
        bib: format!("{}", 100 + u32::from(lane)),
        name: format!("Imke Vandersteen {lane}"),
        given: "Imke".into(),
        family: format!("Vandersteen {lane}"),
        say: String::new(),
        club: String::new(),
        judge: String::new(),
        start_ms: 0,
        members: Vec::new(),
    }
}

pub fn count(lane: u8, done: u32) -> LaneCount {
    LaneCount {
        lane,
        run: 1,
        status: Status::Racing,
        done,
        score: done,
        tries: None,
        round: 0,
        round_score: 0,
        part: done / 45,
        part_done: done % 45,
        to_go: (done >= 85).then(|| 90 - done),
        result: None,
        stop_ms: None,
        review_until_ms: None,
        no_reps: 0,
        last_good_ms: None,
        credit_ms: None,
        tie_break_ms: None,
        ruled: false,
        flagged: false,
        judge_on: true,
        confirmed: false,
    }
}

pub fn row(lane: u8, place: u8) -> OrderRow {
    OrderRow { lane, place, division_place: place, gap_units: None, gap_ms: None, tied_apart: false }
}
