//! Faces, fallbacks, widths and the cache.

use super::*;

fn fonts() -> Fonts {
    Fonts::new(&fivemark_themes::find("dark").unwrap())
}

/// Families of the faces that set a text, in order, each once.
fn families(fonts: &mut Fonts, text: &str, style: Style) -> Vec<String> {
    let shaped = fonts.shaped(text, style, 30.0);
    let mut families = Vec::new();
    for run in shaped.buffer.layout_runs() {
        for glyph in run.glyphs {
            let face = fonts.system.db().face(glyph.font_id).unwrap();
            let family = format!("{} {}", face.families[0].0, face.weight.0);
            if families.last() != Some(&family) {
                families.push(family);
            }
        }
    }
    families
}

#[test]
fn only_the_theme_s_fonts_are_there() {
    let theme = fivemark_themes::find("dark").unwrap();
    // Fallbacks are there at both weights that the theme names.
    let (fallbacks, own): (Vec<_>, Vec<_>) = theme.fonts.iter().partition(|font| font.fallback);
    assert_eq!(fonts().system.db().faces().count(), own.len() + 2 * fallbacks.len());
}

#[test]
fn each_style_is_set_in_the_face_that_the_theme_names() {
    let mut fonts = fonts();
    for (style, family) in [
        (Style::Clock, "Barlow 700"),
        (Style::Figures, "Barlow Condensed 700"),
        (Style::Names, "Barlow Condensed 600"),
        (Style::Labels, "Barlow 600"),
    ] {
        for text in ["0123456789", "Ngọc Ánh Đặng", "cap 10:00 · left…"] {
            assert_eq!(families(&mut fonts, text, style), [family], "{text}");
        }
    }
}

#[test]
fn other_scripts_are_written_by_the_font_nearest_in_width() {
    let mut fonts = fonts();
    for text in ["Παπαδημητρίου", "Щербакова"] {
        assert_eq!(families(&mut fonts, text, Style::Names), ["Fira Sans Condensed 600"]);
        assert_eq!(families(&mut fonts, text, Style::Labels), ["Noto Sans 600"]);
        assert!(!fonts.shaped(text, Style::Names, 30.0).missing);
    }
}

/// A feature of that name does not make figures equal in every font: they are measured.
#[test]
fn figures_of_clock_and_counts_have_one_width() {
    let mut fonts = fonts();
    for style in [Style::Clock, Style::Figures] {
        let mut widths = Vec::new();
        for digit in ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"] {
            widths.push(fonts.shaped(digit, style, 100.0).width);
        }
        let (least, most) = widths.iter().fold((f32::MAX, 0f32), |(a, b), w| (a.min(*w), b.max(*w)));
        assert!(most - least < 0.01, "{style:?}: {widths:?}");
        let ten = fonts.shaped("0123456789", style, 100.0).width;
        assert!((ten - 10.0 * most).abs() < 0.1, "and none is moved toward another: {ten}");
    }
}

/// In the published condensed face this letter stands before a hole; the bundled one is mended.
#[test]
fn no_letter_leaves_a_hole() {
    let mut fonts = fonts();
    for style in STYLES {
        let (plain, stroked) = (fonts.shaped("O", style, 60.0).width, fonts.shaped("Ø", style, 60.0).width);
        assert!(stroked < plain * 1.1, "{style:?}: {stroked} after {plain}");
    }
}

#[test]
fn capitals_are_as_high_as_asked() {
    let mut fonts = fonts();
    for style in STYLES {
        let shaped = fonts.shaped("H", style, 60.0);
        let glyph = shaped.buffer.layout_runs().next().unwrap().glyphs[0].clone();
        let font = fonts.system.get_font(glyph.font_id, glyph.font_weight).unwrap();
        let metrics = font.metrics();
        let cap = metrics.cap_height.unwrap() / f32::from(metrics.units_per_em) * glyph.font_size;
        assert!((cap - 60.0).abs() < 0.2, "{style:?}: {cap}");
    }
}

#[test]
fn a_glyph_that_is_missing_is_noticed() {
    let mut fonts = fonts();
    for (text, missing) in [
        ("Marit", false),
        ("ศรีสุข", true),
        ("\u{2068}Heat 7\u{2069} · x", false),
        ("tab\tand\nline", false),
        ("", false),
    ] {
        assert_eq!(fonts.shaped(text, Style::Names, 30.0).missing, missing, "{text:?}");
    }
}

