//! A judge's phone as a state machine without I/O: the queue that survives outages and reloads, numbers, answers,
//! holes that are asked for, clock exchanges. Time is an argument, on the phone's own clock. Leaves delays and lost
//! messages to `link`, sockets to `radio`.

use std::collections::VecDeque;

use fivemark_wire::clock::{Estimator, Exchange};
use fivemark_wire::from_client::{ClientMessage, ClockRequest, Join, Offset, Resume, Role, Tally};
use fivemark_wire::from_feed::{Ack, ClockReply, FeedMessage, Gap, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::view::HeatState;

use crate::clock::REAL_SPEED_MILLI;
use crate::judge::Tap;

/// Between two clock exchanges, microseconds.
const CLOCK_EVERY_US: i64 = 5_000_000;
/// The first few come faster, so that the clock is known soon.
const FIRST_CLOCKS: u32 = 4;
const FIRST_CLOCKS_EVERY_US: i64 = 400_000;
/// However fast the heat runs, a phone doesn't ask more often than this, real microseconds.
const CLOCK_REAL_US: i64 = 200_000;
/// A call without an answer is sent again after this, microseconds; each time twice as long, up to a limit.
const AGAIN_AFTER_US: i64 = 4_000_000;
const AGAIN_DOUBLINGS: u32 = 3;
/// Calls on their way at once: a bound on what has to be sent again after a hole.
const MOST_ON_THE_WAY: usize = 32;
/// Told "too fast", a phone waits this long, real microseconds.
const TOO_FAST_REAL_US: i64 = 1_000_000;
/// Most calls that wait for an answer. A judge who taps twice a second fills it in half an hour without a link.
pub const MAX_WAITING: usize = 4_096;

/// What a phone is called and what lets it in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Identity {
    /// Lane that it counts, from 1.
    pub lane: u8,
    /// Name of the device, kept across reloads.
    pub device: String,
    /// Access key of the lane's judge.
    pub access_key: String,
}

/// What became of a call.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its page load.
    pub epoch: u64,
    /// Its number.
    pub number: u32,
    /// Why it does not count, if it does not.
    pub not_counted: Option<Reason>,
}

/// Why a phone cannot go on.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhoneError {
    /// The feed turned the join away for good.
    #[error("the feed does not let the judge of lane {lane} in: {says}")]
    TurnedAway {
        /// The lane.
        lane: u8,
        /// What the feed says.
        says: String,
    },
    /// The feed refused a call for good: the phone and the feed don't agree on something.
    #[error("the feed refused call {number} of lane {lane}: {says}")]
    CallRefused {
        /// The lane.
        lane: u8,
        /// The call's number.
        number: u32,
        /// What the feed says.
        says: String,
    },
    /// Too many calls wait for an answer.
    #[error("{MAX_WAITING} calls of lane {lane} wait for an answer; is the feed gone?")]
    QueueFull {
        /// The lane.
        lane: u8,
    },
    /// A tap came before the phone knew of any heat.
    #[error("the judge of lane {lane} tapped before the phone had heard of a heat")]
    NoHeat {
        /// The lane.
        lane: u8,
    },
}

/// What a phone went through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counters {
    /// Calls that were sent more than once.
    pub again: u32,
    /// Holes that the feed asked for.
    pub gaps: u32,
    /// Answers that came again.
    pub double_answers: u32,
    /// Times that the link was lost.
    pub losses: u32,
    /// Times that the page was loaded again.
    pub reloads: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Link {
    Down,
    Joining,
    Up,
}

#[derive(Clone, Debug)]
struct Waiting {
    tally: Tally,
    sent_us: Option<i64>,
    tries: u32,
}

/// The phone.
#[derive(Clone, Debug)]
pub struct Phone {
    identity: Identity,
    epoch: u64,
    next_number: u32,
    estimator: Estimator,
    queue: VecDeque<Waiting>,
    link: Link,
    speed_milli: u32,
    heat: Option<(u32, u32)>,
    place: Option<Resume>,
    out: VecDeque<ClientMessage>,
    clock_due_us: i64,
    clocks_sent: u32,
    quiet_until_us: i64,
    answers: VecDeque<Answer>,
    counters: Counters,
}

impl Phone {
    /// A phone with a freshly loaded page. `epoch`: random, below 2^53.
    #[must_use]
    pub fn new(identity: Identity, epoch: u64) -> Self {
        Self {
            identity,
            epoch,
            next_number: 1,
            estimator: Estimator::default(),
            queue: VecDeque::new(),
            link: Link::Down,
            speed_milli: REAL_SPEED_MILLI,
            heat: None,
            place: None,
            out: VecDeque::new(),
            clock_due_us: 0,
            clocks_sent: 0,
            quiet_until_us: i64::MIN,
            answers: VecDeque::new(),
            counters: Counters::default(),
        }
    }

