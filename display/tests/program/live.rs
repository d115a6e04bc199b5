//! The frames that follow a feed, without a window: never empty, marked when the feed is gone, and there again after
//! the graphics device was lost.

use std::rc::Rc;

use fivemark_display::clock::MonoClock;
use fivemark_display::connection::{Connection, Contact, FeedAddress, Identity, Shared, Source};
use fivemark_display::gpu::Pixels;
use fivemark_display::live::{Followed, LivePicture};
use fivemark_display::plan::{Fps, Kind, make_screen};
use fivemark_display::stage::{Painted, Stage, Wake};
use fivemark_scene::Motion;
use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode, Refusal, Subject};
use fivemark_wire::view::{Clock, State};

use crate::feed::{FakeFeed, Tell};
use crate::heat::snapshot;
use crate::support::{PATIENCE, eventually};

const SIZE: [u32; 2] = [640, 360];

struct Playing {
    stage: Stage,
    shared: Shared,
    _connection: Connection,
}

impl Playing {
    fn of(feed: &FakeFeed) -> Self {
        let shared = Shared::new(|| ());
        let clock = MonoClock::start();
        let theme = Rc::new(fivemark_themes::find("dark").expect("the bundled theme"));
        let followed = Followed { shared: shared.clone(), clock, feed: &feed.address };
        let screen = make_screen(Kind::Board, "board", theme, SIZE, Motion::Reduced);
        let live = LivePicture::new(screen, SIZE, followed, None);
        let address = FeedAddress::read(&feed.address).expect("an address");
        let identity = Identity { device: "display-1".into(), access_key: None };
        let connection =
            Connection::start(Source::Feed { address, identity, seed: 3 }, vec![shared.clone()], clock)
                .expect("a thread");
        let mut stage = Stage::new(vec![Painted::new(live, None, Fps::USUAL)], clock, Wake::new(|| ()));
        stage.open().expect("an adapter");
        Self { stage, shared, _connection: connection }
    }

    fn frame(&mut self) -> Pixels {
        self.stage.frame(0).expect("a frame");
        self.stage.pictures[0].renderer().expect("a device").pixels().expect("its pixels")
    }

    /// Frames until one is unlike `last`.
    #[track_caller]
    fn other_than(&mut self, last: &Pixels, what: &str) -> Pixels {
        eventually(what, PATIENCE, || {
            let now = self.frame();
            (now != *last).then_some(now)
        })
    }
}

/// Pixels that are not the background's.
fn painted(pixels: &Pixels) -> usize {
    let background = pixels.at(0, 0);
    pixels.rgba.chunks_exact(4).filter(|pixel| *pixel != background).count()
}

#[test]
fn before_during_and_after_a_feed_there_is_always_a_picture() {
    let feed = FakeFeed::start();
    let mut playing = Playing::of(&feed);
    let waiting = playing.frame();
    assert!(painted(&waiting) > 500, "the first screen says what it waits for");

    feed.hear();
    feed.welcome("one");
    let mut heat = snapshot(4);
    heat.heat.state = State::Provisional;
    heat.heat.clock = Clock::Stopped { elapsed_ms: 90_000 };
    feed.say(FeedMessage::Snapshot(Box::new(heat)));
    let board = playing.other_than(&waiting, "the board");

    feed.tell(Tell::HangUp);
    let lost = playing.other_than(&board, "the mark that the feed is gone");
    let kept = lost.rgba.chunks_exact(4).zip(board.rgba.chunks_exact(4)).filter(|(a, b)| a == b).count();
    assert!(kept * 10 > 9 * (SIZE[0] * SIZE[1]) as usize, "the rest of the board stays as it was: {kept}");
    assert!(matches!(playing.shared.lock().contact, Contact::LostSince(_)));
    let older = playing.other_than(&lost, "its age");

    feed.hear();
    feed.welcome("one");
    eventually("the board as it was", PATIENCE, || (playing.frame() == board).then_some(()));
    assert_ne!(older, board);
}

#[test]
fn a_wrong_access_key_is_told_on_the_screen() {
    let feed = FakeFeed::start();
    let mut playing = Playing::of(&feed);
    let waiting = playing.frame();
    feed.hear();
    let why = Reason { code: ReasonCode::WrongAccessKey, says: "This access key is not known.".into() };
    feed.say(FeedMessage::Refusal(Refusal { of: Subject::Join, why }));
    let refused = playing.other_than(&waiting, "the reason");
    assert!(painted(&refused) > 500);
}

#[test]
fn a_lost_device_is_opened_again_and_shows_the_same() {
    let feed = FakeFeed::start();
    let mut playing = Playing::of(&feed);
    let before = playing.frame();
    playing.stage.gpu().expect("a device").device.destroy();
    assert_eq!(playing.frame(), before);
    assert!(playing.stage.gpu().is_some_and(|gpu| !gpu.is_lost()));
}
