//! The border between the wire's types and the engine's, in both directions. Nothing is decided here: values are
//! bounded and renamed, and what does not fit is named.

mod course;
mod work;

use fivemark_engine as engine;
use fivemark_engine::command as said;
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::time::{HeatMs, MonoMs, SpanMs};
use fivemark_engine::workout::CapOn;
use fivemark_wire::from_client as client;
use fivemark_wire::from_feed::{Ack, FeedMessage, Gap, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::lane_record::Confirm;
use fivemark_wire::view;

pub use self::course::course;
pub use self::work::{fault, scoring, unit};

/// A judge's call for the engine.
#[must_use]
pub fn tally(tally: &client::Tally, device: &str, link_since_ms: i64, shadow: bool) -> said::Command {
    said::Command::Tally(said::Tally {
        run: tally.run,
        lane: LaneNo(tally.lane),
        device: DeviceId(device.to_owned()),
        epoch: Epoch(tally.epoch),
        number: tally.number,
        call: call(tally.call),
        amount: tally.amount,
        fault: tally.fault.clone(),
        stamp: MonoMs(tally.stamp_ms),
        wall_ms: tally.wall_ms,
        offset: tally.offset.map(offset),
        link_since: HeatMs(link_since_ms),
        athlete: tally.athlete.clone(),
        load_g: tally.load_g,
        slot: tally.slot,
        shadow,
    })
}

/// A ruling for the engine.
#[must_use]
pub fn ruling(ruling: &client::Ruling, by: &str) -> said::Command {
    let kind = match ruling.kind {
        client::RulingKind::SetCount { done, finish_ms } => {
            said::RulingKind::SetCount { done, finish: finish_ms.map(SpanMs) }
        }
        client::RulingKind::MoveFinish { elapsed_ms } => said::RulingKind::MoveFinish(SpanMs(elapsed_ms)),
        client::RulingKind::TimePenalty { add_ms } => {
            said::RulingKind::Penalty(said::Penalty::Time(SpanMs(add_ms)))
        }
        client::RulingKind::UnitPenalty { take } => said::RulingKind::Penalty(said::Penalty::Units(take)),
        client::RulingKind::Status { status } => said::RulingKind::Status(match status {
            client::StatusRuling::DidNotFinish => said::StatusRuling::DidNotFinish,
            client::StatusRuling::DidNotStart => said::StatusRuling::DidNotStart,
            client::StatusRuling::Disqualified => said::StatusRuling::Disqualified,
            client::StatusRuling::UnderReview => said::StatusRuling::UnderReview,
            client::StatusRuling::Reinstated => said::StatusRuling::Reinstated,
        }),
        client::RulingKind::Review { within_min } => {
            said::RulingKind::Review(SpanMs(i64::from(within_min) * 60_000))
        }
        client::RulingKind::NoteStop { elapsed_ms } => said::RulingKind::NoteStop(SpanMs(elapsed_ms)),
        client::RulingKind::AddUnits { add } => said::RulingKind::AddUnits(add),
        client::RulingKind::Credit { credit_ms } => said::RulingKind::Credit(SpanMs(credit_ms)),
        client::RulingKind::MoveAthlete { to } => said::RulingKind::MoveAthlete { to: LaneNo(to) },
        client::RulingKind::SetBestLoad { load_g } => said::RulingKind::SetBestLoad { load_g },
        client::RulingKind::SetHeld { held_ms } => said::RulingKind::SetHeld(SpanMs(held_ms)),
        client::RulingKind::FromPaper { done, finish_ms } => {
            said::RulingKind::FromPaper { done, finish: finish_ms.map(SpanMs) }
        }
    };
    said::Command::Ruling(said::Ruling {
        lane: LaneNo(ruling.lane),
        by: by.to_owned(),
        reason: ruling.reason.clone(),
        kind,
    })
}

/// A floor command for the engine; none for those for which the feed needs the competition, opening a heat and setting
/// its lanes. `initials`: a signing
/// waits for them.
#[must_use]
pub fn floor(command: &client::FloorCommand, initials: bool) -> Option<said::Command> {
    Some(said::Command::Floor(match command {
        client::FloorCommand::OpenHeat | client::FloorCommand::SetLanes { .. } => return None,
        client::FloorCommand::OnDeck => said::Floor::OnDeck,
        client::FloorCommand::StartCountdown => said::Floor::StartCountdown,
        client::FloorCommand::Recall => said::Floor::Recall,
        client::FloorCommand::Hold => said::Floor::Hold,
        client::FloorCommand::Resume => said::Floor::Resume,
        client::FloorCommand::Cancel => said::Floor::Cancel,
        client::FloorCommand::CallTime => said::Floor::CallTime,
        client::FloorCommand::Close => said::Floor::Close,
        client::FloorCommand::Sign => said::Floor::Sign { initials },
        client::FloorCommand::Rerun { reason } => said::Floor::Rerun { reason: reason.clone() },
        client::FloorCommand::RerunLane { lane, reason } => {
            said::Floor::RerunLane { lane: LaneNo(*lane), reason: reason.clone() }
        }
        client::FloorCommand::Reopen { reason } => said::Floor::Reopen { reason: reason.clone() },
        client::FloorCommand::ConfirmClock => said::Floor::ConfirmClock,
    }))
}

/// A link that came or went, for the engine.
#[must_use]
pub fn link(lane: u8, device: &str, up: bool) -> said::Command {
    said::Command::Link(said::Link { lane: LaneNo(lane), device: DeviceId(device.to_owned()), up })
}

/// A lane that goes to another phone, for the engine.
#[must_use]
pub fn hand_over(lane: u8, from: Option<&str>, to: &str, by: &str) -> said::Command {
    let device = |name: &str| DeviceId(name.to_owned());
    said::Command::HandOver(said::HandOver {
        lane: LaneNo(lane),
        from: from.map(device),
        to: device(to),
        by: by.to_owned(),
    })
}

/// Initials, for the engine.
#[must_use]
pub fn confirm(confirm: &Confirm, by: &str) -> said::Command {
    said::Command::Confirm(said::Confirm {
        lane: LaneNo(confirm.lane),
        run: confirm.run,
        result: confirm.result.clone(),
        athlete: confirm.athlete.clone(),
        judge: confirm.judge.clone(),
        by: by.to_owned(),
        reason: confirm.reason.clone().unwrap_or_default(),
    })
}

/// The feed's own word that its machine was restarted, for the engine.
#[must_use]
pub fn reboot() -> said::Command {
    said::Command::Floor(said::Floor::DoubtClock)
}

fn call(call: client::Call) -> said::Call {
    match call {
        client::Call::Good => said::Call::Good,
        client::Call::NoRep => said::Call::NoRep,
        client::Call::LastWasNoRep => said::Call::LastWasNoRep,
        client::Call::PartDone => said::Call::PartDone,
        client::Call::Finish => said::Call::Finish,
        client::Call::AttemptGood => said::Call::AttemptGood,
        client::Call::AttemptFailed => said::Call::AttemptFailed,
        client::Call::DeclareLoad => said::Call::DeclareLoad,
        client::Call::HoldStart => said::Call::HoldStart,
        client::Call::HoldStop => said::Call::HoldStop,
        client::Call::ManualStop => said::Call::ManualStop,
        client::Call::Undo => said::Call::Undo,
    }
}

/// What a judge said, as on the wire.
#[must_use]
pub fn called(call: said::Call) -> client::Call {
    match call {
        said::Call::Good => client::Call::Good,
        said::Call::NoRep => client::Call::NoRep,
        said::Call::LastWasNoRep => client::Call::LastWasNoRep,
        said::Call::PartDone => client::Call::PartDone,
        said::Call::Finish => client::Call::Finish,
        said::Call::AttemptGood => client::Call::AttemptGood,
        said::Call::AttemptFailed => client::Call::AttemptFailed,
        said::Call::DeclareLoad => client::Call::DeclareLoad,
        said::Call::HoldStart => client::Call::HoldStart,
        said::Call::HoldStop => client::Call::HoldStop,
        said::Call::ManualStop => client::Call::ManualStop,
        said::Call::Undo => client::Call::Undo,
    }
}

/// Microseconds to milliseconds: the offset to the nearest, the delay up, so that the error stays bounded by it.
fn offset(offset: client::Offset) -> said::Offset {
    said::Offset {
        add: SpanMs(offset.add_us.saturating_add(500).div_euclid(1_000)),
        delay: SpanMs(offset.delay_us.saturating_add(999).div_euclid(1_000)),
    }
}

/// The engine's answer as a message; `done` only where it tells a count.
#[must_use]
pub fn answer(of: Subject, outcome: engine::Outcome) -> FeedMessage {
    match outcome {
        engine::Outcome::Applied { done } => {
            FeedMessage::Ack(Ack { of, not_counted: None, done: Some(done) })
        }
        engine::Outcome::NotCounted { why, done } => {
            let why = Reason { code: not_counted(why), says: why.to_string() };
            FeedMessage::Ack(Ack { of, not_counted: Some(why), done: Some(done) })
        }
        engine::Outcome::Gap { epoch, from } => FeedMessage::Gap(Gap { epoch: epoch.0, from }),
        engine::Outcome::Refused(why) => {
            FeedMessage::Refusal(Refusal { of, why: Reason { code: refused(why), says: why.to_string() } })
        }
        engine::Outcome::Done => FeedMessage::Ack(Ack { of, not_counted: None, done: None }),
    }
}

/// Why a call does not count, for programs.
#[must_use]
pub fn not_counted(why: engine::NotCounted) -> ReasonCode {
    match why {
        engine::NotCounted::BeforeStart => ReasonCode::BeforeStart,
        engine::NotCounted::AfterCap => ReasonCode::AfterCap,
        engine::NotCounted::PastEnd => ReasonCode::PastEnd,
        engine::NotCounted::DuringHold => ReasonCode::DuringHold,
        engine::NotCounted::LaneEnded => ReasonCode::LaneEnded,
        engine::NotCounted::EmptyLane => ReasonCode::UnknownLane,
        engine::NotCounted::WrongRun => ReasonCode::WrongRun,
        engine::NotCounted::HeatSigned => ReasonCode::HeatSigned,
        engine::NotCounted::HeatCancelled => ReasonCode::HeatCancelled,
        engine::NotCounted::UnknownFault => ReasonCode::UnknownFault,
        engine::NotCounted::NothingToUndo => ReasonCode::NothingToUndo,
        engine::NotCounted::UndoTooLate => ReasonCode::UndoTooLate,
        engine::NotCounted::CallDoesNotFit => ReasonCode::CallDoesNotFit,
        engine::NotCounted::HandedOver => ReasonCode::HandedOver,
        engine::NotCounted::NoLoad => ReasonCode::NoLoad,
        engine::NotCounted::LoadOutOfRange => ReasonCode::OutOfRange,
        engine::NotCounted::NoAttemptLeft => ReasonCode::NoAttemptLeft,
        engine::NotCounted::HoldNotStarted => ReasonCode::HoldNotStarted,
        engine::NotCounted::HoldUnderWay => ReasonCode::HoldUnderWay,
    }
}

fn refused(why: engine::Refused) -> ReasonCode {
    use engine::Refused;
    match why {
        Refused::UnknownLane(_) | Refused::EmptyLane(_) | Refused::OtherLanes => ReasonCode::UnknownLane,
        Refused::NotInThisState(_)
        | Refused::NotFinished(_)
        | Refused::LaneTaken(_)
        | Refused::UnderReview(_)
        | Refused::NoResult(_)
        | Refused::HeldAlready(_)
        | Refused::LanesAfterStart(_)
        | Refused::RunsAlone(_)
        | Refused::ClockNotInDoubt => ReasonCode::NotInThisState,
        Refused::NotConfirmed { .. } => ReasonCode::NotConfirmed,
        Refused::ResultChanged(_) => ReasonCode::ResultChanged,
        Refused::OtherRun(_) => ReasonCode::WrongRun,
        Refused::ClockInDoubt => ReasonCode::ClockInDoubt,
        Refused::HeatSigned => ReasonCode::HeatSigned,
        Refused::HeatCancelled => ReasonCode::HeatCancelled,
        Refused::NumberZero
        | Refused::TooLong(..)
        | Refused::NoReason
        | Refused::NoName
        | Refused::NoInitials
        | Refused::TooManyInitials(_)
        | Refused::TooManyHandOvers(_)
        | Refused::NeedsFinishTime { .. }
        | Refused::FinishNotReached { .. }
        | Refused::CountOutOfRange { .. }
        | Refused::TimeOutOfRange { .. }
        | Refused::PenaltyOutOfRange { .. }
        | Refused::UnitsOutOfRange { .. }
        | Refused::CreditOutOfRange { .. }
        | Refused::NoFinish
        | Refused::DoesNotFitScoring { .. }
        | Refused::BestLoadOutOfRange
        | Refused::HeldOutOfRange { .. }
        | Refused::DeadlineOutOfRange
        | Refused::RecordFull(_)
        | Refused::TooManyMoves(_)
        | Refused::TooManyRemarks(_)
        | Refused::TooManyPages
        | Refused::TooManyRuns(_)
        | Refused::TooManyHolds(_)
        | Refused::LanesCannotRun => ReasonCode::OutOfRange,
    }
}

/// State and clock for screens.
#[must_use]
pub fn heat_state(heat: engine::HeatView) -> view::HeatState {
    view::HeatState {
        state: match heat.state {
            engine::State::LanesSet => view::State::LanesSet,
            engine::State::OnDeck => view::State::OnDeck,
            engine::State::Countdown => view::State::Countdown,
            engine::State::Running => view::State::Running,
            engine::State::Held => view::State::Held,
            engine::State::TimeCalled => view::State::TimeCalled,
            engine::State::Provisional => view::State::Provisional,
            engine::State::Signed => view::State::Signed,
            engine::State::Cancelled => view::State::Cancelled,
        },
        run: heat.run,
        clock: match heat.clock {
            engine::Clock::Idle => view::Clock::Idle,
            engine::Clock::CountingDown { since, go_at, elapsed } => {
                view::Clock::CountingDown { since_ms: since.0, go_at_ms: go_at.0, elapsed_ms: elapsed.0 }
            }
            engine::Clock::Running { zero_at } => view::Clock::Running { zero_at_ms: zero_at.0 },
            engine::Clock::Stopped { elapsed } => view::Clock::Stopped { elapsed_ms: elapsed.0 },
        },
        cap_ms: heat.cap.0,
        resolution_ms: heat.resolution_ms,
        finished: heat.finished,
        starters: heat.starters,
        first_on_floor: heat.first_on_floor.map_or(0, |lane| lane.0),
        cap_on_heat: heat.cap_on == CapOn::Heat,
        ends_ms: Some(heat.ends.0).filter(|ends_ms| *ends_ms != heat.cap.0),
        clock_in_doubt: heat.clock_in_doubt,
        alone: heat.alone.map(|lane| lane.0),
    }
}

/// What a lane has done, for screens.
#[must_use]
pub fn lane_count(lane: engine::LaneView) -> view::LaneCount {
    let credit_ms = Some(lane.credit.0).filter(|credit_ms| *credit_ms != 0);
    view::LaneCount {
        lane: lane.lane.0,
        run: lane.run,
        status: match lane.status {
            engine::Status::Empty => view::Status::Empty,
            engine::Status::Racing => view::Status::Racing,
            engine::Status::Finished => view::Status::Finished,
            engine::Status::Capped => view::Status::Capped,
            engine::Status::DidNotFinish => view::Status::DidNotFinish,
            engine::Status::DidNotStart => view::Status::DidNotStart,
            engine::Status::Disqualified => view::Status::Disqualified,
            engine::Status::UnderReview => view::Status::UnderReview,
        },
        done: lane.done,
        score: lane.score,
        round: lane.round,
        round_score: lane.round_score,
        part: lane.part,
        part_done: lane.part_done,
        to_go: lane.to_go,
        result: lane.result.map(|result| view::LaneResult {
            text: result.text,
            official_ms: result.official.map(|span| span.0),
            penalty_ms: result.penalty.map(|span| span.0),
            credit_ms,
        }),
        tries: lane.tries.map(course::tries),
        stop_ms: lane.stop.map(|span| span.0),
        review_until_ms: lane.review_until.map(|at| at.0),
        no_reps: lane.no_reps,
        last_good_ms: lane.last_good.map(|at| at.0),
        credit_ms,
        tie_break_ms: lane.tie_break.map(|span| span.0),
        ruled: lane.ruled,
        flagged: lane.flagged,
        judge_on: lane.judge_on,
        confirmed: lane.confirmed,
    }
}

/// Place and gap, for screens.
#[must_use]
pub fn order_row(row: engine::Standing) -> view::OrderRow {
    view::OrderRow {
        lane: row.lane.0,
        place: row.place,
        division_place: row.division_place,
        gap_units: row.gap_units,
        gap_ms: row.gap.map(|span| span.0),
        tied_apart: row.tied_apart,
    }
}
