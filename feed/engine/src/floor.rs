//! The heat's states and how it goes from one to the next: by the floor's commands, by the passing of time, and
//! when every lane has ended.

use crate::answer::Refused;
use crate::bounds::{CLOSE_GRACE_MS, MAX_HOLDS, MAX_RUNS};
use crate::clock::RunClock;
use crate::command::Floor;
use crate::heat::{Heat, latest_finish};
use crate::lane::Lane;
use crate::record::PastRun;
use crate::time::{HeatMs, SpanMs};
use crate::view::{Clock, State};
use crate::work::Ground;

/// Where the heat stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Phase {
    LanesSet,
    OnDeck,
    Countdown {
        since: HeatMs,
        go_at: HeatMs,
        elapsed: SpanMs,
    },
    Running,
    Held {
        elapsed: SpanMs,
    },
    TimeCalled(Ended),
    /// `by_itself`: nothing was missing; else the head judge closed it.
    Provisional {
        ended: Ended,
        by_itself: bool,
    },
    Signed(Ended),
    Cancelled {
        elapsed: SpanMs,
    },
}

/// How the run's time ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Ended {
    /// When time was called.
    pub(crate) at: HeatMs,
    /// What the clock stands at.
    pub(crate) shown: SpanMs,
    /// Every lane had ended before the cap; an undo takes the call of time back.
    pub(crate) all_lanes: bool,
}

impl Phase {
    /// The state that it is.
    pub(crate) fn state(&self) -> State {
        match self {
            Self::LanesSet => State::LanesSet,
            Self::OnDeck => State::OnDeck,
            Self::Countdown { .. } => State::Countdown,
            Self::Running => State::Running,
            Self::Held { .. } => State::Held,
            Self::TimeCalled(_) => State::TimeCalled,
            Self::Provisional { .. } => State::Provisional,
            Self::Signed(_) => State::Signed,
            Self::Cancelled { .. } => State::Cancelled,
        }
    }

    /// How time ended, from time called on.
    pub(crate) fn ended(&self) -> Option<Ended> {
        match self {
            Self::TimeCalled(ended) | Self::Provisional { ended, .. } | Self::Signed(ended) => Some(*ended),
            _ => None,
        }
    }
}

impl Heat {
    /// Takes a command of the floor.
    pub(crate) fn floor(&mut self, at: HeatMs, command: Floor) -> Result<(), Refused> {
        let elapsed = self.clock.elapsed(at);
        match (command, self.phase) {
            (Floor::OnDeck, Phase::LanesSet) => self.phase = Phase::OnDeck,
            (Floor::OnDeck, Phase::Cancelled { .. }) => self.start_new_run()?,
            (Floor::StartCountdown, Phase::OnDeck) => self.count_down(at, SpanMs(0)),
            (Floor::Recall, Phase::Countdown { .. } | Phase::Running) => self.start_new_run()?,
            (Floor::Hold, Phase::Countdown { elapsed, .. }) => self.phase = Phase::Held { elapsed },
            (Floor::Hold, Phase::Running) if self.clock.starts() >= MAX_HOLDS => {
                return Err(Refused::TooManyHolds(MAX_HOLDS));
            }
            (Floor::Hold, Phase::Running) => {
                self.clock.hold(at);
                self.phase = Phase::Held { elapsed };
            }
            (Floor::Resume, Phase::Held { elapsed }) => self.count_down(at, elapsed),
            (Floor::Cancel, Phase::Countdown { .. } | Phase::Running | Phase::Held { .. }) => {
                self.phase = Phase::Cancelled { elapsed };
            }
            (Floor::CallTime, Phase::Running) => {
                self.call_time(Ended { at, shown: elapsed, all_lanes: false });
            }
            (Floor::Close, Phase::TimeCalled(ended)) => {
                self.phase = Phase::Provisional { ended, by_itself: false };
            }
            (Floor::Sign, Phase::Provisional { ended, .. }) => self.phase = Phase::Signed(ended),
            (_, Phase::Signed(_)) => return Err(Refused::HeatSigned),
            (_, Phase::Cancelled { .. }) => return Err(Refused::HeatCancelled),
            (_, phase) => return Err(Refused::NotInThisState(phase.state())),
        }
        self.refresh_all();
        Ok(())
    }

    /// Lets time pass to `at`, firing what is due on the way. Gives `at`, moved up to the latest moment seen.
    pub(crate) fn pass_to(&mut self, at: HeatMs) -> HeatMs {
        let at = at.max(self.now);
        while let Some(due) = self.due().filter(|due| *due <= at) {
            self.fire(due);
        }
        self.now = at;
        at
    }

