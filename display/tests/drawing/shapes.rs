//! Boxes and paths: what is inside, what is outside, and what lies between.

use std::rc::Rc;

use fivemark_scene::draw::{Border, BoxShape, Hatch, Item, Layer, Rgba, Segment};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::support::{CLEAR, SIZE, assert_near, box_item, list, painted, path_item, plain, rect};

const WHITE: Rgba = Rgba([255; 4]);
const RED: Rgba = Rgba([255, 0, 0, 255]);

#[test]
fn a_box_on_whole_pixels_has_hard_edges_and_one_between_has_soft_ones() {
    for side in [12.0, 80.0] {
        let pixels = painted(&list(CLEAR, vec![box_item(1, plain(rect(10.0, 10.0, side, side), WHITE))]));
        assert_eq!(pixels.at(10, 10), [255; 4]);
        assert_eq!(pixels.at(9, 10), [0; 4]);
        assert_eq!(pixels.at(10 + side as u32, 12), [0; 4]);
        let pixels = painted(&list(CLEAR, vec![box_item(1, plain(rect(10.25, 10.0, side, side), WHITE))]));
        // Three quarters of the first column are covered, one quarter of the last.
        assert_near(pixels.at(10, 15), [191; 4], 1, "left edge");
        assert_near(pixels.at(10 + side as u32, 15), [64; 4], 1, "right edge");
    }
}

#[test]
fn each_corner_has_its_own_radius() {
    let shape = BoxShape { radii: [20.0, 0.0, 20.0, 0.0], ..plain(rect(10.0, 10.0, 100.0, 80.0), WHITE) };
    let pixels = painted(&list(CLEAR, vec![box_item(1, shape)]));
    assert_eq!(pixels.at(10, 10), [0; 4], "top left is round");
    assert_eq!(pixels.at(109, 10), [255; 4], "top right is square");
    assert_eq!(pixels.at(109, 89), [0; 4], "bottom right is round");
    assert_eq!(pixels.at(10, 89), [255; 4], "bottom left is square");
    assert_eq!(pixels.at(60, 50), [255; 4]);
    // On the diagonal the arc lies 20 − 20/√2 = 5.86 pixels in from both sides.
    assert_eq!(pixels.at(14, 14), [0; 4]);
    assert_eq!(pixels.at(17, 17), [255; 4]);
}

#[test]
fn an_outline_lies_inside_and_covers_the_fill() {
    for radius in [0.0, 12.0] {
        let border = Border { width: 3.0, color: RED };
        let area = rect(10.0, 10.0, 100.0, 80.0);
        let shape = BoxShape { border, radii: [radius; 4], ..plain(area, WHITE) };
        let pixels = painted(&list(CLEAR, vec![box_item(1, shape)]));
        for x in 10..13 {
            assert_eq!(pixels.at(x, 50), [255, 0, 0, 255], "column {x}");
        }
        assert_eq!(pixels.at(13, 50), [255; 4]);
        assert_eq!(pixels.at(9, 50), [0; 4]);
        assert_eq!(pixels.at(60, 12), [255, 0, 0, 255]);
        assert_eq!(pixels.at(60, 13), [255; 4]);
        let hollow = BoxShape { fill: CLEAR, fill_bottom: CLEAR, ..shape };
        let pixels = painted(&list(CLEAR, vec![box_item(1, hollow)]));
        assert_eq!(pixels.at(60, 50), [0; 4], "nothing inside of a bare outline");
        assert_eq!(pixels.at(60, 88), [255, 0, 0, 255]);
    }
}

#[test]
fn a_gradient_runs_from_top_to_bottom() {
    let shape = BoxShape { fill_bottom: Rgba([0, 0, 0, 255]), ..plain(rect(10.0, 10.0, 50.0, 100.0), WHITE) };
    let pixels = painted(&list(CLEAR, vec![box_item(1, shape)]));
    // The middle of a row decides: row 0 is half a pixel down.
    for (row, expected) in [(0, 254), (25, 190), (50, 126), (99, 1)] {
        assert_near(pixels.at(30, 10 + row), [expected, expected, expected, 255], 1, "row");
    }
}

