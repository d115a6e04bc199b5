//! The stream's overlay: parts on plates of their own over nothing, inside the graphics-safe area, each shown or hidden
//! by the feed's word. Where parts stand and how large their texts are is in `places`; what each shows in its own file.
//!
//! Each part slides in from the side at which it stands and leaves the same way, cut off at its own edge, so that nothing
//! half transparent is ever to be read and nothing leaves the safe area.

mod card;
mod clock_cell;
mod corner;
mod duel;
mod floor;
mod lane_row;
mod parts;
mod places;
mod presence;
mod rail;
mod ribbon;
mod settle;
mod slots;

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{Card, Duel, OverlayShows};
use fivemark_wire::view::State;

use crate::board::paint;
use crate::cards::{self, CardFrame, CardMemory};
use crate::clock::{self, Reading};
use crate::draw::{DrawList, Rect, Rgba, Segment};
use crate::lane::{Look, Spans};
use crate::lanes::{Follow, Lanes};
use crate::layouts::{MAX_LANES, bar};
use crate::screen::{Background, Link, Motion, Screen, Times};
use crate::text::Fonts;
use crate::tries::is_holding;
use crate::view::View;
use crate::words::Words;

use floor::{Floor, Known};
use parts::{Parts, Seen};
use places::Places;
use settle::Group;
use slots::Slots;

/// Whether the board shows a card and not the heat.
fn has_card(view: &View, times: Times) -> bool {
    !matches!(view.snapshot.shows.board.at(times.feed_us.div_euclid(1000)).card, Card::Heat)
}

/// An overlay of one size.
pub struct Overlay {
    theme: Rc<LoadedTheme>,
    fonts: Fonts,
    words: Rc<Words>,
    spans: Spans,
    list: DrawList,
    ahead_us: i64,
    next_change_us: Option<i64>,
    extent: Rect,
    places: Places,
    known: Known,
    lanes: Lanes,
    parts: Parts,
    /// What is remembered of the board's cards.
    between: CardMemory,
    cards: Slots,
    rows: Slots,
    outlines: Outlines,
    buffers: Buffers,
}

struct Outlines {
    tracks: bar::Outlines,
    arrows: [Rc<Vec<Segment>>; 2],
}

/// Room to work in, kept from frame to frame.
#[derive(Default)]
struct Buffers {
    texts: Vec<String>,
    by_place: Vec<u8>,
    wanted: Vec<u8>,
    starts: Vec<f32>,
}

impl Overlay {
    /// An overlay for a picture of `size` pixels; nothing is on it.
    #[must_use]
    pub fn new(theme: Rc<LoadedTheme>, size: [u32; 2], motion: Motion) -> Overlay {
        let fonts = Fonts::new(&theme);
        let spans = Spans::new(&theme.timing, motion == Motion::Full);
        let list = DrawList { size, clear: Rgba([0; 4]), items: Vec::with_capacity(512) };
        let places = Places::new(size).with_logo(theme.logo.as_ref(), size);
        Overlay {
            theme,
            fonts,
            words: Rc::new(Words::english()),
            spans,
            list,
            ahead_us: 0,
            next_change_us: None,
            extent: Rect::default(),
            places,
            known: Known::default(),
            lanes: Lanes::default(),
            parts: Parts { moves: motion == Motion::Full, ..Parts::default() },
            between: CardMemory::new(motion),
            cards: Slots::default(),
            rows: Slots::default(),
            outlines: Outlines { tracks: bar::Outlines::default(), arrows: duel::arrows() },
            buffers: Buffers::default(),
        }
    }
}

impl Screen for Overlay {
    fn extent(&self) -> Rect {
        self.extent
    }

    fn resize(&mut self, size: [u32; 2]) {
        self.list.size = size;
        self.places = Places::new(size).with_logo(self.theme.logo.as_ref(), size);
        self.cards.clear();
        self.rows.clear();
    }

    fn set_theme(&mut self, theme: Rc<LoadedTheme>) {
        self.fonts.set_theme(&theme);
        self.spans = Spans::new(&theme.timing, self.parts.moves);
        self.lanes.restyle(&theme.colors);
        self.known.forget_names();
        self.between.restyle();
        self.places = Places::new(self.list.size).with_logo(theme.logo.as_ref(), self.list.size);
        self.theme = theme;
    }

    /// An overlay has no ground.
    fn set_background(&mut self, _: Background) {}

