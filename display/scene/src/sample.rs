//! Invented heats for tests: a course, lanes in any state, and seeded random heats with hard names and odd sizes.

use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::view::{
    Clock, Course, HeatState, LaneCount, LaneEntry, LaneResult, NoRep, OrderRow, Part, Scoring, State,
    Status, Titles, Unit,
};
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::view::View;

pub(crate) mod cards;
mod open;
mod tries;
pub(crate) use open::{open_count, open_heat, random_open};
pub(crate) use tries::{held, lifted, random_tried, tried_course, tried_heat};

/// Given and family names that are hard to set: long, short, accented, in other scripts, with marks that combine.
pub(crate) const NAMES: &[(&str, &str)] = &[
    ("Imogen", "Okonkwo-Lindqvist"),
    ("Marit", "Sollund"),
    ("Maria da Conceição", "Vasconcelos de Albuquerque e Castro"),
    ("Jean-Luc", "Fontaine"),
    ("Ελένη", "Παπαδημητρίου"),
    ("Ксения", "Щербакова-Преображенская"),
    ("Ngọc Ánh", "Đặng"),
    ("Guðrún Ósk", "Vilhjálmsdóttir"),
    ("Bo", "Ek"),
    ("", "Teamwithoutanyspaceatallinaverylongname"),
    ("Z\u{0335}\u{0300}oe\u{0308}", "Combi\u{0301}ning\u{0323}mark\u{0302}s"),
    ("นภา", "ศรีสุข"),
    ("دانا", "الحسن"),
    ("Freja", "Østergaard"),
];

/// A part of a course in few words: amount, unit, step, expected milliseconds a unit.
pub(crate) type PartOf = (u32, Unit, u32, u32);

/// Thrusters, a run that is only tapped when it is done, and a last part of repetitions.
pub(crate) const PARTS: &[PartOf] = &[
    (21, Unit::Rep, 1, 2_600),
    (400, Unit::Metre, 400, 250),
    (21, Unit::Rep, 1, 1_900),
    (15, Unit::Rep, 1, 2_800),
    (400, Unit::Metre, 400, 250),
    (40, Unit::Rep, 1, 3_600),
];

/// A course of these parts with this many closing blocks of one unit each.
pub(crate) fn course(parts: &[PartOf], closing_blocks: u8) -> Course {
    let weight = |part: &PartOf| u64::from(part.0) * u64::from(part.3);
    let whole: u64 = parts.iter().map(weight).sum::<u64>().max(1);
    let ppm = |weight: u64| u32::try_from(weight * 1_000_000 / whole).unwrap();
    let mut before = 0;
    let parts: Vec<Part> = parts
        .iter()
        .enumerate()
        .map(|(index, of)| {
            let start = ppm(before);
            before += weight(of);
            Part {
                movement: "Movement".into(),
                short_name: "move".into(),
                amount: of.0,
                unit: of.1,
                step: of.2,
                several_at_once: false,
                load: String::new(),
                round: u32::try_from(index / 3 + 1).unwrap(),
                track_start_ppm: start,
                track_len_ppm: ppm(before) - start,
                expected_ms_per_unit: of.3,
                start: String::new(),
                finish: String::new(),
                faults: Vec::new(),
            }
        })
        .collect();
    let units = parts.iter().map(|part| part.amount).sum();
    let closing_step = u32::from(closing_blocks > 0);
    Course {
        scoring: Scoring::ForTime,
        attempts: None,
        load_unit: None,
        parts,
        units,
        score_units: units,
        closing_blocks,
        closing_step,
        finish_call: false,
    }
}

