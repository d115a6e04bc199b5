//! QR codes (ISO/IEC 18004) of addresses: as SVG for pages, and as blocks for terminals. The codes are a library's;
//! this draws them, with the quiet zone that readers need.

use std::fmt::Write as _;

use qrcodegen_no_heap::{QrCode, QrCodeEcc, Version};

/// Light modules around a code (ISO/IEC 18004 section 6.3.8).
const QUIET: i32 = 4;
/// Largest code, so that its modules can be told apart on a phone's screen: an address of some 200 bytes.
const LARGEST: Version = Version::new(10);

/// A code as SVG, black on white whatever the page's colours are; none if the text is too long.
#[must_use]
pub fn svg(text: &str) -> Option<String> {
    with_code(text, |code| {
        let side = code.size() + 2 * QUIET;
        let mut path = String::new();
        for (x, y) in modules(code.size()).filter(|(x, y)| code.get_module(*x, *y)) {
            // Writing into a string does not fail.
            let _ = write!(path, "M{} {}h1v1h-1z", x + QUIET, y + QUIET);
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" shape-rendering=\"crispEdges\">\
             <path fill=\"#fff\" d=\"M0 0h{side}v{side}H0z\"/><path d=\"{path}\"/></svg>\n"
        )
    })
}

/// A code as lines of half blocks, black on white whatever the terminal's colours are; none if the text is too long.
#[must_use]
pub fn blocks(text: &str) -> Option<String> {
    with_code(text, |code| {
        let dark = |x, y| code.get_module(x, y);
        let (from, to) = (-QUIET, code.size() + QUIET);
        let mut lines = String::new();
        for y in (from..to).step_by(2) {
            lines.push_str("\x1b[38;5;16;48;5;231m");
            for x in from..to {
                lines.push(match (dark(x, y), dark(x, y + 1)) {
                    (true, true) => '█',
                    (true, false) => '▀',
                    (false, true) => '▄',
                    (false, false) => ' ',
                });
            }
            lines.push_str("\x1b[0m\n");
        }
        lines
    })
}

fn modules(side: i32) -> impl Iterator<Item = (i32, i32)> {
    (0..side).flat_map(move |y| (0..side).map(move |x| (x, y)))
}

fn with_code<T>(text: &str, draw: impl FnOnce(&QrCode<'_>) -> T) -> Option<T> {
    let mut room = [vec![0; LARGEST.buffer_len()], vec![0; LARGEST.buffer_len()]];
    let [scratch, code] = &mut room;
    let code = QrCode::encode_text(text, scratch, code, QrCodeEcc::Medium, Version::MIN, LARGEST, None, true)
        .ok()?;
    Some(draw(&code))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_its_finders_and_its_quiet_zone() {
        let blocks = blocks("http://192.0.2.7:7333/trust").unwrap();
        let lines: Vec<Vec<char>> = blocks
            .lines()
            .map(|line| {
                line.trim_start_matches("\x1b[38;5;16;48;5;231m")
                    .trim_end_matches("\x1b[0m")
                    .chars()
                    .collect()
            })
            .collect();
        let side = lines[0].len();
        assert_eq!(lines.len(), side.div_ceil(2));
        assert!(lines[..2].iter().flatten().all(|module| *module == ' '));
        // A finder: seven dark modules, then dark and light ones on the line below.
        let start: String = lines[2][4..12].iter().collect();
        assert_eq!(start, "█▀▀▀▀▀█ ");
    }

    #[test]
    fn a_code_is_drawn_as_svg_and_what_is_too_long_is_none() {
        let svg = svg("https://feed.local:7333/").unwrap();
        assert!(svg.starts_with("<svg xmlns") && svg.contains("viewBox=\"0 0 33 33\""), "{svg}");
        assert!(super::svg(&"x".repeat(300)).is_none());
        assert!(super::blocks(&"x".repeat(100_000)).is_none());
    }
}