    /// The judge taps: the call gets its number and waits until it is answered.
    ///
    /// # Errors
    /// No heat is known yet, or too many calls wait.
    pub fn tap(&mut self, tap: &Tap, stamp_ms: i64, wall_ms: i64) -> Result<(), PhoneError> {
        let lane = self.identity.lane;
        let (heat, run) = self.heat.ok_or(PhoneError::NoHeat { lane })?;
        if self.queue.len() >= MAX_WAITING {
            return Err(PhoneError::QueueFull { lane });
        }
        let tally = Tally {
            heat,
            run,
            lane,
            epoch: self.epoch,
            number: self.next_number,
            call: tap.call,
            amount: tap.amount,
            fault: tap.fault.clone(),
            stamp_ms,
            wall_ms: Some(wall_ms),
            offset: self.estimator.best(),
            athlete: None,
            load_g: None,
            slot: None,
        };
        self.next_number += 1;
        self.queue.push_back(Waiting { tally, sent_us: None, tries: 0 });
        Ok(())
    }

    /// A connection stands: the phone joins.
    pub fn link_up(&mut self) {
        self.link = Link::Joining;
        self.out.clear();
        self.out.push_back(ClientMessage::Join(Join {
            role: Role::LaneJudge,
            access_key: Some(self.identity.access_key.clone()),
            lane: Some(self.identity.lane),
            device: self.identity.device.clone(),
            resume: self.place.clone(),
        }));
    }

    /// The connection is gone, and with it all that was on its way.
    pub fn link_down(&mut self) {
        if self.link != Link::Down {
            self.counters.losses += 1;
        }
        self.link = Link::Down;
        self.out.clear();
        for waiting in &mut self.queue {
            waiting.sent_us = None;
        }
    }

    /// The page is loaded again: another epoch, another zero of its clock; what waits is kept.
    pub fn reload(&mut self, epoch: u64) {
        self.link_down();
        self.counters.reloads += 1;
        let last = self.estimator.best();
        for waiting in &mut self.queue {
            waiting.tally.offset = waiting.tally.offset.or(last);
        }
        (self.epoch, self.next_number, self.estimator) = (epoch, 1, Estimator::default());
        self.place = None;
        self.quiet_until_us = i64::MIN;
    }

    /// A message from the feed.
    ///
    /// # Errors
    /// The feed does not let this phone in, or refuses one of its calls for good.
    pub fn hear(&mut self, message: FeedMessage, now_us: i64) -> Result<(), PhoneError> {
        match message {
            FeedMessage::Welcome(welcome) => {
                self.link = Link::Up;
                self.speed_milli = welcome.speed_milli.max(1);
                (self.clock_due_us, self.clocks_sent) = (now_us, 0);
                let same = self.place.as_ref().is_some_and(|place| place.stream == welcome.stream);
                if !same {
                    self.place = Some(Resume { stream: welcome.stream, last: 0 });
                }
            }
            FeedMessage::Snapshot(snapshot) => {
                self.heat = Some((snapshot.titles.heat, snapshot.heat.run));
                self.moved_to(snapshot.number);
            }
            FeedMessage::Delta(delta) => self.delta(delta.number, delta.heat.as_ref()),
            FeedMessage::Ack(ack) => self.ack(ack),
            FeedMessage::Refusal(refusal) => self.refused(refusal, now_us)?,
            FeedMessage::Gap(gap) => self.gap(gap, now_us),
            FeedMessage::Clock(reply) => self.clock_reply(reply, now_us),
        }
        Ok(())
    }

    /// The next message to send, if there is one now. Ask until there is none.
    pub fn poll_message(&mut self, now_us: i64) -> Option<ClientMessage> {
        if self.link == Link::Down {
            return None;
        }
        if let Some(message) = self.out.pop_front() {
            return Some(message);
        }
        if self.link != Link::Up || now_us < self.quiet_until_us {
            return None;
        }
        if now_us >= self.clock_due_us {
            self.clocks_sent += 1;
            self.clock_due_us = now_us + self.until_next_clock_us();
            return Some(ClientMessage::Clock(ClockRequest { t1_us: now_us }));
        }
        let index = self.next_to_send(now_us)?;
        let (best, epoch) = (self.estimator.best(), self.epoch);
        let waiting = self.queue.get_mut(index)?;
        waiting.sent_us = Some(now_us);
        waiting.tries += 1;
        if waiting.tries == 2 {
            self.counters.again += 1;
        }
        if waiting.tally.epoch == epoch {
            waiting.tally.offset = best;
        }
        Some(ClientMessage::Tally(waiting.tally.clone()))
    }

    /// When to ask for a message again although nothing happened; none while the link is down.
    #[must_use]
    pub fn next_due_us(&self) -> Option<i64> {
        if self.link != Link::Up {
            return None;
        }
        let again = self.queue.front().and_then(Waiting::again_at_us);
        let due = again.map_or(self.clock_due_us, |again| again.min(self.clock_due_us));
        Some(due.max(self.quiet_until_us))
    }

    /// The next answer to a call, in the order in which they came.
    pub fn poll_answer(&mut self) -> Option<Answer> {
        self.answers.pop_front()
    }

