//! What can be seen of the heat, kept beside it, and the events that tell what changed. Worked out again after
//! each input, for the lanes that it touched.

use std::collections::VecDeque;

use crate::answer::Event;
use crate::bounds::MAX_PENDING_EVENTS;
use crate::course::Course;
use crate::heat::{Heat, ground};
use crate::ids::LaneNo;
use crate::ladder::Ladder;
use crate::lane::Lane;
use crate::official::{count_text, stopped_text, time_text};
use crate::order::{Floor, Stage};
use crate::time::SpanMs;
use crate::view::{LaneResult, LaneView, Status};
use crate::workout::ClockRules;

/// What was seen last, and what has changed since events were read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Screen {
    /// In lane order.
    pub(crate) lanes: Vec<LaneView>,
    pub(crate) ladder: Ladder,
    pending: Pending,
}

/// Changes that wait for a reader; sets of lanes have a bit per place in lane order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Pending {
    run: bool,
    entries: bool,
    heat: bool,
    lanes: u64,
    order: u64,
    notes: VecDeque<Event>,
}

impl Screen {
    /// Works out one lane again, and its place.
    pub(crate) fn refresh(&mut self, index: usize, lanes: &[Lane], floor: Floor<'_>) {
        self.look(index, lanes, floor);
        self.pending.order |= self.ladder.update(index, lanes, floor);
    }

    /// Works out all lanes again, and the whole order.
    pub(crate) fn refresh_all(&mut self, lanes: &[Lane], floor: Floor<'_>) {
        for index in 0..lanes.len() {
            self.look(index, lanes, floor);
        }
        self.pending.order |= self.ladder.renew(lanes, floor);
    }

    fn look(&mut self, index: usize, lanes: &[Lane], floor: Floor<'_>) {
        let lane = &lanes[index];
        let Some(course) = floor.courses.get(lane.course) else { return };
        let view = lane_view(lane, course, floor);
        match self.lanes.get_mut(index) {
            Some(seen) if *seen == view => {}
            Some(seen) => {
                *seen = view;
                self.pending.lanes |= 1 << index;
            }
            None => self.lanes.push(view),
        }
    }

    /// Notes that state, clock or counts of the heat changed.
    pub(crate) fn heat_changed(&mut self) {
        self.pending.heat = true;
    }

    /// Notes that a new run began.
    pub(crate) fn run_changed(&mut self) {
        self.pending.run = true;
    }

    /// Notes that an athlete changed lanes.
    pub(crate) fn entries_changed(&mut self) {
        self.pending.entries = true;
    }

    /// Notes a no-rep or a ruling.
    pub(crate) fn note(&mut self, event: Event) {
        if self.pending.notes.len() >= MAX_PENDING_EVENTS {
            self.pending.notes.pop_front();
        }
        self.pending.notes.push_back(event);
    }

    /// The next event: a new run, who is where, then the heat, lanes, order, and what is shown for a moment.
    pub(crate) fn poll(&mut self) -> Option<Event> {
        let pending = &mut self.pending;
        if std::mem::take(&mut pending.run) {
            return Some(Event::RunChanged);
        }
        if std::mem::take(&mut pending.entries) {
            return Some(Event::EntriesChanged);
        }
        if std::mem::take(&mut pending.heat) {
            return Some(Event::HeatChanged);
        }
        if let Some(lane) = take_lowest(&mut pending.lanes, &self.lanes) {
            return Some(Event::LaneChanged(lane));
        }
        if let Some(lane) = take_lowest(&mut pending.order, &self.lanes) {
            return Some(Event::OrderChanged(lane));
        }
        pending.notes.pop_front()
    }
}

fn take_lowest(set: &mut u64, lanes: &[LaneView]) -> Option<LaneNo> {
    if *set == 0 {
        return None;
    }
    let lowest = set.trailing_zeros();
    *set &= *set - 1;
    usize::try_from(lowest).ok().and_then(|index| lanes.get(index)).map(|lane| lane.lane)
}

impl Heat {
    /// Works out one lane's view again.
    pub(crate) fn refresh(&mut self, index: usize) {
        self.come_to_stage(index);
        let (stage, courses, rules, groups) = (self.stage(), &self.courses, &self.rules, &self.groups);
        let clocks = &self.clocks;
        self.screen.refresh(index, &self.lanes, Floor { courses, rules, clocks, stage, groups });
        if self.drop_outdated_initials(index) {
            self.refresh(index);
        }
    }