#[test]
fn stripes_have_their_width_period_and_direction() {
    let striped = |angle| {
        let hatch = Hatch { color: RED, period: 8.0, width: 4.0, angle };
        let shape = BoxShape { hatch: Some(hatch), ..plain(rect(0.0, 0.0, 80.0, 80.0), WHITE) };
        painted(&list(CLEAR, vec![box_item(1, shape)]))
    };
    let horizontal = striped(0.0);
    let red = |pixel: [u8; 4]| pixel == [255, 0, 0, 255];
    for y in 0..80 {
        assert_eq!(red(horizontal.at(5, y)), (2..6).contains(&(y % 8)), "row {y}");
        assert_eq!(horizontal.at(5, y), horizontal.at(60, y), "a horizontal stripe is the same all along");
    }
    let rising = striped(45.0);
    for step in 0..20 {
        assert_near(
            rising.at(40 + step, 40 - step),
            rising.at(40, 40),
            1,
            "up and to the right along a stripe",
        );
    }
    let striped_share =
        rising.rgba.chunks_exact(4).map(|p| f64::from(255 - p[1]) * f64::from(p[3]) / 65_025.0);
    let share = striped_share.sum::<f64>() / 6_400.0;
    assert!((share - 0.5).abs() < 0.02, "half of the box is striped: {share}");
}

#[test]
fn a_path_is_filled_with_a_soft_edge_and_keeps_its_holes() {
    let square = |from: f32, to: f32| {
        [
            Segment::MoveTo([from, from]),
            Segment::LineTo([to, from]),
            Segment::LineTo([to, to]),
            Segment::LineTo([from, to]),
            Segment::Close,
        ]
    };
    let frame: Rc<Vec<Segment>> = Rc::new(square(0.0, 60.0).into_iter().chain(square(20.0, 40.0)).collect());
    let pixels = painted(&list(CLEAR, vec![path_item(1, &frame, [20.0, 20.0], [60.0, 60.0], WHITE)]));
    assert_eq!(pixels.at(30, 50), [255; 4], "the frame");
    assert_eq!(pixels.at(50, 50), [0; 4], "the hole");
    assert_eq!(pixels.at(10, 50), [0; 4], "outside");
    // An edge between two pixels covers both by half of the fringe: the sum over it is the shape's true width.
    let row: f64 = (0..120).map(|x| f64::from(pixels.at(x, 30)[3]) / 255.0).sum();
    assert!((row - 60.0).abs() < 0.1, "width of the top bar: {row}");
    let row: f64 = (0..120).map(|x| f64::from(pixels.at(x, 50)[3]) / 255.0).sum();
    assert!((row - 40.0).abs() < 0.1, "width of both sides: {row}");
}

#[test]
fn a_round_path_has_the_area_of_its_circle() {
    // Four cubic arcs with the usual 0.5523 handles; the circle's area is π·30².
    let k = 30.0 * 0.552_284_8;
    let circle = Rc::new(vec![
        Segment::MoveTo([60.0, 30.0]),
        Segment::CubicTo { ctrl1: [60.0, 30.0 + k], ctrl2: [30.0 + k, 60.0], to: [30.0, 60.0] },
        Segment::CubicTo { ctrl1: [30.0 - k, 60.0], ctrl2: [0.0, 30.0 + k], to: [0.0, 30.0] },
        Segment::CubicTo { ctrl1: [0.0, 30.0 - k], ctrl2: [30.0 - k, 0.0], to: [30.0, 0.0] },
        Segment::CubicTo { ctrl1: [30.0 + k, 0.0], ctrl2: [60.0, 30.0 - k], to: [60.0, 30.0] },
        Segment::Close,
    ]);
    let pixels = painted(&list(CLEAR, vec![path_item(1, &circle, [20.3, 20.6], [60.0, 60.0], WHITE)]));
    let area: f64 = pixels.rgba.chunks_exact(4).map(|pixel| f64::from(pixel[3]) / 255.0).sum();
    let expected = std::f64::consts::PI * 900.0;
    assert!((area - expected).abs() < expected * 0.01, "{area} of {expected}");
}

#[test]
fn broken_outlines_paint_nothing_and_harm_nothing() {
    for outline in [
        vec![],
        vec![Segment::Close],
        vec![Segment::LineTo([9.0, 9.0]), Segment::Close],
        vec![Segment::MoveTo([1.0, 1.0]), Segment::LineTo([9.0, 9.0])],
        vec![Segment::MoveTo([f32::NAN, 1.0]), Segment::LineTo([9.0, 9.0]), Segment::LineTo([0.0, 9.0])],
        vec![Segment::MoveTo([3.0, 3.0]); 9],
    ] {
        let item = path_item(1, &Rc::new(outline.clone()), [20.0, 20.0], [20.0, 20.0], WHITE);
        let other = box_item(2, plain(rect(100.0, 100.0, 10.0, 10.0), RED));
        let pixels = painted(&list(CLEAR, vec![item, other]));
        assert_eq!(pixels.at(25, 25), [0; 4], "{outline:?}");
        assert_eq!(pixels.at(105, 105), [255, 0, 0, 255], "{outline:?}");
    }
}

