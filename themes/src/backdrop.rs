//! The picture behind boards, and whether what stands directly on it can be read there: every colour that it shows,
//! from its darkest to its lightest, is measured against every colour of text and of shapes that lies on the ground
//! itself. Where it stands on a screen is left to the layouts.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::check::{LARGE_TEXT, Pair, SCRIM_USE, SHAPE, SHAPE_USE, TEXT, TEXT_USE};
use crate::contrast::{linear, luminance, ratio};
use crate::roles::Role;
use crate::{Color, Colors, FaultKind, Picture};

/// Texts that stand on the picture itself: what a header, a card and the first screen say. Everything else has a row or
/// a plate of its own, the bar of the time included.
pub const TEXTS_ON_IT: &[Role] = &[Role::text, Role::text_dim];
/// Shapes that do: the plates of marks that something is wrong, and their outlines.
pub const SHAPES_ON_IT: &[Role] = &[Role::alert, Role::text_dim];

/// Steps of luminance that are told apart between the darkest and the lightest colour of a picture.
const STEPS: f64 = 256.0;

/// A picture that lies behind boards and cards.
#[derive(Clone, Debug)]
pub struct Backdrop {
    /// As the theme names it.
    pub name: String,
    /// Its pixels.
    pub picture: Arc<Picture>,
    /// How it lies.
    pub lies: Lies,
    /// How much of it is there over the theme's `background`, thousandths.
    pub opacity: u32,
}

/// How a picture lies behind a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Once, in the middle, so large that it covers all; what stands over the edges is cut off.
    Cover,
    /// Again and again from the upper left.
    Tile {
        /// Height of one copy, thousandths of the board's shorter side.
        height: u32,
    },
}

impl Backdrop {
    /// How much of it is there, 0 to 255.
    #[must_use]
    pub fn alpha(&self) -> u8 {
        u8::try_from((self.opacity * 255 + 500) / 1000).unwrap_or(u8::MAX)
    }

    /// Every colour that is seen of it over a ground, one for each step of luminance, the darkest and the lightest
    /// exactly. Those of its smaller copies are among them, because these are what a small screen shows.
    #[must_use]
    pub fn shades(&self, ground: Color) -> Vec<Color> {
        let linear_of: Vec<f64> = (0..=u8::MAX).map(linear).collect();
        let [red, green, blue] = [0.2126, 0.7152, 0.0722];
        let mut steps = BTreeMap::new();
        let mut ends: Option<[(f64, Color); 2]> = None;
        let mut last = None;
        let pixels = self.picture.levels().flat_map(|(_, rgba)| rgba.as_chunks::<4>().0);
        for pixel in pixels {
            // Most neighbours are alike.
            if last.replace(*pixel) == Some(*pixel) {
                continue;
            }
            let color = over(*pixel, self.alpha(), ground);
            let [r, g, b] = [0, 1, 2].map(|channel| linear_of[usize::from(color.0[channel])]);
            let seen = red * r + green * g + blue * b;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to STEPS
            steps.entry((seen * STEPS) as u16).or_insert(color);
            let [darkest, lightest] = ends.get_or_insert([(seen, color); 2]);
            if seen < darkest.0 {
                *darkest = (seen, color);
            }
            if seen > lightest.0 {
                *lightest = (seen, color);
            }
        }
        ends.into_iter().flatten().map(|(_, color)| color).chain(steps.into_values()).collect()
    }

    /// What stands on the picture, each at the colour of it that it is nearest to.
    #[must_use]
    pub fn pairs(&self, colors: &Colors) -> Vec<Pair> {
        let shades = self.shades(colors.background);
        let worst = |front: Role, ground: &dyn Fn(Color) -> Color| {
            let front = colors.get(front);
            shades
                .iter()
                .map(|shade| ground(*shade))
                .min_by(|a, b| ratio(front, *a).total_cmp(&ratio(front, *b)))
        };
        let pair = |front, (back, through), needed, use_, ground: &dyn Fn(Color) -> Color| {
            let shade = worst(front, ground)?;
            let (colors, found) = ((colors.get(front), shade), ratio(colors.get(front), shade));
            Some(Pair { front, back, through, colors, found, needed, use_ })
        };
        let plain = (Role::background, None);
        let texts = TEXTS_ON_IT.iter().map(|role| pair(*role, plain, TEXT, TEXT_USE, &|shade| shade));
        let shapes = SHAPES_ON_IT.iter().map(|role| pair(*role, plain, SHAPE, SHAPE_USE, &|shade| shade));
        let dimmed = (Role::scrim, Some(Role::background));
        let scrimmed = pair(Role::text, dimmed, LARGE_TEXT, SCRIM_USE, &|shade| colors.scrim.over(shade));
        texts.chain(shapes).chain([scrimmed]).flatten().collect()
    }