    /// Works out all views again, after a change of the heat's state.
    pub(crate) fn refresh_all(&mut self) {
        for index in 0..self.lanes.len() {
            self.come_to_stage(index);
        }
        let (stage, courses, rules, groups) = (self.stage(), &self.courses, &self.rules, &self.groups);
        let clocks = &self.clocks;
        self.screen.refresh_all(&self.lanes, Floor { courses, rules, clocks, stage, groups });
        for index in 0..self.lanes.len() {
            if self.drop_outdated_initials(index) {
                self.refresh(index);
            }
        }
    }

    fn come_to_stage(&mut self, index: usize) {
        let stage = self.stage_of(&self.lanes[index]);
        let lane = &mut self.lanes[index];
        lane.come_to(stage, ground(lane, &self.courses, &self.clocks, &self.rules));
    }
}

/// A lane as it is seen.
fn lane_view(lane: &Lane, course: &Course, floor: Floor<'_>) -> LaneView {
    let (work, rules) = (lane.now(), floor.rules);
    let place = course.place(work.done);
    let (round, round_score) = course.round_of(place);
    let at_work = lane.occupied && lane.stage == Stage::Live && !work.has_ended();
    LaneView {
        lane: lane.no,
        run: lane.run,
        status: status_of(lane, course),
        start: lane.own.start,
        credit: lane.own.credit,
        done: work.done,
        score: work.score,
        round,
        round_score,
        part: u32::try_from(place.part).unwrap_or(u32::MAX),
        part_done: place.part_done,
        to_go: course.to_go(place).filter(|_| at_work),
        tie_break: work.tie_break.map(|(_, at)| lane.own.official(at, SpanMs(0), rules)),
        result: if lane.occupied { result_of(lane, course, rules) } else { None },
        tries: lane.tries_view(ground(lane, floor.courses, floor.clocks, rules)),
        stop: work.stop.map(|at| lane.own.official(at, SpanMs(0), rules)),
        review_until: work.review_until,
        no_reps: work.no_reps,
        last_good: work.last_good,
        ruled: work.ruled,
        flagged: work.flagged,
        judge_on: lane.judge_on(),
        confirmed: lane.signatures.stand(),
    }
}

fn status_of(lane: &Lane, course: &Course) -> Status {
    use crate::command::StatusRuling as Ruled;
    let work = lane.now();
    match work.status {
        _ if !lane.occupied => Status::Empty,
        Some(Ruled::DidNotFinish) => Status::DidNotFinish,
        Some(Ruled::DidNotStart) => Status::DidNotStart,
        Some(Ruled::Disqualified) => Status::Disqualified,
        Some(Ruled::UnderReview) => Status::UnderReview,
        _ if work.finish.is_some() => Status::Finished,
        _ if lane.stage != Stage::Called => Status::Racing,
        _ if course.is_open_ended() => Status::Finished,
        _ => Status::Capped,
    }
}

fn result_of(lane: &Lane, course: &Course, rules: &ClockRules) -> Option<LaneResult> {
    use crate::command::StatusRuling::{DidNotFinish, DidNotStart, Disqualified};
    let work = lane.now();
    if lane.stage == Stage::Void {
        return None;
    }
    let penalty = Some(work.penalty()).filter(|penalty| *penalty != SpanMs(0));
    let (text, time) = match (work.status, work.finish) {
        (Some(DidNotFinish), _) => ("DNF".to_owned(), None),
        (Some(DidNotStart), _) => ("DNS".to_owned(), None),
        (Some(Disqualified), _) => ("DQ".to_owned(), None),
        (_, Some(_)) if course.scoring.judges_attempts() => (count_text(work, course, rules), None),
        (_, Some(finish)) => {
            let time = lane.own.official(finish.elapsed, work.penalty(), rules);
            (time_text(time, rules.resolution), Some(time))
        }
        (_, None) if lane.stage == Stage::Called => (stopped_text(work, lane.own, course, rules), None),
        _ => return None,
    };
    Some(LaneResult { text, official: time, penalty })
}
