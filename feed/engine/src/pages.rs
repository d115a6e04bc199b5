//! Page loads and the numbers of their calls: each (device, epoch, number) applies once, a replay gets the first
//! answer again, a hole is asked for. Also keeps what effective time needs of a page's earlier calls.

use std::collections::BTreeMap;

use crate::answer::{NotCounted, Outcome, Refused};
use crate::bounds::MAX_EPOCHS;
use crate::command::Tally;
use crate::effective::{Neighbour, effective, wall_ahead_ms};
use crate::ids::{DeviceId, Epoch};
use crate::record::Doubts;
use crate::time::HeatMs;

/// Every page load that has sent calls to this heat.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Pages {
    /// Where each page load is kept.
    by_device: BTreeMap<DeviceId, BTreeMap<Epoch, usize>>,
    pages: Vec<Page>,
    /// Pages of counting judges from which calls are known to be missing.
    with_gaps: usize,
}

/// Whose turn a call's number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    /// It is the next one.
    Next(Next),
    /// It was answered before.
    Known(Outcome),
    /// Calls from this number on are missing.
    Gap(u32),
}

/// The answer to a recorded call: the lane's count after it, and why the call does not count, if so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Kept {
    pub(crate) done: u32,
    pub(crate) why: Option<NotCounted>,
}

impl From<Kept> for Outcome {
    fn from(Kept { done, why }: Kept) -> Self {
        why.map_or(Self::Applied { done }, |why| Self::NotCounted { why, done })
    }
}

/// A call whose turn it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Next {
    /// Its time, as far as can be known.
    pub(crate) effective: HeatMs,
    /// What is in doubt about that.
    pub(crate) doubts: Doubts,
    /// Where its page load is kept; none yet for the first call of one.
    page: Option<usize>,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Page {
    /// First answers, by number from 1.
    answers: Vec<Kept>,
    /// The highest number seen.
    highest: u32,
    shadow: bool,
    previous: Option<Neighbour>,
}

impl Page {
    fn expected(&self) -> u32 {
        u32::try_from(self.answers.len()).unwrap_or(u32::MAX).saturating_add(1)
    }

    fn has_gap(&self) -> bool {
        !self.shadow && self.highest >= self.expected()
    }
}

impl Pages {
    /// Looks up the number of a call received at `at`, and notes it as seen.
    pub(crate) fn turn(&mut self, tally: &Tally, at: HeatMs) -> Result<Turn, Refused> {
        if tally.number == 0 {
            return Err(Refused::NumberZero);
        }
        let page = self.find(tally);
        let known = page.and_then(|page| self.pages.get(page));
        let expected = known.map_or(1, Page::expected);
        if tally.number < expected {
            let answer = known.and_then(|page| {
                page.answers.get(usize::try_from(tally.number - 1).unwrap_or(usize::MAX)).copied()
            });
            return Ok(answer.map_or(Turn::Gap(expected), |kept| Turn::Known(kept.into())));
        }
        if known.is_none() && self.pages.len() >= MAX_EPOCHS {
            return Err(Refused::TooManyPages);
        }
        if tally.number == expected {
            let (effective, doubts) = effective(tally, at, known.and_then(|page| page.previous));
            return Ok(Turn::Next(Next { effective, doubts, page }));
        }
        self.change(page, tally, |page| page.highest = page.highest.max(tally.number));
        Ok(Turn::Gap(expected))
    }

    /// Keeps the answer of a call whose turn it was.
    pub(crate) fn keep(&mut self, tally: &Tally, next: Next, answer: Kept) {
        let effective = next.effective;
        self.change(next.page, tally, |page| {
            page.answers.push(answer);
            page.highest = page.highest.max(tally.number);
            let first = page.previous.and_then(|previous| previous.wall_ahead_ms);
            let wall_ahead_ms = first.or_else(|| wall_ahead_ms(tally));
            page.previous = Some(Neighbour { stamp: tally.stamp, effective, wall_ahead_ms });
        });
    }

    /// Whether calls of a counting judge are known to be missing.
    pub(crate) fn gap_outstanding(&self) -> bool {
        self.with_gaps > 0
    }

    fn find(&self, tally: &Tally) -> Option<usize> {
        self.by_device.get(&tally.device)?.get(&tally.epoch).copied()
    }

    fn add(&mut self, tally: &Tally) -> usize {
        let slot = self.pages.len();
        self.pages.push(Page { shadow: tally.shadow, ..Page::default() });
        self.by_device.entry(tally.device.clone()).or_default().insert(tally.epoch, slot);
        slot
    }

    fn change(&mut self, page: Option<usize>, tally: &Tally, change: impl FnOnce(&mut Page)) {
        let slot = page.unwrap_or_else(|| self.add(tally));
        let Some(page) = self.pages.get_mut(slot) else { return };
        let had_gap = page.has_gap();
        change(page);
        match (had_gap, page.has_gap()) {
            (false, true) => self.with_gaps += 1,
            (true, false) => self.with_gaps -= 1,
            _ => {}
        }
    }
}
