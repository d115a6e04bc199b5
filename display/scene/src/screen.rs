//! What every picture that can be shown has in common: it is laid out for a size, follows the view and the times, gives
//! a draw list, and says when the next frame is due. What it shows is left to each.

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;

use crate::draw::{DrawList, Rect};
use crate::view::View;
use crate::words::Words;

/// A picture that follows a heat.
pub trait Screen {
    /// The picture now. Times must not go back from call to call on the frame axis.
    fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList;

    /// When the picture will next differ if no message comes, on the axis of `Times::frame_us`. A time that is
    /// not after the last frame's means that something moves: draw the next frame as soon as the output takes it.
    /// None: it will not differ.
    #[must_use]
    fn next_change_us(&self) -> Option<i64>;

    /// The last frame's draw list together with the fonts that it was shaped with, for the glyph rasteriser.
    fn parts(&mut self) -> (&DrawList, &mut FontSystem);

    /// A rectangle outside of which nothing of this picture is painted as it is now, pixels: all of it for a picture
    /// with a ground, the parts that are on or leaving for an overlay; without width when nothing is on. It holds for
    /// the last frame and for those up to the next message.
    fn extent(&self) -> Rect;

    /// Changes the size, pixels.
    fn resize(&mut self, size: [u32; 2]);

    /// Changes the theme. The view, what is remembered of the lanes and what is under way stay; the next frame has
    /// the new theme's colours, fonts, measures and durations everywhere.
    fn set_theme(&mut self, theme: Rc<LoadedTheme>);

    /// Changes what lies behind the picture.
    fn set_background(&mut self, background: Background);

    /// Says which feed is waited for, in words for the first screen.
    fn set_feed_address(&mut self, address: &str);

    /// Changes the language; the next frame has its words everywhere.
    fn set_words(&mut self, words: Rc<Words>);

    /// Says how far ahead of now frames are drawn, microseconds, so that what a message changes has been moving for
    /// that long when it is first seen.
    fn set_ahead_us(&mut self, ahead_us: i64);
}

/// The two clocks of a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Times {
    /// Estimated time of the feed, microseconds: the axis of the heat's clock.
    pub feed_us: i64,
    /// The display's own monotonic time, microseconds: the axis of motion and of
    /// [`Screen::next_change_us`].
    pub frame_us: i64,
    /// How fast feed time runs against frame time, thousandths.
    pub speed_milli: u32,
}

/// How the display stands to the feed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// Messages come.
    Live,
    /// None come any more; what is shown is this old.
    Lost {
        /// Age of what is shown, milliseconds.
        age_ms: i64,
    },
    /// None has come yet.
    Never,
}

impl Link {
    /// When the age that is shown next differs, if no message comes.
    pub(crate) fn next_age_us(self, now_us: i64) -> Option<i64> {
        match self {
            Link::Lost { age_ms } => {
                let step_ms = if age_ms < 100_000 { 1_000 } else { 60_000 };
                Some(now_us + (step_ms - age_ms.rem_euclid(step_ms)) * 1000)
            }
            Link::Live | Link::Never => None,
        }
    }
}

/// Whether things move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// As the theme says.
    Full,
    /// Nothing moves but the clock.
    Reduced,
}

/// What lies behind a board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Background {
    /// The theme's own ground.
    #[default]
    Theme,
    /// Nothing: the picture is transparent where the board has no plate of its own. Everything that is to be read
    /// stands on one.
    Clear,
}

/// Speed of feed time in thousandths; 0 would mean that it stands, which no feed says.
pub(crate) fn speed(times: Times) -> u32 {
    times.speed_milli.max(1)
}
