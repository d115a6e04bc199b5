//! Initials of athlete and judge under a lane's result. They stand for that result alone: whatever makes it another
//! takes them back for good, and they stay in the record.

use crate::answer::Refused;
use crate::bounds::{MAX_INITIALS, MAX_NAME_BYTES, MAX_REASON_BYTES};
use crate::command::Confirm;
use crate::floor::Phase;
use crate::heat::Heat;
use crate::ids::LaneNo;
use crate::time::{HeatMs, SpanMs};
use crate::view::{LaneResult, LaneView, Status};

/// Initials under a result.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Initials {
    /// When the feed received them.
    pub at: HeatMs,
    /// The lane's run.
    pub run: u32,
    /// The result that they confirm.
    pub result: String,
    /// The athlete's.
    pub athlete: String,
    /// The judge's.
    pub judge: String,
    /// Who sent them.
    pub by: String,
    /// Why somebody else than the lane's judge did; empty otherwise.
    pub reason: String,
    /// When they were taken back, if they were.
    pub taken_back: Option<HeatMs>,
}

/// All initials of an athlete's lane, and what the last ones stand for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Signatures {
    list: Vec<Initials>,
    /// What was confirmed; none once it was taken back.
    agreed: Option<Agreed>,
}

/// What initials stand for.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Agreed {
    status: Status,
    result: Option<LaneResult>,
    done: u32,
    score: u32,
    tie_break: Option<SpanMs>,
}

impl Agreed {
    fn of(view: &LaneView) -> Self {
        let LaneView { status, done, score, tie_break, .. } = *view;
        Self { status, result: view.result.clone(), done, score, tie_break }
    }
}

impl Signatures {
    /// Whether the lane's result is confirmed.
    pub(crate) fn stand(&self) -> bool {
        self.agreed.is_some()
    }

    /// Whether they stand for something else than what is seen now.
    fn are_outdated(&self, view: &LaneView) -> bool {
        self.agreed.as_ref().is_some_and(|agreed| *agreed != Agreed::of(view))
    }

    /// They don't stand any more.
    pub(crate) fn take_back(&mut self, at: HeatMs) {
        if self.agreed.take().is_some()
            && let Some(last) = self.list.last_mut()
        {
            last.taken_back = Some(at);
        }
    }

    /// Takes in those that came after these had been put aside and stand no more.
    pub(crate) fn go_on_with(&mut self, mut later: Self) {
        self.list.extend(later.list.drain(self.list.len().min(later.list.len())..));
    }
}

impl Heat {
    /// Every pair of initials under the results of a lane's athlete, in order; none for an unknown lane.
    #[must_use]
    pub fn initials(&self, lane: LaneNo) -> Option<&[Initials]> {
        self.index_of(lane).map(|index| self.lanes[index].signatures.list.as_slice())
    }

    /// Confirms a lane's result by initials.
    pub(crate) fn confirm(&mut self, at: HeatMs, said: &Confirm) -> Result<(), Refused> {
        let index = self.may_confirm(said)?;
        let agreed = Agreed::of(&self.screen.lanes[index]);
        let signatures = &mut self.lanes[index].signatures;
        signatures.take_back(at);
        signatures.agreed = Some(agreed);
        signatures.list.push(Initials {
            at,
            run: said.run,
            result: said.result.clone(),
            athlete: said.athlete.clone(),
            judge: said.judge.clone(),
            by: said.by.clone(),
            reason: said.reason.clone(),
            taken_back: None,
        });
        self.refresh(index);
        Ok(())
    }

    /// The lane's index, if its result can be confirmed so.
    fn may_confirm(&self, said: &Confirm) -> Result<usize, Refused> {
        let index = self.index_of(said.lane).ok_or(Refused::UnknownLane(said.lane))?;
        let lane = &self.lanes[index];
        if !lane.occupied {
            return Err(Refused::EmptyLane(said.lane));
        }
        match self.phase {
            Phase::Signed(_) => return Err(Refused::HeatSigned),
            Phase::Cancelled { .. } => return Err(Refused::HeatCancelled),
            _ => {}
        }
        if lane.run != said.run {
            return Err(Refused::OtherRun(said.lane));
        }
        for initials in [&said.athlete, &said.judge] {
            if initials.trim().is_empty() {
                return Err(Refused::NoInitials);
            }
            if initials.len() > MAX_NAME_BYTES {
                return Err(Refused::TooLong("initials", MAX_NAME_BYTES));
            }
        }
        if said.by.len().max(said.reason.len()) > MAX_REASON_BYTES {
            return Err(Refused::TooLong("reason", MAX_REASON_BYTES));
        }
        let view = self.screen.lanes.get(index);
        let result = view.and_then(|view| view.result.as_ref()).ok_or(Refused::NoResult(said.lane))?;
        if result.text != said.result {
            return Err(Refused::ResultChanged(said.lane));
        }
        if lane.signatures.list.len() >= MAX_INITIALS {
            return Err(Refused::TooManyInitials(MAX_INITIALS));
        }
        Ok(index)
    }

    /// Takes initials back that stand for another result than a lane has now. True if there were some.
    pub(crate) fn drop_outdated_initials(&mut self, index: usize) -> bool {
        let (Some(lane), Some(view)) = (self.lanes.get_mut(index), self.screen.lanes.get(index)) else {
            return false;
        };
        let outdated = lane.signatures.are_outdated(view);
        if outdated {
            lane.signatures.take_back(self.now);
        }
        outdated
    }

    /// The first lane whose result is not confirmed, and how many more there are. Who did not start has nothing to
    /// confirm.
    pub(crate) fn unconfirmed(&self) -> Option<(LaneNo, usize)> {
        let wanting =
            |view: &&LaneView| view.result.is_some() && view.status != Status::DidNotStart && !view.confirmed;
        let mut lanes = self.screen.lanes.iter().filter(wanting).map(|view| view.lane);
        let first = lanes.next()?;
        Some((first, lanes.count()))
    }
}
