//! The calls of one phone that wait for an answer: kept through outages and reloads, sent in order, sent again when
//! nothing comes back. Leaves what is said around them to `phone`.

use std::collections::VecDeque;

use fivemark_wire::from_client::{Offset, Tally};

/// A call without an answer is sent again after this, microseconds; each time twice as long, up to a limit.
const AGAIN_AFTER_US: i64 = 4_000_000;
const AGAIN_DOUBLINGS: u32 = 3;
/// Calls on their way at once: a bound on what has to be sent again after a hole.
const MOST_ON_THE_WAY: usize = 32;
/// Most calls that wait for an answer. A judge who taps twice a second fills it in half an hour without a link.
pub const MAX_WAITING: usize = 4_096;

/// The calls, in the order in which they were tapped.
#[derive(Clone, Debug, Default)]
pub struct Calls {
    waiting: VecDeque<Waiting>,
}

#[derive(Clone, Debug)]
struct Waiting {
    tally: Tally,
    sent_us: Option<i64>,
    tries: u32,
}

/// A call that is due to be sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueCall {
    /// The call.
    pub tally: Tally,
    /// It was sent once before: the first time that it is sent again.
    pub first_repeat: bool,
}

impl Calls {
    /// How many wait.
    #[must_use]
    pub fn len(&self) -> usize {
        self.waiting.len()
    }

    /// Whether none waits.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.waiting.is_empty()
    }

    /// Takes a call in. False, and nothing done, if too many wait.
    pub fn push(&mut self, tally: Tally) -> bool {
        let room = self.waiting.len() < MAX_WAITING;
        if room {
            self.waiting.push_back(Waiting { tally, sent_us: None, tries: 0 });
        }
        room
    }

    /// The link is gone, and what was on its way with it.
    pub fn lose_all_sent(&mut self) {
        self.waiting.iter_mut().for_each(|waiting| waiting.sent_us = None);
    }

    /// The page that tapped them is gone: its last clock offset is all that its calls will ever have.
    pub fn keep_offset(&mut self, last: Option<Offset>) {
        for waiting in &mut self.waiting {
            waiting.tally.offset = waiting.tally.offset.or(last);
        }
    }

    /// The next call to send, marked as sent. Calls of the present page, `epoch`, take its offset, and wait for it.
    pub fn next(&mut self, now_us: i64, epoch: u64, offset: Option<Offset>) -> Option<DueCall> {
        let index = self.next_index(now_us, epoch, offset)?;
        let waiting = self.waiting.get_mut(index)?;
        waiting.sent_us = Some(now_us);
        waiting.tries += 1;
        if waiting.tally.epoch == epoch {
            waiting.tally.offset = offset;
        }
        Some(DueCall { tally: waiting.tally.clone(), first_repeat: waiting.tries == 2 })
    }

    /// When the oldest call is sent again if no answer comes.
    #[must_use]
    pub fn again_at_us(&self) -> Option<i64> {
        self.waiting.front().and_then(Waiting::again_at_us)
    }

    /// A call was answered. False if none waits by that number.
    pub fn answered(&mut self, epoch: u64, number: u32) -> bool {
        let index = self.index_of(epoch, number);
        index.and_then(|index| self.waiting.remove(index)).is_some()
    }

    /// Whether a call waits by that number.
    #[must_use]
    pub fn has(&self, epoch: u64, number: u32) -> bool {
        self.index_of(epoch, number).is_some()
    }

    /// A call was not taken: it and all after it have to be sent again, in order.
    pub fn send_again_from(&mut self, epoch: u64, number: u32) {
        if let Some(index) = self.index_of(epoch, number) {
            self.waiting.iter_mut().skip(index).for_each(|waiting| waiting.sent_us = None);
        }
    }

    /// The feed asks for a hole to be filled. Every call behind a hole is answered with that question; one of these
    /// is enough.
    pub fn fill_hole(&mut self, epoch: u64, from: u32, now_us: i64) {
        let first = self.index_of(epoch, from).and_then(|index| self.waiting.get(index));
        let just_sent = first.is_some_and(|first| {
            first.tries > 1 && first.sent_us.is_some_and(|sent_us| now_us < sent_us + AGAIN_AFTER_US / 4)
        });
        if !just_sent {
            self.send_again_from(epoch, from);
        }
    }

    fn next_index(&self, now_us: i64, epoch: u64, offset: Option<Offset>) -> Option<usize> {
        if self.again_at_us().is_some_and(|again| again <= now_us) {
            return Some(0);
        }
        let on_the_way = self.waiting.iter().filter(|waiting| waiting.sent_us.is_some()).count();
        if on_the_way >= MOST_ON_THE_WAY {
            return None;
        }
        let index = self.waiting.iter().position(|waiting| waiting.sent_us.is_none())?;
        let of_this_page = self.waiting.get(index)?.tally.epoch == epoch;
        (!of_this_page || offset.is_some()).then_some(index)
    }

    fn index_of(&self, epoch: u64, number: u32) -> Option<usize> {
        self.waiting.iter().position(|waiting| (waiting.tally.epoch, waiting.tally.number) == (epoch, number))
    }
}

impl Waiting {
    fn again_at_us(&self) -> Option<i64> {
        let doublings = self.tries.saturating_sub(1).min(AGAIN_DOUBLINGS);
        self.sent_us.map(|sent_us| sent_us + (AGAIN_AFTER_US << doublings))
    }
}
