//! Shows a heat: follows a feed, lets the scene lay out pictures, draws them with wgpu, and brings them to windows,
//! pages, pipes and picture files.
//!
//! This package computes no rank and no result; everything that it shows stands in the feed's messages.

pub mod canvas;
pub mod cli;
pub mod clock;
pub mod connection;
pub mod excerpt;
mod fit_table;
pub mod frames;
pub mod gpu;
pub mod live;
pub mod moments;
pub mod pictures;
pub mod plan;
pub mod readback;
pub mod replay;
pub mod run;
pub mod sound;
pub mod stage;
pub mod still;
mod theme_table;
pub mod theme_watch;
pub mod voice;
pub mod window;
