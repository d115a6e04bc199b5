//! What a theme's colours and durations must keep to, as lists of the roles that meet on a board: the layouts' draw
//! lists are held against these lists by a test, so that a pair cannot be forgotten.
//!
//! Text and shapes: WCAG 2.2, 1.4.3 and 1.4.11, compared unrounded. Flashes: WCAG 2.2, 2.3.1. The step from a row to
//! a tinted row, and how far apart states are that have one shape, are this project's own rules.

use crate::contrast::ratio;
use crate::fault::FaultKind;
use crate::flash::{MOST_IN_A_SECOND, is_flash};
use crate::roles::Role::{self, *};
use crate::sight::{SIGHTS, Sight};
use crate::{Color, Colors, Form, Timing};

/// Text of any size.
pub const TEXT: f64 = 4.5;
/// Text that is large wherever it is shown: the last figures of a countdown.
pub const LARGE_TEXT: f64 = 3.0;
/// A shape that means something.
pub const SHAPE: f64 = 3.0;
/// A tinted row against a plain one.
pub const TINT: f64 = 1.5;
/// CIEDE2000 between two states that have one shape, for every kind of eyes.
pub const APART: f64 = 10.0;
/// How far a row swells towards the colour of a finish, as a share of the way.
pub const FINISH_SWELL: f32 = 0.22;

/// Pairs of text and ground.
pub const TEXTS: &[(Role, Role)] = &[
    (text, background),
    (text_dim, background),
    (text, row),
    (text_dim, row),
    (text_dim, row_empty),
    (text, row_last_five),
    (text_dim, row_last_five),
    (text, row_finished),
    (text_dim, row_finished),
    (text, row_capped),
    (text_dim, row_capped),
    (text, badge),
    (text, track),
    (text, tag),
    (last_five, tag),
    (text, notice),
    (text_dim, notice),
    (ink, leading),
    (ink, finished),
    (ink, last_five),
    (ink, no_rep),
    (ink, alert),
    (ink, held),
    (ink, text),
];

/// Pairs of shape and ground: what is left of a track or a block against the row, and what is done against what is
/// left.
pub const SHAPES: &[(Role, Role)] = &[
    (track_edge, row),
    (block, row),
    (block, row_last_five),
    (block, row_capped),
    (block, row_finished),
    (racing, track),
    (leading, track),
    (text_dim, track),
    (racing, row),
    (leading, row),
    (text_dim, row),
    (racing, row_last_five),
    (leading, row_last_five),
    (last_five, row_last_five),
    (finished, row_finished),
    (capped, row_capped),
    (last_five, background),
    (text_dim, background),
    (cap_left, background),
    (cap_gone, cap_left),
    (alert, background),
    (cap_gone, background),
    (held, notice),
    (text_dim, notice),
];

/// Tinted rows.
const TINTS: &[Role] = &[row_last_five, row_finished, row_capped];

/// States that differ by colour alone, because their shape is the same. All others have a shape of their own: five
/// marks at the edge, one solid bar, stripes.
pub const SAME_SHAPE: &[(&str, &[Role])] = &[
    ("the bars of lanes that work, lead or are out", &[racing, leading, text_dim]),
    ("place badges", &[badge, leading, finished]),
    ("full closing blocks", &[last_five, finished]),
];

/// What lies under the scrim of a countdown.
const UNDER_SCRIM: &[Role] = &[background, row, row_empty, track, text, leading];

/// Where pairs meet.
pub(crate) const TEXT_USE: &str = "text";
pub(crate) const SHAPE_USE: &str = "a shape that means something";
pub(crate) const SCRIM_USE: &str = "the last figures of a countdown, over the board";

/// Rows, bars and badges change their colour one after the other, each way as long as `place_ms`.
const TURNS: &[&[Role]] = &[
    &[row, row_last_five, row_finished, row_capped],
    &[racing, leading, finished, capped, text_dim],
    &[badge, leading, finished],
];

/// A colour on another, and the contrast that it has and needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// What is seen.
    pub front: Role,
    /// What it is seen on.
    pub back: Role,
    /// What shows through `back` where that is a scrim.
    pub through: Option<Role>,
    /// The colours, as they meet.
    pub colors: (Color, Color),
    /// Their contrast ratio, 1 to 21.
    pub found: f64,
    /// The least that will do.
    pub needed: f64,
    /// Where they meet.
    pub use_: &'static str,
}

/// Two states that have one shape, and how far apart they are to the eyes that tell them least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likeness {
    /// One.
    pub one: Role,
    /// And the other.
    pub other: Role,
    /// To whom they are nearest.
    pub eyes: Sight,
    /// How far apart they are, by CIEDE2000; [`APART`] is the least that will do.
    pub found: f64,
    /// Where they are told apart.
    pub use_: &'static str,
}

