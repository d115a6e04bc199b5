//! What the tests of whole heats share: invented workouts, a heat with its phones, seeded randomness.

#![allow(dead_code)] // each test file uses its own share of it

use fivemark_engine::command::{
    Call, Command, Floor, Link, Offset, Penalty, Ruling, RulingKind, StatusRuling, Tally,
};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo, MovementIx};
use fivemark_engine::time::{HeatMs, MonoMs, SpanMs};
use fivemark_engine::workout::{
    AmrapShows, CapOn, CappedAs, ClockRules, Fault, FinishRule, Movement, OrderBy, PartSpec, Resolution,
    Rounding, ScoreRule, Scoring, TrackRule, Unit, Workout,
};
use fivemark_engine::{Event, Heat, HeatSetup, LaneSetup, LaneView, Outcome, Refused, Standing, State};

/// Good calls for `Rig::play`: `count` of them, one every `every` ms, the first at `from` after the start.
pub fn goods(lane: u8, from: i64, every: i64, count: i64) -> Vec<(u8, i64, Call)> {
    (0..count).map(|index| (lane, from + index * every, Call::Good)).collect()
}

/// A movement with two faults; the second is partial.
pub fn movement(name: &str, unit: Unit, step: u32, expected_ms_per_unit: u32) -> Movement {
    let fault = |code: &str, name: &str, partial| Fault { code: code.into(), name: name.into(), partial };
    Movement {
        name: name.into(),
        short_name: name.into(),
        unit,
        step,
        expected_ms_per_unit,
        several_at_once: false,
        closing_steps: 0,
        start: String::new(),
        finish: String::new(),
        faults: vec![
            fault(&format!("{name}-depth"), "depth", false),
            fault(&format!("{name}-jump"), "jump", true),
        ],
    }
}

/// A part that scores one per unit.
pub fn part(movement: u16, amount: u32) -> PartSpec {
    PartSpec {
        movement: MovementIx(movement),
        amount,
        scores: ScoreRule::PerUnit,
        tie_break: false,
        load: String::new(),
    }
}

/// A workout of single repetitions of one movement, 10 minutes cap, times to the tenth, rounded up.
pub fn workout(body: Vec<PartSpec>) -> Workout {
    Workout {
        name: "Harbour Steps".into(),
        scoring: Scoring::ForTime,
        movements: vec![
            movement("squat", Unit::Rep, 1, 3_000),
            movement("run", Unit::Metre, 50, 300),
            movement("row", Unit::Calorie, 1, 4_000),
        ],
        buy_in: vec![],
        body,
        rounds: 1,
        scheme: vec![],
        cash_out: vec![],
        finish: FinishRule::LastUnit,
        track: TrackRule::ExpectedTime,
        mark_every_part: false,
        clock: ClockRules {
            countdown: SpanMs(10_000),
            cap: SpanMs(600_000),
            order_by: OrderBy::LaneTime,
            cap_on: CapOn::LaneTime,
            resolution: Resolution::Tenth,
            rounding: Rounding::Up,
            capped_as: CappedAs::WorkDone,
            penalty_per_unit: SpanMs(1_000),
        },
    }
}

/// An AMRAP of 2 minutes that shows rounds and repetitions.
pub fn amrap(round: Vec<PartSpec>) -> Workout {
    let mut plan = workout(round);
    plan.scoring = Scoring::Amrap { shows: AmrapShows::RoundsAndReps };
    plan.clock.cap = SpanMs(120_000);
    plan
}

/// A part whose end gives the tie-break time.
pub fn tie_part(movement: u16, amount: u32) -> PartSpec {
    PartSpec { tie_break: true, ..part(movement, amount) }
}

/// A setup with `lanes` occupied lanes, all of one division.
pub fn setup(workout: Workout, lanes: u8) -> HeatSetup {
    let lane =
        |lane| LaneSetup { lane: LaneNo(lane), division: 0, workout: 0, occupied: true, start: SpanMs(0) };
    HeatSetup { lanes: (1..=lanes).map(lane).collect(), workouts: vec![workout] }
}

/// Ten squats in a minute on four lanes, the last of them empty.
pub fn three_of_four() -> HeatSetup {
    let mut plan = workout(vec![part(0, 10)]);
    plan.clock.cap = SpanMs(60_000);
    let mut plan = setup(plan, 4);
    plan.lanes[3].occupied = false;
    plan
}

/// One lane is to run again alone.
pub fn rerun_lane(lane: u8) -> Floor {
    Floor::RerunLane { lane: LaneNo(lane), reason: "the bar was loaded wrongly".into() }
}

