//! What each kind of entry does to the heats, and how it is answered.

use fivemark_engine::command::Command;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Heat, State};
use fivemark_wire::from_client::{FloorCommand, RulingKind};
use fivemark_wire::from_feed::{Ack, FeedMessage, ReasonCode, Subject};
use fivemark_wire::lanes::LaneAthlete;
use fivemark_wire::show_commands::Show;

use super::super::changes::{Changes, collect};
use super::super::notes;
use super::{Heats, never_opened, refusal};
use crate::convert;
use crate::journal::{Body, Entry};
use crate::lane_setting;
use crate::shows::{Record, Unknown};

impl Heats {
    /// Takes an entry, once everything before it has happened.
    pub(super) fn take(&mut self, at: HeatMs, entry: &Entry, changes: &mut Changes) -> Option<FeedMessage> {
        let (heat, device) = (entry.heat, entry.device.as_str());
        match &entry.body {
            Body::Tally { said, link_since_ms, shadow } => {
                let of = Subject::Tally { epoch: said.epoch, number: said.number };
                let command = convert::tally(said, device, *link_since_ms, *shadow);
                Some(self.command(at, heat, of, &command, changes))
            }
            Body::Ruling { .. }
            | Body::Floor { .. }
            | Body::Show { .. }
            | Body::HandOver { .. }
            | Body::Confirm { .. } => {
                let of = notes::subject(&entry.body);
                let known = self.answered.get(device, of);
                Some(known.unwrap_or_else(|| {
                    let answer = self.take_once(at, entry, of, changes);
                    self.answered.put(device, of, answer)
                }))
            }
            Body::Link { lane, up } => {
                self.lanes.of_mut(heat).link(*lane, device, *up);
                let command = convert::link(*lane, device, *up);
                self.command(at, heat, Subject::Message, &command, changes);
                None
            }
            Body::Taken { lane } => {
                self.hand_over(at, (heat, *lane), device, "the phone itself", Subject::Message, changes);
                None
            }
            Body::Reboot { .. } => {
                self.command(at, heat, Subject::Message, &convert::reboot(), changes);
                None
            }
        }
    }

    /// Takes what applies once, however often it is sent.
    fn take_once(&mut self, at: HeatMs, entry: &Entry, of: Subject, changes: &mut Changes) -> FeedMessage {
        match &entry.body {
            Body::Ruling { said, by } => {
                let answer = self.command(at, entry.heat, of, &convert::ruling(said, by), changes);
                if let (RulingKind::MoveAthlete { to }, FeedMessage::Ack(_)) = (&said.kind, &answer) {
                    self.move_athlete(entry.heat, said.lane, *to);
                    self.shown_stale = true;
                }
                answer
            }
            Body::Floor { said, initials, by } => match convert::floor(&said.command, *initials) {
                Some(command) => self.command(at, said.heat, of, &command, changes),
                None => match &said.command {
                    FloorCommand::SetLanes { lanes, reason } => {
                        self.set_lanes(at, (said.heat, lanes), (by, reason), of, changes)
                    }
                    _ => self.open_heat(at, said.heat, of, changes),
                },
            },
            Body::Show { said, .. } => self.show(at, said, of, changes),
            Body::HandOver { said, by } => {
                self.hand_over(at, (entry.heat, said.lane), &said.to, by, of, changes)
            }
            Body::Confirm { said, by } => {
                self.command(at, entry.heat, of, &convert::confirm(said, by), changes)
            }
            Body::Tally { .. } | Body::Link { .. } | Body::Taken { .. } | Body::Reboot { .. } => {
                refusal(of, ReasonCode::Malformed, "This is not a command.".to_owned())
            }
        }
    }

    fn hand_over(
        &mut self,
        at: HeatMs,
        (heat, lane): (u32, u8),
        to: &str,
        by: &str,
        of: Subject,
        changes: &mut Changes,
    ) -> FeedMessage {
        let command = convert::hand_over(lane, self.lanes.holder(heat, lane), to, by);
        let answer = self.command(at, heat, of, &command, changes);
        if matches!(answer, FeedMessage::Ack(_)) {
            self.lanes.of_mut(heat).goes_to(lane, to);
        }
        answer
    }

    fn command(
        &mut self,
        at: HeatMs,
        number: u32,
        of: Subject,
        command: &Command,
        changes: &mut Changes,
    ) -> FeedMessage {
        let on_floor = number == self.on_floor();
        let Some(heat) = self.open.get_mut(&number) else {
            return never_opened(of, number);
        };
        let outcome = heat.handle_command(at, command);
        self.shown_stale |= collect(heat, on_floor, changes);
        convert::answer(of, outcome)
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

    /// Puts athletes to lanes, as far as competition and engine have it so.
    fn set_lanes(
        &mut self,
        at: HeatMs,
        (number, lanes): (u32, &[LaneAthlete]),
        (by, reason): (&str, &str),
        of: Subject,
        changes: &mut Changes,
    ) -> FeedMessage {
        let Some(plan) = self.plans.get(&number) else { return never_opened(of, number) };
        let setting = match lane_setting::set(&self.competition, plan, lanes, by, reason) {
            Ok(setting) => setting,
            Err(why) => return refusal(of, why.code(), why.to_string()),
        };
        let answer = self.command(at, number, of, &setting.command, changes);
        if matches!(answer, FeedMessage::Ack(_)) {
            self.plans.insert(number, setting.plan);
            self.shown_stale = true;
        }
        answer
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
