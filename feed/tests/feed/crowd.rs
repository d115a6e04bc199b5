//! How many connections one address may have.

use std::net::SocketAddr;

use fivemark_wire::from_client::Role;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

use crate::harness::{PATIENCE, TestFeed};

#[tokio::test]
async fn one_address_cannot_take_all_connections() {
    let feed = TestFeed::start_with(|config| config.doors.per_address = Some(3), |journal| Box::new(journal));
    let door = feed.door();
    let mut held = Vec::new();
    for _ in 0..3 {
        held.push(door.join(Role::Display, None).await);
    }
    let mut late = TcpStream::connect(feed.address).await.unwrap();
    let read = tokio::time::timeout(PATIENCE, late.read(&mut [0; 16])).await.unwrap();
    assert!(matches!(read, Ok(0) | Err(_)), "a connection too many is closed: {read:?}");
    // A socket counts until it is closed, and what it leaves is free again.
    held.pop().unwrap().close().await;
    let again = async { while !healthy(feed.address).await {} };
    tokio::time::timeout(PATIENCE, again).await.expect("a place that was left stays taken");
    feed.stop().await;
}

/// Whether a connection is served; one too many may end while it still speaks.
async fn healthy(address: SocketAddr) -> bool {
    let mut heard = String::new();
    let asked = async {
        let mut stream = TcpStream::connect(address).await?;
        stream.write_all(b"GET /healthz HTTP/1.1\r\nHost: feed\r\nConnection: close\r\n\r\n").await?;
        stream.read_to_string(&mut heard).await
    };
    asked.await.is_ok() && heard.starts_with("HTTP/1.1 200 ")
}
