//! Damage: few disjoint rectangles that cover every difference, and a canvas that cannot be told from one that
//! was painted whole.

use std::rc::Rc;
use std::sync::Arc;

use fivemark_display::gpu::damage::{MAX_RECTS, PxRect, Region};
use fivemark_scene::Fonts;
use fivemark_scene::draw::{
    Border, BoxShape, DrawList, Hatch, ImageShape, Item, ItemKey, LAYERS, PathShape, Picture, Rgba, Segment,
    Shape, TextShape,
};
use fivemark_scene::text::STYLES;
use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::support::{SIZE, fonts, picture, rect, renderer};

#[test]
fn regions_are_disjoint_bounded_and_cover_what_was_added() {
    for seed in 0..200 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut region = Region::default();
        let mut added = Vec::new();
        for _ in 0..random.random_range(0..120) {
            let (left, top) = (random.random_range(-10..1000), random.random_range(-10..600));
            let rect = PxRect {
                left,
                top,
                right: left + random.random_range(-2..120),
                bottom: top + random.random_range(-2..60),
            };
            region.add(rect);
            added.push(rect);
        }
        let rects = region.rects();
        assert!(rects.len() <= MAX_RECTS, "seed {seed}: {} rectangles", rects.len());
        for (index, one) in rects.iter().enumerate() {
            assert!(!one.is_empty(), "seed {seed}");
            for other in &rects[index + 1..] {
                assert!(one.intersect(*other).is_empty(), "seed {seed}: {one:?} meets {other:?}");
            }
        }
        for rect in added.iter().filter(|rect| !rect.is_empty()) {
            let covered = rects.iter().any(|cover| cover.intersect(*rect) == *rect);
            assert!(covered, "seed {seed}: {rect:?} is not covered");
        }
    }
}

#[test]
fn a_small_change_damages_little_and_none_damages_nothing() {
    let mut random = ChaCha8Rng::seed_from_u64(1);
    let mut fonts = fonts();
    let mut pool = Pool::new(&mut fonts);
    let mut list = pool.list(&mut random, 60);
    let mut renderer = renderer(SIZE);
    let first = renderer.draw(&list, fonts.system_mut()).expect("a frame");
    assert_eq!((first.rects, first.pixels), (1, i64::from(SIZE[0] * SIZE[1])));
    let same = renderer.draw(&list, fonts.system_mut()).expect("a frame");
    assert_eq!(same.rects, 0);
    let Shape::Box(shape) = &mut list.items[0].shape else { panic!("the pool starts with a box") };
    shape.fill = Rgba([1, 2, 3, 255]);
    let one = renderer.draw(&list, fonts.system_mut()).expect("a frame");
    assert_eq!(one.rects, 1);
    assert!(one.pixels < first.pixels / 2, "{one:?}");
}

/// The test that the whole renderer stands on: hundreds of random changes, and after each the canvas is the one
/// that a fresh renderer paints, byte for byte.
#[test]
fn a_damaged_canvas_is_byte_identical_to_one_painted_whole() {
    let mut fonts = fonts();
    let mut damaged = renderer(SIZE);
    let mut whole = renderer(SIZE);
    for seed in 0..6 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut pool = Pool::new(&mut fonts);
        let mut list = pool.list(&mut random, 50);
        for step in 0..40 {
            pool.change(&mut random, &mut list);
            damaged.draw(&list, fonts.system_mut()).expect("a frame");
            whole.repaint();
            whole.draw(&list, fonts.system_mut()).expect("a frame");
            let (damaged, whole) = (damaged.pixels().expect("pixels"), whole.pixels().expect("pixels"));
            if let Some(at) = damaged.rgba.iter().zip(&whole.rgba).position(|(a, b)| a != b) {
                let (x, y) = (at / 4 % SIZE[0] as usize, at / 4 / SIZE[0] as usize);
                panic!("seed {seed}, step {step}: the canvas differs at {x}, {y}");
            }
        }
    }
}

