//! A lane: its record, and what it has done, worked out from the record. Entries count in the order of their
//! effective times, whenever they came in; one that comes in last in that order, as nearly all do, costs one
//! step, and only a late one goes back. What undo and "last was no-rep" take back is in `takeback`.

use std::collections::{BTreeMap, BTreeSet};

use crate::answer::NotCounted;
use crate::bounds::MAX_ENTRIES_PER_LANE;
use crate::command::{Call, RulingKind};
use crate::course::Course;
use crate::hands::Hands;
use crate::ids::{DeviceId, LaneNo};
use crate::initials::Signatures;
use crate::order::Stage;
use crate::own_time::OwnTime;
use crate::record::{Entry, Said, Told, Verdict};
use crate::setup::LaneSetup;
use crate::takeback::Take;
use crate::time::SpanMs;
use crate::work::{EntryIx, Ground, Heard, Work};

/// The most phones that one lane keeps track of being on the line.
const MAX_PHONES: usize = 64;

/// How many entries further on an answer is looked for before it is searched for.
const NEAR: usize = 8;

/// One lane of the heat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Lane {
    pub(crate) no: LaneNo,
    pub(crate) division: u8,
    /// Index of its course.
    pub(crate) course: usize,
    pub(crate) occupied: bool,
    /// The run that it is in.
    pub(crate) run: u32,
    /// What sets its time apart from the heat's.
    pub(crate) own: OwnTime,
    /// How far it is, as far as its order and result depend on it.
    pub(crate) stage: Stage,
    /// Everything called and ruled, in order of receipt.
    record: Vec<Entry>,
    /// Beside the record; most entries have none.
    notes: BTreeMap<EntryIx, Note>,
    /// The record's indices by effective time; equal times by receipt.
    order: Vec<EntryIx>,
    /// What the lane had done before each entry, in that order.
    before: Vec<Work>,
    /// What it has done after all of them.
    counted: Work,
    /// The same, with a hold under way ended where the clock or the lane's window ended.
    now: Work,
    /// Entries up to the last ruling that reinstated it: no status that they gave it holds.
    reinstated: usize,
    /// Counts how often what it had done at some earlier point was worked out anew.
    history: u32,
    /// Phones of its judges that are on the line.
    phones: BTreeSet<DeviceId>,
    phone_lost: bool,
    /// Which phone held it when.
    pub(crate) hands: Hands,
    /// Initials under its results.
    pub(crate) signatures: Signatures,
}

/// What the lane knows of an entry beyond the record.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Note {
    /// Settled at its receipt, whatever the calls around it say.
    fixed: Option<Verdict>,
    /// What it takes back.
    pub(crate) take: Take,
    /// Which later entry took it back.
    pub(crate) taken_by: Option<EntryIx>,
}

/// Where the walk along the entries goes next.
pub(crate) enum Step {
    /// To the next entry.
    On(Work),
    /// Back to this place: what was decided there has been taken back.
    BackTo(usize),
}

impl Lane {
    pub(crate) fn new(setup: LaneSetup) -> Self {
        Self {
            no: setup.lane,
            division: setup.division,
            course: usize::from(setup.workout),
            occupied: setup.occupied,
            run: 1,
            own: OwnTime { start: setup.start, credit: SpanMs(0) },
            stage: Stage::Live,
            record: Vec::new(),
            notes: BTreeMap::new(),
            order: Vec::new(),
            before: Vec::new(),
            counted: Work::default(),
            now: Work::default(),
            reinstated: 0,
            history: 0,
            phones: BTreeSet::new(),
            phone_lost: false,
            hands: Hands::default(),
            signatures: Signatures::default(),
        }
    }

    /// Starts afresh in a run; gives the record of what is over.
    pub(crate) fn start_over(&mut self, run: u32) -> Vec<Entry> {
        self.run = run;
        self.own.credit = SpanMs(0);
        self.notes.clear();
        self.order.clear();
        self.before.clear();
        self.counted = Work::default();
        self.now = Work::default();
        self.reinstated = 0;
        self.history = self.history.wrapping_add(1);
        std::mem::take(&mut self.record)
    }

    /// Changes places with another lane: athlete and record go along, number and judges' phones stay.
    pub(crate) fn change_places(&mut self, other: &mut Self) {
        std::mem::swap(self, other);
        std::mem::swap(&mut self.no, &mut other.no);
        std::mem::swap(&mut self.phones, &mut other.phones);
        std::mem::swap(&mut self.phone_lost, &mut other.phone_lost);
        std::mem::swap(&mut self.hands, &mut other.hands);
        // Another history stands in each lane now.
        self.history = self.history.max(other.history).wrapping_add(1);
        other.history = self.history;
    }

    /// What the lane has done.
    pub(crate) fn now(&self) -> &Work {
        &self.now
    }

    /// Takes in how far the lane is, and ends a hold under way that has come to the end of its time.
    pub(crate) fn come_to(&mut self, stage: Stage, ground: Ground<'_>) {
        self.stage = stage;
        self.now = self.counted.with_hold_over(ground, stage == Stage::Called);
    }

