//! What comes into the heat: judges' tallies, the head judge's rulings, the floor's commands, and links that
//! come and go. Each carries the moment at which the feed received it.

use crate::ids::{DeviceId, Epoch, LaneNo};
use crate::setup::HeatSetup;
use crate::time::{HeatMs, MonoMs, SpanMs};

/// One thing said to the heat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// A judge's call.
    Tally(Tally),
    /// A head judge's correction.
    Ruling(Ruling),
    /// A change of the heat's state.
    Floor(Floor),
    /// A lane judge's link came or went.
    Link(Link),
    /// A lane goes to another phone.
    HandOver(HandOver),
    /// Initials under a result.
    Confirm(Confirm),
    /// Athletes are put to lanes, before the start.
    SetLanes(SetLanes),
}

/// One judge's call as sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tally {
    /// The lane's run that it is for, from 1 (`LaneView::run`); a late call of a recalled run counts in no other.
    pub run: u32,
    /// The lane it is for.
    pub lane: LaneNo,
    /// The phone.
    pub device: DeviceId,
    /// The page load on that phone.
    pub epoch: Epoch,
    /// Number within the epoch, from 1, without gaps. Heats count for themselves: a page that goes on to another
    /// heat begins a new epoch there.
    pub number: u32,
    /// What the judge said.
    pub call: Call,
    /// Units for `Good`; 0 means one step of the present movement.
    pub amount: u32,
    /// Code of the fault for a no-rep.
    pub fault: Option<String>,
    /// When it was tapped, on the page's monotonic clock.
    pub stamp: MonoMs,
    /// When it was tapped, on the page's wall clock (Unix milliseconds); tells whether the page slept.
    pub wall_ms: Option<i64>,
    /// The page's clock offset to the feed when it was sent; none if it never exchanged clocks.
    pub offset: Option<Offset>,
    /// When the link that brought it was joined. A tally stamped before it waited out an outage.
    pub link_since: HeatMs,
    /// Bib of the athlete, where the workout needs it.
    pub athlete: Option<String>,
    /// Declared load in grams, where the workout needs it.
    pub load_g: Option<u32>,
    /// Which judge of a synchronised pair, where the workout needs it.
    pub slot: Option<u8>,
    /// From a shadow judge: recorded, never counted.
    pub shadow: bool,
}

/// A page's clock offset: heat time = stamp + offset. From the sample with the least delay of the last eight
/// (RFC 5905 section 8).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offset {
    /// Milliseconds to add to a stamp.
    pub add: SpanMs,
    /// Round-trip delay of the sample; the offset's error is at most half of it.
    pub delay: SpanMs,
}

/// What a judge can say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Call {
    Good,
    NoRep,
    LastWasNoRep,
    PartDone,
    Finish,
    /// With the load that was lifted.
    AttemptGood,
    /// With the load that was tried, and perhaps a fault.
    AttemptFailed,
    /// Says the load of the next attempt, for screens; the attempt says its own. Undo passes over it.
    DeclareLoad,
    HoldStart,
    HoldStop,
    /// A stop of the lane's time by hand, kept as second evidence beside the finish; decides nothing.
    ManualStop,
    /// Takes back the same device's last call, a no-rep too, within 5 s between the two stamps.
    Undo,
}

/// A correction by the head judge. A new entry, never an edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    /// Whose result it changes.
    pub lane: LaneNo,
    /// Who rules; as shown on the sheet.
    pub by: String,
    /// Why; never empty.
    pub reason: String,
    /// What is ruled.
    pub kind: RulingKind,
}

/// What a ruling changes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RulingKind {
    /// The lane stands at this many units of work along the course. Reaching the end needs `finish`.
    SetCount {
        /// Units along the course, not score units.
        done: u32,
        /// Time of the finish, as in `MoveFinish`, when `done` is the whole course.
        finish: Option<SpanMs>,
    },
    /// So many units of work more, or fewer where negative, than the lane has; never 0.
    AddUnits(i32),
    /// The finish was at this time, counted as the workout's order counts it, from the lane's own start or from the
    /// heat's; penalties and credits come on top.
    MoveFinish(SpanMs),
    /// Time credited for failed equipment: the lane's time counts that much less, so that a cap on lane time lies
    /// that much later. Adds to earlier ones; a negative amount takes back what was credited.
    Credit(SpanMs),
    /// The athlete goes on in another, empty lane, and division, workout and record go along. Judges' phones stay with
    /// their lanes; a late call of the old lane tapped before the move goes to the athlete.
    MoveAthlete {
        /// The empty lane.
        to: LaneNo,
    },
    /// The count goes on from a paper card, as with `SetCount`.
    FromPaper {
        /// Units along the course, not score units.
        done: u32,
        /// Time of the finish, when `done` is the whole course.
        finish: Option<SpanMs>,
    },
    /// The best load is this, in grams; 0 for none. In heaviest lift alone.
    SetBestLoad {
        /// Grams.
        load_g: u32,
    },
    /// The longest hold took this long. In longest hold alone.
    SetHeld(SpanMs),
    /// Time or score units taken. Adds to earlier ones; a negative amount gives back.
    Penalty(Penalty),
    /// The lane's status is this.
    Status(StatusRuling),
    /// Under review, to be decided within so long from now: a minute to a day. Nothing happens by itself then.
    Review(SpanMs),
    /// The time of a stop by hand, as in `MoveFinish`: kept as second evidence beside the finish; decides nothing.
    NoteStop(SpanMs),
}