#[test]
fn a_text_is_one_line_whatever_is_in_it() {
    let mut fonts = fonts();
    let shaped = fonts.shaped("one\ntwo\r\nthree\u{85}four", Style::Names, 30.0);
    assert_eq!(shaped.buffer.layout_runs().count(), 1);
}

#[test]
fn what_is_kept_is_not_shaped_again_and_the_cache_is_bounded() {
    let mut fonts = fonts();
    let first = fonts.shaped("118", Style::Figures, 57.4);
    let count = fonts.shaped_count();
    assert!(Rc::ptr_eq(&first, &fonts.shaped("118", Style::Figures, 57.4)));
    assert!(Rc::ptr_eq(&first, &fonts.shaped("118", Style::Figures, 57.45)), "sizes share quarters");
    assert_eq!(fonts.shaped_count(), count);
    for number in 0..2 * MAX_KEPT {
        fonts.shaped(&number.to_string(), Style::Labels, 10.0);
        assert!(fonts.kept_count <= MAX_KEPT);
    }
}

#[test]
fn hebrew_and_arabic_are_written_by_the_fallbacks_at_every_weight() {
    let mut fonts = fonts();
    for (text, family) in [("אלון", "Noto Sans Hebrew"), ("حداد", "Noto Sans Arabic")] {
        for (style, weight) in [(Style::Names, 600), (Style::Figures, 700), (Style::Labels, 600)] {
            assert_eq!(families(&mut fonts, text, style), [format!("{family} {weight}")], "{text}");
            assert!(!fonts.shaped(text, style, 30.0).missing);
        }
    }
}

/// Left ends of a text's glyphs with the bytes that they stand for, from left to right.
fn from_left(fonts: &mut Fonts, text: &str) -> (f32, Vec<(f32, usize)>) {
    let shaped = fonts.shaped(text, Style::Names, 30.0);
    let run = shaped.buffer.layout_runs().next().unwrap();
    let mut glyphs: Vec<_> = run.glyphs.iter().map(|glyph| (glyph.x, glyph.start)).collect();
    glyphs.sort_by(|a, b| a.0.total_cmp(&b.0));
    (shaped.width, glyphs)
}

/// Whatever its direction, a line begins at its left end: a name starts at its cell's edge.
#[test]
fn a_line_from_right_to_left_fills_its_own_width() {
    let mut fonts = fonts();
    for text in ["דנה אלון", "ليلى حداد", "\u{2068}דנה אלון\u{2069}", "דנה Alon"] {
        let (width, glyphs) = from_left(&mut fonts, text);
        assert!(glyphs[0].0.abs() < 0.5, "{text}: {glyphs:?}");
        assert!(glyphs.last().unwrap().0 <= width, "{text}");
    }
    let (_, glyphs) = from_left(&mut fonts, "דנה אלון");
    assert!(glyphs.is_sorted_by(|a, b| a.1 > b.1), "the last letter stands leftmost: {glyphs:?}");
}

/// Unicode UAX #9 (Bidirectional Algorithm): with a name isolated, what stands after it stays right of it. The visual
/// orders are those of bidi-js 1.1.0 and python-bidi 0.6.12 at base level 0, which agree.
#[test]
fn an_isolated_name_leaves_figures_where_they_are() {
    let mut fonts = fonts();
    for (text, seen) in [
        ("\u{2068}דוד לוי\u{2069} 12/50", "יול דוד 12/50"),
        ("\u{2068}דוד\u{2069} 12 50", "דוד 12 50"),
        ("Robin 12/50", "Robin 12/50"),
    ] {
        let (_, glyphs) = from_left(&mut fonts, text);
        let letters = glyphs.iter().filter_map(|(_, at)| text[*at..].chars().next());
        let found: String = letters.filter(|c| !invisible(&c.to_string()) || *c == ' ').collect();
        assert_eq!(found, seen);
    }
}

#[test]
fn a_font_that_becomes_a_fallback_is_loaded_anew() {
    let mut theme = fivemark_themes::find("dark").unwrap();
    let mut fonts = Fonts::new(&theme);
    assert!(!fonts.set_theme(&theme));
    let font = theme.fonts.iter_mut().find(|font| font.fallback).unwrap();
    font.fallback = false;
    assert!(fonts.set_theme(&theme));
    let once = theme.fonts.iter().filter(|font| !font.fallback).count();
    assert_eq!(fonts.system.db().faces().count(), once + 2 * (theme.fonts.len() - once));
}
