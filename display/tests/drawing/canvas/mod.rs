//! The canvas feed against pages that the test plays: what they show is the canvas pixel by pixel, whatever their
//! pace and number, and only those are served that may be.

mod crowd;
mod frames;
mod guests;
mod page;
mod stage;

pub use stage::{LONG, scene};