impl RulingKind {
    /// Whether it says what the lane has done; no judge takes back what lies before it.
    pub(crate) fn is_about_work(&self) -> bool {
        matches!(
            self,
            Self::SetCount { .. }
                | Self::AddUnits(_)
                | Self::MoveFinish(_)
                | Self::FromPaper { .. }
                | Self::SetBestLoad { .. }
                | Self::SetHeld(_)
        )
    }
}

/// A penalty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Penalty {
    /// Added to the official time.
    Time(SpanMs),
    /// Taken from the score units.
    Units(i32),
}

/// Statuses that only a ruling gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StatusRuling {
    /// Did not finish; keeps the work done.
    DidNotFinish,
    /// Did not start.
    DidNotStart,
    /// Disqualified; the ruling's reason says why.
    Disqualified,
    /// Under review: shown as provisional.
    UnderReview,
    /// Back to what the calls say, those included that were made in the meantime.
    Reinstated,
}

/// A change of the heat's state, by the head judge or the floor operator.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Floor {
    /// Lanes set → on deck.
    OnDeck,
    /// On deck → countdown.
    StartCountdown,
    /// Countdown or running → on deck (a false start). The recalled run stays in the record.
    Recall,
    /// Countdown or running → held: the clock freezes.
    Hold,
    /// Held → countdown of the resume → running on.
    Resume,
    /// Countdown, running or held → cancelled: the run scores nothing. While one lane runs again alone, its earlier
    /// result stands again, and the heat is as it was before; that goes from on deck, too.
    Cancel,
    /// Running → time called, before the cap. From held, once the run has started, time ends where it was held.
    CallTime,
    /// Time called → provisional, whatever numbers are missing.
    Close,
    /// Provisional → signed. Not while a lane is under review or the clock is in doubt.
    Sign {
        /// Nor while a result lacks initials. Records of before initials were kept don't ask for them.
        initials: bool,
    },
    /// Running, held, time called, provisional or cancelled → on deck: the whole heat runs again. The earlier run stays
    /// in the record and scores nothing.
    Rerun {
        /// Why; never empty.
        reason: String,
    },
    /// Time called or provisional → on deck: one lane runs again alone and is ranked with its heat; the results of the
    /// other lanes stand.
    RerunLane {
        /// The lane.
        lane: LaneNo,
        /// Why; never empty.
        reason: String,
    },
    /// Signed → provisional.
    Reopen {
        /// Why; never empty.
        reason: String,
    },
    /// The feed says that it carried the clock over a reboot: times are in doubt.
    DoubtClock,
    /// The head judge takes the clock's times as good.
    ConfirmClock,
}

/// A lane judge's link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// The lane.
    pub lane: LaneNo,
    /// The phone.
    pub device: DeviceId,
    /// Joined, or lost.
    pub up: bool,
}

/// A lane goes from one judge's phone to another. What the first one tapped until then counts whenever it comes in;
/// nothing that it taps later does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandOver {
    /// The lane.
    pub lane: LaneNo,
    /// The phone that holds it, if one does.
    pub from: Option<DeviceId>,
    /// The phone that takes it.
    pub to: DeviceId,
    /// Who decides.
    pub by: String,
}

/// Initials of athlete and judge under a lane's result.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Confirm {
    /// The lane.
    pub lane: LaneNo,
    /// The lane's run (`LaneView::run`).
    pub run: u32,
    /// The result as they saw it (`LaneResult::text`).
    pub result: String,
    /// The athlete's initials; never empty.
    pub athlete: String,
    /// The judge's; never empty.
    pub judge: String,
    /// Who sends them.
    pub by: String,
    /// Why, where that is not the lane's judge; empty otherwise.
    pub reason: String,
}

/// Athletes are put to lanes, while lanes are set or on deck.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetLanes {
    /// The heat as it is from now on, with the lanes that it has.
    pub setup: HeatSetup,
    /// Athletes who stay in the heat: the lane where each stood, and the one where each stands from now on, be it the
    /// same. Whoever else stands in the setup comes in fresh; who is not named here leaves the heat.
    pub stays: Vec<(LaneNo, LaneNo)>,
    /// What is another now, in words.
    pub says: String,
    /// Why; never empty.
    pub reason: String,
}
