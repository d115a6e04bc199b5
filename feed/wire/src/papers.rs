//! What is printed of a heat: the result sheet with its signatures, the score cards of its lanes, and the brief of its
//! workout. For officials only: the names on it are full ones.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::lane_record::{RecordedInitials, RecordedRemark, RecordedRuling};
use crate::skip::is_zero;
use crate::view::{Course, Fault, LaneCount, LaneEntry, Scoring, State, Unit};

/// Asks for what is printed of a heat. From the head judge and the floor operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskPapers {
    /// Chosen by the sender; the answer names it.
    pub id: u64,
    /// Any heat of the competition.
    pub heat: u32,
}

/// What is printed of a heat, as the record has it now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Papers {
    /// The request's.
    pub id: u64,
    /// The event's name.
    pub event: String,
    /// Where it is; empty if not told.
    pub place: String,
    /// When it is, as the organiser wrote it; empty if not told.
    pub date: String,
    /// Number of the heat.
    pub heat: u32,
    /// Its name as announced.
    pub heat_name: String,
    /// Divisions on its floor; lanes name theirs by index.
    pub divisions: Vec<String>,
    /// How it stands.
    pub state: State,
    /// Its run, from 1.
    pub run: u32,
    /// The courses on its floor; lanes name theirs by index.
    pub courses: Vec<Course>,
    /// In lane order.
    pub lanes: Vec<PaperLane>,
    /// What was said of the heat as a whole, such as a re-run, in order.
    pub remarks: Vec<RecordedRemark>,
    /// Each time that it was signed, in order; the last one stands unless it was reopened.
    pub signings: Vec<Signing>,
    /// What is done in it.
    pub brief: Brief,
}

/// A lane of a heat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PaperLane {
    /// Who stands there, as officials' screens have it.
    pub entry: LaneEntry,
    /// Name in full, which may be another than the shown one; empty for an empty lane.
    pub full_name: String,
    /// What was done, and its result.
    pub count: LaneCount,
    /// Place within its division; 0 without one.
    pub place: u8,
    /// Initials that stand under the result.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub initials: Option<RecordedInitials>,
    /// Rulings on the lane's present run, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rulings: Vec<RecordedRuling>,
    /// Older rulings that had no room.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub rulings_left_out: u32,
}

/// The heat was signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Signing {
    /// Who signed: the role.
    pub by: String,
    /// When: the feed's wall clock, Unix milliseconds.
    pub wall_ms: i64,
    /// Entries of the heat's record up to this one, it included.
    pub entries: u32,
    /// SHA-256 chained over them, 64 hexadecimal digits.
    pub digest: String,
    /// That it was taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reopened: Option<Reopening>,
}

/// A signed heat was made provisional again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Reopening {
    /// Who did: the role.
    pub by: String,
    /// When: the feed's wall clock, Unix milliseconds.
    pub wall_ms: i64,
    /// Why.
    pub reason: String,
}

/// What judges and athletes are told of a workout.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Brief {
    /// The workout's name.
    pub workout: String,
    /// How the work becomes a result.
    pub scoring: Scoring,
    /// Divisions that do it in any heat; amounts and loads name theirs by index.
    pub divisions: Vec<String>,
    /// Time cap or window, milliseconds.
    pub cap_ms: i64,
    /// It ends the heat for everybody at once.
    pub cap_on_heat: bool,
    /// Who is first over the line is first, whenever a lane started.
    pub first_to_finish: bool,
    /// Unit of official times, milliseconds: 1000, 100 or 10.
    pub resolution_ms: u32,
    /// Official times go to the next longer one; otherwise the rest is dropped.
    pub rounds_up: bool,
    /// How a capped result reads.
    pub capped_as: CappedAs,
    /// Penalty for each missing unit where the cap plus a penalty is the result, milliseconds.
    pub penalty_per_unit_ms: i64,
    /// The end is a call of its own, over a line or onto a mat.
    pub finish_call: bool,
    /// Every part ends with the closing mark.
    pub mark_every_part: bool,
    /// Times that the parts are done; 1 where a scheme says it.
    pub rounds: u32,
    /// Repetitions of each part, round by round; empty without a scheme.
    pub scheme: Vec<u32>,
    /// Done once before.
    pub buy_in: Vec<BriefPart>,
    /// Done in rounds.
    pub parts: Vec<BriefPart>,
    /// Done once after.
    pub cash_out: Vec<BriefPart>,
    /// The movements in it, in the order in which they first come.
    pub movements: Vec<BriefMovement>,
    /// Results need the initials of athlete and judge.
    pub initials: bool,
}

/// How a capped result reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CappedAs {
    /// `87 of 90`.
    WorkDone,
    /// `cap + 3`.
    WorkLeft,
    /// The cap plus a penalty for each missing unit.
    CapPlusPenalty,
}

/// A part of a workout.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BriefPart {
    /// Index of the movement.
    pub movement: u32,
    /// How much each division does, in the movement's unit; in a scheme, 1 for what the scheme tells.
    pub amounts: Vec<u32>,
    /// Load or height of each division; empty texts where none is told.
    pub loads: Vec<String>,
    /// The time at its end parts equal work.
    pub tie_break: bool,
}

/// A movement and its standard.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BriefMovement {
    /// Full name.
    pub name: String,
    /// What is counted.
    pub unit: Unit,
    /// Units for one tap.
    pub step: u32,
    /// How a rep begins; empty if not told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub start: String,
    /// How it ends; empty if not told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finish: String,
    /// Why a rep fails.
    pub faults: Vec<Fault>,
}
