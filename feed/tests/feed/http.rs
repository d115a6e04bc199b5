//! The feed's pages and the WebSocket handshake, spoken byte by byte.

use fivemark_wire::from_client::Role;

use crate::harness::{TestFeed, get, raw};

/// An upgrade request with the example key of RFC 6455 section 1.3.
fn upgrade(host: &str, more: &str) -> String {
    format!(
        "GET /feed HTTP/1.1\r\nHost: {host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\
         Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n{more}\r\n"
    )
}

const PROTOCOL: &str = "Sec-WebSocket-Protocol: chat, fivemark.v1\r\n";

fn head_is_whole(heard: &[u8]) -> bool {
    heard.windows(4).any(|bytes| bytes == b"\r\n\r\n")
}

#[tokio::test]
async fn the_handshake_answers_the_example_of_rfc_6455() {
    let feed = TestFeed::start();
    let request = upgrade("server.example.com", PROTOCOL);
    let heard = raw(feed.address, request.as_bytes(), head_is_whole).await;
    let head = String::from_utf8(heard).unwrap().to_lowercase();
    assert!(head.starts_with("http/1.1 101 "), "{head}");
    // Printed in RFC 6455 section 1.3 for this key.
    assert!(
        head.contains(&"sec-websocket-accept: s3pPLMBiTxaQ9kYGzzhZRbK+xOo=\r\n".to_lowercase()),
        "{head}"
    );
    assert!(head.contains("sec-websocket-protocol: fivemark.v1\r\n"), "{head}");
    assert!(!head.contains("sec-websocket-extensions"), "{head}");
    feed.stop().await;
}

#[tokio::test]
async fn handshakes_that_do_not_fit_are_turned_away() {
    let feed = TestFeed::start();
    for (host, more, status) in [
        ("a.example", String::new(), "400"),
        ("a.example", "Sec-WebSocket-Protocol: fivemark.v0\r\n".to_owned(), "400"),
        ("a.example", format!("{PROTOCOL}Origin: http://b.example\r\n"), "403"),
        ("a.example", format!("{PROTOCOL}Origin: null\r\n"), "403"),
        ("a.example", format!("{PROTOCOL}Origin: http://a.example\r\n"), "101"),
    ] {
        let heard = raw(feed.address, upgrade(host, &more).as_bytes(), head_is_whole).await;
        let head = String::from_utf8_lossy(&heard).into_owned();
        assert!(head.starts_with(&format!("HTTP/1.1 {status} ")), "{more}: {head}");
    }
    assert!(get(feed.address, "/feed").await.starts_with("HTTP/1.1 400 "), "no upgrade asked for");
    feed.stop().await;
}

#[tokio::test]
async fn frames_that_break_the_protocol_end_the_connection() {
    let feed = TestFeed::start();
    // From RFC 6455: sections 5.2 (reserved bits and opcodes), 5.5 (control frames), 5.1 (clients mask), 8.1 (UTF-8).
    for (why, frame) in [
        ("RSV1 without an extension", &[0xc1, 0x85, 0, 0, 0, 0, b'H', b'e', b'l', b'l', b'o'][..]),
        ("reserved opcode 3", &[0x83, 0x85, 0, 0, 0, 0, b'H', b'e', b'l', b'l', b'o']),
        ("fragmented ping", &[0x09, 0x85, 0, 0, 0, 0, b'H', b'e', b'l', b'l', b'o']),
        ("unmasked, section 5.7's Hello", &[0x81, 0x05, 0x48, 0x65, 0x6c, 0x6c, 0x6f]),
        ("text that is not UTF-8: a surrogate", &[0x81, 0x83, 0, 0, 0, 0, 0xed, 0xa0, 0x80]),
    ] {
        let mut bytes = upgrade("a.example", PROTOCOL).into_bytes();
        bytes.extend_from_slice(frame);
        // Reads to the end of the connection; without one the harness's patience fails the test.
        let heard = raw(feed.address, &bytes, |_| false).await;
        assert!(head_is_whole(&heard), "{why}");
    }
    let mut board = feed.door().join(Role::Display, None).await;
    board.exchange_clocks().await;
    feed.stop().await;
}

#[tokio::test]
async fn pages_say_what_there_is_and_how_it_goes() {
    let feed = TestFeed::start();
    let board = feed.door().join(Role::Display, None).await;
    let page = get(feed.address, "/").await;
    assert!(page.contains("content-security-policy: default-src 'none'; "), "{page}");
    assert!(page.contains(&format!("ws://{0} wss://{0};", feed.address)), "{page}");
    let script = get(feed.address, "/pages/common/link.js").await;
    assert!(
        script.starts_with("HTTP/1.1 200 ") && script.contains("content-type: text/javascript"),
        "{script}"
    );
    for hidden in ["/pages/tests/common.test.js", "/pages/package.json", "/pages/../Cargo.toml", "/pages/"] {
        assert!(get(feed.address, hidden).await.starts_with("HTTP/1.1 404 "), "{hidden}");
    }
    let health = get(feed.address, "/healthz").await;
    assert!(health.starts_with("HTTP/1.1 200 ") && health.contains("\"ok\":true"), "{health}");
    let counters = get(feed.address, "/metrics").await;
    assert!(counters.contains("fivemark_clients{role=\"display\"} 1\n"), "{counters}");
    assert!(counters.contains("fivemark_journal_commit_seconds_bucket"), "{counters}");
    assert!(get(feed.address, "/elsewhere").await.starts_with("HTTP/1.1 404 "));
    board.close().await;
    feed.stop().await;
}

#[tokio::test]
async fn a_request_that_never_ends_its_head_does_not_keep_others_out() {
    let feed = TestFeed::start();
    let heard = raw(feed.address, &[b'x'; 40_000], |_| false).await;
    assert!(heard.is_empty() || heard.starts_with(b"HTTP/1.1 4"), "{}", String::from_utf8_lossy(&heard));
    assert!(get(feed.address, "/healthz").await.starts_with("HTTP/1.1 200 "));
    feed.stop().await;
}
