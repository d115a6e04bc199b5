//! One phone on its real WebSocket: the tokio shell around `phone`, with the delays, losses and outages that `link`
//! draws. Knows nothing of what a call means.

use std::collections::VecDeque;
use std::time::Duration;

use fivemark_dial::{FeedAddress, Socket};
use fivemark_wire::from_client::ClientMessage;
use fivemark_wire::from_feed::FeedMessage;
use tokio::sync::watch;
use tokio::time::sleep_until;

use crate::clock::{FloorClock, PhoneClock};
use crate::judge::Tap;
use crate::link::{Weather, reloaded_clock};
use crate::phone::{Answer, Counters, Phone, PhoneError};
use crate::session::{SessionError, dial, receive, send};

/// A dial that failed is tried again after this, real time.
const DIAL_AGAIN: Duration = Duration::from_millis(500);
/// Messages on their way in either direction, at most. Past it the link breaks, as a real one would.
const MOST_IN_THE_AIR: usize = 8_192;

/// The go, as everybody in the hall hears it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Go {
    /// Run of the heat.
    pub run: u32,
    /// When, milliseconds of the feed's time; moves on when a held heat resumes.
    pub zero_ms: i64,
    /// When, microseconds on the floor's clock.
    pub at_us: i64,
}

/// What all phones share.
#[derive(Clone, Debug)]
pub struct Air {
    /// The feed's address.
    pub address: FeedAddress,
    /// The floor's clock.
    pub clock: FloorClock,
    /// Set when the heat starts, anew when it starts over, none while it is held.
    pub go: watch::Receiver<Option<Go>>,
    /// Set when everybody packs up.
    pub stop: watch::Receiver<bool>,
}

/// What became of a phone's calls.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhoneReport {
    /// Lane, from 1.
    pub lane: u8,
    /// Answers in the order in which they came.
    pub answers: Vec<Answer>,
    /// Calls that were tapped.
    pub tapped: usize,
    /// Calls still without an answer.
    pub waiting: usize,
    /// What the phone went through.
    pub counters: Counters,
}

/// Everything that can happen to a phone.
enum Happening {
    Due,
    Heard(Result<FeedMessage, SessionError>),
    GoChanged,
    Stop,
}

/// A phone in a judge's hand.
pub struct Radio {
    air: Air,
    lane: u8,
    phone: Phone,
    phone_clock: PhoneClock,
    weather: Weather,
    taps: Vec<Tap>,
    go: Option<Go>,
    run: u32,
    next_tap: usize,
    tapped: usize,
    socket: Option<Socket>,
    dial_at_us: i64,
    link_ends_us: i64,
    outgoing: VecDeque<(i64, ClientMessage)>,
    incoming: VecDeque<(i64, FeedMessage)>,
    answers: Vec<Answer>,
}

impl Radio {
    /// A phone that will tap `taps` once the heat starts.
    #[must_use]
    pub fn new(
        air: Air,
        lane: u8,
        phone: Phone,
        phone_clock: PhoneClock,
        weather: Weather,
        taps: Vec<Tap>,
    ) -> Self {
        Self {
            air,
            lane,
            phone,
            phone_clock,
            weather,
            taps,
            go: None,
            run: 0,
            next_tap: 0,
            tapped: 0,
            socket: None,
            dial_at_us: 0,
            link_ends_us: i64::MAX,
            outgoing: VecDeque::new(),
            incoming: VecDeque::new(),
            answers: Vec::new(),
        }
    }

    /// Runs until everybody packs up.
    ///
    /// # Errors
    /// The feed turns the phone away or refuses a call for good.
    pub async fn run(mut self) -> Result<PhoneReport, PhoneError> {
        loop {
            match self.next_happening().await {
                Happening::Due => {}
                Happening::Heard(Ok(message)) => self.message_on_its_way(message),
                Happening::Heard(Err(_)) => self.lose_link(),
                Happening::GoChanged => self.hear_go(),
                Happening::Stop => break,
            }
            self.catch_up().await?;
        }
        Ok(PhoneReport {
            lane: self.lane,
            answers: self.answers,
            tapped: self.tapped,
            waiting: self.phone.waiting(),
            counters: self.phone.counters(),
        })
    }

    async fn next_happening(&mut self) -> Happening {
        let due = self.air.clock.instant_of(self.next_due_us());
        let heard = async {
            match &mut self.socket {
                Some(socket) => receive(socket).await,
                None => std::future::pending().await,
            }
        };
        tokio::select! {
            biased;
            stopped = self.air.stop.wait_for(|stop| *stop) => {
                drop(stopped);
                Happening::Stop
            }
            message = heard => Happening::Heard(message),
            () = sleep_until(due) => Happening::Due,
            Ok(()) = self.air.go.changed() => Happening::GoChanged,
        }
    }

