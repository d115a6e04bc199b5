//! The board: from the view, the link and the times to a frame's draw list, and when the next one is due.

use std::rc::Rc;

use cosmic_text::FontSystem;
use fivemark_themes::LoadedTheme;
use fivemark_wire::view::{HeatState, State};

use crate::clock::{self, Reading};
use crate::draw::{DrawList, Rgba, Segment};
use crate::lane::{LaneMemory, LaneTarget, Look, Spans};
use crate::layouts::bar;
use crate::layouts::header::Header;
use crate::layouts::row::{self, Row};
use crate::layouts::wide::MAX_LANES;
use crate::layouts::{header, over};
use crate::measures::Measures;
use crate::paint::Paint;
use crate::screen::{Background, Link, Motion, Screen, Times};
use crate::text::Fonts;
use crate::view::View;

/// A no-rep that comes later than this after its call (a phone was away) is not shown any more.
const LATE_NO_REP_MS: i64 = 5_000;

/// A board of one size.
pub struct Board {
    theme: Rc<LoadedTheme>,
    motion: Motion,
    background: Background,
    fonts: Fonts,
    spans: Spans,
    feed_address: String,
    list: DrawList,
    ahead_us: i64,
    next_change_us: Option<i64>,
    measures: Measures,
    notch_outline: Rc<Vec<Segment>>,
    /// Number of the heat and of its run, for which the lanes are remembered.
    heat_run: (u32, u32),
    lanes: Vec<(u8, LaneMemory)>,
    by_division: bool,
    number: u64,
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
            spans,
            feed_address: String::new(),
            list,
            ahead_us: 0,
            next_change_us: None,
            measures,
            notch_outline: bar::notch_outline(),
            heat_run: (0, 0),
            lanes: Vec::new(),
            by_division: false,
            number: 0,
            texts: Vec::new(),
        }
    }
}

impl Screen for Board {
    fn resize(&mut self, size: [u32; 2]) {
        self.list.size = size;
        self.measures = Measures::new(size, &self.theme.form);
    }

