//! The clock of one run: the spans in which it ran, and why each ended. Tells what elapsed time a moment had and
//! whether a call of that moment counts; leaves the heat's states to `floor`.

use crate::answer::NotCounted;
use crate::time::{HeatMs, SpanMs};

/// Spans of running time, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RunClock {
    cap: SpanMs,
    spans: Vec<Span>,
}

/// One span in which the clock ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Span {
    from: HeatMs,
    /// Where elapsed time was, or would have been, 0.
    zero_at: HeatMs,
    end: End,
}

/// How a span ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    /// It has not.
    Open,
    /// By a hold at this moment; what comes after it waits for a ruling.
    Held(HeatMs),
    /// By the call of time; what comes at this moment still counts.
    Called(HeatMs),
}

impl RunClock {
    /// A clock that has not started.
    pub(crate) fn new(cap: SpanMs) -> Self {
        Self { cap, spans: Vec::new() }
    }

    /// Starts, or goes on after a hold, at `at` with `elapsed` on the clock.
    pub(crate) fn go(&mut self, at: HeatMs, elapsed: SpanMs) {
        let zero_at = at.plus(SpanMs(elapsed.0.saturating_neg()));
        self.spans.push(Span { from: at, zero_at, end: End::Open });
    }

    /// Freezes.
    pub(crate) fn hold(&mut self, at: HeatMs) {
        self.end(End::Held(at));
    }

    /// Ends the run's time at `at`.
    pub(crate) fn call_time(&mut self, at: HeatMs) {
        self.end(End::Called(at));
    }

    /// Takes the call of time back.
    pub(crate) fn reopen(&mut self) {
        self.end(End::Open);
    }

    /// How often the clock was started.
    pub(crate) fn starts(&self) -> usize {
        self.spans.len()
    }

    /// Whether the clock has ever run.
    pub(crate) fn started(&self) -> bool {
        !self.spans.is_empty()
    }

    /// Where elapsed time was 0, for the latest span.
    pub(crate) fn zero_at(&self) -> Option<HeatMs> {
        self.spans.last().map(|span| span.zero_at)
    }

    /// When the latest span reaches the cap.
    pub(crate) fn cap_at(&self) -> Option<HeatMs> {
        self.zero_at().map(|zero| zero.plus(self.cap))
    }

    /// Elapsed time of a call, if a call of that moment counts. A call exactly at the cap counts.
    pub(crate) fn counts(&self, moment: HeatMs) -> Result<SpanMs, NotCounted> {
        let span = self.span_of(moment).ok_or(NotCounted::BeforeStart)?;
        let elapsed = moment.since(span.zero_at);
        match span.end {
            End::Held(held) if moment > held => Err(NotCounted::DuringHold),
            End::Called(called) if moment > called => Err(NotCounted::AfterCap),
            _ if elapsed > self.cap => Err(NotCounted::AfterCap),
            _ => Ok(elapsed),
        }
    }

    /// What the clock showed at a moment: 0 before the start, frozen in holds, never above the cap.
    pub(crate) fn elapsed(&self, moment: HeatMs) -> SpanMs {
        let Some(span) = self.span_of(moment) else { return SpanMs(0) };
        let seen = match span.end {
            End::Held(end) | End::Called(end) => moment.min(end),
            End::Open => moment,
        };
        seen.since(span.zero_at).min(self.cap)
    }

    fn span_of(&self, moment: HeatMs) -> Option<&Span> {
        self.spans.iter().rev().find(|span| span.from <= moment)
    }

    fn end(&mut self, end: End) {
        if let Some(span) = self.spans.last_mut() {
            span.end = end;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Starts at 1,000, is held at 61,000, goes on at 100,000 with a minute on the clock; cap 2 minutes.
    fn held_once() -> RunClock {
        let mut clock = RunClock::new(SpanMs(120_000));
        clock.go(HeatMs(1_000), SpanMs(0));
        clock.hold(HeatMs(61_000));
        clock.go(HeatMs(100_000), SpanMs(60_000));
        clock
    }

    #[test]
    fn calls_are_placed_by_their_moment() {
        #[track_caller]
        fn check(moment: i64, want: Result<i64, NotCounted>) {
            assert_eq!(held_once().counts(HeatMs(moment)), want.map(SpanMs));
        }
        check(999, Err(NotCounted::BeforeStart));
        check(1_000, Ok(0));
        check(60_999, Ok(59_999));
        check(61_000, Ok(60_000));
        check(61_001, Err(NotCounted::DuringHold));
        check(99_999, Err(NotCounted::DuringHold));
        check(100_000, Ok(60_000));
        check(160_000, Ok(120_000));
        check(160_001, Err(NotCounted::AfterCap));
    }

    #[test]
    fn the_shown_time_freezes_and_stops() {
        #[track_caller]
        fn check(moment: i64, want: i64) {
            assert_eq!(held_once().elapsed(HeatMs(moment)), SpanMs(want));
        }
        check(0, 0);
        check(31_000, 30_000);
        check(80_000, 60_000);
        check(110_000, 70_000);
        check(999_999, 120_000);
    }

    #[test]
    fn time_called_early_ends_the_run_and_can_be_taken_back() {
        let mut clock = held_once();
        clock.call_time(HeatMs(130_000));
        assert_eq!(clock.counts(HeatMs(130_000)), Ok(SpanMs(90_000)));
        assert_eq!(clock.counts(HeatMs(130_001)), Err(NotCounted::AfterCap));
        clock.reopen();
        assert_eq!(clock.counts(HeatMs(130_001)), Ok(SpanMs(90_001)));
    }
}
