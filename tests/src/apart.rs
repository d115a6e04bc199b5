//! Whether two pictures of the same thing in two states can be told apart: by shape, which is where light changes and not
//! what it changes to, or else by colour, for every common kind of eyes (`fivemark_themes::sight`).

use std::collections::HashMap;

use fivemark_themes::Color;
use fivemark_themes::check::APART;
use fivemark_themes::contrast::luminance;
use fivemark_themes::sight::{SIGHTS, Sight};

/// Contrast ratio of two sides of an edge from which it is seen.
const EDGE: f64 = 1.4;
/// How far an edge may lie from one of the other picture and still be the same, pixels: softness moves it.
const SAME_PLACE: usize = 2;
/// Share of a picture's pixels that have to differ in colour.
const AREA: f64 = 0.02;

/// A part of a picture: rows of opaque colours.
#[derive(Clone, Debug)]
pub struct Patch {
    size: [usize; 2],
    pixels: Vec<[u8; 3]>,
    /// Where light changes from one side of a pixel to the other.
    edges: Vec<bool>,
}

/// How two pictures are told apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Pixels on edges that only one of them has.
    pub edges: usize,
    /// Share of the pixels that differ to the eyes that tell them least.
    pub colored: f64,
    /// Those eyes.
    pub eyes: Sight,
}

impl Told {
    /// Edges of this length, pixels, are in one of them alone.
    #[must_use]
    pub fn by_shape(&self, length: usize) -> bool {
        self.edges >= length
    }

    /// A part that is large enough to be seen has another colour for every kind of eyes.
    #[must_use]
    pub fn by_color(&self) -> bool {
        self.colored >= AREA
    }
}

impl Patch {
    /// Pixels of a width and height.
    #[must_use]
    pub fn new(size: [usize; 2], pixels: Vec<[u8; 3]>) -> Patch {
        let edges = edges(size, &pixels);
        Patch { size, pixels, edges }
    }

    /// Cuts a rectangle out of a picture of `width` pixels a row (RGBA): left, top, width, height.
    #[must_use]
    pub fn cut(rgba: &[u8], width: usize, [left, top, w, h]: [usize; 4]) -> Patch {
        let of = |row: usize| {
            let from = (row * width + left) * 4;
            rgba[from..from + w * 4].chunks_exact(4).map(|pixel| [pixel[0], pixel[1], pixel[2]])
        };
        Patch::new([w, h], (top..top + h).flat_map(of).collect())
    }

    /// Whether it and another one of its size are told apart, by edges of this length, pixels, or by colour.
    #[must_use]
    pub fn is_told_from(&self, other: &Patch, length: usize) -> bool {
        self.lone_edges(other) >= length || self.colored(other).1 >= AREA
    }

    /// How they are.
    #[must_use]
    pub fn told_from(&self, other: &Patch) -> Told {
        let (eyes, colored) = self.colored(other);
        Told { edges: self.lone_edges(other), colored, eyes }
    }

    fn lone_edges(&self, other: &Patch) -> usize {
        assert_eq!(self.size, other.size, "the same thing has the same size");
        alone(&self.edges, &other.edges, self.size) + alone(&other.edges, &self.edges, self.size)
    }

    /// To whom they differ least in colour, and in which share of the pixels.
    fn colored(&self, other: &Patch) -> (Sight, f64) {
        let differ = |eyes: Sight| {
            let mut known = HashMap::new();
            let pairs = self.pixels.iter().zip(&other.pixels).filter(|(one, other)| one != other);
            let apart = pairs.filter(|(one, other)| {
                let is_apart = || eyes.difference(opaque(**one), opaque(**other)) >= APART;
                *known.entry((**one, **other)).or_insert_with(is_apart)
            });
            #[allow(clippy::cast_precision_loss)] // pixels of a screen
            let share = apart.count() as f64 / self.pixels.len().max(1) as f64;
            (eyes, share)
        };
        SIGHTS.into_iter().map(differ).min_by(|a, b| a.1.total_cmp(&b.1)).expect("there are eyes")
    }
}

