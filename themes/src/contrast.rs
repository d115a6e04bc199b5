//! Relative luminance and contrast ratio of WCAG 2.2 (definitions of "relative luminance" and "contrast ratio",
//! with the threshold 0.04045). Ratios are compared unrounded.

use crate::Color;

/// Relative luminance of an opaque colour, 0 to 1; alpha is not looked at.
#[must_use]
pub fn luminance(color: Color) -> f64 {
    let [r, g, b, _] = color.0;
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

/// Contrast ratio of two opaque colours, 1 to 21, in either order.
#[must_use]
pub fn ratio(one: Color, other: Color) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn linear(code: u8) -> f64 {
    let value = f64::from(code) / 255.0;
    if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
}
