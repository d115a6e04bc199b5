//! The bounds of the wire, each with its reason.

/// Largest message from a lane or shadow judge, in bytes: a tally is under 500.
pub const MAX_JUDGE_MESSAGE: usize = 4 * 1024;
/// Largest message from any other role, in bytes: the floor operator's own words are the longest.
pub const MAX_OTHER_MESSAGE: usize = 64 * 1024;
/// Longest identifier (device, fault code, bib), in bytes.
pub const MAX_ID: usize = 64;
/// Longest reason of a ruling, in bytes: two sentences for the sheet.
pub const MAX_REASON: usize = 400;
/// Most units in one tally: a judge enters steps, not whole workouts.
pub const MAX_AMOUNT: u32 = 1_000;
