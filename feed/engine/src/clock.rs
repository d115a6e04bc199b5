//! The clock of one run: the spans in which it ran, and why each ended. Tells what heat time a moment had and
//! whether a call of that moment counts; leaves the heat's states to `floor`, and each lane's own share of the time
//! to `own_time`.

use crate::answer::NotCounted;
use crate::time::{HeatMs, SpanMs};

/// Spans of running time, in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct RunClock {
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
    /// By the last working lane's time being up. Each lane's own limit says what counts, as a credit may move one later.
    RunOut(HeatMs),
}

/// Heat time in which a lane's calls count, both ends in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Window {
    pub(crate) from: SpanMs,
    pub(crate) until: SpanMs,
    /// How far beyond the end of the run's time it may reach.
    pub(crate) credit: SpanMs,
}

impl RunClock {
    /// Starts, or goes on after a hold, at `at` with `elapsed` on the clock.
    pub(crate) fn go(&mut self, at: HeatMs, elapsed: SpanMs) {
        let zero_at = at.plus(SpanMs(elapsed.0.saturating_neg()));
        self.spans.push(Span { from: at, zero_at, end: End::Open });
    }

    /// Freezes.
    pub(crate) fn hold(&mut self, at: HeatMs) {
        self.end(End::Held(at));
    }

    /// Ends the run's time at `at`: nothing tapped later counts.
    pub(crate) fn call_time(&mut self, at: HeatMs) {
        self.end(End::Called(at));
    }

    /// Ends the run's time where it was held.
    pub(crate) fn call_time_held(&mut self) {
        if let Some(Span { end: End::Held(held), .. }) = self.spans.last().copied() {
            self.end(End::Called(held));
        }
    }

    /// Notes that at `at` the time of every lane that still worked was up.
    pub(crate) fn run_out(&mut self, at: HeatMs) {
        self.end(End::RunOut(at));
    }

    /// Takes the end of the run's time back.
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

    /// When the latest span reaches an elapsed time.
    pub(crate) fn moment_of(&self, elapsed: SpanMs) -> Option<HeatMs> {
        self.zero_at().map(|zero| zero.plus(elapsed))
    }

    /// When the run's time ended, if it did.
    pub(crate) fn ended_at(&self) -> Option<HeatMs> {
        match self.spans.last()?.end {
            End::Called(at) | End::RunOut(at) => Some(at),
            End::Open | End::Held(_) => None,
        }
    }

    /// Elapsed time of a call, if a call of that moment counts for a lane whose time is `own`. A call exactly at
    /// either end of it counts.
    pub(crate) fn counts(&self, moment: HeatMs, own: Window) -> Result<SpanMs, NotCounted> {
        let span = self.span_of(moment).ok_or(NotCounted::BeforeStart)?;
        let elapsed = moment.since(span.zero_at);
        match span.end {
            End::Held(held) if moment > held => Err(NotCounted::DuringHold),
            End::Called(called) if moment > called => Err(NotCounted::AfterCap),
            End::RunOut(end) if moment > end.plus(own.credit) => Err(NotCounted::AfterCap),
            _ if elapsed > own.until => Err(NotCounted::AfterCap),
            _ if elapsed < own.from => Err(NotCounted::BeforeStart),
            _ => Ok(elapsed),
        }
    }

    /// The same, and none before the start.
    pub(crate) fn elapsed_if_started(&self, moment: HeatMs) -> Option<SpanMs> {
        self.spans.first().filter(|first| moment >= first.from).map(|_| self.elapsed(moment))
    }

    /// Elapsed time at a moment: 0 before the start, frozen in holds and when time was called.
    pub(crate) fn elapsed(&self, moment: HeatMs) -> SpanMs {
        let Some(span) = self.span_of(moment) else { return SpanMs(0) };
        let seen = match span.end {
            End::Held(end) | End::Called(end) => moment.min(end),
            End::Open | End::RunOut(_) => moment,
        };
        seen.since(span.zero_at)
    }

