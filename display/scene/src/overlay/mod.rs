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
mod places;
mod presence;
mod rail;
mod ribbon;
mod settle;
mod slots;

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{Duel, OverlayShows};
use fivemark_wire::view::State;

use crate::clock::{self, Reading};
use crate::draw::{DrawList, Rect, Rgba, Segment};
use crate::lane::{Look, Spans};
use crate::lanes::{Follow, Lanes};
use crate::layouts::{MAX_LANES, bar};
use crate::paint::Paint;
use crate::screen::{Background, Link, Motion, Screen, Times};
use crate::text::Fonts;
use crate::view::View;
use crate::words::Words;

use floor::{Floor, Known};
use places::{Places, Taken};
use presence::Presence;
use slots::Slots;

/// An overlay of one size.
pub struct Overlay {
    theme: Rc<LoadedTheme>,
    motion: Motion,
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
    ribbon: Presence,
    rail: Presence,
    corner: Presence,
    duel: Presence,
    /// The two that are seen, which stay until the duel has left.
    duelists: Option<Duel>,
    cards: Slots,
    rows: Slots,
    outlines: Outlines,
    buffers: Buffers,
}

struct Outlines {
    notch: Rc<Vec<Segment>>,
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
        Overlay {
            theme,
            motion,
            fonts,
            words: Rc::new(Words::english()),
            spans,
            list,
            ahead_us: 0,
            next_change_us: None,
            extent: Rect::default(),
            places: Places::new(size),
            known: Known::default(),
            lanes: Lanes::default(),
            ribbon: Presence::default(),
            rail: Presence::default(),
            corner: Presence::default(),
            duel: Presence::default(),
            duelists: None,
            cards: Slots::default(),
            rows: Slots::default(),
            outlines: Outlines { notch: bar::notch_outline(), arrows: duel::arrows() },
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
        self.places = Places::new(size);
        self.cards.clear();
        self.rows.clear();
    }

    fn set_theme(&mut self, theme: Rc<LoadedTheme>) {
        self.fonts.set_theme(&theme);
        self.spans = Spans::new(&theme.timing, self.moves());
        self.lanes.restyle(&theme.colors);
        self.known.forget_names();
        self.theme = theme;
    }

    /// An overlay has no ground.
    fn set_background(&mut self, _: Background) {}

    /// An overlay says nothing before the first message: a stream shows no address.
    fn set_feed_address(&mut self, _: &str) {}

    fn set_words(&mut self, words: Rc<Words>) {
        self.words = words;
        self.known.forget_names();
    }

    fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
    }

    fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList {
        self.list.items.clear();
        let came_us = times.frame_us - self.ahead_us;
        self.follow_parts(view, came_us);
        let now_us = times.frame_us;
        let seen = self.taken_at(now_us);
        self.extent = self.extent_of(seen);
        self.next_change_us = self.next_part_us(now_us);
        let Some(view) = view.filter(|_| seen.any()) else {
            self.lanes = Lanes::default();
            self.cards.clear();
            self.rows.clear();
            return &self.list;
        };
        let reading = Reading::of(&view.snapshot.heat, clock::end_ms(&view.snapshot), times.feed_us);
        self.follow(view, &reading, Times { frame_us: came_us, ..times }, seen);
        self.draw(view, link, &reading, now_us, seen);
        self.next_change_us = self.next_change(view, link, &reading, times, seen);
        &self.list
    }

    fn next_change_us(&self) -> Option<i64> {
        self.next_change_us
    }

    fn parts(&mut self) -> (&DrawList, &mut FontSystem) {
        (&self.list, self.fonts.system_mut())
    }
}

/// Which parts are on or leaving.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Seen {
    ribbon: bool,
    rail: bool,
    corner: bool,
    duel: bool,
}

impl Seen {
    fn any(self) -> bool {
        self.ribbon || self.rail || self.corner || self.duel
    }

    fn taken(self) -> Taken {
        Taken { ribbon: self.ribbon, duel: self.duel }
    }
}

impl Overlay {
    fn moves(&self) -> bool {
        self.motion == Motion::Full
    }

    /// Parts come in and leave.
    fn follow_parts(&mut self, view: Option<&View>, now_us: i64) {
        let parts = view.map_or_else(OverlayShows::default, |view| view.snapshot.shows.overlay);
        let moves = self.moves();
        // Other two come in when those before have left.
        if !self.duel.is_seen(now_us, moves) {
            self.duelists = parts.duel;
        }
        let duel = parts.duel.is_some_and(|duel| self.duelists == Some(duel) && duel.left != duel.right);
        self.ribbon.follow(parts.ribbon, now_us);
        self.rail.follow(parts.rail, now_us);
        self.corner.follow(parts.corner, now_us);
        self.duel.follow(duel, now_us);
    }

