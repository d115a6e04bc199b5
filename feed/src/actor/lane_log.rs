//! What the record says of judges' phones in each heat: which were on the line, which one holds each lane, and which
//! ones have held it. A heat's lanes belong to the phones of that heat; another heat begins with none.

use std::collections::{BTreeMap, BTreeSet};

use super::judges::Holders;

/// A lane judge's phone on a lane.
pub type LinkKey = (u8, String);

/// The phones of every heat.
#[derive(Clone, Debug, Default)]
pub struct LaneLog(BTreeMap<u32, HeatLanes>);

/// The phones of one heat.
#[derive(Clone, Debug, Default)]
pub struct HeatLanes {
    links: BTreeSet<LinkKey>,
    holders: Holders,
    /// Lanes that went from one phone to another, so that links say nothing of who holds them.
    handed: BTreeSet<u8>,
    held: BTreeSet<LinkKey>,
}

impl LaneLog {
    /// The phones of a heat.
    #[must_use]
    pub fn of(&self, heat: u32) -> HeatLanes {
        self.0.get(&heat).cloned().unwrap_or_default()
    }

    /// The same, to be changed.
    pub fn of_mut(&mut self, heat: u32) -> &mut HeatLanes {
        self.0.entry(heat).or_default()
    }

    /// The phone that holds a lane in a heat.
    #[must_use]
    pub fn holder(&self, heat: u32, lane: u8) -> Option<&str> {
        self.0.get(&heat)?.holders.get(&lane).map(String::as_str)
    }

    /// Whether a phone has held a lane in a heat.
    #[must_use]
    pub fn has_held(&self, heat: u32, lane: u8, device: &str) -> bool {
        self.0.get(&heat).is_some_and(|lanes| lanes.held.contains(&(lane, device.to_owned())))
    }
}

impl HeatLanes {
    /// A phone came or went. The first one has the lane; where older feeds let another one take it, so has that one.
    pub fn link(&mut self, lane: u8, device: &str, up: bool) {
        let key = (lane, device.to_owned());
        if !up {
            self.links.remove(&key);
            return;
        }
        let kept = self.holders.get(&lane).is_some_and(|holder| {
            self.handed.contains(&lane) || self.links.contains(&(lane, holder.clone()))
        });
        if !kept {
            self.holders.insert(lane, device.to_owned());
        }
        self.held.insert(key.clone());
        self.links.insert(key);
    }

    /// A lane went to a phone.
    pub fn goes_to(&mut self, lane: u8, device: &str) {
        self.holders.insert(lane, device.to_owned());
        self.handed.insert(lane);
        self.held.insert((lane, device.to_owned()));
    }

    /// The phones on the line.
    #[must_use]
    pub fn links(&self) -> &BTreeSet<LinkKey> {
        &self.links
    }

    /// Which phone holds each lane.
    #[must_use]
    pub fn holders(&self) -> &Holders {
        &self.holders
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_phone_has_the_lane_and_a_link_alone_takes_it_from_nobody_on_the_line() {
        let mut lanes = HeatLanes::default();
        let holder = |lanes: &HeatLanes| lanes.holders().get(&1).cloned().unwrap();
        lanes.link(1, "a", true);
        lanes.link(1, "b", true);
        assert_eq!(holder(&lanes), "a");
        lanes.link(1, "b", false);
        lanes.link(1, "a", false);
        assert_eq!(holder(&lanes), "a", "off the line it keeps the lane");
        lanes.link(1, "c", true);
        assert_eq!(holder(&lanes), "c", "as older feeds had it");
        lanes.goes_to(1, "d");
        lanes.link(1, "c", false);
        lanes.link(1, "a", true);
        assert_eq!(holder(&lanes), "d", "what was decided stands");
    }
}
