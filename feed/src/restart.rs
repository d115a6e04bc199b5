//! How feed time goes on at a start. Within one boot the boot-time clock carries it over. After a reboot with a heat
//! under way it is found again from the pages that are still loaded: each says in its join what it takes feed time
//! to be, and the median counts. If none says so within a stated wait, the wall clock carries it over. Either way the
//! heat's clock is in doubt until the head judge confirms it. Decides only; leaves journalling to `run`.

use std::collections::BTreeMap;

use fivemark_engine::State;
use fivemark_wire::from_client::PageClock;
use serde::{Deserialize, Serialize};
use tokio::sync::watch;

use crate::shared::Patience;
use crate::timeline::{Anchor, Reading, scaled};

/// Longest that a feed is taken to have been away while a heat was under way, microseconds of feed time: ten days,
/// more than any event. A page that is further ahead has another feed's time.
const MAX_AWAY_US: i64 = 864_000_000_000;
/// Most pages that are listened to: every client with an access key, and some that come back under another name.
const MAX_PAGES: usize = 512;

/// The last moment that the journal knows of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LastSeen {
    /// Feed time, milliseconds.
    pub at_ms: i64,
    /// Wall clock, Unix milliseconds.
    pub wall_ms: i64,
}

/// By what feed time was carried over to a start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Carried {
    /// The journal is new.
    New,
    /// The boot-time clock.
    BootClock,
    /// The median of so many pages' clocks.
    Pages(usize),
    /// The wall clock.
    WallClock,
}

/// How feed time goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Plan {
    /// It is known.
    Known(Anchor, Carried),
    /// The machine was restarted while a heat was under way: pages may know.
    AskPages {
        /// If no page knows.
        by_wall: Anchor,
    },
}

impl Plan {
    /// The plan of a start: `earlier` is the anchor of the last one, `under_way` whether the clock matters to a heat.
    #[must_use]
    pub fn of(
        earlier: Option<&Anchor>,
        last: Option<LastSeen>,
        under_way: bool,
        now: Reading,
        speed_milli: u32,
    ) -> Self {
        let Some(earlier) = earlier else {
            return Self::Known(Anchor::at(0, now, speed_milli), Carried::New);
        };
        let seen_us = last.map_or(0, |last| last.at_ms.saturating_mul(1_000));
        let anchor = |feed_us: i64, now| Anchor::at(feed_us.max(seen_us), now, speed_milli);
        if !now.boot_id.is_empty() && now.boot_id == earlier.boot_id && now.boot_us >= earlier.boot_us {
            return Self::Known(anchor(earlier.feed_us_at(now.boot_us), now), Carried::BootClock);
        }
        let (feed_us, wall_ms) =
            last.map_or((earlier.feed_us, earlier.wall_ms), |last| (seen_us, last.wall_ms));
        let passed_us = now.wall_ms.saturating_sub(wall_ms).max(0).saturating_mul(1_000);
        let by_wall = anchor(feed_us.saturating_add(scaled(passed_us, earlier.speed_milli)), now);
        if under_way { Self::AskPages { by_wall } } else { Self::Known(by_wall, Carried::WallClock) }
    }
}

/// Whether a heat in this state has times that hang on the clock.
#[must_use]
pub fn is_under_way(state: State) -> bool {
    match state {
        State::Countdown | State::Running | State::Held | State::TimeCalled | State::Provisional => true,
        State::LanesSet | State::OnDeck | State::Signed | State::Cancelled => false,
    }
}

/// What pages take feed time to be, by their devices.
#[derive(Debug, Default)]
pub struct PageClocks {
    /// The moment of the boot-time clock when the machine said it, and feed time then; both microseconds.
    heard: watch::Sender<BTreeMap<String, (i64, i64)>>,
}

impl PageClocks {
    /// Takes down what a page says at a moment of the boot-time clock. On its way it has aged by half its round trip.
    pub fn hear(&self, device: &str, page: PageClock, boot_us: i64) {
        let feed_us = page.now_us.saturating_add(page.add_us).saturating_add(page.delay_us.max(0) / 2);
        self.heard.send_if_modified(|heard| {
            let room = heard.len() < MAX_PAGES || heard.contains_key(device);
            if room {
                heard.insert(device.to_owned(), (boot_us, feed_us));
            }
            room
        });
    }

