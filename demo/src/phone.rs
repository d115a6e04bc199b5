//! A judge's phone as a state machine without I/O: the queue that survives outages and reloads, numbers, answers,
//! holes that are asked for, clock exchanges. Time is an argument, on the phone's own clock. Leaves delays and lost
//! messages to `link`, sockets to `radio`.

use std::collections::VecDeque;

use fivemark_wire::clock::{Estimator, Exchange};
use fivemark_wire::from_client::{ClientMessage, ClockRequest, Join, PageClock, Resume, Role, Tally};
use fivemark_wire::from_feed::{Ack, ClockReply, FeedMessage, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::view::LaneCount;

use crate::calls::{Calls, MAX_WAITING};
use crate::clock::REAL_SPEED_MILLI;
use crate::initials::Initials;
use crate::judge::Tap;

/// Between two clock exchanges, microseconds.
const CLOCK_EVERY_US: i64 = 5_000_000;
/// The first few come faster, so that the clock is known soon.
const FIRST_CLOCKS: u32 = 4;
const FIRST_CLOCKS_EVERY_US: i64 = 400_000;
/// However fast the heat runs, a phone doesn't ask more often than this, real microseconds.
const CLOCK_REAL_US: i64 = 200_000;
/// Told "too fast", a phone waits this long, real microseconds.
const TOO_FAST_REAL_US: i64 = 1_000_000;
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

/// The phone.
#[derive(Clone, Debug)]
pub struct Phone {
    identity: Identity,
    epoch: u64,
    next_number: u32,
    estimator: Estimator,
    calls: Calls,
    link: Link,
    speed_milli: u32,
    heat: Option<(u32, u32)>,
    initials: Initials,
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
            calls: Calls::default(),
            link: Link::Down,
            speed_milli: REAL_SPEED_MILLI,
            heat: None,
            initials: Initials::default(),
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
        if !self.calls.push(tally) {
            return Err(PhoneError::QueueFull { lane });
        }
        self.next_number += 1;
        Ok(())
    }

    /// A connection stands: the phone joins, and says what it takes feed time to be if it has learnt that before.
    pub fn link_up(&mut self, now_us: i64) {
        self.link = Link::Joining;
        self.out.clear();
        self.out.push_back(ClientMessage::Join(Join {
            access_key: Some(self.identity.access_key.clone()),
            lane: Some(self.identity.lane),
            resume: self.place.clone(),
            clock: self.estimator.best().map(|best| PageClock {
                now_us,
                add_us: best.add_us,
                delay_us: best.delay_us,
            }),
            ..Join::new(Role::LaneJudge, self.identity.device.clone())
        }));
    }

    /// The connection is gone, and with it all that was on its way.
    pub fn link_down(&mut self) {
        if self.link != Link::Down {
            self.counters.losses += 1;
        }
        self.link = Link::Down;
        self.out.clear();
        self.calls.lose_all_sent();
    }

    /// The page is loaded again: another epoch, another zero of its clock; what waits is kept.
    pub fn reload(&mut self, epoch: u64) {
        self.link_down();
        self.counters.reloads += 1;
        self.calls.keep_offset(self.estimator.best());
        (self.epoch, self.next_number, self.estimator) = (epoch, 1, Estimator::default());
        self.place = None;
        self.initials.leave_page();
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
                let lane = snapshot.lanes.iter().find(|lane| lane.lane == self.identity.lane);
                self.heat = lane.map(|lane| (snapshot.titles.heat, lane.run));
                let entry = snapshot.entries.iter().find(|entry| entry.lane == self.identity.lane);
                self.initials.of_athlete(entry);
                if let Some(lane) = lane {
                    self.initials.show(snapshot.titles.heat, lane, now_us);
                }
                self.moved_to(snapshot.number);
            }
            FeedMessage::Delta(delta) => self.delta(delta.number, &delta.lanes, now_us),
            FeedMessage::Ack(ack) => self.ack(ack),
            FeedMessage::Refusal(refusal) => self.refused(refusal, now_us)?,
            FeedMessage::Gap(gap) => {
                self.counters.gaps += 1;
                self.calls.fill_hole(gap.epoch, gap.from, now_us);
            }
            FeedMessage::Clock(reply) => self.clock_reply(reply, now_us),
            // A lane of the demo has one phone; the others are for officials.
            FeedMessage::Lane(_)
            | FeedMessage::Phones(_)
            | FeedMessage::Pins(_)
            | FeedMessage::LaneRecord(_)
            | FeedMessage::Judges(_)
            | FeedMessage::Athletes(_)
            | FeedMessage::Papers(_)
            | FeedMessage::Standings(_) => {}
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
        if self.calls.is_empty() {
            return self.initials.next(self.identity.lane, now_us).map(ClientMessage::Confirm);
        }
        let due = self.calls.next(now_us, self.epoch, self.estimator.best())?;
        self.counters.again += u32::from(due.first_repeat);
        Some(ClientMessage::Tally(due.tally))
    }

    /// When to ask for a message again although nothing happened; none while the link is down.
    #[must_use]
    pub fn next_due_us(&self) -> Option<i64> {
        if self.link != Link::Up {
            return None;
        }
        // A result is confirmed when every call before it is answered.
        let initials = self.initials.due_us().filter(|_| self.calls.is_empty());
        let again = self.calls.again_at_us().or(initials);
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
        self.calls.len()
    }

    /// What the phone went through.
    #[must_use]
    pub fn counters(&self) -> Counters {
        self.counters
    }

    fn until_next_clock_us(&self) -> i64 {
        let wanted = if self.clocks_sent < FIRST_CLOCKS { FIRST_CLOCKS_EVERY_US } else { CLOCK_EVERY_US };
        wanted.max(self.real_us(CLOCK_REAL_US))
    }

    /// A span of real time on the phone's clock, which runs with the heat.
    fn real_us(&self, us: i64) -> i64 {
        us * i64::from(self.speed_milli) / i64::from(REAL_SPEED_MILLI)
    }

    fn moved_to(&mut self, number: u64) {
        if let Some(place) = &mut self.place {
            place.last = number;
        }
    }

    fn delta(&mut self, number: u64, lanes: &[LaneCount], now_us: i64) {
        let Some(place) = &mut self.place else { return };
        if number > place.last + 1 {
            let resume = place.clone();
            if !self.out.iter().any(|message| matches!(message, ClientMessage::Resume(_))) {
                self.out.push_back(ClientMessage::Resume(resume));
            }
        } else if number == place.last + 1 {
            place.last = number;
            let own = lanes.iter().find(|lane| lane.lane == self.identity.lane);
            if let (Some(own), Some((heat, run))) = (own, &mut self.heat) {
                *run = own.run;
                self.initials.show(*heat, own, now_us);
            }
        }
    }

    fn ack(&mut self, ack: Ack) {
        let Subject::Tally { epoch, number } = ack.of else { return };
        if self.calls.answered(epoch, number) {
            self.answers.push_back(Answer { epoch, number, not_counted: ack.not_counted });
        } else {
            self.counters.double_answers += 1;
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
                if !self.calls.has(epoch, number) {
                    return Ok(());
                }
                if !later {
                    return Err(PhoneError::CallRefused { lane, number, says: refusal.why.says });
                }
                // All after it are out of turn now.
                self.calls.send_again_from(epoch, number);
            }
            Subject::Join if !later && refusal.why.code != ReasonCode::TooManyClients => {
                return Err(PhoneError::TurnedAway { lane, says: refusal.why.says });
            }
            _ => {}
        }
        Ok(())
    }

    fn clock_reply(&mut self, reply: ClockReply, now_us: i64) {
        let ClockReply { t1_us, t2_us, t3_us } = reply;
        self.estimator.add(Exchange { t1_us, t2_us, t3_us, t4_us: now_us });
    }
}
