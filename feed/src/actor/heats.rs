//! The heats of the competition that were opened, and which of them is on the floor. Takes entries of the record in
//! order, live and at a restart alike, and says what to answer and what changed. Reads no clock and does no I/O.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Event, Heat, State};
use fivemark_wire::from_client::{Floor, FloorCommand, RulingKind};
use fivemark_wire::from_feed::{Ack, Delta, FeedMessage, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::show_commands::Show;
use fivemark_wire::shows::Shows;
use fivemark_wire::view::{NoRep, RulingNote};
use thiserror::Error;

use super::answered::Answered;
use crate::access::reason;
use crate::competition::{Competition, HeatPlan};
use crate::convert;
use crate::journal::{Body, Entry};
use crate::picture::Picture;
use crate::restart;
use crate::shows::{Asked, FloorLog, Record, Unknown, shows};

/// Why no heat can be opened. The competition file's own check rules it out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("heat {number} cannot be opened: {says}")]
pub struct OpenHeatError {
    /// The heat.
    pub number: u32,
    /// What is wrong.
    pub says: String,
}

/// A lane judge's phone on a lane of a heat.
pub type LinkKey = (u8, String);

/// The opened heats.
#[derive(Debug)]
pub struct Heats {
    competition: Arc<Competition>,
    open: BTreeMap<u32, Heat>,
    /// Who stands where in the opened heats; not as in the competition any more once an athlete has changed lanes.
    plans: BTreeMap<u32, HeatPlan>,
    floor: FloorLog,
    answered: Answered,
    links: BTreeMap<u32, BTreeSet<LinkKey>>,
    /// What floor operators have asked for.
    asked: Asked,
    /// What screens were told last, and whether that may not be true any more.
    shown: Box<Shows>,
    shown_stale: bool,
}

/// What changed on the floor.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Another heat or another run: the whole picture.
    pub whole: bool,
    /// What screens are asked to show.
    pub shows: bool,
    heat: bool,
    lanes: BTreeSet<u8>,
    order: BTreeSet<u8>,
    no_reps: Vec<NoRep>,
    rulings: Vec<RulingNote>,
}

impl Heats {
    /// The first heat is on the floor.
    ///
    /// # Errors
    /// When it cannot be opened.
    pub fn new(competition: Arc<Competition>) -> Result<Self, OpenHeatError> {
        let on_floor = competition.heats.first().map_or(0, |heat| heat.number);
        let mut heats = Self {
            competition,
            open: BTreeMap::new(),
            plans: BTreeMap::new(),
            floor: FloorLog::new(on_floor),
            answered: Answered::default(),
            links: BTreeMap::new(),
            asked: Asked::default(),
            shown: Box::default(),
            shown_stale: true,
        };
        heats.open(on_floor)?;
        Ok(heats)
    }

    /// Number of the heat on the floor.
    #[must_use]
    pub fn on_floor(&self) -> u32 {
        self.floor.on_floor()
    }

    /// Heats whose times hang on the clock now; while a lane is to run again alone, those of the others do.
    #[must_use]
    pub fn under_way(&self) -> Vec<u32> {
        let under_way = |(_, heat): &(&u32, &Heat)| {
            let view = heat.state();
            restart::is_under_way(view.state) || view.alone.is_some()
        };
        self.open.iter().filter(under_way).map(|(number, _)| *number).collect()
    }

    /// The phones that are on the line in a heat, as its record says.
    #[must_use]
    pub fn links(&self, heat: u32) -> BTreeSet<LinkKey> {
        self.links.get(&heat).cloned().unwrap_or_default()
    }

    /// The whole picture of the floor.
    #[must_use]
    pub fn picture(&self, journal_ok: bool) -> Option<Picture> {
        let plan = self.plans.get(&self.on_floor())?;
        let heat = self.open.get(&self.on_floor())?;
        Some(Picture::of(&self.competition, plan, heat, journal_ok).showing(self.shown.clone()))
    }

    /// Works out what screens are asked to show, if it may have changed. True if it has.
    pub fn refresh_shows(&mut self) -> bool {
        if !std::mem::take(&mut self.shown_stale) {
            return false;
        }
        let now = shows(&self.record(), &self.asked);
        let other = *self.shown != now;
        *self.shown = now;
        other
    }

