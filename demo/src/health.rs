//! Asks the feed's metrics whether a display has joined, so that the heat does not start on a dark screen.

use std::time::Duration;

use fivemark_dial::FeedAddress;

/// How often it is asked, and for how long one question may take.
const EVERY: Duration = Duration::from_millis(200);
const WITHIN: Duration = Duration::from_secs(2);

/// Waits until a display has joined.
pub async fn display_joined(address: &FeedAddress) {
    loop {
        let metrics = tokio::time::timeout(WITHIN, address.get("/metrics")).await;
        if let Ok(Ok(text)) = metrics
            && displays(&text) > 0
        {
            return;
        }
        tokio::time::sleep(EVERY).await;
    }
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
