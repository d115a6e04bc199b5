//! Who may come in, and what is said to those who may not.

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::time::Duration;

use fivemark_display::canvas::{CanvasError, CanvasFeed, CanvasOptions, PATIENCE};
use fivemark_display::excerpt::Excerpt;
use tokio_tungstenite::tungstenite::client::client;
use tokio_tungstenite::tungstenite::{Error, Message};

use super::page::{Heard, Page, request};
use super::stage::{KEY, LOCAL, LONG, Stage, scene};
use crate::support::SIZE;

#[track_caller]
fn refused(page: &mut Page, code: &str) {
    let Heard::Text(text) = page.hear() else { panic!("it should be refused as {code}") };
    let told: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!((&told["type"], &told["code"]), (&"refused".into(), &code.into()), "{text}");
    assert!(told["says"].as_str().is_some_and(|says| says.len() > 20 && says.ends_with('.')), "{text}");
    assert_eq!(page.hear(), Heard::Closed);
}

#[test]
fn a_page_joins_with_the_displays_key_and_with_no_other() {
    let stage = Stage::new(SIZE);
    for (join, code) in [
        (r#"{"type":"join"}"#, "access_key_wanted"),
        (r#"{"type":"join","access_key":null}"#, "access_key_wanted"),
        (r#"{"type":"join","access_key":""}"#, "access_key_wanted"),
        (r#"{"type":"join","access_key":"another"}"#, "wrong_access_key"),
    ] {
        let mut page = Page::connect(stage.feed.address());
        page.say(join);
        refused(&mut page, code);
    }
    Page::join(stage.feed.address(), Some(KEY));
}

#[test]
fn without_a_key_it_is_served_on_this_machine_only() {
    let mut stage = Stage::with(SIZE, None, PATIENCE);
    let mut page = Page::join(stage.feed.address(), None);
    stage.show(&scene(SIZE, 1));
    assert!(page.frame().whole);
    let mut elsewhere = request(stage.feed.address());
    elsewhere.headers_mut().insert("Host", "hall.example:80".parse().expect("a header"));
    assert_eq!(status(stage.feed.address(), elsewhere), 403, "a name that only leads here");

    let open = |address: ([u8; 4], u16), access_key| {
        let options = CanvasOptions {
            address: SocketAddr::from(address),
            access_key,
            size: SIZE,
            excerpt: Excerpt::default(),
            patience: PATIENCE,
        };
        CanvasFeed::start(options, || ()).map(|feed| feed.address())
    };
    let error = open(([0, 0, 0, 0], 0), None).expect_err("it would be open to everybody");
    assert!(matches!(error, CanvasError::Open(_)), "{error}");
    assert!(open(([0, 0, 0, 0], 0), Some("")).is_err(), "no key at all");
    assert!(open(([0, 0, 0, 0], 0), Some(KEY)).is_ok());
    let taken = (LOCAL.0, stage.feed.address().port());
    let error = open(taken, None).expect_err("the port is taken").to_string();
    assert!(error.contains(&taken.1.to_string()) && error.contains("--canvas"), "{error}");
    let huge = CanvasOptions {
        address: SocketAddr::from(LOCAL),
        access_key: None,
        size: [16_384, 16_384],
        excerpt: Excerpt::default(),
        patience: PATIENCE,
    };
    let error = CanvasFeed::start(huge, || ()).map(|_| ()).expect_err("a gigabyte a frame").to_string();
    assert!(error.contains("16384x16384") && error.contains("--size"), "{error}");
}

/// The HTTP status with which a handshake is answered; 101 if it is accepted.
fn status(address: SocketAddr, request: tokio_tungstenite::tungstenite::handshake::client::Request) -> u16 {
    let stream = TcpStream::connect(address).expect("the canvas feed");
    match client(request, stream) {
        Ok(_) => 101,
        Err(tokio_tungstenite::tungstenite::HandshakeError::Failure(Error::Http(response))) => {
            response.status().as_u16()
        }
        Err(error) => panic!("{error}"),
    }
}

#[test]
fn pages_of_other_origins_and_other_protocols_are_turned_away() {
    let stage = Stage::new(SIZE);
    let address = stage.feed.address();
    let own = format!("http://{address}");
    for (origin, expected) in
        [(own.as_str(), 101), ("http://elsewhere.example", 403), ("null", 403), ("http://127.0.0.1", 403)]
    {
        let mut from = request(address);
        from.headers_mut().insert("Origin", origin.parse().expect("a header"));
        assert_eq!(status(address, from), expected, "{origin}");
    }
    let mut other = request(address);
    other.headers_mut().insert("Sec-WebSocket-Protocol", "fivemark.canvas.v9".parse().expect("a header"));
    assert_eq!(status(address, other), 400);
}

#[test]
fn what_no_page_says_ends_its_connection_and_nobody_elses() {
    let mut stage = Stage::new(SIZE);
    let mut good = Page::join(stage.feed.address(), Some(KEY));
    stage.show(&scene(SIZE, 1));
    good.frame();
    for first in [
        "",
        "{",
        "[1]",
        "null",
        r#"{"type":"fireworks"}"#,
        r#"{"type":"shown","frame":1}"#,
        r#"{"type":"alive"}"#,
    ] {
        let mut page = Page::connect(stage.feed.address());
        page.say(first);
        refused(&mut page, "not_understood");
    }
    for message in [
        Message::binary(vec![0; 8]),
        Message::text(r#"{"type":"join","access_key":null}"#),
        // Nobody asked.
        Message::text(r#"{"type":"alive"}"#),
        Message::text(r#"{"type":"shown","frame":999999}"#),
        Message::text("\u{0}"),
    ] {
        let mut page = Page::join(stage.feed.address(), Some(KEY));
        page.take_frame();
        page.send(message);
        refused(&mut page, "not_understood");
    }
    for huge in [Message::text("x".repeat(600)), Message::binary(vec![7; 4_000_000])] {
        let mut page = Page::connect(stage.feed.address());
        page.send(huge);
        assert_eq!(page.hear(), Heard::Closed);
    }
    stage.show(&scene(SIZE, 2));
    good.frame();
    assert_eq!(good.pixels, stage.straight());
}

#[test]
fn who_does_not_say_who_they_are_is_not_waited_for() {
    let stage = Stage::with(SIZE, Some(KEY), Duration::from_millis(200));
    let mut mute = Page::connect(stage.feed.address());
    assert_eq!(mute.hear(), Heard::Closed);
}

#[test]
fn the_page_is_whole_and_loads_nothing_from_elsewhere() {
    let stage = Stage::new(SIZE);
    for (path, kind) in [("/", "text/html"), ("/page.css", "text/css"), ("/page.js", "text/javascript")] {
        let answer = http(
            stage.feed.address(),
            &format!("GET {path} HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n"),
        );
        let (head, body) = answer.split_once("\r\n\r\n").expect("a head and a body");
        let head = head.to_lowercase();
        assert!(head.starts_with("http/1.1 200"), "{path}: {head}");
        for header in [
            &format!("content-type: {kind}"),
            "content-security-policy: default-src 'none'; script-src 'self'; ",
            "frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
            "cache-control: no-store",
        ] {
            assert!(head.contains(header), "{path} lacks {header}: {head}");
        }
        assert!(!body.contains("http:") && !body.contains("https:") || path == "/page.js", "{path}");
        assert!(!body.contains("//cdn") && !body.contains("@import") && !body.contains(KEY), "{path}");
    }
    let answer = http(stage.feed.address(), "POST / HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n");
    assert!(answer.starts_with("HTTP/1.1 405"), "{answer}");
    let answer = http(
        stage.feed.address(),
        &format!("GET / HTTP/1.1\r\nHost: h\r\nX: {}\r\n\r\n", "x".repeat(40_000)),
    );
    assert!(answer.is_empty() || answer.starts_with("HTTP/1.1 431"), "{answer}");
}

fn http(address: SocketAddr, request: &str) -> String {
    let mut stream = TcpStream::connect(address).expect("the canvas feed");
    stream.set_read_timeout(Some(LONG)).expect("a timeout");
    stream.write_all(request.as_bytes()).expect("a request");
    let mut answer = Vec::new();
    // A head that is too large may be answered by a closed connection.
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}
