//! The one task that owns the heats. Stamps what comes in, hands it to the journal, and when it is durable applies it
//! in order, publishes what changed and answers. Time runs on only when nothing stamped earlier still waits.

mod answered;
mod changes;
mod heats;
mod judges;
mod lane_log;
mod notes;
mod phones;
mod questions;

use std::collections::VecDeque;
use std::sync::Arc;
use std::time::Duration;

use fivemark_engine::time::HeatMs;
use fivemark_wire::from_client::FloorCommand;
use fivemark_wire::from_feed::{Delta, FeedMessage, Reason, ReasonCode, Refusal};
use fivemark_wire::phones::Phone;
use tokio::sync::{mpsc, oneshot};

pub use self::changes::Changes;
pub use self::heats::{Heats, OpenHeatError, Reopening, Signing};
use self::judges::Judges;
pub use self::judges::Newcomer;
use self::phones::Officials;
pub use self::questions::Question;
use crate::access::reason;
use crate::client::handle::{Answer, ClientHandle};
use crate::journal::{Body, Entry, JournalWriter, MAX_WAITING, Report};
use crate::shared::Shared;

/// Messages that wait for the actor. Beyond it, sockets are not read: the senders wait.
pub const MAX_INPUTS: usize = 1_024;
/// Longest sleep before looking at the clock again: timers stand still while the machine sleeps, feed time does not.
const LONGEST_SLEEP: Duration = Duration::from_secs(1);
/// How long the end waits for the disk.
const LAST_COMMITS: Duration = Duration::from_secs(5);

/// What connections tell the actor.
#[derive(Debug)]
pub enum Input {
    /// Something to be journalled, applied and answered.
    Said {
        /// Heat that it is for.
        heat: u32,
        /// Name of the device.
        device: String,
        /// What was said.
        body: Body,
        /// Who said it.
        from: ClientHandle,
        /// Feed time of receipt.
        at: HeatMs,
    },
    /// A judge's phone wants to join.
    Joining {
        /// Which one.
        newcomer: Newcomer,
        /// Takes the answer: whether it stands by.
        reply: oneshot::Sender<Result<bool, Reason>>,
    },
    /// A head judge or floor operator has joined.
    Official {
        /// The connection.
        from: ClientHandle,
    },
    /// A judge's phone tells how it is.
    Phone {
        /// What it tells.
        phone: Phone,
        /// The connection.
        from: ClientHandle,
    },
    /// Somebody asks something of the record.
    Asked {
        /// What.
        question: Question,
        /// The connection.
        from: ClientHandle,
    },
    /// A judge's or an official's connection has ended.
    Gone {
        /// The connection.
        from: ClientHandle,
    },
    /// The feed stops: what came before is still answered, nothing after it is taken.
    Stop,
}

/// Everything that can happen to the actor.
#[derive(Debug)]
enum Event {
    Input(Input),
    Report(Report),
    /// The journal's thread has ended by itself.
    JournalGone,
    TimeCame,
    /// Officials may be told of phones again.
    Beat,
    /// No input is left.
    Closed,
}

/// Owns the heats.
#[derive(Debug)]
pub struct Actor {
    heats: Heats,
    judges: Judges,
    officials: Officials,
    shared: Arc<Shared>,
    journal: JournalWriter,
    reports: mpsc::Receiver<Report>,
    inputs: mpsc::Receiver<Input>,
    /// Given to the journal, not yet reported, in order.
    waiting: VecDeque<Waiting>,
    journal_ok: bool,
    journal_gone: bool,
    /// No later stamp is before this moment.
    latest: HeatMs,
}

#[derive(Debug)]
struct Waiting {
    entry: Entry,
    from: Option<ClientHandle>,
}

impl Actor {
    /// An actor over heats that the journal has rebuilt. `latest` is the last moment that they know.
    #[must_use]
    pub fn new(
        heats: Heats,
        latest: HeatMs,
        shared: Arc<Shared>,
        (journal, reports): (JournalWriter, mpsc::Receiver<Report>),
        inputs: mpsc::Receiver<Input>,
    ) -> Self {
        Self {
            judges: Judges::new(heats.lanes().of(heats.on_floor()).holders().clone()),
            officials: Officials::default(),
            heats,
            shared,
            journal,
            reports,
            inputs,
            waiting: VecDeque::new(),
            journal_ok: true,
            journal_gone: false,
            latest,
        }
    }

