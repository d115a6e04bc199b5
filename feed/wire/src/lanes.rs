//! Who stands on which lane, set before a heat starts, and the athletes who could be put there. A ruling moves an athlete
//! later on; it is in `from_client`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Who is to stand on a lane.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LaneAthlete {
    /// A lane of the heat, from 1.
    pub lane: u8,
    /// Bib of an athlete of the competition; left out where nobody is to stand there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bib: Option<String>,
}

/// Asks for athletes who could be put into a heat. From the head judge and the floor operator.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskAthletes {
    /// Chosen by the sender; the answer names it.
    pub id: u64,
    /// A heat that was on the floor.
    pub heat: u32,
    /// Part of a bib, name or club, upper or lower case alike; empty for all. At most 64 bytes.
    pub find: String,
}

/// Athletes who could be put into a heat: they don't stand in it, and its workout has amounts for their division.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Athletes {
    /// The request's.
    pub id: u64,
    /// The heat.
    pub heat: u32,
    /// Those who were taken out of this heat first, then in the order of the competition file.
    pub athletes: Vec<AthleteFound>,
    /// There are more than have room.
    pub more: bool,
}

/// An athlete.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AthleteFound {
    /// Bib.
    pub bib: String,
    /// Full name.
    pub name: String,
    /// Name of the division.
    pub division: String,
    /// Was taken out of this heat.
    pub scratched: bool,
}