    fn record(&self) -> Record<'_> {
        Record { competition: &self.competition, open: &self.open, plans: &self.plans, floor: &self.floor }
    }

    /// Takes an entry. The answer is none for what the feed said itself.
    pub fn apply(&mut self, entry: &Entry, changes: &mut Changes) -> Option<FeedMessage> {
        let at = HeatMs(entry.at_ms);
        self.pass_to(at, changes);
        let answer = self.take(at, entry, changes);
        self.look_at_floor(at);
        answer
    }

    /// Lets happen on the floor what was due before an entry, each at its own moment, so that a record that is read
    /// again has the same moments as the floor had.
    fn pass_to(&mut self, at: HeatMs, changes: &mut Changes) {
        let due = |heat: &Heat| heat.next_timeout().filter(|due| *due <= at);
        while let Some(due) = self.open.get(&self.on_floor()).and_then(due) {
            self.fire(due, changes);
        }
    }

    /// Takes note of what the heat on the floor is now.
    fn look_at_floor(&mut self, at: HeatMs) {
        if let Some(heat) = self.open.get(&self.floor.on_floor()) {
            self.shown_stale |= self.floor.look(at.0, &heat.state());
        }
    }

    fn take(&mut self, at: HeatMs, entry: &Entry, changes: &mut Changes) -> Option<FeedMessage> {
        match &entry.body {
            Body::Tally { said, link_since_ms, shadow } => {
                let of = Subject::Tally { epoch: said.epoch, number: said.number };
                let command = convert::tally(said, &entry.device, *link_since_ms, *shadow);
                Some(self.command(at, entry.heat, of, &command, changes))
            }
            Body::Ruling { said, by } => {
                let of = Subject::Ruling { id: said.id };
                let known = self.answered.get(&entry.device, of);
                Some(known.unwrap_or_else(|| {
                    let answer = self.command(at, entry.heat, of, &convert::ruling(said, by), changes);
                    if let (RulingKind::MoveAthlete { to }, FeedMessage::Ack(_)) = (&said.kind, &answer) {
                        self.move_athlete(entry.heat, said.lane, *to);
                        self.shown_stale = true;
                    }
                    self.answered.put(&entry.device, of, answer)
                }))
            }
            Body::Floor { said, .. } => {
                let of = Subject::Floor { id: said.id };
                let known = self.answered.get(&entry.device, of);
                Some(known.unwrap_or_else(|| {
                    let answer = self.floor(at, said, of, changes);
                    self.answered.put(&entry.device, of, answer)
                }))
            }
            Body::Show { said, .. } => {
                let of = Subject::Show { id: said.id };
                let known = self.answered.get(&entry.device, of);
                Some(known.unwrap_or_else(|| {
                    let answer = self.show(at, said, of, changes);
                    self.answered.put(&entry.device, of, answer)
                }))
            }
            Body::Link { lane, up } => {
                let key = (*lane, entry.device.clone());
                let links = self.links.entry(entry.heat).or_default();
                if *up {
                    links.insert(key);
                } else {
                    links.remove(&key);
                }
                let command = convert::link(*lane, &entry.device, *up);
                self.command(at, entry.heat, Subject::Message, &command, changes);
                None
            }
            Body::Reboot { .. } => {
                self.command(at, entry.heat, Subject::Message, &convert::reboot(), changes);
                None
            }
        }
    }

    /// The next moment at which something happens by itself.
    #[must_use]
    pub fn next_timeout(&self) -> Option<HeatMs> {
        self.open.values().filter_map(Heat::next_timeout).min()
    }

    /// Lets happen what is due at a moment.
    pub fn fire(&mut self, at: HeatMs, changes: &mut Changes) {
        let due = |heat: &Heat| heat.next_timeout().is_some_and(|timeout| timeout <= at);
        let on_floor = self.on_floor();
        for (number, heat) in &mut self.open {
            if due(heat) {
                heat.handle_timeout(at);
                self.shown_stale |= collect(heat, *number == on_floor, changes);
            }
        }
        self.look_at_floor(at);
    }

    /// The delta that tells the changes; none if there is nothing to tell. Its number is set when it is published.
    #[must_use]
    pub fn delta(&self, changes: Changes, at_ms: i64) -> Option<Delta> {
        if changes == Changes::default() {
            return None;
        }
        let heat = self.open.get(&self.on_floor())?;
        let lanes = changes.lanes.iter().filter_map(|lane| heat.lane(LaneNo(*lane)));
        let order = heat.order().iter().filter(|row| changes.order.contains(&row.lane.0));
        Some(Delta {
            number: 0,
            at_ms,
            heat: changes.heat.then(|| convert::heat_state(heat.state())),
            lanes: lanes.map(convert::lane_count).collect(),
            order: order.copied().map(convert::order_row).collect(),
            no_reps: changes.no_reps,
            rulings: changes.rulings,
            journal_ok: None,
            shows: changes.shows.then(|| self.shown.clone()),
        })
    }

    fn command(
        &mut self,
        at: HeatMs,
        number: u32,
        of: Subject,
        command: &fivemark_engine::command::Command,
        changes: &mut Changes,
    ) -> FeedMessage {
        let on_floor = number == self.on_floor();
        let Some(heat) = self.open.get_mut(&number) else {
            return refusal(
                of,
                ReasonCode::UnknownHeat,
                format!("Heat {number} was not opened on this floor."),
            );
        };
        let outcome = heat.handle_command(at, command);
        self.shown_stale |= collect(heat, on_floor, changes);
        convert::answer(of, outcome)
    }

    fn floor(&mut self, at: HeatMs, said: &Floor, of: Subject, changes: &mut Changes) -> FeedMessage {
        match (&said.command, convert::floor(&said.command)) {
            (FloorCommand::OpenHeat, _) | (_, None) => self.open_heat(at, said.heat, of, changes),
            (_, Some(command)) => self.command(at, said.heat, of, &command, changes),
        }
    }

    fn show(&mut self, at: HeatMs, said: &Show, of: Subject, changes: &mut Changes) -> FeedMessage {
        // Which heat comes next hangs on which have ended, by themselves too.
        self.fire(at, changes);
        let Self { competition, open, plans, floor, asked, .. } = self;
        let record = Record { competition, open, plans, floor };
        if let Err(unknown) = asked.take(&said.command, at.0, &record) {
            let code = match unknown {
                Unknown::Heat(_) => ReasonCode::UnknownHeat,
                Unknown::Division(_) => ReasonCode::OutOfRange,
                Unknown::Lane(_) => ReasonCode::UnknownLane,
            };
            return refusal(of, code, unknown.to_string());
        }
        self.shown_stale = true;
        FeedMessage::Ack(Ack { of, not_counted: None, done: None })
    }

    fn open_heat(&mut self, at: HeatMs, number: u32, of: Subject, changes: &mut Changes) -> FeedMessage {
        // A heat may have ended by itself since its last entry: a rebuilt record must find it as it was then.
        self.fire(at, changes);
        let busy = |heat: &Heat| {
            matches!(heat.state().state, State::Countdown | State::Running | State::Held)
                .then(|| heat.state().state)
        };
        if number != self.on_floor() {
            if let Some(state) = self.open.get(&self.on_floor()).and_then(busy) {
                let says = format!("Heat {} is still {state}. End or recall it first.", self.on_floor());
                return refusal(of, ReasonCode::NotInThisState, says);
            }
            if let Err(error) = self.open(number) {
                return refusal(of, ReasonCode::UnknownHeat, format!("{error}."));
            }
            if let Some(heat) = self.open.get(&number) {
                self.floor.open(number, at.0, &heat.state());
                self.shown_stale = true;
            }
            *changes = Changes { whole: true, ..Changes::default() };
        }
        FeedMessage::Ack(Ack { of, not_counted: None, done: None })
    }

    fn open(&mut self, number: u32) -> Result<(), OpenHeatError> {
        if self.open.contains_key(&number) {
            return Ok(());
        }
        let fault = |says: String| OpenHeatError { number, says };
        let plan = self
            .competition
            .heat(number)
            .ok_or_else(|| fault("the competition has no such heat".to_owned()))?;
        let heat = Heat::new(self.competition.heat_setup(plan)).map_err(|error| fault(error.to_string()))?;
        self.plans.insert(number, plan.clone());
        self.open.insert(number, heat);
        Ok(())
    }

    /// An athlete has moved: athlete and start go along, the judge stays with the lane.
    fn move_athlete(&mut self, heat: u32, from: u8, to: u8) {
        let Some(plan) = self.plans.get_mut(&heat) else { return };
        let place = |lane| plan.lanes.iter().position(|known| known.lane == lane);
        let (Some(from), Some(to)) = (place(from), place(to)) else { return };
        if let Ok([from, to]) = plan.lanes.get_disjoint_mut([from, to]) {
            std::mem::swap(&mut from.athlete, &mut to.athlete);
            std::mem::swap(&mut from.start, &mut to.start);
        }
    }
}

