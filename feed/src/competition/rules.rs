//! How a workout is scored and timed, from the competition file: scoring, cap or window, order, official time. What
//! does not fit the scoring is named here, field by field, with what to write instead.

use fivemark_engine::bounds::MAX_ATTEMPTS;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{
    AmrapShows, CapOn, CappedAs, ClockRules, EqualLoads, FinishRule, LoadUnit, OrderBy, Resolution, Rounding,
    Scoring,
};

use super::faults::Faults;
use super::fields::Fields;
use super::values::span_of;

/// What work that ends with its window has no use for, and what to do.
const NOT_IN_A_WINDOW: [(&str, &str); 3] = [
    ("cap", "it ends with its window; write window instead of cap"),
    ("finish", "it ends with its window; leave finish out"),
    ("penalty_per_unit", "no unit of it is missing at the end; leave penalty_per_unit out"),
];
/// What an AMRAP has no use for beside that.
const NOT_IN_AMRAP: [(&str, &str); 3] = [
    ("rounds", "its round is repeated without end; leave rounds out"),
    ("cash_out", "nobody would come to it; put the work into parts or leave cash_out out"),
    ("capped", "its result is the work done; leave capped out"),
];
/// What has no place where attempts or holds are judged.
const NOT_FOR_ATTEMPTS: [(&str, &str); 7] = [
    ("buy_in", "its one movement is all of it; leave buy_in out"),
    ("cash_out", "its one movement is all of it; leave cash_out out"),
    ("rounds", "it has no rounds; leave rounds out"),
    ("scheme", "it has no sets; leave scheme out"),
    ("track", "its track shows what was tried; leave track out"),
    ("mark_every_part", "its closing mark is the last minute; leave mark_every_part out"),
    ("capped", "its result is the best of what was tried; leave capped out"),
];
/// What belongs to one scoring alone, and what to do elsewhere.
const OF_AMRAP: (&str, &str) = ("amrap_shows", "leave amrap_shows out or write scoring = \"amrap\"");
const OF_LIFTS: [(&str, &str); 3] = [
    ("attempts", "leave attempts out or write scoring = \"heaviest lift\""),
    ("equal_loads", "leave equal_loads out or write scoring = \"heaviest lift\""),
    ("load_unit", "leave load_unit out or write scoring = \"heaviest lift\""),
];
const OF_HOLDS: (&str, &str) = ("holds", "leave holds out or write scoring = \"longest hold\"");
/// What a workout that is done for time has no use for.
const NOT_FOR_TIME: (&str, &str) = ("window", "it has a time cap; write cap instead of window");

/// How a workout is scored and timed.
pub(super) struct Rules {
    pub(super) scoring: Scoring,
    pub(super) clock: ClockRules,
    pub(super) finish: FinishRule,
    pub(super) mark_every_part: bool,
}

