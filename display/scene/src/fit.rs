//! Making a name fit its cell: smaller down to a limit, then given names as initials, then an ellipsis, always
//! at a grapheme boundary. A name that the theme's fonts cannot write gives way to the bib.

use std::rc::Rc;

use fivemark_wire::view::LaneEntry;
use unicode_segmentation::UnicodeSegmentation;

use crate::text::{Fonts, ShapedText, Style};
use crate::words::{self, Words};

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

/// Somebody's name, in one piece and in its parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Named<'a> {
    pub(crate) name: &'a str,
    pub(crate) given: &'a str,
    pub(crate) family: &'a str,
    pub(crate) bib: &'a str,
}

impl<'a> From<&'a LaneEntry> for Named<'a> {
    fn from(entry: &'a LaneEntry) -> Self {
        Named { name: &entry.name, given: &entry.given, family: &entry.family, bib: &entry.bib }
    }
}

/// A name as it fits the cell; never wider than the cell.
pub(crate) fn fit_name<'a>(
    fonts: &mut Fonts,
    words: &Words,
    named: impl Into<Named<'a>>,
    cell: NameCell,
) -> Rc<ShapedText> {
    let named = named.into();
    let full = fonts.shaped(named.name, Style::Names, cell.cap_height);
    if full.missing {
        return fit_text(fonts, &words.bib(named.bib), Style::Names, cell);
    }
    if let Some(fitted) = fit_whole(fonts, named.name, Style::Names, cell) {
        return fitted;
    }
    let short = with_initials(named);
    if let Some(fitted) = short.as_ref().and_then(|short| fit_whole(fonts, short, Style::Names, cell)) {
        return fitted;
    }
    cut(fonts, short.as_deref().unwrap_or(named.name), Style::Names, cell)
}

/// A text as it fits the cell: smaller down to the limit, then cut.
pub(crate) fn fit_text(fonts: &mut Fonts, text: &str, style: Style, cell: NameCell) -> Rc<ShapedText> {
    let full = fonts.shaped(text, style, cell.cap_height);
    if full.width <= cell.width {
        return full;
    }
    let room = [cell.width, cell.cap_height, cell.least_cap_height];
    fonts.fitted(text, style, room, |fonts| {
        fit_whole(fonts, text, style, cell).unwrap_or_else(|| cut(fonts, text, style, cell))
    })
}

/// A text in up to `most` lines, broken between words; the last line takes what is left, smaller or cut.
pub(crate) fn fit_lines(
    fonts: &mut Fonts,
    text: &str,
    style: Style,
    cell: NameCell,
    most: usize,
) -> Vec<Rc<ShapedText>> {
    let mut lines = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let breaks = rest.match_indices(' ').map(|(at, _)| at).chain([rest.len()]);
        let fits = |end: &usize| fonts.shaped(&rest[..*end], style, cell.cap_height).width <= cell.width;
        let end = if lines.len() + 1 < most { breaks.take_while(fits).last() } else { None };
        // A single word that is too wide has no better place than its own line.
        let end = end.unwrap_or_else(|| match rest.find(' ') {
            Some(first) if lines.len() + 1 < most => first,
            _ => rest.len(),
        });
        lines.push(fit_text(fonts, &rest[..end], style, cell));
        rest = rest[end..].trim_start();
    }
    lines
}

