//! The judges' phones of the floor: which one holds each lane, which ones stand by, and how each is doing. A lane is
//! held by the phone that took it, on the line or off; another one takes it freely only before the heat starts and while
//! the holder is off the line, and by hand-over else. What of this the record has to know, the actor writes down.

use std::collections::{BTreeMap, BTreeSet};

use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode};
use fivemark_wire::phones::{LaneHold, Phone, PhoneState, Phones};

use super::lane_log::LinkKey;
use crate::access::reason;
use crate::client::handle::{Answer, ClientHandle, End};

/// Which phone holds each lane.
pub type Holders = BTreeMap<u8, String>;

/// A judge's phone that wants in.
#[derive(Clone, Debug)]
pub struct Newcomer {
    /// Its lane.
    pub lane: u8,
    /// Its name.
    pub device: String,
    /// Of a shadow judge.
    pub shadow: bool,
    /// It stands by if another phone holds the lane.
    pub stand_by: bool,
    /// The only heat that it may speak of.
    pub heat: Option<u32>,
    /// The connection.
    pub client: ClientHandle,
}

/// What the record says to a newcomer.
#[derive(Clone, Copy, Debug)]
pub struct Floor {
    /// The heat on the floor.
    pub heat: u32,
    /// It has not started: a lane whose phone is off the line may be taken.
    pub before_start: bool,
    /// The newcomer's phone has held the lane before, so that calls of it may be waiting.
    pub held_before: bool,
}

/// The phones of the floor.
#[derive(Debug, Default)]
pub struct Judges {
    holders: Holders,
    phones: Vec<Known>,
}

/// A phone on the line, or one that holds a lane off the line.
#[derive(Debug)]
struct Known {
    lane: u8,
    device: String,
    shadow: bool,
    heat: Option<u32>,
    /// None while it is off the line.
    client: Option<ClientHandle>,
    /// When it was last heard of, once it is off the line, feed milliseconds.
    heard_ms: Option<i64>,
    delay_us: Option<i64>,
    told: Option<Phone>,
}

impl Judges {
    /// Nobody is on the line; the lanes are held as the record says.
    #[must_use]
    pub fn new(holders: Holders) -> Self {
        let mut judges = Self { holders, phones: Vec::new() };
        judges.keep_holders();
        judges
    }

    /// Lets a phone in. True if it stands by.
    ///
    /// # Errors
    /// When another phone holds the lane, and this one does not want to stand by.
    pub fn join(&mut self, new: Newcomer, floor: Floor) -> Result<bool, Reason> {
        let stands_by = !new.shadow && !self.takes(&new, floor);
        if stands_by && !new.stand_by && !floor.held_before {
            return Err(reason(
                ReasonCode::LaneTaken,
                format!("Another phone holds lane {}. The head judge can hand the lane over.", new.lane),
            ));
        }
        if !new.shadow && !stands_by {
            self.holders.insert(new.lane, new.device.clone());
        }
        let earlier = self.phones.iter().position(|known| {
            (known.lane, &known.device, known.shadow) == (new.lane, &new.device, new.shadow)
        });
        let mut known = Known {
            lane: new.lane,
            device: new.device,
            shadow: new.shadow,
            heat: new.heat,
            client: Some(new.client),
            heard_ms: None,
            delay_us: None,
            told: None,
        };
        if let Some(earlier) = earlier.map(|place| self.phones.swap_remove(place)) {
            if let Some(client) = earlier.client {
                client.end(End::Replaced);
            }
            (known.delay_us, known.told) = (earlier.delay_us, earlier.told);
        }
        self.phones.push(known);
        self.keep_holders();
        Ok(stands_by)
    }

    /// Whether a newcomer has its lane or may take it.
    fn takes(&self, new: &Newcomer, floor: Floor) -> bool {
        if new.heat.is_some_and(|own| own != floor.heat) {
            return false;
        }
        match self.holders.get(&new.lane) {
            None => true,
            Some(holder) if *holder == new.device => true,
            Some(holder) => floor.before_start && self.client_of(new.lane, holder).is_none(),
        }
    }

    /// Takes note of a connection's end, at a moment of feed time. Gives lane and device, if it held the lane.
    pub fn leave(&mut self, client: &ClientHandle, now_ms: i64) -> Option<LinkKey> {
        let place = self.place_of(client)?;
        let known = &mut self.phones[place];
        known.client = None;
        known.heard_ms = Some(now_ms);
        let key = (known.lane, known.device.clone());
        let held = !known.shadow && self.holders.get(&key.0) == Some(&key.1);
        self.keep_holders();
        held.then_some(key)
    }

    /// The phones that hold lanes and are on the line.
    #[must_use]
    pub fn present(&self) -> BTreeSet<LinkKey> {
        let held = self.holders.iter().filter(|(lane, device)| self.client_of(**lane, device).is_some());
        held.map(|(lane, device)| (*lane, device.clone())).collect()
    }

    /// Which phone holds each lane.
    #[must_use]
    pub fn holders(&self) -> &Holders {
        &self.holders
    }

    /// Whether a connection is that of the phone that holds a lane.
    #[must_use]
    pub fn holds(&self, client: &ClientHandle, lane: u8) -> bool {
        self.holders
            .get(&lane)
            .and_then(|device| self.client_of(lane, device))
            .is_some_and(|holder| holder.same_as(client))
    }

