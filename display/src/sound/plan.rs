//! What sounds when, from the state of the heat alone. Times are the feed's; when that is on this machine, and
//! whether it has sounded already, is left to others.

use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Clock, State};

/// What can sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sound {
    /// Three, two, one.
    Beep,
    /// The start.
    Go,
    /// A minute is left to the cap.
    LastMinute,
    /// The cap.
    Horn,
}

/// A sound and when it begins, milliseconds of feed time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Cue {
    pub sound: Sound,
    pub at_ms: i64,
}

/// Most cues of one heat at a time.
pub const MAX_CUES: usize = 6;

/// What is to come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// In the order of time; none are in the past by this plan alone.
    pub cues: [Option<Cue>; MAX_CUES],
    /// The heat goes on as it was to: a cue that has just gone from the plan may have been reached rather than taken
    /// back, as the feed says that a heat runs a moment after it began to.
    pub goes_on: bool,
}

/// Before the start, milliseconds.
const BEEPS_MS: [i64; 3] = [3_000, 2_000, 1_000];
/// Before the cap, milliseconds.
const LAST_MINUTE_MS: i64 = 60_000;

/// The cues of a heat as the feed tells of it.
#[must_use]
pub fn plan(snapshot: &Snapshot) -> Plan {
    let heat = &snapshot.heat;
    let cap_ms = last_cap_ms(snapshot);
    let mut cues = Cues::default();
    let goes_on = match (heat.state, heat.clock) {
        (State::Countdown, Clock::CountingDown { go_at_ms, elapsed_ms, .. }) => {
            for before_ms in BEEPS_MS {
                cues.add(Sound::Beep, go_at_ms.saturating_sub(before_ms));
            }
            cues.add(Sound::Go, go_at_ms);
            cues.until_cap(go_at_ms.saturating_sub(elapsed_ms), cap_ms, go_at_ms);
            true
        }
        (State::Running, Clock::Running { zero_at_ms }) => {
            // Said a moment after the start, so the start may not have sounded yet.
            cues.add(Sound::Go, zero_at_ms);
            cues.until_cap(zero_at_ms, cap_ms, zero_at_ms);
            true
        }
        (State::TimeCalled | State::Provisional, _) => true,
        _ => false,
    };
    Plan { cues: cues.list, goes_on }
}

/// Heat time at which the cap comes for the last lane, milliseconds: lanes may start later than the heat, and may be
/// credited time.
fn last_cap_ms(snapshot: &Snapshot) -> i64 {
    let heat = &snapshot.heat;
    if heat.cap_on_heat {
        return heat.cap_ms;
    }
    let later = snapshot.entries.iter().map(|entry| {
        let count = snapshot.lanes.iter().find(|count| count.lane == entry.lane);
        entry.start_ms.saturating_add(count.and_then(|count| count.credit_ms).unwrap_or(0))
    });
    heat.cap_ms.saturating_add(later.max().unwrap_or(0).max(0))
}

#[derive(Default)]
struct Cues {
    list: [Option<Cue>; MAX_CUES],
    count: usize,
}

impl Cues {
    fn add(&mut self, sound: Sound, at_ms: i64) {
        if let Some(slot) = self.list.get_mut(self.count) {
            *slot = Some(Cue { sound, at_ms });
            self.count += 1;
        }
    }

