//! Reads the fields of one table of a screens file by name and type, and notes a fault at its place for each that is
//! missing, unknown, of another type or out of range. Leaves what fields mean to its caller.

use std::ops::RangeInclusive;

use serde::Deserialize;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest text, in bytes: a path.
const MAX_TEXT: usize = 4_096;
/// Most faults that are kept; nobody works through more at once.
const MAX_FAULTS: usize = 100;

/// What is wrong, by the byte where it stands.
#[derive(Debug, Default)]
pub(super) struct Faults(pub Vec<(usize, String)>);

impl Faults {
    pub fn add(&mut self, at: usize, says: impl Into<String>) {
        if self.0.len() < MAX_FAULTS {
            self.0.push((at, says.into()));
        }
    }
}

/// The fields of one table.
pub(super) struct Fields<'a, 'i> {
    table: &'a DeTable<'i>,
    /// The byte where the table stands.
    pub at: usize,
    /// What the table is, for sentences.
    pub what: String,
    known: Vec<&'static str>,
}

impl<'a, 'i> Fields<'a, 'i> {
    pub fn new(table: &'a DeTable<'i>, at: usize, what: impl Into<String>) -> Self {
        Self { table, at, what: what.into(), known: Vec::new() }
    }

    /// The fields of a value that has to be a table.
    pub fn of(value: &'a Spanned<DeValue<'i>>, what: String, faults: &mut Faults) -> Option<Self> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Self::new(table, value.span().start, what)),
            other => {
                faults.add(value.span().start, format!("{what} has to be a table, not {}", kind(other)));
                None
            }
        }
    }

    /// The tables of that name, as `[[name]]` writes them.
    pub fn tables(&mut self, name: &'static str, most: usize, faults: &mut Faults) -> Vec<Self> {
        let Some(value) = self.value(name) else { return Vec::new() };
        let DeValue::Array(array) = value.get_ref() else {
            faults.add(value.span().start, format!("write [[{name}]], once for each"));
            return Vec::new();
        };
        if let Some(first) = array.get(most) {
            faults.add(first.span().start, format!("there are more than {most} of [[{name}]]"));
        }
        array.iter().filter_map(|value| Self::of(value, format!("this {name}"), faults)).collect()
    }

    pub fn value(&mut self, name: &'static str) -> Option<&'a Spanned<DeValue<'i>>> {
        self.known.push(name);
        self.table.get(name)
    }

    /// Where a field stands; the table if it is not there.
    pub fn place(&self, name: &str) -> usize {
        self.table.get(name).map_or(self.at, |value| value.span().start)
    }

    /// A text, if it is there.
    pub fn text(&mut self, name: &'static str, faults: &mut Faults) -> Option<&'a str> {
        let value = self.value(name)?;
        match value.get_ref() {
            DeValue::String(text) if (1..=MAX_TEXT).contains(&text.len()) => Some(text.as_ref()),
            DeValue::String(text) if text.is_empty() => {
                faults.add(value.span().start, format!("{name} is empty; write something, or leave it out"));
                None
            }
            DeValue::String(_) => {
                faults.add(value.span().start, format!("{name} is longer than {MAX_TEXT} bytes"));
                None
            }
            other => {
                faults.add(value.span().start, format!("{name} has to be a text, not {}", kind(other)));
                None
            }
        }
    }

    /// A text that has to be there.
    pub fn need_text(&mut self, name: &'static str, faults: &mut Faults) -> Option<&'a str> {
        if self.table.get(name).is_none() {
            faults.add(self.at, format!("{} has no {name}", self.what));
        }
        self.text(name, faults)
    }

    /// A text, read by `read`, which says what is wrong with it.
    pub fn read<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
        faults: &mut Faults,
    ) -> Option<T> {
        let at = self.place(name);
        let text = self.text(name, faults)?;
        read(text).map_err(|says| faults.add(at, says)).ok()
    }

    /// A number as it is written, or a text, read by `read`, which says what is wrong with it.
    pub fn read_literal<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
        faults: &mut Faults,
    ) -> Option<T> {
        let value = self.value(name)?;
        let read = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => read(number.as_str()),
            DeValue::Integer(number) => read(&number.to_string()),
            DeValue::Float(number) => read(number.as_str()),
            DeValue::String(text) => read(text),
            other => Err(format!("{name} has to be a number or a text, not {}", kind(other))),
        };
        read.map_err(|says| faults.add(value.span().start, says)).ok()
    }

    /// One of a few words.
    pub fn word<T: for<'de> Deserialize<'de>>(
        &mut self,
        name: &'static str,
        words: &str,
        faults: &mut Faults,
    ) -> Option<T> {
        use serde::de::IntoDeserializer;
        use serde::de::value::{Error, StrDeserializer};
        let read = |text: &str| {
            let deserializer: StrDeserializer<'_, Error> = text.into_deserializer();
            T::deserialize(deserializer).map_err(|_| format!("{name} is one of {words}, not `{text}`"))
        };
        self.read(name, read, faults)
    }

    /// A whole number within a range, if it is there.
    pub fn number(
        &mut self,
        name: &'static str,
        range: RangeInclusive<i64>,
        faults: &mut Faults,
    ) -> Option<i64> {
        let value = self.value(name)?;
        let number = match value.get_ref() {
            DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok(),
            _ => None,
        };
        let number = number.filter(|number| range.contains(number));
        if number.is_none() {
            let (least, most) = (range.start(), range.end());
            faults.add(value.span().start, format!("{name} has to be a whole number from {least} to {most}"));
        }
        number
    }

    /// Yes or no, if it is there.
    pub fn flag(&mut self, name: &'static str, faults: &mut Faults) -> Option<bool> {
        let value = self.value(name)?;
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            other => {
                faults.add(value.span().start, format!("{name} is true or false, not {}", kind(other)));
                None
            }
        }
    }

    /// Notes every field that nobody has asked for.
    pub fn finish(self, faults: &mut Faults) {
        for (name, _) in self.table {
            if !self.known.contains(&name.get_ref().as_ref()) {
                let says = format!(
                    "{} has no field `{}`; its fields are {}",
                    self.what,
                    name.get_ref(),
                    self.known.join(", ")
                );
                faults.add(name.span().start, says);
            }
        }
    }
}

/// What a value is, in words.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with a point",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
