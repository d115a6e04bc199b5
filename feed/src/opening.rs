//! The steps from a record that is read to heats that go on: finds feed time, writes the start down, and flags the
//! heats whose clock is in doubt. How feed time is found is `restart`'s.

use std::sync::Arc;

use fivemark_engine::time::HeatMs;
use tokio::sync::mpsc;

use crate::actor::{Actor, Changes, Heats, Input};
use crate::competition::Competition;
use crate::journal::{Body, Entry, Journal, JournalWriter, SqliteJournal, Start};
use crate::replay::Replayed;
use crate::restart::{Carried, LastSeen, Plan};
use crate::run::StartError;
use crate::shared::Shared;
use crate::timeline::Anchor;

/// A start, until the clock is known.
pub(crate) struct Opening {
    journal: SqliteJournal,
    heats: Heats,
    last_start: Option<Start>,
    last: Option<LastSeen>,
    competition: String,
    shared: Arc<Shared>,
}

impl Opening {
    pub(crate) fn new(replayed: Replayed, competition: &Competition, shared: Arc<Shared>) -> Self {
        let Replayed { journal, heats, last_start, last, .. } = replayed;
        shared.set_on_floor(heats.for_joins());
        Self { journal, heats, last_start, last, competition: competition.digest.clone(), shared }
    }

    /// Sets the clock going, unless pages have to be asked; then gives what the wall clock would have it be.
    pub(crate) fn begin_if_known(&mut self) -> Result<Option<Anchor>, StartError> {
        let last_start = self.last_start.as_ref();
        if last_start.is_some_and(|start| start.competition != self.competition) {
            tracing::warn!("the competition file is not the one that this journal was last used with");
        }
        let under_way = !self.heats.under_way().is_empty();
        let clock = &self.shared.clock;
        let earlier = last_start.map(|start| &start.anchor);
        match Plan::of(earlier, self.last, under_way, clock.reading(), clock.speed_milli()) {
            Plan::Known(anchor, carried) => self.begin(anchor, carried, &[]).map(|()| None),
            Plan::AskPages { by_wall } => Ok(Some(by_wall)),
        }
    }

    /// Finds the clock again after a reboot with heats under way, and flags them.
    pub(crate) async fn ask_pages(&mut self, by_wall: Anchor) -> Result<(), StartError> {
        let patience = self.shared.patience;
        let (wait_s, heats) = (patience.first_clock.as_secs(), self.heats.under_way());
        tracing::warn!(
            ?heats,
            wait_s,
            "the machine was restarted; pages that are still loaded are asked for the time"
        );
        let expected = self.heats.lanes().of(self.heats.on_floor()).links().len();
        let (anchor, carried) = self.shared.page_clocks.decide(by_wall, self.last, expected, patience).await;
        tracing::warn!(?carried, "the head judge has to look at the clock and confirm it");
        self.begin(anchor, carried, &heats)
    }

    /// Writes the start down, with the heats whose clock it puts in doubt, and sets the clock going.
    fn begin(&mut self, anchor: Anchor, carried: Carried, doubted: &[u32]) -> Result<(), StartError> {
        let entry = |heat: &u32| Entry {
            at_ms: anchor.feed_us.div_euclid(1_000),
            wall_ms: anchor.wall_ms,
            boot_ms: anchor.boot_us / 1_000,
            heat: *heat,
            device: String::new(),
            body: Body::Reboot { carried },
        };
        let entries: Vec<Entry> = doubted.iter().map(entry).collect();
        let start = Start {
            anchor: anchor.clone(),
            carried: Some(carried),
            competition: self.competition.clone(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        };
        self.journal.begin(&start, &entries).map_err(StartError::Begin)?;
        for entry in &entries {
            self.heats.apply(entry, &mut Changes::default());
            self.last = Some(LastSeen { at_ms: entry.at_ms, wall_ms: entry.wall_ms });
        }
        self.heats.refresh_shows();
        if let Some(picture) = self.heats.picture(true).filter(|_| !entries.is_empty()) {
            self.shared.hub.replace(picture);
        }
        self.shared.clock.set(anchor);
        Ok(())
    }

    pub(crate) fn actor(
        self,
        wrap: impl FnOnce(SqliteJournal) -> Box<dyn Journal>,
        inputs: mpsc::Receiver<Input>,
    ) -> Result<Actor, StartError> {
        let latest = HeatMs(self.last.map_or(0, |last| last.at_ms));
        let writer = JournalWriter::start(wrap(self.journal))
            .map_err(|error| StartError::System(format!("thread for the journal: {error}")))?;
        Ok(Actor::new(self.heats, latest, self.shared, writer, inputs))
    }
}
