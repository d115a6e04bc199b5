//! What the colours of a theme measure, as a table for whoever writes one, and the files that it is made of. A theme that is here has passed every
//! check; the table shows by how much.

use std::fmt::Write;

use fivemark_themes::check::{APART, likenesses_of, pairs_of};
use fivemark_themes::{Backdrop, Lies, LoadedTheme};

/// Every pair of colours with its contrast, the tightest first, then every two states that have one shape.
pub fn theme_table(theme: &LoadedTheme) -> String {
    let mut table = format!("theme {}: no faults\n\n", theme.name);
    files(&mut table, theme);
    let mut pairs =
        pairs_of(&theme.colors, Some(&theme.form)).into_iter().map(|pair| (pair, "")).collect::<Vec<_>>();
    let on_picture = theme.backdrop.iter().flat_map(|backdrop| backdrop.pairs(&theme.colors));
    pairs.extend(on_picture.map(|pair| (pair, ON_PICTURE)));
    pairs.sort_by(|(a, _), (b, _)| (a.found / a.needed).total_cmp(&(b.found / b.needed)));
    // Writing into a string cannot fail.
    let _ = writeln!(table, "contrast  needed  {:<16}on {:<32}where", "colour", "ground");
    for (pair, on) in &pairs {
        let through = pair.through.map_or(String::new(), |under| format!(" over {}", under.name()));
        let ground = format!("{}{through}{on}", pair.back.name());
        let (found, needed, front) = (cut(pair.found), pair.needed, pair.front.name());
        let _ = writeln!(table, "{found:>8.2}  {needed:>6.1}  {front:<16}on {ground:<32}{}", pair.use_);
    }
    let _ = writeln!(table, "\n   apart  needed  {:<16}and {:<31}where", "state", "state");
    let mut states = likenesses_of(&theme.colors);
    states.sort_by(|a, b| a.found.total_cmp(&b.found));
    for two in &states {
        let (found, one, other) = (cut(two.found), two.one.name(), two.other.name());
        let place = format!("{}; nearest to {}", two.use_, two.eyes.name());
        let _ = writeln!(table, "{found:>8.2}  {APART:>6.1}  {one:<16}and {other:<31}{place}");
    }
    table
}

/// Where a pair meets on the picture behind boards, at the colour of it that is nearest.
const ON_PICTURE: &str = " (picture)";

/// The theme's fonts and its pictures.
fn files(table: &mut String, theme: &LoadedTheme) {
    for font in &theme.fonts {
        let kind = if font.fallback { "fallback" } else { "font" };
        let _ = writeln!(table, "{kind:<9} {}", font.name);
    }
    if let Some(logo) = &theme.logo {
        let [width, height] = logo.picture.size();
        let _ = writeln!(table, "{:<9} {} ({width} x {height} pixels)", "logo", logo.name);
    }
    if let Some(Backdrop { name, picture, lies, opacity }) = &theme.backdrop {
        let [width, height] = picture.size();
        let lies = match lies {
            Lies::Cover => "covers all".to_owned(),
            Lies::Tile { height } => format!("copies of {height} thousandths"),
        };
        let _ = writeln!(
            table,
            "{:<9} {name} ({width} x {height} pixels, {lies}, opacity {opacity} thousandths)",
            "behind"
        );
    }
    table.push('\n');
}

/// Cut to what is shown, so that nothing reads as more than it is.
fn cut(found: f64) -> f64 {
    (found * 100.0).floor() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_has_a_line_for_every_pair_and_starts_with_the_tightest() {
        let theme = fivemark_themes::find("dark").expect("a bundled theme has no faults");
        let table = theme_table(&theme);
        let pairs = pairs_of(&theme.colors, Some(&theme.form));
        let files = theme.fonts.len() + 1;
        let lines: Vec<&str> = table.lines().collect();
        assert!(
            lines[2..1 + files].iter().any(|line| line.starts_with("fallback  noto-sans-hebrew/")),
            "{table}"
        );
        let lines: Vec<&str> = lines[..2].iter().chain(&lines[2 + files..]).copied().collect();
        let states = likenesses_of(&theme.colors).len();
        assert_eq!(lines.len(), 2 + 1 + pairs.len() + 2 + states);
        let share = |line: &str| {
            let mut numbers = line.split_whitespace().map(|word| word.parse::<f64>().expect("a number"));
            numbers.next().expect("the contrast") / numbers.next().expect("what is needed")
        };
        let (first, last) = (share(lines[3]), share(lines[2 + pairs.len()]));
        assert!((1.0..last).contains(&first), "{first} {last}");
        assert!(lines[3..3 + pairs.len()].iter().any(|line| line.contains("scrim over track")));
    }

    #[test]
    fn what_stands_on_a_picture_has_lines_of_its_own() {
        let mut theme = fivemark_themes::find("dark").expect("a bundled theme has no faults");
        let lines = theme_table(&theme).lines().count();
        let picture = fivemark_themes::Picture::new([2, 1], vec![40, 40, 40, 255, 9, 9, 9, 255]);
        let picture = std::sync::Arc::new(picture.expect("as many pixels as it says"));
        let (name, lies) = ("hall.png".to_owned(), Lies::Tile { height: 250 });
        theme.backdrop = Some(Backdrop { name, picture, lies, opacity: 1000 });
        let table = theme_table(&theme);
        let behind = "behind    hall.png (2 x 1 pixels, copies of 250 thousandths, opacity 1000 thousandths)";
        assert!(table.contains(behind), "{table}");
        // Two texts, two shapes, and a countdown's last figures.
        assert_eq!(table.lines().count(), lines + 1 + 5);
        // #B4BAC8 on #282828 (WCAG 2.2): 0.5399 / 0.0712.
        let on_picture = "    7.58     4.5  text_dim        on background (picture) ";
        assert!(table.contains(on_picture), "{table}");
    }

    #[test]
    fn figures_are_cut_and_never_rounded_up() {
        assert_eq!(cut(4.499_9), 4.49);
    }
}
