//! Which lane judges are on the line: one phone a lane. A second phone is told that the lane is taken; the same phone
//! coming back takes its own place.

use std::collections::{BTreeMap, BTreeSet};

use fivemark_wire::from_feed::{Reason, ReasonCode};

use super::heats::LinkKey;
use crate::access::reason;
use crate::client::handle::{ClientHandle, End};

/// The lane judges on the line.
#[derive(Debug, Default)]
pub struct Judges {
    by_lane: BTreeMap<u8, (String, ClientHandle)>,
}

impl Judges {
    /// Lets a judge take a lane.
    ///
    /// # Errors
    /// When another phone has it.
    pub fn join(&mut self, lane: u8, device: &str, client: ClientHandle) -> Result<(), Reason> {
        match self.by_lane.get(&lane) {
            Some((other, _)) if other != device => {
                return Err(reason(
                    ReasonCode::LaneTaken,
                    format!("Another phone counts lane {lane}. It has to leave first; ask the head judge."),
                ));
            }
            Some((_, earlier)) => earlier.end(End::Replaced),
            None => {}
        }
        self.by_lane.insert(lane, (device.to_owned(), client));
        Ok(())
    }

    /// Takes note of a connection's end. True if it held the lane.
    pub fn leave(&mut self, lane: u8, client: &ClientHandle) -> bool {
        let held = self.by_lane.get(&lane).is_some_and(|(_, holder)| holder.same_as(client));
        if held {
            self.by_lane.remove(&lane);
        }
        held
    }

    /// The phones on the line.
    #[must_use]
    pub fn present(&self) -> BTreeSet<LinkKey> {
        self.by_lane.iter().map(|(lane, (device, _))| (*lane, device.clone())).collect()
    }
}
