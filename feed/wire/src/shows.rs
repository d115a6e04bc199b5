//! What screens are asked to show: boards by turns, overlays by parts. Names, results and places stand here already
//! worked out, as the public may see them; which step of the turn it is follows from feed time alone.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::skip::is_false;

/// What every screen is asked to show.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Shows {
    /// What boards show.
    pub board: Program,
    /// Whose order that is.
    #[serde(default, skip_serializing_if = "BoardOrder::follows")]
    pub order: BoardOrder,
    /// What overlays show.
    pub overlay: OverlayShows,
}

/// Whose order boards show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BoardOrder {
    /// It follows the heats.
    #[default]
    Follow,
    /// The floor operator's own; a heat that begins takes the board over, and gives it back.
    Own,
    /// The heat's board stays.
    Heat,
}

impl BoardOrder {
    #[allow(clippy::trivially_copy_pass_by_ref)] // the shape that serde calls
    fn follows(&self) -> bool {
        *self == Self::Follow
    }
}

/// What boards show, in turns.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Program {
    /// Feed time at which its first step began, milliseconds.
    pub since_ms: i64,
    /// After the last step comes the first again; otherwise the last one stays.
    pub again: bool,
    /// Its steps, in order; at least one.
    pub steps: Vec<Step>,
}

/// One step of a program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Step {
    /// How long it is shown, milliseconds; 0: it stays.
    pub for_ms: i64,
    /// What is shown.
    pub card: Card,
}

/// A card, with everything that stands on it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Card {
    /// The board of the heat on the floor.
    Heat,
    /// Who comes next.
    NextHeat(NextHeat),
    /// Results of one heat.
    Results(Results),
    /// Standings of one workout so far, in one division.
    Standings(Standings),
    /// The event's own card.
    Event {
        /// Its name.
        name: String,
        /// Where it is; empty if not told.
        place: String,
        /// When it is, as the organiser wrote it; empty if not told.
        date: String,
    },
    /// The floor operator's own words.
    Words {
        /// The title; may be empty.
        title: String,
        /// The text; may have several lines, may be empty.
        text: String,
    },
    /// Counts down to a moment, and then stands at zero.
    Countdown {
        /// What comes then; may be empty.
        title: String,
        /// The moment, feed milliseconds.
        to_ms: i64,
    },
}

/// Who comes next.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NextHeat {
    /// The heat, as announced.
    pub heat_name: String,
    /// The workout's name.
    pub workout: String,
    /// Divisions on its floor; lanes name theirs by index.
    pub divisions: Vec<String>,
    /// When it is to start, feed milliseconds, if that was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub starts_at_ms: Option<i64>,
    /// Lanes with an athlete, in lane order.
    pub lanes: Vec<CardLane>,
}

/// Who will stand on a lane.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CardLane {
    /// Lane, from 1.
    pub lane: u8,
    /// Bib.
    pub bib: String,
    /// Name as shown in public.
    pub name: String,
    /// Given name and family name as shown in public, for shortening; either may be empty.
    pub given: String,
    /// See `given`.
    pub family: String,
    /// How to say it; empty if not told.
    pub say: String,
    /// Index of the division.
    pub division: u8,
    /// Club; empty if none.
    pub club: String,
    /// Names of a team's members as shown in public.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub members: Vec<String>,
}

/// Results of one heat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Results {
    /// The heat, as announced.
    pub heat_name: String,
    /// The workout's name.
    pub workout: String,
    /// The heat is signed; otherwise its results are provisional.
    pub official: bool,
    /// Divisions on its floor; rows name theirs by index.
    pub divisions: Vec<String>,
    /// Division by division, in order of their places; those without a place last.
    pub rows: Vec<ResultRow>,
}

/// A lane's result.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ResultRow {
    /// Place within its division, 1-2-2-4; 0 without one.
    pub place: u16,
    /// Lane, from 1.
    pub lane: u8,
    /// Bib.
    pub bib: String,
    /// Name as shown in public.
    pub name: String,
    /// Given name and family name as shown in public, for shortening; either may be empty.
    pub given: String,
    /// See `given`.
    pub family: String,
    /// Index of the division.
    pub division: u8,
    /// The result as shown: `7:08.4`, `87 of 90`, `DNF`.
    pub result: String,
    /// The lane finished its course.
    pub finished: bool,
}

/// Standings of one workout so far, in one division, over all its heats.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Standings {
    /// The workout's name.
    pub workout: String,
    /// The division's name.
    pub division: String,
    /// In order of their places; those without a place last. At most 400.
    pub rows: Vec<StandingRow>,
    /// Heats of the division that have results.
    pub heats_done: u16,
    /// Heats of the division in this workout.
    pub heats_of: u16,
}

/// Asks for the standings of the workout on the floor, in each division on its floor. From everybody: names are those that
/// the public may see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskStandings {
    /// Chosen by the sender; the answer names it.
    pub id: u64,
}

/// The standings that were asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FloorStandings {
    /// The request's.
    pub id: u64,
    /// The heat on the floor.
    pub heat: u32,
    /// Those of its workout, a list for each division that has results.
    pub standings: Vec<Standings>,
}

/// An athlete's standing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StandingRow {
    /// Place, 1-2-2-4; 0 without one.
    pub place: u16,
    /// Bib.
    pub bib: String,
    /// Name as shown in public.
    pub name: String,
    /// Given name and family name as shown in public, for shortening; either may be empty.
    pub given: String,
    /// See `given`.
    pub family: String,
    /// The heat in which it was done, as announced.
    pub heat_name: String,
    /// The result as shown.
    pub result: String,
    /// The athlete finished the course.
    pub finished: bool,
    /// That heat is not signed yet.
    #[serde(default, skip_serializing_if = "is_false")]
    pub provisional: bool,
}

