//! Pictures on the canvas: exact where a picture's pixel is a pixel, blended by Porter and Duff's source-over, filtered
//! where it is drawn small.

use fivemark_scene::draw::{Rgba, Shape};

use crate::support::{
    CLEAR, assert_near, box_item, flat, fonts, image_item, list, painted, picture, plain, rect, renderer,
};

#[test]
fn pixel_for_pixel_nothing_is_changed() {
    let picture = picture([23, 17], 5);
    let pixels = painted(&list(CLEAR, vec![image_item(1, &picture, rect(30.0, 12.0, 23.0, 17.0), 255)]));
    for y in 0..17 {
        for x in 0..23 {
            let at = usize::try_from((y * 23 + x) * 4).expect("small");
            assert_eq!(pixels.at(30 + x, 12 + y), picture.rgba()[at..at + 4], "{x}, {y}");
        }
    }
    for (x, y) in [(29, 12), (53, 12), (30, 11), (30, 29)] {
        assert_eq!(pixels.at(x, y), [0; 4], "outside nothing is painted");
    }
}

/// Porter and Duff's source-over on eight-bit colours, exact before rounding: as for boxes of the same colours.
#[test]
fn half_transparent_pictures_blend_by_source_over() {
    for (backdrop, premultiplied, opacity, expected) in [
        ([0, 0, 255, 255], [128, 0, 0, 128], 255, [128, 0, 127, 255]),
        ([0, 0, 0, 255], [255, 255, 255, 255], 128, [128, 128, 128, 255]),
        ([255, 0, 0, 255], [0, 0, 128, 128], 255, [127, 0, 128, 255]),
        ([255, 255, 255, 255], [93, 93, 93, 200], 255, [148, 148, 148, 255]),
        ([0, 0, 0, 0], [128, 128, 128, 128], 128, [64, 64, 64, 64]),
        ([10, 20, 30, 255], [255, 255, 255, 255], 0, [10, 20, 30, 255]),
    ] {
        let area = rect(20.0, 20.0, 60.0, 40.0);
        let ground = box_item(1, plain(area, Rgba(backdrop)));
        let image = image_item(2, &flat([60, 40], premultiplied), area, opacity);
        let found = painted(&list(CLEAR, vec![ground, image])).at(50, 40);
        assert_near(found, expected, 1, &format!("{premultiplied:?} at {opacity} over {backdrop:?}"));
    }
}

#[test]
fn nothing_is_painted_outside_of_the_clip() {
    let mut item = image_item(1, &flat([40, 40], [9, 90, 200, 255]), rect(10.0, 10.0, 40.0, 40.0), 255);
    item.clip = Some(rect(20.0, 24.0, 8.0, 6.0));
    let pixels = painted(&list(CLEAR, vec![item]));
    for y in 0..60 {
        for x in 0..60 {
            let inside = (20..28).contains(&x) && (24..30).contains(&y);
            let wanted = if inside { [9, 90, 200, 255] } else { [0; 4] };
            assert_eq!(pixels.at(x, y), wanted, "{x}, {y}");
        }
    }
}

#[test]
fn what_is_drawn_small_is_the_mean_of_its_pixels() {
    let checked: Vec<u8> = (0..64 * 64)
        .flat_map(|at| if (at % 64 + at / 64) % 2 == 0 { [255; 4] } else { [0, 0, 0, 255] })
        .collect();
    let picture = fivemark_scene::draw::Picture::new([64, 64], checked).expect("as many pixels as it says");
    let item = image_item(1, &std::sync::Arc::new(picture), rect(16.0, 16.0, 16.0, 16.0), 255);
    let pixels = painted(&list(CLEAR, vec![item]));
    for (x, y) in [(16, 16), (24, 20), (31, 31)] {
        assert_near(
            pixels.at(x, y),
            [128, 128, 128, 255],
            1,
            "a fine pattern turns grey and does not flicker",
        );
    }
}

/// More pictures than the card keeps: each is right when its turn comes, and the first one when it comes again.
#[test]
fn pictures_that_were_let_go_come_again() {
    let mut renderer = renderer(crate::support::SIZE);
    let mut fonts = fonts();
    let pictures: Vec<_> = (0..20u8).map(|at| flat([8, 8], [at, 2 * at, 3 * at, 255])).collect();
    for at in (0..20u8).chain([0]) {
        let item = image_item(1, &pictures[usize::from(at)], rect(8.0, 8.0, 8.0, 8.0), 255);
        renderer.draw(&list(CLEAR, vec![item]), fonts.system_mut()).expect("a frame");
        assert_eq!(renderer.pixels().expect("pixels").at(12, 12), [at, 2 * at, 3 * at, 255]);
    }
}

/// Copies follow each other without a seam, cut off where the rectangle ends; a picture that is there once does not
/// bleed round to its other side.
#[test]
fn copies_follow_each_other_from_the_upper_left() {
    let mut pixels = [[10, 20, 30, 255]; 64].concat();
    pixels[..4].copy_from_slice(&[250, 0, 0, 255]);
    let marked = std::sync::Arc::new(
        fivemark_scene::draw::Picture::new([8, 8], pixels).expect("as many pixels as it says"),
    );
    let mut item = image_item(1, &marked, rect(4.0, 6.0, 30.0, 20.0), 255);
    let Shape::Image(image) = &mut item.shape else { panic!("it is a picture") };
    image.copy = [8.0, 8.0];
    let repeated = painted(&list(CLEAR, vec![item]));
    for y in 0..40 {
        for x in 0..50 {
            let inside = (4..34).contains(&x) && (6..26).contains(&y);
            let marked = (x + 4) % 8 == 0 && (y + 2) % 8 == 0;
            let wanted = match (inside, marked) {
                (false, _) => [0; 4],
                (true, true) => [250, 0, 0, 255],
                (true, false) => [10, 20, 30, 255],
            };
            assert_eq!(repeated.at(x, y), wanted, "{x}, {y}");
        }
    }
    let once = painted(&list(CLEAR, vec![image_item(1, &marked, rect(0.0, 0.0, 64.0, 64.0), 255)]));
    assert_eq!(once.at(0, 0), [250, 0, 0, 255]);
    assert_eq!((once.at(63, 0), once.at(0, 63)), ([10, 20, 30, 255], [10, 20, 30, 255]));
}
