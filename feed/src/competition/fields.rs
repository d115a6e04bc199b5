//! Reads the fields of one table of a competition file by name and type. Notes a fault for each that is missing,
//! of another type, out of range or unknown; leaves what fields mean to its callers.

use std::ops::RangeInclusive;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::faults::Faults;

/// A value of the file.
pub(super) type Value<'i> = Spanned<DeValue<'i>>;

/// Longest text in the file, in bytes: names are shown on one line.
pub(super) const MAX_TEXT: usize = 200;
/// Longest identifier, in bytes; the wire has the same bound.
pub(super) const MAX_ID: usize = fivemark_wire::bounds::MAX_ID;

/// How alike a misspelt name and a known one must be to be suggested (Jaro-Winkler, 0 to 1).
const ALIKE: f64 = 0.8;

/// Something read, and the byte where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found<T> {
    pub(super) value: T,
    pub(super) at: usize,
}

/// The fields of one table.
pub(super) struct Fields<'a, 'i> {
    table: &'a DeTable<'i>,
    /// Byte where the table stands.
    pub(super) at: usize,
    /// What the table is, for sentences: `heat 7`.
    pub(super) what: String,
    known: Vec<&'static str>,
}

impl<'a, 'i> Fields<'a, 'i> {
    /// The fields of a value, which has to be a table.
    pub(super) fn of(value: &'a Value<'i>, what: impl Into<String>, faults: &mut Faults) -> Option<Self> {
        let what = what.into();
        match value.get_ref() {
            DeValue::Table(table) => Some(Self { table, at: value.span().start, what, known: Vec::new() }),
            other => {
                faults.add(value.span().start, format!("{what} must be a table, not {}", kind(other)));
                None
            }
        }
    }

    /// The fields of the whole file.
    pub(super) fn of_file(table: &'a DeTable<'i>) -> Self {
        Self { table, at: 0, what: "the file".to_owned(), known: Vec::new() }
    }

    /// Any value of that name.
    pub(super) fn value(&mut self, name: &'static str) -> Option<&'a Value<'i>> {
        if !self.known.contains(&name) {
            self.known.push(name);
        }
        self.table.get(name)
    }

    /// A text of 1 to `max` bytes, if it is there.
    pub(super) fn text(
        &mut self,
        name: &'static str,
        max: usize,
        faults: &mut Faults,
    ) -> Option<Found<String>> {
        let value = self.value(name)?;
        text_of(value, name, max, faults)
    }

    /// A text that has to be there.
    pub(super) fn need_text(
        &mut self,
        name: &'static str,
        max: usize,
        faults: &mut Faults,
    ) -> Option<Found<String>> {
        self.note_missing(name, faults);
        self.text(name, max, faults)
    }

    /// A short name that may be written as a text or as a whole number.
    pub(super) fn id(&mut self, name: &'static str, faults: &mut Faults) -> Option<Found<String>> {
        let value = self.value(name)?;
        if let DeValue::Integer(number) = value.get_ref() {
            return Some(Found { value: number.to_string(), at: value.span().start });
        }
        text_of(value, name, MAX_ID, faults)
    }

    /// A short name that has to be there.
    pub(super) fn need_id(&mut self, name: &'static str, faults: &mut Faults) -> Option<Found<String>> {
        self.note_missing(name, faults);
        self.id(name, faults)
    }

    /// A whole number within a range, if it is there.
    pub(super) fn number(
        &mut self,
        name: &'static str,
        range: RangeInclusive<u32>,
        faults: &mut Faults,
    ) -> Option<Found<u32>> {
        let value = self.value(name)?;
        number_of(value, name, range, faults)
    }

    /// A whole number that has to be there.
    pub(super) fn need_number(
        &mut self,
        name: &'static str,
        range: RangeInclusive<u32>,
        faults: &mut Faults,
    ) -> Option<Found<u32>> {
        self.note_missing(name, faults);
        self.number(name, range, faults)
    }

    /// `true` or `false`; `false` if it is not there.
    pub(super) fn flag(&mut self, name: &'static str, faults: &mut Faults) -> bool {
        self.flag_or(name, false, faults)
    }

    /// True or false; what stands for it if it is not there.
    pub(super) fn flag_or(&mut self, name: &'static str, otherwise: bool, faults: &mut Faults) -> bool {
        match self.value(name) {
            None => otherwise,
            Some(value) => value.get_ref().as_bool().unwrap_or_else(|| {
                let found = kind(value.get_ref());
                faults.add(value.span().start, format!("{name} is true or false, not {found}"));
                false
            }),
        }
    }

