//! The first message of a connection: who is here, in which role, with which key. Nothing else is looked at before.

use std::net::IpAddr;
use std::time::Instant;

use axum::Error;
use axum::extract::ws::{CloseFrame, Message};
use fivemark_wire::bounds::{MAX_ID, MAX_JUDGE_MESSAGE};
use fivemark_wire::from_client::{ClientMessage, Join, Resume, Role};
use fivemark_wire::from_feed::{Reason, ReasonCode, Subject};
use futures_util::{SinkExt, Stream, StreamExt};

use super::{CLOSE_POLICY, refusal};
use crate::access::{Admitted, reason};
use crate::hub::text;
use crate::roles::is_judge;
use crate::shared::Shared;

/// Who joined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Joined {
    pub(super) role: Role,
    /// Of a lane judge or shadow judge.
    pub(super) lane: Option<u8>,
    /// The only heat that it may speak of, for a phone that was let in by a PIN.
    pub(super) heat: Option<u32>,
    /// The access key that it may come back with, after a join by PIN.
    pub(super) phone_key: Option<String>,
    /// It stands by where another phone holds its lane.
    pub(super) stand_by: bool,
    pub(super) device: String,
    pub(super) resume: Option<Resume>,
    /// Feed time of the join, milliseconds.
    pub(super) since_ms: i64,
}

/// Why nobody joined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    /// It left before joining.
    Left,
    /// It is told.
    Told(Reason),
}

/// Waits for the join and checks it.
pub(super) async fn wait<S>(stream: &mut S, peer: IpAddr, shared: &Shared) -> Result<Joined, Refused>
where
    S: Stream<Item = Result<Message, Error>> + Unpin,
{
    let told = |code, says: &str| Refused::Told(reason(code, says));
    let message = match tokio::time::timeout(shared.patience.join, first(stream)).await {
        Ok(message) => message?,
        Err(_) => return Err(told(ReasonCode::NotJoined, "No join came. Send it right after connecting.")),
    };
    if message.len() > MAX_JUDGE_MESSAGE {
        return Err(told(ReasonCode::TooLarge, "A join is at most 4096 bytes long."));
    }
    let join = match serde_json::from_str(&message) {
        Ok(ClientMessage::Join(join)) => join,
        Ok(_) => return Err(told(ReasonCode::NotJoined, "The first message on a connection is a join.")),
        Err(error) => {
            return Err(Refused::Told(reason(
                ReasonCode::Malformed,
                format!("This is not a join: {error}."),
            )));
        }
    };
    if join.device.is_empty() || join.device.len() > MAX_ID {
        return Err(told(ReasonCode::OutOfRange, "The device's name has 1 to 64 bytes."));
    }
    if join.device.chars().any(char::is_control) {
        return Err(told(ReasonCode::OutOfRange, "The device's name contains a control character."));
    }
    let Admitted { lane, heat, phone_key } = let_in(&join, peer, shared).map_err(Refused::Told)?;
    if let Some(clock) = join.clock.filter(|_| join.role != Role::Spectator) {
        shared.page_clocks.hear(&join.device, clock, shared.clock.boot_us());
    }
    // After a reboot the clock may still be to be found, from what pages say in their joins.
    shared.clock.known().await;
    let since_ms = shared.clock.now().0;
    let Join { role, stand_by, device, resume, .. } = join;
    Ok(Joined { role, lane, heat, phone_key, stand_by, device, resume, since_ms })
}

/// Lets a client in by its access key or by a PIN.
fn let_in(join: &Join, peer: IpAddr, shared: &Shared) -> Result<Admitted, Reason> {
    let floor = shared.on_floor();
    match &join.pin {
        None => shared.access.admit(join, &floor),
        Some(pin) if is_judge(join.role) => {
            shared.pin_door.knock(peer, Instant::now(), || shared.access.admit_by_pin(join, pin, &floor))
        }
        Some(_) => {
            Err(reason(ReasonCode::WrongRole, "Only judges join by a PIN. Join with the role's access key."))
        }
    }
}

async fn first<S>(stream: &mut S) -> Result<String, Refused>
where
    S: Stream<Item = Result<Message, Error>> + Unpin,
{
    loop {
        match stream.next().await {
            Some(Ok(Message::Text(text))) => return Ok(text.to_string()),
            Some(Ok(Message::Ping(_) | Message::Pong(_))) => {}
            Some(Ok(Message::Binary(_))) => {
                return Err(Refused::Told(reason(ReasonCode::Malformed, "Messages are text frames.")));
            }
            Some(Err(error)) if super::reader::is_too_large(&error) => {
                return Err(Refused::Told(reason(
                    ReasonCode::TooLarge,
                    "A join is at most 4096 bytes long.",
                )));
            }
            Some(Ok(Message::Close(_)) | Err(_)) | None => return Err(Refused::Left),
        }
    }
}

/// Says why and closes.
pub(super) async fn turn_away<S>(sink: &mut S, refused: Refused, shared: &Shared)
where
    S: SinkExt<Message, Error = Error> + Unpin,
{
    let Refused::Told(why) = refused else { return };
    shared.metrics.refused(why.code);
    tracing::info!(code = ?why.code, "turned away");
    let goodbye = async {
        sink.feed(Message::Text(text(&refusal(Subject::Join, why)))).await?;
        sink.send(Message::Close(Some(CloseFrame { code: CLOSE_POLICY, reason: "not joined".into() })))
            .await?;
        sink.close().await
    };
    // A client that cannot be told is left all the same.
    drop(tokio::time::timeout(shared.patience.write, goodbye).await);
}
