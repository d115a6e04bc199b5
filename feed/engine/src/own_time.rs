//! A lane's own time. Heat time runs from the heat's start; a lane may start later and may be credited time, and the
//! workout says which of the two decides the order and which one the cap limits. All that is kept of a lane is in
//! heat time; here it becomes what counts.

use std::ops::RangeInclusive;

use crate::clock::Window;
use crate::official::cut;
use crate::time::SpanMs;
use crate::workout::{CapOn, ClockRules, OrderBy};

/// What sets a lane's own time apart from the heat's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct OwnTime {
    /// Its start after the heat's.
    pub(crate) start: SpanMs,
    /// Time credited to it.
    pub(crate) credit: SpanMs,
}

impl OwnTime {
    /// Heat time in which the lane's calls count, both ends in.
    pub(crate) fn window(self, rules: &ClockRules) -> Window {
        Window { from: self.start, until: self.up(rules), credit: self.credit }
    }

    /// Heat time at which the lane's time is up.
    pub(crate) fn up(self, rules: &ClockRules) -> SpanMs {
        match rules.cap_on {
            CapOn::LaneTime => plus(plus(rules.cap, self.start), self.credit),
            CapOn::Heat => rules.cap,
        }
    }

    /// What counts of a moment of heat time: a result, or how early a count was reached.
    pub(crate) fn counted(self, heat_time: SpanMs, rules: &ClockRules) -> SpanMs {
        minus(minus(heat_time, self.zero(rules)), self.credit)
    }

    /// The heat time of a finish that a ruling gives; credits come on top of it.
    pub(crate) fn heat_time(self, ruled: SpanMs, rules: &ClockRules) -> SpanMs {
        plus(ruled, self.zero(rules))
    }

    /// Times that a ruling may give for a finish when the lane stands at a heat time.
    pub(crate) fn finishes(self, heat_time: SpanMs, rules: &ClockRules) -> RangeInclusive<SpanMs> {
        let latest = heat_time.min(self.up(rules));
        minus(self.start, self.zero(rules))..=minus(latest, self.zero(rules))
    }

    /// Official time of a moment of heat time, penalties in.
    pub(crate) fn official(self, heat_time: SpanMs, penalty: SpanMs, rules: &ClockRules) -> SpanMs {
        cut(plus(self.counted(heat_time, rules), penalty), rules.resolution, rules.rounding)
    }

    /// The time that stands for a lane stopped by time: where its time was up, a penalty for each missing unit, and
    /// other penalties.
    pub(crate) fn capped(self, missing: u32, penalty: SpanMs, rules: &ClockRules) -> SpanMs {
        let units = rules.penalty_per_unit.0.saturating_mul(i64::from(missing));
        self.official(plus(self.up(rules), SpanMs(units)), penalty, rules)
    }

    /// Heat time at which what counts begins at 0.
    fn zero(self, rules: &ClockRules) -> SpanMs {
        match rules.order_by {
            OrderBy::LaneTime => self.start,
            OrderBy::FirstToFinish => SpanMs(0),
        }
    }
}

fn plus(span: SpanMs, add: SpanMs) -> SpanMs {
    SpanMs(span.0.saturating_add(add.0))
}

fn minus(span: SpanMs, take: SpanMs) -> SpanMs {
    SpanMs(span.0.saturating_sub(take.0))
}
