//! The board: from the view, the link and the times to a frame's draw list, and when the next one is due.

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::Card;
use fivemark_wire::view::State;

use crate::backdrop;
use crate::cards::{self, CardFrame, CardMemory};
use crate::clock::{self, Reading};
use crate::draw::{DrawList, Rect, Rgba};
use crate::lane::{Look, Spans};
use crate::lanes::{Follow, Lanes, begun, lane_begun, leads, runs_again, stands};
use crate::layouts::bar::Outlines;
use crate::layouts::header::Header;
use crate::layouts::row::{self, Row};
use crate::layouts::{MAX_LANES, header, over};
use crate::measures::Measures;
use crate::paint::Paint;
use crate::screen::{Background, Link, Motion, Screen, Times};
use crate::text::Fonts;
use crate::tries::Trying;
use crate::view::View;
use crate::words::Words;

/// A board of one size.
pub struct Board {
    theme: Rc<LoadedTheme>,
    motion: Motion,
    background: Background,
    fonts: Fonts,
    words: Rc<Words>,
    spans: Spans,
    feed_address: String,
    list: DrawList,
    ahead_us: i64,
    next_change_us: Option<i64>,
    measures: Measures,
    outlines: Outlines,
    lanes: Lanes,
    cards: CardMemory,
    /// Texts to write in.
    texts: Vec<String>,
}

impl Board {
    /// A board of `size` pixels.
    #[must_use]
    pub fn new(theme: Rc<LoadedTheme>, size: [u32; 2], motion: Motion) -> Board {
        let fonts = Fonts::new(&theme);
        let clear = ground(&theme, Background::Theme);
        let list = DrawList { size, clear, items: Vec::with_capacity(1024) };
        let measures = Measures::new(size, &theme.form);
        let spans = Spans::new(&theme.timing, motion == Motion::Full);
        Board {
            theme,
            motion,
            background: Background::Theme,
            fonts,
            words: Rc::new(Words::english()),
            spans,
            feed_address: String::new(),
            list,
            ahead_us: 0,
            next_change_us: None,
            measures,
            outlines: Outlines::default(),
            lanes: Lanes::default(),
            cards: CardMemory::new(motion),
            texts: Vec::new(),
        }
    }
}

impl Screen for Board {
    fn extent(&self) -> Rect {
        whole(self.list.size)
    }

    fn resize(&mut self, size: [u32; 2]) {
        self.list.size = size;
        self.measures = Measures::new(size, &self.theme.form);
        self.cards.restyle();
    }

    fn set_theme(&mut self, theme: Rc<LoadedTheme>) {
        self.fonts.set_theme(&theme);
        self.spans = Spans::new(&theme.timing, self.motion == Motion::Full);
        self.lanes.restyle(&theme.colors);
        self.list.clear = ground(&theme, self.background);
        self.theme = theme;
        self.resize(self.list.size);
    }

    fn set_background(&mut self, background: Background) {
        self.background = background;
        self.list.clear = ground(&self.theme, background);
    }

    fn set_feed_address(&mut self, address: &str) {
        address.clone_into(&mut self.feed_address);
    }

    fn set_words(&mut self, words: Rc<Words>) {
        self.words = words;
        self.lanes.restyle(&self.theme.colors);
        self.resize(self.list.size);
    }

    fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
    }

    fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList {
        self.list.items.clear();
        if let Some(backdrop) = backdrop::of(&self.theme, self.background) {
            backdrop::push(&mut self.list, backdrop);
        }
        let behind = self.list.items.len();
        match view {
            None => {
                self.next_change_us = None;
                let plate = self.background == Background::Clear;
                let mut paint =
                    paint(&mut self.list, (&mut self.fonts, &self.words), &self.theme, &mut self.texts);
                if plate {
                    over::waiting_plate(&mut paint, &self.measures.layout);
                }
                over::waiting(&mut paint, &self.measures.layout, &self.feed_address);
            }
            Some(view) => {
                let reading = Reading::of(&view.snapshot.heat, clock::end_ms(&view.snapshot), times.feed_us);
                let came = Times { frame_us: times.frame_us - self.ahead_us, ..times };
                self.follow(view, &reading, came);
                let program = &view.snapshot.shows.board;
                self.cards.follow(program, times, came.frame_us);
                let turn = program.at(times.feed_us.div_euclid(1000));
                let next = if matches!(turn.card, Card::Heat) {
                    self.draw(view, link, &reading, times.frame_us);
                    cards::fade(&mut self.list.items[behind..], self.cards.share_at(times.frame_us));
                    self.next_change(link, &reading, times)
                } else {
                    let frame = CardFrame {
                        rect: whole(self.list.size),
                        lower: false,
                        plate: self.background == Background::Clear,
                        turn,
                        link,
                        journal_ok: view.snapshot.journal_ok,
                        times,
                    };
                    let words = (&mut self.fonts, &*self.words);
                    let mut paint = paint(&mut self.list, words, &self.theme, &mut self.texts);
                    cards::draw(&mut paint, &mut self.cards, &frame);
                    cards::next_change_us(&self.cards, &frame)
                };
                self.next_change_us = [next, self.cards.next_us(times.frame_us)].into_iter().flatten().min();
            }
        }
        &self.list
    }

    fn next_change_us(&self) -> Option<i64> {
        self.next_change_us
    }

    fn parts(&mut self) -> (&DrawList, &mut FontSystem) {
        (&self.list, self.fonts.system_mut())
    }
}

