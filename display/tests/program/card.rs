//! The test card, as the program shows it to a wall: every pixel but those of the running time and of its code is the
//! scene's own, and the time is the feed's. What the code says is read in `tests`.

use std::io::Read;
use std::process::Stdio;
use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::draw::{Item, Rect};
use fivemark_scene::{Link, Screen, TestCard, Times};
use fivemark_wire::from_feed::FeedMessage;

use crate::feed::FakeFeed;
use crate::screen::Shown;
use crate::support::{PATIENCE, display, eventually};
use crate::window::standing;

const SIZE: [u32; 2] = [640, 360];

/// The card in a theme, and where it differs from one moment to another.
fn drawn(theme: &str) -> (Vec<u8>, Vec<Rect>) {
    let theme = Rc::new(fivemark_themes::find(theme).expect("a bundled theme"));
    let mut card = TestCard::new(theme, SIZE);
    let mut at = |feed_us: i64| -> Vec<Item> {
        let times = Times { feed_us, frame_us: 0, speed_milli: 1_000 };
        card.frame(None, Link::Live, times).items.clone()
    };
    // From a moment without hours to one that has every figure.
    let (one, other) = (at(5_300_000), at(45_296_700_000));
    let only = |of: &[Item], than: &[Item]| -> Vec<Rect> {
        of.iter().filter(|item| !than.contains(item)).map(|item| item.bounds).collect()
    };
    // Of its code every module may change with the time.
    let running = [only(&one, &other), only(&other, &one), vec![card.code_area()]].concat();
    let mut renderer = Renderer::new(Gpu::open().expect("an adapter"), SIZE).expect("a small canvas");
    let (list, fonts) = card.parts();
    renderer.draw(list, fonts).expect("a frame");
    (renderer.pixels().expect("its pixels").rgba, running)
}

/// Whether the time is shown there.
fn is_time(running: &[Rect], at: usize) -> bool {
    let (x, y) = ((at % SIZE[0] as usize) as f32 + 0.5, (at / SIZE[0] as usize) as f32 + 0.5);
    running.iter().any(|r| (r.x..r.x + r.w).contains(&x) && (r.y..r.y + r.h).contains(&y))
}

#[test]
fn the_card_is_the_scenes_own_and_its_time_runs() {
    for theme in ["dark", "light"] {
        let (expected, running) = drawn(theme);
        assert!(!running.is_empty() && (0..expected.len() / 4).any(|at| !is_time(&running, at)));
        let feed = FakeFeed::start();
        let mut command = display();
        command.args(["test-card", "--feed", &feed.address, "--size", "640x360", "--theme", theme]);
        let child = command.args(["--frames", "-", "--fps", "20"]).stdout(Stdio::piped()).spawn();
        let mut shown = Shown(child.expect("the program"));
        feed.hear();
        feed.welcome("one");
        feed.say(FeedMessage::Snapshot(Box::new(standing())));
        let mut frames = shown.0.stdout.take().expect("its output");
        let mut frame = vec![0; expected.len()];
        let same = |frame: &[u8]| {
            let pixels = frame.chunks_exact(4).zip(expected.chunks_exact(4)).enumerate();
            pixels.filter(|(at, _)| !is_time(&running, *at)).all(|(_, (found, wanted))| found == wanted)
        };
        let mut times = std::collections::BTreeSet::new();
        eventually("the card, with a time that runs", PATIENCE, || {
            frames.read_exact(&mut frame).expect("a frame");
            if same(&frame) {
                let time = frame.chunks_exact(4).enumerate().filter(|(at, _)| is_time(&running, *at));
                times.insert(time.flat_map(|(_, pixel)| pixel.to_vec()).collect::<Vec<u8>>());
            }
            (times.len() >= 4).then_some(())
        });
        // Its edges are marked in the picture's outermost pixels, so that a wall that cuts one off is found out.
        let at = |x: u32, y: u32| &frame[((y * SIZE[0] + x) * 4) as usize..][..4];
        let inside = at(SIZE[0] / 3 + 3, 2);
        for (x, y) in
            [(SIZE[0] / 3, 0), (SIZE[0] / 3, SIZE[1] - 1), (0, SIZE[1] / 3), (SIZE[0] - 1, SIZE[1] / 3)]
        {
            assert_ne!(at(x, y), inside, "{theme}: the edge at {x}, {y}");
        }
    }
}
