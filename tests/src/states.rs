//! Every state that a heat can be in, each with the snapshot that screens are sent then.

use fivemark_engine::command::{Call, Floor, Penalty, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_wire::from_feed::Snapshot;

use crate::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};

/// Ten lanes, one of them empty: from first to last under the cap, and two that the cap stops.
const TEN: [(u8, i64); 9] =
    [(1, 800), (2, 860), (3, 780), (4, 840), (5, 900), (6, 955), (7, 788), (8, 880), (10, 1_050)];
/// Eight lanes of as many rounds as possible.
const ROUNDS: [(u8, i64); 8] =
    [(1, 870), (2, 1_000), (3, 760), (4, 915), (5, 1_001), (6, 1_190), (7, 780), (8, 2_600)];
/// Elapsed 8:30: one lane has finished, two are in the last five.
pub const LATE_MS: i64 = GO_MS + 510_000;
/// The cap of 10:00.
const CAP_MS: i64 = GO_MS + 600_000;
/// Late calls have been waited for.
const SETTLED_MS: i64 = CAP_MS + 10_000;

/// A heat at a moment of it.
#[derive(Debug)]
pub struct State {
    /// For names of files.
    pub name: &'static str,
    /// Feed time, milliseconds.
    pub at_ms: i64,
    /// What screens are sent.
    pub snapshot: Snapshot,
}

fn of(name: &'static str, rehearsal: &Rehearsal, at_ms: i64) -> State {
    State { name, at_ms, snapshot: rehearsal.snapshot(at_ms) }
}

fn ten() -> Rehearsal {
    Rehearsal::of_heat(7).with_paces(&TEN)
}

/// Every state of a heat for time, in the order in which they come.
fn for_time() -> Vec<State> {
    let to = |at_ms: i64| ten().started().played_to(at_ms);
    let settled = || to(SETTLED_MS);
    let ruled = settled()
        .ruled(SETTLED_MS + 1_000, 1, RulingKind::Penalty(Penalty::Time(SpanMs(10_000))))
        .ruled(SETTLED_MS + 2_000, 8, RulingKind::Status(StatusRuling::UnderReview))
        .ruled(SETTLED_MS + 3_000, 10, RulingKind::Status(StatusRuling::DidNotFinish));
    let doubted = settled().floor(SETTLED_MS + 500, Floor::DoubtClock).ruled(
        SETTLED_MS + 1_000,
        2,
        RulingKind::Credit(SpanMs(12_500)),
    );
    let (again_ms, reason) = (SETTLED_MS + 60_000, "the rower's monitor failed".to_owned());
    let again = settled()
        .floor(again_ms, Floor::RerunLane { lane: LaneNo(4), reason })
        .floor(again_ms + 10_000, Floor::StartCountdown)
        .with_run(4, 800, 2, again_ms + 20_000)
        .played_to(again_ms + 220_000);
    let on_deck = ten().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    let held = ten().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    let cancelled = ten().started().floor(LATE_MS, Floor::Cancel);
    vec![
        of("lanes-set", &ten(), COUNTDOWN_MS - 40_000),
        of("on-deck", &on_deck, COUNTDOWN_MS - 20_000),
        of("countdown", &to(COUNTDOWN_MS + 3_400), COUNTDOWN_MS + 3_400),
        of("countdown-last", &to(GO_MS - 1_800), GO_MS - 1_800),
        of("running-early", &to(GO_MS + 150_000), GO_MS + 150_000),
        of("running-late", &to(LATE_MS), LATE_MS),
        of("last-minute", &to(CAP_MS - 25_000), CAP_MS - 25_000),
        of("held", &held, LATE_MS + 5_000),
        of("cancelled", &cancelled, LATE_MS + 1_000),
        of("time-called", &to(CAP_MS + 1_000), CAP_MS + 1_000),
        of("provisional", &ruled, SETTLED_MS + 4_000),
        of("clock-in-doubt", &doubted, SETTLED_MS + 4_000),
        of(
            "signed",
            &settled().floor(SETTLED_MS + 5_000, Floor::Sign { initials: false }),
            SETTLED_MS + 6_000,
        ),
        of("lane-again", &again, again_ms + 220_000),
    ]
}

/// Every state of a heat of as many rounds as possible that looks another way, and one whose lanes start apart.
fn other_kinds() -> Vec<State> {
    let rounds = |at_ms: i64| Rehearsal::of_heat(9).with_paces(&ROUNDS).started().played_to(at_ms);
    let three = Rehearsal::of_heat(10).with_paces(&[(1, 800), (2, 820), (3, 790)]).started();
    let on_deck = Rehearsal::of_heat(9).floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    vec![
        of("rounds-on-deck", &on_deck, COUNTDOWN_MS - 20_000),
        of("rounds-running", &rounds(GO_MS + 160_000), GO_MS + 160_000),
        of("rounds-last-minute", &rounds(GO_MS + 441_700), GO_MS + 441_700),
        of("rounds-provisional", &rounds(GO_MS + 490_000), GO_MS + 491_000),
        of("starts-apart", &three.played_to(GO_MS + 41_500), GO_MS + 41_500),
    ]
}

/// Attempts with a declared load, and holds: as seconds after go, kilograms, and whether they were good.
fn tried() -> Vec<State> {
    const LIFTS: [(u8, i64, u32, bool); 14] = [
        (1, 40, 60_000, true),
        (2, 55, 62_500, true),
        (3, 70, 65_000, false),
        (4, 85, 57_500, true),
        (5, 100, 60_000, true),
        (1, 130, 65_000, false),
        (2, 150, 67_500, true),
        (3, 165, 65_000, false),
        (4, 180, 62_500, true),
        (5, 195, 65_000, true),
        (1, 220, 65_000, true),
        (2, 240, 70_000, false),
        (4, 255, 65_000, true),
        (4, 290, 67_500, false),
    ];
    let judged = |(lane, second, load_g, good): (u8, i64, u32, bool)| {
        let call = if good { Call::AttemptGood } else { Call::AttemptFailed };
        (lane, GO_MS + second * 1_000, call, Some(load_g))
    };
    let mut calls: Vec<_> = LIFTS.map(judged).to_vec();
    calls.push((2, GO_MS + 270_000, Call::DeclareLoad, Some(72_500)));
    calls.push((5, GO_MS + 280_000, Call::DeclareLoad, Some(68_250)));
    let lifts = |at_ms: i64| Rehearsal::of_heat(11).with_attempts(&calls).started().played_to(at_ms);
    let hold = |lane, second: i64, call| (lane, GO_MS + second * 1_000, call, None);
    let holds = [
        hold(1, 10, Call::HoldStart),
        hold(2, 12, Call::HoldStart),
        hold(3, 15, Call::HoldStart),
        hold(3, 58, Call::HoldStop),
        hold(1, 75, Call::HoldStop),
        hold(3, 90, Call::HoldStart),
    ];
    let holds = Rehearsal::of_heat(12).with_attempts(&holds).started().played_to(GO_MS + 101_400);
    vec![
        of("lifts-running", &lifts(GO_MS + 300_000), GO_MS + 300_000),
        of("lifts-provisional", &lifts(GO_MS + 490_000), GO_MS + 491_000),
        of("holds-running", &holds, GO_MS + 101_400),
    ]
}

/// Every state of every kind of heat.
#[must_use]
pub fn every() -> Vec<State> {
    for_time().into_iter().chain(other_kinds()).chain(tried()).collect()
}