    /// One of a few words, if it is there.
    pub(super) fn choice<T: Copy>(
        &mut self,
        name: &'static str,
        choices: &[(&str, T)],
        faults: &mut Faults,
    ) -> Option<T> {
        let value = self.value(name)?;
        let written = match value.get_ref() {
            DeValue::Integer(number) => number.to_string(),
            DeValue::Float(number) => number.to_string(),
            _ => text_of(value, name, MAX_TEXT, faults)?.value,
        };
        if let Some((_, chosen)) = choices.iter().find(|(word, _)| *word == written) {
            return Some(*chosen);
        }
        let words: Vec<String> = choices.iter().map(|(word, _)| format!("\"{word}\"")).collect();
        faults.add(
            value.span().start,
            format!("{name} cannot be \"{}\"; choose {}", shorten(&written), words.join(" or ")),
        );
        None
    }

    /// The entries of an array; empty if it is not there.
    pub(super) fn list(&mut self, name: &'static str, max: usize, faults: &mut Faults) -> Vec<&'a Value<'i>> {
        let Some(value) = self.value(name) else { return Vec::new() };
        let Some(array) = value.get_ref().as_array() else {
            faults.add(value.span().start, format!("{name} must be a list, not {}", kind(value.get_ref())));
            return Vec::new();
        };
        if array.len() > max {
            faults.add(
                value.span().start,
                format!("{} has {} entries of {name}; at most {max} are allowed", self.what, array.len()),
            );
        }
        array.iter().take(max).collect()
    }

    /// Notes every field that nobody asked for.
    pub(super) fn finish(self, faults: &mut Faults) {
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if self.known.contains(&name) {
                continue;
            }
            let hint = match nearest(name, self.known.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("it may have {}", self.known.join(", ")),
            };
            faults.add(key.span().start, format!("{} has no field \"{}\"; {hint}", self.what, shorten(name)));
        }
    }

    fn note_missing(&self, name: &'static str, faults: &mut Faults) {
        if !self.table.contains_key(name) {
            faults.add(self.at, format!("{} needs a field \"{name}\"", self.what));
        }
    }
}

/// A text of 1 to `max` bytes without control characters.
pub(super) fn text_of(
    value: &Value<'_>,
    name: &str,
    max: usize,
    faults: &mut Faults,
) -> Option<Found<String>> {
    let at = value.span().start;
    let Some(text) = value.get_ref().as_str() else {
        faults.add(at, format!("{name} must be a text in quotes, not {}", kind(value.get_ref())));
        return None;
    };
    let trimmed = text.trim();
    if trimmed.is_empty() {
        faults.add(at, format!("{name} is empty; write something or leave the field out"));
    } else if trimmed.len() > max {
        faults.add(at, format!("{name} is {} bytes long; at most {max} are allowed", trimmed.len()));
    } else if trimmed.chars().any(char::is_control) {
        faults.add(at, format!("{name} contains a control character; write it on one line"));
    } else {
        return Some(Found { value: trimmed.to_owned(), at });
    }
    None
}

/// A whole number within a range.
pub(super) fn number_of(
    value: &Value<'_>,
    name: &str,
    range: RangeInclusive<u32>,
    faults: &mut Faults,
) -> Option<Found<u32>> {
    let at = value.span().start;
    let Some(number) = value.get_ref().as_integer() else {
        faults.add(at, format!("{name} must be a whole number, not {}", kind(value.get_ref())));
        return None;
    };
    match u32::from_str_radix(number.as_str(), number.radix()) {
        Ok(number) if range.contains(&number) => Some(Found { value: number, at }),
        _ => {
            let (low, high) = (range.start(), range.end());
            let found = shorten(&number.to_string());
            faults.add(at, format!("{name} is {found}; it must lie between {low} and {high}"));
            None
        }
    }
}

/// The known name that is most like a misspelt one.
pub(super) fn nearest<'k>(name: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    known
        .map(|candidate| (strsim::jaro_winkler(name, candidate), candidate))
        .filter(|(alike, _)| *alike >= ALIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

/// A text short enough for a sentence.
pub(super) fn shorten(text: &str) -> String {
    const MAX_SHOWN: usize = 40;
    if text.chars().count() <= MAX_SHOWN {
        text.to_owned()
    } else {
        text.chars().take(MAX_SHOWN).chain(['…']).collect()
    }
}

/// What a value is, in words.
pub(super) fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a decimal number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