    /// Works until the inputs are closed and everything taken in is answered; then closes the journal.
    pub async fn run(mut self) {
        // Whoever was on the line before a restart is not now.
        self.reconcile_links();
        while let Some(event) = self.next_event().await {
            match event {
                Event::Input(input) => self.take(input),
                Event::Report(report) => self.reported(report),
                Event::JournalGone => self.journal_gone(),
                Event::TimeCame => self.fire(),
                Event::Beat => self.tell_of_phones(),
                Event::Closed => break,
            }
        }
        while !self.waiting.is_empty() {
            match tokio::time::timeout(LAST_COMMITS, self.reports.recv()).await {
                Ok(Some(report)) => self.reported(report),
                Ok(None) | Err(_) => {
                    tracing::error!(waiting = self.waiting.len(), "the disk did not take the last entries");
                    break;
                }
            }
        }
        let journal = self.journal;
        if tokio::task::spawn_blocking(move || journal.close()).await.is_err() {
            tracing::error!("the journal could not be closed");
        }
    }

    async fn next_event(&mut self) -> Option<Event> {
        let room = self.waiting.len() < MAX_WAITING;
        let timeout = self.timeout_due_in();
        tokio::select! {
            biased;
            report = self.reports.recv(), if !self.journal_gone => {
                Some(report.map_or(Event::JournalGone, Event::Report))
            }
            input = self.inputs.recv(), if room => Some(input.map_or(Event::Closed, Event::Input)),
            () = self.officials.beat(), if self.officials.any() => Some(Event::Beat),
            () = sleep(timeout), if timeout.is_some() => Some(Event::TimeCame),
            else => None,
        }
    }

    /// Real time until the next timeout; none while something stamped before it waits for the disk.
    fn timeout_due_in(&self) -> Option<Duration> {
        let next = self.heats.next_timeout()?;
        if self.waiting.front().is_some_and(|waiting| waiting.entry.at_ms <= next.0) {
            return None;
        }
        Some(self.shared.clock.until(next).min(LONGEST_SLEEP))
    }

    fn fire(&mut self) {
        let now = self.shared.clock.now();
        let mut changes = Changes::default();
        while let Some(due) = self.heats.next_timeout().filter(|due| *due <= now) {
            if self.waiting.front().is_some_and(|waiting| waiting.entry.at_ms <= due.0) {
                break;
            }
            self.heats.fire(due, &mut changes);
            self.latest = self.latest.max(due);
        }
        self.publish(changes, None);
    }

    fn take(&mut self, input: Input) {
        match input {
            Input::Said { heat, device, body, from, at } => self.said(heat, device, body, from, at),
            Input::Joining { newcomer, reply } => {
                let joined = self.let_in(newcomer);
                let took = joined.is_ok();
                // A connection that is gone already says so itself.
                drop(reply.send(joined));
                if took {
                    self.reconcile_links();
                }
            }
            Input::Official { from } => self.officials.join(from),
            Input::Phone { phone, from } => self.judges.note_phone(&from, phone),
            Input::Asked { question, from } => {
                from.answer(Answer::Message(Box::new(self.heats.answer(&question))));
            }
            Input::Gone { from } => {
                self.officials.leave(&from);
                if let Some((lane, device)) = self.judges.leave(&from, self.heard_ms(&from)) {
                    tracing::info!(lane, device, "a lane judge's link is lost");
                    self.reconcile_links();
                }
            }
            Input::Stop => self.inputs.close(),
        }
    }

    /// Takes something for the record, if its sender may say it as things stand.
    fn said(&mut self, heat: u32, device: String, mut body: Body, from: ClientHandle, at: HeatMs) {
        if let Body::Floor { said, initials, .. } = &mut body {
            *initials = said.command == FloorCommand::Sign && self.heats.wants_initials();
        }
        match self.may_say(heat, &device, &body, &from) {
            Ok(()) => self.journal(heat, device, body, Some(from), at),
            Err(answer) => {
                if let FeedMessage::Refusal(refusal) = answer.as_ref() {
                    self.shared.metrics.refused(refusal.why.code);
                    tracing::info!(heat, device, kind = body.kind(), code = ?refusal.why.code, "refused");
                }
                from.answer(Answer::Message(answer));
            }
        }
    }

