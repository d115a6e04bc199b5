//! The reading half of a connection: frames to messages, checked against size, pace, bounds and role, then handed to
//! the actor. What is wrong with a message is told, and the connection goes on; one that keeps on doing wrong is
//! closed.

use std::time::{Duration, Instant};

use axum::Error;
use axum::extract::ws::Message;
use fivemark_wire::from_client::{ClientMessage, Resume};
use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode, Subject};
use fivemark_wire::phones::{Phone, Pins};
use futures_util::{Stream, StreamExt};

use super::checks;
use super::handle::{Answer, ClientHandle};
use super::join::Joined;
use super::{Over, refusal, show};
use crate::access::reason;
use crate::actor::{Input, Question};
use crate::journal::Body;
use crate::metrics::role_name;
use crate::pace::Pace;
use crate::roles::{
    may_command, may_look_behind, may_rule, may_see_judges, may_show, may_speak_for, may_tally,
    may_tell_of_phone,
};
use crate::shared::Shared;
use crate::timeline::REAL_SPEED_MILLI;

/// Messages in a row that could not be taken before the connection is closed: no honest client sends so many.
const MAX_STRIKES: u32 = 200;

/// How often a phone may tell how it is: officials are told as often.
const PHONE_EVERY: Duration = Duration::from_secs(1);

/// What screens show belongs to no heat.
const NO_HEAT: u32 = 0;

