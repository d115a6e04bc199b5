//! One heat: commands and the passing of time go in, answers and events come out. Holds the parts together;
//! the states are in `floor`, rulings in `rulings`, a lane's counting in `lane`.

use crate::answer::{Event, NotCounted, Outcome, Refused};
use crate::assemble::{compile_all, place_lanes};
use crate::bounds::MAX_NAME_BYTES;
use crate::clock::RunClock;
use crate::command::{Call, Command, Link, RulingKind, StatusRuling, Tally};
use crate::course::Course;
use crate::floor::Phase;
use crate::ids::LaneNo;
use crate::lane::Lane;
use crate::moves::Moves;
use crate::official::resolution_ms;
use crate::order::Groups;
use crate::pages::{Kept, Next, Pages, Turn};
use crate::record::{Entry, PastRun, Remark, Said, Verdict};
use crate::runs::Alone;
use crate::screen::Screen;
use crate::setup::{HeatSetup, SetupError};
use crate::time::HeatMs;
use crate::view::{HeatView, LaneView, Standing};
use crate::work::{EntryIx, Ground, fault_of};
use crate::workout::ClockRules;

/// A heat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heat {
    pub(crate) rules: ClockRules,
    pub(crate) courses: Vec<Course>,
    pub(crate) groups: Groups,
    pub(crate) phase: Phase,
    /// The clock of each run so far, by its number from 1.
    pub(crate) clocks: Vec<RunClock>,
    /// The run whose clock the phase goes by; lanes of other runs have ended.
    pub(crate) on_clock: u32,
    /// The lane that runs again alone, or did last.
    pub(crate) alone: Option<Alone>,
    /// The clock is in doubt.
    pub(crate) doubted: bool,
    /// In lane order.
    pub(crate) lanes: Vec<Lane>,
    pub(crate) moves: Moves,
    /// By number.
    pub(crate) past: Vec<PastRun>,
    pub(crate) remarks: Vec<Remark>,
    pub(crate) pages: Pages,
    /// The latest moment that came in.
    pub(crate) now: HeatMs,
    pub(crate) screen: Screen,
    /// The heat as seen when events were last worked out.
    pub(crate) seen: Option<HeatView>,
    /// When it next changes by itself, as worked out then.
    pub(crate) due: Option<HeatMs>,
    /// Nothing has changed since but what single lanes have done.
    pub(crate) settled: bool,
}

impl Heat {
    /// Sets the lanes of a heat.
    ///
    /// # Errors
    /// Names the lane, workout or part that makes the heat impossible to run.
    pub fn new(setup: HeatSetup) -> Result<Self, SetupError> {
        let (rules, courses) = compile_all(&setup)?;
        let lanes = place_lanes(&setup, courses.len(), &rules)?;
        let groups = Groups::new(&lanes, &courses);
        let mut heat = Self {
            rules,
            courses,
            groups,
            phase: Phase::LanesSet,
            clocks: vec![RunClock::default()],
            on_clock: 1,
            alone: None,
            doubted: false,
            moves: Moves::new(lanes.iter().map(|lane| lane.occupied).collect()),
            lanes,
            past: Vec::new(),
            remarks: Vec::new(),
            pages: Pages::default(),
            now: HeatMs(i64::MIN),
            screen: Screen::default(),
            seen: None,
            due: None,
            settled: true,
        };
        heat.refresh_all();
        heat.seen = Some(heat.state());
        Ok(heat)
    }

    /// Takes one command, received at `at` (moved up to the latest moment seen, if earlier). Timeouts due by then
    /// are fired first.
    pub fn handle_command(&mut self, at: HeatMs, command: &Command) -> Outcome {
        let at = self.pass_to(at);
        self.settled = matches!(command, Command::Tally(_));
        let (outcome, effective) = match command {
            Command::Tally(tally) => self.tally(at, tally),
            Command::Ruling(ruling) => (done_or_refused(self.ruling(at, ruling)), at),
            Command::Floor(floor) => (done_or_refused(self.floor(at, floor)), at),
            Command::Link(link) => (done_or_refused(self.link(link)), at),
            Command::HandOver(said) => (done_or_refused(self.hand_over(at, said)), at),
            Command::Confirm(said) => (done_or_refused(self.confirm(at, said)), at),
            Command::SetLanes(said) => (done_or_refused(self.set_lanes(at, said)), at),
        };
        self.settle(at, effective);
        // What the command made due at once, such as the start after a countdown of nothing.
        self.pass_to(at);
        outcome
    }

    /// Fires what is due at `at`.
    pub fn handle_timeout(&mut self, at: HeatMs) {
        self.pass_to(at);
    }

    /// When the heat will next change without a command; none: never.
    #[must_use]
    pub fn next_timeout(&self) -> Option<HeatMs> {
        self.due
    }

    /// The next event; drained after each input.
    pub fn poll_event(&mut self) -> Option<Event> {
        self.screen.poll()
    }

    /// The courses, one per workout of the setup.
    #[must_use]
    pub fn courses(&self) -> &[Course] {
        &self.courses
    }