/// What changes over a picture that lies behind everything, once or in copies: no more is repainted than without the
/// picture, and it comes out the same.
#[test]
fn a_picture_behind_everything_is_repainted_only_where_something_changes_over_it() {
    let mut fonts = fonts();
    let mut damaged = renderer(SIZE);
    let mut whole = renderer(SIZE);
    let mut without = renderer(SIZE);
    for (seed, copy) in [(7, [260.0, 170.0]), (8, [31.0, 17.0])] {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut pool = Pool::new(&mut fonts);
        let mut list = pool.list(&mut random, 30);
        let area = rect(-10.0, -5.0, 260.0, 170.0);
        let mut behind = crate::support::image_item(u64::MAX - 1, &pool.pictures[1], area, 200);
        behind.layer = LAYERS[0];
        let Shape::Image(image) = &mut behind.shape else { panic!("it is a picture") };
        image.copy = copy;
        list.items.insert(0, behind);
        for step in 0..40 {
            if step > 0 {
                let at = random.random_range(1..list.items.len());
                let key = list.items[at].key;
                list.items[at] = Item { key, ..pool.item(&mut random) };
            }
            let drawn = damaged.draw(&list, fonts.system_mut()).expect("a frame");
            whole.repaint();
            whole.draw(&list, fonts.system_mut()).expect("a frame");
            assert_eq!(
                damaged.pixels().expect("pixels").rgba,
                whole.pixels().expect("pixels").rgba,
                "step {step}"
            );
            let mut plain = list.clone();
            plain.items.remove(0);
            let least = without.draw(&plain, fonts.system_mut()).expect("a frame");
            assert!(step == 0 || drawn == least, "step {step}: {drawn:?}, without the picture {least:?}");
        }
    }
}

/// Makes items of every shape.
struct Pool {
    texts: Vec<Rc<fivemark_scene::ShapedText>>,
    outlines: Vec<Rc<Vec<Segment>>>,
    pictures: Vec<Arc<Picture>>,
    next_key: u64,
}

impl Pool {
    fn new(fonts: &mut Fonts) -> Self {
        let words = ["7", "4 to go", "Ærø", "12:34.5", "Quy", "no rep"];
        let texts = STYLES.iter().flat_map(|style| words.map(|word| (*style, word)));
        let texts = texts
            .zip(0u8..)
            .map(|((style, word), index)| fonts.shaped(word, style, 8.0 + f32::from(index % 5) * 6.0));
        let circle = vec![
            Segment::MoveTo([10.0, 0.0]),
            Segment::CubicTo { ctrl1: [15.5, 0.0], ctrl2: [20.0, 4.5], to: [20.0, 10.0] },
            Segment::QuadTo { ctrl: [20.0, 20.0], to: [10.0, 20.0] },
            Segment::LineTo([0.0, 10.0]),
            Segment::Close,
        ];
        let arrow = vec![
            Segment::MoveTo([0.0, 0.0]),
            Segment::LineTo([18.0, 9.0]),
            Segment::LineTo([0.0, 18.0]),
            Segment::LineTo([5.0, 9.0]),
            Segment::Close,
        ];
        let pictures = vec![picture([16, 9], 3), picture([40, 64], 11)];
        Self {
            texts: texts.collect(),
            outlines: vec![Rc::new(circle), Rc::new(arrow)],
            pictures,
            next_key: 0,
        }
    }

    fn list(&mut self, random: &mut ChaCha8Rng, count: usize) -> DrawList {
        let clear = *[Rgba([0, 0, 0, 0]), Rgba([9, 12, 16, 255])].choose(random).expect("two");
        let mut items: Vec<Item> = (0..count).map(|_| self.item(random)).collect();
        let area = rect(20.0, 20.0, 40.0, 30.0);
        items.insert(0, crate::support::box_item(u64::MAX, crate::support::plain(area, Rgba([200; 4]))));
        DrawList { size: SIZE, clear, items }
    }

