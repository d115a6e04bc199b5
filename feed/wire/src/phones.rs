//! What is said of judges' phones: who holds a lane, who may take it and by which PIN, and how each phone is doing.
//! The calls themselves are in `from_client`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::judges::LaneFlag;

/// Gives a lane from the phone that holds it to one that stands by. From the head judge, or from the phone that holds
/// the lane. `id` makes it apply once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandOver {
    /// Chosen by the sender, unique on its device; the answer names it.
    pub id: u64,
    /// Heat on the floor, as in the snapshot.
    pub heat: u32,
    /// Lane, from 1.
    pub lane: u8,
    /// Name of the device that takes the lane; it stands by.
    pub to: String,
}

/// Asks for the PINs of the heat on the floor. From the head judge and the floor operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskPins {}

/// How a judge's phone is doing. Not kept in the record; one a second is taken, others are passed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Phone {
    /// Charge of its battery, 0 to 100, where the platform tells.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_percent: Option<u8>,
    /// It is being charged, where the platform tells.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charging: Option<bool>,
    /// Calls that wait for an acknowledgement.
    pub waiting: u32,
    /// The page keeps the screen awake; left out where it can't know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stays_awake: Option<bool>,
    /// Round-trip delay of its best recent clock exchange, microseconds; left out before the first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delay_us: Option<i64>,
}

/// The lane of this phone was handed over, to it or away from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneHold {
    /// Lane, from 1.
    pub lane: u8,
    /// This phone holds it now; otherwise it stands by. Calls that it made while it held the lane are still taken.
    pub holds: bool,
}

/// The PINs of a heat, until it is signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Pins {
    /// The heat on the floor.
    pub heat: u32,
    /// In lane order; none once the heat is signed.
    pub pins: Vec<LanePin>,
}

/// Lets a judge's phone in on one lane of one heat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LanePin {
    /// Lane, from 1.
    pub lane: u8,
    /// Six digits.
    pub pin: String,
    /// For a shadow judge.
    pub shadow: bool,
}

/// Every judge's phone of the floor, whole. Sent to the head judge and the floor operator when something has changed,
/// at most once a second.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Phones {
    /// By lane: the one that holds it first, then those that stand by, then shadow judges.
    pub phones: Vec<PhoneState>,
    /// What is flagged on the lanes of the floor, whole; in lane order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flags: Vec<LaneFlag>,
}

/// One judge's phone. What it has not told is left out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PhoneState {
    /// Lane, from 1.
    pub lane: u8,
    /// Name of the device.
    pub device: String,
    /// Of a shadow judge.
    pub shadow: bool,
    /// Holds the lane; a lane judge's phone that does not stands by.
    pub holds: bool,
    /// Is connected.
    pub on_line: bool,
    /// When it was last heard of, feed milliseconds; none since the feed started.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heard_ms: Option<i64>,
    /// Round-trip delay of the clock exchange that it goes by, as it told last, by itself or with a call, microseconds; the
    /// error of its calls' times is at most half of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delay_us: Option<i64>,
    /// Charge of its battery, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_percent: Option<u8>,
    /// It is being charged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charging: Option<bool>,
    /// Calls that wait on it for an acknowledgement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waiting: Option<u32>,
    /// It keeps its screen awake.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stays_awake: Option<bool>,
}