    /// State and clock.
    #[must_use]
    pub fn state(&self) -> HeatView {
        let (mut starters, mut finished) = (0, 0);
        for lane in self.lanes.iter().filter(|lane| lane.occupied) {
            starters += 1;
            finished += u8::from(self.has_finished(lane));
        }
        HeatView {
            state: self.phase.state(),
            run: self.latest_run(),
            clock: self.clock_view(),
            cap: self.rules.cap,
            cap_on: self.rules.cap_on,
            ends: self.ends(),
            clock_in_doubt: self.doubted,
            alone: self.alone_now(),
            resolution_ms: resolution_ms(self.rules.resolution),
            finished,
            starters,
            first_on_floor: self.screen.ladder.front,
        }
    }

    /// What a lane has done; none for an unknown lane.
    #[must_use]
    pub fn lane(&self, lane: LaneNo) -> Option<LaneView> {
        self.index_of(lane).and_then(|index| self.screen.lanes.get(index)).cloned()
    }

    /// Places and gaps, in lane order.
    #[must_use]
    pub fn order(&self) -> &[Standing] {
        &self.screen.ladder.rows
    }

    /// The record of a lane in its run, in order of receipt: each entry with its times and what became of it. It goes
    /// with the athlete who changes lanes. None for an unknown lane.
    #[must_use]
    pub fn record(&self, lane: LaneNo) -> Option<&[Entry]> {
        self.index_of(lane).map(|index| self.lanes[index].record())
    }

    /// Units done after an entry of a lane's record, as it counts now; none if there is no such entry.
    #[must_use]
    pub fn done_after(&self, lane: LaneNo, entry: usize) -> Option<u32> {
        let lane = &self.lanes[self.index_of(lane)?];
        let ix = EntryIx::try_from(entry).ok().filter(|_| entry < lane.record().len())?;
        Some(lane.done_after(ix))
    }

    /// Runs that were recalled, cancelled or run again.
    #[must_use]
    pub fn past_runs(&self) -> &[PastRun] {
        &self.past
    }

    /// What was said of the heat as a whole: re-runs, reopenings, doubts of its clock.
    #[must_use]
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    pub(crate) fn index_of(&self, lane: LaneNo) -> Option<usize> {
        self.lanes.binary_search_by_key(&lane, |lane| lane.no).ok()
    }

    /// Adds an entry to a lane's record.
    pub(crate) fn enter(&mut self, index: usize, entry: Entry, fixed: Option<NotCounted>) -> Verdict {
        let lane = &mut self.lanes[index];
        let mut changes_the_past = false;
        if let Said::Ruling(ruling) = &entry.said {
            match ruling.kind {
                RulingKind::Credit(credit) => {
                    lane.own.credit.0 = lane.own.credit.0.saturating_add(credit.0);
                    changes_the_past = true;
                }
                RulingKind::Status(StatusRuling::Reinstated) => {
                    lane.reinstate();
                    changes_the_past = true;
                }
                _ => {}
            }
        }
        let verdict = lane.add(entry, fixed, ground(lane, &self.courses, &self.clocks, &self.rules));
        if changes_the_past {
            self.recount(index);
        }
        verdict
    }

    /// Works out a lane's record again, after a change of what counts in it.
    pub(crate) fn recount(&mut self, index: usize) {
        let lane = &mut self.lanes[index];
        lane.recount(ground(lane, &self.courses, &self.clocks, &self.rules));
    }

    /// The clock that a lane runs by.
    pub(crate) fn clock_of(&self, lane: &Lane) -> &RunClock {
        clock_of_run(&self.clocks, lane.run)
    }

    /// Takes a call; gives its effective time beside the answer.
    fn tally(&mut self, at: HeatMs, tally: &Tally) -> (Outcome, HeatMs) {
        let (index, next) = match self.turn_of(at, tally) {
            Ok(turn) => turn,
            Err(answer) => return (answer, at),
        };
        let (effective, mut doubts) = (next.effective, next.doubts);
        // Phones stay with their lane, whoever stands there.
        let holds = |lane: &usize| !tally.shadow && self.lanes[*lane].hands.is_held_by(&tally.device);
        if let Some(phones_lane) = self.index_of(tally.lane).filter(holds) {
            self.lanes[phones_lane].note_phone(&tally.device, true);
            if phones_lane != index {
                self.refresh(phones_lane);
            }
        }
        let ended = self.time_of(&self.lanes[index]);
        doubts.late = ended.is_some_and(|ended| effective <= ended && at > ended);
        let fixed = self.settled_at_receipt(index, tally, effective);
        let had_ended = self.lanes[index].now().has_ended();
        let verdict = Verdict::Counted { units: 0 };
        let said = Said::Tally(tally.clone());
        let verdict = self.enter(index, Entry { at, effective, said, doubts, verdict, told: None }, fixed);
        let done = self.lanes[index].now().done;
        let why = match verdict {
            Verdict::NotCounted(why) => Some(why),
            _ => None,
        };
        let answer = Kept { done, why };
        self.pages.keep(tally, next, answer);
        if matches!(verdict, Verdict::Counted { .. }) {
            self.show_no_rep(index, tally, effective);
        }
        self.refresh(index);
        let has_ended = self.lanes[index].now().has_ended();
        self.settled &= had_ended == has_ended;
        if had_ended && !has_ended && self.is_running(&self.lanes[index]) {
            self.resume_if_reopened(at);
        }
        (answer.into(), effective)
    }

