//! What is shown now: takes the latest state, has the picture laid out, says when to draw next, and takes picture
//! files at their moments. Where the canvas goes is left to the outputs.

use std::rc::Rc;

use fivemark_scene::draw::{DrawList, Rect};
use fivemark_scene::{Background, Link, Screen, Times, Words};
use fivemark_wire::view::State;

use crate::clock::{Forward, MonoClock};
use crate::connection::Shared;
use crate::gpu::{GpuError, Renderer};
use crate::moments::{Moment, Moments};
use crate::pictures::PictureWriter;
use crate::theme_watch::ThemeWatch;

/// What a picture follows.
pub struct Followed<'a> {
    /// What the connection keeps current.
    pub shared: Shared,
    /// The connection's clock.
    pub clock: MonoClock,
    /// The feed in words.
    pub feed: &'a str,
}

/// A picture that follows the shared state.
pub struct LivePicture {
    screen: Box<dyn Screen>,
    size: [u32; 2],
    shared: Shared,
    clock: MonoClock,
    forward: Forward,
    moments: Moments,
    pictures: Option<PictureWriter>,
    theme: Option<ThemeWatch>,
    feed: String,
    frame_us: i64,
    /// How far ahead of now frames are drawn, microseconds.
    ahead_us: i64,
    provisional: bool,
}

impl LivePicture {
    /// Has `screen`, which is laid out for `size` pixels, follow what is known. With a picture writer, pictures are
    /// taken at the moments.
    #[must_use]
    pub fn new(
        screen: Box<dyn Screen>,
        size: [u32; 2],
        followed: Followed<'_>,
        pictures: Option<PictureWriter>,
    ) -> Self {
        let Followed { shared, clock, feed } = followed;
        Self {
            screen,
            size,
            shared,
            clock,
            forward: Forward::default(),
            moments: Moments::default(),
            pictures,
            theme: None,
            feed: feed.to_owned(),
            frame_us: 0,
            ahead_us: 0,
            provisional: false,
        }
    }

    /// Width and height, pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        self.size
    }

    /// Changes the size, pixels.
    pub fn resize(&mut self, size: [u32; 2]) {
        self.size = size;
        self.screen.resize(size);
    }

    /// Changes what lies behind the picture.
    pub fn set_background(&mut self, background: Background) {
        self.screen.set_background(background);
    }

    /// Changes the language.
    pub fn set_words(&mut self, words: Rc<Words>) {
        self.screen.set_words(words);
    }

    /// Draws the clock and all motion as they will be this many microseconds from now, for a wall that shows late.
    pub fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
        self.screen.set_ahead_us(ahead_us);
    }

    /// Takes the theme from this watch whenever it has another.
    pub fn follow_theme(&mut self, theme: Option<ThemeWatch>) {
        self.theme = theme;
    }

    /// Lays the next frame out. Pictures of moments that are over are taken from the canvas first.
    ///
    /// # Errors
    /// The device was lost.
    pub fn compose(&mut self, renderer: &Renderer) -> Result<(), GpuError> {
        if let Some(theme) = self.theme.as_ref().and_then(ThemeWatch::take) {
            self.screen.set_theme(Rc::new(theme));
        }
        let now_us = self.clock.now_us();
        self.frame_us = now_us + self.ahead_us;
        let mut missed = Vec::new();
        {
            let known = self.shared.lock();
            let speed_milli = known.clock.speed_milli();
            let shown_us = known.shown_us(now_us);
            let link = known.link(shown_us);
            let feed_us = match link {
                // A board that hears nothing does not know whether the heat still runs, but the clock on the
                // floor does not stop for a broken cable either: it goes on, marked with its age.
                Link::Live | Link::Lost { .. } => {
                    self.forward.show(known.clock.feed_us(shown_us + self.ahead_us))
                }
                Link::Never => 0,
            };
            if link == Link::Never {
                // A wrong key is for the staff to see where they look first: on the screen itself.
                let refusal = known.trouble.as_deref().filter(|_| known.refused);
                self.screen.set_feed_address(refusal.unwrap_or(&self.feed));
            }
            if let Some(view) = &known.view {
                if self.pictures.is_some() {
                    missed = self.moments.look(view, feed_us, speed_milli, now_us);
                }
                self.provisional = matches!(view.snapshot.heat.state, State::Provisional | State::Signed);
            }
            let times = Times { feed_us, frame_us: self.frame_us, speed_milli };
            self.screen.frame(known.view.as_ref(), link, times);
        }
        self.take_pictures(renderer, &missed)
    }

    /// The frame that was laid out, and the fonts to draw it with.
    pub fn parts(&mut self) -> (&DrawList, &mut cosmic_text::FontSystem) {
        self.screen.parts()
    }

    /// Where the picture may be painted at all, as it stands now; the rest of it is clear.
    #[must_use]
    pub fn extent(&self) -> Rect {
        self.screen.extent()
    }

    /// Takes the pictures that are due, from the frame that was just drawn.
    ///
    /// # Errors
    /// The device was lost.
    pub fn after_frame(&mut self, renderer: &Renderer) -> Result<(), GpuError> {
        let still = self.screen.next_change_us().is_none_or(|at_us| at_us > self.frame_us);
        let due = self.moments.due(self.frame_us - self.ahead_us, still);
        self.take_pictures(renderer, &due)
    }

    fn take_pictures(&self, renderer: &Renderer, moments: &[Moment]) -> Result<(), GpuError> {
        let Some(pictures) = &self.pictures else { return Ok(()) };
        for moment in moments {
            pictures.write(moment.file_name(), renderer.pixels()?);
        }
        Ok(())
    }

    /// When to draw next if no message comes, microseconds of the display's clock; a time that has passed means
    /// at once. None: not before a message.
    #[must_use]
    pub fn next_frame_us(&self) -> Option<i64> {
        let change_us = self.screen.next_change_us().map(|at_us| at_us - self.ahead_us);
        let times = [change_us, self.moments.next_due_us()];
        times.into_iter().flatten().min()
    }

    /// The heat is provisional and its last picture is taken.
    #[must_use]
    pub fn is_provisional(&self) -> bool {
        self.provisional && (self.pictures.is_none() || self.moments.is_taken(Moment::Provisional))
    }
}