/// Given names as initials (UTS #35 part 8: each given name becomes its first grapheme), in the order in which
/// the name is shown. None if the parts of the name are not told.
pub(crate) fn with_initials<'a>(named: impl Into<Named<'a>>) -> Option<String> {
    let named = named.into();
    let (given, family) = (named.given.trim(), named.family.trim());
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
    let family_first = named.name.starts_with(family) && !named.name.starts_with(given);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::NAMES;

    fn fonts() -> Fonts {
        Fonts::new(&fivemark_themes::find("dark").unwrap())
    }

    fn entry(given: &str, family: &str) -> LaneEntry {
        LaneEntry {
            lane: 1,
            course: 0,
            division: 0,
            bib: "104".into(),
            name: format!("{given} {family}").trim().to_owned(),
            given: given.into(),
            family: family.into(),
            say: String::new(),
            club: String::new(),
            judge: String::new(),
            start_ms: 0,
            members: Vec::new(),
        }
    }

    /// Initials as in UTS #35 part 8: the first grapheme of each given name.
    #[test]
    fn given_names_become_initials() {
        for (given, family, name, short) in [
            ("Marit", "Sollund", "Marit Sollund", Some("M. Sollund")),
            ("Jean-Luc", "Fontaine", "Jean-Luc Fontaine", Some("J.-L. Fontaine")),
            ("Maria da Luz", "Reis", "Maria da Luz Reis", Some("M. d. L. Reis")),
            ("Haruka", "Sato", "Sato Haruka", Some("Sato H.")),
            ("E\u{0301}lodie", "Roux", "E\u{0301}lodie Roux", Some("E\u{0301}. Roux")),
            ("", "Roux", "Roux", None),
            ("Pair", "", "Pair", None),
            ("-", "Roux", "- Roux", None),
        ] {
            let entry = LaneEntry { name: name.into(), ..entry(given, family) };
            assert_eq!(with_initials(&entry).as_deref(), short, "{name}");
        }
    }

    #[test]
    fn every_name_stays_inside_its_cell_and_above_the_least_height() {
        let mut fonts = fonts();
        for (given, family) in NAMES {
            for width in [90.0, 140.0, 210.0, 333.0, 700.0] {
                let cell = NameCell { width, cap_height: 40.0, least_cap_height: 35.2 };
                let shaped = fit_name(&mut fonts, &Words::english(), &entry(given, family), cell);
                assert!(shaped.width <= width, "{family} at {width}: {}", shaped.width);
                assert!((35.2 - 0.13..=40.0).contains(&shaped.cap_height), "{family}: {}", shaped.cap_height);
            }
        }
    }

    #[test]
    fn a_name_gives_way_step_by_step() {
        let mut fonts = fonts();
        let entry = entry("Imogen", "Okonkwo-Lindqvist");
        let mut words = |width| {
            let cell = NameCell { width, cap_height: 40.0, least_cap_height: 35.0 };
            let shaped = fit_name(&mut fonts, &Words::english(), &entry, cell);
            (shaped.buffer.lines[0].text().to_owned(), shaped.cap_height)
        };
        let whole = words(900.0);
        assert_eq!(whole, ("Imogen Okonkwo-Lindqvist".to_owned(), 40.0));
        let full_width = {
            let mut fonts = self::fonts();
            fonts.shaped("Imogen Okonkwo-Lindqvist", Style::Names, 40.0).width
        };
        let (smaller, cap_height) = words(full_width * 0.95);
        assert_eq!(smaller, "Imogen Okonkwo-Lindqvist");
        assert!((35.0..40.0).contains(&cap_height));
        assert_eq!(words(full_width * 0.8).0, "I. Okonkwo-Lindqvist");
        let (cut, _) = words(full_width * 0.5);
        assert!(cut.starts_with("I. Okonk") && cut.ends_with('…'), "{cut}");
    }

    #[test]
    fn long_words_from_the_feed_are_broken_into_lines_and_none_is_lost() {
        let mut fonts = fonts();
        let text = "the feed refused this display: the access key is of an announcer, and a board needs that of a \
                    display; start it again with the display's access key";
        let cell = NameCell { width: 500.0, cap_height: 20.0, least_cap_height: 12.0 };
        let lines = fit_lines(&mut fonts, text, Style::Labels, cell, 9);
        assert!(lines.len() > 2 && lines.iter().all(|line| line.width <= 500.0 && line.cap_height > 19.8));
        let words: Vec<_> = lines.iter().map(|line| line.buffer.lines[0].text()).collect();
        assert_eq!(words.join(" "), text);
        assert_eq!(fit_lines(&mut fonts, text, Style::Labels, cell, 2).len(), 2, "the last one is cut");
        assert_eq!(fit_lines(&mut fonts, &"x".repeat(200), Style::Labels, cell, 4).len(), 1);
        assert!(fit_lines(&mut fonts, "  ", Style::Labels, cell, 4).is_empty());
    }

    #[test]
    fn a_cut_never_parts_a_letter_from_its_marks() {
        let mut fonts = fonts();
        let name = "Combi\u{0301}ning\u{0323}mark\u{0302}severywhere\u{0308}";
        for width in (60..400).step_by(3) {
            #[allow(clippy::cast_precision_loss)] // hundreds
            let cell = NameCell { width: width as f32, cap_height: 30.0, least_cap_height: 30.0 };
            let shaped = cut(&mut fonts, name, Style::Names, cell);
            let text = shaped.buffer.lines[0].text();
            let kept = text.strip_suffix('…').unwrap();
            assert!(name.starts_with(kept));
            let boundary =
                kept.len() == name.len() || name.grapheme_indices(true).any(|(at, _)| at == kept.len());
            assert!(boundary, "{kept:?}");
        }
    }

    #[test]
    fn a_name_that_no_font_can_write_gives_way_to_the_bib() {
        let mut fonts = fonts();
        let cell = NameCell { width: 400.0, cap_height: 40.0, least_cap_height: 35.0 };
        let shaped = fit_name(&mut fonts, &Words::english(), &entry("นภา", "ศรีสุข"), cell);
        assert_eq!(shaped.buffer.lines[0].text(), "No. 104");
        assert!(!shaped.missing);
    }
}
