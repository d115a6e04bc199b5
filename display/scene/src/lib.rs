//! From the feed's messages to a draw list: view state, layouts, motion and text shaping. No GPU types, no clock.

mod backdrop;
pub mod board;
mod cards;
mod clock;
pub mod draw;
mod fit;
mod keys;
mod lane;
mod lanes;
mod layouts;
pub mod legibility;
mod measures;
mod motion;
pub mod overlay;
mod paint;
#[cfg(test)]
mod sample;
pub mod screen;
pub mod testcard;
pub mod text;
mod track;
mod tries;
pub mod view;
mod worded;
mod words;

pub use board::Board;
pub use overlay::Overlay;
pub use screen::{Background, Link, Motion, Screen, Times};
pub use testcard::TestCard;
pub use text::{Fonts, ShapedText};
pub use view::{Hole, View};
pub use words::{UnknownLanguage, Words};
