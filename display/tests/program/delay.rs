//! A display that is late on purpose: a feed that the test plays, and what is known of it at which time.

use fivemark_display::clock::MonoClock;
use fivemark_display::connection::{Connection, Contact, FeedAddress, Identity, Known, Shared, Source};
use fivemark_scene::Link;
use fivemark_wire::from_client::{ClientMessage, Resume};
use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode, Refusal, Subject};

use crate::feed::{FakeFeed, Tell};
use crate::follow::delta;
use crate::heat::snapshot;
use crate::support::{PATIENCE, display, eventually, refusal_of};

/// Long enough that nothing which is shown at once could be taken for late on a loaded machine.
const DELAY_US: i64 = 1_500_000;

struct Late {
    shared: Shared,
    clock: MonoClock,
    _connection: Connection,
}

impl Late {
    fn of(feed: &FakeFeed) -> Self {
        let shared = Shared::delayed(|| (), DELAY_US);
        let clock = MonoClock::start();
        let address = FeedAddress::read(&feed.address).expect("an address");
        let identity = Identity { device: "display-1".into(), access_key: None };
        let connection =
            Connection::start(Source::Feed { address, identity, seed: 7 }, vec![shared.clone()], clock)
                .expect("a thread");
        Self { shared, clock, _connection: connection }
    }

    /// Waits until something is shown; it was caused at `since_us` and must not be shown before its time.
    #[track_caller]
    fn shows_late(&self, what: &str, since_us: i64, test: impl Fn(&Known) -> bool) {
        let at_us = eventually(what, PATIENCE, || {
            let known = self.shared.lock();
            test(&known).then(|| self.clock.now_us())
        });
        assert!(at_us - since_us >= DELAY_US, "{what}: shown after {} µs", at_us - since_us);
    }
}

fn number(known: &Known) -> Option<u64> {
    known.view.as_ref().map(|view| view.snapshot.number)
}

#[test]
fn pictures_changes_and_the_loss_of_the_line_are_shown_late() {
    let feed = FakeFeed::start();
    let late = Late::of(&feed);
    feed.hear();
    let began_us = late.clock.now_us();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(snapshot(4))));
    late.shows_late("the picture", began_us, |known| known.contact == Contact::Live);

    let changed_us = late.clock.now_us();
    feed.say(delta(11, 2, 7));
    feed.say(delta(12, 3, 8));
    late.shows_late("the changes", changed_us, |known| number(known) == Some(12));
    {
        let known = late.shared.lock();
        let done: Vec<u32> =
            known.view.iter().flat_map(|view| &view.snapshot.lanes).map(|l| l.done).collect();
        assert_eq!(done, [0, 7, 8, 0]);
    }

    let lost_us = late.clock.now_us();
    feed.say(delta(13, 2, 9));
    feed.tell(Tell::HangUp);
    // The line itself is not late: it comes back knowing all that it heard, while the picture still waits for it.
    let ClientMessage::Join(join) = feed.hear() else { panic!("it joins again") };
    assert_eq!(join.resume, Some(Resume { stream: "one".into(), last: 13 }));
    late.shows_late("the loss", lost_us, |known| matches!(known.contact, Contact::LostSince(_)));
    let known = late.shared.lock();
    assert_eq!(number(&known), Some(13), "what came before the loss is shown before it");
    let Contact::LostSince(at_us) = known.contact else { panic!("it is lost") };
    let link = known.link(at_us + 2_300_000);
    assert_eq!(link, Link::Lost { age_ms: 2_300 });
}

#[test]
fn the_clock_is_as_late_as_the_picture() {
    let feed = FakeFeed::start();
    let late = Late::of(&feed);
    feed.hear();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(snapshot(4))));
    // The fake feed's clock is five seconds ahead of every stamp. An exchange is off by at most half its way.
    eventually("an exchange", PATIENCE, || {
        let known = late.shared.lock();
        let now_us = late.clock.now_us();
        let behind_us = now_us + 5_000_000 - known.clock.feed_us(known.shown_us(now_us));
        ((behind_us - DELAY_US).abs() < 200_000).then_some(())
    });
}

#[test]
fn a_hole_is_noticed_when_it_comes_and_not_when_it_is_shown() {
    let feed = FakeFeed::start();
    let late = Late::of(&feed);
    feed.hear();
    feed.welcome("one");
    feed.say(FeedMessage::Snapshot(Box::new(snapshot(4))));
    feed.say(delta(13, 2, 9));
    let asked = feed.hear();
    assert_eq!(asked, ClientMessage::Resume(Resume { stream: "one".into(), last: 10 }));
    for number in 11..=13 {
        feed.say(delta(number, 2, 9));
    }
    eventually("the mended picture", PATIENCE, || (number(&late.shared.lock()) == Some(13)).then_some(()));
}

#[test]
fn before_the_first_picture_trouble_is_told_at_once() {
    let feed = FakeFeed::start();
    let late = Late::of(&feed);
    feed.hear();
    let why = Reason { code: ReasonCode::WrongAccessKey, says: "This access key is not known.".into() };
    feed.say(FeedMessage::Refusal(Refusal { of: Subject::Join, why }));
    let told_us = late.clock.now_us();
    let at_us =
        eventually("the reason", PATIENCE, || late.shared.lock().refused.then(|| late.clock.now_us()));
    assert!(at_us - told_us < DELAY_US, "it does not wait");
}

#[test]
fn ahead_and_late_have_their_ranges_and_exclude_each_other() {
    let refused = |more: &[&str]| {
        let mut command = display();
        refusal_of(command.args(["board", "--headless", "--feed", "127.0.0.1:9"]).args(more))
    };
    let both = refused(&["--ahead-ms", "40", "--delay-ms", "900"]);
    assert!(both.contains("never both; leave one of them out"), "{both}");
    assert!(refused(&["--ahead-ms", "1001"]).contains("1000"));
    assert!(refused(&["--delay-ms", "60001"]).contains("60000"));
    assert!(refused(&["--delay-ms=-1"]).contains("--delay-ms"));
}
