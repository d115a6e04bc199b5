//! Following a feed: joining, keeping current, noticing a dead link, coming back.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use fivemark_display::clock::MonoClock;
use fivemark_display::connection::{Connection, Contact, FeedAddress, Identity, Known, Shared, Source};
use fivemark_scene::Link;
use fivemark_wire::from_client::{ClientMessage, Join, Resume, Role};
use fivemark_wire::from_feed::{Delta, FeedMessage, Reason, ReasonCode, Refusal, Subject};

use crate::feed::{FakeFeed, Tell};
use crate::heat::{count, snapshot};
use crate::support::{PATIENCE, eventually};

struct Follower {
    shared: Shared,
    clock: MonoClock,
    woken: Arc<AtomicU64>,
    _connection: Connection,
}

impl Follower {
    fn of(address: &str) -> Self {
        let woken = Arc::new(AtomicU64::new(0));
        let wakes = Arc::clone(&woken);
        let shared = Shared::new(move || {
            wakes.fetch_add(1, Ordering::Relaxed);
        });
        let clock = MonoClock::start();
        let address = FeedAddress::read(address).expect("an address");
        let identity = Identity { device: "display-1".into(), access_key: Some("secret".into()) };
        let connection =
            Connection::start(Source::Feed { address, identity, seed: 7 }, vec![shared.clone()], clock)
                .expect("a thread");
        Self { shared, clock, woken, _connection: connection }
    }

    #[track_caller]
    fn until(&self, what: &str, test: impl Fn(&Known) -> bool) {
        eventually(what, PATIENCE, || test(&self.shared.lock()).then_some(()));
    }

    fn number(&self) -> Option<u64> {
        self.shared.lock().view.as_ref().map(|view| view.snapshot.number)
    }
}

pub fn delta(number: u64, lane: u8, done: u32) -> FeedMessage {
    FeedMessage::Delta(Delta {
        number,
        at_ms: 61_000,
        heat: None,
        lanes: vec![count(lane, done)],
        order: Vec::new(),
        no_reps: Vec::new(),
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    })
}

/// A display that has been let in and shows the first snapshot, number 10, of stream "one".
fn following() -> (FakeFeed, Follower) {
    let feed = FakeFeed::start();
    let follower = Follower::of(&feed.address);
    feed.hear();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(snapshot(4))));
    follower.until("the snapshot", live);
    (feed, follower)
}

fn live(known: &Known) -> bool {
    known.contact == Contact::Live
}

#[test]
fn joins_as_a_display_and_keeps_current() {
    let feed = FakeFeed::start();
    let follower = Follower::of(&feed.address);
    let join = ClientMessage::Join(Join {
        access_key: Some("secret".into()),
        ..Join::new(Role::Display, "display-1")
    });
    assert_eq!(feed.hear(), join);
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(snapshot(4))));
    follower.until("the snapshot", live);
    feed.say(delta(11, 2, 7));
    follower.until("the delta", |known| {
        known.view.as_ref().and_then(|view| view.count(2)).is_some_and(|lane| lane.done == 7)
    });
    assert!(follower.woken.load(Ordering::Relaxed) >= 2);
    // The fake feed's clock is five seconds ahead of every stamp.
    follower.until("a clock exchange", |known| {
        let now_us = follower.clock.now_us();
        (known.clock.feed_us(now_us) - now_us - 5_000_000).abs() < 2_500_000
    });
}

#[test]
fn a_hole_is_asked_for_and_nothing_is_shown_from_beyond_it() {
    let (feed, follower) = following();
    feed.say(delta(13, 2, 9));
    assert_eq!(feed.hear(), ClientMessage::Resume(Resume { stream: "one".into(), last: 10 }));
    assert_eq!(follower.number(), Some(10));
    for number in 11..=13 {
        feed.say(delta(number, 2, 9));
    }
    follower.until("the missing deltas", |known| {
        known.view.as_ref().is_some_and(|view| view.snapshot.number == 13)
    });
}

