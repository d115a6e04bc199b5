//! The program as a whole: against a feed that the test plays, in a window on a screen that the test starts, and
//! on a machine without any graphics.

mod card;
mod delay;
mod feed;
mod fit;
mod follow;
mod heat;
mod live;
mod machine;
mod moments;
mod monitors;
mod rates;
mod replay;
mod screen;
mod screens;
mod sound;
mod support;
mod theme;
mod window;
