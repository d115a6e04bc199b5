//! One simulated athlete: pace per movement, fatigue, broken sets, rests, transitions and no-reps, worked out as a
//! list of attempts with the times at which they ended. Whole numbers only, so that a seed gives the same heat on
//! every machine. Leaves what the judge makes of it to `judge`.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use fivemark_wire::view::{Course, Part, Scoring, Unit};
use rand::RngExt;
use rand_chacha::ChaCha8Rng;

/// What everything is measured against: a factor of one, in thousandths.
const ONE: i64 = 1_000;
/// Reaction to the go, milliseconds.
const REACTION_MS: RangeInclusive<i64> = 300..=900;
/// Walk and set-up between two parts, milliseconds, when fresh.
const TRANSITION_MS: RangeInclusive<i64> = 1_800..=4_600;
/// A rest between two sets, milliseconds, when fresh.
const REST_MS: RangeInclusive<i64> = 2_200..=6_500;
/// Variation of one attempt, in thousandths.
const ATTEMPT_VARIES: RangeInclusive<i64> = 930..=1_090;
/// Skill at one movement against the athlete's overall pace, in thousandths.
const SKILL_VARIES: RangeInclusive<i64> = 930..=1_080;
/// Share of a repetition that is done again after a partial fault, in thousandths.
const PARTIAL_SHARE: i64 = 550;
/// So close to the cap no judge says "good" and then thinks again, milliseconds: the horn settles it.
const NEAR_CAP_MS: i64 = 2_000;
/// One fault in this many is called only after the judge has said "good" first.
const LATE_FAULT_IN: u32 = 6;

/// How an athlete moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Athlete {
    /// Time against what the movement expects, in thousandths: less is faster.
    pub pace: i64,
    /// How much slower at the end than at the start, in thousandths.
    pub fade: i64,
    /// Repetitions in an unbroken set when fresh.
    pub set: u32,
    /// Failed attempts, in thousandths of all.
    pub faults: u32,
}

impl Athlete {
    /// An athlete of that pace.
    #[must_use]
    pub fn of_pace(pace: i64, rng: &mut ChaCha8Rng) -> Self {
        // The faster have the longer sets.
        let longest = if pace < 950 { 18 } else { 13 };
        Self {
            pace,
            fade: rng.random_range(60..=170),
            set: rng.random_range(8..=longest),
            faults: rng.random_range(8..=45),
        }
    }
}

/// One attempt at one step of the course.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attempt {
    /// When it ended, milliseconds after the go.
    pub ended_ms: i64,
    /// Index of its part.
    pub part: usize,
    /// Units that it is worth if it is good.
    pub units: u32,
    /// Units of the part that are left before it.
    pub left: u32,
    /// How it ended.
    pub end: AttemptEnd,
}

/// How an attempt ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AttemptEnd {
    /// It counts.
    Good,
    /// It fails, for the fault with this index in the part's list.
    Failed(usize),
    /// It fails, but the judge first says "good".
    FailedLate(usize),
}

/// The parts as an athlete comes to them, each with its index in the course: in order, and where as many rounds as
/// possible are done, the round again and again.
pub fn line(course: &Course) -> impl Iterator<Item = (usize, &Part)> {
    let again = course.scoring != Scoring::ForTime;
    let round = course.parts.iter().enumerate().filter(move |(_, part)| again && part.round > 0);
    course.parts.iter().enumerate().chain(round.cycle())
}

/// Works out the attempts from the go until the course is done or the cap is reached.
#[must_use]
pub fn attempts(course: &Course, cap_ms: i64, athlete: Athlete, rng: &mut ChaCha8Rng) -> Vec<Attempt> {
    let mut work = Effort { course, cap_ms, athlete, now_ms: 0, done: 0, skills: BTreeMap::new(), rng };
    let mut found = Vec::new();
    for (count, (index, part)) in line(course).enumerate() {
        let pause = if count == 0 { work.draw(REACTION_MS) } else { work.tired(TRANSITION_MS) };
        work.now_ms += pause;
        work.part(index, part, &mut found);
        if work.now_ms > cap_ms {
            break;
        }
    }
    found
}

