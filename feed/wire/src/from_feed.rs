//! What the feed says to clients.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::from_client::Role;
use crate::judges::Judges;
use crate::lane_record::LaneRecord;
use crate::lanes::Athletes;
use crate::papers::Papers;
use crate::phones::{LaneHold, Phones, Pins};
use crate::shows::{FloorStandings, NextHeat, Shows};
use crate::skip::{is_false, is_true, yes};
use crate::view::{Course, HeatState, LaneCount, LaneEntry, NoRep, OrderRow, RulingNote, Titles};

/// Any message from the feed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "type", rename_all = "snake_case")]
pub enum FeedMessage {
    /// The join is accepted.
    Welcome(Welcome),
    /// Everything, as of delta `number`.
    Snapshot(Box<Snapshot>),
    /// What changed. Numbers run on by one; a client that sees a hole asks with `resume`.
    Delta(Delta),
    /// A tally, ruling or floor command is durable and applied.
    Ack(Ack),
    /// Something was not done, and why. `join` refusals close the connection.
    Refusal(Refusal),
    /// Tallies are missing: send again from `from`.
    Gap(Gap),
    /// Second half of a clock exchange.
    Clock(ClockReply),
    /// This judge's phone holds its lane now, or does not any more.
    Lane(LaneHold),
    /// Every judge's phone, for the head judge and the floor operator.
    Phones(Phones),
    /// The PINs that were asked for.
    Pins(Pins),
    /// The record of a lane that was asked for.
    LaneRecord(LaneRecord),
    /// Athletes that were asked for.
    Athletes(Athletes),
    /// What is printed of a heat that was asked for.
    Papers(Box<Papers>),
    /// The standings that were asked for.
    Standings(FloorStandings),
    /// How the judges call, as was asked for.
    Judges(Judges),
}

/// The join is accepted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Welcome {
    /// The role that was given.
    pub role: Role,
    /// Lane of a lane judge or shadow judge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lane: Option<u8>,
    /// After a join by PIN: an access key for this device on this lane alone, to come back with. Good until the heat is
    /// signed and has left the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub access_key: Option<String>,
    /// Another phone holds the lane; this one sees everything and counts nothing until the lane is handed over to it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub standing_by: bool,
    /// Name of the stream of deltas; changes when the feed starts.
    pub stream: String,
    /// How fast heat time runs, in thousandths: 1000 in a real heat, more in rehearsals. A client multiplies its
    /// monotonic clock by it before it compares it with the feed's.
    pub speed_milli: u32,
    /// Version of the feed's program.
    pub version: String,
}

/// The whole picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Snapshot {
    /// Number of the last delta that is in it.
    pub number: u64,
    /// Feed time when it was made, milliseconds.
    pub at_ms: i64,
    /// Event, workout and heat by name.
    pub titles: Titles,
    /// State and clock.
    pub heat: HeatState,
    /// The courses on the floor; lanes name theirs by index.
    pub courses: Vec<Course>,
    /// Who stands where; in lane order.
    pub entries: Vec<LaneEntry>,
    /// What each has done; in lane order.
    pub lanes: Vec<LaneCount>,
    /// Places and gaps; in lane order.
    pub order: Vec<OrderRow>,
    /// Whether the feed can write its journal. When not, nothing is acknowledged and screens say so.
    pub journal_ok: bool,
    /// Results need the initials of athlete and judge before the heat is signed; left out where they do.
    #[serde(default = "yes", skip_serializing_if = "is_true")]
    pub initials: bool,
    /// What screens are asked to show. Spectators and judges' phones are told of the heat's board alone.
    #[serde(default)]
    pub shows: Box<Shows>,
    /// Who comes after the heat on the floor, with full names. Only the announcer and officials are told; it stays the
    /// same as long as the heat does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next: Option<Box<NextHeat>>,
}

