//! Running again: the whole heat or one lane alone, after a false start, a cancelled run, or a decision of the head
//! judge. A run that is over stays in the record and scores nothing. Also keeps what is said of the heat as a whole.

use crate::answer::{NotCounted, Refused};
use crate::bounds::{MAX_REMARKS, MAX_RUNS};
use crate::clock::RunClock;
use crate::floor::Phase;
use crate::heat::Heat;
use crate::ids::LaneNo;
use crate::lane::Lane;
use crate::record::{Entry, PastLane, PastRun, Remark, RemarkKind, Said, Verdict};
use crate::rulings::check_reason;
use crate::time::{HeatMs, SpanMs};

/// A lane that runs again alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Alone {
    /// Its place in lane order.
    index: usize,
    /// What it had done before, to stand again if this is cancelled.
    earlier: Box<Lane>,
    /// How the heat stood, and the run on its clock.
    phase: Phase,
    on_clock: u32,
    /// The first run of it alone.
    first_run: u32,
}

impl Heat {
    /// The number of the latest run.
    pub(crate) fn latest_run(&self) -> u32 {
        u32::try_from(self.clocks.len()).unwrap_or(u32::MAX)
    }

    /// Heat time at a moment, by the clock of a run; none before that run's start, and for a run that never was.
    #[must_use]
    pub fn elapsed_at(&self, run: u32, moment: HeatMs) -> Option<SpanMs> {
        let slot = usize::try_from(run).ok()?.checked_sub(1)?;
        self.clocks.get(slot)?.elapsed_if_started(moment)
    }

    /// The lane that runs again alone, or did last.
    pub(crate) fn lone_lane(&self) -> Option<&Lane> {
        self.alone.as_ref().and_then(|alone| self.lanes.get(alone.index))
    }

    /// The lane that runs again alone, until the heat is provisional again.
    pub(crate) fn alone_now(&self) -> Option<LaneNo> {
        match self.phase {
            Phase::Provisional { .. } | Phase::Signed(_) => None,
            _ => self.lone_lane().map(|lane| lane.no),
        }
    }

    /// An athlete went from one lane to another.
    pub(crate) fn follow_alone(&mut self, from: usize, to: usize) {
        if let Some(alone) = self.alone.as_mut().filter(|alone| alone.index == from) {
            alone.index = to;
        }
    }

    /// Puts the run on the clock away and starts a fresh one of the same lanes, on deck.
    pub(crate) fn run_again(&mut self) -> Result<(), Refused> {
        let run = self.next_run()?;
        for index in 0..self.lanes.len() {
            if self.is_running(&self.lanes[index]) {
                self.put_away(index, run);
            }
        }
        self.begin(run);
        Ok(())
    }

    /// Starts a fresh run of the whole heat.
    pub(crate) fn rerun(&mut self, at: HeatMs, reason: &str) -> Result<(), Refused> {
        let run = self.next_run()?;
        self.remark(at, RemarkKind::Rerun, reason)?;
        for index in 0..self.lanes.len() {
            self.put_away(index, run);
        }
        self.alone = None;
        self.begin(run);
        Ok(())
    }

    /// Starts a fresh run of one lane alone; the others' results stand.
    pub(crate) fn rerun_lane(&mut self, at: HeatMs, lane: LaneNo, reason: &str) -> Result<(), Refused> {
        let index = self.index_of(lane).ok_or(Refused::UnknownLane(lane))?;
        if !self.lanes[index].occupied {
            return Err(Refused::EmptyLane(lane));
        }
        let run = self.next_run()?;
        self.remark(at, RemarkKind::RerunLane(lane), reason)?;
        let earlier = Box::new(self.lanes[index].clone());
        let (phase, on_clock) = (self.phase, self.on_clock);
        self.alone = Some(Alone { index, earlier, phase, on_clock, first_run: run });
        self.put_away(index, run);
        self.begin(run);
        Ok(())
    }

    /// Cancels the run of a lane that runs again alone: its earlier result stands again, and the heat is as it was.
    /// False if no lane does.
    pub(crate) fn cancel_alone(&mut self, at: HeatMs) -> bool {
        let Some(Alone { index, earlier, phase, on_clock, first_run }) = self.alone.take() else {
            return false;
        };
        self.put_away(index, earlier.run);
        let lane = &mut self.lanes[index];
        let no = lane.no;
        let stands_again = (earlier.run, earlier.no);
        let mut earlier = *earlier;
        lane.change_places(&mut earlier);
        lane.signatures.go_on_with(earlier.signatures);
        for past in self.past.iter_mut().filter(|past| past.run == stands_again.0) {
            // Athletes who changed lanes may have run again from the same one; this one was put there last, before them.
            if let Some(slot) = past.lanes.iter().position(|lane| lane.lane == stands_again.1) {
                past.lanes.remove(slot);
            }
        }
        self.past.retain(|past| !past.lanes.is_empty());
        (self.phase, self.on_clock) = (phase, on_clock);
        self.take_late_calls(index, first_run);
        let (run, what, reason) = (self.latest_run(), RemarkKind::RerunCancelled(no), String::new());
        self.remarks.push(Remark { at, run, what, says: String::new(), reason });
        self.screen.run_changed();
        true
    }