struct Effort<'a> {
    course: &'a Course,
    cap_ms: i64,
    athlete: Athlete,
    now_ms: i64,
    done: u32,
    skills: BTreeMap<&'a str, i64>,
    rng: &'a mut ChaCha8Rng,
}

impl<'a> Effort<'a> {
    fn part(&mut self, index: usize, part: &'a Part, found: &mut Vec<Attempt>) {
        let skill = match self.skills.get(part.movement.as_str()) {
            Some(skill) => *skill,
            None => {
                let skill = self.draw(SKILL_VARIES);
                *self.skills.entry(&part.movement).or_insert(skill)
            }
        };
        let mut left = part.amount;
        let mut in_set = 0;
        let mut set = self.set_length();
        let mut share = ONE;
        while left > 0 {
            if part.unit == Unit::Rep && in_set >= set {
                self.now_ms += self.tired(REST_MS);
                (in_set, set) = (0, self.set_length());
            }
            let units = part.step.clamp(1, left);
            let fresh = i64::from(units) * i64::from(part.expected_ms_per_unit) * self.athlete.pace / ONE;
            let varied = self.draw(ATTEMPT_VARIES);
            self.now_ms += fresh * share / ONE * skill / ONE * varied / ONE * self.tiredness() / ONE;
            if self.now_ms > self.cap_ms {
                return;
            }
            in_set += 1;
            let near_cap = self.cap_ms - self.now_ms < NEAR_CAP_MS;
            let end = self.end(part, left, near_cap);
            found.push(Attempt { ended_ms: self.now_ms, part: index, units, left, end });
            share = ONE;
            match end {
                AttemptEnd::Good => {
                    left -= units;
                    self.done += units;
                }
                AttemptEnd::Failed(fault) | AttemptEnd::FailedLate(fault) => {
                    if part.faults.get(fault).is_some_and(|fault| fault.partial) {
                        share = PARTIAL_SHARE;
                    }
                }
            }
        }
    }

    fn end(&mut self, part: &Part, left: u32, near_cap: bool) -> AttemptEnd {
        if part.faults.is_empty() || !self.rng.random_ratio(self.athlete.faults.min(1_000), 1_000) {
            return AttemptEnd::Good;
        }
        let fault = self.rng.random_range(0..part.faults.len());
        let partial = part.faults[fault].partial;
        // The last unit of a part is looked at closely, and a failed stage is seen when it happens.
        if left > 1 && !partial && !near_cap && self.rng.random_ratio(1, LATE_FAULT_IN) {
            AttemptEnd::FailedLate(fault)
        } else {
            AttemptEnd::Failed(fault)
        }
    }

    fn draw(&mut self, range: RangeInclusive<i64>) -> i64 {
        self.rng.random_range(range)
    }

    /// A pause, longer for the slow and the tired.
    fn tired(&mut self, range: RangeInclusive<i64>) -> i64 {
        self.draw(range) * self.athlete.pace / ONE * self.tiredness() / ONE
    }

    /// How much longer everything takes by now, in thousandths.
    fn tiredness(&self) -> i64 {
        ONE + self.athlete.fade * self.share_done(ONE) / ONE
    }

    /// Repetitions of the next set: fewer when tired.
    fn set_length(&mut self) -> u32 {
        let thirds = u32::try_from(self.share_done(3)).unwrap_or(0);
        let longest = self.athlete.set.saturating_sub(thirds * 2).max(4);
        self.rng.random_range(longest - 2..=longest + 2)
    }

    /// How much of the whole is behind the athlete, in parts of `whole`: of the course's work, or, where that has no
    /// end, of the time.
    fn share_done(&self, whole: i64) -> i64 {
        match self.course.scoring {
            Scoring::ForTime => i64::from(self.done) * whole / i64::from(self.course.units.max(1)),
            _ => self.now_ms * whole / self.cap_ms.max(1),
        }
    }
}
