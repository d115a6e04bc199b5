//! Asks the feed's metrics whether a display has joined, so that the heat does not start on a dark screen.

use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// Longest answer that is read, in bytes.
const MAX_ANSWER: u64 = 256 * 1024;
/// How often it is asked, and for how long one question may take.
const EVERY: Duration = Duration::from_millis(200);
const WITHIN: Duration = Duration::from_secs(2);

/// Waits until a display has joined. `host` is the feed's address, such as `127.0.0.1:7333`.
pub async fn display_joined(host: &str) {
    loop {
        let metrics = tokio::time::timeout(WITHIN, get(host, "/metrics")).await;
        if let Ok(Ok(text)) = metrics
            && displays(&text) > 0
        {
            return;
        }
        tokio::time::sleep(EVERY).await;
    }
}

async fn get(host: &str, path: &str) -> std::io::Result<String> {
    let mut stream = TcpStream::connect(host).await?;
    let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).await?;
    let mut answer = Vec::new();
    stream.take(MAX_ANSWER).read_to_end(&mut answer).await?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

fn displays(metrics: &str) -> u32 {
    let mut values =
        metrics.lines().filter_map(|line| line.strip_prefix("fivemark_clients{role=\"display\"} "));
    values.next().and_then(|value| value.trim().parse().ok()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn displays_are_read_from_the_metrics() {
        assert_eq!(displays("fivemark_calls_total 7\nfivemark_clients{role=\"display\"} 2\n"), 2);
        assert_eq!(displays("fivemark_clients{role=\"lane_judge\"} 9\n"), 0);
        assert_eq!(displays(""), 0);
    }
}
