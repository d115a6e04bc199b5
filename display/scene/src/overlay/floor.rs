//! What all parts of the overlay draw from: the heat as it stands, and every lane with what is remembered of it. The
//! order is the wire's; nothing is ranked here.

use fivemark_wire::view::{Course, LaneCount, LaneEntry, OrderRow, State};

use crate::clock::Reading;
use crate::draw::Rect;
use crate::fit::with_initials;
use crate::lane::{LaneMemory, Look, Spans};
use crate::lanes::{Lanes, begun, by_division, lane_begun, leads, runs_again, stands};
use crate::layouts::bar::Outlines;
use crate::layouts::forms::RowMeasures;
use crate::layouts::row::Row;
use crate::screen::Link;
use crate::text::{Fonts, Style};
use crate::track::CoursePlan;
use crate::tries::Trying;
use crate::view::View;
use crate::words::{Words, short_divisions};

/// How long a lane that has finished keeps its card, microseconds: the finish plays, and its time is read.
pub(crate) const FINISH_STAYS_US: i64 = 2_600_000;

/// Most cells of a track in the overlay.
const MOST_CELLS: usize = 10;

/// What is worked out once for a heat: tracks, and short names.
#[derive(Debug, Default)]
pub(crate) struct Known {
    courses: Vec<Course>,
    plans: Vec<CoursePlan>,
    nothing: CoursePlan,
    divisions: Vec<String>,
    /// Short forms of the divisions; none if the heat has but one.
    short_divisions: Vec<String>,
    names: Vec<KnownName>,
}

/// A lane's name as the overlay writes it, and from what it was made.
#[derive(Debug, PartialEq)]
struct KnownName {
    lane: u8,
    bib: String,
    name: String,
    given: String,
    family: String,
    short: String,
}

impl Known {
    /// Forgets names, because another theme's fonts may write others.
    pub(crate) fn forget_names(&mut self) {
        self.names.clear();
    }

    /// Works anew out what is not of this view.
    pub(crate) fn follow(&mut self, (fonts, words): (&mut Fonts, &Words), view: &View, shown: usize) {
        let snapshot = &view.snapshot;
        if self.courses != snapshot.courses {
            self.courses.clone_from(&snapshot.courses);
            self.plans = self.courses.iter().map(|course| CoursePlan::new(course, MOST_CELLS)).collect();
        }
        if self.divisions != snapshot.titles.divisions {
            self.divisions.clone_from(&snapshot.titles.divisions);
            self.short_divisions.clear();
            if self.divisions.len() > 1 {
                self.short_divisions = short_divisions(&self.divisions);
            }
        }
        let entries = || snapshot.entries.iter().take(shown);
        let is_of = |(known, entry): (&KnownName, &LaneEntry)| {
            known.lane == entry.lane
                && known.bib == entry.bib
                && known.name == entry.name
                && known.given == entry.given
                && known.family == entry.family
        };
        if self.names.len() != entries().count() || !self.names.iter().zip(entries()).all(is_of) {
            let known = |entry: &LaneEntry| KnownName {
                lane: entry.lane,
                bib: entry.bib.clone(),
                name: entry.name.clone(),
                given: entry.given.clone(),
                family: entry.family.clone(),
                short: short_name(fonts, words, entry, &snapshot.entries),
            };
            self.names = entries().map(known).collect();
        }
    }

    /// The tracks of a lane.
    pub(crate) fn plan(&self, entry: &LaneEntry) -> &CoursePlan {
        self.plans.get(usize::from(entry.course)).unwrap_or(&self.nothing)
    }
}

/// The family name; with initials where two on the floor share it; the bib where no font can write it.
fn short_name(fonts: &mut Fonts, words: &Words, entry: &LaneEntry, all: &[LaneEntry]) -> String {
    const ANY_HEIGHT: f32 = 24.0;
    if fonts.shaped(&entry.name, Style::Names, ANY_HEIGHT).missing {
        return words.bib(&entry.bib);
    }
    let family = entry.family.trim();
    if family.is_empty() || entry.given.trim().is_empty() {
        return entry.name.clone();
    }
    if all.iter().filter(|other| other.family.trim() == family).count() > 1 {
        return with_initials(entry).unwrap_or_else(|| entry.name.clone());
    }
    family.to_owned()
}

/// The heat at the moment of a frame.
#[derive(Clone, Copy)]
pub(crate) struct Floor<'a> {
    pub(crate) view: &'a View,
    pub(crate) link: Link,
    pub(crate) reading: &'a Reading,
    pub(crate) lanes: &'a Lanes,
    pub(crate) known: &'a Known,
    pub(crate) spans: Spans,
    pub(crate) now_us: i64,
    pub(crate) outlines: &'a Outlines,
}

/// A lane at the moment of a frame.
#[derive(Clone, Copy)]
pub(crate) struct LaneNow<'a> {
    pub(crate) entry: &'a LaneEntry,
    pub(crate) count: &'a LaneCount,
    pub(crate) order: Option<&'a OrderRow>,
    pub(crate) memory: &'a LaneMemory,
    pub(crate) name: &'a str,
    /// Short form of its division, where the heat mixes them.
    pub(crate) division: Option<&'a str>,
    pub(crate) look: Look,
    pub(crate) leads: bool,
    /// Its work has begun.
    pub(crate) counts: bool,
    /// Work without an end.
    pub(crate) open: bool,
    /// Attempts or holds are judged, and no units are counted.
    pub(crate) trying: Option<Trying>,
    /// Its own start, heat milliseconds, while that is still to come.
    pub(crate) starts_ms: Option<i64>,
    /// Score units of its course, which its count will not pass.
    pub(crate) score_units: u32,
    pub(crate) no_rep: bool,
    /// Unit of official times, milliseconds.
    pub(crate) resolution_ms: u32,
}

