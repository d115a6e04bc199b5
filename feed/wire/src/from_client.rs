//! What clients say to the feed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::judges::AskJudges;
use crate::lane_record::{AskLane, Confirm};
use crate::lanes::{AskAthletes, LaneAthlete};
use crate::papers::AskPapers;
use crate::phones::{AskPins, HandOver, Phone};
use crate::show_commands::Show;
use crate::shows::AskStandings;
use crate::skip::{is_false, is_zero};

/// Any message from a client. The first one on a connection is `join`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "type", rename_all = "snake_case", deny_unknown_fields)]
pub enum ClientMessage {
    /// Says who is here and from where to go on.
    Join(Join),
    /// A judge's call.
    Tally(Tally),
    /// A head judge's correction.
    Ruling(Ruling),
    /// A change of the heat's state.
    Floor(Floor),
    /// What screens are asked to show.
    Show(Show),
    /// Gives a lane to another phone.
    HandOver(HandOver),
    /// Initials under a lane's result.
    Confirm(Confirm),
    /// How a judge's phone is doing.
    Phone(Phone),
    /// Asks for the PINs of the heat on the floor.
    AskPins(AskPins),
    /// Asks for the record of a lane.
    AskLane(AskLane),
    /// Asks for athletes who could be put into a heat.
    AskAthletes(AskAthletes),
    /// Asks for what is printed of a heat.
    AskPapers(AskPapers),
    /// Asks for the standings of the workout on the floor.
    AskStandings(AskStandings),
    /// Asks how the judges call.
    AskJudges(AskJudges),
    /// First half of a clock exchange.
    Clock(ClockRequest),
    /// "I lost the thread": asks for the deltas after `last`, or a snapshot if they are gone.
    Resume(Resume),
}

/// Joins the feed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Join {
    /// In which role.
    pub role: Role,
    /// Proves the role. Spectators have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub access_key: Option<String>,
    /// Six digits that prove it in an access key's place, for a lane judge or shadow judge of the heat on the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pin: Option<String>,
    /// Lane of a lane judge or shadow judge, from 1. May be left out with a PIN, which says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lane: Option<u8>,
    /// A lane judge whose lane another phone holds wants to stand by, and not to be refused.
    #[serde(default, skip_serializing_if = "is_false")]
    pub stand_by: bool,
    /// Name of the device, kept across reloads; at most 64 bytes.
    pub device: String,
    /// Where the client stands, if it has been here before: missing deltas are sent instead of a snapshot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resume: Option<Resume>,
    /// What a page that has exchanged clocks before takes feed time to be. A feed whose machine was restarted during
    /// a heat finds its own time again from these.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock: Option<PageClock>,
}

impl Join {
    /// A join in a role by a device; nothing else is said.
    #[must_use]
    pub fn new(role: Role, device: impl Into<String>) -> Self {
        let device = device.into();
        Self {
            role,
            access_key: None,
            pin: None,
            lane: None,
            stand_by: false,
            device,
            resume: None,
            clock: None,
        }
    }
}

/// A page's idea of feed time: `now_us + add_us`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PageClock {
    /// The page's monotonic clock as it says this (times the feed's speed), microseconds.
    pub now_us: i64,
    /// Its offset to the feed, from its best exchange before the link was lost, microseconds.
    pub add_us: i64,
    /// Round-trip delay of that exchange, microseconds.
    pub delay_us: i64,
}

/// A client's place in the stream of deltas.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Resume {
    /// Name of the stream, from the welcome. Another stream means a snapshot.
    pub stream: String,
    /// Number of the last delta (or snapshot) that was applied.
    pub last: u64,
}

/// Who a client is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Runs the heat, rules, signs.
    HeadJudge,
    /// Chooses what screens show; starts heats.
    FloorOperator,
    /// Counts one lane.
    LaneJudge,
    /// Counts the same lane without counting for it.
    ShadowJudge,
    /// A board or an overlay.
    Display,
    /// Reads.
    Announcer,
    /// Reads, without an access key.
    Spectator,
}

/// One judge's tap. Sent until acknowledged; (device, epoch, number) applies once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tally {
    /// Heat that it is for, as in the snapshot.
    pub heat: u32,
    /// Run of the lane, as in its count; a recall or re-run counts up.
    pub run: u32,
    /// Lane, from 1.
    pub lane: u8,
    /// Random number of the page load, below 2^53.
    pub epoch: u64,
    /// Number within the epoch, from 1, without gaps.
    pub number: u32,
    /// What the judge says.
    pub call: Call,
    /// Units for `good`; left out or 0 for one step of the movement. At most 1000.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub amount: u32,
    /// Code of the fault, for a no-rep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<String>,
    /// When it was tapped: the page's monotonic clock, whole milliseconds.
    pub stamp_ms: i64,
    /// When it was tapped: the page's wall clock, Unix milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_ms: Option<i64>,
    /// The page's clock offset now; left out if it never exchanged clocks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset: Option<Offset>,
    /// Bib of the athlete, where the workout needs it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub athlete: Option<String>,
    /// Declared load in grams, where the workout needs it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_g: Option<u32>,
    /// Which judge of a synchronised pair, where the workout needs it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<u8>,
}