    /// The end of the span in which a moment lies, for a lane that was credited time, if it has come: what was under way
    /// in it ended with it.
    pub(crate) fn span_end(&self, moment: HeatMs, credit: SpanMs) -> Option<HeatMs> {
        match self.span_of(moment)?.end {
            End::Open => None,
            End::Held(end) | End::Called(end) => Some(end),
            End::RunOut(end) => Some(end.plus(credit)),
        }
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

    /// Starts at 1,000, is held at 61,000, goes on at 100,000 with a minute on the clock.
    fn held_once() -> RunClock {
        let mut clock = RunClock::default();
        clock.go(HeatMs(1_000), SpanMs(0));
        clock.hold(HeatMs(61_000));
        clock.go(HeatMs(100_000), SpanMs(60_000));
        clock
    }

    /// From 10 s to 2 minutes of heat time.
    const OWN: Window = Window { from: SpanMs(10_000), until: SpanMs(120_000), credit: SpanMs(0) };

    #[test]
    fn calls_are_placed_by_their_moment() {
        #[track_caller]
        fn check(moment: i64, want: Result<i64, NotCounted>) {
            assert_eq!(held_once().counts(HeatMs(moment), OWN), want.map(SpanMs));
        }
        check(999, Err(NotCounted::BeforeStart));
        check(10_999, Err(NotCounted::BeforeStart));
        check(11_000, Ok(10_000));
        check(60_999, Ok(59_999));
        check(61_000, Ok(60_000));
        check(61_001, Err(NotCounted::DuringHold));
        check(99_999, Err(NotCounted::DuringHold));
        check(100_000, Ok(60_000));
        check(160_000, Ok(120_000));
        check(160_001, Err(NotCounted::AfterCap));
    }

    #[test]
    fn the_elapsed_time_freezes_in_a_hold_and_when_time_is_called() {
        #[track_caller]
        fn check(clock: &RunClock, moment: i64, want: i64) {
            assert_eq!(clock.elapsed(HeatMs(moment)), SpanMs(want));
        }
        let mut clock = held_once();
        check(&clock, 0, 0);
        check(&clock, 31_000, 30_000);
        check(&clock, 80_000, 60_000);
        check(&clock, 110_000, 70_000);
        clock.call_time(HeatMs(120_000));
        check(&clock, 999_999, 80_000);
    }

    #[test]
    fn time_called_early_ends_the_run_and_can_be_taken_back() {
        let mut clock = held_once();
        clock.call_time(HeatMs(130_000));
        assert_eq!(clock.ended_at(), Some(HeatMs(130_000)));
        assert_eq!(clock.counts(HeatMs(130_000), OWN), Ok(SpanMs(90_000)));
        assert_eq!(clock.counts(HeatMs(130_001), OWN), Err(NotCounted::AfterCap));
        clock.reopen();
        assert_eq!((clock.ended_at(), clock.counts(HeatMs(130_001), OWN)), (None, Ok(SpanMs(90_001))));
    }

    #[test]
    fn a_credited_lane_goes_on_counting_after_the_others_ran_out() {
        let mut clock = held_once();
        clock.run_out(HeatMs(160_000));
        assert_eq!(clock.ended_at(), Some(HeatMs(160_000)));
        assert_eq!(clock.counts(HeatMs(160_001), OWN), Err(NotCounted::AfterCap));
        let credited = Window { until: SpanMs(125_000), credit: SpanMs(5_000), ..OWN };
        assert_eq!(clock.counts(HeatMs(165_000), credited), Ok(SpanMs(125_000)));
        // A lane that had ended with time left has no more of it.
        let later = Window { until: SpanMs(150_000), ..OWN };
        assert_eq!(clock.counts(HeatMs(160_000), later), Ok(SpanMs(120_000)));
        assert_eq!(clock.counts(HeatMs(160_001), later), Err(NotCounted::AfterCap));
    }
}