    fn taken_at(&self, now_us: i64) -> Seen {
        let seen = |part: &Presence| part.is_seen(now_us, self.moves());
        Seen {
            ribbon: seen(&self.ribbon),
            rail: seen(&self.rail),
            corner: seen(&self.corner),
            duel: seen(&self.duel),
        }
    }

    fn extent_of(&self, seen: Seen) -> Rect {
        let places = &self.places;
        let mut extent = Rect::default();
        let mut add = |on: bool, rect: Rect| {
            if on {
                extent = settle::around(extent, rect);
            }
        };
        add(seen.ribbon, places.ribbon());
        add(seen.rail, places.rail(seen.taken()));
        add(seen.corner, places.corner());
        // It rises and sinks with the ribbon.
        add(seen.duel, places.duel(0.0));
        add(seen.duel && seen.ribbon, places.duel(1.0));
        extent
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
        let moves = self.moves();
        let Buffers { by_place, wanted, .. } = &mut self.buffers;
        let floor = Floor {
            view,
            link: Link::Live,
            reading,
            lanes: &self.lanes,
            known: &self.known,
            spans: self.spans,
            now_us: times.frame_us,
            notch_outline: &self.outlines.notch,
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
        let moves = self.moves();
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
            notch_outline: &self.outlines.notch,
        };
        let theme = &self.theme;
        let mut paint = Paint {
            items: &mut self.list.items,
            fonts: &mut self.fonts,
            colors: &theme.colors,
            form: &theme.form,
            words: &self.words,
            texts,
        };
        let share = |part: &Presence| part.share(now_us, moves);
        // How far a part that is this long is from its place.
        let away = |part: &Presence, length: f32| ((1.0 - share(part)) * (length + 1.0)).round();
        if seen.ribbon {
            let (from, rect) = (paint.items.len(), places.ribbon());
            ribbon::draw(&mut paint, &floor, places, &mut self.cards, by_place, starts);
            settle::shift_and_cut(&mut paint.items[from..], [0.0, away(&self.ribbon, rect.h)], rect);
        }
        if seen.rail {
            let (from, rect) = (paint.items.len(), places.rail(seen.taken()));
            rail::draw(&mut paint, &floor, (places, rect), &mut self.rows, by_place.len(), starts);
            settle::shift_and_cut(&mut paint.items[from..], [away(&self.rail, rect.w), 0.0], rect);
        }
        if seen.corner {
            let (from, rect) = (paint.items.len(), places.corner());
            corner::draw(&mut paint, &floor, places, by_place);
            settle::shift_and_cut(&mut paint.items[from..], [-away(&self.corner, rect.w), 0.0], rect);
        }
        if let Some(Duel { left, right }) = self.duelists.filter(|_| seen.duel)
            && let (Some(left), Some(right)) = (floor.lane(left), floor.lane(right))
            && left.look != Look::Empty
            && right.look != Look::Empty
        {
            let (from, rect) = (paint.items.len(), places.duel(share(&self.ribbon)));
            duel::draw(&mut paint, &floor, (&left, &right), rect, places.unit, &self.outlines.arrows);
            settle::shift_and_cut(&mut paint.items[from..], [0.0, away(&self.duel, rect.h)], rect);
        }
        self.list.items.retain(|item| item.bounds.w > 0.0 && item.bounds.h > 0.0);
    }

    /// When a part moves next, whatever the heat does.
    fn next_part_us(&self, now_us: i64) -> Option<i64> {
        let parts = [&self.ribbon, &self.rail, &self.corner, &self.duel];
        parts.iter().filter_map(|part| part.next_us(now_us, self.moves())).min()
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
        let moving =
            self.lanes.moves(&self.spans, now_us) || self.cards.moves(now_us) || self.rows.moves(now_us);
        if moving {
            return Some(now_us);
        }
        let clock_is_seen = seen.ribbon || seen.corner;
        let heat = &view.snapshot.heat;
        // Without a clock only what the clock alone brings is waited for: the start, and lanes that start later.
        let begins = heat.state == State::Countdown
            || view.snapshot.entries.iter().any(|entry| entry.start_ms > reading.elapsed_tenths * 100);
        let clock = reading.next_frame_us(times).filter(|_| clock_is_seen || begins);
        let age = link.next_age_us(now_us).filter(|_| clock_is_seen);
        let finish = ribbon::next_us(&self.lanes, now_us).filter(|_| seen.ribbon);
        let tags = self.lanes.next_tag_us(&self.spans, now_us);
        [self.next_part_us(now_us), clock, age, finish, tags].into_iter().flatten().min()
    }
}

#[cfg(test)]
mod tests;