#[test]
fn messages_that_nobody_understands_are_passed_over() {
    let (feed, follower) = following();
    for text in ["", "{", "[]", r#"{"type":"fireworks"}"#, r#"{"type":"delta","number":"x"}"#] {
        feed.tell(Tell::Raw(text.into()));
    }
    feed.say(delta(11, 1, 1));
    follower.until("the delta after them", |known| {
        live(known) && known.view.as_ref().is_some_and(|view| view.snapshot.number == 11)
    });
}

#[test]
fn a_lost_connection_keeps_the_picture_with_its_age_and_comes_back() {
    let (feed, follower) = following();
    feed.tell(Tell::HangUp);
    follower.until("the loss", |known| matches!(known.contact, Contact::LostSince(_)));
    assert_eq!(follower.number(), Some(10), "what was shown stays");
    let later_us = follower.clock.now_us() + 3_000_000;
    let Link::Lost { age_ms } = follower.shared.lock().link(later_us) else { panic!("it is lost") };
    assert!(age_ms >= 3_000, "{age_ms}");
    let ClientMessage::Join(join) = feed.hear() else { panic!("it joins again") };
    assert_eq!(join.resume, Some(Resume { stream: "one".into(), last: 10 }));
    feed.welcome("one");
    follower.until("being back, though nothing has changed", live);
    feed.say(delta(11, 1, 1));
    follower.until("the next delta", |known| known.view.as_ref().is_some_and(|v| v.snapshot.number == 11));
}

#[test]
fn a_restarted_feed_is_shown_from_its_own_snapshot() {
    let (feed, follower) = following();
    feed.tell(Tell::HangUp);
    feed.hear();
    feed.welcome("two");
    let mut fresh = snapshot(4);
    fresh.number = 0;
    feed.say(FeedMessage::Snapshot(Box::new(fresh)));
    follower.until("the other stream", |known| {
        live(known) && known.view.as_ref().is_some_and(|view| view.snapshot.number == 0)
    });
    assert_eq!(follower.shared.lock().stream, "two");
}

#[test]
fn a_silent_feed_counts_as_lost() {
    let (feed, follower) = following();
    feed.tell(Tell::FallSilent);
    follower.until("the loss", |known| matches!(known.contact, Contact::LostSince(_)));
    let trouble = follower.shared.lock().trouble.clone().expect("a reason");
    assert!(trouble.contains("silent"), "{trouble}");
}

#[test]
fn a_refused_display_says_why_and_tries_again() {
    let feed = FakeFeed::start();
    let follower = Follower::of(&feed.address);
    feed.hear();
    let says = "This access key is not known.".to_owned();
    let why = Reason { code: ReasonCode::WrongAccessKey, says: says.clone() };
    feed.say(FeedMessage::Refusal(Refusal { of: Subject::Join, why }));
    follower
        .until("the reason", |known| known.trouble.as_ref().is_some_and(|trouble| trouble.contains(&says)));
    assert_eq!(follower.shared.lock().contact, Contact::Never);
    assert!(matches!(feed.hear(), ClientMessage::Join(_)), "it tries again");
}

#[test]
fn an_unreachable_feed_is_waited_for() {
    // A port that was free a moment ago.
    let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = listener.local_addr().expect("its address").to_string();
    drop(listener);
    let follower = Follower::of(&address);
    follower.until("the reason", |known| {
        known
            .trouble
            .as_ref()
            .is_some_and(|trouble| trouble.contains(&address) && trouble.contains("reached"))
    });
    assert_eq!(follower.shared.lock().link(0), Link::Never);
    let feed = FakeFeed::start_at(&address);
    assert!(matches!(feed.hear(), ClientMessage::Join(_)));
}

#[test]
fn the_connection_ends_when_it_is_dropped() {
    let feed = FakeFeed::start();
    let follower = Follower::of(&feed.address);
    feed.hear();
    let (done, ended) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        drop(follower);
        done.send(()).expect("the test");
    });
    ended.recv_timeout(Duration::from_secs(20)).expect("an end");
}