/// Drains a heat's events; only those of the heat on the floor are told. True if cards may have to say something else:
/// what happens while a heat is under way is on none of them.
fn collect(heat: &mut Heat, on_floor: bool, changes: &mut Changes) -> bool {
    let mut happened = false;
    while let Some(event) = heat.poll_event() {
        happened = true;
        if !on_floor {
            continue;
        }
        match event {
            Event::HeatChanged => changes.heat = true,
            Event::LaneChanged(lane) => {
                changes.lanes.insert(lane.0);
            }
            Event::OrderChanged(lane) => {
                changes.order.insert(lane.0);
            }
            Event::NoRep { lane, fault, partial, at } => changes.no_reps.push(NoRep {
                lane: lane.0,
                fault: fault.unwrap_or_default(),
                partial,
                at_ms: at.0,
            }),
            Event::Ruled { lane, by, says, reason, before, after } => {
                changes.rulings.push(RulingNote { lane: lane.0, by, says, reason, before, after });
            }
            Event::RunChanged | Event::EntriesChanged => changes.whole = true,
        }
    }
    let works = |state| matches!(state, State::Countdown | State::Running | State::Held | State::TimeCalled);
    happened && !works(heat.state().state)
}

fn refusal(of: Subject, code: ReasonCode, says: String) -> FeedMessage {
    let why: Reason = reason(code, says);
    FeedMessage::Refusal(Refusal { of, why })
}
