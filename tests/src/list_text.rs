//! A draw list as text that stays the same as long as the picture does: one line for each item, figures of one number on
//! one line, places in tenths of a pixel. `golden::check_text` keeps it, and a difference can be read.

use std::fmt::Write;

use fivemark_scene::draw::{BoxShape, DrawList, Item, Layer, Rect, Rgba, Shape};

use crate::written::{Written, written};

/// Everything that is painted.
#[must_use]
pub fn list_text(list: &DrawList) -> String {
    let mut text = String::new();
    let [width, height] = list.size;
    // Writing into a string cannot fail, here and below.
    let _ = writeln!(text, "{width}x{height} on {}", color(list.clear));
    for item in &list.items {
        if !matches!(item.shape, Shape::Text(_)) {
            write_shape(&mut text, item);
        }
    }
    text.push_str(&words_text(list));
    text
}

/// What is written, and nothing else.
#[must_use]
pub fn words_text(list: &DrawList) -> String {
    let mut text = String::new();
    for Written { part, lane, kind, text: words, left, right, baseline, cap_height, color: ink } in
        written(list)
    {
        let _ = writeln!(
            text,
            "{part}/{lane}/{kind} {words:?} {}..{} on {} high {} {}",
            tenths(left),
            tenths(right),
            tenths(baseline),
            tenths(cap_height),
            color(ink)
        );
    }
    text
}

fn write_shape(text: &mut String, item: &Item) {
    let over = if item.layer == Layer::Ground { String::new() } else { format!(" {:?}", item.layer) };
    let _ = write!(text, "{}{over} ", item.key);
    match &item.shape {
        Shape::Box(shape) => write_box(text, shape),
        Shape::Path(path) => {
            let [x, y] = path.at.map(tenths);
            let scale = tenths(path.scale);
            let segments = path.outline.len();
            let _ = write!(text, "outline of {segments} at {x},{y} scale {scale} {}", color(path.fill));
        }
        Shape::Image(image) => {
            let [width, height] = image.picture.size();
            let place = rect(image.rect);
            let _ = write!(text, "picture {width}x{height} at {place} opacity {}", image.opacity);
        }
        Shape::Text(_) => {}
    }
    if let Some(clip) = item.clip {
        let _ = write!(text, " within {}", rect(clip));
    }
    text.push('\n');
}

fn write_box(text: &mut String, shape: &BoxShape) {
    let _ = write!(text, "{} {}", rect(shape.rect), color(shape.fill));
    if shape.fill_bottom != shape.fill {
        let _ = write!(text, " to {}", color(shape.fill_bottom));
    }
    let [first, rest @ ..] = shape.radii;
    if rest.iter().any(|radius| *radius != first) {
        let _ = write!(text, " radii {}", shape.radii.map(tenths).join(" "));
    } else if first > 0.0 {
        let _ = write!(text, " radius {}", tenths(first));
    }
    if shape.border.width > 0.0 {
        let _ = write!(text, " border {} {}", tenths(shape.border.width), color(shape.border.color));
    }
    if let Some(hatch) = shape.hatch {
        let [period, width, angle] = [hatch.period, hatch.width, hatch.angle].map(tenths);
        let _ = write!(text, " stripes {} {width} of {period} at {angle}", color(hatch.color));
    }
}

fn rect(rect: Rect) -> String {
    format!("{},{} {}x{}", tenths(rect.x), tenths(rect.y), tenths(rect.w), tenths(rect.h))
}

/// Tenths, without a sign before nothing and without a point before nothing.
fn tenths(value: f32) -> String {
    let text = format!("{value:.1}");
    let text = if text == "-0.0" { "0.0" } else { &text };
    text.strip_suffix(".0").unwrap_or(text).to_owned()
}

fn color(Rgba([red, green, blue, alpha]): Rgba) -> String {
    match alpha {
        255 => format!("#{red:02x}{green:02x}{blue:02x}"),
        _ => format!("#{red:02x}{green:02x}{blue:02x}{alpha:02x}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_told_in_tenths_and_colours_as_themes_write_them() {
        assert_eq!([0.0, -0.01, 12.0, 12.34, -3.06].map(tenths), ["0", "0", "12", "12.3", "-3.1"]);
        assert_eq!(color(Rgba([1, 0xAB, 3, 255])), "#01ab03");
        assert_eq!(color(Rgba([1, 0xAB, 3, 4])), "#01ab0304");
        assert_eq!(rect(Rect { x: 1.0, y: 2.5, w: 3.0, h: 4.0 }), "1,2.5 3x4");
    }
}
