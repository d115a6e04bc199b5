//! Our own clients on a feed with TLS: whom they trust, and what they say when they cannot.

use fivemark_dial::{FeedAddress, TrustError};
use tokio::io::AsyncWriteExt;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;

use crate::harness::{Authority, TestFeed};

async fn dial(address: &str, trust: Option<&std::path::Path>) -> Result<(), String> {
    let address = FeedAddress::read(address).unwrap().trusting(trust).unwrap();
    address.dial("fivemark.v1", WebSocketConfig::default()).await.map(drop)
}

#[tokio::test]
async fn a_client_trusts_a_file_and_says_what_is_wrong_with_a_feed() {
    let (hall, other) = (Authority::new(), Authority::new());
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let file = folder.path().join(name);
        std::fs::write(&file, text).unwrap();
        file
    };
    let (trust, foreign) = (write("hall.crt", &hall.pem()), write("other.crt", &other.pem()));
    let feed = crate::tls::start_at([127, 0, 0, 1], &hall.good_pair());
    // Its certificate does not name the address that it is at.
    let misplaced = crate::tls::start_at([127, 0, 0, 2], &hall.good_pair());
    let port = feed.address.port();
    let here = format!("wss://localhost:{port}");
    dial(&here, Some(&trust)).await.expect("the hall's authority is trusted");
    let address = FeedAddress::read(&here).unwrap().trusting(Some(&trust)).unwrap();
    assert!(address.get("/healthz").await.unwrap().starts_with("HTTP/1.1 200 "));
    for (address, trust, says) in [
        (here.clone(), Some(&foreign), "name the certificate of the hall's authority with --trust FILE"),
        (here, None, "by an authority that this machine does not trust"),
        (
            format!("wss://{}", misplaced.address),
            Some(&trust),
            "for localhost, 127.0.0.1 and not for 127.0.0.2",
        ),
        (format!("ws://127.0.0.1:{port}"), None, "This feed speaks TLS. Connect to wss://127.0.0.1"),
    ] {
        let told = dial(&address, trust.map(std::path::PathBuf::as_path)).await.unwrap_err();
        assert!(told.contains(says), "{address}: {told}");
    }
    feed.stop().await;
    misplaced.stop().await;
}

#[tokio::test]
async fn a_feed_without_tls_and_one_that_speaks_nothing_are_told() {
    let authority = Authority::new();
    let folder = tempfile::tempdir().unwrap();
    let trust = folder.path().join("hall.crt");
    std::fs::write(&trust, authority.pem()).unwrap();
    let feed = TestFeed::start();
    let told = dial(&format!("wss://{}", feed.address), Some(&trust)).await.unwrap_err();
    assert_eq!(told, "it does not speak TLS there; write ws:// in place of wss://");
    dial(&format!("ws://{}", feed.address), None).await.expect("plain text goes as before");
    feed.stop().await;

    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    tokio::spawn(async move {
        let (mut stream, _) = listener.accept().await.unwrap();
        stream.write_all(b"HTTP/1.1 503 Busy\r\nContent-Length: 13\r\n\r\nCome\x1b back.\nX").await.unwrap();
    });
    let told = dial(&format!("ws://{address}"), None).await.unwrap_err();
    assert!(told.starts_with("it answers 503") && !told.contains('\x1b'), "{told}");
}

#[test]
fn what_is_wrong_with_a_file_of_authorities_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("hall.crt");
    let trusting = |address: &str| FeedAddress::read(address).unwrap().trusting(Some(&file)).map(drop);
    let told = trusting("wss://localhost").unwrap_err().to_string();
    assert!(told.starts_with("cannot read ") && told.contains("--trust"), "{told}");
    for text in ["", "nonsense", "-----BEGIN CERTIFICATE-----\nMAA=\n-----END CERTIFICATE-----\n"] {
        std::fs::write(&file, text).unwrap();
        assert!(matches!(trusting("wss://localhost"), Err(TrustError::NoAuthority { .. })), "{text}");
    }
    let told = trusting("ws://localhost:7333").unwrap_err().to_string();
    assert!(told.starts_with("ws://localhost:7333/feed is not encrypted"), "{told}");
}
