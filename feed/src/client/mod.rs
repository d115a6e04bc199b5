//! One connection: join, then reading and writing at once until either ends. Knows frames and messages; leaves the
//! heat to the actor and who may do what to `access`.

pub mod handle;

mod checks;
mod join;
mod reader;
mod show;
mod writer;

use std::net::IpAddr;
use std::sync::Arc;

use axum::extract::ws::{CloseFrame, Message, WebSocket};
use fivemark_wire::from_client::Role;
use fivemark_wire::from_feed::{FeedMessage, Reason, Refusal, Subject};
use futures_util::{SinkExt, StreamExt};

use self::handle::ClientHandle;
use self::join::Joined;
use crate::actor::{Input, Newcomer};
use crate::roles::{Audience, audience, is_judge};
use crate::shared::Shared;

/// The feed stops (RFC 6455 section 7.4.1).
const CLOSE_GOING_AWAY: u16 = 1001;
/// The client broke a rule of the wire (RFC 6455 section 7.4.1).
const CLOSE_POLICY: u16 = 1008;
/// A message is larger than any may be (RFC 6455 section 7.4.1).
const CLOSE_TOO_LARGE: u16 = 1009;
/// Ours (RFC 6455 section 7.4.2 leaves 4000 to 4999 free): the same device came back on another connection.
const CLOSE_REPLACED: u16 = 4001;

/// Why a connection is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Over {
    /// The client closed it or is unreachable.
    Left,
    /// It does not read.
    NotReading,
    /// It was silent for too long.
    Silent,
    /// It broke a rule of the wire.
    Rule(&'static str),
    /// Its message was larger than any may be.
    TooLarge,
    /// The same device came back.
    Replaced,
    /// The feed stops.
    ShuttingDown,
}

impl Over {
    /// How to tell the client; none if it cannot be told any more.
    fn close_frame(self) -> Option<CloseFrame> {
        let (code, reason) = match self {
            Self::Left | Self::NotReading | Self::Silent => return None,
            Self::Rule(says) => (CLOSE_POLICY, says),
            Self::TooLarge => (CLOSE_TOO_LARGE, "message too large"),
            Self::Replaced => (CLOSE_REPLACED, "this device came back on another connection"),
            Self::ShuttingDown => (CLOSE_GOING_AWAY, "the feed stops"),
        };
        Some(CloseFrame { code, reason: reason.into() })
    }
}

/// Serves one connection to its end.
pub async fn serve(socket: WebSocket, peer: IpAddr, shared: Arc<Shared>) {
    let (mut sink, mut stream) = socket.split();
    let joined = tokio::select! {
        joined = join::wait(&mut stream, peer, &shared) => joined,
        () = shared.stopped() => Err(join::Refused::Told(reader::shutting_down())),
    };
    let joined = match joined {
        Ok(joined) => joined,
        Err(refused) => {
            join::turn_away(&mut sink, refused, &shared).await;
            return;
        }
    };
    let place = match shared.place(joined.role) {
        Ok(place) => place,
        Err(why) => {
            join::turn_away(&mut sink, join::Refused::Told(why), &shared).await;
            return;
        }
    };
    let (handle, mut inbox) = ClientHandle::new(shared.clock.boot_ms());
    let standing_by = match announce(&joined, &handle, &shared).await {
        Ok(standing_by) => standing_by,
        Err(why) => {
            join::turn_away(&mut sink, join::Refused::Told(why), &shared).await;
            return;
        }
    };
    let counted = shared.metrics.client(joined.role);
    tracing::info!(role = ?joined.role, lane = joined.lane, device = joined.device, standing_by, "joined");

    let reader = reader::Reader::new(&joined, &handle, &shared);
    let writer = writer::Writer {
        sink: &mut sink,
        shared: &shared,
        joined: &joined,
        inbox: &mut inbox,
        handle: &handle,
        standing_by,
    };
    let over = tokio::select! {
        over = reader.run(&mut stream) => over,
        over = writer.run() => over,
    };
    finish(&mut sink, &mut inbox, over, &shared).await;
    if is_judge(joined.role) || audience(joined.role) == Audience::Officials {
        // Without an actor there is nobody left to tell.
        drop(shared.actor.send(Input::Gone { from: handle }).await);
    }
    drop((place, counted));
    tracing::info!(role = ?joined.role, lane = joined.lane, device = joined.device, ?over, "left");
}

/// Tells the floor of judges' phones and of officials. True for a lane judge's phone that stands by.
async fn announce(joined: &Joined, handle: &ClientHandle, shared: &Shared) -> Result<bool, Reason> {
    let stopping = || reader::shutting_down();
    let Some(lane) = joined.lane else {
        if audience(joined.role) == Audience::Officials {
            let official = Input::Official { from: handle.clone() };
            shared.actor.send(official).await.map_err(|_| stopping())?;
        }
        return Ok(false);
    };
    let (reply, answer) = tokio::sync::oneshot::channel();
    let newcomer = Newcomer {
        lane,
        device: joined.device.clone(),
        shadow: joined.role == Role::ShadowJudge,
        stand_by: joined.stand_by,
        heat: joined.heat,
        client: handle.clone(),
    };
    let joining = Input::Joining { newcomer, reply };
    shared.actor.send(joining).await.map_err(|_| stopping())?;
    answer.await.map_err(|_| stopping())?
}

/// Writes what is still queued and says goodbye, within the patience for one write.
async fn finish<S>(sink: &mut S, inbox: &mut handle::ClientInbox, over: Over, shared: &Shared)
where
    S: SinkExt<Message, Error = axum::Error> + Unpin,
{
    if over == Over::NotReading {
        shared.metrics.dropped.inc();
    }
    let Some(frame) = over.close_frame() else { return };
    let goodbye = async {
        while let Ok(answer) = inbox.answers.try_recv() {
            if let handle::Answer::Message(message) = answer {
                sink.feed(Message::Text(crate::hub::text(&message))).await?;
            }
        }
        sink.send(Message::Close(Some(frame))).await?;
        sink.close().await
    };
    // A client that cannot be told is left all the same.
    drop(tokio::time::timeout(shared.patience.write, goodbye).await);
}

/// A refusal as a message.
fn refusal(of: Subject, why: Reason) -> FeedMessage {
    FeedMessage::Refusal(Refusal { of, why })
}
