//! A heat as the feed tells of it, every field with a value of its own.

use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::tries::{Attempt, LoadUnit, Tries};
use fivemark_wire::view::{
    Clock, Course, Fault, HeatState, LaneCount, LaneEntry, LaneResult, OrderRow, Part, Scoring, State,
    Status, Titles, Unit,
};

pub fn heat_state(clock: Clock) -> HeatState {
    HeatState {
        state: State::Running,
        run: 1,
        clock,
        cap_ms: 600_000,
        resolution_ms: 100,
        finished: 1,
        starters: 2,
        first_on_floor: 4,
        cap_on_heat: false,
        ends_ms: None,
        clock_in_doubt: false,
        alone: None,
    }
}

pub fn lane_count() -> LaneCount {
    LaneCount {
        lane: 4,
        run: 1,
        status: Status::Finished,
        done: 90,
        score: 90,
        tries: Some(Tries {
            declared_g: Some(142_500),
            attempts: vec![Attempt { load_g: 140_000, good: true }],
            holding_ms: Some(61_000),
        }),
        round: 3,
        round_score: 9,
        part: 6,
        part_done: 0,
        to_go: Some(0),
        result: Some(LaneResult {
            text: "7:08.4".to_owned(),
            official_ms: Some(428_400),
            penalty_ms: Some(5_000),
            credit_ms: Some(12_000),
        }),
        stop_ms: None,
        review_until_ms: None,
        no_reps: 3,
        last_good_ms: Some(500_000),
        credit_ms: Some(12_000),
        tie_break_ms: Some(241_700),
        ruled: true,
        flagged: true,
        judge_on: true,
        confirmed: false,
    }
}

pub fn snapshot() -> Snapshot {
    let part = Part {
        movement: "Thruster".to_owned(),
        short_name: "THR".to_owned(),
        amount: 21,
        unit: Unit::Rep,
        step: 1,
        several_at_once: false,
        load: "43 kg".to_owned(),
        round: 1,
        track_start_ppm: 0,
        track_len_ppm: 1_000_000,
        expected_ms_per_unit: 2_500,
        start: "Bar on the shoulders".to_owned(),
        finish: "Bar overhead, arms and hips straight".to_owned(),
        faults: vec![Fault { code: "depth".to_owned(), name: "Not deep enough".to_owned(), partial: false }],
    };
    Snapshot {
        number: 88,
        at_ms: 501_000,
        titles: Titles {
            event: "Harrowgate Winter Throwdown".to_owned(),
            workout: "Short Fuse".to_owned(),
            heat: 7,
            heat_name: "Heat 7".to_owned(),
            divisions: vec!["Open".to_owned()],
            heats: vec![1, 2, 7],
        },
        heat: heat_state(Clock::CountingDown { since_ms: 1, go_at_ms: 10_001, elapsed_ms: 0 }),
        courses: vec![Course {
            scoring: Scoring::AmrapRounds,
            attempts: Some(6),
            load_unit: Some(LoadUnit::Kilogram),
            parts: vec![part],
            units: 21,
            score_units: 21,
            closing_blocks: 5,
            closing_step: 1,
            finish_call: false,
        }],
        entries: vec![LaneEntry {
            lane: 4,
            course: 0,
            division: 0,
            bib: "101".to_owned(),
            name: "Tomasz Wielgórecki".to_owned(),
            given: "Tomasz".to_owned(),
            family: "Wielgórecki".to_owned(),
            say: String::new(),
            club: String::new(),
            judge: "Sanna Krueger".to_owned(),
            start_ms: 30_000,
            members: Vec::new(),
        }],
        lanes: vec![lane_count()],
        order: vec![OrderRow {
            lane: 4,
            place: 1,
            division_place: 1,
            gap_units: None,
            gap_ms: None,
            tied_apart: false,
        }],
        journal_ok: true,
        initials: false,
        shows: Box::default(),
        next: None,
    }
}
