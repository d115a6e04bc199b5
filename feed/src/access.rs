//! Who may do what: access keys, roles, and what each role may say and see. The one place that decides it. Keys are
//! kept as hashes only and never written to a log.

use std::collections::BTreeMap;

use fivemark_wire::from_client::{FloorCommand, Role};
use fivemark_wire::from_feed::{Reason, ReasonCode};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

/// Longest access key that is looked at, in bytes.
const MAX_KEY: usize = 256;

/// The access keys as written in their file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Keys {
    /// Roles with one key.
    pub roles: BTreeMap<&'static str, String>,
    /// By lane.
    pub lane_judge: BTreeMap<u8, String>,
    /// By lane.
    pub shadow_judge: BTreeMap<u8, String>,
}

/// Roles with one key, by their names in the file.
pub const SINGLE_ROLES: [(&str, Role); 4] = [
    ("head_judge", Role::HeadJudge),
    ("floor_operator", Role::FloorOperator),
    ("display", Role::Display),
    ("announcer", Role::Announcer),
];

type Hash = [u8; 32];

/// Decides who may join.
#[derive(Debug)]
pub struct Access {
    roles: Vec<(Role, Hash)>,
    lane_judge: BTreeMap<u8, Hash>,
    shadow_judge: BTreeMap<u8, Hash>,
    spectators: bool,
}

impl Access {
    /// Keeps hashes of the keys.
    #[must_use]
    pub fn new(keys: &Keys, spectators: bool) -> Self {
        let roles = SINGLE_ROLES
            .iter()
            .filter_map(|(name, role)| keys.roles.get(name).map(|key| (*role, hash(key))))
            .collect();
        let lanes = |keys: &BTreeMap<u8, String>| keys.iter().map(|(lane, key)| (*lane, hash(key))).collect();
        Self {
            roles,
            lane_judge: lanes(&keys.lane_judge),
            shadow_judge: lanes(&keys.shadow_judge),
            spectators,
        }
    }

    /// Whether a client may join in this role, on this lane, with this key.
    ///
    /// # Errors
    /// The reason why not.
    pub fn admit(&self, role: Role, lane: Option<u8>, key: Option<&str>) -> Result<(), Reason> {
        let wanted = match role {
            Role::Spectator if self.spectators => return Ok(()),
            Role::Spectator => {
                return Err(reason(
                    ReasonCode::SpectatorsOff,
                    "Spectators are not let in here. Join with a role and its access key.",
                ));
            }
            Role::LaneJudge => Some(lane_hash(&self.lane_judge, lane)?),
            Role::ShadowJudge => Some(lane_hash(&self.shadow_judge, lane)?),
            _ => self.roles.iter().find(|(known, _)| *known == role).map(|(_, hash)| *hash),
        };
        let given = key.filter(|key| key.len() <= MAX_KEY).map(hash);
        match (wanted, given) {
            (Some(wanted), Some(given)) if bool::from(wanted.ct_eq(&given)) => Ok(()),
            _ => Err(reason(
                ReasonCode::WrongAccessKey,
                "This access key does not open this role. Scan the code again or ask the floor operator.",
            )),
        }
    }
}

fn lane_hash(hashes: &BTreeMap<u8, Hash>, lane: Option<u8>) -> Result<Hash, Reason> {
    let Some(lane) = lane else {
        return Err(reason(ReasonCode::UnknownLane, "A judge joins with a lane. Add the lane's number."));
    };
    hashes.get(&lane).copied().ok_or_else(|| {
        reason(ReasonCode::UnknownLane, format!("No heat has a lane {lane}. Check the lane's number."))
    })
}

fn hash(key: &str) -> Hash {
    Sha256::digest(key).into()
}

/// Whether a client may tally a lane; true for a shadow judge's calls.
///
/// # Errors
/// The reason why not.
pub fn may_tally(role: Role, own_lane: Option<u8>, lane: u8) -> Result<bool, Reason> {
    if !matches!(role, Role::LaneJudge | Role::ShadowJudge) {
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

/// A reason, for programs and for people.
#[must_use]
pub fn reason(code: ReasonCode, says: impl Into<String>) -> Reason {
    Reason { code, says: says.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn access(spectators: bool) -> Access {
        let mut keys = Keys::default();
        keys.roles.insert("display", "d".repeat(32));
        keys.lane_judge.insert(3, "three".to_owned());
        keys.shadow_judge.insert(3, "shadow of three".to_owned());
        Access::new(&keys, spectators)
    }

    fn code(result: Result<(), Reason>) -> Option<ReasonCode> {
        result.err().map(|reason| reason.code)
    }

    #[test]
    fn a_key_opens_its_own_role_and_lane_only() {
        let access = access(false);
        let key = "d".repeat(32);
        for (role, lane, key, expected) in [
            (Role::Display, None, Some(key.as_str()), None),
            (Role::Display, None, Some("dd"), Some(ReasonCode::WrongAccessKey)),
            (Role::Display, None, None, Some(ReasonCode::WrongAccessKey)),
            (Role::HeadJudge, None, Some(key.as_str()), Some(ReasonCode::WrongAccessKey)),
            (Role::LaneJudge, Some(3), Some("three"), None),
            (Role::LaneJudge, Some(3), Some("shadow of three"), Some(ReasonCode::WrongAccessKey)),
            (Role::LaneJudge, Some(4), Some("three"), Some(ReasonCode::UnknownLane)),
            (Role::LaneJudge, None, Some("three"), Some(ReasonCode::UnknownLane)),
            (Role::ShadowJudge, Some(3), Some("shadow of three"), None),
            (Role::Spectator, None, None, Some(ReasonCode::SpectatorsOff)),
        ] {
            assert_eq!(code(access.admit(role, lane, key)), expected, "{role:?} {lane:?}");
        }
    }

    #[test]
    fn spectators_come_in_without_a_key_where_they_are_let_in() {
        assert_eq!(code(access(true).admit(Role::Spectator, None, None)), None);
    }

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
    }
}
