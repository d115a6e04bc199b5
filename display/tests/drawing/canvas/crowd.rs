//! Many pages at once: quick ones, slow ones, and some that never read.

use std::net::SocketAddr;
use std::thread;
use std::time::Duration;

use fivemark_display::canvas::MAX_PAGES;
use fivemark_display::gpu::Pixels;

use super::page::{Heard, Page};
use super::stage::{KEY, LONG, Stage, scene};

const SIZE: [u32; 2] = [320, 180];
const FRAMES: u32 = 60;

/// Follows until it shows `last`, and gives the numbers of the frames that it got.
fn follow(address: SocketAddr, last: &Pixels, pause: Duration) -> Vec<u64> {
    let mut page = Page::join(address, Some(KEY));
    let mut numbers = Vec::new();
    while page.pixels != *last {
        numbers.push(page.take_frame().number);
        thread::sleep(pause);
        page.confirm();
    }
    numbers
}

#[test]
fn a_hundred_pages_of_every_pace_end_at_the_same_picture() {
    let mut stage = Stage::new(SIZE);
    let address = stage.feed.address();
    let last = {
        stage.show(&scene(SIZE, FRAMES));
        stage.straight()
    };
    stage.show(&scene(SIZE, 0));
    let never_read: Vec<Page> = (0..10).map(|_| Page::join(address, Some(KEY))).collect();
    let mut fresh = Page::join(address, Some(KEY));
    stage.settle();
    fresh.frame();
    thread::scope(|scope| {
        let pages: Vec<_> = (0..100u64)
            .map(|page| {
                let (last, pause) = (&last, Duration::from_millis(page % 10 * 5));
                scope.spawn(move || follow(address, last, pause))
            })
            .collect();
        for number in 1..=FRAMES {
            stage.show(&scene(SIZE, number));
            // However many there are, whoever keeps up is shown every single frame.
            assert_eq!(fresh.frame().number, u64::from(number) + 1);
        }
        for page in pages {
            let numbers = page.join().expect("a page that got to the end");
            assert!(numbers.is_sorted_by(|a, b| a < b), "{numbers:?}");
            assert_eq!(numbers.last(), Some(&(u64::from(FRAMES) + 1)));
        }
    });
    assert_eq!(fresh.pixels, last);
    drop(never_read);
}

#[test]
fn a_page_that_does_not_read_is_dropped_and_its_place_is_free_again() {
    let mut stage = Stage::with(SIZE, Some(KEY), Duration::from_secs(3));
    let address = stage.feed.address();
    let mut pages: Vec<Page> = (0..MAX_PAGES).map(|_| Page::join(address, Some(KEY))).collect();
    let mut one_more = Page::connect(address);
    one_more.say(&format!(r#"{{"type":"join","access_key":"{KEY}"}}"#));
    let Heard::Text(refused) = one_more.hear() else { panic!("it should be refused in words") };
    assert!(refused.contains("too_many_pages") && refused.contains("128 pages"), "{refused}");
    assert_eq!(one_more.hear(), Heard::Closed);
    stage.show(&scene(SIZE, 1));
    // Each is sent one frame and, as it does not say that it is shown, no more; then it is dropped.
    pages[0].take_frame();
    stage.show(&scene(SIZE, 2));
    assert_eq!(pages[0].hear(), Heard::Closed);
    let until = std::time::Instant::now() + LONG;
    let mut late = loop {
        let mut late = Page::connect(address);
        late.say(&format!(r#"{{"type":"join","access_key":"{KEY}"}}"#));
        if late.hear() == Heard::Text(r#"{"type":"welcome"}"#.into()) {
            break late;
        }
        assert!(std::time::Instant::now() < until, "no place becomes free");
        thread::sleep(Duration::from_millis(100));
    };
    stage.settle();
    late.frame();
    assert_eq!(late.pixels, stage.straight());
}
