//! What stands behind options: sizes, lengths of time, readings of a clock, languages, parts of the overlay, each with the
//! bounds that it has and a sentence for what is not one.

use fivemark_scene::{UnknownLanguage, Words};
use fivemark_wire::shows::{Duel, OverlayShows};

/// Furthest ahead, milliseconds: walls with their scalers and processors are a few tenths of a second late; a clock
/// that is further ahead would show times that a hold then takes back.
pub(crate) const MAX_AHEAD_MS: i64 = 1_000;
/// Longest delay, milliseconds: more than any chain of cameras, mixers and encoders before the board is mixed in.
pub(crate) const MAX_DELAY_MS: i64 = 60_000;

/// Longest latency of a sound output, milliseconds: wireless ones are some tenths of a second late. The countdown's
/// first beep is known well before.
pub(super) const MAX_SOUND_LATENCY_MS: i64 = 2_000;

/// Largest side of a target, in pixels: the largest single output that walls are driven with.
pub(crate) const MAX_SIDE_PX: u32 = 16_384;
/// Smallest side, in pixels: less can't carry a figure.
const MIN_SIDE_PX: u32 = 16;

/// A reading of the heat's clock, `5:00` or `12:34.5`, in milliseconds.
pub(super) fn parse_clock_ms(text: &str) -> Result<i64, String> {
    let wrong = || format!("`{text}` is no reading of a clock; write it like 5:00 or 12:34.5");
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let (minutes, rest) = text.split_once(':').ok_or_else(wrong)?;
    let (seconds, fraction) = rest.split_once('.').unwrap_or((rest, "0"));
    if !digits(minutes, 4) || !digits(seconds, 2) || !digits(fraction, 3) {
        return Err(wrong());
    }
    let number = |part: &str| part.parse::<i64>().map_err(|_| wrong());
    let (minutes, seconds, fraction) =
        (number(minutes)?, number(seconds)?, number(&format!("{fraction:0<3}"))?);
    if seconds > 59 { Err(wrong()) } else { Ok((minutes * 60 + seconds) * 1_000 + fraction) }
}

/// A factor such as `4` or `0.5`, in thousandths.
pub(super) fn parse_speed_milli(text: &str) -> Result<u32, String> {
    let wrong = || format!("`{text}` is no speed; give a factor from 0.1 to 100, like 4 or 0.5");
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| (1..=3).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(fraction) {
        return Err(wrong());
    }
    let milli: u32 = format!("{whole}{fraction:0<3}").parse().map_err(|_| wrong())?;
    if (100..=100_000).contains(&milli) { Ok(milli) } else { Err(wrong()) }
}

pub(crate) fn parse_size(text: &str) -> Result<[u32; 2], String> {
    let wrong = || format!("`{text}` is not a size; write it like 1920x1080");
    let (width, height) = text.split_once(['x', 'X']).ok_or_else(wrong)?;
    let size: [u32; 2] = [width.parse().map_err(|_| wrong())?, height.parse().map_err(|_| wrong())?];
    if size.iter().all(|side| (MIN_SIDE_PX..=MAX_SIDE_PX).contains(side)) {
        return Ok(size);
    }
    Err(format!("each side has to be from {MIN_SIDE_PX} to {MAX_SIDE_PX} pixels"))
}

pub(crate) fn parse_language(text: &str) -> Result<&'static str, UnknownLanguage> {
    Ok(Words::of(text)?.code())
}

pub(super) fn parse_parts(text: &str) -> Result<OverlayShows, String> {
    let mut parts = OverlayShows::default();
    for word in text.split(',').map(str::trim) {
        match word.split_once('=') {
            None if word == "ribbon" => parts.ribbon = true,
            None if word == "rail" => parts.rail = true,
            None if word == "corner" => parts.corner = true,
            None if word == "card" => parts.card = true,
            Some(("duel", lanes)) => parts.duel = Some(parse_duel(lanes)?),
            _ => {
                return Err(format!(
                    "`{word}` is no part of the overlay; write ribbon, rail, corner, card or duel=4:7"
                ));
            }
        }
    }
    Ok(parts)
}

fn parse_duel(lanes: &str) -> Result<Duel, String> {
    let duel =
        |(left, right): (&str, &str)| Some(Duel { left: left.parse().ok()?, right: right.parse().ok()? });
    let two = lanes.split_once(':').and_then(duel);
    two.filter(|duel| duel.left != duel.right)
        .ok_or_else(|| format!("`{lanes}` are not two lanes; write them like 4:7"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_the_overlay_are_read() {
        let duel = Some(Duel { left: 4, right: 7 });
        let parts = OverlayShows { ribbon: true, corner: true, duel, ..OverlayShows::default() };
        assert_eq!(parse_parts("ribbon, corner,duel=4:7"), Ok(parts));
        for wrong in ["", "ribon", "duel", "duel=4", "duel=4:4", "duel=4:300", "ribbon;rail"] {
            assert!(parse_parts(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn sizes_are_read_and_bounded() {
        assert_eq!(parse_size("1920x1080"), Ok([1920, 1080]));
        assert_eq!(parse_size("640X160"), Ok([640, 160]));
        for wrong in ["", "1920", "x", "1920x", "-1x5", "1920x1080x2", "15x100", "100x16385", "99999999999x1"]
        {
            assert!(parse_size(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn clocks_and_speeds_are_read_and_bounded() {
        assert_eq!(parse_clock_ms("5:00"), Ok(300_000));
        assert_eq!(parse_clock_ms("12:34.5"), Ok(754_500));
        assert_eq!(parse_clock_ms("0:07.25"), Ok(7_250));
        for wrong in ["", "5", "5:", ":30", "5:60", "5:1.2345", "-1:00", "5:00:00", "99999:00"] {
            assert!(parse_clock_ms(wrong).is_err(), "{wrong}");
        }
        assert_eq!(parse_speed_milli("4"), Ok(4_000));
        assert_eq!(parse_speed_milli("0.5"), Ok(500));
        assert_eq!(parse_speed_milli("100"), Ok(100_000));
        for wrong in ["", "0", "0.05", "100.001", "-1", "1e3", "1.2345", "9999"] {
            assert!(parse_speed_milli(wrong).is_err(), "{wrong}");
        }
    }
}
