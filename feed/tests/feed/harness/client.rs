//! One client's connection: says, hears, and waits for what it wants.

use std::net::SocketAddr;
use std::time::{Duration, Instant};

use fivemark_wire::clock::{Estimator, Exchange};
use fivemark_wire::from_client::{
    Call, ClientMessage, ClockRequest, Floor, FloorCommand, Resume, Ruling, RulingKind, Tally,
};
use fivemark_wire::from_feed::{Ack, Delta, FeedMessage, Reason, Snapshot, Subject, Welcome};
use fivemark_wire::view::{LaneCount, State};
use futures_util::{SinkExt, StreamExt};
use tokio::net::{TcpSocket, TcpStream};
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::tungstenite::http::HeaderValue;
use tokio_tungstenite::tungstenite::{self, Message};
use tokio_tungstenite::{WebSocketStream, client_async};

use super::PATIENCE;

/// One connection.
pub struct Client {
    socket: WebSocketStream<TcpStream>,
    pub welcome: Option<Welcome>,
    /// As it was given at the join.
    pub snapshot: Option<Snapshot>,
    pub estimator: Estimator,
    pub epoch: u64,
    started: Instant,
}

impl Client {
    pub async fn connect(address: SocketAddr) -> Self {
        Self::over(TcpStream::connect(address).await.unwrap(), address).await
    }

    /// A connection whose kernel takes in little, so that not reading is noticed.
    pub async fn connect_narrow(address: SocketAddr) -> Self {
        let socket = TcpSocket::new_v4().unwrap();
        socket.set_recv_buffer_size(4 * 1024).unwrap();
        Self::over(socket.connect(address).await.unwrap(), address).await
    }

    async fn over(stream: TcpStream, address: SocketAddr) -> Self {
        let (socket, _) = client_async(request(address), stream).await.unwrap();
        Self {
            socket,
            welcome: None,
            snapshot: None,
            estimator: Estimator::default(),
            epoch: 77,
            started: Instant::now(),
        }
    }

    pub async fn say(&mut self, message: &ClientMessage) {
        self.say_text(&serde_json::to_string(message).unwrap()).await;
    }

    pub async fn say_text(&mut self, text: &str) {
        self.send(Message::text(text)).await;
    }

    pub async fn send(&mut self, message: Message) {
        self.socket.send(message).await.unwrap();
    }

    /// The next frame that is not a ping; none when the connection is over.
    async fn frame(&mut self) -> Option<Message> {
        loop {
            let next =
                tokio::time::timeout(PATIENCE, self.socket.next()).await.expect("the feed says nothing");
            match next {
                Some(Ok(Message::Ping(_) | Message::Pong(_))) => {}
                Some(Ok(message)) => return Some(message),
                Some(Err(_)) | None => return None,
            }
        }
    }

    pub async fn hear(&mut self) -> FeedMessage {
        match self.frame().await {
            Some(Message::Text(text)) => serde_json::from_str(&text).unwrap(),
            other => panic!("not a message: {other:?}"),
        }
    }

    /// The first message that `wanted` takes; those before it are let go.
    pub async fn hear_until<T>(&mut self, mut wanted: impl FnMut(FeedMessage) -> Option<T>) -> T {
        loop {
            let message = self.hear().await;
            if let Some(found) = wanted(message) {
                return found;
            }
        }
    }

    /// The code with which the feed closes; none if it just goes.
    pub async fn closed(&mut self) -> Option<u16> {
        loop {
            match self.frame().await {
                Some(Message::Close(frame)) => return frame.map(|frame| frame.code.into()),
                Some(_) => {}
                None => return None,
            }
        }
    }

    pub async fn close(mut self) {
        self.socket.close(None).await.unwrap();
        while self.frame().await.is_some() {}
    }

    pub async fn take_welcome(&mut self) {
        match self.hear().await {
            FeedMessage::Welcome(welcome) => self.welcome = Some(welcome),
            other => panic!("no welcome but {other:?}"),
        }
        match self.hear().await {
            FeedMessage::Snapshot(snapshot) => self.snapshot = Some(*snapshot),
            other => panic!("no snapshot but {other:?}"),
        }
    }

    pub async fn delta(&mut self) -> Delta {
        self.hear_until(|message| if let FeedMessage::Delta(delta) = message { Some(delta) } else { None })
            .await
    }

    /// The next snapshot: another heat, another run, or an athlete on another lane.
    pub async fn snapshot_again(&mut self) -> Snapshot {
        self.hear_until(|message| match message {
            FeedMessage::Snapshot(snapshot) => Some(*snapshot),
            _ => None,
        })
        .await
    }

    pub async fn state(&mut self, state: State) -> Delta {
        loop {
            let delta = self.delta().await;
            if delta.heat.is_some_and(|heat| heat.state == state) {
                return delta;
            }
        }
    }