    /// Where feed time goes on: by the pages if one comes in time, else by the wall clock. Waits for the first page,
    /// then a little for the others, at most until `expected` of them have spoken.
    pub async fn decide(
        &self,
        by_wall: Anchor,
        last: Option<LastSeen>,
        expected: usize,
        patience: Patience,
    ) -> (Anchor, Carried) {
        let mut heard = self.heard.subscribe();
        let mut found = Vec::new();
        for (enough, wait) in [(1, patience.first_clock), (expected.max(1), patience.more_clocks)] {
            let spoken = heard.wait_for(|heard| believable(heard, &by_wall, last).len() >= enough);
            let in_time = tokio::time::timeout(wait, spoken).await.is_ok();
            found = believable(&self.heard.borrow(), &by_wall, last);
            if !in_time {
                break;
            }
        }
        match median(&mut found) {
            Some(feed_us) => (Anchor { feed_us, ..by_wall }, Carried::Pages(found.len())),
            None => (by_wall, Carried::WallClock),
        }
    }
}

/// Feed times at the anchor's moment, as the pages see it: never before what the journal has seen.
fn believable(heard: &BTreeMap<String, (i64, i64)>, anchor: &Anchor, last: Option<LastSeen>) -> Vec<i64> {
    let seen_us = last.map_or(0, |last| last.at_ms.saturating_mul(1_000));
    let range = seen_us..=seen_us.saturating_add(MAX_AWAY_US);
    let at_anchor = |(boot_us, feed_us): &(i64, i64)| {
        feed_us.saturating_sub(scaled(boot_us.saturating_sub(anchor.boot_us), anchor.speed_milli))
    };
    heard.values().map(at_anchor).filter(|feed_us| range.contains(feed_us)).collect()
}