/// A judge's phone with an exact clock offset: its page began at `origin` of heat time.
#[derive(Clone, Debug)]
pub struct Phone {
    pub lane: u8,
    pub device: DeviceId,
    pub epoch: Epoch,
    pub next: u32,
    pub origin: i64,
    pub run: u32,
}

impl Phone {
    pub fn new(lane: u8, name: &str) -> Self {
        let origin = 1_000 * i64::from(lane);
        Self { lane, device: DeviceId(name.into()), epoch: Epoch(u64::from(lane)), next: 1, origin, run: 1 }
    }

    /// The next call, tapped at a moment of heat time.
    pub fn tap(&mut self, tapped: i64, call: Call) -> Tally {
        let number = self.next;
        self.next += 1;
        Tally {
            run: self.run,
            lane: LaneNo(self.lane),
            device: self.device.clone(),
            epoch: self.epoch,
            number,
            call,
            amount: 0,
            fault: None,
            stamp: MonoMs(tapped - self.origin),
            wall_ms: None,
            offset: Some(Offset { add: SpanMs(self.origin), delay: SpanMs(20) }),
            link_since: HeatMs(0),
            athlete: None,
            load_g: None,
            slot: None,
            shadow: false,
        }
    }
}

/// A heat with one phone per lane. Times are heat time; `GO` is the start.
pub struct Rig {
    pub heat: Heat,
    pub phones: Vec<Phone>,
    pub events: Vec<Event>,
    /// Every command with its receipt, as a journal keeps it.
    pub journal: Vec<(HeatMs, Command)>,
    /// The latest moment at which anything was said or looked at.
    pub latest: HeatMs,
}

/// When started rigs start: countdown at 20 s, start at 30 s.
pub const GO: i64 = 30_000;

impl Rig {
    pub fn new(setup: HeatSetup) -> Self {
        let phones =
            setup.lanes.iter().map(|lane| Phone::new(lane.lane.0, &format!("phone-{}", lane.lane.0)));
        let phones = phones.collect();
        let heat = Heat::new(setup).expect("the setup is sound");
        Self { heat, phones, events: vec![], journal: vec![], latest: HeatMs(0) }
    }

    /// A running heat.
    pub fn started(setup: HeatSetup) -> Self {
        let mut rig = Self::new(setup);
        rig.floor(10_000, Floor::OnDeck);
        rig.floor(20_000, Floor::StartCountdown);
        rig.pass(GO);
        assert_eq!(rig.state(), State::Running);
        rig
    }

    pub fn send(&mut self, at: i64, command: &Command) -> Outcome {
        self.journal.push((HeatMs(at), command.clone()));
        self.latest = self.latest.max(HeatMs(at));
        let outcome = self.heat.handle_command(HeatMs(at), command);
        self.drain();
        outcome
    }

    pub fn tally(&mut self, at: i64, tally: Tally) -> Outcome {
        self.send(at, &Command::Tally(tally))
    }

    /// A call on a lane, tapped and received `at` ms after the start.
    pub fn say(&mut self, lane: u8, after_go: i64, call: Call) -> Outcome {
        let tally = self.tap(lane, after_go, call);
        self.tally(GO + after_go, tally)
    }

    /// The lane phone's next call, tapped so long after the start, not sent.
    pub fn tap(&mut self, lane: u8, after_go: i64, call: Call) -> Tally {
        self.phone(lane).tap(GO + after_go, call)
    }

    pub fn phone(&mut self, lane: u8) -> &mut Phone {
        self.phones.iter_mut().find(|phone| phone.lane == lane).expect("each lane has a phone")
    }

    /// `count` good calls, one every `every` ms, the first at `from` after the start.
    pub fn goods(&mut self, lane: u8, from: i64, every: i64, count: i64) {
        for index in 0..count {
            let outcome = self.say(lane, from + index * every, Call::Good);
            assert!(
                matches!(outcome, Outcome::Applied { .. }),
                "good call {index} of lane {lane}: {outcome:?}"
            );
        }
    }

    /// Calls of several lanes, each as (lane, time after the start, call), sent in the order of their times.
    pub fn play(&mut self, mut calls: Vec<(u8, i64, Call)>) {
        calls.sort_by_key(|(lane, after_go, _)| (*after_go, *lane));
        for (lane, after_go, call) in calls {
            let outcome = self.say(lane, after_go, call);
            assert!(matches!(outcome, Outcome::Applied { .. }), "lane {lane} at {after_go}: {outcome:?}");
        }
    }

