//! Effective time: when a call was tapped, as far as the feed can know. A page's stamp is mapped by the page's
//! clock offset, then kept within what receipt and neighbours allow, so that no phone can reach far back or
//! ahead. What is in doubt is said.

use crate::bounds::{CLAMP_DOUBT_MS, LIVE_LAG_MS, SLEPT_MS};
use crate::command::Tally;
use crate::record::Doubts;
use crate::time::{HeatMs, MonoMs, SpanMs};

/// What a page's earlier calls say about the next one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Neighbour {
    /// Stamp of the page's previous call.
    pub(crate) stamp: MonoMs,
    /// Its effective time.
    pub(crate) effective: HeatMs,
    /// Wall clock minus monotonic clock, at the page's first call that told its wall clock.
    pub(crate) wall_ahead_ms: Option<i64>,
}

/// Effective time of a call received at `at`, and what is in doubt about it.
pub(crate) fn effective(tally: &Tally, at: HeatMs, previous: Option<Neighbour>) -> (HeatMs, Doubts) {
    let earliest = previous.map_or(HeatMs(i64::MIN), |previous| previous.effective);
    let mut doubts = Doubts { slept: has_slept(tally, previous), ..Doubts::default() };
    let mapped = match (tally.offset, previous) {
        (Some(offset), _) => HeatMs(tally.stamp.0).plus(offset.add),
        (None, Some(previous)) => {
            doubts.no_offset = true;
            previous.effective.plus(SpanMs(tally.stamp.0.saturating_sub(previous.stamp.0)))
        }
        (None, None) => {
            doubts.no_offset = true;
            at
        }
    };
    let mut lowest = earliest;
    if tally.offset.is_some() {
        if mapped < tally.link_since {
            doubts.outage = true;
        } else {
            lowest = lowest.max(at.plus(SpanMs(-LIVE_LAG_MS)));
        }
    }
    let effective = mapped.max(lowest).min(at);
    doubts.clamped = mapped.since(effective).0.saturating_abs() > CLAMP_DOUBT_MS;
    (effective, doubts)
}

/// How far a page's wall clock is ahead of its monotonic clock, if it tells.
pub(crate) fn wall_ahead_ms(tally: &Tally) -> Option<i64> {
    tally.wall_ms.map(|wall| wall.saturating_sub(tally.stamp.0))
}

fn has_slept(tally: &Tally, previous: Option<Neighbour>) -> bool {
    let first = previous.and_then(|previous| previous.wall_ahead_ms);
    match (first, wall_ahead_ms(tally)) {
        (Some(first), Some(now)) => now.saturating_sub(first).saturating_abs() > SLEPT_MS,
        _ => false,
    }
}
