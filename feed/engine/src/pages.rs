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
    by_device: BTreeMap<DeviceId, BTreeMap<Epoch, Page>>,
    count: usize,
    /// Pages of counting judges from which calls are known to be missing.
    with_gaps: usize,
}

/// Whose turn a call's number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    /// It is the next one; with its time, as far as can be known, and what is in doubt about that.
    Next(HeatMs, Doubts),
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
        let known = self.page(tally);
        let expected = known.map_or(1, Page::expected);
        if tally.number < expected {
            let answer = known.and_then(|page| {
                page.answers.get(usize::try_from(tally.number - 1).unwrap_or(usize::MAX)).copied()
            });
            return Ok(answer.map_or(Turn::Gap(expected), |kept| Turn::Known(kept.into())));
        }
        if known.is_none() && self.count >= MAX_EPOCHS {
            return Err(Refused::TooManyPages);
        }
        if tally.number == expected {
            let (effective, doubts) = effective(tally, at, known.and_then(|page| page.previous));
            return Ok(Turn::Next(effective, doubts));
        }
        self.change(tally, |page| page.highest = page.highest.max(tally.number));
        Ok(Turn::Gap(expected))
    }

    /// Keeps the answer of a call whose turn it was.
    pub(crate) fn keep(&mut self, tally: &Tally, effective: HeatMs, answer: Kept) {
        self.change(tally, |page| {
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

    fn page(&self, tally: &Tally) -> Option<&Page> {
        self.by_device.get(&tally.device)?.get(&tally.epoch)
    }

    fn change(&mut self, tally: &Tally, change: impl FnOnce(&mut Page)) {
        let epochs = match self.by_device.get_mut(&tally.device) {
            Some(epochs) => epochs,
            None => self.by_device.entry(tally.device.clone()).or_default(),
        };
        let page = epochs.entry(tally.epoch).or_insert_with(|| {
            self.count += 1;
            Page { shadow: tally.shadow, ..Page::default() }
        });
        let had_gap = page.has_gap();
        change(page);
        match (had_gap, page.has_gap()) {
            (false, true) => self.with_gaps += 1,
            (true, false) => self.with_gaps -= 1,
            _ => {}
        }
    }
}