/// A page's clock offset: feed time = stamp + `add_us`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Offset {
    /// Microseconds to add to the page's monotonic clock to get the feed's.
    pub add_us: i64,
    /// Round-trip delay of the best sample, microseconds.
    pub delay_us: i64,
}

/// What a judge can say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Call {
    Good,
    NoRep,
    LastWasNoRep,
    PartDone,
    Finish,
    /// With `load_g`.
    AttemptGood,
    /// With `load_g`, and a fault if one is named.
    AttemptFailed,
    /// Says in `load_g` the load of the next attempt, for screens. Undo passes over it.
    DeclareLoad,
    HoldStart,
    HoldStop,
    /// A stop of the lane's time by hand: second evidence beside the finish, which decides nothing.
    ManualStop,
    Undo,
}

/// A head judge's correction. `id` makes it apply once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ruling {
    /// Chosen by the sender, unique on its device; the answer names it.
    pub id: u64,
    /// Heat, as in the snapshot.
    pub heat: u32,
    /// Lane, from 1.
    pub lane: u8,
    /// Why; 1 to 400 bytes.
    pub reason: String,
    /// What is ruled.
    pub kind: RulingKind,
}

/// What a ruling changes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum RulingKind {
    /// Sets the units done along the course.
    SetCount {
        /// Units along the course (not score units).
        done: u32,
        /// Elapsed milliseconds of the finish, when `done` is the whole course.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finish_ms: Option<i64>,
    },
    /// Moves the finish to this elapsed time.
    MoveFinish {
        /// Elapsed milliseconds.
        elapsed_ms: i64,
    },
    /// Adds milliseconds to the official time.
    TimePenalty {
        /// Milliseconds; negative gives back.
        add_ms: i64,
    },
    /// Takes score units.
    UnitPenalty {
        /// Units; negative gives back.
        take: i32,
    },
    /// Sets the status.
    Status {
        /// The status.
        status: StatusRuling,
    },
    /// Adds units along the course to what is counted, or takes some away.
    AddUnits {
        /// Units; negative takes away.
        add: i32,
    },
    /// Credits time for failed equipment: lane time counts that much less, and a cap on it lies that much later.
    Credit {
        /// Milliseconds; negative takes back what was credited.
        credit_ms: i64,
    },
    /// Moves the athlete with everything done to an empty lane of the heat.
    MoveAthlete {
        /// The lane to go to.
        to: u8,
    },
    /// Sets the best load, in heaviest lift.
    SetBestLoad {
        /// Grams; 0 for none.
        load_g: u32,
    },
    /// Sets the time of the longest hold, in longest hold.
    SetHeld {
        /// Milliseconds; 0 for none.
        held_ms: i64,
    },
    /// Puts the lane under review, to be decided in time. Nothing happens by itself when it is not.
    Review {
        /// Minutes from now, 1 to 1440.
        within_min: u32,
    },
    /// Notes a stop of the lane's time by hand: second evidence beside the finish, which decides nothing.
    NoteStop {
        /// Elapsed milliseconds, counted as a finish is.
        elapsed_ms: i64,
    },
    /// Goes on from the count on a paper score card.
    FromPaper {
        /// Units along the course that the card has.
        done: u32,
        /// Elapsed milliseconds of the finish, when `done` is the whole course.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finish_ms: Option<i64>,
    },
}

/// Statuses that only a ruling gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum StatusRuling {
    DidNotFinish,
    DidNotStart,
    Disqualified,
    UnderReview,
    Reinstated,
}

/// A change of the heat's state. `id` makes it apply once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Floor {
    /// Chosen by the sender, unique on its device; the answer names it.
    pub id: u64,
    /// Heat that it is for, as in the snapshot; for `open_heat` the heat to go to.
    pub heat: u32,
    /// What to do.
    pub command: FloorCommand,
}

/// What the floor can do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[allow(missing_docs)]
pub enum FloorCommand {
    /// Makes another heat the one on the floor; the present one must not be in countdown, running or held.
    OpenHeat,
    OnDeck,
    StartCountdown,
    Recall,
    Hold,
    Resume,
    Cancel,
    CallTime,
    Close,
    Sign,
    /// Puts athletes to lanes, while lanes are set or on deck. Whoever stood in the heat and has no lane any more is taken
    /// out, and ranks in the workout's standings as who did not start.
    SetLanes {
        /// The lanes that change, each once; the others stay as they are. 1 to 40.
        lanes: Vec<LaneAthlete>,
        /// Why; 1 to 400 bytes.
        reason: String,
    },
    /// The heat runs again from the start; the run before it stays in the record and scores nothing. The head judge's
    /// alone, as are the next three.
    Rerun {
        /// Why; 1 to 400 bytes.
        reason: String,
    },
    /// One lane runs again alone; the other lanes' results stand.
    RerunLane {
        /// The lane.
        lane: u8,
        /// Why; 1 to 400 bytes.
        reason: String,
    },
    /// A signed heat is provisional again.
    Reopen {
        /// Why; 1 to 400 bytes.
        reason: String,
    },
    /// The feed's clock is right, though its machine was restarted during the heat.
    ConfirmClock,
}

/// First half of a clock exchange (RFC 5905 section 8).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClockRequest {
    /// The client's monotonic clock when it sent this, microseconds.
    pub t1_us: i64,
}
