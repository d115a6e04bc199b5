//! What is remembered of all lanes of a heat between frames, whatever picture shows them, and what the heat's state
//! says of each. How a lane looks and moves is left to `lane`.

use fivemark_themes::Colors;
use fivemark_wire::view::{HeatState, LaneEntry, State};

use crate::clock::Reading;
use crate::lane::{LaneMemory, LaneTarget, Spans};
use crate::screen::{Times, speed};
use crate::track::CoursePlan;
use crate::view::View;

/// A no-rep that comes later than this after its call (a phone was away) is not shown any more.
const LATE_NO_REP_MS: i64 = 5_000;

/// The lanes of one run of a heat.
#[derive(Debug, Default)]
pub(crate) struct Lanes {
    /// Number of the heat and of its run, for which the lanes are remembered.
    heat_run: (u32, u32),
    /// Lanes in their order, with what is remembered of each.
    pub(crate) list: Vec<(u8, LaneMemory)>,
    /// Number of the last delta that was seen.
    number: u64,
}

/// What lanes follow.
#[derive(Clone, Copy)]
pub(crate) struct Follow<'a> {
    pub(crate) view: &'a View,
    pub(crate) reading: &'a Reading,
    pub(crate) times: Times,
    pub(crate) colors: &'a Colors,
    pub(crate) spans: &'a Spans,
    /// So many lanes are shown, from the first.
    pub(crate) shown: usize,
}

impl Lanes {
    /// Whether another heat or another run of it comes than the one that is remembered.
    pub(crate) fn is_of(&self, view: &View) -> bool {
        self.heat_run == (view.snapshot.titles.heat, view.snapshot.heat.run)
    }

    /// Takes on another theme's colours.
    pub(crate) fn restyle(&mut self, colors: &Colors) {
        self.list.iter_mut().for_each(|(_, memory)| memory.restyle(colors));
    }

    /// Takes in what the view says: targets for what moves, and no-reps that came.
    pub(crate) fn follow<'p>(&mut self, follow: &Follow<'_>, plan_of: impl Fn(&LaneEntry) -> &'p CoursePlan) {
        let Follow { view, reading, times, colors, spans, shown } = *follow;
        let snapshot = &view.snapshot;
        if !self.is_of(view) {
            self.heat_run = (snapshot.titles.heat, snapshot.heat.run);
            self.list.clear();
        }
        let by_division = by_division(view);
        let mut index = 0;
        for entry in snapshot.entries.iter().take(shown) {
            // One whose count has not come is not remembered, and moves no other.
            let Some(count) = view.count(entry.lane) else { continue };
            let leads = leads(&snapshot.heat, entry.lane);
            let order = view.order(entry.lane);
            let begun = lane_begun(&snapshot.heat, reading, entry.lane);
            let target = LaneTarget::of(count, begun, order, by_division, leads, plan_of(entry));
            let run = count.run;
            match self.list[index..].iter().position(|(lane, _)| *lane == entry.lane) {
                Some(further) => {
                    // Lanes in between are gone.
                    self.list.drain(index..index + further);
                    let memory = &mut self.list[index].1;
                    if memory.is_of(entry, run) {
                        memory.follow(target, colors, spans, times.frame_us);
                    } else {
                        // What was called before is not called again.
                        let no_rep_number = memory.no_rep_number;
                        *memory = LaneMemory::new(entry, run, target, colors);
                        memory.no_rep_number = no_rep_number;
                    }
                }
                None => {
                    self.list.insert(index, (entry.lane, LaneMemory::new(entry, run, target, colors)));
                }
            }
            index += 1;
        }
        self.list.truncate(index);
        self.follow_no_reps(view, times);
    }

    fn follow_no_reps(&mut self, view: &View, times: Times) {
        // A feed that started anew counts its deltas from the beginning.
        if view.snapshot.number < self.number {
            self.list.iter_mut().for_each(|(_, memory)| memory.no_rep_number = 0);
        }
        self.number = view.snapshot.number;
        let late_ms = LATE_NO_REP_MS * i64::from(speed(times)) / 1000;
        for recent in &view.no_reps {
            let Some(memory) = self.of_mut(recent.no_rep.lane) else { continue };
            if recent.number > memory.no_rep_number {
                memory.no_rep_number = recent.number;
                if times.feed_us / 1000 - recent.no_rep.at_ms <= late_ms {
                    memory.no_rep.start(times.frame_us);
                    memory.fault.clone_from(&recent.no_rep.fault);
                }
            }
        }
    }

    /// What is remembered of a lane.
    pub(crate) fn of_mut(&mut self, lane: u8) -> Option<&mut LaneMemory> {
        self.list.iter_mut().find(|(of, _)| *of == lane).map(|(_, memory)| memory)
    }

    /// Whether anything of any lane moves.
    pub(crate) fn moves(&self, spans: &Spans, now_us: i64) -> bool {
        self.list.iter().any(|(_, memory)| memory.moves(spans, now_us))
    }

    /// When the next no-rep goes.
    pub(crate) fn next_tag_us(&self, spans: &Spans, now_us: i64) -> Option<i64> {
        self.list.iter().filter_map(|(_, memory)| memory.no_rep.end_us(now_us, spans.no_rep_us)).min()
    }
}

/// Whether the lanes work through different courses, so that only places within a division mean anything.
pub(crate) fn by_division(view: &View) -> bool {
    let entries = &view.snapshot.entries;
    let course = entries.first().map_or(0, |entry| entry.course);
    entries.iter().any(|entry| entry.course != course)
}

/// Whether the heat's work has begun, by its state and clock.
pub(crate) fn begun(heat: &HeatState, reading: &Reading) -> bool {
    match heat.state {
        State::LanesSet | State::OnDeck => false,
        State::Countdown => reading.countdown_s.is_none() || reading.resumes,
        _ => true,
    }
}

/// Whether a lane's work has begun; while another lane runs again alone, it has ended.
pub(crate) fn lane_begun(heat: &HeatState, reading: &Reading, lane: u8) -> bool {
    begun(heat, reading) || stands(heat, lane)
}

/// Whether a lane is first on floor; one that runs alone leads nobody.
pub(crate) fn leads(heat: &HeatState, lane: u8) -> bool {
    heat.first_on_floor == lane && heat.alone.is_none()
}

/// Whether a lane's result stands while another lane runs again alone.
pub(crate) fn stands(heat: &HeatState, lane: u8) -> bool {
    heat.alone.is_some_and(|alone| alone != lane)
}

/// Whether the lane that runs alone is still to be done.
pub(crate) fn runs_again(heat: &HeatState) -> bool {
    use State::{Countdown, Held, LanesSet, OnDeck, Running};
    matches!(heat.state, LanesSet | OnDeck | Countdown | Running | Held)
}