    /// Calls without an answer.
    #[must_use]
    pub fn waiting(&self) -> usize {
        self.queue.len()
    }

    /// What the phone went through.
    #[must_use]
    pub fn counters(&self) -> Counters {
        self.counters
    }

    /// The clock offset that the phone goes by.
    #[must_use]
    pub fn offset(&self) -> Option<Offset> {
        self.estimator.best()
    }

    fn until_next_clock_us(&self) -> i64 {
        let wanted = if self.clocks_sent < FIRST_CLOCKS { FIRST_CLOCKS_EVERY_US } else { CLOCK_EVERY_US };
        wanted.max(self.real_us(CLOCK_REAL_US))
    }

    /// A span of real time on the phone's clock, which runs with the heat.
    fn real_us(&self, us: i64) -> i64 {
        us * i64::from(self.speed_milli) / i64::from(REAL_SPEED_MILLI)
    }

    fn next_to_send(&self, now_us: i64) -> Option<usize> {
        let oldest = self.queue.front()?;
        if oldest.again_at_us().is_some_and(|again| again <= now_us) {
            return Some(0);
        }
        let on_the_way = self.queue.iter().filter(|waiting| waiting.sent_us.is_some()).count();
        if on_the_way >= MOST_ON_THE_WAY {
            return None;
        }
        let index = self.queue.iter().position(|waiting| waiting.sent_us.is_none())?;
        // A call of this page goes out only when the page knows its clock.
        let own = self.queue.get(index)?.tally.epoch == self.epoch;
        (!own || self.estimator.best().is_some()).then_some(index)
    }

    fn moved_to(&mut self, number: u64) {
        if let Some(place) = &mut self.place {
            place.last = number;
        }
    }

    fn delta(&mut self, number: u64, state: Option<&HeatState>) {
        let Some(place) = &mut self.place else { return };
        if number > place.last + 1 {
            let resume = place.clone();
            if !self.out.iter().any(|message| matches!(message, ClientMessage::Resume(_))) {
                self.out.push_back(ClientMessage::Resume(resume));
            }
        } else if number == place.last + 1 {
            place.last = number;
            if let (Some(state), Some((_, run))) = (state, &mut self.heat) {
                *run = state.run;
            }
        }
    }

    fn ack(&mut self, ack: Ack) {
        let Subject::Tally { epoch, number } = ack.of else { return };
        match self.place_of(epoch, number) {
            Some(index) => {
                self.queue.remove(index);
                self.answers.push_back(Answer { epoch, number, not_counted: ack.not_counted });
            }
            None => self.counters.double_answers += 1,
        }
    }

    fn refused(&mut self, refusal: Refusal, now_us: i64) -> Result<(), PhoneError> {
        let later = matches!(refusal.why.code, ReasonCode::TooFast | ReasonCode::ShuttingDown);
        let lane = self.identity.lane;
        if later {
            self.quiet_until_us = now_us + self.real_us(TOO_FAST_REAL_US);
        }
        match refusal.of {
            Subject::Tally { epoch, number } => {
                let Some(index) = self.place_of(epoch, number) else { return Ok(()) };
                if !later {
                    return Err(PhoneError::CallRefused { lane, number, says: refusal.why.says });
                }
                // All after it are out of turn now.
                self.queue.iter_mut().skip(index).for_each(|waiting| waiting.sent_us = None);
            }
            Subject::Join if !later && refusal.why.code != ReasonCode::TooManyClients => {
                return Err(PhoneError::TurnedAway { lane, says: refusal.why.says });
            }
            _ => {}
        }
        Ok(())
    }

    fn gap(&mut self, gap: Gap, now_us: i64) {
        self.counters.gaps += 1;
        let Some(index) = self.place_of(gap.epoch, gap.from) else { return };
        // Every call behind a hole is answered with it; one of these answers is enough.
        let Some(first) = self.queue.get(index) else { return };
        let just_sent =
            first.tries > 1 && first.sent_us.is_some_and(|sent_us| now_us < sent_us + AGAIN_AFTER_US / 4);
        if just_sent {
            return;
        }
        for waiting in self.queue.iter_mut().skip(index) {
            if waiting.tally.epoch == gap.epoch {
                waiting.sent_us = None;
            }
        }
    }

    fn clock_reply(&mut self, reply: ClockReply, now_us: i64) {
        let ClockReply { t1_us, t2_us, t3_us } = reply;
        self.estimator.add(Exchange { t1_us, t2_us, t3_us, t4_us: now_us });
    }

    fn place_of(&self, epoch: u64, number: u32) -> Option<usize> {
        self.queue.iter().position(|waiting| (waiting.tally.epoch, waiting.tally.number) == (epoch, number))
    }
}

impl Waiting {
    /// When it is sent again if no answer comes.
    fn again_at_us(&self) -> Option<i64> {
        let doublings = self.tries.saturating_sub(1).min(AGAIN_DOUBLINGS);
        self.sent_us.map(|sent_us| sent_us + (AGAIN_AFTER_US << doublings))
    }
}
