//! Official times and how results read: cut to the event's resolution by the event's rule, in whole
//! milliseconds throughout.

use crate::time::SpanMs;
use crate::workout::{CappedAs, ClockRules, Resolution, Rounding};

/// Milliseconds of one unit of a resolution.
#[must_use]
pub fn resolution_ms(resolution: Resolution) -> u32 {
    match resolution {
        Resolution::Second => 1_000,
        Resolution::Tenth => 100,
        Resolution::Hundredth => 10,
    }
}

/// A time cut to a resolution. A time on the resolution already stays as it is; less than 0 becomes 0.
///
/// Rounding up is the rule of track and field's technical rules, dropping the rest that of swimming
/// (SW 11.2).
#[must_use]
pub fn cut(time: SpanMs, resolution: Resolution, rounding: Rounding) -> SpanMs {
    let unit = i64::from(resolution_ms(resolution));
    let time = time.0.max(0);
    let rest = time % unit;
    let down = time - rest;
    match rounding {
        Rounding::Up if rest > 0 => SpanMs(down.saturating_add(unit)),
        _ => SpanMs(down),
    }
}

/// A cut time as shown: `7:08.4`, with hours from one hour on (`1:02:03.4`).
#[must_use]
pub fn time_text(time: SpanMs, resolution: Resolution) -> String {
    let ms = time.0.max(0);
    let (hours, minutes, seconds) = (ms / 3_600_000, ms / 60_000 % 60, ms / 1_000 % 60);
    let whole = if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    };
    match resolution {
        Resolution::Second => whole,
        Resolution::Tenth => format!("{whole}.{}", ms / 100 % 10),
        Resolution::Hundredth => format!("{whole}.{:02}", ms / 10 % 100),
    }
}

/// Official time of a finish, penalties in.
pub(crate) fn official(rules: &ClockRules, elapsed: SpanMs, penalty: SpanMs) -> SpanMs {
    cut(SpanMs(elapsed.0.saturating_add(penalty.0)), rules.resolution, rules.rounding)
}

/// The time that stands for a capped lane: the cap, a penalty for each missing unit, and other penalties.
pub(crate) fn capped_time(rules: &ClockRules, missing: u32, penalty: SpanMs) -> SpanMs {
    let units = rules.penalty_per_unit.0.saturating_mul(i64::from(missing));
    official(rules, SpanMs(rules.cap.0.saturating_add(units)), penalty)
}

/// A capped lane's result as shown.
pub(crate) fn capped_text(rules: &ClockRules, score: u32, whole: u32, penalty: SpanMs) -> String {
    let missing = whole.saturating_sub(score);
    match rules.capped_as {
        CappedAs::WorkDone => format!("{score} of {whole}"),
        CappedAs::WorkLeft => format!("cap + {missing}"),
        CappedAs::CapPlusPenalty => time_text(capped_time(rules, missing, penalty), rules.resolution),
    }
}

/// A span in seconds as said in a sentence: `10 s`, `1.5 s`, without needless noughts.
pub(crate) fn seconds_text(span: SpanMs) -> String {
    let ms = span.0.unsigned_abs();
    let rest = format!("{:03}", ms % 1_000);
    match rest.trim_end_matches('0') {
        "" => format!("{} s", ms / 1_000),
        rest => format!("{}.{rest} s", ms / 1_000),
    }
}
