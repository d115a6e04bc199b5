//! Numbers and short names that tell lanes, phones and page loads apart.

/// A lane as painted on the floor, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LaneNo(pub u8);

/// The most lanes that one heat may have.
pub const MAX_LANES: u8 = 40;

/// A judge's phone: a random name that the page keeps across reloads. At most 64 bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(pub String);

/// One page load on a phone: a random number. Stamps of one epoch come from one monotonic clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Epoch(pub u64);

/// Index of a movement in the workout's table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MovementIx(pub u16);
