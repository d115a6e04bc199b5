//! What undo and "last was no-rep" take back, and whether they still may. A taken call leaves the lane's work
//! as if it had never counted; the record keeps both entries.

use crate::answer::NotCounted;
use crate::bounds::{UNDO_MS, UNDO_REACH};
use crate::command::{Call, Tally};
use crate::lane::Lane;
use crate::record::{Said, Verdict};
use crate::time::SpanMs;
use crate::work::{EntryIx, Ground, Work, fault_of};

/// What an entry takes back.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Take {
    /// Not decided, or not an entry that takes anything.
    #[default]
    Undecided,
    /// This entry.
    Takes(EntryIx),
    /// Nothing, for this reason.
    Nothing(NotCounted),
}

impl Lane {
    /// What becomes of an undo or a "last was no-rep" and of the work, or the place to go back to when it has
    /// just taken an entry back. Decided once at its place; only a late entry before it has it decided again.
    pub(crate) fn take_back(
        &mut self,
        ix: EntryIx,
        place: usize,
        work: Work,
        ground: Ground<'_>,
    ) -> Result<(Verdict, Work), usize> {
        let no_rep = self.tally(ix).is_some_and(|tally| tally.call == Call::LastWasNoRep);
        match self.note(ix).take {
            Take::Takes(_) => {
                let no_reps = work.no_reps.saturating_add(u32::from(no_rep));
                Ok((Verdict::Counted { units: 0 }, Work { no_reps, ..work }))
            }
            Take::Nothing(why) => Ok((Verdict::NotCounted(why), work)),
            Take::Undecided => {
                let target = if no_rep {
                    self.last_good_of(ix, place, &work, ground)
                } else {
                    self.last_call_of(ix, place, &work, ground)
                };
                match target {
                    Ok(target) => Err(self.take(ix, target)),
                    Err(why) => {
                        self.note(ix).take = Take::Nothing(why);
                        Ok((Verdict::NotCounted(why), work))
                    }
                }
            }
        }
    }

    /// Marks `target` as taken back by `ix`; gives the earliest place that this changes. Taking back a "last was
    /// no-rep" gives its good call back.
    fn take(&mut self, ix: EntryIx, target: EntryIx) -> usize {
        let mut place = self.place_of(target);
        if let Take::Takes(good) = std::mem::take(&mut self.note(target).take) {
            self.note(good).taken_by = None;
            place = place.min(self.place_of(good));
        }
        self.note(target).taken_by = Some(ix);
        self.note(ix).take = Take::Takes(target);
        place
    }

    /// The call that an undo takes back: its device's last one that still stands, whatever became of it.
    fn last_call_of(
        &self,
        ix: EntryIx,
        place: usize,
        work: &Work,
        ground: Ground<'_>,
    ) -> Result<EntryIx, NotCounted> {
        self.may_take(ix, work, ground)?;
        let undo = self.tally(ix).ok_or(NotCounted::NothingToUndo)?;
        let target = self.back_from(place).find_map(|other| match &self.entry(other).said {
            Said::Ruling(ruling) => ruling.kind.is_about_work().then_some(None),
            Said::Tally(tally) => {
                let stands = matches!(tally.call, Call::Undo | Call::DeclareLoad | Call::ManualStop);
                let own = tally.device == undo.device && !stands && !tally.shadow;
                (own && self.notes_of(other).taken_by.is_none()).then_some(Some(other))
            }
        });
        let target = target.flatten().ok_or(NotCounted::NothingToUndo)?;
        if self.span_between(target, ix) > SpanMs(UNDO_MS) {
            return Err(NotCounted::UndoTooLate);
        }
        let counted = matches!(self.entry(target).verdict, Verdict::Counted { .. });
        match work.finish {
            Some(finish) if counted && finish.by != Some(target) => Err(NotCounted::LaneEnded),
            _ => Ok(target),
        }
    }

