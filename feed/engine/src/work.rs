//! What a lane has done at one point of its record, and how one call or ruling changes it. Knows nothing of
//! other lanes, and nothing of the order in which entries came in.

use crate::answer::NotCounted;
use crate::attempt::Tries;
use crate::clock::RunClock;
use crate::command::{Call, Penalty, RulingKind, StatusRuling, Tally};
use crate::course::{Course, Part};
use crate::own_time::OwnTime;
use crate::time::{HeatMs, SpanMs};
use crate::workout::{ClockRules, Fault, Unit};

/// What a lane moves over: its course, the clock of its run, and its own share of that clock's time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ground<'a> {
    pub(crate) course: &'a Course,
    pub(crate) clock: &'a RunClock,
    pub(crate) rules: &'a ClockRules,
    pub(crate) own: OwnTime,
}

impl Ground<'_> {
    /// Heat time of a moment, if a call of that moment counts.
    pub(crate) fn counts(&self, moment: HeatMs) -> Result<SpanMs, NotCounted> {
        self.clock.counts(moment, self.own.window(self.rules))
    }

    /// Heat time at a moment, as far as the lane's time goes.
    pub(crate) fn elapsed(&self, moment: HeatMs) -> SpanMs {
        self.clock.elapsed(moment).min(self.own.up(self.rules))
    }
}

/// Index of an entry in a lane's record.
pub(crate) type EntryIx = u32;

/// What a lane has done. Times are heat time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Work {
    /// Units along the course; attempts or holds where these are judged.
    pub(crate) done: u32,
    /// Score units, penalties taken; where attempts are judged the best load in grams, or hold in milliseconds.
    pub(crate) score: u32,
    /// Elapsed time at which the score reached what it is; none before the first.
    pub(crate) reached: Option<SpanMs>,
    /// The finish, if there is one.
    pub(crate) finish: Option<Finish>,
    pub(crate) tries: Tries,
    /// The last tie-break part that is completed: the units at its end, and when the tally came that completed it.
    pub(crate) tie_break: Option<(u32, SpanMs)>,
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
    /// While under review with a deadline: when that is.
    pub(crate) review_until: Option<HeatMs>,
    /// The last stop by hand.
    pub(crate) stop: Option<SpanMs>,
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
        let elapsed = match ground.counts(heard.effective) {
            // Where the lane had ended anyway, that says more than that time was called.
            Ok(_) | Err(NotCounted::AfterCap) if self.is_out() => return Err(NotCounted::LaneEnded),
            Ok(_) | Err(NotCounted::AfterCap) if self.finish.is_some() => {
                return Err(match heard.tally.call {
                    Call::Good | Call::PartDone => NotCounted::PastEnd,
                    Call::AttemptGood | Call::AttemptFailed | Call::DeclareLoad | Call::HoldStart => {
                        NotCounted::NoAttemptLeft
                    }
                    _ => NotCounted::LaneEnded,
                });
            }
            elapsed => elapsed?,
        };
        if ground.course.scoring.judges_attempts() {
            return self.after_attempt(heard, elapsed, ground);
        }
        let place = ground.course.place(self.done);
        let part = ground.course.parts.get(place.part);
        match heard.tally.call {
            Call::Good | Call::PartDone => {
                let part = part.ok_or(NotCounted::PastEnd)?;
                let left = part.amount.saturating_sub(place.part_done);
                let units = units_of(heard.tally, part, left)?;
                if self.done.saturating_add(units) > ground.course.most_units() {
                    return Err(NotCounted::PastEnd);
                }
                let completed = units == left && part.tie_break;
                Ok((self.moved_on(units, completed, heard, elapsed, ground.course), units))
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

    /// After a ruling received at `at`, which is number `place` in the order of entries. The tie-break time of a count
    /// that it moves is the lane's to find.
    pub(crate) fn after_ruling(
        self,
        kind: &RulingKind,
        at: HeatMs,
        place: usize,
        ground: Ground<'_>,
    ) -> Self {
        let mut after = Self { ruled: true, ..self };
        let heat_time = |finish| Finish { elapsed: ground.own.heat_time(finish, ground.rules), by: None };
        match *kind {
            RulingKind::SetCount { done, finish } | RulingKind::FromPaper { done, finish } => {
                after.set_done(done, finish.map(heat_time), ground.course);
            }
            RulingKind::AddUnits(add) => {
                let done = after.done.saturating_add_signed(add);
                // A call that came in late may have brought the lane to its end meanwhile; it was the last one then.
                let last = after.last_good.unwrap_or(at);
                let ended = Finish { elapsed: ground.elapsed(last), by: None };
                let finish = after.finish.or((!ground.course.finish_call).then_some(ended));
                after.set_done(done, finish, ground.course);
            }
            RulingKind::MoveFinish(finish) => {
                after.finish = after.finish.map(|_| heat_time(finish));
                after.last_good_ix = None;
            }
            RulingKind::SetBestLoad { load_g } => after.set_best_load(load_g),
            RulingKind::SetHeld(held) => after.set_held(held, ground.rules),
            // The lane's own time takes a credit in; whose lane it is changes nothing of the work.
            RulingKind::Credit(_) => {}
            RulingKind::MoveAthlete { .. } => after.ruled = self.ruled,
            RulingKind::Penalty(Penalty::Time(add)) => {
                after.penalty_ms = after.penalty_ms.saturating_add(add.0);
            }
            RulingKind::Penalty(Penalty::Units(take)) => {
                after.penalty_units = after.penalty_units.saturating_add(i64::from(take));
            }
            RulingKind::Status(status) => {
                after.status = Some(status).filter(|status| *status != StatusRuling::Reinstated);
                after.review_until = None;
            }
            RulingKind::Review(within) => {
                after.status = Some(StatusRuling::UnderReview);
                after.review_until = Some(at.plus(within));
            }
            RulingKind::NoteStop(stop) => {
                after.stop = Some(ground.own.heat_time(stop, ground.rules));
                after.ruled = self.ruled;
            }
        }
        after.count_score(ground.course);
        if after.score != self.score {
            after.reached = Some(ground.elapsed(at));
        }
        if after.score < self.score {
            after.grows_from = place;
        }
        after
    }

    /// `completed`: a part that gives a tie-break time.
    fn moved_on(
        mut self,
        units: u32,
        completed: bool,
        heard: Heard<'_>,
        elapsed: SpanMs,
        course: &Course,
    ) -> Self {
        let score = self.score;
        self.done = self.done.saturating_add(units);
        self.count_score(course);
        if self.score != score {
            self.reached = Some(elapsed);
        }
        self.last_good = Some(heard.effective);
        self.last_good_ix = Some(heard.ix);
        if completed {
            self.tie_break = Some((self.done, elapsed));
        }
        if self.done == course.units && !course.finish_call && !course.is_open_ended() {
            self.finish = Some(Finish { elapsed, by: Some(heard.ix) });
        }
        self
    }

    /// Puts the lane at a count; the finish stands only at the end of work that has one.
    fn set_done(&mut self, done: u32, finish: Option<Finish>, course: &Course) {
        self.done = done.min(course.most_units());
        let whole = !course.is_open_ended() && self.done == course.units;
        self.finish = finish.filter(|_| whole);
        self.last_good_ix = None;
    }

    /// Attempts keep their score themselves.
    fn count_score(&mut self, course: &Course) {
        if course.scoring.judges_attempts() {
            return;
        }
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
