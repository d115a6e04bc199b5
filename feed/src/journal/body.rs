//! Bodies of entries as the journal keeps them: JSON in the words of the wire, so that a record can be read without
//! this program. The kind stands in a column beside it, so that each body is read in one pass as what it is.

use fivemark_wire::from_client::{Floor, Ruling, Tally};
use fivemark_wire::lane_record::Confirm;
use fivemark_wire::phones::HandOver;
use fivemark_wire::show_commands::Show;
use serde::de::IgnoredAny;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::Body;
use crate::restart::Carried;

/// Why a body cannot be read.
#[derive(Debug, Error)]
pub(super) enum BodyError {
    /// It is not what its kind says.
    #[error(transparent)]
    Json(#[from] serde_json::Error),
    /// A kind that this feed does not know.
    #[error("its kind \"{0}\" is not known")]
    Kind(String),
}

// Each of these takes the kind inside the body too, where older feeds wrote it.

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TallyBody {
    #[serde(default, rename = "kind")]
    _kind: IgnoredAny,
    said: Tally,
    link_since_ms: i64,
    #[serde(default)]
    shadow: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfficialBody<T> {
    #[serde(default, rename = "kind")]
    _kind: IgnoredAny,
    said: T,
    by: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FloorBody {
    #[serde(default, rename = "kind")]
    _kind: IgnoredAny,
    said: Floor,
    by: String,
    #[serde(default)]
    initials: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TakenBody {
    lane: u8,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LinkBody {
    #[serde(default, rename = "kind")]
    _kind: IgnoredAny,
    lane: u8,
    up: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RebootBody {
    carried: Carried,
}

/// The same without the kind, as it is written.
#[derive(Serialize)]
#[serde(untagged)]
enum Written<'a> {
    Tally {
        said: &'a Tally,
        link_since_ms: i64,
        #[serde(skip_serializing_if = "is_false")]
        shadow: bool,
    },
    Ruling {
        said: &'a Ruling,
        by: &'a str,
    },
    Floor {
        said: &'a Floor,
        by: &'a str,
        #[serde(skip_serializing_if = "is_false")]
        initials: bool,
    },
    Show {
        said: &'a Show,
        by: &'a str,
    },
    Link {
        lane: u8,
        up: bool,
    },
    HandOver {
        said: &'a HandOver,
        by: &'a str,
    },
    Taken {
        lane: u8,
    },
    Confirm {
        said: &'a Confirm,
        by: &'a str,
    },
    Reboot {
        carried: Carried,
    },
}

#[allow(clippy::trivially_copy_pass_by_ref)] // the shape that serde calls
fn is_false(value: &bool) -> bool {
    !*value
}

impl Body {
    /// Name of the kind, as written into the journal.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Tally { .. } => "tally",
            Self::Ruling { .. } => "ruling",
            Self::Floor { .. } => "floor",
            Self::Show { .. } => "show",
            Self::Link { .. } => "link",
            Self::HandOver { .. } => "hand_over",
            Self::Taken { .. } => "taken",
            Self::Confirm { .. } => "confirm",
            Self::Reboot { .. } => "reboot",
        }
    }

    /// What stands beside the kind.
    pub(crate) fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string(&match self {
            Self::Tally { said, link_since_ms, shadow } => {
                Written::Tally { said, link_since_ms: *link_since_ms, shadow: *shadow }
            }
            Self::Ruling { said, by } => Written::Ruling { said, by },
            Self::Floor { said, by, initials } => Written::Floor { said, by, initials: *initials },
            Self::Show { said, by } => Written::Show { said, by },
            Self::Link { lane, up } => Written::Link { lane: *lane, up: *up },
            Self::HandOver { said, by } => Written::HandOver { said, by },
            Self::Taken { lane } => Written::Taken { lane: *lane },
            Self::Confirm { said, by } => Written::Confirm { said, by },
            Self::Reboot { carried } => Written::Reboot { carried: *carried },
        })
    }

    /// Reads a body of a kind.
    pub(super) fn from_json(kind: &str, json: &str) -> Result<Self, BodyError> {
        Ok(match kind {
            "tally" => {
                let TallyBody { said, link_since_ms, shadow, .. } = serde_json::from_str(json)?;
                Self::Tally { said, link_since_ms, shadow }
            }
            "ruling" => {
                let OfficialBody { said, by, .. } = serde_json::from_str(json)?;
                Self::Ruling { said, by }
            }
            "floor" => {
                let FloorBody { said, by, initials, .. } = serde_json::from_str(json)?;
                Self::Floor { said, by, initials }
            }
            "show" => {
                let OfficialBody { said, by, .. } = serde_json::from_str(json)?;
                Self::Show { said, by }
            }
            "link" => {
                let LinkBody { lane, up, .. } = serde_json::from_str(json)?;
                Self::Link { lane, up }
            }
            "hand_over" => {
                let OfficialBody { said, by, .. } = serde_json::from_str(json)?;
                Self::HandOver { said, by }
            }
            "taken" => {
                let TakenBody { lane } = serde_json::from_str(json)?;
                Self::Taken { lane }
            }
            "confirm" => {
                let OfficialBody { said, by, .. } = serde_json::from_str(json)?;
                Self::Confirm { said, by }
            }
            "reboot" => {
                let RebootBody { carried } = serde_json::from_str(json)?;
                Self::Reboot { carried }
            }
            other => return Err(BodyError::Kind(other.to_owned())),
        })
    }
}

#[cfg(test)]
mod tests {
    use fivemark_wire::from_client::{Call, FloorCommand, RulingKind};
    use fivemark_wire::lanes::LaneAthlete;
    use fivemark_wire::show_commands::{BoardCommand, CardAsked, ShowCommand, StepAsked};

    use super::*;

    fn bodies() -> Vec<Body> {
        let said = Tally {
            heat: 7,
            run: 1,
            lane: 4,
            epoch: 9,
            number: 12,
            call: Call::Good,
            amount: 0,
            fault: None,
            stamp_ms: -3,
            wall_ms: None,
            offset: None,
            athlete: None,
            load_g: None,
            slot: None,
        };
        let attempt = Tally { call: Call::DeclareLoad, load_g: Some(142_500), ..said.clone() };
        let by = || "head judge".to_owned();
        let reason = || "The rig gave way".to_owned();
        let ruling = |kind| Body::Ruling {
            said: Ruling { id: 1, heat: 7, lane: 4, reason: reason(), kind },
            by: by(),
        };
        let floor = |command| {
            let initials = command == FloorCommand::Sign;
            Body::Floor { said: Floor { id: 2, heat: 7, command }, by: by(), initials }
        };
        let lanes =
            || vec![LaneAthlete { lane: 4, bib: Some("101".to_owned()) }, LaneAthlete { lane: 5, bib: None }];
        let show = |command| Body::Show { said: Show { id: 3, command }, by: by() };
        let words =
            CardAsked::Words { title: String::new(), text: "Back at one.\nThe yard is open.".to_owned() };
        let steps = vec![StepAsked { for_ms: 0, card: words }];
        vec![
            Body::Tally { said: attempt, link_since_ms: 5, shadow: false },
            Body::Tally { said: said.clone(), link_since_ms: 5, shadow: false },
            Body::Tally { said, link_since_ms: 5, shadow: true },
            ruling(RulingKind::AddUnits { add: -2 }),
            ruling(RulingKind::Credit { credit_ms: 9_000 }),
            ruling(RulingKind::MoveAthlete { to: 5 }),
            ruling(RulingKind::Review { within_min: 20 }),
            ruling(RulingKind::NoteStop { elapsed_ms: 428_000 }),
            ruling(RulingKind::FromPaper { done: 3, finish_ms: None }),
            ruling(RulingKind::SetBestLoad { load_g: 142_500 }),
            ruling(RulingKind::SetHeld { held_ms: 83_400 }),
            floor(FloorCommand::Rerun { reason: reason() }),
            floor(FloorCommand::RerunLane { lane: 4, reason: reason() }),
            floor(FloorCommand::Reopen { reason: reason() }),
            floor(FloorCommand::ConfirmClock),
            floor(FloorCommand::SetLanes { lanes: lanes(), reason: reason() }),
            floor(FloorCommand::Sign),
            show(ShowCommand::Duel { left: 1, right: 4 }),
            show(ShowCommand::Board(BoardCommand::Own { again: true, steps })),
            Body::Link { lane: 4, up: true },
            Body::HandOver { said: HandOver { id: 4, heat: 7, lane: 4, to: "phone-9".to_owned() }, by: by() },
            Body::Taken { lane: 4 },
            Body::Confirm { said: initials(None), by: "lane judge".to_owned() },
            Body::Confirm { said: initials(Some(reason())), by: by() },
            Body::Reboot { carried: Carried::Pages(3) },
            Body::Reboot { carried: Carried::WallClock },
        ]
    }

    fn initials(reason: Option<String>) -> Confirm {
        let (athlete, judge) = ("IBO".to_owned(), "SK".to_owned());
        Confirm { id: 5, heat: 7, lane: 4, run: 1, result: "7:08.4".to_owned(), athlete, judge, reason }
    }

    #[test]
    fn bodies_survive_the_journal() {
        for body in bodies() {
            let json = body.to_json().unwrap();
            assert_eq!(Body::from_json(body.kind(), &json).unwrap(), body, "{json}");
        }
    }

    #[test]
    fn bodies_of_older_feeds_are_read() {
        let json = r#"{"kind":"link","lane":3,"up":false}"#;
        assert_eq!(Body::from_json("link", json).unwrap(), Body::Link { lane: 3, up: false });
        let json = r#"{"kind":"floor","said":{"id":1,"heat":7,"command":"on_deck"},"by":"head judge"}"#;
        let said = Floor { id: 1, heat: 7, command: FloorCommand::OnDeck };
        assert_eq!(
            Body::from_json("floor", json).unwrap(),
            Body::Floor { said, by: "head judge".to_owned(), initials: false }
        );
        let json = r#"{"said":{"id":1,"heat":7,"command":"sign"},"by":"head judge"}"#;
        let read = Body::from_json("floor", json).unwrap();
        assert!(matches!(read, Body::Floor { initials: false, .. }), "it was signed without initials");
    }

    #[test]
    fn what_is_not_known_is_not_passed_over() {
        for (kind, json) in [
            ("verdict", "{}"),
            ("link", r#"{"lane":3}"#),
            ("link", r#"{"lane":3,"up":false,"more":1}"#),
            ("link", r#"{"lane":3,"up":fal"#),
            ("floor", r#"{"said":{"id":1,"heat":7,"command":"applaud"},"by":"head judge"}"#),
        ] {
            assert!(Body::from_json(kind, json).is_err(), "{kind} {json}");
        }
    }
}