    /// An overlay says nothing before the first message: a stream shows no address.
    fn set_feed_address(&mut self, _: &str) {}

    fn set_words(&mut self, words: Rc<Words>) {
        self.words = words;
        self.known.forget_names();
        self.between.restyle();
    }

    fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
    }

    fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList {
        self.list.items.clear();
        let came_us = times.frame_us - self.ahead_us;
        let now_us = times.frame_us;
        let next_card_us = self.follow_card(view, times, came_us);
        let shows = view.map_or_else(OverlayShows::default, |view| view.snapshot.shows.overlay);
        self.parts.follow(shows, view.is_some_and(|view| has_card(view, times)), came_us);
        let seen = self.parts.seen(now_us);
        self.extent = seen.extent(&self.places);
        self.next_change_us = [self.next_part_us(came_us), next_card_us].into_iter().flatten().min();
        let Some(view) = view.filter(|_| seen.any()) else {
            self.lanes = Lanes::default();
            self.cards.clear();
            self.rows.clear();
            return &self.list;
        };
        let reading = Reading::of(&view.snapshot.heat, clock::end_ms(&view.snapshot), times.feed_us);
        self.follow(view, &reading, Times { frame_us: came_us, ..times }, seen);
        self.draw(view, link, &reading, now_us, seen);
        if seen.card {
            let next_us = self.draw_card(view, link, times, seen);
            self.next_change_us = [self.next_change_us, next_us].into_iter().flatten().min();
        }
        self.list.items.retain(|item| item.bounds.w > 0.0 && item.bounds.h > 0.0);
        let next_us = self.next_change(view, link, &reading, times, seen);
        self.next_change_us = [self.next_change_us, next_us].into_iter().flatten().min();
        &self.list
    }

    fn next_change_us(&self) -> Option<i64> {
        self.next_change_us
    }

    fn parts(&mut self) -> (&DrawList, &mut FontSystem) {
        (&self.list, self.fonts.system_mut())
    }
}

impl Overlay {
    /// When a part moves next, on the axis of frames. Parts come and go by the time at which messages come, which is
    /// behind that of frames where these are drawn ahead.
    fn next_part_us(&self, came_us: i64) -> Option<i64> {
        self.parts.next_us(came_us).map(|us| us + self.ahead_us)
    }

    /// Looks at the board's cards, if they are to be seen; when they next bring something by themselves.
    fn follow_card(&mut self, view: Option<&View>, times: Times, came_us: i64) -> Option<i64> {
        let view = view.filter(|view| view.snapshot.shows.overlay.card)?;
        self.between.follow(&view.snapshot.shows.board, times, came_us);
        self.between.next_us(times.frame_us)
    }

    /// Draws the board's card; when it next differs.
    fn draw_card(&mut self, view: &View, link: Link, times: Times, seen: Seen) -> Option<i64> {
        let rect = self.places.card(seen.taken());
        let turn = view.snapshot.shows.board.at(times.feed_us.div_euclid(1000));
        let journal_ok = view.snapshot.journal_ok;
        let frame = CardFrame { rect, lower: true, plate: true, turn, link, journal_ok, times };
        let words = (&mut self.fonts, &*self.words);
        let mut paint = paint(&mut self.list, words, &self.theme, &mut self.buffers.texts);
        let from = paint.items.len();
        cards::draw(&mut paint, &mut self.between, &frame);
        let items = &mut paint.items[from..];
        settle::name(items, Group::Between);
        let away = self.parts.away(&self.parts.card, rect.w, times.frame_us);
        settle::shift_and_cut(items, [-away, 0.0], rect);
        cards::next_change_us(&self.between, &frame)
    }