/// Measures every pair of colours that meets on a board. Without its form a theme's bars have no lighter top.
#[must_use]
pub fn pairs_of(colors: &Colors, form: Option<&Form>) -> Vec<Pair> {
    let pair = |front: Role, (back, ground): (Role, Color), needed, use_| {
        let colors = (colors.get(front), ground);
        Pair { front, back, through: None, colors, found: ratio(colors.0, ground), needed, use_ }
    };
    let plain = |back: Role| (back, colors.get(back));
    let mut all: Vec<Pair> =
        TEXTS.iter().map(|(front, back)| pair(*front, plain(*back), TEXT, TEXT_USE)).collect();
    // The words in a finished bar also meet its lighter top.
    all.extend(form.map(|form| {
        pair(ink, (finished, lit(colors.finished, form)), TEXT, "text on the lighter top of a bar")
    }));
    all.extend(UNDER_SCRIM.iter().map(|under| Pair {
        through: Some(*under),
        ..pair(text, (scrim, colors.scrim.over(colors.get(*under))), LARGE_TEXT, SCRIM_USE)
    }));
    all.extend(SHAPES.iter().map(|(front, back)| pair(*front, plain(*back), SHAPE, SHAPE_USE)));
    let tint = "a row that changes as a whole";
    all.extend(TINTS.iter().map(|front| pair(*front, plain(row), TINT, tint)));
    all
}

/// Measures every two states that have one shape.
#[must_use]
pub fn likenesses_of(colors: &Colors) -> Vec<Likeness> {
    let of = |use_, (one, other): (Role, Role)| {
        SIGHTS
            .into_iter()
            .map(|eyes| {
                let found = eyes.difference(colors.get(one), colors.get(other));
                Likeness { one, other, eyes, found, use_ }
            })
            .min_by(|a, b| a.found.total_cmp(&b.found))
    };
    SAME_SHAPE.iter().flat_map(|(use_, roles)| pairs(roles).filter_map(move |two| of(*use_, two))).collect()
}

/// Every pair that falls short, with the role whose line is to be named.
pub(crate) fn color_faults(colors: &Colors, form: Option<&Form>) -> Vec<(Role, FaultKind)> {
    let short = pairs_of(colors, form).into_iter().filter(|pair| pair.found < pair.needed);
    let alike = likenesses_of(colors).into_iter().filter(|two| two.found < APART);
    let contrast = short.map(|Pair { front, back, colors, found, needed, use_, through }| {
        // Too clear a scrim is no fault of the text that stands on it.
        let blamed = if through.is_some() { scrim } else { front };
        let (front, back, (front_color, back_color)) = (front.name(), back.name(), colors);
        (blamed, FaultKind::Contrast { front, back, front_color, back_color, found, needed, use_ })
    });
    let not_apart = alike.map(|Likeness { one, other, eyes, found, use_ }| {
        let (one_color, other_color, eyes) = (colors.get(one), colors.get(other), eyes.name());
        let kind = FaultKind::NotApart {
            one: one.name(),
            other: other.name(),
            one_color,
            other_color,
            eyes,
            found,
            use_,
        };
        (one, kind)
    });
    contrast.chain(not_apart).collect()
}

/// The top of a bar, lighter by the theme's sheen.
#[must_use]
pub fn lit(color: Color, form: &Form) -> Color {
    #[allow(clippy::cast_precision_loss)] // thousandths
    color.mix(Color([255; 4]), form.sheen as f32 / 1000.0)
}

/// Every duration that would let two colours flash too often, with its name.
pub(crate) fn flash_faults(colors: &Colors, timing: &Timing) -> Vec<(&'static str, FaultKind)> {
    let named = |role: Role| (role.name(), colors.get(role));
    let swell = ("its swell", colors.row_finished.mix(colors.finished, FINISH_SWELL));
    let turns = TURNS.iter().flat_map(|roles| pairs(roles)).map(|(a, b)| (named(a), named(b)));
    let plates = [track, racing, leading, row].map(|under| (named(no_rep), named(under)));
    let effects = [
        // Two changes to a flash.
        ("place_ms", timing.place_ms.saturating_mul(2), turns.collect::<Vec<_>>()),
        ("finish_ms", timing.finish_ms, vec![(named(row_finished), swell)]),
        ("no_rep_ms", timing.no_rep_ms, plates.to_vec()),
    ];
    effects.into_iter().filter_map(|(key, period_ms, pairs)| flash_fault(key, period_ms, &pairs)).collect()
}

type Named = (&'static str, Color);

fn flash_fault(
    key: &'static str,
    period_ms: u32,
    pairs: &[(Named, Named)],
) -> Option<(&'static str, FaultKind)> {
    // The next flash begins when the one before is over, so this many begin in a second at most.
    if period_ms.saturating_mul(MOST_IN_A_SECOND) >= 1000 {
        return None;
    }
    let ((one, one_color), (other, other_color)) =
        *pairs.iter().find(|((_, one), (_, other))| is_flash(*one, *other))?;
    let least = if key == "place_ms" { 167 } else { 334 };
    Some((key, FaultKind::Flashes { key, one, other, one_color, other_color, least }))
}

fn pairs(roles: &'static [Role]) -> impl Iterator<Item = (Role, Role)> {
    roles.iter().enumerate().flat_map(|(at, one)| roles.iter().skip(at + 1).map(|other| (*one, *other)))
}
