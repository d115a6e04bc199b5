//! Entrances and exits: how far something is in, at any time, and when that changes. A change is never taken back
//! before it is over, so that what is switched on and off many times in a second does not flash.

use crate::motion::ease_out;

/// How long a part takes to come in or leave, microseconds.
pub(crate) const ENTRANCE_US: i64 = 360_000;

const _: () = assert!(ENTRANCE_US <= 400_000);

/// Whether something is shown, and how far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Presence {
    on: bool,
    wanted: bool,
    since_us: Option<i64>,
}

impl Presence {
    /// Comes in or leaves as wanted, as soon as what was begun is over.
    pub(crate) fn follow(&mut self, wanted: bool, now_us: i64) {
        self.wanted = wanted;
        if wanted != self.on && !self.changes(now_us) {
            self.on = wanted;
            self.since_us = Some(now_us);
        }
    }

    /// How far it is in, 0 to 1. `moves` is false when motion is reduced.
    pub(crate) fn share(&self, now_us: i64, moves: bool) -> f32 {
        let at_rest = if self.on { 1.0 } else { 0.0 };
        let Some(since_us) = self.since_us.filter(|_| moves && self.changes(now_us)) else { return at_rest };
        #[allow(clippy::cast_precision_loss)] // under half a second
        let gone = (now_us - since_us).max(0) as f32 / ENTRANCE_US as f32;
        if self.on { ease_out(gone) } else { 1.0 - gone * gone }
    }

    /// Whether any of it is seen.
    pub(crate) fn is_seen(&self, now_us: i64, moves: bool) -> bool {
        self.on || moves && self.changes(now_us)
    }

    /// When it next differs; a time that is not after now's means that it moves.
    pub(crate) fn next_us(&self, now_us: i64, moves: bool) -> Option<i64> {
        let over_us = self.over_us(now_us)?;
        if moves {
            return Some(now_us);
        }
        (self.wanted != self.on).then_some(over_us)
    }

    /// When what was begun is over; none if nothing was.
    pub(crate) fn over_us(&self, now_us: i64) -> Option<i64> {
        self.since_us.filter(|_| self.changes(now_us)).map(|since| since + ENTRANCE_US)
    }

    fn changes(&self, now_us: i64) -> bool {
        self.since_us.is_some_and(|since| now_us - since < ENTRANCE_US)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_comes_in_and_leaves_in_time() {
        let mut part = Presence::default();
        assert!(!part.is_seen(0, true) && part.next_us(0, true).is_none());
        part.follow(true, 1_000);
        assert!(part.share(1_000, true) < 0.01 && part.is_seen(1_000, true));
        let mut last = 0.0;
        for now_us in (1_000..1_000 + ENTRANCE_US).step_by(10_000) {
            let share = part.share(now_us, true);
            assert!(share >= last && part.next_us(now_us, true) == Some(now_us));
            last = share;
        }
        assert!((part.share(1_000 + ENTRANCE_US, true) - 1.0).abs() < f32::EPSILON);
        assert_eq!(part.next_us(1_000 + ENTRANCE_US, true), None);
        part.follow(false, 1_000_000);
        assert!(part.is_seen(1_100_000, true) && !part.is_seen(1_000_000 + ENTRANCE_US, true));
    }

    #[test]
    fn reduced_motion_is_at_once() {
        let mut part = Presence::default();
        part.follow(true, 0);
        assert!((part.share(0, false) - 1.0).abs() < f32::EPSILON && part.next_us(0, false).is_none());
        part.follow(false, 500_000);
        assert!(!part.is_seen(500_000, false));
    }

    #[test]
    fn what_is_switched_all_the_time_changes_less_than_three_times_in_a_second() {
        for moves in [true, false] {
            let mut part = Presence::default();
            let (mut changes, mut last) = (0, false);
            for step in 0..1_000 {
                part.follow(step % 2 == 0, step * 1_000);
                if part.on != last {
                    (changes, last) = (changes + 1, part.on);
                }
            }
            assert!(changes <= 3, "{changes}");
            // What was wanted last comes by itself.
            part.follow(true, 999_999);
            if !part.on {
                let next_us = part.next_us(999_999, moves).unwrap();
                assert!(next_us <= 999_999 + ENTRANCE_US);
                part.follow(true, 999_999 + ENTRANCE_US);
                assert!(part.on);
            }
        }
    }
}
