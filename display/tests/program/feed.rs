//! A feed that the test plays: it accepts displays, hands the test what they say, and sends what it is told.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use fivemark_wire::SUBPROTOCOL;
use fivemark_wire::from_client::{ClientMessage, Role};
use fivemark_wire::from_feed::{ClockReply, FeedMessage, Welcome};
use futures_util::{SinkExt, StreamExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::mpsc;
use tokio_tungstenite::accept_hdr_async;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::handshake::server::{Request, Response};

/// What the test tells the feed.
#[derive(Debug)]
pub enum Tell {
    /// Send this to the display that is connected.
    Say(Box<FeedMessage>),
    /// Send this text, whatever it is.
    Raw(String),
    /// Answer no clock exchange any more, and say nothing by yourself.
    FallSilent,
    /// Close the connection.
    HangUp,
}

/// A feed for one display at a time.
pub struct FakeFeed {
    pub address: String,
    tell: mpsc::UnboundedSender<Tell>,
    heard: Receiver<ClientMessage>,
}

impl FakeFeed {
    pub fn start() -> Self {
        Self::start_at("127.0.0.1:0")
    }

    /// At a given address, to come back where another one was.
    pub fn start_at(address: &str) -> Self {
        let listener = std::net::TcpListener::bind(address).expect("a free port");
        listener.set_nonblocking(true).expect("a listener");
        let address = listener.local_addr().expect("its address").to_string();
        let (tell, told) = mpsc::unbounded_channel();
        let (say, heard) = channel();
        thread::spawn(move || {
            let runtime =
                tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
            runtime.block_on(serve(listener, told, say));
        });
        Self { address, tell, heard }
    }

    pub fn tell(&self, tell: Tell) {
        self.tell.send(tell).expect("the feed's thread");
    }

    pub fn say(&self, message: FeedMessage) {
        self.tell(Tell::Say(Box::new(message)));
    }

    /// Welcomes the display that joined.
    pub fn welcome(&self, stream: &str) {
        self.say(FeedMessage::Welcome(Welcome {
            role: Role::Display,
            lane: None,
            access_key: None,
            standing_by: false,
            stream: stream.into(),
            speed_milli: 1_000,
            version: "test".into(),
        }));
    }

    /// The next message of the display that is no clock exchange.
    #[track_caller]
    pub fn hear(&self) -> ClientMessage {
        self.heard.recv_timeout(crate::support::PATIENCE).expect("a message from the display")
    }
}

/// Until the test drops its end.
async fn serve(
    listener: std::net::TcpListener,
    mut told: mpsc::UnboundedReceiver<Tell>,
    say: Sender<ClientMessage>,
) {
    let listener = TcpListener::from_std(listener).expect("a listener");
    loop {
        tokio::select! {
            accepted = listener.accept() => {
                let (stream, _) = accepted.expect("a display");
                if !serve_one(stream, &mut told, &say).await {
                    return;
                }
            }
            // Nobody is connected: hanging up is done already, and saying something reaches nobody.
            tell = told.recv() => if tell.is_none() { return },
        }
    }
}

/// False when the test is over.
async fn serve_one(
    stream: TcpStream,
    told: &mut mpsc::UnboundedReceiver<Tell>,
    say: &Sender<ClientMessage>,
) -> bool {
    #[allow(clippy::result_large_err)] // the shape that the handshake calls
    let choose = |_: &Request, mut response: Response| {
        response.headers_mut().insert("Sec-WebSocket-Protocol", SUBPROTOCOL.parse().expect("a header"));
        Ok(response)
    };
    let Ok(mut socket) = accept_hdr_async(stream, choose).await else { return true };
    let mut silent = false;
    loop {
        tokio::select! {
            message = socket.next() => match message {
                Some(Ok(Message::Text(text))) => match serde_json::from_str(&text).expect("a client's message") {
                    ClientMessage::Clock(request) if !silent => {
                        let now_us = request.t1_us + 5_000_000;
                        let reply = ClockReply { t1_us: request.t1_us, t2_us: now_us, t3_us: now_us };
                        let reply = serde_json::to_string(&FeedMessage::Clock(reply)).expect("JSON");
                        if socket.send(Message::text(reply)).await.is_err() { return true }
                    }
                    ClientMessage::Clock(_) => {}
                    message => if say.send(message).is_err() { return false },
                },
                Some(Ok(_)) => {}
                Some(Err(_)) | None => return true,
            },
            tell = told.recv() => match tell {
                None => return false,
                Some(Tell::HangUp) => return true,
                Some(Tell::FallSilent) => silent = true,
                Some(Tell::Raw(text)) => if socket.send(Message::text(text)).await.is_err() { return true },
                Some(Tell::Say(message)) => {
                    let text = serde_json::to_string(&message).expect("JSON");
                    if socket.send(Message::text(text)).await.is_err() { return true }
                }
            },
        }
    }
}
