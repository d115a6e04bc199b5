//! How a workout is scored and timed, from the competition file: scoring, cap or window, order, official time. What
//! does not fit the scoring is named here, field by field, with what to write instead.

use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{
    AmrapShows, CapOn, CappedAs, ClockRules, FinishRule, OrderBy, Resolution, Rounding, Scoring,
};

use super::faults::Faults;
use super::fields::Fields;
use super::values::span_of;

/// What an AMRAP has no use for, and what to do.
const NOT_IN_AMRAP: [(&str, &str); 6] = [
    ("cap", "it ends with its window; write window instead of cap"),
    ("finish", "it ends with its window; leave finish out"),
    ("rounds", "its round is repeated without end; leave rounds out"),
    ("cash_out", "nobody would come to it; put the work into parts or leave cash_out out"),
    ("capped", "its result is the work done; leave capped out"),
    ("penalty_per_unit", "no unit of it is missing at the end; leave penalty_per_unit out"),
];
/// The same for a workout that is done for time.
const NOT_FOR_TIME: [(&str, &str); 2] = [
    ("window", "it has a time cap; write cap instead of window"),
    ("amrap_shows", "its result is a time; leave amrap_shows out or write scoring = \"amrap\""),
];

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
    let open_ended = matches!(scoring, Scoring::Amrap { .. });
    let (name, unfit): (_, &[_]) =
        if open_ended { ("an AMRAP", &NOT_IN_AMRAP) } else { ("for time", &NOT_FOR_TIME) };
    for (field, instead) in unfit {
        if let Some(value) = fields.value(field) {
            faults.add(value.span().start, format!("{} is {name}: {instead}", fields.what));
        }
    }
    Rules {
        scoring,
        clock: clock(fields, open_ended, faults),
        finish: finish.unwrap_or(FinishRule::LastUnit),
        mark_every_part: fields.flag("mark_every_part", faults),
    }
}

/// For time unless told otherwise.
fn scoring(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> Scoring {
    let shows = fields.choice(
        "amrap_shows",
        &[("rounds and reps", AmrapShows::RoundsAndReps), ("total", AmrapShows::Total)],
        faults,
    );
    let amrap = Scoring::Amrap { shows: shows.unwrap_or(AmrapShows::RoundsAndReps) };
    let choices = [("for time", Scoring::ForTime), ("amrap", amrap)];
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
