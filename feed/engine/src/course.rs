//! The course: a workout as one line of work, part after part, with what each part scores and how much of the
//! track it takes. Answers where a number of units lies; leaves the making of it to `compile`.

use crate::workout::{Fault, ScoreRule, Unit};

/// A workout compiled to a line of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Course {
    /// Its parts, in order.
    pub parts: Vec<Part>,
    /// Units along the whole course: the sum of the parts' amounts.
    pub units: u32,
    /// Score units of the whole course.
    pub score_units: u32,
    /// Number of closing blocks (the last five; common practice): 0 to 5.
    pub closing_blocks: u8,
    /// Units that one closing block stands for; 0 if there are none.
    pub closing_step: u32,
    /// The end is a separate finish call, not the last unit.
    pub finish_call: bool,
}

/// One part of a course.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Full name of the movement.
    pub movement: String,
    /// Name for narrow places.
    pub short_name: String,
    /// Amount, in `unit`.
    pub amount: u32,
    /// What is counted.
    pub unit: Unit,
    /// Units per tap; equal to `amount` when the part is only tapped when it is done.
    pub step: u32,
    /// Whether a good call may carry several steps.
    pub several_at_once: bool,
    /// Load or height as shown; empty if none.
    pub load: String,
    /// Round that it belongs to, from 1; 0 for buy-in and cash-out.
    pub round: u32,
    /// Units of the course before this part.
    pub first_unit: u32,
    /// Score units of the course before this part.
    pub score_before: u32,
    /// What it adds to the score.
    pub scores: ScoreRule,
    /// Where it starts on the track, in millionths of the track.
    pub track_start_ppm: u32,
    /// How long it is on the track, in millionths.
    pub track_len_ppm: u32,
    /// The movement's expected time for one unit, milliseconds.
    pub expected_ms_per_unit: u32,
    /// The time at its end is the tie-break time.
    pub tie_break: bool,
    /// Faults that a judge may name.
    pub faults: Vec<Fault>,
}

impl Part {
    /// Score units after `done` units of this part (0 to its amount).
    #[must_use]
    pub fn score_of(&self, done: u32) -> u32 {
        match self.scores {
            ScoreRule::PerUnit => done,
            ScoreRule::PerUnits(units) => done.checked_div(units).unwrap_or(0),
            ScoreRule::WhenDone(score) if done >= self.amount => score,
            ScoreRule::WhenDone(_) => 0,
        }
    }

    /// Units of the course up to the end of this part.
    #[must_use]
    pub fn end_unit(&self) -> u32 {
        self.first_unit.saturating_add(self.amount)
    }
}

impl Course {
    /// Index of the part under way after `done` units; the number of parts when all are done.
    #[must_use]
    pub fn part_at(&self, done: u32) -> usize {
        self.parts.partition_point(|part| part.end_unit() <= done)
    }

    /// Score units after `done` units.
    #[must_use]
    pub fn score_at(&self, done: u32) -> u32 {
        match self.parts.get(self.part_at(done)) {
            Some(part) => {
                part.score_before.saturating_add(part.score_of(done.saturating_sub(part.first_unit)))
            }
            None => self.score_units,
        }
    }

    /// Units of the course that the closing blocks cover.
    #[must_use]
    pub fn closing_units(&self) -> u32 {
        u32::from(self.closing_blocks).saturating_mul(self.closing_step)
    }

    /// Units left when `done` units lie inside the closing blocks; none before them, or if there are none.
    #[must_use]
    pub fn to_go(&self, done: u32) -> Option<u32> {
        let left = self.units.saturating_sub(done);
        (self.closing_blocks > 0 && left <= self.closing_units()).then_some(left)
    }

    /// Whether some part gives a tie-break time.
    #[must_use]
    pub fn has_tie_break(&self) -> bool {
        self.parts.iter().any(|part| part.tie_break)
    }

    /// Index of the last part that gives a tie-break time and is done after `done` units.
    #[must_use]
    pub fn tie_break_part(&self, done: u32) -> Option<usize> {
        self.parts[..self.part_at(done)].iter().rposition(|part| part.tie_break)
    }
}