    /// Entries of the record, the latest in effect first.
    pub(crate) fn latest(&self, most: usize) -> impl Iterator<Item = &Entry> {
        self.order.iter().rev().take(most).map(|ix| self.entry(*ix))
    }

    /// Everything called and ruled, in order of receipt.
    pub(crate) fn record(&self) -> &[Entry] {
        &self.record
    }

    /// Whether the record holds no more.
    pub(crate) fn is_full(&self) -> bool {
        self.record.len() >= MAX_ENTRIES_PER_LANE
    }

    /// Adds an entry and works out what the lane has done. `fixed` settles a call at its receipt. Gives what
    /// became of it.
    pub(crate) fn add(&mut self, entry: Entry, fixed: Option<NotCounted>, ground: Ground<'_>) -> Verdict {
        let ix = EntryIx::try_from(self.record.len()).unwrap_or(EntryIx::MAX);
        let shadow = matches!(&entry.said, Said::Tally(tally) if tally.shadow);
        let fixed = if shadow { Some(Verdict::Shadow) } else { fixed.map(Verdict::NotCounted) };
        let comes_last = self.order.last().is_none_or(|last| self.entry(*last).effective <= entry.effective);
        let place = if comes_last {
            self.order.len()
        } else {
            self.order.partition_point(|other| self.entry(*other).effective <= entry.effective)
        };
        let from = self.forget_takes(place);
        self.record.push(entry);
        if fixed.is_some() {
            self.notes.insert(ix, Note { fixed, ..Note::default() });
        }
        self.order.insert(place, ix);
        self.walk(from, ground);
        self.entry(ix).verdict
    }

    /// Keeps how a ruling, at a slot of the record, was told.
    pub(crate) fn tell(&mut self, slot: usize, told: Told) {
        if let Some(entry) = self.record.get_mut(slot) {
            entry.told = Some(Box::new(told));
        }
    }

    /// The next entry takes back every status ruled so far, from the beginning: calls made in the meantime count.
    pub(crate) fn reinstate(&mut self) {
        self.reinstated = self.record.len();
    }

    /// Works out the whole record again, after a change of what counts in it.
    pub(crate) fn recount(&mut self, ground: Ground<'_>) {
        self.forget_takes(0);
        self.counted = Work::default();
        self.walk(0, ground);
    }

    /// What the lane had done just before an entry of its record.
    pub(crate) fn before(&self, ix: EntryIx) -> &Work {
        self.before.get(self.place_of(ix)).unwrap_or(&self.now)
    }

    /// Units done after an entry of the record, as it counts now.
    pub(crate) fn done_after(&self, ix: EntryIx) -> u32 {
        self.before.get(self.place_of(ix) + 1).unwrap_or(&self.now).done
    }

    /// Changes whenever an answer of `reached` might.
    pub(crate) fn history(&self) -> u32 {
        self.history
    }

    /// When the lane came to a score, for the last time, if it did. `near` is where the last such question was answered,
    /// or anything; whoever asks again mostly asks for a score a little further on.
    pub(crate) fn reached(&self, score: u32, near: &mut usize) -> Option<SpanMs> {
        if score == 0 {
            return Some(SpanMs(0));
        }
        if self.now.score < score {
            return None;
        }
        // From `grows_from` on the score only grows: the state before entry k is the one after entry k - 1.
        let first = self.counted.grows_from.saturating_add(1).min(self.before.len());
        let is_below = |work: &Work| work.score < score;
        let start = (*near).clamp(first, self.before.len());
        *near = if start == first || is_below(&self.before[start - 1]) {
            let ahead = &self.before[start..];
            let step = ahead.iter().take(NEAR).position(|work| !is_below(work));
            start + step.unwrap_or_else(|| ahead.partition_point(is_below))
        } else {
            first + self.before[first..start].partition_point(is_below)
        };
        self.before.get(*near).unwrap_or(&self.now).reached
    }

    /// Notes that a judge's phone is on the line, or was lost.
    pub(crate) fn note_phone(&mut self, device: &DeviceId, up: bool) {
        if !up {
            self.phone_lost = true;
            self.phones.remove(device);
        } else if self.phones.len() < MAX_PHONES && !self.phones.contains(device) {
            self.phones.insert(device.clone());
        }
    }

    /// Whether a judge's phone is on the line.
    pub(crate) fn judge_on(&self) -> bool {
        !self.phones.is_empty()
    }

    /// Whether all phones of the lane are known to be lost.
    pub(crate) fn judge_lost(&self) -> bool {
        self.phone_lost && self.phones.is_empty()
    }

    pub(crate) fn entry(&self, ix: EntryIx) -> &Entry {
        &self.record[slot(ix)]
    }

    pub(crate) fn notes_of(&self, ix: EntryIx) -> Note {
        self.notes.get(&ix).copied().unwrap_or_default()
    }