    /// Everything that could not be read on it.
    pub(crate) fn faults(&self, colors: &Colors) -> Vec<FaultKind> {
        let short = self.pairs(colors).into_iter().filter(|pair| pair.found < pair.needed);
        // A text that is lighter than the ground wants a dark picture over it.
        let dark = luminance(colors.text) > luminance(colors.background);
        let wanted = if dark { "darker" } else { "lighter" };
        let fault = |Pair { front, colors: (front_color, shade), found, needed, use_, .. }: Pair| {
            let (front, file) = (front.name(), self.name.clone());
            FaultKind::OverPicture { file, front, front_color, shade, found, needed, use_, wanted }
        };
        short.map(fault).collect()
    }
}

/// A premultiplied pixel, `alpha` of it, over an opaque ground, as the renderer blends them.
fn over([r, g, b, a]: [u8; 4], alpha: u8, ground: Color) -> Color {
    const WHOLE: u32 = 255 * 255;
    let kept = WHOLE - u32::from(a) * u32::from(alpha);
    let blend = |front: u8, back: u8| {
        let sum = u32::from(front) * u32::from(alpha) * 255 + u32::from(back) * kept;
        u8::try_from((sum + WHOLE / 2) / WHOLE).unwrap_or(u8::MAX)
    };
    let [red, green, blue, _] = ground.0;
    Color([blend(r, red), blend(g, green), blend(b, blue), 255])
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUND: Color = Color([8, 10, 16, 255]);

    fn backdrop(size: [u32; 2], rgba: &[u8], opacity: u32) -> Backdrop {
        let picture = Arc::new(Picture::new(size, rgba.to_vec()).expect("as many pixels as it says"));
        Backdrop { name: "hall.png".into(), picture, lies: Lies::Cover, opacity }
    }

    #[test]
    fn shades_are_what_is_seen_over_the_ground() {
        let half_red = [128, 0, 0, 128];
        let shades = |pixel: &[u8], opacity| backdrop([1, 1], pixel, opacity).shades(GROUND);
        assert_eq!(shades(&[200, 100, 50, 255], 1000)[0], Color([200, 100, 50, 255]));
        assert_eq!(shades(&[0; 4], 1000)[0], GROUND, "what is clear shows the ground");
        // Source-over on premultiplied values: 128 + 8 × (1 − 128/255).
        assert_eq!(shades(&half_red, 1000)[0], Color([132, 5, 8, 255]));
        // Half of an opaque white: 255 × 128/255 + 8 × (1 − 128/255).
        assert_eq!(shades(&[255; 4], 500)[0], Color([132, 133, 136, 255]));
    }

    #[test]
    fn the_darkest_and_the_lightest_come_first_and_one_pixel_is_enough() {
        let mut rgba = [60, 60, 60, 255].repeat(64 * 64);
        rgba[400..404].copy_from_slice(&[250, 250, 250, 255]);
        rgba[4000..4004].copy_from_slice(&[1, 1, 1, 255]);
        let shades = backdrop([64, 64], &rgba, 1000).shades(GROUND);
        assert_eq!(shades[..2], [Color([1, 1, 1, 255]), Color([250, 250, 250, 255])]);
        assert!(shades.contains(&Color([60, 60, 60, 255])));
    }

    /// Red and green of one luminance: what is between them is darker than both.
    #[test]
    fn what_a_small_screen_shows_is_measured_too() {
        let checked: Vec<u8> =
            (0..16).flat_map(|at| [[255, 0, 0, 255], [0, 140, 0, 255]][(at / 4 + at) % 2]).collect();
        let shades = backdrop([4, 4], &checked, 1000).shades(GROUND);
        assert_eq!(shades[0], Color([128, 70, 0, 255]));
    }

    #[test]
    fn a_text_between_the_lightest_and_the_darkest_is_found() {
        let mut colors = crate::find("dark").expect("the bundled theme").colors;
        colors.text = Color([128, 128, 128, 255]);
        let ramp: Vec<u8> = (0..=255).flat_map(|grey| [grey, grey, grey, 255]).collect();
        let pairs = backdrop([256, 1], &ramp, 1000).pairs(&colors);
        let text = pairs.iter().find(|pair| pair.front == Role::text).expect("it is measured");
        assert!(text.found < 1.05, "{text:?}");
    }
}
