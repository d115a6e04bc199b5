//! The floor as a timeline: from a seed and the heat's courses to every tap of every lane, in virtual time. Pure:
//! the same seed gives the same taps. Also says what is true of a lane, so that what screens show can be held
//! against it. Leaves sending the taps to phones and links.

use fivemark_wire::from_client::Call;
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Course, Scoring};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::athlete::{Athlete, Attempt, AttemptEnd, attempts, line};
use crate::judge::{Habits, Tap, taps};

/// Pace of the fastest athlete, in thousandths of what the movements expect.
const FASTEST: i64 = 860;
/// From the fastest to the slowest: about three lanes in ten do not finish before the demo's cap.
const PACE_SPREAD: i64 = 290;
/// How many lead the field close together, and how far apart they are: so that the lead changes.
const LEADERS: usize = 3;
const LEADERS_APART: i64 = 6;

/// Everything that happens on the floor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Floor {
    /// Lanes with an athlete, in lane order.
    pub lanes: Vec<Lane>,
}

/// What happens on one lane.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lane {
    /// Lane, from 1.
    pub lane: u8,
    /// What the athlete does.
    pub attempts: Vec<Attempt>,
    /// What the judge taps, in order of time.
    pub taps: Vec<Tap>,
}

impl Floor {
    /// Works out the heat of a snapshot.
    #[must_use]
    pub fn new(seed: u64, snapshot: &Snapshot) -> Self {
        let entries: Vec<_> = snapshot.entries.iter().filter(|entry| !entry.bib.is_empty()).collect();
        let mut paces = paces(entries.len());
        paces.shuffle(&mut ChaCha8Rng::seed_from_u64(seed));
        let lanes = entries.iter().zip(paces).filter_map(|(entry, pace)| {
            let course = snapshot.courses.get(usize::from(entry.course))?;
            Some(Lane::new(seed, entry.lane, pace, course, snapshot.heat.cap_ms))
        });
        Self { lanes: lanes.collect() }
    }
}

impl Lane {
    fn new(seed: u64, lane: u8, pace: i64, course: &Course, cap_ms: i64) -> Self {
        let mut rng = lane_rng(seed, lane);
        let pace = pace + rng.random_range(0..=LEADERS_APART);
        let athlete = Athlete::of_pace(pace, &mut rng);
        let attempts = attempts(course, cap_ms, athlete, &mut rng);
        let taps = taps(course, &attempts, Habits::draw(&mut rng), &mut rng);
        Self { lane, attempts, taps }
    }

    /// When the athlete did the last unit of the course, milliseconds after the go; none if the cap came first, or the
    /// work has no end.
    #[must_use]
    pub fn finished_ms(&self, course: &Course) -> Option<i64> {
        let last = self.attempts.last().filter(|_| course.scoring == Scoring::ForTime)?;
        let over = last.part + 1 == course.parts.len() && last.left == last.units;
        (over && last.end == AttemptEnd::Good).then_some(last.ended_ms)
    }

    /// Units along the course that the judge's taps up to and including `ms` after the go amount to. A call made in
    /// time and taken back later does not count: a judge may still correct the call just made.
    #[must_use]
    pub fn tapped_by(&self, course: &Course, ms: i64) -> u32 {
        let mut done = 0;
        let mut undoable = 0;
        for tap in &self.taps {
            match tap.call {
                Call::Good if tap.at_ms <= ms => {
                    undoable = units(course, done, tap.amount);
                    done += undoable;
                }
                // It came too late to count, and so does what takes it back.
                Call::Good => undoable = 0,
                Call::Undo | Call::LastWasNoRep => done -= std::mem::take(&mut undoable),
                _ => {}
            }
        }
        done
    }
}

/// Randomness of one lane: its own stream, so that no lane's luck hangs on another's.
#[must_use]
pub fn lane_rng(seed: u64, lane: u8) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(u64::from(lane));
    rng
}

/// Paces for a field, fastest first: three close leaders, then evenly spread. A lone athlete finishes.
fn paces(athletes: usize) -> Vec<i64> {
    let count = i64::try_from(athletes).unwrap_or(i64::MAX).max(1);
    (0..count)
        .zip(0_usize..)
        .map(|(rank, place)| {
            if place < LEADERS {
                FASTEST + rank * LEADERS_APART
            } else {
                FASTEST + PACE_SPREAD * (2 * rank + 1) / (2 * count)
            }
        })
        .collect()
}

/// Units of a good call.
fn units(course: &Course, done: u32, amount: u32) -> u32 {
    let mut end = 0;
    for (_, part) in line(course) {
        end += part.amount;
        if done < end {
            return if amount == 0 { part.step.min(end - done) } else { amount.min(end - done) };
        }
    }
    0
}
