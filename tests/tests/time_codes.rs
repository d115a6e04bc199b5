//! The time codes of test cards: a reader of other people reads them as cameras see them, from the golden frames, and
//! they change without flashing, neither on the card nor for somebody whose eye one place of them fills.

use std::path::Path;
use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Link, Screen, TestCard, Times};
use fivemark_tests::flash_count::FlashCount;
use fivemark_tests::foreign;
use fivemark_themes::flash::{MOST_IN_A_SECOND, most_transitions};

const SIZE: [u32; 2] = [640, 360];
const FPS: u32 = 60;
const SECONDS: u32 = 5;

/// They are drawn at 4521.8 s; the code that stands then has stood since 21844 times 207 ms.
#[test]
fn another_s_reader_reads_the_codes_of_the_golden_frames() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden");
    let cards = ["test-card", "test-card-light", "test-card-tall", "test-card-strip"];
    let files = cards.map(|name| golden.join(format!("{name}.png")).to_str().expect("UTF-8").to_owned());
    let mut arguments = vec!["FM:4521708:0:SOUTH-WALL"];
    arguments.extend(files.iter().map(String::as_str));
    foreign::run("code_reading.py", &arguments);
}

#[test]
fn codes_change_without_flashing() {
    for speed_milli in [1_000, 20_000] {
        let theme = fivemark_themes::find("dark").expect("the theme is bundled");
        let mut card = TestCard::new(Rc::new(theme), SIZE);
        let mut renderer = Renderer::new(Gpu::open().expect("there is an adapter"), SIZE).expect("it draws");
        let mut count = FlashCount::new(SIZE, FPS);
        let mut places: Vec<Vec<f64>> = Vec::new();
        for frame in 0..i64::from(FPS * SECONDS) {
            let frame_us = frame * 1_000_000 / i64::from(FPS);
            let feed_us = 61_000_000 + frame_us * i64::from(speed_milli) / 1_000;
            card.frame(None, Link::Live, Times { feed_us, frame_us, speed_milli });
            let (list, fonts) = card.parts();
            renderer.draw(list, fonts).expect("it is drawn");
            let pixels = renderer.pixels().expect("it is read").rgba;
            count.take(&pixels, 4);
            let lights = inside(&pixels, &card);
            places.resize(lights.len(), Vec::new());
            places.iter_mut().zip(lights).for_each(|(place, light)| place.push(light));
        }
        assert!(count.general().passes() && count.red().passes(), "{:?}, {:?}", count.general(), count.red());
        let most = places.iter().map(|place| most_transitions(place, FPS)).max().expect("there are places");
        assert!(most > 3, "the codes change: {most} at most");
        assert!(most <= 2 * MOST_IN_A_SECOND as usize, "{most} in a second, {speed_milli}");
    }
}

/// The light of the pixels in the code's square: they are black or white.
fn inside(pixels: &[u8], card: &TestCard) -> Vec<f64> {
    let area = card.code_area();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // whole pixels inside of the picture
    let [x, y, w, h] = [area.x, area.y, area.w, area.h].map(|side| side as usize);
    let line = usize::try_from(SIZE[0]).expect("a side");
    (y..y + h)
        .flat_map(|row| (x..x + w).map(move |column| 4 * (row * line + column)))
        .map(|at| f64::from(pixels[at]) / 255.0)
        .collect()
}
