//! The actor's dealings with judges' phones: who is let in on a lane, who may speak for it, what of that goes into the
//! record, and what officials are told of phones. Who holds what is kept in `judges` and `lane_log`.

use std::collections::BTreeSet;
use std::time::Duration;

use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode, Refusal};
use fivemark_wire::phones::{HandOver, Phones};
use tokio::time::{Interval, MissedTickBehavior};

use super::judges::{Floor, Newcomer};
use super::{Actor, notes};
use crate::access::reason;
use crate::client::handle::{Answer, ClientHandle};
use crate::journal::{Body, Entry};

/// How often officials are told of phones, at most.
const BEAT: Duration = Duration::from_secs(1);

/// Head judges and floor operators on the line, and what they were told of phones.
#[derive(Debug, Default)]
pub struct Officials {
    clients: Vec<ClientHandle>,
    told: Phones,
    beat: Option<Interval>,
}

impl Officials {
    /// Whether there is anybody to tell.
    pub fn any(&self) -> bool {
        !self.clients.is_empty()
    }

    /// Somebody has joined, who is told at the next beat, at once if nobody was there.
    pub fn join(&mut self, client: ClientHandle) {
        self.clients.push(client);
        self.told = Phones::default();
    }

    /// Somebody has left.
    pub fn leave(&mut self, client: &ClientHandle) {
        self.clients.retain(|known| !known.same_as(client));
    }

    /// Waits for the next beat.
    pub async fn beat(&mut self) {
        let beat = self.beat.get_or_insert_with(|| {
            let mut beat = tokio::time::interval(BEAT);
            beat.set_missed_tick_behavior(MissedTickBehavior::Delay);
            beat
        });
        beat.tick().await;
    }

    fn tell(&mut self, phones: Phones) {
        if phones == self.told {
            return;
        }
        for client in &self.clients {
            client.answer(Answer::Message(Box::new(FeedMessage::Phones(phones.clone()))));
        }
        self.told = phones;
    }
}

impl Actor {
    /// Lets a judge's phone in. True if it stands by.
    pub(super) fn let_in(&mut self, newcomer: Newcomer) -> Result<bool, Reason> {
        let floor = Floor {
            heat: self.heats.on_floor(),
            before_start: self.heats.before_start(),
            held_before: self.heats.held_before(newcomer.lane, &newcomer.device),
        };
        self.judges.join(newcomer, floor)
    }

    /// Tells officials how the phones are and what is flagged on their lanes, if something has changed; and has ready
    /// what they may ask.
    pub(super) fn tell_of_phones(&mut self) {
        let mut phones = self.judges.states(|client| self.heard_ms(client));
        phones.flags = self.heats.flags(&phones.phones, self.shared.clock.now());
        self.officials.tell(phones);
        self.heats.count_ahead();
    }

    /// When a connection was last heard of, feed milliseconds.
    pub(super) fn heard_ms(&self, client: &ClientHandle) -> i64 {
        let clock = &self.shared.clock;
        let ago_ms = clock.boot_ms().saturating_sub(client.heard_boot_ms()).max(0);
        clock.now().0.saturating_sub(ago_ms.saturating_mul(i64::from(clock.speed_milli())) / 1_000)
    }