    /// Gives a lane whose earlier run stands again the calls of that run that came in during the ones from `first_run`
    /// on, when they belonged to another.
    fn take_late_calls(&mut self, index: usize, first_run: u32) {
        let stands = self.lanes[index].run;
        let is_late = |entry: &mut Entry| {
            let of = match &entry.said {
                Said::Tally(tally) => Some(tally.run),
                Said::Ruling(_) => None,
            };
            of == Some(stands) && entry.verdict == Verdict::NotCounted(NotCounted::WrongRun)
        };
        let mut late = Vec::new();
        for past in self.past.iter_mut().filter(|past| past.run >= first_run) {
            for lane in &mut past.lanes {
                late.extend(lane.record.extract_if(.., is_late));
            }
        }
        for mut entry in late {
            if self.lanes[index].is_full() {
                break;
            }
            entry.doubts.late = true;
            let fixed = match &entry.said {
                Said::Tally(tally) if !self.held_then(tally, entry.effective) => Some(NotCounted::HandedOver),
                _ => None,
            };
            self.enter(index, entry, fixed);
        }
    }

    /// The feed carried the clock over a reboot. Whether that puts results in doubt depends on how far the heat is.
    pub(crate) fn doubt_clock(&mut self, at: HeatMs, phase: Phase) -> Result<(), Refused> {
        let timeless = match phase {
            Phase::LanesSet | Phase::Signed(_) | Phase::Cancelled { .. } => true,
            // While a lane is to run again alone, the others have their times.
            Phase::OnDeck => self.alone.is_none(),
            _ => false,
        };
        if !timeless && !self.doubted {
            self.remark(at, RemarkKind::ClockDoubted, "the feed was restarted with its machine")?;
            self.doubted = true;
        }
        Ok(())
    }

    /// The head judge takes the clock's times as good.
    pub(crate) fn confirm_clock(&mut self, at: HeatMs) -> Result<(), Refused> {
        if !self.doubted {
            return Err(Refused::ClockNotInDoubt);
        }
        self.remark(at, RemarkKind::ClockConfirmed, "the head judge confirmed the clock")?;
        self.doubted = false;
        Ok(())
    }

    /// Notes what is said of the whole heat.
    pub(crate) fn remark(&mut self, at: HeatMs, what: RemarkKind, reason: &str) -> Result<(), Refused> {
        self.remark_in_words(at, what, "", reason)
    }

    /// The same, with more to say than what was done.
    pub(crate) fn remark_in_words(
        &mut self,
        at: HeatMs,
        what: RemarkKind,
        says: &str,
        reason: &str,
    ) -> Result<(), Refused> {
        check_reason(reason)?;
        if self.remarks.len() >= MAX_REMARKS {
            return Err(Refused::TooManyRemarks(MAX_REMARKS));
        }
        let (says, reason) = (says.to_owned(), reason.to_owned());
        self.remarks.push(Remark { at, run: self.latest_run(), what, says, reason });
        Ok(())
    }

    fn next_run(&self) -> Result<u32, Refused> {
        let latest = self.latest_run();
        if latest >= MAX_RUNS { Err(Refused::TooManyRuns(latest)) } else { Ok(latest + 1) }
    }

    /// Puts a lane's record of its run away; the lane goes on afresh in another.
    pub(crate) fn put_away(&mut self, index: usize, run: u32) {
        let lane = &mut self.lanes[index];
        lane.signatures.take_back(self.now);
        let over = lane.run;
        let lane = PastLane { lane: lane.no, record: lane.start_over(run) };
        let place = match self.past.binary_search_by_key(&over, |past| past.run) {
            Ok(place) => place,
            Err(place) => {
                self.past.insert(place, PastRun { run: over, lanes: Vec::new() });
                place
            }
        };
        let lanes = &mut self.past[place].lanes;
        let slot = lanes.partition_point(|known| known.lane < lane.lane);
        lanes.insert(slot, lane);
    }

    /// The run that starts afresh is on deck.
    fn begin(&mut self, run: u32) {
        // A new run of the whole heat starts after whatever put the earlier one's clock in doubt.
        self.doubted &= self.alone.is_some();
        self.clocks.push(RunClock::default());
        self.on_clock = run;
        self.phase = Phase::OnDeck;
        self.screen.run_changed();
    }
}
