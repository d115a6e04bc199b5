//! The test card, for placing and checking a wall: a grid of squares and a circle that show any stretch, a line one
//! pixel wide along each edge and an arrow in each corner that show any cut, the safe areas, every text of the board at
//! its true height, the states of lanes with their colours and patterns, steps of grey, and the feed's time running.
//!
//! At the right end below stands a code that changes with the feed's time, by which a camera measures how late the wall
//! is ([`TestCard::code_area`]). Where a text has no room at its true height, it stands without its name, or is left
//! out: it is never shown smaller than on the board.

mod code;
mod plan;
mod signs;

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;

use crate::board::{ground, paint, whole};
use crate::clock;
use crate::draw::{DrawList, Item, Layer, Rect, Segment};
use crate::layouts::{Content, Layout, MAX_LANES};
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::screen::{Background, Link, Screen, Times, speed};
use crate::text::{Fonts, Style};
use crate::view::View;
use crate::words::{self, Words};

use code::TimeCode;
use plan::Plan;

const TENTH_US: i64 = 100_000;

/// A test card of one size.
pub struct TestCard {
    theme: Rc<LoadedTheme>,
    words: Rc<Words>,
    background: Background,
    fonts: Fonts,
    list: DrawList,
    texts: Vec<String>,
    corners: [Rc<Vec<Segment>>; 4],
    name: String,
    lanes: usize,
    plan: Plan,
    code: TimeCode,
    ahead_us: i64,
    /// Everything but the time and its code; empty when it has to be made anew.
    fixed: Vec<Item>,
    next_change_us: Option<i64>,
}

impl TestCard {
    /// A test card of `size` pixels, for a board of ten lanes.
    #[must_use]
    pub fn new(theme: Rc<LoadedTheme>, size: [u32; 2]) -> TestCard {
        let clear = ground(&theme, Background::Theme);
        TestCard {
            fonts: Fonts::new(&theme),
            theme,
            words: Rc::new(Words::english()),
            background: Background::Theme,
            list: DrawList { size, clear, items: Vec::with_capacity(1024) },
            texts: Vec::new(),
            corners: plan::corners(),
            name: String::new(),
            lanes: 10,
            plan: Plan::new(size),
            code: TimeCode::default(),
            ahead_us: 0,
            fixed: Vec::new(),
            next_change_us: None,
        }
    }

    /// Names the output that shows it.
    pub fn set_name(&mut self, name: &str) {
        name.clone_into(&mut self.name);
        self.code.forget();
        self.fixed.clear();
    }

    /// Shows the texts of a board of this many lanes, 1 to 40.
    pub fn set_lanes(&mut self, lanes: usize) {
        self.lanes = lanes.clamp(1, MAX_LANES);
        self.fixed.clear();
    }

    /// The square in which the time code stands, its quiet zone included.
    #[must_use]
    pub fn code_area(&self) -> Rect {
        self.plan.code
    }

    /// Makes everything but the time and its code.
    fn make(&mut self) {
        let content = Content { lanes: self.lanes, ..Content::default() };
        let layout = Layout::new(self.list.size, content, &self.theme.form);
        self.list.items.clear();
        let mut paint = paint(&mut self.list, (&mut self.fonts, &self.words), &self.theme, &mut self.texts);
        signs::lines(&mut paint, &self.plan, &self.corners);
        signs::samples(&mut paint, &self.plan, &layout);
        signs::states(&mut paint, &self.plan);
        title(&mut paint, &self.plan, &self.name, &self.theme.name);
        self.fixed.clone_from(&self.list.items);
    }
}

impl Screen for TestCard {
    fn frame(&mut self, _: Option<&View>, link: Link, times: Times) -> &DrawList {
        if self.fixed.is_empty() {
            self.make();
        }
        self.list.items.clear();
        self.list.items.extend(self.fixed.iter().cloned());
        let mut paint = paint(&mut self.list, (&mut self.fonts, &self.words), &self.theme, &mut self.texts);
        time(&mut paint, &self.plan, link, times);
        let speed = i64::from(speed(times));
        // Without a feed there is no time to tell.
        if link != Link::Never {
            self.code.set(times.feed_us, speed, self.ahead_us, &self.name);
            self.code.draw(&mut paint, self.plan.code);
        }
        let left_us = |step_us: i64| step_us - times.feed_us.rem_euclid(step_us);
        let to_next_us = left_us(TENTH_US).min(left_us(code::step_us(speed)));
        // Rounded up, so that the new figure is there when the frame is drawn.
        let next_us = times.frame_us.saturating_add((to_next_us * 1000 + speed - 1) / speed);
        self.next_change_us = (link != Link::Never).then_some(next_us);
        &self.list
    }

    fn next_change_us(&self) -> Option<i64> {
        self.next_change_us
    }

    fn parts(&mut self) -> (&DrawList, &mut FontSystem) {
        (&self.list, self.fonts.system_mut())
    }

    fn extent(&self) -> Rect {
        whole(self.list.size)
    }

    fn resize(&mut self, size: [u32; 2]) {
        self.list.size = size;
        self.plan = Plan::new(size);
        self.fixed.clear();
    }

    fn set_theme(&mut self, theme: Rc<LoadedTheme>) {
        self.fonts.set_theme(&theme);
        self.list.clear = ground(&theme, self.background);
        self.theme = theme;
        self.fixed.clear();
    }

    fn set_background(&mut self, background: Background) {
        self.background = background;
        self.list.clear = ground(&self.theme, background);
    }

    /// The card says whether the feed is heard, not where it is looked for.
    fn set_feed_address(&mut self, _: &str) {}

    fn set_words(&mut self, words: Rc<Words>) {
        self.words = words;
        self.fixed.clear();
    }

    /// Nothing moves but the clock, whose times are ahead already; the code says by how much.
    fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
        self.code.forget();
    }
}

/// The output's name, the size and the theme, in one line.
fn title(paint: &mut Paint<'_>, plan: &Plan, name: &str, theme: &str) {
    let mut text = paint.take_text();
    paint.words.test_card(&mut text, name, plan.size, theme);
    let width = plan.header.w - time_width(paint, plan) - plan.text * 2.0;
    signs::line(paint, (plan.header, width), plan.text * 1.2, &text);
    paint.give_back(text);
}

/// Room for the time: hours of two figures.
fn time_width(paint: &mut Paint<'_>, plan: &Plan) -> f32 {
    paint.figures_width("00:00:00.0", time_ink(paint, plan))
}

fn time_ink(paint: &Paint<'_>, plan: &Plan) -> Ink {
    Ink { style: Style::Figures, cap_height: plan.text * 1.2, color: paint.colors.text }
}

/// The feed's time, at the right end of the header.
fn time(paint: &mut Paint<'_>, plan: &Plan, link: Link, times: Times) {
    let (ink, room) = (time_ink(paint, plan), time_width(paint, plan));
    let header = plan.header;
    let plate = Rect { x: header.x + header.w - room, w: room, h: ink.cap_height * 1.6, ..header };
    paint.rect(key(0, Kind::Plate, 1), Layer::Ground, plate, 0.0, paint.colors.background);
    let baseline = (header.y + ink.cap_height * 1.2).round();
    let at = At { x: header.x + header.w, baseline, align: Align::Right };
    if link == Link::Never {
        let words = paint.words.get(words::WAITING);
        signs::line_at(paint, words, (room, plan.text * 0.7), at);
        return;
    }
    let mut text = paint.take_text();
    clock::write_tenths(&mut text, times.feed_us.max(0) / TENTH_US % 3_600_000, '.');
    paint.figures(0, Kind::Clock, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

#[cfg(test)]
mod tests;
