//! What a lane has done at one point of its record, and how one call or ruling changes it. Knows nothing of
//! other lanes, and nothing of the order in which entries came in.

use crate::answer::NotCounted;
use crate::clock::RunClock;
use crate::command::{Call, Penalty, Ruling, RulingKind, StatusRuling, Tally};
use crate::course::{Course, Part};
use crate::time::{HeatMs, SpanMs};
use crate::workout::{Fault, Unit};

/// What a lane moves over: its course, and the clock of the run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ground<'a> {
    pub(crate) course: &'a Course,
    pub(crate) clock: &'a RunClock,
}

/// Index of an entry in a lane's record.
pub(crate) type EntryIx = u32;

/// What a lane has done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Work {
    /// Units along the course.
    pub(crate) done: u32,
    /// Score units, penalties taken.
    pub(crate) score: u32,
    /// Elapsed time at which the score reached what it is; none before the first.
    pub(crate) reached: Option<SpanMs>,
    /// The finish, if there is one.
    pub(crate) finish: Option<Finish>,
    /// Index and elapsed time of the last tie-break part that was completed.
    pub(crate) tie_break: Option<(usize, SpanMs)>,
    pub(crate) no_reps: u32,
    /// Effective time of the last good call.
    pub(crate) last_good: Option<HeatMs>,
    /// The last good call that "last was no-rep" could take back.
    pub(crate) last_good_ix: Option<EntryIx>,
    /// Place in the order of entries since which the score has only grown.
    pub(crate) grows_from: usize,
    pub(crate) penalty_ms: i64,
    pub(crate) penalty_units: i64,
    pub(crate) status: Option<StatusRuling>,
    pub(crate) ruled: bool,
    pub(crate) flagged: bool,
}

/// A lane's finish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Finish {
    pub(crate) elapsed: SpanMs,
    /// The finishing call; none if a ruling set the finish.
    pub(crate) by: Option<EntryIx>,
}

/// One call with the times that it is judged by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heard<'a> {
    pub(crate) ix: EntryIx,
    pub(crate) tally: &'a Tally,
    pub(crate) effective: HeatMs,
}

impl Work {
    /// Whether a ruling took the lane out: did not start, did not finish, disqualified.
    pub(crate) fn is_out(&self) -> bool {
        use StatusRuling::{DidNotFinish, DidNotStart, Disqualified};
        matches!(self.status, Some(DidNotFinish | DidNotStart | Disqualified))
    }

    /// Whether nothing more is expected of the lane.
    pub(crate) fn has_ended(&self) -> bool {
        self.finish.is_some() || self.is_out()
    }

    /// Penalty time so far.
    pub(crate) fn penalty(&self) -> SpanMs {
        SpanMs(self.penalty_ms)
    }

    /// After a call other than an undo or a "last was no-rep"; with the units that it added.
    pub(crate) fn after_call(self, heard: Heard<'_>, ground: Ground<'_>) -> Result<(Self, u32), NotCounted> {
        let elapsed = match ground.clock.counts(heard.effective) {
            // Where the lane had ended anyway, that says more than that time was called.
            Ok(_) | Err(NotCounted::AfterCap) if self.is_out() => return Err(NotCounted::LaneEnded),
            Ok(_) | Err(NotCounted::AfterCap) if self.finish.is_some() => {
                let past_end = matches!(heard.tally.call, Call::Good | Call::PartDone);
                return Err(if past_end { NotCounted::PastEnd } else { NotCounted::LaneEnded });
            }
            elapsed => elapsed?,
        };
        let part = ground.course.parts.get(ground.course.part_at(self.done));
        match heard.tally.call {
            Call::Good | Call::PartDone => {
                let part = part.ok_or(NotCounted::PastEnd)?;
                let left = part.end_unit().saturating_sub(self.done);
                let units = units_of(heard.tally, part, left)?;
                Ok((self.moved_on(units, heard, elapsed, ground.course), units))
            }
            Call::NoRep => {
                fault_of(heard.tally, part)?;
                Ok((Self { no_reps: self.no_reps.saturating_add(1), ..self }, 0))
            }
            Call::Finish if ground.course.finish_call && part.is_none() => {
                Ok((Self { finish: Some(Finish { elapsed, by: Some(heard.ix) }), ..self }, 0))
            }
            _ => Err(NotCounted::CallDoesNotFit),
        }
    }

