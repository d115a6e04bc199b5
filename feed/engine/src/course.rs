//! The course: a workout as one line of work, part after part, with what each part scores and how much of the
//! track it takes. An AMRAP's line is its buy-in and one round, which is repeated without end. Answers where a
//! number of units lies; leaves the making of it to `compile`.

use crate::bounds::MAX_UNITS;
use crate::workout::{Fault, ScoreRule, Scoring, Unit};

/// A workout compiled to a line of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Course {
    /// How results come about.
    pub scoring: Scoring,
    /// Its parts, in order; of an AMRAP the buy-in and one round. Where attempts are judged one part, whose units are
    /// the attempts or holds that an athlete has.
    pub parts: Vec<Part>,
    /// Units along these parts: the sum of their amounts.
    pub units: u32,
    /// Score units of these parts.
    pub score_units: u32,
    /// Number of closing blocks (the last five; common practice): 0 to 5. Open-ended work has none.
    pub closing_blocks: u8,
    /// Units that one closing block stands for; 0 if there are none.
    pub closing_step: u32,
    /// The end is a separate finish call, not the last unit.
    pub finish_call: bool,
    /// What is repeated without end; none where the work has an end.
    pub(crate) lap: Option<Lap>,
}

/// Where the round begins that an AMRAP repeats: it goes on to the end of the parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Lap {
    pub(crate) first_part: usize,
    pub(crate) first_unit: u32,
    pub(crate) first_score: u32,
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
    /// Where it starts on the track, in millionths of the track. In an AMRAP the buy-in has a track of its own, and
    /// each round begins at 0 again.
    pub track_start_ppm: u32,
    /// How long it is on the track, in millionths.
    pub track_len_ppm: u32,
    /// The movement's expected time for one unit, milliseconds.
    pub expected_ms_per_unit: u32,
    /// The time at its end is the tie-break time.
    pub tie_break: bool,
    /// Blocks of the closing mark at its end, 0 to 5: of the course's last part, and of every part where the workout
    /// marks them all.
    pub closing_blocks: u8,
    /// Units that one of these blocks stands for; 0 if there are none.
    pub closing_step: u32,
    /// How a rep begins, in words; empty if not told.
    pub start: String,
    /// What a rep has to come to, in words; empty if not told.
    pub finish: String,
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

    /// Units of the course up to the end of this part, the first time.
    #[must_use]
    pub fn end_unit(&self) -> u32 {
        self.first_unit.saturating_add(self.amount)
    }
}

/// Where a number of units lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Index of the part under way; the number of parts when the whole course is done.
    pub part: usize,
    /// Units done of that part.
    pub part_done: u32,
    /// Whole rounds of an AMRAP that are done; 0 in work with an end.
    pub laps: u32,
}

impl Course {
    /// Whether the work has no end of its own but its window's: it goes round again and again, or attempts are judged.
    #[must_use]
    pub fn is_open_ended(&self) -> bool {
        self.lap.is_some() || self.scoring.judges_attempts()
    }

    /// The most units that a lane can have: the whole course; in rounds without end the engine's limit.
    #[must_use]
    pub fn most_units(&self) -> u32 {
        if self.lap.is_some() { MAX_UNITS } else { self.units }
    }

    /// Where `done` units lie.
    #[must_use]
    pub fn place(&self, done: u32) -> Place {
        if self.scoring.judges_attempts() {
            return Place { part: 0, part_done: done, laps: 0 };
        }
        let laps = self.laps_at(done);
        let within = done.saturating_sub(laps.saturating_mul(self.lap_units()));
        let part = self.parts.partition_point(|part| part.end_unit() <= within);
        let first = self.parts.get(part).map_or(self.units, |part| part.first_unit);
        Place { part, part_done: within.saturating_sub(first), laps }
    }

    /// The part under way after `done` units; none when all are done.
    #[must_use]
    pub fn part_at(&self, done: u32) -> Option<&Part> {
        self.parts.get(self.place(done).part)
    }

    /// Score units after `done` units.
    #[must_use]
    pub fn score_at(&self, done: u32) -> u32 {
        self.score_of(self.place(done))
    }

