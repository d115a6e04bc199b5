//! How colours look to eyes that lack a kind of cone, and how far two colours are apart. The colour spaces and
//! CIEDE2000 are the palette library's; the matrices are published data.

use palette::color_difference::Ciede2000;
use palette::{IntoColor, Lab, LinSrgb, Srgb, white_point::D65};

use crate::Color;

/// Kinds of colour vision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// All three cones.
    Full,
    /// Without the long-wave cones.
    Protan,
    /// Without the middle-wave cones.
    Deutan,
    /// Without the short-wave cones.
    Tritan,
}

/// All kinds.
pub const SIGHTS: [Sight; 4] = [Sight::Full, Sight::Protan, Sight::Deutan, Sight::Tritan];

/// Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
/// TVCG 15(6), 2009: the table's rows for severity 1.0, which act on linear RGB.
const PROTAN: [[f64; 3]; 3] =
    [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]];
const DEUTAN: [[f64; 3]; 3] =
    [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]];
const TRITAN: [[f64; 3]; 3] =
    [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]];

impl Sight {
    /// A word for it in a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Sight::Full => "full colour vision",
            Sight::Protan => "protan eyes",
            Sight::Deutan => "deutan eyes",
            Sight::Tritan => "tritan eyes",
        }
    }

    /// A colour as these eyes see it; alpha stays.
    #[must_use]
    pub fn sees(self, color: Color) -> Color {
        let matrix = match self {
            Sight::Full => return color,
            Sight::Protan => PROTAN,
            Sight::Deutan => DEUTAN,
            Sight::Tritan => TRITAN,
        };
        let [r, g, b, a] = color.0;
        let linear: LinSrgb<f64> = Srgb::new(r, g, b).into_format::<f64>().into_linear();
        let row = |[x, y, z]: [f64; 3]| (x * linear.red + y * linear.green + z * linear.blue).clamp(0.0, 1.0);
        let [red, green, blue] = matrix.map(row);
        let seen = Srgb::<f64>::from_linear(LinSrgb::new(red, green, blue)).into_format::<u8>();
        Color([seen.red, seen.green, seen.blue, a])
    }

    /// How far two colours are apart for these eyes, by CIEDE2000; about 1 is the least that is noticed side by side.
    #[must_use]
    pub fn difference(self, one: Color, other: Color) -> f64 {
        lab(self.sees(one)).difference(lab(self.sees(other)))
    }
}

/// A colour in CIE L*a*b* under D65; alpha is not looked at.
fn lab(color: Color) -> Lab<D65, f64> {
    let [r, g, b, _] = color.0;
    Srgb::new(r, g, b).into_format::<f64>().into_color()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    fn values(text: &str, list: &str) -> Vec<Value> {
        let all: Value = serde_json::from_str(text).unwrap();
        all[list].as_array().unwrap().clone()
    }

    fn numbers<const N: usize>(value: &Value) -> [f64; N] {
        std::array::from_fn(|at| value[at].as_f64().unwrap())
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // codes of a byte
    fn color(value: &Value) -> Color {
        let [r, g, b] = numbers(value).map(|code| code as u8);
        Color([r, g, b, 255])
    }

    fn sight(name: &str) -> Sight {
        SIGHTS.into_iter().find(|sight| sight.name().starts_with(name)).unwrap()
    }

    const CVD: &str = include_str!("../tests/values/cvd.json");

    /// The 34 pairs of Sharma, Wu and Dalal 2005, to the four decimals that they printed.
    #[test]
    fn ciede2000_agrees_with_all_published_pairs() {
        let pairs = values(include_str!("../tests/values/ciede2000.json"), "pairs");
        assert_eq!(pairs.len(), 34);
        for pair in pairs {
            let lab = |name: &str| {
                let [l, a, b] = numbers(&pair[name]);
                Lab::<D65, f64>::new(l, a, b)
            };
            let (one, other) = (lab("lab1"), lab("lab2"));
            let wanted = pair["difference"].as_f64().unwrap();
            for found in [one.difference(other), other.difference(one)] {
                assert!((found - wanted).abs() <= 0.000_051, "{pair}: {found}");
            }
        }
    }

    #[test]
    fn the_matrices_are_the_published_ones() {
        for of in values(CVD, "matrices") {
            let matrix = match sight(of["type"].as_str().unwrap()) {
                Sight::Protan => PROTAN,
                Sight::Deutan => DEUTAN,
                Sight::Tritan => TRITAN,
                Sight::Full => panic!("no matrix"),
            };
            for (row, at) in matrix.iter().zip(0..) {
                assert_eq!(*row, numbers::<3>(&of["rows"][at]), "{of}");
            }
        }
    }

    /// Computed with colour-science 0.4.7; a code may round to its neighbour.
    #[test]
    fn colors_look_as_another_implementation_shows_them() {
        let cases = values(CVD, "cases");
        assert!(cases.len() > 30);
        for case in cases {
            let seen = sight(case["type"].as_str().unwrap()).sees(color(&case["srgb8"]));
            let wanted = color(&case["seen"]);
            let near = seen.0.iter().zip(wanted.0).all(|(a, b)| a.abs_diff(b) <= 1);
            assert!(near, "{case}: {seen}");
        }
    }

    /// Computed with colour-science 0.4.7 from unrounded colours; ours go through bytes.
    #[test]
    fn pairs_are_as_far_apart_as_another_implementation_says() {
        let cases = values(CVD, "cases");
        let named = |name: &str| color(&cases.iter().find(|case| case["color"] == name).unwrap()["srgb8"]);
        for of in values(CVD, "differences") {
            let (one, other) = (of["pair"][0].as_str().unwrap(), of["pair"][1].as_str().unwrap());
            for (sight, key) in SIGHTS.into_iter().zip(["normal", "protan", "deutan", "tritan"]) {
                let found = sight.difference(named(one), named(other));
                let wanted = of[key].as_f64().unwrap();
                assert!((found - wanted).abs() < 0.4, "{of}: {found} for {}", sight.name());
            }
        }
    }

    /// IEC 61966-2-1, as quoted in WCAG 2.2, in 36 codes one way and 13 the other.
    #[test]
    fn codes_are_decoded_and_encoded_as_the_standard_says() {
        const TRANSFER: &str = include_str!("../tests/values/srgb_transfer.json");
        for of in values(TRANSFER, "decode") {
            let code = u8::try_from(of["code"].as_u64().unwrap()).unwrap();
            let wanted = of["linear"].as_f64().unwrap();
            let theirs: LinSrgb<f64> = Srgb::new(code, code, code).into_format::<f64>().into_linear();
            assert!((theirs.red - wanted).abs() < 1e-9, "{of}: {}", theirs.red);
            let ours = crate::contrast::luminance(Color([code, code, code, 255]));
            assert!((ours - wanted).abs() < 1e-9, "{of}: {ours}");
        }
        for of in values(TRANSFER, "encode") {
            let linear = of["linear"].as_f64().unwrap();
            let encoded: Srgb<f64> = Srgb::from_linear(LinSrgb::new(linear, linear, linear));
            let wanted = of["code"].as_f64().unwrap();
            assert!(((encoded.red * 255.0).clamp(0.0, 255.0) + 0.5).floor() == wanted, "{of}");
        }
    }
}
