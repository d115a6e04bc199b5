//! A heat played to the real engine at chosen moments, and the snapshot that the feed would send then. No sockets
//! and no clock, so that a picture of it is always the same.

use fivemark_engine::Heat;
use fivemark_engine::command::{Call, Command, Floor, Offset, Ruling, RulingKind, Tally};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::time::{HeatMs, MonoMs, SpanMs};
use fivemark_engine::workout::Scoring;
use fivemark_feed::competition::{self, Competition, HeatPlan};
use fivemark_feed::picture::Picture;
use fivemark_feed::roles::Audience;
use fivemark_wire::from_feed::Snapshot;

/// Feed time at which the countdown of every rehearsal begins, milliseconds.
pub const COUNTDOWN_MS: i64 = 60_000;
/// Feed time of go: the countdown takes 10 s.
pub const GO_MS: i64 = COUNTDOWN_MS + 10_000;

/// More rounds than anybody does in a window.
const ROUNDS: usize = 40;

/// A heat on its way.
#[derive(Debug)]
pub struct Rehearsal {
    competition: Competition,
    plan: HeatPlan,
    heat: Heat,
    /// Calls still to come, by time.
    calls: Vec<(i64, Tally)>,
}

impl Rehearsal {
    /// Sets the lanes of one heat of `data/golden.toml`.
    ///
    /// # Panics
    /// The file has faults, or no such heat.
    #[must_use]
    pub fn of_heat(number: u32) -> Self {
        let text = include_str!("../data/golden.toml");
        let competition =
            competition::parse("golden.toml", text).expect("the golden competition has no faults");
        let plan = competition.heat(number).expect("the golden competition has that heat").clone();
        let heat = Heat::new(competition.heat_setup(&plan)).expect("its heats can be run");
        Self { competition, plan, heat, calls: Vec::new() }
    }

    /// Lets every athlete work steadily from go: the lane's expected times, in thousandths (`1000` is as expected).
    #[must_use]
    pub fn with_paces(mut self, paces: &[(u8, i64)]) -> Self {
        let starts = self.snapshot(0).entries;
        for &(lane, permille) in paces {
            let start_ms = starts.iter().find(|entry| entry.lane == lane).map_or(0, |entry| entry.start_ms);
            self.work(lane, permille, 1, GO_MS + start_ms);
        }
        self
    }

    /// Lets one athlete work steadily in a run of the lane that goes at `go_ms`.
    #[must_use]
    pub fn with_run(mut self, lane: u8, permille: i64, run: u32, go_ms: i64) -> Self {
        self.work(lane, permille, run, go_ms);
        self
    }

    /// Has a lane's judge call this, too fast for any athlete, on a page of its own: each call with its moment of feed
    /// time.
    #[must_use]
    pub fn with_calls(mut self, lane: u8, calls: impl IntoIterator<Item = (i64, Call)>) -> Self {
        let epoch = Epoch(1_000_000 + u64::from(lane));
        for (number, (at_ms, call)) in (1..).zip(calls) {
            let fault = (call == Call::NoRep).then(|| "depth".into());
            self.calls.push((at_ms, Tally { epoch, call, fault, ..good(lane, number, at_ms) }));
        }
        self.calls.sort_by_key(|(at_ms, tally)| (*at_ms, tally.lane));
        self
    }

    /// Has judges judge attempts and holds, each with its lane, its moment of feed time and its load in grams, on pages of
    /// their own.
    #[must_use]
    pub fn with_attempts(mut self, calls: &[(u8, i64, Call, Option<u32>)]) -> Self {
        for (index, &(lane, at_ms, call, load_g)) in calls.iter().enumerate() {
            let before = calls[..index].iter().filter(|(other, ..)| *other == lane).count();
            let number = u32::try_from(before).unwrap_or(u32::MAX).saturating_add(1);
            let epoch = Epoch(2_000_000 + u64::from(lane));
            self.calls.push((at_ms, Tally { epoch, call, load_g, ..good(lane, number, at_ms) }));
        }
        self.calls.sort_by_key(|(at_ms, tally)| (*at_ms, tally.lane));
        self
    }

