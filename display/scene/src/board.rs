//! The board: from the view, the link and the times to a frame's draw list, and when the next one is due.

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;

use crate::draw::{DrawList, Rgba};
use crate::text::Fonts;
use crate::view::View;

/// The two clocks of a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Times {
    /// Estimated time of the feed, microseconds: the axis of the heat's clock.
    pub feed_us: i64,
    /// The display's own monotonic time, microseconds: the axis of motion and of
    /// [`Board::next_change_us`].
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

/// Whether things move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// As the theme says.
    Full,
    /// Nothing moves but the clock.
    Reduced,
}

/// A board of one size in one theme.
pub struct Board {
    theme: Rc<LoadedTheme>,
    fonts: Fonts,
    motion: Motion,
    feed_address: String,
    list: DrawList,
    next_change_us: Option<i64>,
}

impl Board {
    /// A board of `size` pixels.
    #[must_use]
    pub fn new(theme: Rc<LoadedTheme>, size: [u32; 2], motion: Motion) -> Board {
        let fonts = Fonts::new(&theme);
        let list = DrawList { size, clear: Rgba(theme.colors.background.0), items: Vec::with_capacity(1024) };
        Board { theme, fonts, motion, feed_address: String::new(), list, next_change_us: None }
    }

    /// Changes the size, pixels.
    pub fn resize(&mut self, size: [u32; 2]) {
        self.list.size = size;
    }

    /// Says which feed is waited for, in words for the first screen.
    pub fn set_feed_address(&mut self, address: &str) {
        address.clone_into(&mut self.feed_address);
    }

    /// The picture now. Times must not go back from call to call on the frame axis.
    pub fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList {
        let _ = (view, link, times, self.motion, &self.theme);
        &self.list
    }

    /// When the picture will next differ if no message comes, on the axis of `Times::frame_us`. A time that is
    /// not after the last frame's means that something moves: draw the next frame as soon as the output takes it.
    /// None: it will not differ.
    #[must_use]
    pub fn next_change_us(&self) -> Option<i64> {
        self.next_change_us
    }

    /// The fonts, for the glyph rasteriser.
    pub fn font_system(&mut self) -> &mut FontSystem {
        self.fonts.system_mut()
    }

    /// The last frame's draw list together with the fonts that it was shaped with.
    pub fn parts(&mut self) -> (&DrawList, &mut FontSystem) {
        (&self.list, self.fonts.system_mut())
    }
}