    /// Why the judge's own last rep did not count, if one came after `target`: the judge then speaks of that rep,
    /// and the counted one before it stays. A tap on a course that is done was no rep, and is passed over.
    fn refused_since(&self, target: EntryIx, place: usize, said: &Tally) -> Option<NotCounted> {
        self.back_from(place).take_while(|other| *other != target).find_map(|other| {
            let tally = self.tally(other)?;
            let own = tally.device == said.device && !tally.shadow;
            let rep = matches!(tally.call, Call::Good | Call::PartDone | Call::Finish);
            match self.entry(other).verdict {
                Verdict::NotCounted(NotCounted::PastEnd | NotCounted::LaneEnded) => None,
                Verdict::NotCounted(why) if own && rep && self.notes_of(other).taken_by.is_none() => {
                    Some(why)
                }
                _ => None,
            }
        })
    }

    /// The good call that a "last was no-rep" takes back. Once the lane or the heat's time has ended, only the
    /// judge who made that call may, and only as long as an undo might.
    fn last_good_of(
        &self,
        ix: EntryIx,
        place: usize,
        work: &Work,
        ground: Ground<'_>,
    ) -> Result<EntryIx, NotCounted> {
        let after_time = self.may_take(ix, work, ground)?;
        if ground.course.scoring.judges_attempts() {
            return Err(NotCounted::CallDoesNotFit);
        }
        let tally = self.tally(ix).ok_or(NotCounted::NothingToUndo)?;
        let target = work.last_good_ix.ok_or(if work.finish.is_some() {
            NotCounted::LaneEnded
        } else {
            NotCounted::NothingToUndo
        })?;
        if place - self.place_of(target) > UNDO_REACH {
            return Err(NotCounted::NothingToUndo);
        }
        if let Some(why) = self.refused_since(target, place, tally) {
            return Err(why);
        }
        let course = ground.course;
        fault_of(tally, course.part_at(self.before(target).done))?;
        let own = self.tally(target).is_some_and(|good| good.device == tally.device);
        let fresh = own && self.span_between(target, ix) <= SpanMs(UNDO_MS);
        match work.finish {
            Some(finish) if !fresh || finish.by != Some(target) => Err(NotCounted::LaneEnded),
            None if after_time && !fresh => Err(NotCounted::AfterCap),
            _ => Ok(target),
        }
    }

    /// Whether anything may be taken back at the entry's time; true if that is after time was called, when a
    /// judge may still correct the call just made.
    fn may_take(&self, ix: EntryIx, work: &Work, ground: Ground<'_>) -> Result<bool, NotCounted> {
        if work.is_out() {
            return Err(NotCounted::LaneEnded);
        }
        match ground.counts(self.entry(ix).effective) {
            Ok(_) => Ok(false),
            Err(NotCounted::AfterCap) => Ok(true),
            Err(why) => Err(why),
        }
    }

    /// Time from one call to a later one: between their stamps if these are of one clock.
    fn span_between(&self, earlier: EntryIx, later: EntryIx) -> SpanMs {
        match (self.tally(earlier), self.tally(later)) {
            (Some(first), Some(second)) if first.epoch == second.epoch => {
                SpanMs(second.stamp.0.saturating_sub(first.stamp.0))
            }
            _ => self.entry(later).effective.since(self.entry(earlier).effective),
        }
    }

    /// The call that a no-rep is about: what a "last was no-rep" took back, or the no-rep itself.
    pub(crate) fn judged_of(&self, ix: EntryIx) -> EntryIx {
        match self.notes_of(ix).take {
            Take::Takes(target) => target,
            _ => ix,
        }
    }

    /// Entries before a place, latest first, as far as an undo looks.
    fn back_from(&self, place: usize) -> impl Iterator<Item = EntryIx> + '_ {
        (place.saturating_sub(UNDO_REACH)..place).rev().map(|place| self.at_place(place))
    }

    fn tally(&self, ix: EntryIx) -> Option<&Tally> {
        match &self.entry(ix).said {
            Said::Tally(tally) => Some(tally),
            Said::Ruling(_) => None,
        }
    }
}
