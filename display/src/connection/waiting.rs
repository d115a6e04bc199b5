//! What came from the feed and is not to be shown yet: a queue of one delay, in the order of arrival, bounded. With a
//! delay of nothing it holds nothing.

use std::collections::VecDeque;

use fivemark_wire::clock::Exchange;
use fivemark_wire::from_feed::{Delta, Snapshot};

/// Most messages that wait. The longest delay is a minute, and a floor of 40 lanes says some 80 in a second; past
/// this the oldest is shown before its time rather than lost.
const MAX_WAITING: usize = 8_192;

/// Something that changes what is shown.
#[derive(Clone, Debug)]
pub(super) enum Heard {
    /// The feed let us in.
    Welcome { stream: String, speed_milli: u32 },
    /// The whole picture.
    Snapshot(Box<Snapshot>),
    /// A change of it.
    Delta(Box<Delta>),
    /// A clock exchange.
    Exchange(Exchange),
    /// The line broke; it was last alive at `heard_us` of the display's clock.
    Lost { trouble: String, refused: bool, heard_us: i64 },
}

/// The queue. Times are microseconds of the display's clock.
#[derive(Debug)]
pub(super) struct Waiting {
    delay_us: i64,
    queue: VecDeque<(i64, Heard)>,
    told_full: bool,
}

impl Waiting {
    pub fn new(delay_us: i64) -> Self {
        Self { delay_us, queue: VecDeque::new(), told_full: false }
    }

    pub fn delay_us(&self) -> i64 {
        self.delay_us
    }

    /// Puts what came at `at_us` at the end.
    pub fn push(&mut self, heard: Heard, at_us: i64) {
        self.queue.push_back((at_us, heard));
    }

    /// When the first is to be shown.
    pub fn due_us(&self) -> Option<i64> {
        self.queue.front().map(|(at_us, _)| at_us.saturating_add(self.delay_us))
    }

    /// The first, with the time at which it came, if it has waited long enough or there are too many.
    pub fn next(&mut self, now_us: i64) -> Option<(Heard, i64)> {
        let due = self.due_us()? <= now_us;
        let full = self.queue.len() > MAX_WAITING;
        if full && !due && !self.told_full {
            self.told_full = true;
            tracing::warn!(
                most = MAX_WAITING,
                "more messages wait than a delay may hold; the oldest are shown early"
            );
        }
        if due || full { self.queue.pop_front().map(|(at_us, heard)| (heard, at_us)) } else { None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exchange(number: i64) -> Heard {
        Heard::Exchange(Exchange { t1_us: number, t2_us: 0, t3_us: 0, t4_us: 0 })
    }

    fn number(heard: &Heard) -> i64 {
        match heard {
            Heard::Exchange(exchange) => exchange.t1_us,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_came_is_shown_after_the_delay_in_its_order_with_its_own_time() {
        let mut waiting = Waiting::new(5_000);
        waiting.push(exchange(1), 100);
        waiting.push(exchange(2), 100);
        waiting.push(exchange(3), 400);
        assert_eq!(waiting.due_us(), Some(5_100));
        assert!(waiting.next(5_099).is_none());
        for (expected, at_us) in [(1, 100), (2, 100)] {
            let (heard, came_us) = waiting.next(5_100).expect("it is due");
            assert_eq!((number(&heard), came_us), (expected, at_us));
        }
        assert!(waiting.next(5_399).is_none());
        assert!(waiting.next(9_000).is_some());
        assert_eq!(waiting.due_us(), None);
    }

    #[test]
    fn too_many_push_the_oldest_out_early_and_none_is_lost() {
        let mut waiting = Waiting::new(1_000_000);
        let mut shown = Vec::new();
        let sent = i64::try_from(MAX_WAITING).unwrap() + 3;
        for at in 0..sent {
            waiting.push(exchange(at), at);
            while let Some((heard, _)) = waiting.next(at) {
                shown.push(number(&heard));
            }
            assert!(waiting.queue.len() <= MAX_WAITING);
        }
        assert_eq!(shown, [0, 1, 2]);
        while let Some((heard, _)) = waiting.next(i64::MAX) {
            shown.push(number(&heard));
        }
        assert_eq!(shown, (0..sent).collect::<Vec<_>>());
    }
}
