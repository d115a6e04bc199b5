use super::*;
use crate::draw::{Shape, TextShape};
use crate::testcard::plan::{ACTION_SAFE, GRAPHICS_SAFE, safe};

const SIZES: [[u32; 2]; 14] = [
    [640, 160],
    [640, 360],
    [1280, 720],
    [1920, 1080],
    [3840, 2160],
    [7680, 4320],
    [1080, 1920],
    [540, 1920],
    [1000, 1000],
    [1024, 768],
    [3840, 360],
    [1920, 192],
    [2560, 1080],
    [7680, 240],
];

fn card(size: [u32; 2]) -> TestCard {
    TestCard::new(Rc::new(fivemark_themes::find("dark").unwrap()), size)
}

fn times(feed_us: i64, frame_us: i64) -> Times {
    Times { feed_us, frame_us, speed_milli: 1000 }
}

fn texts(list: &DrawList) -> Vec<(&Item, &TextShape, Rect)> {
    list.items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Text(text) if text.text.width > 0.0 => {
                let (baseline, cap) = (text.top + text.text.baseline, text.text.cap_height);
                Some((item, text, Rect { x: text.left, y: baseline - cap, w: text.text.width, h: cap }))
            }
            _ => None,
        })
        .collect()
}

fn meet(a: Rect, b: Rect) -> bool {
    a.x + 1.0 < b.x + b.w && b.x + 1.0 < a.x + a.w && a.y + 1.0 < b.y + b.h && b.y + 1.0 < a.y + a.h
}

fn kind(item: &Item) -> u64 {
    item.key.0 >> 16 & 0xFFFF
}

#[test]
fn no_text_meets_another_or_the_code_or_leaves_what_is_safe_for_graphics() {
    for size in SIZES {
        for (lanes, language, link) in
            [(1, "en", Link::Live), (10, "de", Link::Never), (40, "es", Link::Live)]
        {
            let mut card = card(size);
            card.set_lanes(lanes);
            card.set_name("the wall over the north stand, on the left");
            card.set_words(Rc::new(Words::of(language).unwrap()));
            let list = card.frame(None, link, times(86_399_900_000, 0)).clone();
            let (code, safe) = (card.code_area(), safe(size, GRAPHICS_SAFE));
            let texts = texts(&list);
            for (index, (_, text, ink)) in texts.iter().enumerate() {
                let words = text.text.buffer.lines[0].text();
                assert!(!meet(*ink, code), "{size:?}: `{words}` on the code's square");
                let inside = ink.x >= safe.x
                    && ink.y >= safe.y
                    && ink.x + ink.w <= safe.x + safe.w + 0.5
                    && ink.y + ink.h <= safe.y + safe.h;
                assert!(inside, "{size:?}: `{words}` {ink:?} leaves {safe:?}");
                for (_, other, other_ink) in &texts[index + 1..] {
                    assert!(!meet(*ink, *other_ink), "{size:?}: `{words}` on {:?}", other.text);
                }
            }
            #[allow(clippy::cast_precision_loss)] // pixels of a screen
            let least = size[1] as f32 * 0.12;
            assert!(code.w >= least && code.h >= least, "{size:?}: {code:?}");
            assert!(code.x + code.w <= safe.x + safe.w && code.y + code.h <= safe.y + safe.h);
            let plates = [Kind::Plate, Kind::TestPlate, Kind::TestSwatch].map(|kind| u64::from(kind as u16));
            for item in list.items.iter().filter(|item| plates.contains(&kind(item))) {
                let Shape::Box(shape) = item.shape else { continue };
                assert!(!meet(shape.rect, code), "{size:?}: {:?} on the code's square", item.key);
            }
        }
    }
}

/// Insets rounded up, so that an area never exceeds its share: 93 % and 90 % of EBU R 95 and ITU-R BT.1848-1 (seen
/// second-hand), rectangles computed from them.
#[test]
fn safe_areas_are_those_of_broadcasting() {
    for (size, action, graphics) in [
        ([1280, 720], [45.0, 26.0, 1190.0, 668.0], [64.0, 36.0, 1152.0, 648.0]),
        ([1920, 1080], [68.0, 38.0, 1784.0, 1004.0], [96.0, 54.0, 1728.0, 972.0]),
        ([3840, 2160], [135.0, 76.0, 3570.0, 2008.0], [192.0, 108.0, 3456.0, 1944.0]),
    ] {
        let numbers = |rect: Rect| [rect.x, rect.y, rect.w, rect.h];
        assert_eq!(numbers(safe(size, ACTION_SAFE)), action);
        assert_eq!(numbers(safe(size, GRAPHICS_SAFE)), graphics);
        let list = card(size).frame(None, Link::Live, times(0, 0)).clone();
        let frames: Vec<_> = list
            .items
            .iter()
            .filter(|item| kind(item) == u64::from(Kind::TestFrame as u16))
            .filter_map(|item| match item.shape {
                Shape::Box(shape) => Some(numbers(shape.rect)),
                _ => None,
            })
            .collect();
        assert!(frames.contains(&action) && frames.contains(&graphics), "{frames:?}");
        #[allow(clippy::cast_precision_loss)] // pixels of a screen
        let whole = [0.0, 0.0, size[0] as f32, size[1] as f32];
        assert!(frames.contains(&whole), "a line along each edge");
    }
}

