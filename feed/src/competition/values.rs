//! Values of a competition file with a form of their own: spans of time, decimals, rep schemes, and amounts or
//! loads that differ between divisions.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::faults::Faults;
use super::fields::{MAX_TEXT, Value, kind, nearest, shorten, text_of};

/// One value for everybody, or one per division.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PerDivision<T> {
    /// The same for all.
    Same(T),
    /// By index of the division.
    Each(BTreeMap<usize, T>),
}

impl<T> PerDivision<T> {
    /// The value of a division, if it has one.
    #[must_use]
    pub fn of(&self, division: usize) -> Option<&T> {
        match self {
            Self::Same(value) => Some(value),
            Self::Each(values) => values.get(&division),
        }
    }
}

/// Reads a value that is either plain or a table with one entry per division.
pub(super) fn per_division<T>(
    value: &Value<'_>,
    name: &str,
    divisions: &[String],
    faults: &mut Faults,
    mut read: impl FnMut(&Value<'_>, &mut Faults) -> Option<T>,
) -> Option<PerDivision<T>> {
    let DeValue::Table(table) = value.get_ref() else {
        return read(value, faults).map(PerDivision::Same);
    };
    let mut each = BTreeMap::new();
    for (key, entry) in table {
        let id: &str = key.get_ref();
        if let Some(division) = divisions.iter().position(|known| known == id) {
            if let Some(found) = read(entry, faults) {
                each.insert(division, found);
            }
        } else {
            let hint = match nearest(id, divisions.iter().map(String::as_str)) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "add it as a [[division]] or take it out".to_owned(),
            };
            faults.add(
                key.span().start,
                format!("{name} names division \"{}\", which is not there; {hint}", shorten(id)),
            );
        }
    }
    Some(PerDivision::Each(each))
}

/// A span of time: a text such as `10:00`, `1:02:30`, `90` or `10:00.5`. In milliseconds.
pub(super) fn span_of(value: &Value<'_>, name: &str, faults: &mut Faults) -> Option<i64> {
    let text = text_of(value, name, MAX_TEXT, faults)?;
    let span = span_ms(&text.value);
    if span.is_none() {
        faults.add(
            text.at,
            format!(
                "{name} \"{}\" is not a time; write minutes and seconds like \"10:00\", or seconds like \"90\"",
                shorten(&text.value)
            ),
        );
    }
    span
}

/// A decimal number of seconds, as a number or a text. In milliseconds.
pub(super) fn seconds_of(value: &Value<'_>, name: &str, faults: &mut Faults) -> Option<i64> {
    let written = match value.get_ref() {
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.to_string(),
        DeValue::String(text) => text.to_string(),
        other => {
            faults
                .add(value.span().start, format!("{name} must be a number of seconds, not {}", kind(other)));
            return None;
        }
    };
    let found = decimal_ms(written.trim());
    if found.is_none() {
        faults
            .add(value.span().start, format!("{name} is {}; write seconds like 2 or 2.5", shorten(&written)));
    }
    found
}

/// A rep scheme: `21-15-9`.
pub(super) fn scheme_of(value: &Value<'_>, faults: &mut Faults) -> Option<Vec<u32>> {
    /// More sets than any workout has; the course's own bound on parts comes later.
    const MAX_SETS: usize = 200;
    let text = text_of(value, "scheme", MAX_TEXT * 4, faults)?;
    let sets: Option<Vec<u32>> = text
        .value
        .split('-')
        .map(|set| set.trim().parse().ok().filter(|reps| (1..=super::MAX_AMOUNT).contains(reps)))
        .collect();
    let sets = sets.filter(|sets| sets.len() <= MAX_SETS);
    if sets.is_none() {
        faults.add(
            text.at,
            format!(
                "scheme \"{}\" is not a rep scheme; write the reps of each set like \"21-15-9\"",
                shorten(&text.value)
            ),
        );
    }
    sets
}

fn span_ms(text: &str) -> Option<i64> {
    let parts: Vec<&str> = text.split(':').collect();
    let (seconds, larger) = parts.split_last()?;
    let seconds_ms = decimal_ms(seconds)?;
    match larger {
        [] => Some(seconds_ms),
        [minutes] => Some(whole(minutes)? * 60_000 + sixtieth(seconds, seconds_ms, 60_000)?),
        [hours, minutes] => {
            let minutes_ms = sixtieth(minutes, whole(minutes)? * 60_000, 3_600_000)?;
            Some(whole(hours)? * 3_600_000 + minutes_ms + sixtieth(seconds, seconds_ms, 60_000)?)
        }
        _ => None,
    }
}

/// The value of a place after a colon: two digits, and less than one of the place before.
fn sixtieth(written: &str, value_ms: i64, limit_ms: i64) -> Option<i64> {
    let two_digits = written.split('.').next().is_some_and(|digits| digits.len() == 2);
    (two_digits && value_ms < limit_ms).then_some(value_ms)
}

/// A whole number of at most six digits.
fn whole(text: &str) -> Option<i64> {
    let digits = (1..=6).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    if digits { text.parse().ok() } else { None }
}

/// `2.5` as 2500. At most three decimals; no sign, no exponent.
fn decimal_ms(text: &str) -> Option<i64> {
    /// Spans beyond this many digits of seconds are no spans of a competition, and would overflow.
    const MAX_DIGITS: usize = 9;
    let (whole, rest) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(rest) || whole.len() > MAX_DIGITS || rest.len() > 3 {
        return None;
    }
    let whole: i64 = whole.parse().ok()?;
    let thousandths: i64 = format!("{rest:0<3}").parse().ok()?;
    Some(whole * 1_000 + thousandths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_read_as_people_write_them() {
        for (text, ms) in [
            ("10:00", Some(600_000)),
            ("90", Some(90_000)),
            ("0:45", Some(45_000)),
            ("90:00", Some(5_400_000)),
            ("1:02:30", Some(3_750_000)),
            ("10:00.5", Some(600_500)),
            ("10:60", None),
            ("1:60:00", None),
            ("10:0", None),
            ("1:2:3:04", None),
            ("-5", None),
            ("", None),
            (":30", None),
            ("10:", None),
            ("ten", None),
            ("9999999999", None),
            ("99999999999999999999:00", None),
        ] {
            assert_eq!(span_ms(text), ms, "{text}");
        }
    }

    #[test]
    fn decimals_are_exact() {
        // 0.07 s is 70 ms; doubles would make 0.07 × 100 a little more than 7.
        for (text, ms) in
            [("0.07", Some(70)), ("2", Some(2_000)), ("2.5", Some(2_500)), ("2.1234", None), ("1e3", None)]
        {
            assert_eq!(decimal_ms(text), ms, "{text}");
        }
    }
}
