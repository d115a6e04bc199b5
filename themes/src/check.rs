//! The contrasts that a theme must have: each pair of roles that meet on a board, with the least ratio
//! (WCAG 2.2: 1.4.3 for text, 1.4.11 for shapes; the step from row to tinted row is this project's own rule).

use crate::Colors;
use crate::contrast::ratio;
use crate::fault::FaultKind;
use crate::roles::Role::{self, *};

/// Text of any size.
pub const TEXT: f64 = 4.5;
/// Text at least 24 px high (18 pt).
pub const LARGE_TEXT: f64 = 3.0;
/// A shape that means something.
pub const SHAPE: f64 = 3.0;
/// A tinted row against a plain one.
pub const TINT: f64 = 1.5;

/// Pairs of text and ground.
const TEXTS: &[(Role, Role)] = &[
    (text, background),
    (text_dim, background),
    (text, row),
    (text_dim, row),
    (text, row_last_five),
    (text_dim, row_last_five),
    (text, row_finished),
    (text_dim, row_finished),
    (text, row_capped),
    (text_dim, row_capped),
    (text, badge),
    (text_dim, badge),
    (text, track),
    (text, tag),
    (last_five, tag),
    (text, notice),
    (text_dim, notice),
    (last_five, row_last_five),
    (ink, racing),
    (ink, leading),
    (ink, last_five),
    (ink, finished),
    (ink, capped),
    (ink, capped_stripe),
    (ink, no_rep),
    (ink, alert),
    (ink, held),
    (ink, text),
];

/// Pairs of shape and ground.
const SHAPES: &[(Role, Role)] = &[
    (track, row),
    (block, row),
    (block, row_capped),
    (racing, track),
    (leading, track),
    (racing, row_last_five),
    (leading, row_last_five),
    (leading, row),
    (last_five, row_last_five),
    (finished, row_finished),
    (capped, row_capped),
    (cap_left, background),
    (cap_gone, cap_left),
    (alert, background),
    (held, notice),
];

/// Tinted rows.
const TINTS: &[Role] = &[row_last_five, row_finished, row_capped];

/// Every pair that falls short, with the role whose line is to be named.
pub(crate) fn contrast_faults(colors: &Colors) -> Vec<(Role, FaultKind)> {
    let mut faults = Vec::new();
    for (front, back) in TEXTS {
        check(colors, *front, *back, TEXT, "text", &mut faults);
    }
    for (front, back) in SHAPES {
        check(colors, *front, *back, SHAPE, "a shape that means something", &mut faults);
    }
    for tint in TINTS {
        check(colors, *tint, row, TINT, "a row that changes as a whole", &mut faults);
    }
    faults
}

fn check(
    colors: &Colors,
    front: Role,
    back: Role,
    needed: f64,
    use_: &'static str,
    faults: &mut Vec<(Role, FaultKind)>,
) {
    let (front_color, back_color) = (colors.get(front), colors.get(back));
    let found = ratio(front_color, back_color);
    if found < needed {
        let kind = FaultKind::Contrast {
            front: front.name(),
            back: back.name(),
            front_color,
            back_color,
            found,
            needed,
            use_,
        };
        faults.push((front, kind));
    }
}