/// The middle one, or the mean of the middle two.
fn median(values: &mut [i64]) -> Option<i64> {
    values.sort_unstable();
    let middle = values.len() / 2;
    let upper = *values.get(middle)?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = *values.get(middle.checked_sub(1)?)?;
    Some(lower.midpoint(upper))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::timeline::REAL_SPEED_MILLI;

    fn reading(boot: &str, boot_us: i64, wall_ms: i64) -> Reading {
        Reading { boot_id: boot.to_owned(), boot_us, wall_ms }
    }

    fn known(plan: Plan) -> (i64, Carried) {
        match plan {
            Plan::Known(anchor, carried) => (anchor.feed_us, carried),
            Plan::AskPages { by_wall } => panic!("pages are asked, or {by_wall:?}"),
        }
    }

    fn earlier() -> Anchor {
        Anchor::at(0, reading("a", 5_000_000, 1_000_000), REAL_SPEED_MILLI)
    }

    const LAST: Option<LastSeen> = Some(LastSeen { at_ms: 30_000, wall_ms: 1_030_000 });

    #[test]
    fn a_new_journal_begins_at_zero() {
        let plan = Plan::of(None, None, true, reading("a", 7, 8), REAL_SPEED_MILLI);
        assert_eq!(known(plan), (0, Carried::New));
    }

    #[test]
    fn within_a_boot_the_boot_clock_carries_time_over_whatever_the_wall_clock_does() {
        let now = reading("a", 65_000_000, 0);
        let plan = Plan::of(Some(&earlier()), LAST, true, now, REAL_SPEED_MILLI);
        assert_eq!(known(plan), (60_000_000, Carried::BootClock));
    }

    #[test]
    fn a_rehearsal_keeps_its_time_when_its_speed_changes() {
        let first = Anchor::at(0, reading("a", 0, 0), 10_000);
        let plan = Plan::of(Some(&first), None, true, reading("a", 2_000_000, 0), REAL_SPEED_MILLI);
        let Plan::Known(next, _) = plan else { panic!("{plan:?}") };
        assert_eq!(next.feed_us, 20_000_000);
        let plan = Plan::of(Some(&next), None, true, reading("a", 3_000_000, 0), REAL_SPEED_MILLI);
        assert_eq!(known(plan).0, 21_000_000);
    }

    #[test]
    fn after_a_reboot_the_wall_clock_serves_where_no_heat_is_under_way() {
        let now = || reading("b", 100, 1_045_000);
        let plan = Plan::of(Some(&earlier()), LAST, false, now(), REAL_SPEED_MILLI);
        assert_eq!(known(plan), (45_000_000, Carried::WallClock));
        let plan = Plan::of(Some(&earlier()), LAST, true, now(), REAL_SPEED_MILLI);
        assert!(matches!(plan, Plan::AskPages { by_wall } if by_wall.feed_us == 45_000_000));
        // A machine that cannot tell its boots apart is taken to have been restarted.
        let nameless = Anchor { boot_id: String::new(), ..earlier() };
        let plan = Plan::of(Some(&nameless), LAST, true, reading("", 6_000_000, 1_045_000), REAL_SPEED_MILLI);
        assert!(matches!(plan, Plan::AskPages { .. }));
    }

    #[test]
    fn time_never_goes_back_before_what_was_journalled() {
        let plan = Plan::of(Some(&earlier()), LAST, false, reading("b", 100, 500), REAL_SPEED_MILLI);
        assert_eq!(known(plan).0, 30_000_000);
    }

    fn decide(said: &[(i64, i64)], expected: usize) -> (Anchor, Carried) {
        let pages = PageClocks::default();
        for (index, (boot_us, feed_us)) in said.iter().enumerate() {
            let clock = PageClock { now_us: feed_us - 7_000, add_us: 6_000, delay_us: 2_000 };
            pages.hear(&format!("phone-{index}"), clock, *boot_us);
        }
        let now = reading("b", 1_000_000, 0);
        let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
        let soon = std::time::Duration::from_millis(1);
        let patience = Patience { first_clock: soon, more_clocks: soon, ..Patience::default() };
        let by_wall = Anchor::at(99_000_000, now, REAL_SPEED_MILLI);
        runtime.block_on(pages.decide(by_wall, LAST, expected, patience))
    }

    #[test]
    fn the_median_of_the_pages_counts() {
        // Each says feed time at its own moment; at the anchor's moment they say 41, 42 and 70 s.
        let three = [(2_000_000, 42_000_000), (3_000_000, 44_000_000), (1_000_000, 70_000_000)];
        let (anchor, carried) = decide(&three, 3);
        assert_eq!((anchor.feed_us, carried), (42_000_000, Carried::Pages(3)));
        let (anchor, carried) = decide(&three[..2], 3);
        assert_eq!((anchor.feed_us, carried), (41_500_000, Carried::Pages(2)), "those that came in time");
    }

    #[test]
    fn what_cannot_be_is_not_believed() {
        // Before the last entry, further ahead than any event, and absurd.
        for feed_us in [29_999_000, 30_000_000 + MAX_AWAY_US + 1_000, i64::MAX, i64::MIN + 7_000] {
            assert_eq!(decide(&[(1_000_000, feed_us)], 1).1, Carried::WallClock, "{feed_us}");
        }
        let (anchor, carried) = decide(&[(1_000_000, 5), (1_000_000, 31_000_000)], 2);
        assert_eq!((anchor.feed_us, carried), (31_000_000, Carried::Pages(1)));
    }

    #[test]
    fn without_pages_the_wall_clock_serves() {
        let (anchor, carried) = decide(&[], 0);
        assert_eq!((anchor.feed_us, carried), (99_000_000, Carried::WallClock));
    }

    #[test]
    fn heats_whose_times_hang_on_the_clock() {
        let all = [
            State::LanesSet,
            State::OnDeck,
            State::Countdown,
            State::Running,
            State::Held,
            State::TimeCalled,
            State::Provisional,
            State::Signed,
            State::Cancelled,
        ];
        let under_way: Vec<State> = all.into_iter().filter(|state| is_under_way(*state)).collect();
        assert_eq!(under_way, all[2..7]);
    }
}