/// Reads one client.
pub(super) struct Reader<'a> {
    joined: &'a Joined,
    handle: &'a ClientHandle,
    shared: &'a Shared,
    pace: Pace,
    strikes: u32,
    /// When it last told how it is.
    told: Option<Instant>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(joined: &'a Joined, handle: &'a ClientHandle, shared: &'a Shared) -> Self {
        let pace = checks::pace(joined.role, Instant::now());
        Self { joined, handle, shared, pace, strikes: 0, told: None }
    }

    /// Reads until the connection is over.
    pub(super) async fn run<S>(mut self, stream: &mut S) -> Over
    where
        S: Stream<Item = Result<Message, Error>> + Unpin,
    {
        loop {
            let frame = stream.next().await;
            self.handle.hear(self.shared.clock.boot_ms());
            let text = match frame {
                Some(Ok(Message::Text(text))) => text,
                Some(Ok(Message::Ping(_) | Message::Pong(_))) => continue,
                Some(Ok(Message::Binary(_))) => {
                    let why = reason(ReasonCode::Malformed, "Messages are text frames.");
                    self.refuse(Subject::Message, why);
                    continue;
                }
                Some(Err(error)) if is_too_large(&error) => {
                    let why = reason(ReasonCode::TooLarge, "This message is larger than 65536 bytes.");
                    self.refuse(Subject::Message, why);
                    return Over::TooLarge;
                }
                Some(Ok(Message::Close(_)) | Err(_)) | None => return Over::Left,
            };
            match self.message(&text).await {
                Ok(()) => self.strikes = 0,
                Err((of, why)) => self.refuse(of, why),
            }
            if self.strikes >= MAX_STRIKES {
                return Over::Rule("too many messages that cannot be taken");
            }
        }
    }

    fn refuse(&mut self, of: Subject, why: Reason) {
        self.strikes += 1;
        self.shared.metrics.refused(why.code);
        tracing::info!(role = ?self.joined.role, device = self.joined.device, code = ?why.code, "refused");
        self.handle.answer(Answer::Message(Box::new(refusal(of, why))));
    }

    async fn message(&mut self, text: &str) -> Result<(), (Subject, Reason)> {
        let at = self.shared.clock.now();
        let at_us = self.shared.clock.now_us();
        let most = checks::max_message(self.joined.role);
        if text.len() > most {
            let says =
                format!("This message has {} bytes; at most {most} are taken from this role.", text.len());
            return Err((Subject::Message, reason(ReasonCode::TooLarge, says)));
        }
        let message = serde_json::from_str(text).map_err(|error| {
            let says = format!("This message cannot be read: {error}.");
            (Subject::Message, reason(ReasonCode::Malformed, says))
        })?;
        let of = subject(&message);
        if !self.pace.take(Instant::now()) {
            return Err((
                of,
                reason(ReasonCode::TooFast, "Messages come too fast. Wait a second and send again."),
            ));
        }
        let (heat, body) = match message {
            ClientMessage::Join(_) => {
                return Err((of, reason(ReasonCode::AlreadyJoined, "This connection has joined already.")));
            }
            ClientMessage::Clock(request) => {
                self.handle.answer(Answer::Clock { t1_us: request.t1_us, t2_us: at_us });
                return Ok(());
            }
            ClientMessage::Resume(Resume { stream, last }) => {
                self.handle.answer(Answer::Resume { known: stream == self.shared.stream, last });
                return Ok(());
            }
            ClientMessage::Phone(phone) => return self.phone(phone).await.map_err(|why| (of, why)),
            ClientMessage::AskLane(asked) => {
                may_look_behind(self.joined.role).map_err(|why| (of, why))?;
                return self.ask(of, Question::Lane(asked)).await;
            }
            ClientMessage::AskAthletes(asked) => {
                may_look_behind(self.joined.role).map_err(|why| (of, why))?;
                checks::ask_athletes(&asked).map_err(|why| (of, why))?;
                return self.ask(of, Question::Athletes(asked)).await;
            }
            ClientMessage::AskPapers(asked) => {
                may_look_behind(self.joined.role).map_err(|why| (of, why))?;
                return self.ask(of, Question::Papers(asked)).await;
            }
            ClientMessage::AskStandings(asked) => return self.ask(of, Question::Standings(asked)).await,
            ClientMessage::AskJudges(asked) => {
                may_see_judges(self.joined.role).map_err(|why| (of, why))?;
                return self.ask(of, Question::Judges(asked)).await;
            }
            ClientMessage::AskPins(_) => {
                may_look_behind(self.joined.role).map_err(|why| (of, why))?;
                let floor = self.shared.on_floor();
                let pins = Pins { heat: floor.heat, pins: self.shared.access.pins(&floor) };
                self.handle.answer(Answer::Message(Box::new(FeedMessage::Pins(pins))));
                return Ok(());
            }
            other => self.command(other).map_err(|why| (of, why))?,
        };
        if self.joined.heat.is_some_and(|own| own != heat) {
            let says = format!("This phone was let in for another heat than {heat}. Type that heat's PIN.");
            return Err((of, reason(ReasonCode::NotYourHeat, says)));
        }
        let said =
            Input::Said { heat, device: self.joined.device.clone(), body, from: self.handle.clone(), at };
        self.shared.actor.send(said).await.map_err(|_| (of, shutting_down()))
    }

    /// Asks something of the record.
    async fn ask(&self, of: Subject, question: Question) -> Result<(), (Subject, Reason)> {
        let ask = Input::Asked { question, from: self.handle.clone() };
        self.shared.actor.send(ask).await.map_err(|_| (of, shutting_down()))
    }

    /// How a judge's phone is doing; what comes too soon after the last one is passed over.
    async fn phone(&mut self, phone: Phone) -> Result<(), Reason> {
        may_tell_of_phone(self.joined.role)?;
        checks::phone(&phone)?;
        let now = Instant::now();
        if self.told.is_some_and(|last| now.duration_since(last) < PHONE_EVERY) {
            return Ok(());
        }
        self.told = Some(now);
        let told = Input::Phone { phone, from: self.handle.clone() };
        self.shared.actor.send(told).await.map_err(|_| shutting_down())
    }

    /// What goes into the record: checked, and allowed for the role.
    fn command(&self, message: ClientMessage) -> Result<(u32, Body), Reason> {
        let role = self.joined.role;
        match message {
            ClientMessage::Tally(mut said) => {
                self.shared.metrics.calls.inc();
                let shadow = may_tally(role, self.joined.lane, said.lane)?;
                checks::tally(&said)?;
                // In a rehearsal heat time does not run with the pages' wall clocks; they would seem to have slept.
                if self.shared.clock.speed_milli() != REAL_SPEED_MILLI {
                    said.wall_ms = None;
                }
                Ok((said.heat, Body::Tally { said, link_since_ms: self.joined.since_ms, shadow }))
            }
            ClientMessage::Ruling(said) => {
                may_rule(role)?;
                checks::ruling(&said)?;
                Ok((said.heat, Body::Ruling { said, by: role_name(role).to_owned() }))
            }
            ClientMessage::Floor(said) => {
                may_command(role, &said.command)?;
                checks::floor(&said)?;
                // Whether initials are wanted is the competition's to say.
                Ok((said.heat, Body::Floor { said, by: role_name(role).to_owned(), initials: false }))
            }
            ClientMessage::Show(said) => {
                may_show(role)?;
                show::within_bounds(&said.command)?;
                Ok((NO_HEAT, Body::Show { said, by: role_name(role).to_owned() }))
            }
            ClientMessage::HandOver(said) => {
                may_speak_for(role, self.joined.lane, said.lane)?;
                checks::hand_over(&said)?;
                Ok((said.heat, Body::HandOver { said, by: role_name(role).to_owned() }))
            }
            ClientMessage::Confirm(said) => {
                may_speak_for(role, self.joined.lane, said.lane)?;
                checks::confirm(&said, role)?;
                Ok((said.heat, Body::Confirm { said, by: role_name(role).to_owned() }))
            }
            ClientMessage::Join(_)
            | ClientMessage::Clock(_)
            | ClientMessage::Resume(_)
            | ClientMessage::Phone(_)
            | ClientMessage::AskPins(_)
            | ClientMessage::AskAthletes(_)
            | ClientMessage::AskLane(_)
            | ClientMessage::AskPapers(_)
            | ClientMessage::AskStandings(_)
            | ClientMessage::AskJudges(_) => {
                Err(reason(ReasonCode::Malformed, "This message does not go into the record."))
            }
        }
    }
}

