//! From the feed's messages to a draw list: view state, layouts, motion and text shaping. No GPU types, no clock.

pub mod draw;
pub mod text;