    /// The lane as the first delta tells it for which `wanted` holds.
    pub async fn lane(&mut self, lane: u8, wanted: impl Fn(&LaneCount) -> bool) -> LaneCount {
        loop {
            let delta = self.delta().await;
            if let Some(found) = delta.lanes.into_iter().find(|found| found.lane == lane && wanted(found)) {
                return found;
            }
        }
    }

    pub async fn refusal(&mut self) -> (Subject, Reason) {
        self.hear_until(|message| {
            if let FeedMessage::Refusal(refusal) = message { Some((refusal.of, refusal.why)) } else { None }
        })
        .await
    }

    pub async fn ack(&mut self) -> Ack {
        self.hear_until(|message| match message {
            FeedMessage::Ack(ack) => Some(ack),
            FeedMessage::Refusal(refusal) => panic!("refused: {refusal:?}"),
            FeedMessage::Gap(gap) => panic!("{gap:?}"),
            _ => None,
        })
        .await
    }

    /// The client's own monotonic clock, running as fast as heat time does; microseconds.
    pub fn mono_us(&self) -> i64 {
        let speed = self.welcome.as_ref().map_or(1_000, |welcome| welcome.speed_milli);
        i64::try_from(self.started.elapsed().as_micros()).unwrap() * i64::from(speed) / 1_000
    }

    pub async fn exchange_clocks(&mut self) {
        let t1_us = self.mono_us();
        self.say(&ClientMessage::Clock(ClockRequest { t1_us })).await;
        let reply = self
            .hear_until(|message| if let FeedMessage::Clock(reply) = message { Some(reply) } else { None })
            .await;
        assert_eq!(reply.t1_us, t1_us);
        let t4_us = self.mono_us();
        self.estimator.add(Exchange { t1_us, t2_us: reply.t2_us, t3_us: reply.t3_us, t4_us });
    }

    /// A tally of this client's lane, tapped now.
    pub fn tally(&self, heat: u32, number: u32, call: Call) -> Tally {
        Tally {
            heat,
            run: 1,
            lane: self.welcome.as_ref().and_then(|welcome| welcome.lane).unwrap_or(1),
            epoch: self.epoch,
            number,
            call,
            amount: 0,
            fault: None,
            stamp_ms: self.mono_us() / 1_000,
            wall_ms: None,
            offset: self.estimator.best(),
            athlete: None,
            load_g: None,
            slot: None,
        }
    }

    /// Calls and waits for the acknowledgement.
    pub async fn call(&mut self, heat: u32, number: u32, call: Call) -> Ack {
        let tally = self.tally(heat, number, call);
        self.say(&ClientMessage::Tally(tally)).await;
        let ack = self.ack().await;
        assert_eq!(ack.of, Subject::Tally { epoch: self.epoch, number });
        ack
    }

    pub async fn command(&mut self, id: u64, heat: u32, command: FloorCommand) -> Ack {
        self.say(&ClientMessage::Floor(Floor { id, heat, command })).await;
        let ack = self.ack().await;
        assert_eq!(ack.of, Subject::Floor { id });
        ack
    }

    pub async fn rule(&mut self, id: u64, heat: u32, lane: u8, kind: RulingKind) -> Ack {
        let reason = "Seen from the side".to_owned();
        self.say(&ClientMessage::Ruling(Ruling { id, heat, lane, reason, kind })).await;
        self.ack().await
    }

    /// Starts a heat and waits until it runs.
    pub async fn start_heat(&mut self, heat: u32) {
        self.command(9_000 + u64::from(heat), heat, FloorCommand::OnDeck).await;
        self.command(9_100 + u64::from(heat), heat, FloorCommand::StartCountdown).await;
        self.state(State::Running).await;
    }

    /// Reads whatever comes until it has been quiet for a moment.
    pub async fn drain(&mut self) -> Vec<FeedMessage> {
        let mut heard = Vec::new();
        while let Ok(Some(Ok(message))) =
            tokio::time::timeout(Duration::from_millis(300), self.socket.next()).await
        {
            if let Message::Text(text) = message {
                heard.push(serde_json::from_str(&text).unwrap());
            }
        }
        heard
    }
}

pub fn resume(client: &Client, last: u64) -> Resume {
    Resume { stream: client.welcome.as_ref().unwrap().stream.clone(), last }
}

/// The upgrade request of an honest client.
fn request(address: SocketAddr) -> tungstenite::handshake::client::Request {
    let mut request = format!("ws://{address}/feed").into_client_request().unwrap();
    request.headers_mut().insert("Sec-WebSocket-Protocol", HeaderValue::from_static("fivemark.v1"));
    request
}