/// What a lane has done after `done` units.
pub(crate) fn count(course: &Course, lane: u8, done: u32, status: Status) -> LaneCount {
    let mut part = 0;
    let mut rest = done;
    while let Some(of) = course.parts.get(part).filter(|of| rest >= of.amount) {
        rest -= of.amount;
        part += 1;
    }
    let left = course.units - done;
    let closes = left <= u32::from(course.closing_blocks) * course.closing_step;
    let result =
        |text: &str| LaneResult { text: text.into(), official_ms: None, penalty_ms: None, credit_ms: None };
    LaneCount {
        lane,
        run: 1,
        status,
        done,
        score: done,
        tries: None,
        round: 0,
        round_score: 0,
        part: u32::try_from(part).unwrap(),
        part_done: rest,
        to_go: (status == Status::Racing && closes && course.closing_blocks > 0).then_some(left),
        result: match status {
            Status::Finished => Some(LaneResult { official_ms: Some(428_400), ..result("7:08.4") }),
            Status::Capped => Some(result(&format!("{done} of {}", course.score_units))),
            Status::DidNotFinish => Some(result("DNF")),
            Status::DidNotStart => Some(result("DNS")),
            Status::Disqualified => Some(result("DQ")),
            Status::Racing | Status::Empty | Status::UnderReview => None,
        },
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

/// A heat of any kind made from a seed.
pub(crate) fn any(seed: u64) -> (View, i64) {
    match seed % 6 {
        2 => random_open(seed),
        5 => random_tried(seed),
        _ => random(seed),
    }
}

/// A heat on one course: for each lane its units and status.
pub(crate) fn snapshot(course: Course, lanes: &[(u32, Status)], state: State, clock: Clock) -> Snapshot {
    let counts: Vec<LaneCount> =
        lanes.iter().zip(1..).map(|((done, status), lane)| count(&course, lane, *done, *status)).collect();
    let mut ranked: Vec<&LaneCount> = counts.iter().filter(|count| count.status != Status::Empty).collect();
    ranked.sort_by_key(|count| (count.status != Status::Finished, u32::MAX - count.score));
    let first = ranked.iter().find(|count| count.status == Status::Racing && count.score > 0);
    let first_score = first.map(|count| count.score);
    let order = counts
        .iter()
        .map(|count| {
            let place = ranked.iter().position(|ranked| ranked.lane == count.lane);
            let place = place.map_or(0, |place| u8::try_from(place + 1).unwrap());
            OrderRow {
                lane: count.lane,
                place,
                division_place: place,
                gap_units: first_score.map(|score| score.saturating_sub(count.score)),
                gap_ms: (count.status == Status::Finished).then_some(23_500),
                tied_apart: false,
            }
        })
        .collect();
    let finished = counts.iter().filter(|count| count.status == Status::Finished).count();
    Snapshot {
        number: 10,
        at_ms: 0,
        titles: Titles {
            event: "Event".into(),
            workout: "Breakwater".into(),
            heat: 7,
            heat_name: "Heat 7".into(),
            divisions: vec!["Open women".into()],
            heats: vec![7],
        },
        heat: HeatState {
            state,
            run: 1,
            clock,
            cap_ms: 600_000,
            resolution_ms: 100,
            finished: u8::try_from(finished).unwrap(),
            starters: u8::try_from(counts.len()).unwrap(),
            first_on_floor: first.map_or(0, |count| count.lane),
            cap_on_heat: false,
            ends_ms: None,
            clock_in_doubt: false,
            alone: None,
        },
        courses: vec![course],
        entries: counts.iter().map(|count| entry(count.lane)).collect(),
        lanes: counts,
        order,
        journal_ok: true,
        initials: true,
        shows: Box::default(),
        next: None,
    }
}

/// Who stands on a lane.
fn entry(lane: u8) -> LaneEntry {
    let (given, family) = NAMES[usize::from(lane) % NAMES.len()];
    LaneEntry {
        lane,
        course: 0,
        division: 0,
        bib: format!("{}", 100 + u32::from(lane)),
        name: format!("{given} {family}").trim().to_owned(),
        given: given.into(),
        family: family.into(),
        say: String::new(),
        club: String::new(),
        judge: String::new(),
        start_ms: 0,
        members: Vec::new(),
    }
}

/// A running heat of nine, with one lane finished, two in their last five, one out.
pub(crate) fn nine() -> View {
    let course = course(PARTS, 5);
    let units = course.units;
    let racing = |left: u32| (units - left, Status::Racing);
    let lanes = [
        racing(29),
        racing(3),
        (units, Status::Finished),
        racing(4),
        racing(16),
        racing(37),
        (units - 60, Status::DidNotFinish),
        racing(450),
        racing(470),
    ];
    View::new(snapshot(course, &lanes, State::Running, Clock::Running { zero_at_ms: 0 }))
}

/// A delta with nothing in it.
pub(crate) fn delta(number: u64) -> Delta {
    Delta {
        number,
        at_ms: 0,
        heat: None,
        lanes: Vec::new(),
        order: Vec::new(),
        no_reps: Vec::new(),
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    }
}

/// A no-rep on a lane.
pub(crate) fn no_rep(lane: u8, at_ms: i64) -> NoRep {
    NoRep { lane, fault: "hips not open".into(), partial: false, at_ms }
}

/// A heat made from a seed: any number of lanes, any state, any course, names in any order. Gives the view and a
/// feed time at which to look at it.
pub(crate) fn random(seed: u64) -> (View, i64) {
    const STATES: [State; 9] = [
        State::LanesSet,
        State::OnDeck,
        State::Countdown,
        State::Running,
        State::Held,
        State::TimeCalled,
        State::Provisional,
        State::Signed,
        State::Cancelled,
    ];
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let parts: Vec<PartOf> = (0..rng.random_range(1..30))
        .map(|_| {
            let (amount, in_one) = (rng.random_range(1..60), rng.random_bool(0.2));
            let unit = if in_one { Unit::Metre } else { Unit::Rep };
            (amount, unit, if in_one { amount } else { 1 }, rng.random_range(100..5_000))
        })
        .collect();
    let last = parts.last().map_or(0, |part| part.0);
    let blocks = if rng.random_bool(0.2) { 0 } else { u8::try_from(last.min(5)).unwrap() };
    let course = course(&parts, blocks);
    let state = STATES[rng.random_range(0..STATES.len())];
    let lanes: Vec<(u32, Status)> =
        (0..rng.random_range(1..=40)).map(|_| lane(&mut rng, &course, state)).collect();
    let clock = match state {
        State::LanesSet | State::OnDeck => Clock::Idle,
        State::Countdown => {
            Clock::CountingDown { since_ms: 0, go_at_ms: rng.random_range(1..10_000), elapsed_ms: 0 }
        }
        State::Running => Clock::Running { zero_at_ms: 0 },
        _ => Clock::Stopped { elapsed_ms: rng.random_range(0..600_000) },
    };
    let feed_ms = if state == State::Running { rng.random_range(0..600_000) } else { 0 };
    let mut snapshot = snapshot(course, &lanes, state, clock);
    let shift = rng.random_range(0..NAMES.len());
    for (entry, index) in snapshot.entries.iter_mut().zip(shift..) {
        let (given, family) = NAMES[index % NAMES.len()];
        entry.name = format!("{given} {family}").trim().to_owned();
        (entry.given, entry.family) = (given.to_owned(), family.to_owned());
    }
    vary(&mut rng, &mut snapshot);
    (View::new(snapshot), feed_ms)
}

/// Rulings, notes to results, late starts, divisions, and a lane that runs again alone.
fn vary(rng: &mut ChaCha8Rng, snapshot: &mut Snapshot) {
    for count in &mut snapshot.lanes {
        count.ruled = rng.random_bool(0.1);
        // The mark at the end of a part.
        if count.status == Status::Racing && count.score > 0 && rng.random_bool(0.15) {
            count.to_go = Some(count.to_go.unwrap_or(3));
        }
        count.tie_break_ms = rng.random_bool(0.3).then_some(252_300);
        if let Some(result) = &mut count.result {
            result.penalty_ms = rng.random_bool(0.1).then_some(10_000);
            result.credit_ms = rng.random_bool(0.1).then_some(12_500);
        }
    }
    snapshot.order.iter_mut().for_each(|row| row.tied_apart = rng.random_bool(0.2));
    if rng.random_bool(0.3) {
        let starts = snapshot.entries.iter_mut().zip(0..);
        starts.for_each(|(entry, at)| entry.start_ms = at * 30_000);
    }
    if rng.random_bool(0.3) {
        snapshot.titles.divisions = vec!["Open women".into(), "Masters women".into()];
        snapshot.entries.iter_mut().for_each(|entry| entry.division = entry.lane % 2);
    }
    if rng.random_bool(0.3) {
        let (of, shift) = (rng.random_range(1..5), rng.random_range(0..NAMES.len()));
        for entry in &mut snapshot.entries {
            let member = |at| NAMES[(usize::from(entry.lane) * of + at + shift) % NAMES.len()];
            let names = (0..of).map(member).map(|(given, family)| format!("{given} {family}"));
            entry.members = names.map(|name| name.trim().to_owned()).collect();
        }
    }
    snapshot.heat.clock_in_doubt = rng.random_bool(0.1);
    snapshot.heat.alone = rng.random_bool(0.1).then_some(1);
    snapshot.heat.cap_on_heat = rng.random_bool(0.2);
}

fn lane(rng: &mut impl Rng, course: &Course, state: State) -> (u32, Status) {
    if matches!(state, State::LanesSet | State::OnDeck | State::Countdown) {
        return (0, if rng.random_bool(0.1) { Status::Empty } else { Status::Racing });
    }
    let near_end = rng.random_bool(0.4);
    let least = if near_end { course.units.saturating_sub(8) } else { 0 };
    let done = rng.random_range(least..course.units);
    match rng.random_range(0..12) {
        0 => (0, Status::Empty),
        1 | 2 => (course.units, Status::Finished),
        3 => (done, Status::DidNotFinish),
        4 => (0, Status::DidNotStart),
        5 => (done, Status::Disqualified),
        6 => (done, Status::UnderReview),
        7 => (done, Status::Capped),
        _ => (done, Status::Racing),
    }
}
