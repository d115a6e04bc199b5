//! A page as the format's description has it, written from that description alone.

use std::io::Read;
use std::net::{SocketAddr, TcpStream};

use fivemark_display::gpu::Pixels;
use flate2::read::DeflateDecoder;
use tokio_tungstenite::tungstenite::client::{IntoClientRequest, client};
use tokio_tungstenite::tungstenite::handshake::client::Request;
use tokio_tungstenite::tungstenite::{Message, WebSocket};

use super::stage::LONG;

pub struct Page {
    pub socket: WebSocket<TcpStream>,
    /// Of the extent.
    pub pixels: Pixels,
    /// The extent's left and top.
    pub at: [usize; 2],
    /// Of the picture.
    pub whole_size: [usize; 2],
    /// Number of the last frame; 0 before the first.
    pub number: u64,
}

/// What a frame said of itself.
#[derive(Debug)]
pub struct Told {
    pub number: u64,
    pub whole: bool,
    /// Pixels in its rectangles.
    pub area: usize,
    pub bytes: usize,
}

/// What else a display says, or that it has closed.
#[derive(Debug, PartialEq)]
pub enum Heard {
    Frame(Vec<u8>),
    Text(String),
    Closed,
}

pub fn request(address: SocketAddr) -> Request {
    let mut request = format!("ws://{address}/canvas").into_client_request().expect("an address");
    let protocol = "fivemark.canvas.v2".parse().expect("a header");
    request.headers_mut().insert("Sec-WebSocket-Protocol", protocol);
    request
}

impl Page {
    /// Connects and says nothing yet.
    pub fn connect(address: SocketAddr) -> Self {
        let stream = TcpStream::connect(address).expect("the canvas feed");
        stream.set_read_timeout(Some(LONG)).expect("a timeout");
        let (socket, _) = client(request(address), stream).expect("a WebSocket");
        Self {
            socket,
            pixels: Pixels { size: [0, 0], rgba: Vec::new() },
            at: [0; 2],
            whole_size: [0; 2],
            number: 0,
        }
    }

    /// Joins and is welcomed.
    #[track_caller]
    pub fn join(address: SocketAddr, key: Option<&str>) -> Self {
        let mut page = Self::connect(address);
        page.say(&serde_json::json!({ "type": "join", "access_key": key }).to_string());
        assert_eq!(page.hear(), Heard::Text(r#"{"type":"welcome"}"#.into()));
        page
    }

    pub fn say(&mut self, text: &str) {
        self.send(Message::text(text));
    }

    pub fn send(&mut self, message: Message) {
        // A display that has closed the connection is heard of by the next read.
        let _ = self.socket.send(message);
    }

    /// The next thing that the display says; its questions are answered.
    pub fn hear(&mut self) -> Heard {
        loop {
            match self.socket.read() {
                Ok(Message::Text(text)) if text.as_str() == r#"{"type":"alive"}"# => {
                    self.say(r#"{"type":"alive"}"#);
                }
                Ok(Message::Text(text)) => return Heard::Text(text.as_str().into()),
                Ok(Message::Binary(part)) => return Heard::Frame(part.to_vec()),
                Ok(Message::Close(_)) | Err(_) => return Heard::Closed,
                Ok(_) => {}
            }
        }
    }

    #[track_caller]
    fn part(&mut self) -> Vec<u8> {
        match self.hear() {
            Heard::Frame(part) => {
                assert!(part.len() <= 16 * 1024, "a part of {} bytes", part.len());
                part
            }
            other => panic!("a frame should come, not {other:?}"),
        }
    }

    /// Takes the next frame in, without saying that it is shown.
    #[track_caller]
    pub fn take_frame(&mut self) -> Told {
        let mut frame = self.part();
        assert_eq!(&frame[..4], b"FMC\x02");
        let short = |frame: &[u8], at: usize| usize::from(u16::from_le_bytes([frame[at], frame[at + 1]]));
        let compressed = u32::from_le_bytes(frame[4..8].try_into().expect("4 bytes")) as usize;
        let number = u64::from_le_bytes(frame[8..16].try_into().expect("8 bytes"));
        let whole_size = [16, 18].map(|at| short(&frame, at));
        let [left, top, width, height, rects, whole] = [20, 22, 24, 26, 28, 30].map(|at| short(&frame, at));
        let pixels_at = 32 + 8 * rects;
        while frame.len() < pixels_at + compressed {
            frame.extend_from_slice(&self.part());
        }
        assert_eq!(frame.len(), pixels_at + compressed);
        assert!(number > self.number, "{number} after {}", self.number);
        let size = [width, height].map(|side| side as u32);
        assert!(
            left + width <= whole_size[0] && top + height <= whole_size[1],
            "an extent within the picture"
        );
        if (self.pixels.size, self.at, self.whole_size) != (size, [left, top], whole_size) {
            assert_eq!(whole, 1, "another picture or another extent starts afresh");
            self.pixels = Pixels { size, rgba: vec![0; width * height * 4] };
            (self.at, self.whole_size) = ([left, top], whole_size);
        }
        let mut inflated = Vec::new();
        DeflateDecoder::new(&frame[pixels_at..]).read_to_end(&mut inflated).expect("DEFLATE");
        let mut rest = inflated.as_slice();
        let mut area = 0;
        for rect in 0..rects {
            let [x, y, w, h] = [0, 2, 4, 6].map(|field| short(&frame, 32 + 8 * rect + field));
            assert!(w > 0 && h > 0 && x + w <= width && y + h <= height, "{x} {y} {w} {h}");
            for row in y..y + h {
                let (pixels, after) = rest.split_at(w * 4);
                self.pixels.rgba[(row * width + x) * 4..][..w * 4].copy_from_slice(pixels);
                rest = after;
            }
            area += w * h;
        }
        assert!(rest.is_empty(), "{} bytes too many", rest.len());
        assert!(rects <= 32 && (whole == 0 || area == width * height));
        self.number = number;
        Told { number, whole: whole == 1, area, bytes: frame.len() }
    }

    pub fn confirm(&mut self) {
        self.say(&format!(r#"{{"type":"shown","frame":{}}}"#, self.number));
    }

    /// Takes the next frame and says that it is shown.
    #[track_caller]
    pub fn frame(&mut self) -> Told {
        let told = self.take_frame();
        self.confirm();
        told
    }
}
