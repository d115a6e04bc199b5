//! The heats of the competition that were opened, and which of them is on the floor. Takes entries of the record in
//! order, live and at a restart alike, and says what to answer and what changed. Reads no clock and does no I/O.

mod entries;
mod judging;
mod signed;

use std::collections::BTreeMap;
use std::sync::Arc;

use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Heat, State};
use fivemark_wire::from_feed::{Delta, FeedMessage, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::lane_record::AskLane;
use fivemark_wire::lanes::AskAthletes;
use fivemark_wire::papers::AskPapers;
use fivemark_wire::shows::{AskStandings, FloorStandings, Shows, Standings};
use thiserror::Error;

use self::signed::SignedLog;
pub use self::signed::{Reopening, Signing};
use super::answered::Answered;
use super::changes::{Changes, collect};
use super::lane_log::LaneLog;
use crate::access::{OnFloor, reason};
use crate::competition::{Competition, HeatPlan};
use crate::convert;
use crate::digest::Link;
use crate::journal::Entry;
use crate::judging::Kept;
use crate::lane_record;
use crate::lane_setting;
use crate::papers;
use crate::picture::Picture;
use crate::restart;
use crate::roles::Audience;
use crate::shows::{Asked, FloorLog, Record, floor_standings, next, shows};

/// Why no heat can be opened. The competition file's own check rules it out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("heat {number} cannot be opened: {says}")]
pub struct OpenHeatError {
    /// The heat.
    pub number: u32,
    /// What is wrong.
    pub says: String,
}

/// The opened heats.
#[derive(Debug)]
pub struct Heats {
    competition: Arc<Competition>,
    open: BTreeMap<u32, Heat>,
    /// Who stands where in the opened heats; not as in the competition any more once an athlete has changed lanes.
    plans: BTreeMap<u32, HeatPlan>,
    floor: FloorLog,
    answered: Answered,
    lanes: LaneLog,
    signed: SignedLog,
    /// What floor operators have asked for.
    asked: Asked,
    /// How judges called in signed heats.
    counted: Kept,
    /// What screens were told last, and whether that may not be true any more.
    shown: Box<Shows>,
    shown_stale: bool,
    /// Standings of the workout on the floor, since they were asked for; none when they may have changed.
    standings: Option<Vec<Standings>>,
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
            lanes: LaneLog::default(),
            signed: SignedLog::default(),
            asked: Asked::default(),
            counted: Kept::default(),
            shown: Box::default(),
            shown_stale: true,
            standings: None,
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

    /// What the record says of judges' phones.
    #[must_use]
    pub fn lanes(&self) -> &LaneLog {
        &self.lanes
    }

    /// Whether a phone has held a lane in a heat of which calls may still be waiting.
    #[must_use]
    pub fn held_before(&self, lane: u8, device: &str) -> bool {
        let open = self.open.iter().filter(|(_, heat)| heat.state().state != State::Signed);
        let mut heats = open.map(|(number, _)| *number).chain([self.on_floor()]);
        heats.any(|heat| self.lanes.has_held(heat, lane, device))
    }

    /// Whether the heat on the floor has not started, so that judges still find their lanes.
    #[must_use]
    pub fn before_start(&self) -> bool {
        let state = self.open.get(&self.on_floor()).map(|heat| heat.state().state);
        matches!(state, Some(State::LanesSet | State::OnDeck))
    }

    /// Whether results need initials before a heat is signed.
    #[must_use]
    pub fn wants_initials(&self) -> bool {
        self.competition.initials
    }

    /// The answer that a command of a device was given, if it is remembered.
    #[must_use]
    pub fn answer_to(&self, device: &str, of: Subject) -> Option<FeedMessage> {
        self.answered.get(device, of)
    }

    /// The record of a lane.
    #[must_use]
    pub fn lane_record(&self, asked: AskLane) -> FeedMessage {
        let (heat, plan) = (self.open.get(&asked.heat), self.plans.get(&asked.heat));
        let of = Subject::AskLane { id: asked.id };
        let (Some(heat), Some(plan)) = (heat, plan) else { return never_opened(of, asked.heat) };
        match lane_record::of(heat, plan, asked) {
            Some(record) => FeedMessage::LaneRecord(record),
            None => refusal(
                of,
                ReasonCode::UnknownLane,
                format!("Heat {} has no lane {}.", asked.heat, asked.lane),
            ),
        }
    }

    /// Athletes who could be put into a heat.
    #[must_use]
    pub fn athletes(&self, asked: &AskAthletes) -> FeedMessage {
        match self.plans.get(&asked.heat) {
            Some(plan) => FeedMessage::Athletes(lane_setting::found(&self.competition, plan, asked)),
            None => never_opened(Subject::AskAthletes { id: asked.id }, asked.heat),
        }
    }

    /// What is printed of a heat, opened or not.
    #[must_use]
    pub fn papers(&self, asked: AskPapers) -> FeedMessage {
        let of = Subject::AskPapers { id: asked.id };
        let plan = self.plans.get(&asked.heat).or_else(|| self.competition.heat(asked.heat));
        let Some(plan) = plan else {
            let says = format!("The competition has no heat {}.", asked.heat);
            return refusal(of, ReasonCode::UnknownHeat, says);
        };
        let fresh;
        let heat = match self.open.get(&asked.heat) {
            Some(heat) => heat,
            None => match Heat::new(self.competition.heat_setup(plan)) {
                Ok(heat) => {
                    fresh = heat;
                    &fresh
                }
                Err(error) => return refusal(of, ReasonCode::UnknownHeat, format!("{error}.")),
            },
        };
        let signings = self.signed.of(asked.heat);
        FeedMessage::Papers(Box::new(papers::of(asked.id, &self.competition, plan, heat, signings)))
    }

    /// Standings of the workout on the floor. Worked out once for all who ask before they change.
    #[must_use]
    pub fn standings(&mut self, asked: AskStandings) -> FeedMessage {
        let known = self.standings.take().unwrap_or_else(|| floor_standings(&self.record()));
        let standings = self.standings.insert(known).clone();
        FeedMessage::Standings(FloorStandings { id: asked.id, heat: self.on_floor(), standings })
    }

    /// Each time that a heat was signed, in order.
    #[must_use]
    pub fn signings(&self, heat: u32) -> &[Signing] {
        self.signed.of(heat)
    }

    /// The digest over a heat's record so far; none before its first entry.
    #[must_use]
    pub fn digest(&self, heat: u32) -> Option<Link> {
        self.signed.link(heat)
    }

    /// A heat that was opened.
    #[must_use]
    pub fn opened(&self, heat: u32) -> Option<(&Heat, &HeatPlan)> {
        self.open.get(&heat).zip(self.plans.get(&heat))
    }

    /// What is on the floor, for those who join.
    #[must_use]
    pub fn for_joins(&self) -> OnFloor {
        let heat = self.on_floor();
        let lanes = self.plans.get(&heat).map(|plan| plan.lanes.iter().map(|lane| lane.lane).collect());
        let is_signed = |heat: &Heat| heat.state().state == State::Signed;
        let others = self.open.iter().filter(|(number, other)| **number != heat && !is_signed(other));
        OnFloor {
            heat,
            lanes: lanes.unwrap_or_default(),
            signed: self.open.get(&heat).is_some_and(is_signed),
            unsigned: others.map(|(number, _)| *number).collect(),
        }
    }

    /// The whole picture of the floor.
    #[must_use]
    pub fn picture(&self, journal_ok: bool) -> Option<Picture> {
        let plan = self.plans.get(&self.on_floor())?;
        let heat = self.open.get(&self.on_floor())?;
        let picture = Picture::of(&self.competition, plan, heat, journal_ok).showing(self.shown.clone());
        Some(picture.before(next(&self.record(), Audience::Staff)))
    }

    /// Works out what screens are asked to show, if it may have changed. True if it has.
    pub fn refresh_shows(&mut self) -> bool {
        if !std::mem::take(&mut self.shown_stale) {
            return false;
        }
        self.standings = None;
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
        // In this very text the journal has it; what cannot be written is not in it.
        let body = entry.body.to_json().unwrap_or_default();
        self.apply_written(entry, &body, changes)
    }

    /// Takes an entry that was read, with the text of its body.
    pub fn apply_written(&mut self, entry: &Entry, body: &str, changes: &mut Changes) -> Option<FeedMessage> {
        let at = HeatMs(entry.at_ms);
        self.pass_to(at, changes);
        let was_signed = self.is_signed(entry.heat);
        let answer = self.take(at, entry, changes);
        // Show commands belong to no heat, and what names a heat that is not there is nothing to sign.
        if self.open.contains_key(&entry.heat) || self.competition.heat(entry.heat).is_some() {
            self.signed.note(entry, body, was_signed, self.is_signed(entry.heat));
        }
        self.look_at_floor(at);
        answer
    }

    fn is_signed(&self, heat: u32) -> bool {
        self.open.get(&heat).is_some_and(|heat| heat.state().state == State::Signed)
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
}

fn never_opened(of: Subject, heat: u32) -> FeedMessage {
    refusal(of, ReasonCode::UnknownHeat, format!("Heat {heat} was not opened on this floor."))
}

fn refusal(of: Subject, code: ReasonCode, says: String) -> FeedMessage {
    let why: Reason = reason(code, says);
    FeedMessage::Refusal(Refusal { of, why })
}