/// However boxes are gathered for drawing, the later one covers the earlier one. Stripes that can't be seen send half
/// of the boxes through the other shader; the reference is a painter of a few lines.
#[test]
fn later_boxes_cover_earlier_ones() {
    for seed in 0..20 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut expected = vec![[0, 0, 0, 0]; (SIZE[0] * SIZE[1]) as usize];
        let mut items = Vec::new();
        for key in 0..40 {
            let (left, top) = (random.random_range(0..200), random.random_range(0..130));
            let (right, bottom) = (left + random.random_range(2..80), top + random.random_range(2..60));
            let (right, bottom) = (right.min(SIZE[0] as u16), bottom.min(SIZE[1] as u16));
            let color = [random.random(), random.random(), random.random(), 255];
            let area = rect(left.into(), top.into(), (right - left).into(), (bottom - top).into());
            let unseen = Hatch { color: CLEAR, period: 8.0, width: 4.0, angle: 45.0 };
            let hatch = random.random_bool(0.5).then_some(unseen);
            items.push(box_item(key, BoxShape { hatch, ..plain(area, Rgba(color)) }));
            for y in top..bottom {
                let row = usize::from(y) * SIZE[0] as usize;
                expected[row + usize::from(left)..row + usize::from(right)].fill(color);
            }
        }
        assert_eq!(painted(&list(CLEAR, items)).rgba, expected.concat(), "seed {seed}");
    }
}

#[test]
fn layers_and_kinds_cover_each_other_in_their_order() {
    let outline = Rc::new(vec![
        Segment::MoveTo([0.0, 0.0]),
        Segment::LineTo([60.0, 0.0]),
        Segment::LineTo([60.0, 60.0]),
        Segment::LineTo([0.0, 60.0]),
    ]);
    let boxed =
        |key, layer, color| Item { layer, ..box_item(key, plain(rect(20.0, 20.0, 60.0, 60.0), color)) };
    let (green, blue) = (Rgba([0, 255, 0, 255]), Rgba([0, 0, 255, 255]));
    let path = path_item(1, &outline, [20.0, 20.0], [60.0, 60.0], RED);
    // Within a layer a path lies over every box, whichever was pushed first.
    let ground = vec![path.clone(), boxed(2, Layer::Ground, green)];
    assert_eq!(painted(&list(CLEAR, ground.clone())).at(50, 50), RED.0);
    // A box of the next layer lies over it, and the last layer over that, in any order of pushing.
    let over = boxed(3, Layer::Over, WHITE);
    let tags: Vec<Item> =
        [over.clone(), boxed(4, Layer::Tags, blue)].into_iter().chain(ground.clone()).collect();
    assert_eq!(painted(&list(CLEAR, tags[1..].to_vec())).at(50, 50), blue.0);
    assert_eq!(painted(&list(CLEAR, tags)).at(50, 50), WHITE.0);
}

#[test]
fn a_clip_cuts_every_kind_of_shape() {
    let circle = Rc::new(vec![
        Segment::MoveTo([0.0, 0.0]),
        Segment::LineTo([80.0, 0.0]),
        Segment::LineTo([80.0, 80.0]),
        Segment::LineTo([0.0, 80.0]),
    ]);
    let clip = Some(rect(40.0, 40.0, 20.0, 20.0));
    let rounded = BoxShape { radii: [4.0; 4], ..plain(rect(20.0, 20.0, 80.0, 80.0), WHITE) };
    for item in [
        path_item(1, &circle, [20.0, 20.0], [80.0, 80.0], WHITE),
        box_item(1, plain(rect(20.0, 20.0, 80.0, 80.0), WHITE)),
        box_item(1, rounded),
    ] {
        let pixels = painted(&list(CLEAR, vec![Item { clip, ..item }]));
        let covered = pixels.rgba.chunks_exact(4).filter(|pixel| pixel[3] > 0).count();
        assert_eq!(covered, 400);
        assert_eq!((pixels.at(40, 40), pixels.at(59, 59)), ([255; 4], [255; 4]));
    }
}