/// What changed since the delta before.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Delta {
    /// Runs on by one.
    pub number: u64,
    /// Feed time of the change, milliseconds.
    pub at_ms: i64,
    /// State and clock, if they changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat: Option<HeatState>,
    /// Lanes that changed, whole.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lanes: Vec<LaneCount>,
    /// Places and gaps that changed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub order: Vec<OrderRow>,
    /// No-reps to show for a moment.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub no_reps: Vec<NoRep>,
    /// Rulings that were made.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rulings: Vec<RulingNote>,
    /// Whether the feed can write its journal, if that changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub journal_ok: Option<bool>,
    /// What screens are asked to show, whole, if that changed. Spectators and judges' phones are not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shows: Option<Box<Shows>>,
}

/// Durable and applied.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Ack {
    /// What it answers.
    pub of: Subject,
    /// For a call that is recorded but does not count: why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_counted: Option<Reason>,
    /// The lane's units along the course after it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<u32>,
}

/// Which message an answer is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// A join.
    Join,
    /// A tally by epoch and number.
    Tally {
        /// Its epoch.
        epoch: u64,
        /// Its number.
        number: u32,
    },
    /// A ruling by id.
    Ruling {
        /// Its id.
        id: u64,
    },
    /// A floor command by id.
    Floor {
        /// Its id.
        id: u64,
    },
    /// A show command by id.
    Show {
        /// Its id.
        id: u64,
    },
    /// A hand-over by id.
    HandOver {
        /// Its id.
        id: u64,
    },
    /// Initials by id.
    Confirm {
        /// Its id.
        id: u64,
    },
    /// A question for a lane's record by id.
    AskLane {
        /// Its id.
        id: u64,
    },
    /// A question for athletes by id.
    AskAthletes {
        /// Its id.
        id: u64,
    },
    /// A question for what is printed of a heat by id.
    AskPapers {
        /// Its id.
        id: u64,
    },
    /// A question for standings by id.
    AskStandings {
        /// Its id.
        id: u64,
    },
    /// A question for the judges by id.
    AskJudges {
        /// Its id.
        id: u64,
    },
    /// A message that could not be read, or has no id.
    Message,
}

/// Something was not done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Refusal {
    /// What it answers.
    pub of: Subject,
    /// Why, for programs and for people.
    #[serde(flatten)]
    pub why: Reason,
}

/// Why something was refused or does not count.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Reason {
    /// For programs.
    pub code: ReasonCode,
    /// For people: what happened and what to do, one sentence or two.
    pub says: String,
}

/// Why, for programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
#[allow(missing_docs)]
pub enum ReasonCode {
    Malformed,
    TooLarge,
    TooFast,
    NotJoined,
    AlreadyJoined,
    WrongAccessKey,
    WrongPin,
    PinsPaused,
    WrongRole,
    SpectatorsOff,
    UnknownLane,
    NotYourLane,
    NotYourHeat,
    LaneTaken,
    StandingBy,
    NotStandingBy,
    HandedOver,
    UnknownHeat,
    UnknownAthlete,
    StandsTwice,
    UnknownFault,
    WrongRun,
    BeforeStart,
    AfterCap,
    PastEnd,
    DuringHold,
    LaneEnded,
    HeatSigned,
    HeatCancelled,
    NotInThisState,
    ClockInDoubt,
    NotConfirmed,
    ResultChanged,
    NothingToUndo,
    UndoTooLate,
    CallDoesNotFit,
    NoLoad,
    NoAttemptLeft,
    HoldNotStarted,
    HoldUnderWay,
    OutOfRange,
    JournalFull,
    TooManyClients,
    ShuttingDown,
}

/// Tallies are missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Gap {
    /// In this epoch.
    pub epoch: u64,
    /// From this number on.
    pub from: u32,
}

/// Second half of a clock exchange.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ClockReply {
    /// The request's stamp, given back.
    pub t1_us: i64,
    /// The feed's clock when the request came, microseconds of feed time.
    pub t2_us: i64,
    /// The feed's clock when this was sent.
    pub t3_us: i64,
}
