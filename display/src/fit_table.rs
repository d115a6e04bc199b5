//! From how far away a board's texts can be read, as a table for whoever rents a wall; and lengths as people write
//! them.

use std::fmt::Write;

use fivemark_scene::legibility::{FitRow, GOOD_ARC_MIN, LEAST_ARC_MIN, Reads, TextRole, needed_height};
use thiserror::Error;

/// A length that can't be used.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[allow(missing_docs)]
pub enum LengthError {
    /// No number with a unit.
    #[error("`{text}` is no length; write it with its unit, like 3.0m, 320cm or 3200mm")]
    NotALength { text: String },
    /// Out of what walls and halls have.
    #[error("`{text}` is no height or distance of a hall; it has to be from 1 cm to 1000 m")]
    OutOfReach { text: String },
}

/// Reads a length such as `3.0m`, `320 cm` or `3200mm`; millimetres.
///
/// # Errors
/// It has no unit, is no number, or is under 1 cm or over 1 km.
pub fn read_length_mm(text: &str) -> Result<f64, LengthError> {
    let wrong = || LengthError::NotALength { text: text.to_owned() };
    let lower = text.trim().to_ascii_lowercase();
    let units = [("mm", 1.0), ("cm", 10.0), ("m", 1000.0)];
    let (number, unit_mm) = units
        .into_iter()
        .find_map(|(unit, mm)| lower.strip_suffix(unit).map(|number| (number.trim_end(), mm)))
        .ok_or_else(wrong)?;
    let plain = number.chars().all(|c| c.is_ascii_digit() || c == '.');
    let length_mm = number.parse::<f64>().ok().filter(|_| plain).ok_or_else(wrong)? * unit_mm;
    if (10.0..=1_000_000.0).contains(&length_mm) {
        return Ok(length_mm);
    }
    Err(LengthError::OutOfReach { text: text.to_owned() })
}

/// The table of a board of this size and this many lanes, on a screen this high, for a farthest seat, in millimetres.
pub fn fit_table(
    [width, height]: [u32; 2],
    lanes: u8,
    rows: &[FitRow],
    (height_mm, seat_mm): (f64, f64),
) -> String {
    let mut table = String::new();
    let (height_m, seat_m) = (height_mm / 1000.0, seat_mm / 1000.0);
    let needed_mm = needed_height(seat_mm, LEAST_ARC_MIN);
    // Writing into a string cannot fail.
    let _ = writeln!(
        table,
        "{width}x{height} on a screen {height_m:.2} m high, {} on the board, farthest seat {seat_m:.1} m away.\n\
         From there capitals can be read from {needed_mm:.0} mm on ({LEAST_ARC_MIN} minutes of arc), which are \
         {:.1} % of the screen's height.\n",
        if lanes == 1 { "1 lane".to_owned() } else { format!("{lanes} lanes") },
        needed_mm / height_mm * 100.0,
    );
    let seat = format!("from {seat_m:.1} m");
    let _ = writeln!(
        table,
        "{:<24}{:>7}{:>7}{:>8}{:>14}{:>15}  {seat}",
        "text", "pixels", "%", "mm", "can be read", "reads well"
    );
    for row in rows {
        let verdict = match row.at_seat {
            Reads::Well => "reads well",
            Reads::Yes => "can be read",
            Reads::No => "too small",
        };
        let _ = writeln!(
            table,
            "{:<24}{:>7.1}{:>7.2}{:>8.1}{:>14}{:>15}  {verdict}",
            name(row.role),
            row.cap_px,
            row.percent,
            row.cap_mm,
            up_to(row.reads_mm),
            up_to(row.reads_well_mm),
        );
    }
    let _ = writeln!(
        table,
        "\nHeights are those of capitals and figures. Reads well: {GOOD_ARC_MIN} minutes of arc and more."
    );
    table
}

/// Cut to what is shown, so that nothing reads as more than it is.
fn up_to(distance_mm: f64) -> String {
    format!("up to {:.1} m", (distance_mm / 100.0).floor() / 10.0)
}

fn name(role: TextRole) -> &'static str {
    match role {
        TextRole::Clock => "clock",
        TextRole::Count => "count and result",
        TextRole::Place => "place",
        TextRole::Name => "name",
        TextRole::LongName => "name, long ones",
        TextRole::LaneNumber => "lane",
        TextRole::Tag => "gap, to go, no-rep",
        TextRole::Title => "workout and time left",
        TextRole::HeaderLine => "heat and cap",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fivemark_scene::legibility;

    #[test]
    fn lengths_are_read_with_their_unit() {
        for (text, mm) in [("3.0m", 3000.0), ("320 cm", 3200.0), ("3200MM", 3200.0), (" 40 m ", 40_000.0)] {
            assert_eq!(read_length_mm(text), Ok(mm), "{text}");
        }
        for text in ["", "3", "m", "three m", "-3m", "1e3m", "nanm", "infm", "3.0.0m", "3ft"] {
            let wanted = LengthError::NotALength { text: text.to_owned() };
            assert_eq!(read_length_mm(text), Err(wanted), "{text}");
        }
        for text in ["0m", "9mm", "1001m"] {
            let wanted = LengthError::OutOfReach { text: text.to_owned() };
            assert_eq!(read_length_mm(text), Err(wanted), "{text}");
        }
    }

    #[test]
    fn every_text_has_a_line_and_columns_stand_under_each_other() {
        let theme = fivemark_themes::find("dark").expect("a bundled theme has no faults");
        let rows = legibility::fit_table([3840, 1080], 10, &theme, 3000.0, 40_000.0);
        let table = fit_table([3840, 1080], 10, &rows, (3000.0, 40_000.0));
        let lines: Vec<&str> = table.lines().collect();
        assert_eq!(lines[1].split(" mm ").next(), Some("From there capitals can be read from 186"));
        assert_eq!(lines.len(), 4 + rows.len() + 2);
        let verdicts = lines[3].find("from 40.0 m").expect("a heading");
        for line in &lines[4..4 + rows.len()] {
            assert!(["reads well", "can be read", "too small"].contains(&&line[verdicts..]), "{line}");
            assert_eq!(line.matches(" m").count() - line.matches(" mm").count(), 2, "{line}");
        }
    }
}