/// What a wall's texts are promised by is shown at the board's own heights, and on common walls nothing is left out.
#[test]
fn texts_stand_at_their_true_heights() {
    for size in SIZES {
        let mut card = card(size);
        let list = card.frame(None, Link::Live, times(0, 0)).clone();
        let layout = Layout::new(size, Content { lanes: 10, ..Content::default() }, &card.theme.form);
        let wanted: Vec<f32> = crate::legibility::heights(&layout).into_iter().map(|(_, cap)| cap).collect();
        let found: Vec<f32> = texts(&list)
            .iter()
            .filter(|(item, ..)| kind(item) == u64::from(Kind::TestSample as u16))
            .map(|(_, text, _)| text.text.cap_height)
            .collect();
        for cap in &found {
            assert!(wanted.iter().any(|wanted| (wanted - cap).abs() <= 0.13), "{size:?}: {cap}");
        }
        assert!(found.len() == 8, "{size:?}: {} of the texts", found.len());
    }
}

fn is_code(item: &Item) -> bool {
    [Kind::CodePlate, Kind::CodeModule].iter().any(|wanted| kind(item) == u64::from(*wanted as u16))
}

#[test]
fn the_time_runs_in_tenths_and_nothing_else_changes_but_the_code() {
    let mut card = card([1920, 1080]);
    let first = card.frame(None, Link::Live, times(61_234_567, 1_000)).clone();
    // 296 codes of 207 ms are over at 61.272 s.
    assert_eq!(card.next_change_us(), Some(1_000 + 37_433));
    assert_eq!(*card.frame(None, Link::Live, times(61_271_999, 38_432)), first);
    let shaped = card.fonts.shaped_count();
    let code = card.frame(None, Link::Live, times(61_272_000, 38_433)).clone();
    let rest = |list: &DrawList| list.items.iter().filter(|item| !is_code(item)).cloned().collect::<Vec<_>>();
    assert_ne!(code, first);
    assert_eq!(rest(&code), rest(&first), "nothing but the code");
    assert_eq!(card.next_change_us(), Some(1_000 + 65_433), "the next tenth");
    assert_eq!(*card.frame(None, Link::Live, times(61_299_999, 66_432)), code);
    let then = card.frame(None, Link::Live, times(61_300_000, 66_433)).clone();
    let changed = code.items.iter().zip(&then.items).filter(|(a, b)| a != b).count();
    assert_eq!(changed, 1, "one figure");
    assert_eq!(card.fonts.shaped_count(), shaped, "nothing is shaped anew");
    let waiting = card.frame(None, Link::Never, times(0, 70_000)).clone();
    assert_eq!(card.next_change_us(), None, "without a feed there is no time that runs");
    assert!(!waiting.items.iter().any(is_code), "nor a code of it");
}

/// Twenty times as fast, codes stand for as long in real time.
#[test]
fn codes_keep_their_pace_whatever_the_heat_s() {
    let mut card = card([1280, 720]);
    let fast = |feed_us, frame_us| Times { feed_us, frame_us, speed_milli: 20_000 };
    let code = |list: &DrawList| list.items.iter().filter(|item| is_code(item)).cloned().collect::<Vec<_>>();
    let mut codes = Vec::new();
    let mut frame_us = 0;
    while frame_us < 1_000_000 {
        codes.push(code(card.frame(None, Link::Live, fast(20 * frame_us, frame_us))));
        frame_us = card.next_change_us().unwrap();
    }
    codes.dedup();
    assert_eq!(codes.len(), 5, "those of 0, 207, 414, 621 and 828 ms");
}

/// Modules of whole pixels, each size with room for them: a camera reads a blurred one badly.
#[test]
fn the_code_stands_in_its_square_in_whole_pixels() {
    for size in SIZES {
        let mut card = card(size);
        card.set_ahead_us(120_000);
        let list = card.frame(None, Link::Live, times(61_272_000, 0)).clone();
        let area = card.code_area();
        let rects: Vec<Rect> = list
            .items
            .iter()
            .filter(|item| is_code(item))
            .filter_map(|item| match item.shape {
                Shape::Box(shape) => Some(shape.rect),
                _ => None,
            })
            .collect();
        assert!(rects.len() > 100, "{size:?}: {}", rects.len());
        let plate = rects[0];
        assert!(plate.w >= crate::layouts::pixels(size[1]) * 0.12, "{size:?}: {plate:?}");
        let module = plate.w / f32::from(code::SIDE);
        for rect in rects {
            let whole = [rect.x, rect.y, rect.w, rect.h].iter().all(|pixels| pixels.fract() == 0.0);
            assert!(whole, "{size:?}: {rect:?}");
            let inside = rect.x >= area.x
                && rect.y >= area.y
                && rect.x + rect.w <= area.x + area.w
                && rect.y + rect.h <= area.y + area.h;
            assert!(inside, "{size:?}: {rect:?} leaves {area:?}");
            let quiet = rect == plate || rect.x >= plate.x + 4.0 * module && rect.y >= plate.y + 4.0 * module;
            assert!(quiet, "{size:?}: {rect:?} in the quiet zone");
        }
    }
}

#[test]
fn any_size_and_name_gives_a_picture() {
    for size in [[1, 1], [16, 16], [16_384, 64], [64, 16_384], [16_384, 16_384]] {
        let mut card = card(size);
        card.set_name(&"wide ".repeat(1_000));
        let list = card.frame(None, Link::Lost { age_ms: 1 }, times(i64::MAX, i64::MAX - 1));
        let finite = list.items.iter().all(|item| item.bounds.x.is_finite() && item.bounds.w.is_finite());
        assert!(finite && (10..1_000).contains(&list.items.len()), "{size:?}: {}", list.items.len());
        let mut keys: Vec<_> = list.items.iter().map(|item| item.key).collect();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), list.items.len(), "{size:?}: a key is there twice");
    }
}