    fn next_due_us(&self) -> i64 {
        let tap = self.go.zip(self.taps.get(self.next_tap)).map(|(go, tap)| go.at_us + tap.at_ms * 1_000);
        let line = if self.socket.is_some() { self.link_ends_us } else { self.dial_at_us };
        let phone = self.phone.next_due_us().map(|us| self.phone_clock.floor_us(us));
        let air = [self.outgoing.front().map(|(due, _)| *due), self.incoming.front().map(|(due, _)| *due)];
        [tap, Some(line), phone].into_iter().chain(air).flatten().min().unwrap_or(line)
    }

    /// Does all that is due by now.
    async fn catch_up(&mut self) -> Result<(), PhoneError> {
        let now_us = self.air.clock.now_us();
        self.tap(now_us)?;
        if self.socket.is_some() && now_us >= self.link_ends_us {
            self.lose_link();
            if let Some(epoch) = self.weather.reload() {
                self.phone.reload(epoch);
                self.phone_clock = reloaded_clock(self.phone_clock, now_us);
            }
        }
        if self.socket.is_none() && now_us >= self.dial_at_us {
            self.dial().await;
        }
        let now_us = self.air.clock.now_us();
        while self.incoming.front().is_some_and(|(due, _)| *due <= now_us) {
            if let Some((_, message)) = self.incoming.pop_front() {
                self.phone.hear(message, self.phone_clock.at(now_us))?;
            }
        }
        while let Some(message) = self.phone.poll_message(self.phone_clock.at(now_us)) {
            self.put_on_air(message, now_us);
        }
        while let Some(answer) = self.phone.poll_answer() {
            self.answers.push(answer);
        }
        self.send_what_arrives(now_us).await;
        Ok(())
    }

    fn hear_go(&mut self) {
        self.go = *self.air.go.borrow_and_update();
        if let Some(go) = self.go
            && go.run != self.run
        {
            (self.run, self.next_tap) = (go.run, 0);
        }
    }

    fn tap(&mut self, now_us: i64) -> Result<(), PhoneError> {
        let Some(go) = self.go else { return Ok(()) };
        while let Some(tap) = self.taps.get(self.next_tap) {
            let at_us = go.at_us + tap.at_ms * 1_000;
            if at_us > now_us {
                break;
            }
            let stamp_ms = self.phone_clock.at(at_us).div_euclid(1_000);
            self.phone.tap(tap, stamp_ms, self.phone_clock.wall_ms(at_us))?;
            (self.next_tap, self.tapped) = (self.next_tap + 1, self.tapped + 1);
        }
        Ok(())
    }

    async fn dial(&mut self) {
        match dial(&self.air.address).await {
            Ok(socket) => {
                self.socket = Some(socket);
                self.link_ends_us = self.air.clock.now_us() + self.weather.lasts_us();
                self.phone.link_up(self.phone_clock.at(self.air.clock.now_us()));
            }
            Err(_) => {
                self.dial_at_us = self.air.clock.now_us() + self.air.clock.heat_us(DIAL_AGAIN);
            }
        }
    }

    /// What is in the air is gone; the phone dials again when the outage is over.
    fn lose_link(&mut self) {
        self.socket = None;
        self.outgoing.clear();
        self.incoming.clear();
        self.phone.link_down();
        self.dial_at_us = self.air.clock.now_us() + self.weather.outage_us();
    }

    fn message_on_its_way(&mut self, message: FeedMessage) {
        if self.incoming.len() >= MOST_IN_THE_AIR {
            self.lose_link();
            return;
        }
        let due = self.air.clock.now_us() + self.weather.delay_us();
        // A connection keeps its messages in order: a slow one holds up those behind it.
        let due = self.incoming.back().map_or(due, |(last, _)| due.max(*last));
        self.incoming.push_back((due, message));
    }

    fn put_on_air(&mut self, message: ClientMessage, now_us: i64) {
        if matches!(message, ClientMessage::Tally(_)) && self.weather.loses() {
            return;
        }
        let due = now_us + self.weather.delay_us();
        let due = self.outgoing.back().map_or(due, |(last, _)| due.max(*last));
        self.outgoing.push_back((due, message));
    }

    async fn send_what_arrives(&mut self, now_us: i64) {
        while self.outgoing.front().is_some_and(|(due, _)| *due <= now_us) {
            let (Some((_, message)), Some(socket)) = (self.outgoing.pop_front(), &mut self.socket) else {
                return;
            };
            if send(socket, &message).await.is_err() {
                self.lose_link();
                return;
            }
        }
    }
}