impl<'a> Floor<'a> {
    /// Whether the heat's work has not begun.
    pub(crate) fn is_before(&self) -> bool {
        !begun(&self.view.snapshot.heat, self.reading)
    }

    /// What is remembered of a lane.
    pub(crate) fn memory(&self, lane: u8) -> Option<&'a LaneMemory> {
        self.lanes.list.iter().find(|(of, _)| *of == lane).map(|(_, memory)| memory)
    }

    /// A lane as it stands.
    pub(crate) fn lane(&self, lane: u8) -> Option<LaneNow<'a>> {
        let (view, heat) = (self.view, &self.view.snapshot.heat);
        let memory = self.memory(lane)?;
        let entry = view.snapshot.entries.iter().find(|entry| entry.lane == lane)?;
        let count = view.count(lane)?;
        let name =
            self.known.names.iter().find(|known| known.lane == lane).map_or("", |known| known.short.as_str());
        let counts = lane_begun(heat, self.reading, lane);
        let look = Look::of(count, counts);
        let waits = self.is_before() || entry.start_ms > self.reading.elapsed_tenths * 100;
        Some(LaneNow {
            entry,
            count,
            order: view.order(lane),
            memory,
            name,
            division: self.known.short_divisions.get(usize::from(entry.division)).map(String::as_str),
            look,
            leads: leads(heat, lane) && look.works(),
            counts,
            open: self.known.plan(entry).is_open(),
            trying: Trying::of(view.course(entry), self.reading.elapsed_tenths * 100, heat.resolution_ms),
            starts_ms: (look == Look::Racing && entry.start_ms > 0 && waits).then_some(entry.start_ms),
            score_units: view.course(entry).map_or(0, |course| course.score_units),
            no_rep: memory.no_rep.end_us(self.now_us, self.spans.no_rep_us).is_some(),
            resolution_ms: heat.resolution_ms,
        })
    }

    /// All lanes with somebody on them, into `order`: by the wire's places, those without one behind in lane order;
    /// before the start in lane order.
    pub(crate) fn by_place(&self, order: &mut Vec<u8>) {
        order.clear();
        let taken = self.lanes.list.iter().filter(|(_, memory)| memory.look != Look::Empty);
        order.extend(taken.map(|(lane, _)| *lane));
        if !self.is_before() {
            order.sort_unstable_by_key(|lane| {
                let place = self.view.order(*lane).map_or(0, |row| row.place);
                (place == 0, place, *lane)
            });
        }
    }

    /// Whether anybody works.
    pub(crate) fn anybody_works(&self) -> bool {
        self.is_before() || self.lanes.list.iter().any(|(_, memory)| memory.look.works())
    }

    /// Where work may go on, so that a part may be under way.
    fn under_way(&self) -> bool {
        match self.view.snapshot.heat.state {
            State::Running | State::Held => true,
            State::Countdown => !self.is_before(),
            _ => false,
        }
    }

    /// Where first on floor stands on the track, and in which round.
    fn notch(&self) -> Option<(f32, u32)> {
        let heat = &self.view.snapshot.heat;
        let first = self.lanes.list.iter().find(|(lane, _)| leads(heat, *lane));
        first.map(|(_, memory)| (memory.head.place(self.now_us), memory.round()))
    }

    /// A lane as the board's modules for tracks, counts and edges take it, in `rect` with measures `m`.
    pub(crate) fn row<'r>(&self, lane: &LaneNow<'r>, rect: Rect, m: &'r RowMeasures) -> Row<'r>
    where
        'a: 'r,
    {
        let heat = &self.view.snapshot.heat;
        let plan = self.known.plan(lane.entry);
        let notch = self.notch().filter(|(_, round)| {
            let same = *round == lane.memory.round() && lane.trying.is_none();
            same && lane.look.works() && !lane.leads && self.under_way()
        });
        Row {
            rect,
            m,
            entry: lane.entry,
            count: lane.count,
            order: lane.order,
            plan: plan.of(lane.count),
            open: lane.open,
            has_buy_in: plan.buy_in.is_some(),
            trying: lane.trying,
            starts_ms: lane.starts_ms,
            division: None,
            dimmed: stands(heat, lane.entry.lane) && runs_again(heat),
            // Nothing is written into a track that is as low as these.
            course: None,
            look: lane.look,
            leads: lane.leads,
            notch: notch.map(|(place, _)| place),
            counts: lane.counts,
            under_way: self.under_way(),
            resolution_ms: heat.resolution_ms,
            spans: self.spans,
            now_us: self.now_us,
            outlines: self.outlines,
        }
    }

    /// The place that is shown: within its division where the heat mixes courses.
    pub(crate) fn place(&self, lane: &LaneNow<'_>) -> u8 {
        let of = |row: &OrderRow| if by_division(self.view) { row.division_place } else { row.place };
        lane.order.map_or(0, of)
    }
}