    /// Whether a phone stands by on a lane, for a heat, and is on the line.
    #[must_use]
    pub fn stands_by(&self, lane: u8, device: &str, heat: u32) -> bool {
        let waits = |known: &Known| {
            (known.lane, known.device.as_str(), known.shadow) == (lane, device, false)
                && known.client.is_some()
                && known.heat.is_none_or(|own| own == heat)
        };
        self.holders.get(&lane).is_none_or(|holder| holder != device) && self.phones.iter().any(waits)
    }

    /// A lane goes to a phone; both phones are told.
    pub fn hand_over(&mut self, lane: u8, to: &str) {
        let before = self.holders.insert(lane, to.to_owned());
        if before.as_deref() != Some(to) {
            if let Some(before) = before {
                self.tell(lane, &before, false);
            }
            self.tell(lane, to, true);
        }
        self.keep_holders();
    }

    /// Another heat is on the floor, with lanes held as its record says. A lane of which it says nothing stays with its
    /// phone, if that is on the line and may speak of this heat.
    pub fn go_to(&mut self, heat: u32, recorded: Holders) {
        let before = std::mem::take(&mut self.holders);
        let stays = |(lane, device): &(&u8, &String)| {
            let known = self.phones.iter().find(|known| known.is(**lane, device));
            known.is_some_and(|known| known.client.is_some() && known.heat.is_none_or(|own| own == heat))
        };
        let mut holders: Holders =
            before.iter().filter(stays).map(|(lane, device)| (*lane, device.clone())).collect();
        holders.extend(recorded);
        self.holders = holders;
        for (lane, device) in &before {
            if self.holders.get(lane) != Some(device) {
                self.tell(*lane, device, false);
            }
        }
        for (lane, device) in &self.holders {
            if before.get(lane) != Some(device) {
                self.tell(*lane, device, true);
            }
        }
        self.keep_holders();
    }

    /// Notes what a phone tells of itself.
    pub fn note_phone(&mut self, client: &ClientHandle, told: Phone) {
        if let Some(place) = self.place_of(client) {
            self.phones[place].told = Some(told);
            self.phones[place].delay_us = told.delay_us.or(self.phones[place].delay_us);
        }
    }

    /// Notes the delay of the clock exchange that a call went by.
    pub fn note_delay(&mut self, client: &ClientHandle, delay_us: i64) {
        if let Some(place) = self.place_of(client) {
            self.phones[place].delay_us = Some(delay_us);
        }
    }

    /// How each phone is doing. `heard_ms` says in feed time when a connection was last heard of.
    #[must_use]
    pub fn states(&self, heard_ms: impl Fn(&ClientHandle) -> i64) -> Phones {
        let holds = |known: &Known| !known.shadow && self.holders.get(&known.lane) == Some(&known.device);
        let mut phones: Vec<PhoneState> = self
            .phones
            .iter()
            .map(|known| PhoneState {
                lane: known.lane,
                device: known.device.clone(),
                shadow: known.shadow,
                holds: holds(known),
                on_line: known.client.is_some(),
                heard_ms: known.client.as_ref().map(&heard_ms).or(known.heard_ms),
                delay_us: known.delay_us,
                charge_percent: known.told.and_then(|told| told.charge_percent),
                charging: known.told.and_then(|told| told.charging),
                waiting: known.told.map(|told| told.waiting),
                stays_awake: known.told.and_then(|told| told.stays_awake),
            })
            .collect();
        phones.sort_by(|a, b| {
            let key = |phone: &PhoneState| (phone.lane, !phone.holds, phone.shadow);
            key(a).cmp(&key(b)).then_with(|| a.device.cmp(&b.device))
        });
        Phones { phones, flags: Vec::new() }
    }

    fn place_of(&self, client: &ClientHandle) -> Option<usize> {
        self.phones.iter().position(|known| known.client.as_ref().is_some_and(|own| own.same_as(client)))
    }

    fn client_of(&self, lane: u8, device: &str) -> Option<&ClientHandle> {
        self.phones.iter().find(|known| known.is(lane, device)).and_then(|known| known.client.as_ref())
    }

    fn tell(&self, lane: u8, device: &str, holds: bool) {
        if let Some(client) = self.client_of(lane, device) {
            client.answer(Answer::Message(Box::new(FeedMessage::Lane(LaneHold { lane, holds }))));
        }
    }

    /// Keeps the phones on the line, and those that hold lanes.
    fn keep_holders(&mut self) {
        let Self { holders, phones } = self;
        phones.retain(|known| {
            known.client.is_some() || (!known.shadow && holders.get(&known.lane) == Some(&known.device))
        });
        for (lane, device) in holders {
            if !phones.iter().any(|known| known.is(*lane, device)) {
                phones.push(Known {
                    lane: *lane,
                    device: device.clone(),
                    shadow: false,
                    heat: None,
                    client: None,
                    heard_ms: None,
                    delay_us: None,
                    told: None,
                });
            }
        }
    }
}

impl Known {
    /// Whether it is this lane judge's phone.
    fn is(&self, lane: u8, device: &str) -> bool {
        !self.shadow && self.lane == lane && self.device == device
    }
}
