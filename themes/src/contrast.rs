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

/// A code of 8 bits in linear light, 0 to 1.
#[must_use]
pub fn linear(code: u8) -> f64 {
    let value = f64::from(code) / 255.0;
    if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn color(text: &str) -> Color {
        Color::parse(text).unwrap()
    }

    /// Ratios as printed in W3C documents, most of them truncated to the decimals that are printed, a few rounded;
    /// either reading may fit.
    #[test]
    fn agrees_with_ratios_printed_by_the_w3c() {
        for (front, back, printed, decimals, source) in [
            ("#000000", "#FFFFFF", 21.0, 0, "WCAG 2.2, definition of contrast ratio"),
            ("#FFFFFF", "#FFFFFF", 1.0, 0, "WCAG 2.2, definition of contrast ratio"),
            ("#333333", "#FFFFFF", 12.6, 1, "W3C ACT rule afw4f7, passed example 1"),
            ("#0000EE", "#FFFFFF", 9.39, 2, "W3C ACT rule afw4f7, default link colour (truncated)"),
            ("#000000", "#666666", 3.6, 1, "W3C ACT rule afw4f7 (truncated)"),
            ("#000000", "#777777", 4.6, 1, "W3C ACT rule 09o5cg (truncated)"),
            ("#AAAAAA", "#FFFFFF", 2.3, 1, "W3C ACT rule afw4f7, failed example"),
            ("#777777", "#EEEEEE", 3.85, 2, "W3C ACT rule afw4f7, failed example (truncated)"),
            ("#666666", "#FFFFFF", 5.7, 1, "W3C ACT rule 09o5cg, failed example"),
            ("#555555", "#EEEEEE", 6.4, 1, "W3C ACT rule 09o5cg, failed example"),
            ("#E3660E", "#FFFFFF", 3.4, 1, "WCAG technique G207"),
            ("#FF3838", "#FFFFFF", 3.6, 1, "WCAG technique G195 (rounded)"),
            ("#E5E5E5", "#6221EA", 5.6, 1, "Understanding 1.4.11, checkbox (truncated)"),
            ("#FFF000", "#FFFFFF", 1.2, 1, "Understanding 1.4.11, stars (rounded)"),
            ("#949494", "#FFFFFF", 3.0, 0, "Understanding 1.4.11, focus indicator"),
        ] {
            let found = ratio(color(front), color(back));
            let scale = 10f64.powi(decimals);
            let (cut, rounded) = ((found * scale).floor() / scale, (found * scale).round() / scale);
            let fits = (cut - printed).abs() < 1e-9 || (rounded - printed).abs() < 1e-9;
            assert!(fits, "{front} on {back}: {found}, printed {printed} in {source}");
        }
    }

    /// Worked with the formula of WCAG 2.2 to forty digits, outside of this project; the package
    /// wcag-contrast-ratio 0.9 gives the same.
    #[test]
    fn agrees_with_ratios_worked_out_elsewhere() {
        let values: serde_json::Value =
            serde_json::from_str(include_str!("../tests/values/contrast.json")).unwrap();
        let cases = values["cases"].as_array().unwrap();
        assert_eq!(cases.len(), 35);
        for case in cases {
            let [front, back] = ["front", "back"].map(|key| color(case[key].as_str().unwrap()));
            let found = ratio(front, back);
            assert!((found - case["ratio"].as_f64().unwrap()).abs() < 1e-9, "{case}: {found}");
            assert!((ratio(back, front) - found).abs() < 1e-15, "the order does not matter");
            assert_eq!(Some(found >= crate::check::TEXT), case["passes"].as_bool(), "{case}");
        }
    }

    /// WCAG 2.2 compares unrounded: 4.478 is no 4.5.
    #[test]
    fn nothing_is_rounded_before_it_is_compared() {
        assert!(ratio(color("#767676"), color("#FFFFFF")) >= crate::check::TEXT);
        assert!(ratio(color("#777777"), color("#FFFFFF")) < crate::check::TEXT);
        assert!(ratio(color("#747474"), color("#000000")) < crate::check::TEXT);
    }
}
