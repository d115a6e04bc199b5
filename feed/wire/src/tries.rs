//! Attempts with a declared load, and holds, as screens and judges' pages are told of them, and how a load reads.

use std::fmt::Write as _;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a lane has tried, where attempts or holds are judged. How often stands in `LaneCount::done`, the best of it in
/// `LaneCount::score`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Tries {
    /// Load declared for the next attempt, grams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub declared_g: Option<u32>,
    /// The latest attempts, in order: twelve at most.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attempts: Vec<Attempt>,
    /// Heat time at which the hold under way began, milliseconds; none if none is. It has taken the heat's time so far
    /// less this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holding_ms: Option<i64>,
}

/// One attempt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Attempt {
    /// Its load in grams.
    pub load_g: u32,
    /// Good, not failed.
    pub good: bool,
}

/// The unit in which loads are declared and shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub enum LoadUnit {
    /// Kilograms.
    #[serde(rename = "kg")]
    Kilogram,
    /// Avoirdupois pounds of 0.45359237 kg exactly.
    #[serde(rename = "lb")]
    Pound,
}

impl LoadUnit {
    /// As written behind a load.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Kilogram => "kg",
            Self::Pound => "lb",
        }
    }
}

/// A pound in hundred-thousandths of a gram (NIST SP 811, appendix B).
const POUND: u64 = 45_359_237;

/// Writes a load as it was declared, without its unit: `142.5`, with the language's mark. Grams hold a hundredth of a
/// pound apart from the next, so that nothing is converted but what was declared comes back.
pub fn write_load(out: &mut String, load_g: u32, unit: LoadUnit, mark: char) {
    let (parts, mut digits) = match unit {
        LoadUnit::Kilogram => (u64::from(load_g), 3),
        LoadUnit::Pound => ((u64::from(load_g) * 10_000_000 + POUND / 2) / POUND, 2),
    };
    let one = 10_u64.pow(digits);
    // Writing into a text does not fail.
    let _ = write!(out, "{}", parts / one);
    let mut rest = parts % one;
    if rest == 0 {
        return;
    }
    while rest.is_multiple_of(10) {
        rest /= 10;
        digits -= 1;
    }
    out.push(mark);
    let width = usize::try_from(digits).unwrap_or(0);
    let _ = write!(out, "{rest:0width$}");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_come_back_as_they_were_declared() {
        for (load_g, unit, want) in [
            (142_500, LoadUnit::Kilogram, "142.5"),
            (100_000, LoadUnit::Kilogram, "100"),
            (61_250, LoadUnit::Kilogram, "61.25"),
            (1, LoadUnit::Kilogram, "0.001"),
            (10_010, LoadUnit::Kilogram, "10.01"),
            // 0.45359237, 1.13398093, 102.05828325 and 183.70490985 kg to the gram (NIST SP 811; pint 0.25.3).
            (454, LoadUnit::Pound, "1"),
            (1_134, LoadUnit::Pound, "2.5"),
            (102_058, LoadUnit::Pound, "225"),
            (183_705, LoadUnit::Pound, "405"),
        ] {
            let mut written = String::new();
            write_load(&mut written, load_g, unit, '.');
            assert_eq!(written, want, "{load_g} g");
        }
    }
}