    fn work(&mut self, lane: u8, permille: i64, run: u32, go_ms: i64) {
        let course = self.heat.courses()[usize::from(self.course_of(lane))].clone();
        let open = course.scoring != Scoring::ForTime;
        let round: Vec<_> = course.parts.iter().filter(|part| part.round > 0).cloned().collect();
        let rounds = if open { ROUNDS } else { 0 };
        let parts = course.parts.iter().chain((0..rounds).flat_map(|_| &round));
        let (mut at_ms, mut number) = (go_ms, 0);
        for part in parts {
            let mut left = part.amount;
            while left > 0 {
                let units = left.min(part.step);
                left -= units;
                at_ms += i64::from(units) * i64::from(part.expected_ms_per_unit) * permille / 1_000;
                number += 1;
                // Each run is tapped on a page that was opened for it.
                let epoch = Epoch(u64::from(run) * 1_000 + u64::from(lane));
                self.calls.push((at_ms, Tally { run, epoch, ..good(lane, number, at_ms) }));
            }
        }
        self.calls.sort_by_key(|(at_ms, tally)| (*at_ms, tally.lane));
    }

    /// Plays the heat up to a moment of feed time.
    #[must_use]
    pub fn played_to(mut self, at_ms: i64) -> Self {
        let due = self.calls.partition_point(|(call_ms, _)| *call_ms <= at_ms);
        for (call_ms, tally) in self.calls.drain(..due).collect::<Vec<_>>() {
            self.heat.handle_command(HeatMs(call_ms), &Command::Tally(tally));
        }
        self.heat.handle_timeout(HeatMs(at_ms));
        self
    }

    /// Gives a floor command at a moment of feed time, after everything due before it.
    #[must_use]
    pub fn floor(self, at_ms: i64, floor: Floor) -> Self {
        let mut played = self.played_to(at_ms);
        played.heat.handle_command(HeatMs(at_ms), &Command::Floor(floor));
        played
    }

    /// Sets the lanes, calls them on deck and starts the countdown.
    #[must_use]
    pub fn started(self) -> Self {
        self.floor(COUNTDOWN_MS - 30_000, Floor::OnDeck).floor(COUNTDOWN_MS, Floor::StartCountdown)
    }

    /// Rules on a lane.
    #[must_use]
    pub fn ruled(self, at_ms: i64, lane: u8, kind: RulingKind) -> Self {
        let mut played = self.played_to(at_ms);
        let ruling =
            Ruling { lane: LaneNo(lane), by: "head judge".into(), reason: "seen on the floor".into(), kind };
        played.heat.handle_command(HeatMs(at_ms), &Command::Ruling(ruling));
        played
    }

    /// What a board is sent at that moment.
    #[must_use]
    pub fn snapshot(&self, at_ms: i64) -> Snapshot {
        Picture::of(&self.competition, &self.plan, &self.heat, true).for_audience(Audience::Public, at_ms)
    }

    fn course_of(&self, lane: u8) -> u8 {
        let divisions = self.competition.divisions_of(&self.plan);
        let athlete = self.plan.lanes.iter().find(|plan| plan.lane == lane).and_then(|plan| plan.athlete);
        self.competition.floor_division(&divisions, athlete)
    }
}

fn good(lane: u8, number: u32, at_ms: i64) -> Tally {
    Tally {
        run: 1,
        lane: LaneNo(lane),
        device: DeviceId(format!("phone-{lane}")),
        epoch: Epoch(u64::from(lane)),
        number,
        call: Call::Good,
        amount: 0,
        fault: None,
        stamp: MonoMs(at_ms),
        wall_ms: None,
        offset: Some(Offset { add: SpanMs(0), delay: SpanMs(4) }),
        link_since: HeatMs(0),
        athlete: None,
        load_g: None,
        slot: None,
        shadow: false,
    }
}