    /// When the heat next changes by itself.
    pub(crate) fn due(&self) -> Option<HeatMs> {
        match self.phase {
            Phase::Countdown { go_at, .. } => Some(go_at),
            Phase::Running => self.clock.cap_at(),
            Phase::TimeCalled(ended) if !self.must_wait() => Some(ended.at.plus(SpanMs(CLOSE_GRACE_MS))),
            _ => None,
        }
    }

    /// Follows up on an input received at `at`, whose effect was at `effective`.
    pub(crate) fn settle(&mut self, at: HeatMs, effective: HeatMs) {
        if self.phase == Phase::Running && self.all_ended() {
            let elapsed = self.clock.elapsed(effective);
            let shown = latest_finish(&self.lanes).map_or(elapsed, |finish| finish.max(elapsed));
            self.call_time(Ended { at, shown, all_lanes: true });
            self.refresh_all();
        }
        if let Phase::TimeCalled(ended) = self.phase
            && !self.must_wait()
            && at >= ended.at.plus(SpanMs(CLOSE_GRACE_MS))
        {
            self.phase = Phase::Provisional { ended, by_itself: true };
            self.refresh_all();
        }
        let view = self.state();
        if self.seen != Some(view) {
            self.seen = Some(view);
            self.screen.heat_changed();
        }
    }

    /// A call has reopened a lane: if time was called only because every lane had ended, the clock runs on as if it
    /// had never stopped, or has reached the cap meanwhile. Calls that came too late before may count now.
    pub(crate) fn resume_if_reopened(&mut self, at: HeatMs) {
        let (Phase::TimeCalled(ended) | Phase::Provisional { ended, by_itself: true }) = self.phase else {
            return;
        };
        let Some(cap_at) = self.clock.cap_at().filter(|_| ended.all_lanes) else { return };
        if at < cap_at {
            self.clock.reopen();
            self.phase = Phase::Running;
        } else {
            self.call_time(Ended { at: cap_at, shown: self.rules.cap, all_lanes: false });
        }
        for lane in &mut self.lanes {
            lane.recount(Ground { course: &self.courses[lane.course], clock: &self.clock });
        }
        self.refresh_all();
    }

    /// How the clock is drawn.
    pub(crate) fn clock_view(&self) -> Clock {
        match self.phase {
            Phase::LanesSet | Phase::OnDeck => Clock::Idle,
            Phase::Countdown { since, go_at, elapsed } => Clock::CountingDown { since, go_at, elapsed },
            Phase::Running => self.clock.zero_at().map_or(Clock::Idle, |zero_at| Clock::Running { zero_at }),
            Phase::Held { elapsed } | Phase::Cancelled { elapsed } => Clock::Stopped { elapsed },
            Phase::TimeCalled(ended) | Phase::Provisional { ended, .. } | Phase::Signed(ended) => {
                Clock::Stopped { elapsed: ended.shown }
            }
        }
    }

    fn count_down(&mut self, since: HeatMs, elapsed: SpanMs) {
        self.phase = Phase::Countdown { since, go_at: since.plus(self.rules.countdown), elapsed };
    }

    fn fire(&mut self, due: HeatMs) {
        match self.phase {
            Phase::Countdown { elapsed, .. } => {
                self.clock.go(due, elapsed);
                self.phase = Phase::Running;
            }
            Phase::Running => self.call_time(Ended { at: due, shown: self.rules.cap, all_lanes: false }),
            _ => {}
        }
        self.now = self.now.max(due);
        self.refresh_all();
        self.settle(due, due);
    }

    fn call_time(&mut self, ended: Ended) {
        self.clock.call_time(ended.at);
        self.phase = Phase::TimeCalled(ended);
    }

    fn all_ended(&self) -> bool {
        let mut occupied = self.lanes.iter().filter(|lane| lane.occupied).peekable();
        occupied.peek().is_some() && occupied.all(|lane| lane.now().has_ended())
    }

    /// Whether calls may still be missing: a number is, or a lane was stopped by time while no phone of its judge
    /// was on the line.
    fn must_wait(&self) -> bool {
        let lost = |lane: &Lane| lane.occupied && !lane.now().has_ended() && lane.judge_lost();
        self.pages.gap_outstanding() || self.lanes.iter().any(lost)
    }

    /// Puts the present run away and starts a fresh one, on deck.
    fn start_new_run(&mut self) -> Result<(), Refused> {
        if self.run >= MAX_RUNS {
            return Err(Refused::TooManyRuns(self.run));
        }
        let lanes = self.lanes.iter_mut().map(Lane::start_over).collect();
        self.past.push(PastRun { run: self.run, lanes });
        self.run += 1;
        self.clock = RunClock::new(self.rules.cap);
        self.phase = Phase::OnDeck;
        self.screen.run_changed();
        Ok(())
    }
}