impl Board {
    /// Takes in what the view says: targets for what moves, and no-reps that came.
    fn follow(&mut self, view: &View, reading: &Reading, times: Times) {
        let snapshot = &view.snapshot;
        let shown = snapshot.entries.len().min(MAX_LANES);
        self.measures.follow((&mut self.fonts, &self.words), snapshot, shown, &self.theme.form);
        let colors = &self.theme.colors;
        let spans = &self.spans;
        let measures = &self.measures;
        let follow = Follow { view, reading, times, colors, spans, shown };
        self.lanes.follow(&follow, |entry| measures.plan(entry));
    }

    fn draw(&mut self, view: &View, link: Link, reading: &Reading, now_us: i64) {
        let heat = &view.snapshot.heat;
        let first = self.lanes.list.iter().find(|(lane, _)| leads(heat, *lane));
        let notch = first.map(|(_, memory)| (memory.head.place(now_us), memory.round()));
        let before = !begun(heat, reading);
        let under_way =
            matches!(heat.state, State::Running | State::Held) || (heat.state == State::Countdown && !before);
        let mut paint = paint(&mut self.list, (&mut self.fonts, &self.words), &self.theme, &mut self.texts);
        if self.background == Background::Clear {
            header::plate(&mut paint, &self.measures.layout);
        } else if self.theme.backdrop.is_some() {
            header::bar_plate(&mut paint, &self.measures.layout);
        }
        let limit = self.measures.limit;
        let short_divisions = &self.measures.short_divisions;
        header::draw(
            &mut paint,
            &self.measures.layout,
            &Header { view, link, reading, short_divisions, limit },
        );
        for (entry, rect) in view.snapshot.entries.iter().zip(&self.measures.layout.rows) {
            let lane = entry.lane;
            let (Some(count), Some(memory)) = (view.count(lane), self.lanes.of_mut(lane)) else { continue };
            let counts = lane_begun(heat, reading, lane);
            let look = Look::of(count, counts);
            let waits = before || entry.start_ms > reading.elapsed_tenths * 100;
            let plan = self.measures.plan(entry);
            let trying = Trying::of(view.course(entry), reading.elapsed_tenths * 100, heat.resolution_ms);
            let leads = leads(heat, lane) && look.works();
            let row = Row {
                rect: *rect,
                m: &self.measures.layout.row,
                entry,
                count,
                order: view.order(lane),
                course: view.course(entry),
                plan: plan.of(count),
                open: plan.is_open(),
                has_buy_in: plan.buy_in.is_some(),
                trying,
                starts_ms: (look == Look::Racing && entry.start_ms > 0 && waits).then_some(entry.start_ms),
                division: short_divisions.get(usize::from(entry.division)).map(String::as_str),
                dimmed: stands(heat, lane) && runs_again(heat),
                look,
                leads,
                notch: notch
                    .filter(|_| trying.is_none())
                    .filter(|(_, round)| *round == memory.round() && look.works() && !leads && under_way)
                    .map(|(place, _)| place),
                counts,
                under_way,
                resolution_ms: heat.resolution_ms,
                spans: self.spans,
                now_us,
                outlines: &self.outlines,
            };
            row::draw(&mut paint, &row, memory);
        }
        over::draw(&mut paint, &self.measures.layout, heat.state, reading);
    }

    fn next_change(&self, link: Link, reading: &Reading, times: Times) -> Option<i64> {
        let now_us = times.frame_us;
        if self.lanes.moves(&self.spans, now_us) {
            return Some(now_us);
        }
        let tags = self.lanes.next_tag_us(&self.spans, now_us);
        [reading.next_frame_us(times), tags, link.next_age_us(now_us)].into_iter().flatten().min()
    }
}

/// All of a target.
#[allow(clippy::cast_precision_loss)] // pixels of a screen
pub(crate) fn whole([width, height]: [u32; 2]) -> Rect {
    Rect { x: 0.0, y: 0.0, w: width as f32, h: height as f32 }
}

pub(crate) fn ground(theme: &LoadedTheme, background: Background) -> Rgba {
    match background {
        Background::Theme => Rgba(theme.colors.background.0),
        Background::Clear => Rgba([0; 4]),
    }
}

pub(crate) fn paint<'a>(
    list: &'a mut DrawList,
    (fonts, words): (&'a mut Fonts, &'a Words),
    theme: &'a LoadedTheme,
    texts: &'a mut Vec<String>,
) -> Paint<'a> {
    let (colors, form, logo) = (&theme.colors, &theme.form, theme.logo.as_ref());
    Paint { items: &mut list.items, fonts, colors, form, words, logo, texts }
}

#[cfg(test)]
pub(crate) mod tests;