    /// What comes on the way to the cap after `from_ms`.
    fn until_cap(&mut self, zero_at_ms: i64, cap_ms: i64, from_ms: i64) {
        let cap_at_ms = zero_at_ms.saturating_add(cap_ms);
        let last_minute_ms = cap_at_ms.saturating_sub(LAST_MINUTE_MS);
        // A cap of a minute has no last minute, nor has a heat that resumes in it.
        if last_minute_ms > from_ms {
            self.add(Sound::LastMinute, last_minute_ms);
        }
        self.add(Sound::Horn, cap_at_ms);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::sample;

    fn cues(state: State, clock: Clock, cap_ms: i64) -> (Vec<(Sound, i64)>, bool) {
        let plan = plan(&sample(state, clock, cap_ms));
        (plan.cues.iter().flatten().map(|cue| (cue.sound, cue.at_ms)).collect(), plan.goes_on)
    }

    #[test]
    fn each_state_has_its_sounds() {
        use Sound::{Beep, Go, Horn, LastMinute};
        let down = |elapsed_ms| Clock::CountingDown { since_ms: 0, go_at_ms: 10_000, elapsed_ms };
        let three = [(Beep, 7_000), (Beep, 8_000), (Beep, 9_000), (Go, 10_000)];
        let with = |more: &[(Sound, i64)]| [&three[..], more].concat();
        for (state, clock, cap_ms, expected) in [
            (State::LanesSet, Clock::Idle, 600_000, vec![]),
            (State::OnDeck, Clock::Idle, 600_000, vec![]),
            (State::Countdown, down(0), 600_000, with(&[(LastMinute, 550_000), (Horn, 610_000)])),
            // A minute's cap has no last minute.
            (State::Countdown, down(0), 60_000, with(&[(Horn, 70_000)])),
            // Resumed at 9:10 of 10:00 and at 8:50.
            (State::Countdown, down(550_000), 600_000, with(&[(Horn, 60_000)])),
            (State::Countdown, down(530_000), 600_000, with(&[(LastMinute, 20_000), (Horn, 80_000)])),
            (
                State::Running,
                Clock::Running { zero_at_ms: 10_000 },
                600_000,
                vec![(Go, 10_000), (LastMinute, 550_000), (Horn, 610_000)],
            ),
            // Held, called, over: nothing is to come.
            (State::Held, Clock::Stopped { elapsed_ms: 5_000 }, 600_000, vec![]),
            (State::TimeCalled, Clock::Stopped { elapsed_ms: 600_000 }, 600_000, vec![]),
            (State::Provisional, Clock::Stopped { elapsed_ms: 5_000 }, 600_000, vec![]),
            (State::Signed, Clock::Stopped { elapsed_ms: 5_000 }, 600_000, vec![]),
            (State::Cancelled, Clock::Stopped { elapsed_ms: 5_000 }, 600_000, vec![]),
        ] {
            assert_eq!(cues(state, clock, cap_ms).0, expected, "{state:?} {clock:?} {cap_ms}");
        }
    }

    #[test]
    fn only_what_follows_by_itself_may_have_been_reached() {
        for (state, clock, goes_on) in [
            (State::Running, Clock::Running { zero_at_ms: 5 }, true),
            (State::TimeCalled, Clock::Stopped { elapsed_ms: 5 }, true),
            (State::Held, Clock::Stopped { elapsed_ms: 5 }, false),
            (State::OnDeck, Clock::Idle, false),
            (State::Cancelled, Clock::Stopped { elapsed_ms: 5 }, false),
        ] {
            assert_eq!(cues(state, clock, 600_000).1, goes_on, "{state:?}");
        }
    }

    #[test]
    fn the_horn_is_for_the_last_lane_unless_the_cap_is_the_heat_s() {
        let mut snapshot = sample(State::Running, Clock::Running { zero_at_ms: 0 }, 300_000);
        snapshot.entries[1].start_ms = 30_000;
        snapshot.lanes[1].credit_ms = Some(5_000);
        let horn = |snapshot: &Snapshot| {
            plan(snapshot).cues.iter().flatten().find(|cue| cue.sound == Sound::Horn).map(|cue| cue.at_ms)
        };
        assert_eq!(horn(&snapshot), Some(335_000));
        snapshot.heat.cap_on_heat = true;
        assert_eq!(horn(&snapshot), Some(300_000));
    }

    #[test]
    fn extreme_times_do_not_overflow() {
        for ms in [i64::MIN, i64::MAX] {
            let down = Clock::CountingDown { since_ms: ms, go_at_ms: ms, elapsed_ms: ms };
            assert!(cues(State::Countdown, down, ms).0.len() <= MAX_CUES);
            assert!(!cues(State::Running, Clock::Running { zero_at_ms: ms }, ms).0.is_empty());
        }
    }
}
