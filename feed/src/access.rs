//! Who gets in, and as what: access keys and PINs. The one place that decides it; what each role may say and see is in
//! `roles`. Keys are kept as hashes only and never written to a log.

use std::collections::BTreeMap;

use fivemark_wire::from_client::{Join, Role};
use fivemark_wire::from_feed::{Reason, ReasonCode};
use fivemark_wire::phones::LanePin;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

use crate::pins::PinMaker;
use crate::roles::is_judge;

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
    /// None without a head judge, who gives PINs out.
    pins: Option<PinMaker>,
    spectators: bool,
}

/// What is known of the floor when somebody joins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OnFloor {
    /// The heat on the floor.
    pub heat: u32,
    /// Its lanes.
    pub lanes: Vec<u8>,
    /// It is signed.
    pub signed: bool,
    /// Other heats that were opened and are not signed.
    pub unsigned: Vec<u32>,
}

/// What a client is let in for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Admitted {
    /// Lane of a judge.
    pub lane: Option<u8>,
    /// The only heat that it may speak of, for a phone that was let in by a PIN.
    pub heat: Option<u32>,
    /// For such a phone, the access key to come back with.
    pub phone_key: Option<String>,
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
            pins: keys.roles.get("head_judge").and_then(|key| PinMaker::new(key)),
            spectators,
        }
    }

    /// Lets a client in by its access key.
    ///
    /// # Errors
    /// The reason why not.
    pub fn admit(&self, join: &Join, floor: &OnFloor) -> Result<Admitted, Reason> {
        let lane = join.lane.filter(|_| is_judge(join.role));
        match self.opens(join.role, lane, join.access_key.as_deref()) {
            Ok(()) => Ok(Admitted { lane, heat: None, phone_key: None }),
            Err(why) => self.phone_again(join, floor).ok_or(why),
        }
    }

    /// A phone that was let in by a PIN before, until its heat is signed and has left the floor: what it has not sent yet
    /// is still wanted.
    fn phone_again(&self, join: &Join, floor: &OnFloor) -> Option<Admitted> {
        let (lane, given, pins) = (join.lane?, join.access_key.as_deref()?, self.pins.as_ref()?);
        let shadow = join.role == Role::ShadowJudge;
        let opened_by = |heat: &&u32| {
            let wanted = pins.phone_key(**heat, lane, shadow, &join.device);
            bool::from(wanted.as_bytes().ct_eq(given.as_bytes()))
        };
        let heat = std::iter::once(&floor.heat).chain(&floor.unsigned).find(opened_by)?;
        is_judge(join.role).then_some(Admitted { lane: Some(lane), heat: Some(*heat), phone_key: None })
    }

    /// Lets a judge's phone in by a PIN of the heat on the floor; none if the PIN is wrong.
    #[must_use]
    pub fn admit_by_pin(&self, join: &Join, pin: &str, floor: &OnFloor) -> Option<Admitted> {
        let shadow = join.role == Role::ShadowJudge;
        let mut opened = None;
        // All are looked at, so that the time taken says nothing.
        for known in self.pins(floor) {
            let fits = bool::from(known.pin.as_bytes().ct_eq(pin.as_bytes()));
            let meant = known.shadow == shadow && join.lane.is_none_or(|lane| lane == known.lane);
            if fits && meant {
                opened = Some(known.lane);
            }
        }
        let (lane, pins) = (opened.filter(|_| is_judge(join.role))?, self.pins.as_ref()?);
        let phone_key = Some(pins.phone_key(floor.heat, lane, shadow, &join.device));
        Some(Admitted { lane: Some(lane), heat: Some(floor.heat), phone_key })
    }

    /// The PINs of the heat on the floor; none once it is signed.
    #[must_use]
    pub fn pins(&self, floor: &OnFloor) -> Vec<LanePin> {
        let pins = self.pins.as_ref().filter(|_| !floor.signed);
        pins.map(|pins| pins.pins(floor.heat, &floor.lanes)).unwrap_or_default()
    }

    /// Whether a key opens a role, on a lane.
    fn opens(&self, role: Role, lane: Option<u8>, key: Option<&str>) -> Result<(), Reason> {
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
            assert_eq!(code(access.opens(role, lane, key)), expected, "{role:?} {lane:?}");
        }
    }

    #[test]
    fn spectators_come_in_without_a_key_where_they_are_let_in() {
        assert_eq!(code(access(true).opens(Role::Spectator, None, None)), None);
    }

    fn floor() -> OnFloor {
        OnFloor { heat: 4, lanes: vec![1, 3], signed: false, unsigned: vec![2] }
    }

    fn with_head_judge() -> Access {
        let keys = Keys { roles: BTreeMap::from([("head_judge", "h".repeat(32))]), ..Keys::default() };
        Access::new(&keys, false)
    }

    #[test]
    fn a_pin_opens_its_lane_in_its_role_until_the_heat_is_signed() {
        let access = with_head_judge();
        let pins = access.pins(&floor());
        let pin = |lane, shadow| {
            pins.iter().find(|pin| (pin.lane, pin.shadow) == (lane, shadow)).unwrap().pin.clone()
        };
        let lane = |role, lane, pin: &str, floor: &OnFloor| {
            access.admit_by_pin(&Join { lane, ..Join::new(role, "phone") }, pin, floor).map(|let_in| {
                assert_eq!(let_in.heat, Some(4));
                let_in.lane.unwrap()
            })
        };
        let (judge, shadow) = (Role::LaneJudge, Role::ShadowJudge);
        assert_eq!(lane(judge, None, &pin(3, false), &floor()), Some(3));
        assert_eq!(lane(judge, Some(3), &pin(3, false), &floor()), Some(3));
        assert_eq!(lane(shadow, None, &pin(1, true), &floor()), Some(1));
        assert_eq!(lane(judge, Some(1), &pin(3, false), &floor()), None);
        assert_eq!(lane(judge, None, &pin(1, true), &floor()), None);
        assert_eq!(lane(Role::HeadJudge, None, &pin(3, false), &floor()), None);
        assert_eq!(lane(judge, None, "", &floor()), None);
        let signed = OnFloor { signed: true, ..floor() };
        assert_eq!(lane(judge, None, &pin(3, false), &signed), None);
        assert!(access.pins(&signed).is_empty());
        let next = OnFloor { heat: 5, ..floor() };
        assert_eq!(lane(judge, None, &pin(3, false), &next), None);
    }

    #[test]
    fn a_phone_comes_back_with_its_key_until_its_heat_is_signed_and_off_the_floor() {
        let access = with_head_judge();
        let pins = access.pins(&floor());
        let joins = Join::new(Role::LaneJudge, "phone");
        let first = access.admit_by_pin(&joins, &pins[2].pin, &floor()).unwrap();
        assert_eq!((pins[2].lane, pins[2].shadow), (3, false));
        let again = Join { access_key: first.phone_key, lane: first.lane, ..joins };
        let heat = |join: &Join, floor: &OnFloor| access.admit(join, floor).ok().map(|let_in| let_in.heat);
        assert_eq!(heat(&again, &floor()), Some(Some(4)));
        assert_eq!(heat(&again, &OnFloor { signed: true, ..floor() }), Some(Some(4)), "it drains");
        let later = |unsigned| OnFloor { heat: 5, unsigned, ..floor() };
        assert_eq!(heat(&again, &later(vec![2, 4])), Some(Some(4)));
        assert_eq!(heat(&again, &later(vec![2])), None);
        for other in [
            Join { device: "another".to_owned(), ..again.clone() },
            Join { lane: Some(1), ..again.clone() },
            Join { role: Role::ShadowJudge, ..again.clone() },
            Join { role: Role::HeadJudge, ..again.clone() },
            Join { access_key: None, ..again.clone() },
        ] {
            assert_eq!(heat(&other, &floor()), None, "{other:?}");
        }
    }
}