    pub(crate) fn note(&mut self, ix: EntryIx) -> &mut Note {
        self.notes.entry(ix).or_default()
    }

    /// The entry at a place of the order.
    pub(crate) fn at_place(&self, place: usize) -> EntryIx {
        self.order[place]
    }

    /// The place of an entry in the order.
    pub(crate) fn place_of(&self, ix: EntryIx) -> usize {
        let effective = self.entry(ix).effective;
        self.order.partition_point(|other| (self.entry(*other).effective, *other) < (effective, ix))
    }

    /// Forgets what entries from `place` on took back, so that it is decided anew. Gives the earliest place from
    /// which the lane has to be worked out again.
    fn forget_takes(&mut self, place: usize) -> usize {
        let mut from = place;
        for later in place..self.order.len() {
            let ix = self.order[later];
            let Some(note) = self.notes.get_mut(&ix) else { continue };
            let take = std::mem::take(&mut note.take);
            if let Take::Takes(target) = take {
                self.note(target).taken_by = None;
                from = from.min(self.place_of(target));
            }
        }
        from
    }

    /// Works out what the lane has done, from a place of the order to its end. Each way back settles one taking
    /// back for good, so the walk ends.
    fn walk(&mut self, from: usize, ground: Ground<'_>) {
        let mut place = from;
        let mut work = self.before.get(from).copied().unwrap_or(self.counted);
        let score = self.counted.score;
        let mut rewritten = from < self.before.len();
        while let Some(&ix) = self.order.get(place) {
            match self.before.get_mut(place) {
                Some(before) => *before = work,
                None => self.before.push(work),
            }
            match self.step(ix, place, work, ground) {
                Step::On(after) => {
                    work = after;
                    place += 1;
                }
                Step::BackTo(earlier) => {
                    place = earlier;
                    work = self.before[earlier];
                    rewritten = true;
                }
            }
        }
        (self.counted, self.now) = (work, work);
        if rewritten || work.score < score {
            self.history = self.history.wrapping_add(1);
        }
    }

    /// The tie-break time of a count that a ruling at `place` set: of the tally that completed the part, if one did
    /// and the lane was not set back behind it since.
    fn tie_break(&self, place: usize, done: u32, course: &Course) -> Option<(u32, SpanMs)> {
        let wanted = course.tie_break_end(done)?;
        let since = self.before[..=place].iter().rev().take_while(|work| work.done >= wanted);
        since.filter_map(|work| work.tie_break).find(|(end, _)| *end == wanted)
    }

    fn step(&mut self, ix: EntryIx, place: usize, work: Work, ground: Ground<'_>) -> Step {
        let note = self.notes_of(ix);
        let entry = &self.record[slot(ix)];
        let (verdict, after) = match (&entry.said, note.taken_by, note.fixed) {
            (_, Some(by), _) => (Verdict::TakenBack { by: slot(by) }, work),
            (_, None, Some(fixed)) => (fixed, work),
            (Said::Ruling(ruling), None, None)
                if slot(ix) < self.reinstated
                    && matches!(ruling.kind, RulingKind::Status(_) | RulingKind::Review(_)) =>
            {
                (Verdict::Ruled, Work { ruled: true, ..work })
            }
            (Said::Ruling(ruling), None, None) => {
                let mut after = work.after_ruling(&ruling.kind, entry.effective, place, ground);
                if after.done != work.done {
                    after.tie_break = self.tie_break(place, after.done, ground.course);
                }
                if let RulingKind::SetBestLoad { load_g } = ruling.kind
                    && let Some((number, at)) = self.attempt_with(load_g, place, ground)
                {
                    (after.tries.to_best, after.reached) = (number, Some(at));
                }
                (Verdict::Ruled, after)
            }
            (Said::Tally(tally), None, None) => match tally.call {
                Call::Undo | Call::LastWasNoRep => match self.take_back(ix, place, work, ground) {
                    Ok(result) => result,
                    Err(earlier) => return Step::BackTo(earlier),
                },
                Call::ManualStop => match ground.clock.elapsed_if_started(entry.effective) {
                    Some(stop) => (Verdict::Noted, Work { stop: Some(stop), ..work }),
                    None => (Verdict::NotCounted(NotCounted::BeforeStart), work),
                },
                _ => match work.after_call(Heard { ix, tally, effective: entry.effective }, ground) {
                    Ok((after, units)) => (Verdict::Counted { units }, after),
                    Err(why) => (Verdict::NotCounted(why), work),
                },
            },
        };
        let entry = &mut self.record[slot(ix)];
        entry.verdict = verdict;
        let doubtful = matches!(verdict, Verdict::Counted { .. }) && entry.doubts.any();
        Step::On(Work { flagged: after.flagged || doubtful, ..after })
    }
}

/// An entry's slot in the record.
fn slot(ix: EntryIx) -> usize {
    // The record holds far fewer entries than either type counts.
    usize::try_from(ix).unwrap_or(usize::MAX)
}