    /// Score units at a place.
    pub(crate) fn score_of(&self, place: Place) -> u32 {
        place.laps.saturating_mul(self.lap_score()).saturating_add(self.score_within(place))
    }

    /// The round under way at a place, from 1, and the score units that are done in it. 0 outside rounds; the units are
    /// then those of the buy-in or the cash-out.
    #[must_use]
    pub fn round_of(&self, place: Place) -> (u32, u32) {
        let Some(part) = self.parts.get(place.part) else { return (0, 0) };
        let first = self.parts[..place.part].iter().rposition(|before| before.round != part.round);
        let first = first.map_or(0, |before| before + 1);
        let before = self.parts.get(first).map_or(0, |part| part.score_before);
        let round = part.round.saturating_add(place.laps);
        (round, self.score_within(place).saturating_sub(before))
    }

    /// Units of the course that the closing blocks cover.
    #[must_use]
    pub fn closing_units(&self) -> u32 {
        u32::from(self.closing_blocks).saturating_mul(self.closing_step)
    }

    /// Units left to the end of the part under way, when a place lies inside its closing blocks; none before them, or
    /// if it has none. 0 between the last unit and a finish call.
    #[must_use]
    pub fn to_go(&self, place: Place) -> Option<u32> {
        let Some(part) = self.parts.get(place.part) else {
            return (self.closing_blocks > 0).then_some(0);
        };
        let left = part.amount.saturating_sub(place.part_done);
        let marked = u32::from(part.closing_blocks).saturating_mul(part.closing_step);
        (part.closing_blocks > 0 && left <= marked).then_some(left)
    }

    /// Whether some part gives a tie-break time.
    #[must_use]
    pub fn has_tie_break(&self) -> bool {
        self.parts.iter().any(|part| part.tie_break)
    }

    /// The units at the end of the last part that gives a tie-break time and is done after `done` units.
    #[must_use]
    pub fn tie_break_end(&self, done: u32) -> Option<u32> {
        let place = self.place(done);
        let before = self.parts.get(..place.part).unwrap_or(&self.parts);
        let again = self.lap.filter(|_| place.laps > 0);
        let lap_first = again.map_or(0, |lap| lap.first_part);
        let ends = |parts: &[Part]| parts.iter().rev().find(|part| part.tie_break).map(Part::end_unit);
        let shift = |laps: u32| laps.saturating_mul(self.lap_units());
        let in_this_lap = ends(before.get(lap_first..).unwrap_or(&[])).map(|end| end + shift(place.laps));
        let in_the_last = || {
            let lap = again?;
            ends(self.parts.get(lap.first_part..)?).map(|end| end + shift(place.laps - 1))
        };
        let in_the_buy_in = || ends(self.parts.get(..again?.first_part)?);
        in_this_lap.or_else(in_the_last).or_else(in_the_buy_in)
    }

    /// Whole rounds after so many score units, and the units beyond them; none while these lie in the buy-in.
    pub(crate) fn rounds_of_score(&self, score: u32) -> Option<(u32, u32)> {
        let over = score.checked_sub(self.lap.map_or(0, |lap| lap.first_score))?;
        Some((over.checked_div(self.lap_score())?, over.checked_rem(self.lap_score())?))
    }

    fn score_within(&self, place: Place) -> u32 {
        match self.parts.get(place.part) {
            Some(part) => part.score_before.saturating_add(part.score_of(place.part_done)),
            None => self.score_units,
        }
    }

    fn laps_at(&self, done: u32) -> u32 {
        let over = self.lap.and_then(|lap| done.checked_sub(lap.first_unit));
        over.and_then(|over| over.checked_div(self.lap_units())).unwrap_or(0)
    }

    fn lap_units(&self) -> u32 {
        self.lap.map_or(0, |lap| self.units.saturating_sub(lap.first_unit))
    }

    fn lap_score(&self) -> u32 {
        self.lap.map_or(0, |lap| self.score_units.saturating_sub(lap.first_score))
    }
}
