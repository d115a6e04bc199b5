//! How time passes: what is due when, how a run's time ends when every lane has ended or run out of its own, and when
//! the heat closes by itself. The commands that change its state are in `floor`.

use crate::bounds::CLOSE_GRACE_MS;
use crate::floor::{Ended, Phase};
use crate::heat::Heat;
use crate::lane::Lane;
use crate::time::{HeatMs, SpanMs};

impl Heat {
    /// Lets time pass to `at`, firing what is due on the way. Gives `at`, moved up to the latest moment seen.
    pub(crate) fn pass_to(&mut self, at: HeatMs) -> HeatMs {
        let at = at.max(self.now);
        while let Some(due) = self.due.filter(|due| *due <= at) {
            self.fire(due);
        }
        self.now = at;
        at
    }

    /// When the heat next changes by itself.
    fn next_due(&self) -> Option<HeatMs> {
        match self.phase {
            Phase::Countdown { go_at, .. } => Some(go_at),
            Phase::Running => self.clock().moment_of(self.next_up()),
            Phase::TimeCalled(ended) if !self.must_wait() => Some(ended.at.plus(SpanMs(CLOSE_GRACE_MS))),
            _ => None,
        }
    }

    /// Follows up on an input received at `at`, whose effect was at `effective`.
    pub(crate) fn settle(&mut self, at: HeatMs, effective: HeatMs) {
        if self.settled && self.phase == Phase::Running {
            // Nearly every call: it has moved its lane on, and the heat goes on as it did.
            let front = self.screen.ladder.front;
            if let Some(seen) = self.seen.as_mut().filter(|seen| seen.first_on_floor != front) {
                seen.first_on_floor = front;
                self.screen.heat_changed();
            }
            return;
        }
        if self.phase == Phase::Running && self.all_ended() {
            self.end_run(at, effective);
            self.refresh_all();
        }
        if let Phase::TimeCalled(ended) = self.phase
            && !self.must_wait()
            && at >= ended.at.plus(SpanMs(CLOSE_GRACE_MS))
        {
            self.phase = Phase::Provisional { ended, by_itself: true };
            self.refresh_all();
        }
        self.due = self.next_due();
        self.settled = true;
        let view = self.state();
        if self.seen != Some(view) {
            self.seen = Some(view);
            self.screen.heat_changed();
        }
    }

    /// A call has reopened a lane: if time was called only because every lane had ended, the clock runs on as if it
    /// had never stopped, or has run out meanwhile. Calls that came too late before may count now.
    pub(crate) fn resume_if_reopened(&mut self, at: HeatMs) {
        let (Phase::TimeCalled(ended) | Phase::Provisional { ended, by_itself: true }) = self.phase else {
            return;
        };
        let ends = self.ends();
        let Some(ends_at) = self.clock().moment_of(ends).filter(|_| ended.early) else { return };
        if at < ends_at {
            self.clock_mut().reopen();
            self.phase = Phase::Running;
        } else {
            self.clock_mut().run_out(ends_at);
            self.phase = Phase::TimeCalled(Ended { at: ends_at, shown: ends, early: false });
        }
        for index in 0..self.lanes.len() {
            self.recount(index);
        }
        self.refresh_all();
    }

    fn fire(&mut self, due: HeatMs) {
        self.now = self.now.max(due);
        self.settled = false;
        if let Phase::Countdown { elapsed, .. } = self.phase {
            self.clock_mut().go(due, elapsed);
            self.phase = Phase::Running;
        }
        self.refresh_all();
        self.settle(due, due);
    }

    /// Ends the run's time: every lane has ended or its time is up.
    fn end_run(&mut self, at: HeatMs, effective: HeatMs) {
        let elapsed = self.clock().elapsed(effective);
        let last = |lane: &Lane| match lane.now().finish {
            _ if lane.now().is_out() => elapsed,
            Some(finish) => finish.elapsed,
            None => lane.own.up(&self.rules),
        };
        let shown = self.runners().map(last).fold(elapsed, SpanMs::max);
        let ends = self.ends();
        let stopped = self.runners().any(|lane| !lane.now().has_ended()) || self.runners().next().is_none();
        let early = !stopped || shown < ends;
        if stopped {
            self.clock_mut().run_out(at);
        } else {
            self.clock_mut().call_time(at);
        }
        self.phase = Phase::TimeCalled(Ended { at, shown, early });
    }

    /// Heat time at which the next lane's time is up.
    fn next_up(&self) -> SpanMs {
        let at_work = self.runners().filter(|lane| !lane.now().has_ended() && !self.time_is_up(lane));
        at_work.map(|lane| lane.own.up(&self.rules)).min().unwrap_or_else(|| self.ends())
    }

    fn all_ended(&self) -> bool {
        if self.runners().next().is_none() {
            return self.is_past(self.ends());
        }
        self.runners().all(|lane| lane.now().has_ended() || self.time_is_up(lane))
    }

    /// Whether a lane's own time is up, though the heat may go on.
    pub(crate) fn time_is_up(&self, lane: &Lane) -> bool {
        let up = lane.own.up(&self.rules);
        match self.phase {
            Phase::Running => self.is_past(up),
            Phase::Held { elapsed } | Phase::Countdown { elapsed, .. } => elapsed >= up,
            _ => false,
        }
    }

    /// Whether the running clock has come to a heat time.
    fn is_past(&self, heat_time: SpanMs) -> bool {
        self.clock().moment_of(heat_time).is_some_and(|moment| self.now >= moment)
    }

    /// Whether calls may still be missing: a number is, or a lane was stopped by time while no phone of its judge
    /// was on the line.
    fn must_wait(&self) -> bool {
        let lost = |lane: &Lane| lane.occupied && !lane.now().has_ended() && lane.judge_lost();
        self.pages.gap_outstanding() || self.lanes.iter().any(lost)
    }
}