/// Reads them.
pub(super) fn rules(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> Rules {
    let scoring = scoring(fields, faults);
    let finish = fields.choice(
        "finish",
        &[("last unit", FinishRule::LastUnit), ("finish call", FinishRule::FinishCall)],
        faults,
    );
    let (name, unfit) = unfit(scoring);
    for (field, instead) in unfit {
        if let Some(value) = fields.value(field) {
            faults.add(value.span().start, format!("{} is {name}: {instead}", fields.what));
        }
    }
    Rules {
        scoring,
        clock: clock(fields, scoring != Scoring::ForTime, faults),
        finish: finish.unwrap_or(FinishRule::LastUnit),
        mark_every_part: fields.flag("mark_every_part", faults),
    }
}

/// What a scoring is called, and the fields that don't fit it with what to do.
fn unfit(scoring: Scoring) -> (&'static str, Vec<(&'static str, &'static str)>) {
    let window = NOT_IN_A_WINDOW.into_iter();
    match scoring {
        Scoring::Amrap { .. } => {
            let unfit = window.chain(NOT_IN_AMRAP).chain(OF_LIFTS).chain([OF_HOLDS]);
            ("an AMRAP", unfit.collect())
        }
        Scoring::HeaviestLift { .. } => {
            let unfit = window.chain(NOT_FOR_ATTEMPTS).chain([OF_AMRAP, OF_HOLDS]);
            ("a heaviest lift", unfit.collect())
        }
        Scoring::LongestHold { .. } => {
            let unfit = window.chain(NOT_FOR_ATTEMPTS).chain(OF_LIFTS).chain([OF_AMRAP]);
            ("a longest hold", unfit.collect())
        }
        // The engine's list is open; what it does not say is done for time.
        _ => ("for time", [NOT_FOR_TIME, OF_AMRAP, OF_HOLDS].into_iter().chain(OF_LIFTS).collect()),
    }
}

/// For time unless told otherwise. Attempts are as many as there is time for, equal loads go by fewer attempts, and one
/// hold counts, unless the file says otherwise.
fn scoring(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> Scoring {
    let shows = fields.choice(
        "amrap_shows",
        &[("rounds and reps", AmrapShows::RoundsAndReps), ("total", AmrapShows::Total)],
        faults,
    );
    let amrap = Scoring::Amrap { shows: shows.unwrap_or(AmrapShows::RoundsAndReps) };
    let units = [("kg", LoadUnit::Kilogram), ("lb", LoadUnit::Pound)];
    let equals = [
        ("fewer attempts", EqualLoads::FewerAttempts),
        ("earlier", EqualLoads::Earlier),
        ("shared", EqualLoads::Shared),
    ];
    let mut tries = |name: &'static str, faults: &mut Faults| {
        let found = fields.number(name, 1..=u32::from(MAX_ATTEMPTS), faults);
        found.and_then(|found| u8::try_from(found.value).ok())
    };
    let (attempts, holds) = (tries("attempts", faults), tries("holds", faults).unwrap_or(1));
    let lift = Scoring::HeaviestLift {
        unit: fields.choice("load_unit", &units, faults).unwrap_or(LoadUnit::Kilogram),
        attempts,
        equal: fields.choice("equal_loads", &equals, faults).unwrap_or(EqualLoads::FewerAttempts),
    };
    let choices = [
        ("for time", Scoring::ForTime),
        ("amrap", amrap),
        ("heaviest lift", lift),
        ("longest hold", Scoring::LongestHold { holds }),
    ];
    fields.choice("scoring", &choices, faults).unwrap_or(Scoring::ForTime)
}

/// Clock rules. What the file leaves out: a countdown of 10 s, tenths rounded up, lane time for order and cap, work
/// done shown at the cap, and one second for each missing unit (common practice).
fn clock(fields: &mut Fields<'_, '_>, open_ended: bool, faults: &mut Faults) -> ClockRules {
    let mut span = |name: &'static str, otherwise_ms: i64, faults: &mut Faults| {
        let value = fields.value(name);
        SpanMs(value.and_then(|value| span_of(value, name, faults)).unwrap_or(otherwise_ms))
    };
    let countdown = span("countdown", 10_000, faults);
    let penalty_per_unit = span("penalty_per_unit", 1_000, faults);
    let (limit, needed) = if open_ended { ("window", "a window") } else { ("cap", "a time cap") };
    let cap = match fields.value(limit) {
        Some(value) => span_of(value, limit, faults),
        None => {
            let says = format!("{} needs {needed}; write {limit} = \"10:00\"", fields.what);
            faults.add(fields.at, says);
            None
        }
    };
    let order_by = fields.choice(
        "order_by",
        &[("lane time", OrderBy::LaneTime), ("first to finish", OrderBy::FirstToFinish)],
        faults,
    );
    let cap_on = fields.choice("cap_on", &[("lane time", CapOn::LaneTime), ("heat", CapOn::Heat)], faults);
    let resolution = fields.choice(
        "resolution",
        &[("1", Resolution::Second), ("0.1", Resolution::Tenth), ("0.01", Resolution::Hundredth)],
        faults,
    );
    let rounding = fields.choice("rounding", &[("up", Rounding::Up), ("down", Rounding::Down)], faults);
    let capped_as = fields.choice(
        "capped",
        &[
            ("work done", CappedAs::WorkDone),
            ("work left", CappedAs::WorkLeft),
            ("cap plus penalty", CappedAs::CapPlusPenalty),
        ],
        faults,
    );
    ClockRules {
        countdown,
        // A missing cap is a fault already; any value serves for checking the rest.
        cap: SpanMs(cap.unwrap_or(1_000)),
        order_by: order_by.unwrap_or(OrderBy::LaneTime),
        cap_on: cap_on.unwrap_or(CapOn::LaneTime),
        resolution: resolution.unwrap_or(Resolution::Tenth),
        rounding: rounding.unwrap_or(Rounding::Up),
        capped_as: capped_as.unwrap_or(CappedAs::WorkDone),
        penalty_per_unit,
    }
}