/// What overlays show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[allow(clippy::struct_excessive_bools)] // four parts, each on or off
pub struct OverlayShows {
    /// The ribbon along the bottom.
    pub ribbon: bool,
    /// The rail along one side.
    pub rail: bool,
    /// The small corner.
    pub corner: bool,
    /// Two lanes head to head; only while the heat for which it was asked is on the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub duel: Option<Duel>,
    /// The board's present card, as a lower card.
    pub card: bool,
}

/// Two lanes head to head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Duel {
    /// Lane on the left, from 1.
    pub left: u8,
    /// Lane on the right.
    pub right: u8,
}

/// Where a program stands at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn<'a> {
    /// The step's card.
    pub card: &'a Card,
    /// How long the step is shown, milliseconds; 0: it stays.
    pub for_ms: i64,
    /// Index of the step.
    pub index: usize,
    /// How many times the program has begun again.
    pub round: i64,
    /// Feed time at which the step began, milliseconds.
    pub begun_ms: i64,
    /// How long the step has been shown, milliseconds.
    pub within_ms: i64,
    /// Feed time at which it ends, milliseconds; none: it stays.
    pub next_change_ms: Option<i64>,
}

impl Default for Program {
    /// The heat's board, and nothing else.
    fn default() -> Self {
        Self { since_ms: 0, again: false, steps: vec![Step { for_ms: 0, card: Card::Heat }] }
    }
}

impl Program {
    /// The step at a moment of feed time, milliseconds. Before its beginning it is the first; a program without
    /// steps shows the heat.
    #[must_use]
    pub fn at(&self, feed_ms: i64) -> Turn<'_> {
        let passed = feed_ms.saturating_sub(self.since_ms).max(0);
        let whole = self.steps.iter().fold(0_i64, |sum, step| sum.saturating_add(step.for_ms.max(0)));
        let stays = self.steps.iter().any(|step| step.for_ms <= 0);
        let round = if self.again && !stays && whole > 0 { passed / whole } else { 0 };
        let mut left = passed - round * whole;
        let last = self.steps.len().saturating_sub(1);
        for (index, Step { for_ms, card }) in self.steps.iter().enumerate() {
            let ends = *for_ms > 0 && (index < last || (self.again && !stays));
            if ends && left >= *for_ms {
                left -= for_ms;
                continue;
            }
            let begun_ms = self.since_ms.saturating_add(passed - left);
            let next_change_ms = ends.then(|| begun_ms.saturating_add(*for_ms));
            return Turn { card, for_ms: *for_ms, index, round, begun_ms, within_ms: left, next_change_ms };
        }
        let (card, begun_ms) = (&Card::Heat, self.since_ms);
        Turn { card, for_ms: 0, index: 0, round: 0, begun_ms, within_ms: passed, next_change_ms: None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn program(again: bool, lengths: &[i64]) -> Program {
        let steps = lengths.iter().enumerate().map(|(index, for_ms)| Step {
            for_ms: *for_ms,
            card: Card::Words { title: index.to_string(), text: String::new() },
        });
        Program { since_ms: 1_000, again, steps: steps.collect() }
    }

    fn at(program: &Program, feed_ms: i64) -> (usize, i64, i64, Option<i64>) {
        let turn = program.at(feed_ms);
        assert_eq!(turn.card, &program.steps[turn.index].card);
        assert_eq!(turn.begun_ms, feed_ms.max(program.since_ms) - turn.within_ms);
        (turn.index, turn.round, turn.within_ms, turn.next_change_ms)
    }

    #[test]
    fn steps_follow_each_other_and_the_last_one_stays() {
        let once = program(false, &[500, 300, 200]);
        assert_eq!(at(&once, -7), (0, 0, 0, Some(1_500)));
        assert_eq!(at(&once, 1_000), (0, 0, 0, Some(1_500)));
        assert_eq!(at(&once, 1_499), (0, 0, 499, Some(1_500)));
        assert_eq!(at(&once, 1_500), (1, 0, 0, Some(1_800)));
        assert_eq!(at(&once, 1_800), (2, 0, 0, None));
        assert_eq!(at(&once, 99_000), (2, 0, 97_200, None));
    }

    #[test]
    fn a_program_begins_again() {
        let round = program(true, &[500, 300]);
        assert_eq!(at(&round, 1_799), (1, 0, 299, Some(1_800)));
        assert_eq!(at(&round, 1_800), (0, 1, 0, Some(2_300)));
        assert_eq!(at(&round, 2_300), (1, 1, 0, Some(2_600)));
        assert_eq!(at(&round, 1_000 + 800 * 7 + 10), (0, 7, 10, Some(1_000 + 800 * 7 + 500)));
    }

    #[test]
    fn a_step_without_a_length_stays() {
        let stays = program(true, &[500, 0, 300]);
        assert_eq!(at(&stays, 1_500), (1, 0, 0, None));
        assert_eq!(at(&stays, 90_000), (1, 0, 88_500, None));
    }

    #[test]
    fn whatever_a_program_holds_a_step_is_found() {
        let none = Program { since_ms: 5, again: true, steps: Vec::new() };
        assert_eq!(none.at(9).card, &Card::Heat);
        for lengths in [&[i64::MAX, i64::MAX][..], &[-5, 3], &[i64::MIN], &[1]] {
            for again in [false, true] {
                for since_ms in [i64::MIN, 0, i64::MAX] {
                    let program = Program { since_ms, ..program(again, lengths) };
                    for feed_ms in [i64::MIN, -1, 0, 1, i64::MAX] {
                        assert!(program.at(feed_ms).index < lengths.len());
                    }
                }
            }
        }
        assert_eq!(Program::default().at(12).card, &Card::Heat);
    }
}