    fn set_theme(&mut self, theme: Rc<LoadedTheme>) {
        self.fonts.set_theme(&theme);
        self.spans = Spans::new(&theme.timing, self.motion == Motion::Full);
        self.lanes.iter_mut().for_each(|(_, memory)| memory.restyle(&theme.colors));
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

    fn set_ahead_us(&mut self, ahead_us: i64) {
        self.ahead_us = ahead_us;
    }

    fn frame(&mut self, view: Option<&View>, link: Link, times: Times) -> &DrawList {
        self.list.items.clear();
        match view {
            None => {
                self.next_change_us = None;
                let plate = self.background == Background::Clear;
                let mut paint = paint(&mut self.list, &mut self.fonts, &self.theme, &mut self.texts);
                if plate {
                    over::waiting_plate(&mut paint, &self.measures.wide);
                }
                over::waiting(&mut paint, &self.measures.wide, &self.feed_address);
            }
            Some(view) => {
                let reading = Reading::of(&view.snapshot.heat, clock::end_ms(&view.snapshot), times.feed_us);
                let came = Times { frame_us: times.frame_us - self.ahead_us, ..times };
                self.follow(view, &reading, came);
                self.draw(view, link, &reading, times.frame_us);
                self.next_change_us = self.next_change(link, &reading, times);
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
        let heat_run = (snapshot.titles.heat, snapshot.heat.run);
        if heat_run != self.heat_run {
            self.heat_run = heat_run;
            self.lanes.clear();
        }
        let shown = snapshot.entries.len().min(MAX_LANES);
        self.measures.follow(&mut self.fonts, snapshot, shown, &self.theme.form);
        let course = snapshot.entries.first().map_or(0, |entry| entry.course);
        self.by_division = snapshot.entries.iter().any(|entry| entry.course != course);
        self.lanes.truncate(shown);
        for (index, entry) in snapshot.entries.iter().take(shown).enumerate() {
            let Some(count) = view.count(entry.lane) else { continue };
            let plan = self.measures.plan(entry);
            let leads = leads(&snapshot.heat, entry.lane);
            let order = view.order(entry.lane);
            let begun = lane_begun(&snapshot.heat, reading, entry.lane);
            let target = LaneTarget::of(count, begun, order, self.by_division, leads, plan);
            let colors = &self.theme.colors;
            let run = count.run;
            match self.lanes.get_mut(index) {
                Some((lane, memory)) if *lane == entry.lane && memory.is_of(entry, run) => {
                    memory.follow(target, colors, &self.spans, times.frame_us);
                }
                Some(slot) => {
                    let mut memory = LaneMemory::new(entry, run, target, colors);
                    // What was called before is not called again.
                    memory.no_rep_number = slot.1.no_rep_number;
                    *slot = (entry.lane, memory);
                }
                None => self.lanes.push((entry.lane, LaneMemory::new(entry, run, target, colors))),
            }
        }
        self.follow_no_reps(view, times);
    }

    fn follow_no_reps(&mut self, view: &View, times: Times) {
        // A feed that started anew counts its deltas from the beginning.
        if view.snapshot.number < self.number {
            self.lanes.iter_mut().for_each(|(_, memory)| memory.no_rep_number = 0);
        }
        self.number = view.snapshot.number;
        let late_ms = LATE_NO_REP_MS * i64::from(speed(times)) / 1000;
        for recent in &view.no_reps {
            let Some((_, memory)) = self.lanes.iter_mut().find(|(lane, _)| *lane == recent.no_rep.lane)
            else {
                continue;
            };
            if recent.number > memory.no_rep_number {
                memory.no_rep_number = recent.number;
                if times.feed_us / 1000 - recent.no_rep.at_ms <= late_ms {
                    memory.no_rep.start(times.frame_us);
                    memory.fault.clone_from(&recent.no_rep.fault);
                }
            }
        }
    }

    fn draw(&mut self, view: &View, link: Link, reading: &Reading, now_us: i64) {
        let heat = &view.snapshot.heat;
        let first = self.lanes.iter().find(|(lane, _)| leads(heat, *lane));
        let notch = first.map(|(_, memory)| (memory.head.place(now_us), memory.round()));
        let before = !begun(heat, reading);
        let under_way =
            matches!(heat.state, State::Running | State::Held) || (heat.state == State::Countdown && !before);
        let mut paint = paint(&mut self.list, &mut self.fonts, &self.theme, &mut self.texts);
        if self.background == Background::Clear {
            header::plate(&mut paint, &self.measures.wide);
        }
        let open = self.measures.open;
        let short_divisions = &self.measures.short_divisions;
        header::draw(&mut paint, &self.measures.wide, &Header { view, link, reading, short_divisions, open });
        for ((entry, (lane, memory)), rect) in
            view.snapshot.entries.iter().zip(&mut self.lanes).zip(&self.measures.wide.rows)
        {
            let Some(count) = view.count(*lane) else { continue };
            let counts = lane_begun(heat, reading, *lane);
            let look = Look::of(count, counts);
            let waits = before || entry.start_ms > reading.elapsed_tenths * 100;
            let plan = self.measures.plan(entry);
            let leads = leads(heat, *lane) && look.works();
            let row = Row {
                rect: *rect,
                m: &self.measures.wide.row,
                entry,
                count,
                order: view.order(*lane),
                course: view.course(entry),
                plan: plan.of(count),
                open: plan.is_open(),
                has_buy_in: plan.buy_in.is_some(),
                starts_ms: (look == Look::Racing && entry.start_ms > 0 && waits).then_some(entry.start_ms),
                division: short_divisions.get(usize::from(entry.division)).map(String::as_str),
                dimmed: stands(heat, *lane) && runs_again(heat),
                look,
                leads,
                notch: notch
                    .filter(|(_, round)| *round == memory.round() && look.works() && !leads && under_way)
                    .map(|(place, _)| place),
                counts,
                under_way,
                resolution_ms: heat.resolution_ms,
                spans: self.spans,
                now_us,
                notch_outline: &self.notch_outline,
            };
            row::draw(&mut paint, &row, memory);
        }
        over::draw(&mut paint, &self.measures.wide, heat.state, reading);
    }

    fn next_change(&self, link: Link, reading: &Reading, times: Times) -> Option<i64> {
        let now_us = times.frame_us;
        if self.lanes.iter().any(|(_, memory)| memory.moves(&self.spans, now_us)) {
            return Some(now_us);
        }
        let speed = i64::from(speed(times));
        let clock = reading.next_us.map(|feed_us| {
            // Rounded up, so that the new figure is there when the frame is drawn.
            now_us.saturating_add((feed_us.saturating_mul(1000) + speed - 1) / speed)
        });
        let tags = self
            .lanes
            .iter()
            .filter_map(|(_, memory)| memory.no_rep.end_us(now_us, self.spans.no_rep_us))
            .min();
        let age = match link {
            Link::Lost { age_ms } => {
                let step_ms = if age_ms < 100_000 { 1_000 } else { 60_000 };
                Some(now_us + (step_ms - age_ms.rem_euclid(step_ms)) * 1000)
            }
            Link::Live | Link::Never => None,
        };
        [clock, tags, age].into_iter().flatten().min()
    }
}

/// Whether the heat's work has begun, by its state and clock.
fn begun(heat: &HeatState, reading: &Reading) -> bool {
    match heat.state {
        State::LanesSet | State::OnDeck => false,
        State::Countdown => reading.countdown_s.is_none() || reading.resumes,
        _ => true,
    }
}

/// Whether a lane's work has begun; while another lane runs again alone, it has ended.
fn lane_begun(heat: &HeatState, reading: &Reading, lane: u8) -> bool {
    begun(heat, reading) || stands(heat, lane)
}

/// Whether a lane is first on floor; one that runs alone leads nobody.
fn leads(heat: &HeatState, lane: u8) -> bool {
    heat.first_on_floor == lane && heat.alone.is_none()
}

/// Whether a lane's result stands while another lane runs again alone.
fn stands(heat: &HeatState, lane: u8) -> bool {
    heat.alone.is_some_and(|alone| alone != lane)
}

/// Whether the lane that runs alone is still to be done.
fn runs_again(heat: &HeatState) -> bool {
    use State::{Countdown, Held, LanesSet, OnDeck, Running};
    matches!(heat.state, LanesSet | OnDeck | Countdown | Running | Held)
}

fn ground(theme: &LoadedTheme, background: Background) -> Rgba {
    match background {
        Background::Theme => Rgba(theme.colors.background.0),
        Background::Clear => Rgba([0; 4]),
    }
}

fn paint<'a>(
    list: &'a mut DrawList,
    fonts: &'a mut Fonts,
    theme: &'a LoadedTheme,
    texts: &'a mut Vec<String>,
) -> Paint<'a> {
    Paint { items: &mut list.items, fonts, colors: &theme.colors, form: &theme.form, texts }
}

/// Speed of feed time in thousandths; 0 would mean that it stands, which no feed says.
fn speed(times: Times) -> u32 {
    times.speed_milli.max(1)
}

#[cfg(test)]
mod tests;
