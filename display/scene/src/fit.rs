//! Making a name fit its cell: smaller down to a limit, then given names as initials, then an ellipsis, always
//! at a grapheme boundary. A name that the theme's fonts cannot write gives way to the bib.

use std::rc::Rc;

use fivemark_wire::view::LaneEntry;
use unicode_segmentation::UnicodeSegmentation;

use crate::text::{Fonts, ShapedText, Style};
use crate::words;

/// A name's cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct NameCell {
    /// Width, pixels.
    pub(crate) width: f32,
    /// Height of capitals when there is room, pixels.
    pub(crate) cap_height: f32,
    /// Height of capitals below which the name is shortened instead, pixels.
    pub(crate) least_cap_height: f32,
}

/// The lane's name as it fits the cell; never wider than the cell.
pub(crate) fn fit_name(fonts: &mut Fonts, entry: &LaneEntry, cell: NameCell) -> Rc<ShapedText> {
    let full = fonts.shaped(&entry.name, Style::Names, cell.cap_height);
    if full.missing {
        return fit_text(fonts, &words::bib(&entry.bib), Style::Names, cell);
    }
    if let Some(fitted) = fit_whole(fonts, &entry.name, Style::Names, cell) {
        return fitted;
    }
    let short = with_initials(entry);
    if let Some(fitted) = short.as_ref().and_then(|short| fit_whole(fonts, short, Style::Names, cell)) {
        return fitted;
    }
    cut(fonts, short.as_deref().unwrap_or(&entry.name), Style::Names, cell)
}

/// A text as it fits the cell: smaller down to the limit, then cut.
pub(crate) fn fit_text(fonts: &mut Fonts, text: &str, style: Style, cell: NameCell) -> Rc<ShapedText> {
    match fit_whole(fonts, text, style, cell) {
        Some(fitted) => fitted,
        None => cut(fonts, text, style, cell),
    }
}

/// Given names as initials (UTS #35 part 8: each given name becomes its first grapheme), in the order in which
/// the name is shown. None if the parts of the name are not told.
pub(crate) fn with_initials(entry: &LaneEntry) -> Option<String> {
    let (given, family) = (entry.given.trim(), entry.family.trim());
    if given.is_empty() || family.is_empty() {
        return None;
    }
    let mut initials = String::new();
    for name in given.split_whitespace() {
        if !initials.is_empty() {
            initials.push(' ');
        }
        for (at, piece) in name.split('-').filter(|piece| !piece.is_empty()).enumerate() {
            if at > 0 {
                initials.push('-');
            }
            if let Some(first) = piece.graphemes(true).next() {
                initials.push_str(first);
                initials.push('.');
            }
        }
    }
    if initials.is_empty() {
        return None;
    }
    let family_first = entry.name.starts_with(family) && !entry.name.starts_with(given);
    Some(if family_first { format!("{family} {initials}") } else { format!("{initials} {family}") })
}

fn fit_whole(fonts: &mut Fonts, text: &str, style: Style, cell: NameCell) -> Option<Rc<ShapedText>> {
    let full = fonts.shaped(text, style, cell.cap_height);
    if full.width <= cell.width {
        return Some(full);
    }
    let scaled = cell.cap_height * cell.width / full.width;
    if scaled < cell.least_cap_height {
        return None;
    }
    // Sizes come in quarters of a pixel: the one below is tried, and the limit itself at last.
    [scaled - 0.25, cell.least_cap_height]
        .into_iter()
        .map(|cap_height| fonts.shaped(text, style, cap_height.max(cell.least_cap_height)))
        .find(|shaped| shaped.width <= cell.width)
}

fn cut(fonts: &mut Fonts, text: &str, style: Style, cell: NameCell) -> Rc<ShapedText> {
    let ends: Vec<usize> = text.grapheme_indices(true).map(|(at, _)| at).collect();
    let mut tried = String::new();
    let mut fitting = |count: usize| {
        tried.clear();
        tried.push_str(text[..ends.get(count).copied().unwrap_or(text.len())].trim_end());
        tried.push(words::ELLIPSIS);
        let shaped = fonts.shaped(&tried, style, cell.least_cap_height);
        (shaped.width <= cell.width).then_some(shaped)
    };
    let (mut low, mut high) = (0, ends.len());
    let mut best = fitting(0);
    while low + 1 < high {
        let middle = usize::midpoint(low, high);
        match fitting(middle) {
            Some(shaped) => {
                best = Some(shaped);
                low = middle;
            }
            None => high = middle,
        }
    }
    best.unwrap_or_else(|| fonts.shaped("", style, cell.least_cap_height))
}