    pub fn floor(&mut self, at: i64, command: Floor) {
        assert_eq!(self.send(at, &Command::Floor(command.clone())), Outcome::Done, "{command:?}");
    }

    /// Why a command of the floor is refused.
    pub fn refused(&mut self, at: i64, command: Floor) -> Refused {
        match self.send(at, &Command::Floor(command)) {
            Outcome::Refused(why) => why,
            outcome => panic!("taken: {outcome:?}"),
        }
    }

    /// Makes a ruling that is taken.
    pub fn ruled(&mut self, after_go: i64, lane: u8, kind: RulingKind) {
        assert_eq!(self.rule(GO + after_go, lane, kind), Outcome::Done);
    }

    /// Starts the run that is on deck: its start comes 10 s after `at`.
    pub fn start_again(&mut self, at: i64) {
        self.floor(at, Floor::StartCountdown);
        self.pass(at + 10_000);
        assert_eq!(self.state(), State::Running);
    }

    /// A lane's phone goes by the run that its lane is in.
    pub fn follow_runs(&mut self) {
        for index in 0..self.phones.len() {
            let run = self.lane(self.phones[index].lane).run;
            self.phones[index].run = run;
        }
    }

    pub fn texts(&self) -> Vec<String> {
        self.heat.order().iter().map(|row| self.text(row.lane.0)).collect()
    }

    /// The journal gives the same heat again.
    pub fn replays(&self, setup: HeatSetup) {
        let mut again = Heat::new(setup).expect("the setup is sound");
        for (at, command) in &self.journal {
            again.handle_command(*at, command);
            while again.poll_event().is_some() {}
        }
        again.handle_timeout(self.latest);
        while again.poll_event().is_some() {}
        assert_eq!(again.state(), self.heat.state());
        assert_eq!(again, self.heat);
    }

    pub fn rule(&mut self, at: i64, lane: u8, kind: RulingKind) -> Outcome {
        self.send(at, &ruling(lane, kind))
    }

    pub fn link(&mut self, at: i64, lane: u8, up: bool) {
        let device = self.phone(lane).device.clone();
        let outcome = self.send(at, &Command::Link(Link { lane: LaneNo(lane), device, up }));
        assert_eq!(outcome, Outcome::Done);
    }

    pub fn pass(&mut self, at: i64) {
        self.heat.handle_timeout(HeatMs(at));
        self.latest = self.latest.max(HeatMs(at));
        self.drain();
    }

    pub fn state(&self) -> State {
        self.heat.state().state
    }

    pub fn lane(&self, lane: u8) -> LaneView {
        self.heat.lane(LaneNo(lane)).expect("a lane of the heat")
    }

    pub fn text(&self, lane: u8) -> String {
        self.lane(lane).result.map(|result| result.text).unwrap_or_default()
    }

    pub fn standing(&self, lane: u8) -> Standing {
        *self.heat.order().iter().find(|row| row.lane == LaneNo(lane)).expect("a lane of the heat")
    }

    pub fn places(&self) -> Vec<u8> {
        self.heat.order().iter().map(|row| row.place).collect()
    }

    fn drain(&mut self) {
        while let Some(event) = self.heat.poll_event() {
            self.events.push(event);
        }
    }
}

pub fn ruling(lane: u8, kind: RulingKind) -> Command {
    let (by, reason) = ("Head judge".into(), "seen on the video".into());
    Command::Ruling(Ruling { lane: LaneNo(lane), by, reason, kind })
}

pub fn set_count(done: u32, finish: Option<i64>) -> RulingKind {
    RulingKind::SetCount { done, finish: finish.map(SpanMs) }
}

pub fn time_penalty(ms: i64) -> RulingKind {
    RulingKind::Penalty(Penalty::Time(SpanMs(ms)))
}

pub fn unit_penalty(take: i32) -> RulingKind {
    RulingKind::Penalty(Penalty::Units(take))
}

pub fn status(status: StatusRuling) -> RulingKind {
    RulingKind::Status(status)
}

/// Seeded randomness (splitmix64): the same numbers on every machine.
#[derive(Clone, Debug)]
pub struct Seeded(pub u64);

impl Seeded {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `limit`.
    pub fn below(&mut self, limit: i64) -> i64 {
        let limit = u64::try_from(limit.max(1)).expect("positive");
        i64::try_from(self.next() % limit).expect("below an i64")
    }

    /// An index below `limit`.
    pub fn index(&mut self, limit: usize) -> usize {
        usize::try_from(self.below(i64::try_from(limit).expect("small"))).expect("below a usize")
    }

    pub fn chance(&mut self, percent: i64) -> bool {
        self.below(100) < percent
    }
}
