//! The head judge's own connection: joins, keeps the clock, gives the commands of the script, tells the hall of the
//! go and the commentator of what happens, and ends when the heat is signed.

use std::time::Duration;

use fivemark_dial::FeedAddress;
use fivemark_wire::clock::{Estimator, Exchange};
use fivemark_wire::from_client::{
    ClientMessage, ClockRequest, Floor as FloorMessage, FloorCommand, Join, Role,
};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode, Refusal, Snapshot};
use fivemark_wire::view::{Clock, State};
use thiserror::Error;
use tokio::sync::watch;
use tokio::time::{Instant, sleep_until};

use crate::clock::FloorClock;
use crate::head_judge::{HeadJudge, Pauses};
use crate::radio::Go;
use crate::session::{Follower, SessionError};

/// Name of the head judge's device.
const DEVICE: &str = "head-judge";
/// Longest wait for the first snapshot, real time.
const FIRST_PICTURE_WITHIN: Duration = Duration::from_secs(10);
/// Exchanges before the heat, and the wait for each, real time.
const FIRST_EXCHANGES: usize = 8;
/// Name of the device that brings a heat onto the floor.
const OPENING_DEVICE: &str = "head-judge-opening";
/// Between two exchanges later on, real time.
const EXCHANGE_EVERY: Duration = Duration::from_secs(2);

/// Why the head judge could not go on.
#[derive(Debug, Error)]
pub enum OfficialError {
    /// The connection.
    #[error(transparent)]
    Session(#[from] SessionError),
    /// The feed refused.
    #[error("the feed refused the head judge: {0}")]
    Refused(String),
    /// No picture came.
    #[error("the feed sent no picture of the heat within {} s", FIRST_PICTURE_WITHIN.as_secs())]
    NoPicture,
    /// Somebody cancelled the heat.
    #[error("the heat was cancelled")]
    Cancelled,
}

/// Who listens to what the head judge hears: each message, with the picture after it.
pub type Listener<'a> = &'a mut (dyn FnMut(&FeedMessage, &Snapshot) + Send);

/// Brings a heat onto the floor, as the head judge; nothing is said if it is there already.
///
/// # Errors
/// See [`OfficialError`].
pub async fn open_heat(address: &FeedAddress, access_key: &str, heat: u32) -> Result<(), OfficialError> {
    let mut follower = Follower::join(address, join(OPENING_DEVICE, access_key)).await?;
    let opening = async {
        let mut said = false;
        loop {
            if let FeedMessage::Refusal(refusal) = follower.next().await? {
                return Err(OfficialError::Refused(refusal.why.says));
            }
            match &follower.snapshot {
                Some(picture) if picture.titles.heat == heat => return Ok(()),
                Some(_) if !said => {
                    said = true;
                    let command = FloorMessage { id: 1, heat, command: FloorCommand::OpenHeat };
                    follower.say(&ClientMessage::Floor(command)).await?;
                }
                _ => {}
            }
        }
    };
    tokio::time::timeout(FIRST_PICTURE_WITHIN, opening).await.map_err(|_| OfficialError::NoPicture)?
}

fn join(device: &str, access_key: &str) -> Join {
    Join { access_key: Some(access_key.to_owned()), ..Join::new(Role::HeadJudge, device) }
}

/// Whether a signing waits for initials: a result has become another one meanwhile.
fn unconfirmed(message: &FeedMessage) -> bool {
    matches!(message, FeedMessage::Refusal(Refusal { why, .. }) if why.code == ReasonCode::NotConfirmed)
}

/// The head judge on the line.
pub struct Official {
    follower: Follower,
    clock: FloorClock,
    estimator: Estimator,
    next_id: u64,
    go: watch::Sender<Option<Go>>,
}

impl Official {
    /// Joins and learns the feed's clock. The picture is there when this returns.
    ///
    /// # Errors
    /// See [`OfficialError`].
    pub async fn join(
        address: &FeedAddress,
        access_key: &str,
        clock: FloorClock,
        go: watch::Sender<Option<Go>>,
    ) -> Result<Self, OfficialError> {
        let follower = Follower::join(address, join(DEVICE, access_key)).await?;
        let mut official = Self { follower, clock, estimator: Estimator::default(), next_id: 1, go };
        let arriving = official.arrive();
        tokio::time::timeout(FIRST_PICTURE_WITHIN, arriving)
            .await
            .map_err(|_| OfficialError::NoPicture)??;
        Ok(official)
    }