/// Where light changes by more than [`EDGE`] from one side of a pixel to the other.
fn edges([width, height]: [usize; 2], pixels: &[[u8; 3]]) -> Vec<bool> {
    let light: Vec<f64> = pixels.iter().map(|pixel| luminance(opaque(*pixel)) + 0.05).collect();
    let changes =
        |one: usize, other: usize| light[one].max(light[other]) / light[one].min(light[other]) >= EDGE;
    let is_edge = |at: usize| {
        let (x, y) = (at % width, at / width);
        let across = x > 0 && x + 1 < width && changes(at - 1, at + 1);
        across || y > 0 && y + 1 < height && changes(at - width, at + width)
    };
    (0..light.len()).map(is_edge).collect()
}

/// Edges of one picture that have none of the other's near them.
fn alone(one: &[bool], other: &[bool], [width, height]: [usize; 2]) -> usize {
    let near = |at: usize| {
        let (x, y) = (at % width, at / width);
        let columns = x.saturating_sub(SAME_PLACE)..(x + SAME_PLACE + 1).min(width);
        let mut rows = y.saturating_sub(SAME_PLACE)..(y + SAME_PLACE + 1).min(height);
        rows.any(|row| other[row * width + columns.start..row * width + columns.end].contains(&true))
    };
    one.iter().enumerate().filter(|(at, edge)| **edge && !near(*at)).count()
}

fn opaque([r, g, b]: [u8; 3]) -> Color {
    Color([r, g, b, 255])
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: [usize; 2] = [60, 20];

    /// A ground, and on it a box from `left` to `right` with air above and under it.
    fn boxed([ground, fill]: [[u8; 3]; 2], left: usize, right: usize) -> Patch {
        let of = |at: usize| {
            let (x, y) = (at % SIZE[0], at / SIZE[0]);
            if (left..right).contains(&x) && (4..16).contains(&y) { fill } else { ground }
        };
        Patch::new(SIZE, (0..SIZE[0] * SIZE[1]).map(of).collect())
    }

    const BLACK: [u8; 3] = [0; 3];
    const WHITE: [u8; 3] = [255; 3];
    const BLUE: [u8; 3] = [90, 140, 250];

    #[test]
    fn another_shape_is_told_in_one_colour() {
        let told = boxed([BLACK, WHITE], 10, 30).told_from(&boxed([BLACK, WHITE], 10, 50));
        assert!(told.by_shape(SIZE[1]) && told.by_color(), "{told:?}");
        let filled = boxed([BLACK, WHITE], 10, 30);
        let hole = |at: usize| (13..27).contains(&(at % SIZE[0])) && (7..13).contains(&(at / SIZE[0]));
        let with_hole =
            filled.pixels.iter().enumerate().map(|(at, pixel)| if hole(at) { BLACK } else { *pixel });
        assert!(Patch::new(SIZE, with_hole.collect()).told_from(&filled).by_shape(SIZE[1]));
    }

    #[test]
    fn another_colour_is_no_other_shape() {
        let told = boxed([BLACK, WHITE], 10, 30).told_from(&boxed([BLACK, BLUE], 10, 30));
        assert!(!told.by_shape(SIZE[1]) && told.by_color(), "{told:?}");
        let swapped = boxed([BLACK, WHITE], 10, 30).told_from(&boxed([WHITE, BLACK], 10, 30));
        assert!(!swapped.by_shape(SIZE[1]) && swapped.by_color(), "{swapped:?}");
    }

    #[test]
    fn a_step_aside_and_a_trace_of_colour_are_nothing() {
        let told = boxed([BLACK, WHITE], 10, 30).told_from(&boxed([BLACK, WHITE], 11, 31));
        assert!(!told.by_shape(SIZE[1]), "{told:?}");
        let told = boxed([BLACK, WHITE], 10, 30).told_from(&boxed([BLACK, [250, 250, 255]], 10, 30));
        assert!(!told.by_shape(SIZE[1]) && !told.by_color(), "{told:?}");
        let told = boxed([BLACK, WHITE], 10, 11).told_from(&boxed([BLACK, BLACK], 10, 11));
        assert!(!told.by_color(), "12 pixels of 1200: {told:?}");
    }

    /// A red and a green that full sight tells, and that have one colour for deutan eyes.
    #[test]
    fn colours_that_some_eyes_confuse_do_not_tell() {
        let pair = [[240, 60, 60], [60, 170, 60]];
        let [one, other] = pair.map(opaque);
        assert!(Sight::Full.difference(one, other) > 7.0 * APART);
        let told = boxed([BLACK, pair[0]], 10, 30).told_from(&boxed([BLACK, pair[1]], 10, 30));
        assert!(!told.by_color() && told.eyes == Sight::Deutan, "{told:?}");
    }
}
