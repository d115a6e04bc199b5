//! One simulated lane judge: taps for each attempt, a human moment late, several steps at once on a rower, now and
//! then a slip that is undone or a "good" that is taken back. Leaves phones and links to `phone` and `link`.

use std::ops::RangeInclusive;

use fivemark_wire::from_client::Call;
use fivemark_wire::view::Course;
use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use crate::athlete::{Attempt, AttemptEnd};

/// Least time between two taps of one thumb, milliseconds.
pub const BETWEEN_TAPS_MS: i64 = 160;
/// From the end of a good rep to its tap, milliseconds, for the quickest and the slowest judge.
const DELAY_MS: RangeInclusive<i64> = 120..=260;
/// How much that varies from tap to tap, milliseconds.
const JITTER_MS: RangeInclusive<i64> = 0..=140;
/// A no-rep takes longer: the fault is chosen.
const FAULT_DELAY_MS: RangeInclusive<i64> = 350..=900;
/// From a "good" to "last was no-rep".
const SECOND_THOUGHT_MS: RangeInclusive<i64> = 500..=1_000;
/// From a double tap to its undo; well within the 5 s that an undo has.
const UNDO_MS: RangeInclusive<i64> = 450..=1_100;
/// The longest that a tap can come after the attempt that it is for, milliseconds; the test of a whole heat leans
/// on it.
pub const LATEST_TAP_MS: i64 = 2_500;
/// Steps that are entered at once where the movement allows it, at most.
const MOST_STEPS: u32 = 4;

/// One tap of a judge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tap {
    /// When, milliseconds after the go.
    pub at_ms: i64,
    /// What is said.
    pub call: Call,
    /// Units; 0 for one step.
    pub amount: u32,
    /// Code of the fault, for a no-rep.
    pub fault: Option<String>,
}

/// How a judge taps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Habits {
    /// From the end of a good rep to its tap, milliseconds.
    pub delay_ms: i64,
    /// Double taps, in thousandths of all taps.
    pub slips: u32,
}

impl Habits {
    /// A judge drawn at random.
    #[must_use]
    pub fn draw(rng: &mut ChaCha8Rng) -> Self {
        Self { delay_ms: rng.random_range(DELAY_MS), slips: rng.random_range(2..=14) }
    }
}

/// The taps for an athlete's attempts, in order of time.
#[must_use]
pub fn taps(course: &Course, attempts: &[Attempt], habits: Habits, rng: &mut ChaCha8Rng) -> Vec<Tap> {
    let mut judge = Judge { course, habits, taps: Vec::new(), free_at_ms: 0, carried: 0, rng };
    for attempt in attempts {
        judge.look_at(attempt);
    }
    judge.taps
}

struct Judge<'a> {
    course: &'a Course,
    habits: Habits,
    taps: Vec<Tap>,
    /// When the thumb is free again.
    free_at_ms: i64,
    /// Units seen but not entered yet.
    carried: u32,
    rng: &'a mut ChaCha8Rng,
}

impl Judge<'_> {
    fn look_at(&mut self, attempt: &Attempt) {
        let Some(part) = self.course.parts.get(attempt.part) else { return };
        let fault = |index: usize| part.faults.get(index).map(|fault| fault.code.clone());
        match attempt.end {
            AttemptEnd::Good => {
                self.carried += attempt.units;
                let last = attempt.units == attempt.left;
                let room = part.several_at_once && self.carried < part.step * MOST_STEPS;
                if room && !last && self.rng.random_ratio(1, 2) {
                    return;
                }
                let amount = std::mem::take(&mut self.carried);
                let one_step = amount == attempt.units;
                self.good(attempt.ended_ms, if one_step { 0 } else { amount });
                // A slip needs room in the part, and time to take it back before the next rep.
                if one_step && attempt.left > 3 * attempt.units {
                    self.maybe_slip();
                }
            }
            AttemptEnd::Failed(index) => {
                let delay = self.rng.random_range(FAULT_DELAY_MS);
                self.tap(attempt.ended_ms + delay, Call::NoRep, 0, fault(index));
            }
            AttemptEnd::FailedLate(index) => {
                self.good(attempt.ended_ms, 0);
                let thought = self.rng.random_range(SECOND_THOUGHT_MS);
                self.tap(self.free_at_ms + thought, Call::LastWasNoRep, 0, fault(index));
            }
        }
    }

    fn good(&mut self, ended_ms: i64, amount: u32) {
        let delay = self.habits.delay_ms + self.rng.random_range(JITTER_MS);
        self.tap(ended_ms + delay, Call::Good, amount, None);
    }

    fn maybe_slip(&mut self) {
        if self.rng.random_ratio(self.habits.slips.min(1_000), 1_000) {
            self.tap(self.free_at_ms, Call::Good, 0, None);
            let undo = self.rng.random_range(UNDO_MS);
            self.tap(self.free_at_ms + undo, Call::Undo, 0, None);
        }
    }

    fn tap(&mut self, wanted_ms: i64, call: Call, amount: u32, fault: Option<String>) {
        let at_ms = wanted_ms.max(self.free_at_ms);
        self.free_at_ms = at_ms + BETWEEN_TAPS_MS;
        self.taps.push(Tap { at_ms, call, amount, fault });
    }
}
