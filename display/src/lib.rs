//! Shows a heat: follows a feed, lets the scene lay out the board, and draws it with wgpu to a window or to
//! picture files.
//!
//! This package computes no rank and no result; everything that it shows stands in the feed's messages.

pub mod canvas;
pub mod cli;
pub mod clock;
pub mod connection;
pub mod gpu;
pub mod headless;
pub mod live;
pub mod moments;
pub mod pictures;
pub mod run;
pub mod sound;
pub mod still;
mod theme_table;
pub mod theme_watch;
pub mod window;
