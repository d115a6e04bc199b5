//! The heat's states and how the floor's commands lead from one to the next. What time does by itself is in `passing`,
//! running again in `runs`.

use crate::answer::Refused;
use crate::bounds::MAX_HOLDS;
use crate::clock::RunClock;
use crate::command::{Floor, StatusRuling};
use crate::heat::Heat;
use crate::lane::Lane;
use crate::order::Stage;
use crate::record::RemarkKind;
use crate::time::{HeatMs, SpanMs};
use crate::view::{Clock, State};

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
    /// Every lane had ended while there was time left; an undo takes the call of time back.
    pub(crate) early: bool,
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

    /// Whether the whole heat may be run again from here.
    fn may_run_again(&self) -> bool {
        matches!(
            self,
            Self::Running
                | Self::Held { .. }
                | Self::TimeCalled(_)
                | Self::Provisional { .. }
                | Self::Cancelled { .. }
        )
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
    pub(crate) fn floor(&mut self, at: HeatMs, command: &Floor) -> Result<(), Refused> {
        let elapsed = self.clock().elapsed(at);
        match (command, self.phase) {
            (Floor::OnDeck, Phase::LanesSet) => self.phase = Phase::OnDeck,
            (Floor::OnDeck, Phase::Cancelled { .. }) => self.run_again()?,
            (Floor::StartCountdown, Phase::OnDeck) => {
                // A lane that runs again alone and started after its heat is on the heat's clock from its start on.
                self.count_down(at, self.lone_lane().map_or(SpanMs(0), |lane| lane.own.start));
            }
            (Floor::Cancel, Phase::OnDeck) if self.cancel_alone(at) => {}
            (Floor::Recall, Phase::Countdown { .. } | Phase::Running) => self.run_again()?,
            (Floor::Hold, Phase::Countdown { elapsed, .. }) => self.phase = Phase::Held { elapsed },
            (Floor::Hold, Phase::Running) => self.hold(at, elapsed)?,
            (Floor::Resume, Phase::Held { elapsed }) => self.count_down(at, elapsed),
            (Floor::Cancel, Phase::Countdown { .. } | Phase::Running | Phase::Held { .. }) => {
                if !self.cancel_alone(at) {
                    self.phase = Phase::Cancelled { elapsed: self.shown().unwrap_or(elapsed) };
                }
            }
            (Floor::CallTime, Phase::Running) => {
                self.clock_mut().call_time(at);
                self.phase = Phase::TimeCalled(Ended { at, shown: elapsed, early: false });
            }
            (Floor::CallTime, Phase::Held { elapsed }) if self.clock().started() => {
                self.clock_mut().call_time_held();
                self.phase = Phase::TimeCalled(Ended { at, shown: elapsed, early: false });
            }
            (Floor::Close, Phase::TimeCalled(ended)) => {
                self.phase = Phase::Provisional { ended, by_itself: false };
            }
            (Floor::Sign { initials }, Phase::Provisional { ended, .. }) => {
                self.may_sign(*initials)?;
                self.phase = Phase::Signed(ended);
            }
            (Floor::Reopen { reason }, Phase::Signed(ended)) => {
                self.remark(at, RemarkKind::Reopened, reason)?;
                self.phase = Phase::Provisional { ended, by_itself: false };
            }
            (Floor::Rerun { reason }, phase) if phase.may_run_again() => self.rerun(at, reason)?,
            (Floor::RerunLane { lane, reason }, Phase::TimeCalled(_) | Phase::Provisional { .. }) => {
                self.rerun_lane(at, *lane, reason)?;
            }
            (Floor::DoubtClock, phase) => return self.doubt_clock(at, phase),
            (Floor::ConfirmClock, _) => self.confirm_clock(at)?,
            (_, Phase::Signed(_)) => return Err(Refused::HeatSigned),
            (_, Phase::Cancelled { .. }) => return Err(Refused::HeatCancelled),
            (_, phase) => return Err(Refused::NotInThisState(phase.state())),
        }
        self.refresh_all();
        Ok(())
    }

    /// How the clock is drawn.
    pub(crate) fn clock_view(&self) -> Clock {
        match self.phase {
            Phase::Countdown { since, go_at, elapsed } => Clock::CountingDown { since, go_at, elapsed },
            Phase::Running => {
                self.clock().zero_at().map_or(Clock::Idle, |zero_at| Clock::Running { zero_at })
            }
            _ => self.shown().map_or(Clock::Idle, |elapsed| Clock::Stopped { elapsed }),
        }
    }

    /// The clock that the phase goes by.
    pub(crate) fn clock(&self) -> &RunClock {
        // Runs are numbered from 1, and each has its clock from its beginning.
        &self.clocks[self.clock_slot()]
    }

    /// How far a lane is.
    pub(crate) fn stage_of(&self, lane: &Lane) -> Stage {
        match self.phase {
            Phase::Cancelled { .. } => Stage::Void,
            _ if !self.is_running(lane) || self.time_is_up(lane) => Stage::Called,
            phase if phase.ended().is_some() => Stage::Called,
            _ => Stage::Live,
        }
    }

    /// How far the heat is: while a lane runs again alone, the heat was called already.
    pub(crate) fn stage(&self) -> Stage {
        match self.phase {
            Phase::Cancelled { .. } => Stage::Void,
            phase if phase.ended().is_some() || self.lone_lane().is_some() => Stage::Called,
            _ => Stage::Live,
        }
    }

    /// Whether a lane is in the run that is on the clock.
    pub(crate) fn is_running(&self, lane: &Lane) -> bool {
        lane.run == self.on_clock
    }

    /// Heat time at which the last lane's time is up, lanes that are out left aside.
    pub(crate) fn ends(&self) -> SpanMs {
        let up = self.runners().filter(|lane| !lane.now().is_out()).map(|lane| lane.own.up(&self.rules));
        up.max().unwrap_or(self.rules.cap)
    }

    /// When a lane's time ended: its own, or its run's.
    pub(crate) fn time_of(&self, lane: &Lane) -> Option<HeatMs> {
        let clock = self.clock_of(lane);
        let up = clock.moment_of(lane.own.up(&self.rules));
        let ended = clock.ended_at();
        up.into_iter().chain(ended).min()
    }

    /// Whether a lane counts as having finished: in open-ended work, as having worked to the end of its window, or having
    /// used every attempt.
    pub(crate) fn has_finished(&self, lane: &Lane) -> bool {
        let open_ended = self.courses.get(lane.course).is_some_and(|course| course.is_open_ended());
        let done = lane.now().finish.is_some() || open_ended && lane.stage == Stage::Called;
        done && !lane.now().is_out()
    }

    /// What a clock that stands still shows; none before the start.
    fn shown(&self) -> Option<SpanMs> {
        match self.phase {
            Phase::Held { elapsed } | Phase::Cancelled { elapsed } | Phase::Countdown { elapsed, .. } => {
                Some(elapsed)
            }
            phase => phase.ended().map(|ended| ended.shown),
        }
    }

    pub(crate) fn clock_mut(&mut self) -> &mut RunClock {
        let slot = self.clock_slot();
        &mut self.clocks[slot]
    }

    fn clock_slot(&self) -> usize {
        usize::try_from(self.on_clock).unwrap_or(usize::MAX).saturating_sub(1)
    }

    fn count_down(&mut self, since: HeatMs, elapsed: SpanMs) {
        self.phase = Phase::Countdown { since, go_at: since.plus(self.rules.countdown), elapsed };
    }

    fn hold(&mut self, at: HeatMs, elapsed: SpanMs) -> Result<(), Refused> {
        if self.clock().starts() >= MAX_HOLDS {
            return Err(Refused::TooManyHolds(MAX_HOLDS));
        }
        self.clock_mut().hold(at);
        self.phase = Phase::Held { elapsed };
        Ok(())
    }

    /// Signing waits for every review, for the clock, and where they are wanted for initials.
    fn may_sign(&self, initials: bool) -> Result<(), Refused> {
        let in_review = |lane: &&Lane| lane.now().status == Some(StatusRuling::UnderReview);
        match self.lanes.iter().find(in_review) {
            Some(lane) => Err(Refused::UnderReview(lane.no)),
            None if self.doubted => Err(Refused::ClockInDoubt),
            None => match self.unconfirmed().filter(|_| initials) {
                Some((lane, others)) => Err(Refused::NotConfirmed { lane, others }),
                None => Ok(()),
            },
        }
    }

    /// Lanes with an athlete in the run that is on the clock.
    pub(crate) fn runners(&self) -> impl Iterator<Item = &Lane> {
        self.lanes.iter().filter(|lane| lane.occupied && self.is_running(lane))
    }
}
