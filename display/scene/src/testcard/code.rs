//! The time code of a test card: a QR code that says when it is first meant to be seen, so that a camera with the feed's
//! time tells how late it is. Draws it; what a camera makes of it is left to the feed's page.
//!
//! It reads `FM:TIME:AHEAD:NAME`: the feed time from which on it is shown, milliseconds; how far ahead of the feed this
//! picture is drawn, milliseconds; and the picture's name, capitals and figures alone. These characters take the least
//! room in a code, so that its modules are large.

use std::fmt::Write as _;

use fivemark_themes::Color;
use qrcodegen_no_heap::{QrCode, QrCodeEcc, Version};

use crate::draw::{Layer, Rect};
use crate::paint::{Kind, Paint, key};

/// For how long a code stands, milliseconds of real time. More than 200, so that a second has at most six changes, three
/// flashes. And no simple multiple of the time between two frames of any screen or camera: 25, 30, 50 or 60 in a second
/// meet successive codes at ever other moments, and so tell their delay finer than one frame.
pub(super) const STANDS_MS: i64 = 207;

/// Of 25 modules a side; holds 38 characters with a quarter of them spoilt.
const VERSION: Version = Version::new(2);
const MODULES: u8 = 4 * VERSION.value() + 17;
/// White around a code, modules (ISO/IEC 18004).
const QUIET: u8 = 4;
/// A code with its quiet zone, modules a side.
pub(super) const SIDE: u8 = MODULES + 2 * QUIET;

/// So that everything fits: feed times of more than thirty years, and a display that is ahead by seconds, don't occur.
const TIME_END_MS: i64 = 1_000_000_000_000;
const MOST_AHEAD_MS: i64 = 9_999;
const NAME_CHARACTERS: usize = 16;

const BLACK: Color = Color([0, 0, 0, 255]);
const WHITE: Color = Color([255; 4]);

/// The code that stands now.
#[derive(Debug, Default)]
pub(super) struct TimeCode {
    /// Its number since feed time 0; none before the first.
    number: Option<i64>,
    text: String,
    /// Its rows from above; the lowest bit is the module at the left.
    rows: [u32; MODULES as usize],
}

impl TimeCode {
    /// Makes the code for this moment of feed time, if it does not stand already. Feed time passes at `speed_milli`.
    pub(super) fn set(&mut self, feed_us: i64, speed_milli: i64, ahead_us: i64, name: &str) {
        let number = feed_us.div_euclid(step_us(speed_milli));
        if self.number == Some(number) {
            return;
        }
        self.number = Some(number);
        let time_ms = number.saturating_mul(step_us(speed_milli)) / 1_000;
        let (time_ms, ahead_ms) = (time_ms.rem_euclid(TIME_END_MS), ahead_us / 1_000);
        self.text.clear();
        // Writing into a string does not fail.
        let _ = write!(self.text, "FM:{time_ms}:{}:", ahead_ms.clamp(0, MOST_AHEAD_MS));
        self.text.extend(name.chars().take(NAME_CHARACTERS).map(plain));
        self.rows = rows(&self.text);
    }

    /// What the next frame says is made anew.
    pub(super) fn forget(&mut self) {
        self.number = None;
    }

    /// Paints it into a square, in whole pixels a module; nothing where a module would have less than one.
    pub(super) fn draw(&self, paint: &mut Paint<'_>, area: Rect) {
        let module = (area.w.min(area.h) / f32::from(SIDE)).floor();
        if module < 1.0 {
            return;
        }
        let side = module * f32::from(SIDE);
        let (x, y) = (area.x + ((area.w - side) / 2.0).round(), area.y + ((area.h - side) / 2.0).round());
        paint.rect(key(0, Kind::CodePlate, 0), Layer::Ground, Rect { x, y, w: side, h: side }, 0.0, WHITE);
        for (row, modules) in (0..MODULES).zip(self.rows) {
            let mut column = 0;
            while column < MODULES {
                let dark = length(modules >> column);
                if dark > 0 {
                    let at = |place: u8| module * f32::from(place + QUIET);
                    let rect =
                        Rect { x: x + at(column), y: y + at(row), w: module * f32::from(dark), h: module };
                    let index = usize::from(row) * usize::from(MODULES) + usize::from(column);
                    paint.rect(key(0, Kind::CodeModule, index), Layer::Ground, rect, 0.0, BLACK);
                }
                column += dark + 1;
            }
        }
    }
}

/// How much feed time passes while a code stands, microseconds.
pub(super) fn step_us(speed_milli: i64) -> i64 {
    STANDS_MS * speed_milli.max(1)
}

/// How many dark modules stand from the left end on.
fn length(modules: u32) -> u8 {
    u8::try_from(modules.trailing_ones()).unwrap_or(MODULES)
}

/// A character of a name as codes have it.
fn plain(character: char) -> char {
    let capital = character.to_ascii_uppercase();
    if capital.is_ascii_uppercase() || capital.is_ascii_digit() { capital } else { '-' }
}

/// The modules of a text that fits. The library works in the buffers that it is given, so that nothing is allocated.
fn rows(text: &str) -> [u32; MODULES as usize] {
    let (mut work, mut made) = ([0; VERSION.buffer_len()], [0; VERSION.buffer_len()]);
    let mut rows = [0; MODULES as usize];
    let code =
        QrCode::encode_text(text, &mut work, &mut made, QrCodeEcc::Medium, VERSION, VERSION, None, true);
    let Ok(code) = code else { return rows };
    for (y, row) in (0..).zip(&mut rows) {
        *row = (0..i32::from(MODULES)).map(|x| u32::from(code.get_module(x, y)) << x).sum();
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(feed_us: i64, speed_milli: i64, ahead_us: i64, name: &str) -> String {
        let mut code = TimeCode::default();
        code.set(feed_us, speed_milli, ahead_us, name);
        assert_eq!(code.rows[0] & 0x7F, 0x7F, "`{}` fits, and begins with a finder pattern", code.text);
        code.text
    }

    #[test]
    fn a_code_says_from_when_on_it_stands() {
        assert_eq!(text(0, 1_000, 0, ""), "FM:0:0:");
        assert_eq!(text(206_999, 1_000, 0, ""), "FM:0:0:");
        assert_eq!(text(207_000, 1_000, 120_000, "south wall"), "FM:207:120:SOUTH-WALL");
        assert_eq!(text(413_999, 1_000, 120_999, "Südwand 2"), "FM:207:120:S-DWAND-2");
        // Twenty times as fast, a code stands for twenty times as much feed time.
        assert_eq!(text(8_279_999, 20_000, 0, ""), "FM:4140:0:");
    }

    #[test]
    fn anything_fits() {
        let long = text(i64::MAX, 1, i64::MAX, &"wide ".repeat(100));
        assert_eq!(long.split(':').nth(2), Some("9999"));
        assert_eq!(long.split(':').nth(3), Some("WIDE-WIDE-WIDE-W"));
        text(i64::MIN, i64::from(u32::MAX), i64::MIN, "\u{202e}\0:");
        text(999_999_999_999_000, 1_000, 0, "0123456789ABCDEF");
    }
}
