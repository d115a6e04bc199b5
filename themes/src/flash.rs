//! Flashes, as WCAG 2.2 defines them for success criterion 2.3.1: which two colours make one when they take turns,
//! and how many there are in a second. Any area counts here; the criterion spares small ones.

use crate::Color;
use crate::contrast::{linear, luminance};

/// Most flashes in any second.
pub const MOST_IN_A_SECOND: u32 = 3;
/// Least change of relative luminance that counts ("general flash").
const LUMINANCE_STEP: f64 = 0.1;
/// Only if the darker of the two is under this.
const DARKER_UNDER: f64 = 0.8;
/// Share of red in linear light from which a red is saturated ("red flash").
const SATURATED: f64 = 0.8;
/// Least change of chromaticity, in CIE 1976 UCS, that counts when a saturated red takes part.
const CHROMATICITY_STEP: f64 = 0.2;

/// Whether a change from one to the other and back is a flash: of light, or of saturated red.
#[must_use]
pub fn is_flash(one: Color, other: Color) -> bool {
    is_general(luminance(one), luminance(other)) || is_red(one, other)
}

/// Whether two relative luminances are a tenth apart, the darker one under 0.80.
#[must_use]
pub fn is_general(one: f64, other: f64) -> bool {
    (one - other).abs() >= LUMINANCE_STEP && one.min(other) < DARKER_UNDER
}

/// Whether a saturated red takes part in a change of chromaticity that counts. Black has no chromaticity: beside a
/// saturated red it is taken as a change that counts.
#[must_use]
pub fn is_red(one: Color, other: Color) -> bool {
    if !is_saturated_red(one) && !is_saturated_red(other) {
        return false;
    }
    match (chromaticity(one), chromaticity(other)) {
        (Some([u, v]), Some([u2, v2])) => (u - u2).hypot(v - v2) > CHROMATICITY_STEP,
        _ => true,
    }
}

/// Most transitions that begin within any one second of a sequence of relative luminances, two of them to a flash.
#[must_use]
pub fn most_transitions(luminances: &[f64], per_second: u32) -> usize {
    let mut levels = luminances.iter();
    let Some(first) = levels.next() else { return 0 };
    let mut swings = Swings::at(*first);
    let at: Vec<usize> =
        (1..).zip(levels).filter_map(|(frame, level)| swings.take(*level).map(|_| frame)).collect();
    let second = usize::try_from(per_second).unwrap_or(usize::MAX);
    let within = |from: &usize| at.iter().filter(|frame| (*from..from + second).contains(frame)).count();
    at.iter().map(within).max().unwrap_or(0)
}

/// Finds the transitions of one place on a screen: changes from an extreme that [`is_general`] counts, each in the
/// direction opposite to the last.
#[derive(Clone, Copy, Debug)]
pub struct Swings {
    low: f64,
    high: f64,
    rising: Option<bool>,
}

impl Swings {
    /// Begins at a relative luminance.
    #[must_use]
    pub fn at(luminance: f64) -> Swings {
        Swings { low: luminance, high: luminance, rising: None }
    }

    /// Takes the next relative luminance; whether it makes a transition, and then whether that rises.
    pub fn take(&mut self, luminance: f64) -> Option<bool> {
        self.low = self.low.min(luminance);
        self.high = self.high.max(luminance);
        let rises = self.rising != Some(true) && luminance > self.low && is_general(self.low, luminance);
        let falls = self.rising != Some(false) && luminance < self.high && is_general(self.high, luminance);
        if !rises && !falls {
            return None;
        }
        *self = Swings { low: luminance, high: luminance, rising: Some(rises) };
        self.rising
    }
}

/// Whether red is so much of a colour's light that its changes count as red flashes.
#[must_use]
pub fn is_saturated_red(color: Color) -> bool {
    let [r, g, b, _] = color.0;
    // Quicker than the share, and enough for most colours.
    r > g.max(b) && red_share(color) >= SATURATED
}

/// R / (R + G + B) in linear light; 0 for black.
fn red_share(color: Color) -> f64 {
    let [r, g, b, _] = color.0.map(linear);
    let sum = r + g + b;
    if sum == 0.0 { 0.0 } else { r / sum }
}

/// CIE 1976 UCS u′ v′, by the matrix that is printed in Understanding 2.3.1; none for black.
fn chromaticity(color: Color) -> Option<[f64; 2]> {
    let [r, g, b, _] = color.0.map(linear);
    let x = 0.412_456_4 * r + 0.357_576_1 * g + 0.180_437_5 * b;
    let y = 0.212_672_9 * r + 0.715_152_2 * g + 0.072_175_0 * b;
    let z = 0.019_333_9 * r + 0.119_192_0 * g + 0.950_304_1 * b;
    let sum = x + 15.0 * y + 3.0 * z;
    (sum > 0.0).then(|| [4.0 * x / sum, 9.0 * y / sum])
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    fn values(list: &str) -> Vec<Value> {
        let all: Value = serde_json::from_str(include_str!("../tests/values/flash.json")).unwrap();
        all[list].as_array().unwrap().clone()
    }

    fn color(value: &Value) -> Color {
        let code = |at: usize| u8::try_from(value[at].as_u64().unwrap()).unwrap();
        Color([code(0), code(1), code(2), 255])
    }

    /// WCAG 2.2, general flash and red flash thresholds; luminances computed with colour-science 0.4.7.
    #[test]
    fn pairs_count_as_the_thresholds_say() {
        for pair in values("pairs") {
            let (one, other) = (color(&pair["a"]), color(&pair["b"]));
            for (color, key) in [(one, "luminance_a"), (other, "luminance_b")] {
                assert!((luminance(color) - pair[key].as_f64().unwrap()).abs() < 1e-5, "{pair}");
            }
            let general = is_general(luminance(one), luminance(other));
            assert_eq!(Some(general), pair["general"].as_bool(), "{pair}");
            if let Some(red) = pair["red"].as_bool() {
                assert_eq!((is_red(one, other), is_red(other, one)), (red, red), "{pair}");
            }
        }
    }

    /// WCAG technique G19: six transitions in a second pass, seven fail.
    #[test]
    fn transitions_in_a_second_are_counted_as_published() {
        for of in values("sequences") {
            let luminances: Vec<f64> =
                of["luminance"].as_array().unwrap().iter().map(|level| level.as_f64().unwrap()).collect();
            let most = most_transitions(&luminances, u32::try_from(of["fps"].as_u64().unwrap()).unwrap());
            assert_eq!(most as u64, of["most_in_a_second"].as_u64().unwrap(), "{}", of["name"]);
            let passes = most <= 2 * MOST_IN_A_SECOND as usize;
            assert_eq!(Some(passes), of["passes"].as_bool(), "{}", of["name"]);
        }
        assert_eq!(most_transitions(&[], 30), 0);
    }
}