    /// Stamps an entry and gives it to the journal.
    fn journal(&mut self, heat: u32, device: String, body: Body, from: Option<ClientHandle>, at: HeatMs) {
        self.latest = self.latest.max(at);
        let entry = Entry {
            at_ms: self.latest.0,
            wall_ms: self.shared.clock.wall_ms(),
            boot_ms: self.shared.clock.boot_ms(),
            heat,
            device,
            body,
        };
        if self.journal_ok && self.journal.give(entry.clone()) {
            self.waiting.push_back(Waiting { entry, from });
        } else if let Some(from) = from {
            self.refuse(&entry, &from);
        }
    }

    fn reported(&mut self, report: Report) {
        match report {
            Report::Committed { count, took } => self.committed(count, took),
            Report::Failed { count, .. } => self.failed(count),
            Report::Recovered => {
                self.set_journal_ok(true);
                self.reconcile_links();
            }
        }
    }

    fn failed(&mut self, count: usize) {
        let failed: Vec<Waiting> = self.waiting.drain(..count.min(self.waiting.len())).collect();
        for waiting in failed {
            if let Some(from) = &waiting.from {
                self.refuse(&waiting.entry, from);
            }
        }
        self.set_journal_ok(false);
    }

    fn journal_gone(&mut self) {
        tracing::error!(
            "the journal's thread has ended; nothing is acknowledged until the feed is started again"
        );
        self.journal_gone = true;
        self.failed(usize::MAX);
    }

    fn committed(&mut self, count: usize, took: Duration) {
        let metrics = &self.shared.metrics;
        metrics.entries.inc_by(u64::try_from(count).unwrap_or(0));
        metrics.commit_seconds.observe(took.as_secs_f64());
        let mut changes = Changes::default();
        let mut answers = Vec::new();
        let floor_before = self.heats.on_floor();
        for _ in 0..count {
            let Some(waiting) = self.waiting.pop_front() else { break };
            let answer = self.heats.apply(&waiting.entry, &mut changes);
            if let (Some(answer), Some(from)) = (answer, waiting.from) {
                answers.push((waiting.entry, answer, from));
            }
        }
        self.publish(changes, None);
        if self.heats.on_floor() != floor_before {
            let heat = self.heats.on_floor();
            tracing::info!(heat, "another heat is on the floor");
            self.judges.go_to(heat, self.heats.lanes().of(heat).holders().clone());
            self.reconcile_links();
        }
        for (entry, answer, from) in answers {
            notes::note(&self.shared.metrics, &entry, &answer);
            self.follow_hand_over(&entry, &answer);
            from.answer(Answer::Message(Box::new(answer)));
        }
    }

    fn set_journal_ok(&mut self, ok: bool) {
        if self.journal_ok != ok {
            self.journal_ok = ok;
            self.shared.set_journal_ok(ok);
            self.publish(Changes::default(), Some(ok));
        }
    }

    /// Tells everybody what changed.
    fn publish(&mut self, mut changes: Changes, journal_ok: Option<bool>) {
        let at_ms = self.shared.clock.now().0;
        changes.shows = self.heats.refresh_shows();
        if changes.whole || changes.heat {
            self.shared.set_on_floor(self.heats.for_joins());
        }
        if std::mem::take(&mut changes.whole)
            && let Some(picture) = self.heats.picture(self.journal_ok)
        {
            changes.shows = false;
            self.shared.metrics.delta.set(self.shared.hub.replace(picture));
        }
        let mut delta = self.heats.delta(changes, at_ms);
        if journal_ok.is_some() {
            let empty = Delta { at_ms, ..Delta::default() };
            delta = Some(Delta { journal_ok, ..delta.unwrap_or(empty) });
        }
        if let Some(delta) = delta {
            self.shared.metrics.delta.set(self.shared.hub.publish(delta));
        }
    }

    fn refuse(&self, entry: &Entry, to: &ClientHandle) {
        let why = reason(
            ReasonCode::JournalFull,
            "The journal cannot be written, so this was not recorded. Keep it; it can be sent again soon.",
        );
        let answer = FeedMessage::Refusal(Refusal { of: notes::subject(&entry.body), why });
        notes::note(&self.shared.metrics, entry, &answer);
        to.answer(Answer::Message(Box::new(answer)));
    }
}

async fn sleep(span: Option<Duration>) {
    tokio::time::sleep(span.unwrap_or(LONGEST_SLEEP)).await;
}
