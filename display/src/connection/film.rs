//! A film in place of a feed: hands its messages over at their moments, with a clock that knows exactly where the heat
//! stood. What is shown can't tell the difference.

use std::time::Duration;

use fivemark_wire::clock::Exchange;
use fivemark_wire::from_feed::FeedMessage;

use super::known::Shared;
use super::waiting::Heard;
use crate::clock::{MonoClock, stamp_us};
use crate::replay::Film;

/// How long the last picture stays.
const LAST_PICTURE: Duration = Duration::from_secs(3);

/// A film, and which part of it is shown how fast.
#[derive(Clone, Debug)]
pub struct Showing {
    /// The film.
    pub film: Film,
    /// From this moment of feed time, milliseconds.
    pub from_ms: i64,
    /// To this one; to the last message, and a few seconds more, if none is told.
    pub until_ms: Option<i64>,
    /// How fast feed time runs, thousandths.
    pub speed_milli: u32,
}

impl Showing {
    /// Plays it once.
    pub(super) async fn play(&self, followers: &[Shared], clock: MonoClock) {
        let (first, after) = self.film.from_ms(self.from_ms);
        let began_us = clock.now_us();
        let tell = |heard: &Heard| {
            let now_us = clock.now_us();
            for shared in followers {
                shared.change(|known| known.receive(heard.clone(), now_us));
            }
        };
        tell(&Heard::Welcome { stream: "film".to_owned(), speed_milli: self.speed_milli });
        tell(&Heard::Snapshot(Box::new(first)));
        // The film's clock is the display's own, from the moment at which it began.
        let (stamp, feed_us) = (stamp_us(began_us, self.speed_milli), self.from_ms.saturating_mul(1_000));
        let exact = Exchange { t1_us: stamp, t2_us: feed_us, t3_us: feed_us, t4_us: stamp };
        tell(&Heard::Exchange(exact));
        let due = |at_ms: i64| {
            let way_us = i128::from(at_ms - self.from_ms) * 1_000_000 / i128::from(self.speed_milli.max(1));
            clock.instant_at(began_us.saturating_add(i64::try_from(way_us).unwrap_or(i64::MAX)))
        };
        let until_ms = self.until_ms.unwrap_or(i64::MAX);
        for (at_ms, message) in after.iter().take_while(|(at_ms, _)| *at_ms <= until_ms) {
            tokio::time::sleep_until(due(*at_ms).into()).await;
            match message {
                FeedMessage::Snapshot(snapshot) => tell(&Heard::Snapshot(snapshot.clone())),
                FeedMessage::Delta(delta) => tell(&Heard::Delta(Box::new(delta.clone()))),
                _ => {}
            }
        }
        match self.until_ms {
            Some(until_ms) => tokio::time::sleep_until(due(until_ms).into()).await,
            None => tokio::time::sleep(LAST_PICTURE).await,
        }
        // Whoever shows it later comes to its end later.
        let longest_us = followers.iter().map(Shared::delay_us).max().unwrap_or(0);
        tokio::time::sleep(Duration::from_micros(u64::try_from(longest_us).unwrap_or(0))).await;
        for shared in followers {
            shared.change(|known| known.catch_up(clock.now_us()));
        }
    }
}