    /// Takes in what the view says.
    fn follow(&mut self, view: &View, reading: &Reading, times: Times, seen: Seen) {
        let shown = view.snapshot.entries.len().min(MAX_LANES);
        if !self.lanes.is_of(view) {
            self.cards.clear();
            self.rows.clear();
        }
        self.known.follow((&mut self.fonts, &self.words), view, shown);
        let (colors, spans) = (&self.theme.colors, &self.spans);
        let known = &self.known;
        self.lanes.follow(&Follow { view, reading, times, colors, spans, shown }, |entry| known.plan(entry));
        let moves = self.parts.moves;
        let Buffers { by_place, wanted, .. } = &mut self.buffers;
        let floor = Floor {
            view,
            link: Link::Live,
            reading,
            lanes: &self.lanes,
            known: &self.known,
            spans: self.spans,
            now_us: times.frame_us,
            outlines: &self.outlines.tracks,
        };
        floor.by_place(by_place);
        if seen.ribbon {
            ribbon::cells(&floor, by_place, self.places.cells(), wanted);
            self.cards.follow(wanted, (1, self.places.columns), times.frame_us, moves);
        } else {
            self.cards.clear();
        }
        if seen.rail {
            let room = self.places.rail(seen.taken());
            let (rows, _) = rail::rows(&self.places, room, by_place.len());
            self.rows.follow(&by_place[..rows], (0, MAX_LANES), times.frame_us, moves);
        } else {
            self.rows.clear();
        }
    }

    fn draw(&mut self, view: &View, link: Link, reading: &Reading, now_us: i64, seen: Seen) {
        let parts = &self.parts;
        let Buffers { texts, by_place, starts, .. } = &mut self.buffers;
        let places = &self.places;
        let floor = Floor {
            view,
            link,
            reading,
            lanes: &self.lanes,
            known: &self.known,
            spans: self.spans,
            now_us,
            outlines: &self.outlines.tracks,
        };
        let mut paint = paint(&mut self.list, (&mut self.fonts, &self.words), &self.theme, texts);
        if seen.ribbon {
            let (from, rect) = (paint.items.len(), places.ribbon());
            ribbon::draw(&mut paint, &floor, places, &mut self.cards, by_place, starts);
            settle::shift_and_cut(
                &mut paint.items[from..],
                [0.0, parts.away(&parts.ribbon, rect.h, now_us)],
                rect,
            );
        }
        if seen.rail {
            let (from, rect) = (paint.items.len(), places.rail(seen.taken()));
            rail::draw(&mut paint, &floor, (places, rect), &mut self.rows, by_place.len(), starts);
            settle::shift_and_cut(
                &mut paint.items[from..],
                [parts.away(&parts.rail, rect.w, now_us), 0.0],
                rect,
            );
        }
        if seen.corner {
            let (from, rect) = (paint.items.len(), places.corner_and_logo());
            corner::draw(&mut paint, &floor, places, by_place);
            settle::shift_and_cut(
                &mut paint.items[from..],
                [-parts.away(&parts.corner, rect.w, now_us), 0.0],
                rect,
            );
        }
        if let Some(Duel { left, right }) = parts.duelists.filter(|_| seen.duel)
            && let (Some(left), Some(right)) = (floor.lane(left), floor.lane(right))
            && left.look != Look::Empty
            && right.look != Look::Empty
        {
            let (from, rect) = (paint.items.len(), places.duel(parts.ribbon.share(now_us, parts.moves)));
            duel::draw(&mut paint, &floor, (&left, &right), rect, places.unit, &self.outlines.arrows);
            settle::shift_and_cut(
                &mut paint.items[from..],
                [0.0, parts.away(&parts.duel, rect.h, now_us)],
                rect,
            );
        }
    }

    fn next_change(
        &self,
        view: &View,
        link: Link,
        reading: &Reading,
        times: Times,
        seen: Seen,
    ) -> Option<i64> {
        let now_us = times.frame_us;
        if !seen.heat() {
            return None;
        }
        let moving =
            self.lanes.moves(&self.spans, now_us) || self.cards.moves(now_us) || self.rows.moves(now_us);
        if moving {
            return Some(now_us);
        }
        let heat = &view.snapshot.heat;
        // Without a clock only what the clock alone brings is waited for: the start, lanes that start later, and holds.
        let begins = heat.state == State::Countdown
            || view.snapshot.entries.iter().any(|entry| entry.start_ms > reading.elapsed_tenths * 100);
        let holds = view.snapshot.lanes.iter().any(is_holding);
        let clock = reading.next_frame_us(times).filter(|_| seen.clock() || begins || holds);
        let age = link.next_age_us(now_us).filter(|_| seen.clock());
        let finish_us = ribbon::next_us(&self.lanes, now_us - self.ahead_us).filter(|_| seen.ribbon);
        let finish = finish_us.map(|us| us + self.ahead_us);
        let tags = self.lanes.next_tag_us(&self.spans, now_us);
        [clock, age, finish, tags].into_iter().flatten().min()
    }
}

#[cfg(test)]
mod tests;
