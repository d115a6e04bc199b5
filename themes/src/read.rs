//! Reading a theme's TOML with every fault kept: missing and unknown names, wrong types, numbers out of range.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::{Color, FaultKind, ThemeFault};

/// Most faults that are told at once.
const MAX_FAULTS: usize = 100;
/// Longest text in a theme file, in characters: a family's or a file's name.
const MAX_TEXT: usize = 200;

/// Collects faults of one file.
pub(crate) struct Faults<'s> {
    file: String,
    source: &'s str,
    list: Vec<ThemeFault>,
}

impl<'s> Faults<'s> {
    pub(crate) fn new(file: &str, source: &'s str) -> Faults<'s> {
        Faults { file: file.to_owned(), source, list: Vec::new() }
    }

    /// Adds a fault at a byte offset of the source; none for the file as a whole.
    pub(crate) fn add(&mut self, at: Option<usize>, kind: FaultKind) {
        let line = at.map_or(0, |at| line_of(self.source, at));
        if self.list.len() < MAX_FAULTS {
            self.list.push(ThemeFault { file: self.file.clone(), line, kind });
        }
    }

    /// The faults in the order of their lines; none is good.
    pub(crate) fn into_list(mut self) -> Vec<ThemeFault> {
        self.list.sort_by_key(|fault| fault.line);
        self.list
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

fn line_of(source: &str, at: usize) -> u32 {
    let before = source.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count();
    u32::try_from(before).unwrap_or(u32::MAX - 1) + 1
}

/// A value with the place where it stands.
#[derive(Clone, Debug)]
pub(crate) struct At<T> {
    pub(crate) value: T,
    pub(crate) at: usize,
}

type Entry<'t> = (&'t str, Range<usize>, &'t Spanned<DeValue<'t>>);

/// One table of the file, from which names are taken one by one; what is left at the end is unknown.
pub(crate) struct Section<'t> {
    name: &'static str,
    at: Option<usize>,
    entries: BTreeMap<String, Entry<'t>>,
}

impl<'t> Section<'t> {
    /// The file's top table.
    pub(crate) fn top(table: &'t DeTable<'t>) -> Section<'t> {
        Section { name: "", at: None, entries: entries(table) }
    }

    /// Takes a table out of this one.
    pub(crate) fn section(&mut self, name: &'static str, faults: &mut Faults<'_>) -> Section<'t> {
        let none = Section { name, at: None, entries: BTreeMap::new() };
        match self.entries.remove(name) {
            None => {
                faults.add(None, FaultKind::MissingSection { section: name.to_owned() });
                none
            }
            Some((_, span, value)) => match value.get_ref() {
                DeValue::Table(table) => Section { name, at: Some(span.start), entries: entries(table) },
                other => {
                    faults.add(Some(span.start), wrong(name, "a table", other));
                    none
                }
            },
        }
    }

    /// Takes a text.
    pub(crate) fn text(&mut self, key: &str, faults: &mut Faults<'_>) -> Option<At<String>> {
        let (_, span, value) = self.take(key, faults)?;
        text_of(key, span.start, value, faults)
    }

    /// Takes a list of texts.
    pub(crate) fn texts(&mut self, key: &str, faults: &mut Faults<'_>) -> Option<At<Vec<At<String>>>> {
        let (_, span, value) = self.take(key, faults)?;
        let Some(array) = value.get_ref().as_array() else {
            faults.add(Some(span.start), wrong(key, "a list of texts", value.get_ref()));
            return None;
        };
        let texts = array.iter().filter_map(|item| text_of(key, item.span().start, item, faults)).collect();
        Some(At { value: texts, at: span.start })
    }

    /// Whether there is something of this name.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    /// Takes a colour; `alpha` allows transparency.
    pub(crate) fn color(&mut self, key: &str, alpha: bool, faults: &mut Faults<'_>) -> Option<At<Color>> {
        let text = self.text(key, faults)?;
        match Color::parse(&text.value).filter(|color| alpha || color.0[3] == 255) {
            Some(color) => Some(At { value: color, at: text.at }),
            None => {
                faults.add(Some(text.at), FaultKind::NotAColor { key: key.to_owned(), alpha });
                None
            }
        }
    }

    /// Takes a whole number between two bounds, both allowed.
    pub(crate) fn number(
        &mut self,
        key: &str,
        bounds: std::ops::RangeInclusive<u32>,
        faults: &mut Faults<'_>,
    ) -> Option<At<u32>> {
        let (_, span, value) = self.take(key, faults)?;
        let Some(integer) = value.get_ref().as_integer() else {
            faults.add(Some(span.start), wrong(key, "a whole number", value.get_ref()));
            return None;
        };
        let parsed = u32::from_str_radix(integer.as_str(), integer.radix()).ok();
        match parsed.filter(|number| bounds.contains(number)) {
            Some(number) => Some(At { value: number, at: span.start }),
            None => {
                let mut found = integer.as_str().to_owned();
                found.truncate(24);
                let (least, most) = (*bounds.start(), *bounds.end());
                faults
                    .add(Some(span.start), FaultKind::OutOfRange { key: key.to_owned(), found, least, most });
                None
            }
        }
    }

    /// Names what was not taken.
    pub(crate) fn end(self, faults: &mut Faults<'_>) {
        let section = if self.name.is_empty() { "the theme".to_owned() } else { format!("[{}]", self.name) };
        for (key, span, _) in self.entries.into_values() {
            let key = key.chars().take(60).collect();
            faults.add(Some(span.start), FaultKind::Unknown { section: section.clone(), key });
        }
    }

    fn take(&mut self, key: &str, faults: &mut Faults<'_>) -> Option<Entry<'t>> {
        let found = self.entries.remove(key);
        // A missing section is one fault, not one for each of its keys.
        if found.is_none() && (self.at.is_some() || self.name.is_empty()) {
            let section = if self.name.is_empty() { "top of the file" } else { self.name };
            faults.add(self.at, FaultKind::Missing { section: section.to_owned(), key: key.to_owned() });
        }
        found
    }
}

fn entries<'t>(table: &'t DeTable<'t>) -> BTreeMap<String, Entry<'t>> {
    table
        .iter()
        .map(|(key, value)| {
            let name: &str = key.get_ref();
            (name.to_owned(), (name, key.span(), value))
        })
        .collect()
}

fn text_of(
    key: &str,
    at: usize,
    value: &Spanned<DeValue<'_>>,
    faults: &mut Faults<'_>,
) -> Option<At<String>> {
    let Some(text) = value.get_ref().as_str() else {
        faults.add(Some(at), wrong(key, "a text", value.get_ref()));
        return None;
    };
    if text.is_empty() || text.chars().count() > MAX_TEXT {
        faults.add(Some(at), FaultKind::BadText { key: key.to_owned(), limit: MAX_TEXT });
        return None;
    }
    Some(At { value: text.to_owned(), at })
}

fn wrong(key: &str, wanted: &'static str, found: &DeValue<'_>) -> FaultKind {
    FaultKind::WrongType { key: key.to_owned(), wanted, found: found.type_str() }
}
