//! What each role may say and see. The one place that decides it; who gets in as what is decided in `access`.

use fivemark_wire::from_client::{FloorCommand, Role};
use fivemark_wire::from_feed::{Reason, ReasonCode};

use crate::access::reason;

/// Whether a role counts a lane.
#[must_use]
pub fn is_judge(role: Role) -> bool {
    matches!(role, Role::LaneJudge | Role::ShadowJudge)
}

/// Whether a client may tally a lane; true for a shadow judge's calls.
///
/// # Errors
/// The reason why not.
pub fn may_tally(role: Role, own_lane: Option<u8>, lane: u8) -> Result<bool, Reason> {
    if !is_judge(role) {
        return Err(reason(ReasonCode::WrongRole, "Only a lane's judge counts. Join as that lane's judge."));
    }
    if own_lane != Some(lane) {
        let own = own_lane.unwrap_or_default();
        return Err(reason(
            ReasonCode::NotYourLane,
            format!("This access key counts lane {own} only, not lane {lane}."),
        ));
    }
    Ok(role == Role::ShadowJudge)
}

/// Whether a client may speak for a lane: confirm its result, hand it over. Whether a phone holds the lane is decided
/// with the record.
///
/// # Errors
/// The reason why not.
pub fn may_speak_for(role: Role, own_lane: Option<u8>, lane: u8) -> Result<(), Reason> {
    match role {
        Role::HeadJudge => Ok(()),
        Role::LaneJudge => may_tally(role, own_lane, lane).map(drop),
        _ => Err(reason(
            ReasonCode::WrongRole,
            "Only the lane's judge and the head judge do this. Ask the head judge.",
        )),
    }
}

/// Whether a client may tell how a judge's phone is doing.
///
/// # Errors
/// The reason why not.
pub fn may_tell_of_phone(role: Role) -> Result<(), Reason> {
    if is_judge(role) {
        return Ok(());
    }
    Err(reason(ReasonCode::WrongRole, "Only judges' phones tell how they are. Leave this out."))
}

/// Whether a client may rule.
///
/// # Errors
/// The reason why not.
pub fn may_rule(role: Role) -> Result<(), Reason> {
    if role == Role::HeadJudge {
        return Ok(());
    }
    Err(reason(ReasonCode::WrongRole, "Only the head judge rules. Ask the head judge."))
}

/// Whether a client may see what is for the officials of the floor: PINs, phones, records.
///
/// # Errors
/// The reason why not.
pub fn may_look_behind(role: Role) -> Result<(), Reason> {
    if audience(role) == Audience::Officials {
        return Ok(());
    }
    Err(reason(ReasonCode::WrongRole, "This is for the head judge and the floor operator. Ask there."))
}

/// Whether a client may see how each judge calls: the head judge leads them, and it is nobody else's business.
///
/// # Errors
/// The reason why not.
pub fn may_see_judges(role: Role) -> Result<(), Reason> {
    if role == Role::HeadJudge {
        return Ok(());
    }
    Err(reason(ReasonCode::WrongRole, "Only the head judge sees how the judges call. Ask the head judge."))
}

/// Whether a client may say what screens show.
///
/// # Errors
/// The reason why not.
pub fn may_show(role: Role) -> Result<(), Reason> {
    if matches!(role, Role::FloorOperator | Role::HeadJudge) {
        return Ok(());
    }
    Err(reason(ReasonCode::WrongRole, "Only the floor operator chooses what screens show. Ask there."))
}

/// Whether a client may give a floor command. What settles results is the head judge's alone.
///
/// # Errors
/// The reason why not.
pub fn may_command(role: Role, command: &FloorCommand) -> Result<(), Reason> {
    let settles = match command {
        FloorCommand::Cancel
        | FloorCommand::Close
        | FloorCommand::Sign
        | FloorCommand::Rerun { .. }
        | FloorCommand::RerunLane { .. }
        | FloorCommand::Reopen { .. }
        | FloorCommand::ConfirmClock => true,
        FloorCommand::OpenHeat
        | FloorCommand::OnDeck
        | FloorCommand::SetLanes { .. }
        | FloorCommand::StartCountdown
        | FloorCommand::Recall
        | FloorCommand::Hold
        | FloorCommand::Resume
        | FloorCommand::CallTime => false,
    };
    match role {
        Role::HeadJudge => Ok(()),
        Role::FloorOperator if !settles => Ok(()),
        Role::FloorOperator => {
            let says = "Only the head judge cancels, closes, signs, reopens or repeats a heat, and confirms its clock.";
            Err(reason(ReasonCode::WrongRole, says))
        }
        _ => Err(reason(
            ReasonCode::WrongRole,
            "Only the head judge and the floor operator change the state of a heat.",
        )),
    }
}

/// What a client may see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Audience {
    /// Everything: names of judges and rulings too.
    Officials,
    /// Full names of athletes.
    Staff,
    /// The same without what screens are asked to show: a judge's phone follows the heat alone.
    Judges,
    /// What everybody may see: athletes marked private by their initials.
    Public,
    /// The same without what screens are asked to show: a thousand spectators' pages follow the heat alone.
    Crowd,
}

impl Audience {
    /// Whether it is told what screens are asked to show.
    #[must_use]
    pub fn sees_shows(self) -> bool {
        !matches!(self, Self::Judges | Self::Crowd)
    }

    /// Whether it is told by full names who comes next: a judge's phone follows the heat alone.
    #[must_use]
    pub fn sees_next(self) -> bool {
        matches!(self, Self::Officials | Self::Staff)
    }
}

/// What a role may see.
#[must_use]
pub fn audience(role: Role) -> Audience {
    match role {
        Role::HeadJudge | Role::FloorOperator => Audience::Officials,
        Role::Announcer => Audience::Staff,
        Role::LaneJudge | Role::ShadowJudge => Audience::Judges,
        Role::Display => Audience::Public,
        Role::Spectator => Audience::Crowd,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_head_judge_settles_results() {
        let why = || "The rig gave way".to_owned();
        for command in [
            FloorCommand::Cancel,
            FloorCommand::Close,
            FloorCommand::Sign,
            FloorCommand::Rerun { reason: why() },
            FloorCommand::RerunLane { lane: 2, reason: why() },
            FloorCommand::Reopen { reason: why() },
            FloorCommand::ConfirmClock,
        ] {
            assert!(may_command(Role::HeadJudge, &command).is_ok());
            assert!(may_command(Role::FloorOperator, &command).is_err());
        }
        assert!(may_command(Role::FloorOperator, &FloorCommand::StartCountdown).is_ok());
        assert!(may_command(Role::LaneJudge, &FloorCommand::Hold).is_err());
        assert!(may_rule(Role::FloorOperator).is_err());
        assert!(may_see_judges(Role::HeadJudge).is_ok() && may_see_judges(Role::FloorOperator).is_err());
    }
}
