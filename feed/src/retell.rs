//! Tells a heat of a journal again: the messages that a board was sent, each with its moment of feed time, so that
//! what the crowd saw can be shown once more. Worked out from the record by what made it then; changes nothing.

use std::io;
use std::path::Path;
use std::sync::Arc;

use fivemark_wire::from_feed::{Delta, FeedMessage, Snapshot};
use thiserror::Error;

use crate::actor::{Changes, Heats, OpenHeatError};
use crate::competition::Competition;
use crate::journal::{OpenError, Written, read_each};
use crate::roles::Audience;

/// Why a heat could not be told again.
#[derive(Debug, Error)]
pub enum RetellError {
    /// The journal.
    #[error(transparent)]
    Journal(#[from] OpenError),
    /// A heat.
    #[error(transparent)]
    Heat(#[from] OpenHeatError),
    /// It never came to the floor.
    #[error("heat {heat} was never on the floor in this journal; it has {}", listed(.there))]
    NotThere {
        /// The heat that was asked for.
        heat: u32,
        /// Those that were, in the order in which they came.
        there: Vec<u32>,
    },
    /// What was told could not be passed on.
    #[error("what the journal tells could not be written: {0}")]
    Telling(#[from] io::Error),
}

fn listed(heats: &[u32]) -> String {
    let numbers: Vec<String> = heats.iter().map(u32::to_string).collect();
    format!("{} {}", if heats.len() == 1 { "heat" } else { "heats" }, numbers.join(", "))
}

/// Tells a heat again, all of its runs: a snapshot whenever it comes to the floor or its whole picture changes, and
/// numbered deltas. What would still happen by itself after the last entry, such as the cap, is told too.
///
/// # Errors
/// See [`RetellError`]; what was told before an entry that can't be read stands.
pub fn retell(
    journal: &Path,
    competition: Arc<Competition>,
    heat: u32,
    tell: impl FnMut(&FeedMessage) -> io::Result<()>,
) -> Result<(), RetellError> {
    let mut teller =
        Teller { heats: Heats::new(competition)?, heat, there: Vec::new(), number: 0, tell, failed: None };
    let mut changes = Changes::default();
    changes.whole = true;
    teller.publish(changes, 0);
    read_each(journal, |Written { entry, body }| {
        // What had happened by itself when it came was told before it.
        teller.fire_until(entry.at_ms);
        let mut changes = Changes::default();
        teller.heats.apply_written(&entry, &body, &mut changes);
        teller.publish(changes, entry.at_ms);
    })?;
    teller.fire_until(i64::MAX);
    if let Some(error) = teller.failed {
        return Err(error.into());
    }
    if !teller.there.contains(&heat) {
        return Err(RetellError::NotThere { heat, there: teller.there });
    }
    Ok(())
}

struct Teller<T> {
    heats: Heats,
    heat: u32,
    /// Heats that were on the floor.
    there: Vec<u32>,
    /// Of the last message; 0 before the first.
    number: u64,
    tell: T,
    failed: Option<io::Error>,
}

impl<T: FnMut(&FeedMessage) -> io::Result<()>> Teller<T> {
    fn fire_until(&mut self, until_ms: i64) {
        while let Some(at) = self.heats.next_timeout().filter(|at| at.0 <= until_ms) {
            let mut changes = Changes::default();
            self.heats.fire(at, &mut changes);
            self.publish(changes, at.0);
        }
    }

    fn publish(&mut self, mut changes: Changes, at_ms: i64) {
        let on_floor = self.heats.on_floor();
        if self.there.last() != Some(&on_floor) {
            self.there.push(on_floor);
        }
        changes.shows = self.heats.refresh_shows();
        if on_floor != self.heat || self.failed.is_some() {
            return;
        }
        if std::mem::take(&mut changes.whole)
            && let Some(picture) = self.heats.picture(true)
        {
            self.number += 1;
            // A picture has what screens are asked to show.
            changes.shows = false;
            let snapshot = Snapshot { number: self.number, ..picture.for_audience(Audience::Public, at_ms) };
            self.say(&FeedMessage::Snapshot(Box::new(snapshot)));
        }
        if let Some(delta) = self.heats.delta(changes, at_ms) {
            self.number += 1;
            // Rulings are for officials' screens.
            self.say(&FeedMessage::Delta(Delta { number: self.number, rulings: Vec::new(), ..delta }));
        }
    }

    fn say(&mut self, message: &FeedMessage) {
        if self.failed.is_none() {
            self.failed = (self.tell)(message).err();
        }
    }
}