    /// Whether something may be said by its sender, who may say it by role; else the answer.
    pub(super) fn may_say(
        &mut self,
        heat: u32,
        device: &str,
        body: &Body,
        from: &ClientHandle,
    ) -> Result<(), Box<FeedMessage>> {
        let of = notes::subject(body);
        if let Some(answer) = self.heats.answer_to(device, of) {
            return Err(Box::new(answer));
        }
        let refused = |why| Box::new(FeedMessage::Refusal(Refusal { of, why }));
        match body {
            Body::Tally { said, shadow, .. } => {
                if let Some(offset) = said.offset {
                    self.judges.note_delay(from, offset.delay_us);
                }
                let may = *shadow
                    || self.judges.holds(from, said.lane)
                    || self.heats.lanes().has_held(heat, said.lane, device);
                if may { Ok(()) } else { Err(refused(stands_by(said.lane))) }
            }
            Body::HandOver { said, by } => self.may_hand_over(said, by, from).map_err(refused),
            Body::Confirm { said, by } if by == LANE_JUDGE => {
                let holds = if heat == self.heats.on_floor() {
                    self.judges.holds(from, said.lane)
                } else {
                    self.heats.lanes().holder(heat, said.lane) == Some(device)
                };
                if holds { Ok(()) } else { Err(refused(stands_by(said.lane))) }
            }
            _ => Ok(()),
        }
    }

    fn may_hand_over(&self, said: &HandOver, by: &str, from: &ClientHandle) -> Result<(), Reason> {
        let (lane, heat) = (said.lane, said.heat);
        if heat != self.heats.on_floor() {
            let says = format!("Heat {heat} is not on the floor, so none of its lanes is handed over.");
            return Err(reason(ReasonCode::UnknownHeat, says));
        }
        if by == LANE_JUDGE && !self.judges.holds(from, lane) {
            return Err(stands_by(lane));
        }
        if !self.judges.stands_by(lane, &said.to, heat) {
            let says = format!("No phone of that name stands by on lane {lane}. Let it join the lane first.");
            return Err(reason(ReasonCode::NotStandingBy, says));
        }
        Ok(())
    }

    /// After a hand-over: both phones are told, and the record follows.
    pub(super) fn follow_hand_over(&mut self, entry: &Entry, answer: &FeedMessage) {
        let Body::HandOver { said, .. } = &entry.body else { return };
        if matches!(answer, FeedMessage::Ack(_)) && entry.heat == self.heats.on_floor() {
            // A hand-over that was sent again changes nothing: the record says who holds the lane.
            if let Some(holder) = self.heats.lanes().holder(entry.heat, said.lane) {
                self.judges.hand_over(said.lane, holder);
            }
            self.reconcile_links();
        }
    }

    /// Journals links and taken lanes so that the record of the heat on the floor agrees with who is on the line.
    pub(super) fn reconcile_links(&mut self) {
        if !self.journal_ok {
            return;
        }
        let heat = self.heats.on_floor();
        let mut recorded = self.heats.lanes().of(heat);
        let mut undecided = BTreeSet::new();
        for waiting in self.waiting.iter().filter(|waiting| waiting.entry.heat == heat) {
            let device = waiting.entry.device.as_str();
            match &waiting.entry.body {
                Body::Link { lane, up } => recorded.link(*lane, device, *up),
                Body::Taken { lane } => recorded.goes_to(*lane, device),
                Body::HandOver { said, .. } => {
                    undecided.insert(said.lane);
                }
                _ => {}
            }
        }
        let at = self.shared.clock.now();
        let holders = self.judges.holders().clone();
        for (lane, device) in holders.iter().filter(|(lane, _)| !undecided.contains(lane)) {
            if recorded.holders().get(lane).is_some_and(|holder| holder != device) {
                self.journal(heat, device.clone(), Body::Taken { lane: *lane }, None, at);
            }
        }
        let present = self.judges.present();
        for (lane, device) in recorded.links().difference(&present) {
            self.journal(heat, device.clone(), Body::Link { lane: *lane, up: false }, None, at);
        }
        for (lane, device) in present.difference(recorded.links()) {
            self.journal(heat, device.clone(), Body::Link { lane: *lane, up: true }, None, at);
        }
    }
}

/// How a lane judge's own doings are signed in the record.
const LANE_JUDGE: &str = "lane judge";

fn stands_by(lane: u8) -> Reason {
    let says = format!(
        "Another phone holds lane {lane}; this one stands by. The head judge can hand the lane over."
    );
    reason(ReasonCode::StandingBy, says)
}