    fn item(&mut self, random: &mut ChaCha8Rng) -> Item {
        self.next_key += 1;
        let (x, y) = (random.random_range(-20.0..230.0), random.random_range(-20.0..150.0));
        let (shape, bounds) = match random.random_range(0..5) {
            0 | 1 => {
                let rect = rect(x, y, random.random_range(0.0..90.0), random.random_range(0.0..60.0));
                (Shape::Box(random_box(random, rect)), rect)
            }
            2 => {
                let outline = Rc::clone(self.outlines.choose(random).expect("outlines"));
                let scale = *[0.5, 1.0, 1.7].choose(random).expect("scales");
                let fill = color(random);
                let bounds = rect(x - 1.0, y - 1.0, 20.0 * scale + 2.0, 20.0 * scale + 2.0);
                (Shape::Path(PathShape { outline, at: [x, y], scale, fill }), bounds)
            }
            3 => {
                let picture = Arc::clone(self.pictures.choose(random).expect("pictures"));
                let rect = rect(x, y, random.random_range(0.0..60.0), random.random_range(0.0..40.0));
                let copy = if random.random_bool(0.5) { [rect.w, rect.h] } else { [7.0, 9.5] };
                (Shape::Image(ImageShape { picture, rect, copy, opacity: random.random() }), rect)
            }
            _ => {
                let text = Rc::clone(self.texts.choose(random).expect("texts"));
                let bounds = rect(x - 2.0, y - 1.0, text.width + 4.0, text.height + 2.0);
                (Shape::Text(TextShape { text, left: x, top: y, color: color(random) }), bounds)
            }
        };
        let clip = random.random_bool(0.2).then(|| rect(x + 5.0, y + 3.5, 30.0, 20.25));
        let layer = *LAYERS.choose(random).expect("layers");
        Item { key: ItemKey(self.next_key), layer, bounds, clip, shape }
    }

    /// A few items change, come, go or change places.
    fn change(&mut self, random: &mut ChaCha8Rng, list: &mut DrawList) {
        for _ in 0..random.random_range(1..6) {
            let at = random.random_range(0..list.items.len());
            let key = list.items[at].key;
            match random.random_range(0..8) {
                0 => list.items.push(self.item(random)),
                1 if list.items.len() > 10 => drop(list.items.remove(at)),
                2 => {
                    let other = random.random_range(0..list.items.len());
                    list.items.swap(at, other);
                }
                3 if random.random_bool(0.1) => list.items.shuffle(random),
                4 => {
                    let moved = list.items.remove(at);
                    list.items.push(moved);
                }
                _ => list.items[at] = Item { key, ..self.item(random) },
            }
        }
    }
}

fn random_box(random: &mut ChaCha8Rng, rect: fivemark_scene::draw::Rect) -> BoxShape {
    let fill = color(random);
    let fill_bottom = if random.random_bool(0.3) { color(random) } else { fill };
    let border_width = if random.random_bool(0.3) { random.random_range(0.5..4.0) } else { 0.0 };
    let hatch = random.random_bool(0.2).then(|| Hatch {
        color: color(random),
        period: random.random_range(4.0..12.0),
        width: random.random_range(1.0..4.0),
        angle: random.random_range(0.0..180.0),
    });
    // Half of the boxes on whole pixels, as layouts do.
    let rect = if random.random_bool(0.5) {
        fivemark_scene::draw::Rect {
            x: rect.x.floor(),
            y: rect.y.floor(),
            w: rect.w.floor(),
            h: rect.h.floor(),
        }
    } else {
        rect
    };
    let radius = if random.random_bool(0.5) { random.random_range(0.0..16.0) } else { 0.0 };
    let border = Border { width: border_width, color: color(random) };
    BoxShape { rect, radii: [radius, radius, radius * 0.5, 0.0], fill, fill_bottom, border, hatch }
}

fn color(random: &mut ChaCha8Rng) -> Rgba {
    let alpha = if random.random_bool(0.6) { 255 } else { random.random_range(0..=255) };
    Rgba([random.random(), random.random(), random.random(), alpha])
}
