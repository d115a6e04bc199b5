//! Which parts are on, and how far each is in.

use fivemark_wire::shows::{Duel, OverlayShows};

use super::places::{Places, Taken};
use super::presence::Presence;
use super::settle;
use crate::draw::Rect;

/// The parts of an overlay.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Parts {
    /// Parts slide; else they are there at once.
    pub(crate) moves: bool,
    pub(crate) ribbon: Presence,
    pub(crate) rail: Presence,
    pub(crate) corner: Presence,
    pub(crate) duel: Presence,
    pub(crate) card: Presence,
    /// The two that are seen, which stay until the duel has left.
    pub(crate) duelists: Option<Duel>,
    /// Other two wait until these have left.
    pub(crate) others_wait: bool,
}

/// Which parts are on or leaving.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools)] // five parts, each seen or not
pub(crate) struct Seen {
    pub(crate) ribbon: bool,
    pub(crate) rail: bool,
    pub(crate) corner: bool,
    pub(crate) duel: bool,
    pub(crate) card: bool,
}

impl Parts {
    /// Parts come in and leave as they are asked to; `has_card`: the board has a card to show.
    pub(crate) fn follow(&mut self, shows: OverlayShows, has_card: bool, now_us: i64) {
        // Other two come in when those before have left.
        if !self.duel.is_seen(now_us, self.moves) {
            self.duelists = shows.duel;
        }
        self.others_wait = shows.duel.is_some() && self.duelists != shows.duel;
        let duel = shows.duel.is_some_and(|duel| self.duelists == Some(duel) && duel.left != duel.right);
        self.ribbon.follow(shows.ribbon, now_us);
        self.rail.follow(shows.rail, now_us);
        self.corner.follow(shows.corner, now_us);
        self.duel.follow(duel, now_us);
        self.card.follow(shows.card && has_card, now_us);
    }

    /// Which are on or leaving.
    pub(crate) fn seen(&self, now_us: i64) -> Seen {
        let seen = |part: &Presence| part.is_seen(now_us, self.moves);
        Seen {
            ribbon: seen(&self.ribbon),
            rail: seen(&self.rail),
            corner: seen(&self.corner),
            duel: seen(&self.duel),
            card: seen(&self.card),
        }
    }

    /// When one of them moves next, whatever the heat does; asked with the time with which they follow.
    pub(crate) fn next_us(&self, now_us: i64) -> Option<i64> {
        let parts = [&self.ribbon, &self.rail, &self.corner, &self.duel, &self.card];
        let others_us = self.duel.over_us(now_us).filter(|_| self.others_wait);
        parts.iter().filter_map(|part| part.next_us(now_us, self.moves)).chain(others_us).min()
    }

    /// How far a part that is this long is from its place, whole pixels.
    pub(crate) fn away(&self, part: &Presence, length: f32, now_us: i64) -> f32 {
        ((1.0 - part.share(now_us, self.moves)) * (length + 1.0)).round()
    }
}

impl Seen {
    /// Whether any of them is.
    pub(crate) fn any(self) -> bool {
        self.heat() || self.card
    }

    /// Whether one of them shows lanes.
    pub(crate) fn heat(self) -> bool {
        self.ribbon || self.rail || self.corner || self.duel
    }

    /// Whether one of them has the clock.
    pub(crate) fn clock(self) -> bool {
        self.ribbon || self.corner
    }

    pub(crate) fn taken(self) -> Taken {
        Taken { ribbon: self.ribbon, duel: self.duel, corner: self.corner, card: self.card }
    }

    /// A rectangle around all of them.
    pub(crate) fn extent(self, places: &Places) -> Rect {
        let mut extent = Rect::default();
        let mut add = |on: bool, rect: Rect| {
            if on {
                extent = settle::around(extent, rect);
            }
        };
        add(self.ribbon, places.ribbon());
        add(self.rail, places.rail(self.taken()));
        add(self.corner, places.corner_and_logo());
        // It rises and sinks with the ribbon.
        add(self.duel, places.duel(0.0));
        add(self.duel && self.ribbon, places.duel(1.0));
        add(self.card, places.card(self.taken()));
        extent
    }
}