    /// The lane's index and the call's time, if it is the call's turn; else the answer.
    fn turn_of(&mut self, at: HeatMs, tally: &Tally) -> Result<(usize, Next), Outcome> {
        let index = self.may_call(tally).map_err(Outcome::Refused)?;
        match self.pages.turn(tally, at).map_err(Outcome::Refused)? {
            Turn::Known(answer) => Err(answer),
            Turn::Gap(from) => Err(Outcome::Gap { epoch: tally.epoch, from }),
            Turn::Next(next) => {
                let athlete = self.moves.now_at(index, next.effective).unwrap_or(index);
                let lane = &self.lanes[athlete];
                let full = || Outcome::Refused(Refused::RecordFull(lane.no));
                if lane.is_full() { Err(full()) } else { Ok((athlete, next)) }
            }
        }
    }

    /// The lane's index, if the call can be taken at all.
    fn may_call(&self, tally: &Tally) -> Result<usize, Refused> {
        let index = self.index_of(tally.lane).ok_or(Refused::UnknownLane(tally.lane))?;
        if tally.device.0.len() > MAX_NAME_BYTES {
            return Err(Refused::TooLong("device's name", MAX_NAME_BYTES));
        }
        if tally.fault.as_ref().is_some_and(|fault| fault.len() > MAX_NAME_BYTES) {
            return Err(Refused::TooLong("fault's code", MAX_NAME_BYTES));
        }
        if tally.athlete.as_ref().is_some_and(|athlete| athlete.len() > MAX_NAME_BYTES) {
            return Err(Refused::TooLong("athlete's bib", MAX_NAME_BYTES));
        }
        Ok(index)
    }

    /// Why a call does not count whatever the lane has done, if so.
    fn settled_at_receipt(&self, index: usize, tally: &Tally, effective: HeatMs) -> Option<NotCounted> {
        let stood_on = self.index_of(tally.lane);
        if stood_on.and_then(|lane| self.moves.now_at(lane, effective)) != Some(index) {
            return Some(NotCounted::EmptyLane);
        }
        if tally.run != self.lanes[index].run {
            return Some(NotCounted::WrongRun);
        }
        match self.phase {
            Phase::Signed(_) => Some(NotCounted::HeatSigned),
            Phase::Cancelled { .. } => Some(NotCounted::HeatCancelled),
            _ if !self.held_then(tally, effective) => Some(NotCounted::HandedOver),
            _ => None,
        }
    }

    /// Tells of the no-rep that was just called, if it was one.
    fn show_no_rep(&mut self, index: usize, tally: &Tally, at: HeatMs) {
        if !matches!(tally.call, Call::NoRep | Call::LastWasNoRep | Call::AttemptFailed) {
            return;
        }
        let lane = &self.lanes[index];
        let newest = EntryIx::try_from(lane.record().len().saturating_sub(1)).unwrap_or(EntryIx::MAX);
        let judged = lane.judged_of(newest);
        let course = &self.courses[lane.course];
        let part = course.part_at(lane.before(judged).done);
        let fault = fault_of(tally, part).ok().flatten();
        let partial = fault.is_some_and(|fault| fault.partial);
        let fault = fault.map(|fault| fault.name.clone());
        self.screen.note(Event::NoRep { lane: lane.no, fault, partial, at });
    }

    fn link(&mut self, link: &Link) -> Result<(), Refused> {
        let index = self.index_of(link.lane).ok_or(Refused::UnknownLane(link.lane))?;
        if link.device.0.len() > MAX_NAME_BYTES {
            return Err(Refused::TooLong("device's name", MAX_NAME_BYTES));
        }
        self.lanes[index].note_phone(&link.device, link.up);
        self.refresh(index);
        Ok(())
    }
}

fn done_or_refused(result: Result<(), Refused>) -> Outcome {
    result.map_or_else(Outcome::Refused, |()| Outcome::Done)
}

/// What a lane moves over.
pub(crate) fn ground<'a>(
    lane: &Lane,
    courses: &'a [Course],
    clocks: &'a [RunClock],
    rules: &'a ClockRules,
) -> Ground<'a> {
    Ground { course: &courses[lane.course], clock: clock_of_run(clocks, lane.run), rules, own: lane.own }
}

fn clock_of_run(clocks: &[RunClock], run: u32) -> &RunClock {
    // Runs are numbered from 1, and each has its clock from its beginning.
    &clocks[usize::try_from(run).unwrap_or(usize::MAX).saturating_sub(1)]
}