    /// The picture of the heat.
    #[must_use]
    pub fn picture(&self) -> Option<&Snapshot> {
        self.follower.snapshot.as_ref()
    }

    /// Runs the heat to its signature; gives the signed picture.
    ///
    /// # Errors
    /// See [`OfficialError`].
    pub async fn run(mut self, pauses: Pauses, heard: Listener<'_>) -> Result<Snapshot, OfficialError> {
        let mut script = HeadJudge::new(pauses);
        let mut exchange_at = Instant::now() + EXCHANGE_EVERY;
        loop {
            let mut command = None;
            if let Some(picture) = &self.follower.snapshot {
                match picture.heat.state {
                    State::Signed => return Ok(picture.clone()),
                    State::Cancelled => return Err(OfficialError::Cancelled),
                    _ => self.tell_go(picture),
                }
                let heat = picture.titles.heat;
                command = script.look(picture, self.clock.now_us()).map(|command| (heat, command));
            }
            if let Some((heat, command)) = command {
                let id = self.next_id;
                self.next_id += 1;
                self.follower.say(&ClientMessage::Floor(FloorMessage { id, heat, command })).await?;
            }
            let due = script.next_due_us().map(|us| self.clock.instant_of(us));
            let wake = due.map_or(exchange_at, |due| due.min(exchange_at));
            tokio::select! {
                message = self.follower.next() => {
                    let message = message?;
                    self.hear(&message)?;
                    if unconfirmed(&message) {
                        script.refused();
                    }
                    if let Some(picture) = self.picture() {
                        heard(&message, picture);
                    }
                }
                () = sleep_until(wake) => {
                    if Instant::now() >= exchange_at {
                        exchange_at = Instant::now() + EXCHANGE_EVERY;
                        self.ask_clock().await?;
                    }
                }
            }
        }
    }

    async fn arrive(&mut self) -> Result<(), OfficialError> {
        while self.follower.snapshot.is_none() {
            let message = self.follower.next().await?;
            self.hear(&message)?;
        }
        for _ in 0..FIRST_EXCHANGES {
            self.ask_clock().await?;
            loop {
                let message = self.follower.next().await?;
                let is_clock = matches!(message, FeedMessage::Clock(_));
                self.hear(&message)?;
                if is_clock {
                    break;
                }
            }
        }
        Ok(())
    }

    async fn ask_clock(&mut self) -> Result<(), OfficialError> {
        let request = ClockRequest { t1_us: self.clock.now_us() };
        Ok(self.follower.say(&ClientMessage::Clock(request)).await?)
    }

    fn hear(&mut self, message: &FeedMessage) -> Result<(), OfficialError> {
        match message {
            FeedMessage::Clock(reply) => {
                let t4_us = self.clock.now_us();
                let (t1_us, t2_us, t3_us) = (reply.t1_us, reply.t2_us, reply.t3_us);
                self.estimator.add(Exchange { t1_us, t2_us, t3_us, t4_us });
            }
            // The heat has moved on by itself meanwhile; the script looks at it anew.
            FeedMessage::Refusal(Refusal { why, .. }) if why.code == ReasonCode::NotInThisState => {}
            message if unconfirmed(message) => {}
            FeedMessage::Refusal(refusal) => return Err(OfficialError::Refused(refusal.why.says.clone())),
            _ => {}
        }
        Ok(())
    }

    /// Tells the hall when the heat starts, in the floor's time, and when it stands still.
    fn tell_go(&self, picture: &Snapshot) {
        let zero_ms = match picture.heat.clock {
            Clock::CountingDown { go_at_ms, elapsed_ms, .. } => Some(go_at_ms - elapsed_ms),
            Clock::Running { zero_at_ms } => Some(zero_at_ms),
            Clock::Stopped { .. } if picture.heat.state == State::Held => None,
            Clock::Idle | Clock::Stopped { .. } => return,
        };
        let run = picture.heat.run;
        let told = zero_ms.zip(self.estimator.best()).map(|(zero_ms, offset)| Go {
            run,
            zero_ms,
            at_us: zero_ms * 1_000 - offset.add_us,
        });
        self.go.send_if_modified(|go| {
            let key = |go: &Option<Go>| go.map(|go| (go.run, go.zero_ms));
            let new = key(go) != key(&told);
            if new {
                *go = told;
            }
            new
        });
    }
}