fn subject(message: &ClientMessage) -> Subject {
    match message {
        ClientMessage::Join(_) => Subject::Join,
        ClientMessage::Tally(tally) => Subject::Tally { epoch: tally.epoch, number: tally.number },
        ClientMessage::Ruling(ruling) => Subject::Ruling { id: ruling.id },
        ClientMessage::Floor(floor) => Subject::Floor { id: floor.id },
        ClientMessage::Show(show) => Subject::Show { id: show.id },
        ClientMessage::HandOver(hand_over) => Subject::HandOver { id: hand_over.id },
        ClientMessage::Confirm(confirm) => Subject::Confirm { id: confirm.id },
        ClientMessage::AskLane(ask) => Subject::AskLane { id: ask.id },
        ClientMessage::AskAthletes(ask) => Subject::AskAthletes { id: ask.id },
        ClientMessage::AskPapers(ask) => Subject::AskPapers { id: ask.id },
        ClientMessage::AskStandings(ask) => Subject::AskStandings { id: ask.id },
        ClientMessage::AskJudges(ask) => Subject::AskJudges { id: ask.id },
        ClientMessage::Phone(_)
        | ClientMessage::AskPins(_)
        | ClientMessage::Clock(_)
        | ClientMessage::Resume(_) => Subject::Message,
    }
}

/// The feed stops and takes nothing more.
pub(super) fn shutting_down() -> Reason {
    reason(ReasonCode::ShuttingDown, "The feed stops. Keep this and send it again when the feed is back.")
}

/// Whether a frame or message was larger than the socket's bound.
pub(super) fn is_too_large(error: &Error) -> bool {
    // The WebSocket library's error type is not public through axum; its words are.
    let mut source: Option<&dyn std::error::Error> = Some(error);
    while let Some(inner) = source {
        if inner.to_string().contains("too long") {
            return true;
        }
        source = inner.source();
    }
    false
}