    /// After a ruling received at `at`, which is number `place` in the order of entries.
    pub(crate) fn after_ruling(self, ruling: &Ruling, at: HeatMs, place: usize, ground: Ground<'_>) -> Self {
        let mut after = Self { ruled: true, ..self };
        match ruling.kind {
            RulingKind::SetCount { done, finish } => {
                after.done = done.min(ground.course.units);
                let whole = after.done == ground.course.units;
                after.finish = finish.filter(|_| whole).map(|elapsed| Finish { elapsed, by: None });
                after.last_good_ix = None;
                let ended = ground.course.tie_break_part(after.done);
                after.tie_break = after.tie_break.filter(|(part, _)| Some(*part) == ended);
            }
            RulingKind::MoveFinish(elapsed) => {
                after.finish = after.finish.map(|_| Finish { elapsed, by: None });
                after.last_good_ix = None;
            }
            RulingKind::Penalty(Penalty::Time(add)) => {
                after.penalty_ms = after.penalty_ms.saturating_add(add.0);
            }
            RulingKind::Penalty(Penalty::Units(take)) => {
                after.penalty_units = after.penalty_units.saturating_add(i64::from(take));
            }
            RulingKind::Status(StatusRuling::Reinstated) => after.status = None,
            RulingKind::Status(status) => after.status = Some(status),
        }
        after.count_score(ground.course);
        if after.score != self.score {
            after.reached = Some(ground.clock.elapsed(at));
        }
        if after.score < self.score {
            after.grows_from = place;
        }
        after
    }

    fn moved_on(mut self, units: u32, heard: Heard<'_>, elapsed: SpanMs, course: &Course) -> Self {
        let under_way = course.part_at(self.done);
        let score = self.score;
        self.done = self.done.saturating_add(units).min(course.units);
        self.count_score(course);
        if self.score != score {
            self.reached = Some(elapsed);
        }
        self.last_good = Some(heard.effective);
        self.last_good_ix = Some(heard.ix);
        let completed = course.parts.get(under_way).filter(|part| part.end_unit() <= self.done);
        if completed.is_some_and(|part| part.tie_break) {
            self.tie_break = Some((under_way, elapsed));
        }
        if self.done == course.units && !course.finish_call {
            self.finish = Some(Finish { elapsed, by: Some(heard.ix) });
        }
        self
    }

    fn count_score(&mut self, course: &Course) {
        let score = i64::from(course.score_at(self.done)).saturating_sub(self.penalty_units);
        self.score = u32::try_from(score.max(0)).unwrap_or(u32::MAX);
    }
}

/// Units that a good call or a "part done" stands for, with `left` units of the part to go.
fn units_of(tally: &Tally, part: &Part, left: u32) -> Result<u32, NotCounted> {
    if tally.call == Call::PartDone {
        let tapped_when_done = part.unit != Unit::Rep || part.step == part.amount;
        return if tapped_when_done { Ok(left) } else { Err(NotCounted::CallDoesNotFit) };
    }
    let one_step = part.step.min(left);
    match tally.amount {
        0 => Ok(one_step),
        amount if amount == one_step => Ok(amount),
        amount if !part.several_at_once || amount > left => Err(NotCounted::CallDoesNotFit),
        amount if amount == left || amount % part.step == 0 => Ok(amount),
        _ => Err(NotCounted::CallDoesNotFit),
    }
}

/// The fault that a no-rep names, if it names one and the movement of `part` has it.
pub(crate) fn fault_of<'a>(tally: &Tally, part: Option<&'a Part>) -> Result<Option<&'a Fault>, NotCounted> {
    let Some(code) = &tally.fault else { return Ok(None) };
    let faults = part.map_or(&[][..], |part| &part.faults);
    faults.iter().find(|fault| fault.code == *code).map(Some).ok_or(NotCounted::UnknownFault)
}
