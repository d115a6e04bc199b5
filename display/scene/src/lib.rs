//! From the feed's messages to a draw list: view state, layouts, motion and text shaping. No GPU types, no clock.

pub mod board;
pub mod draw;
pub mod text;
pub mod view;

pub use board::{Board, Link, Motion, Times};
pub use text::{Fonts, ShapedText};
pub use view::{Hole, View};
