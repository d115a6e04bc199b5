//! A number with small words around it, as results are said: `87 of 90`, `cap + 3`, `7:08.4`. It is set from its right
//! end, so that results stand in columns; how large it is and what gives way is left to whoever sets it.

use crate::draw::Layer;
use crate::paint::{Align, At, Ink, Kind, Paint, key};

/// A number and the words around it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Worded<'a> {
    /// May be empty.
    pub(crate) before: &'a str,
    pub(crate) number: &'a str,
    /// May be empty.
    pub(crate) after: &'a str,
    /// Of the number.
    pub(crate) ink: Ink,
    /// Of the words.
    pub(crate) words: Ink,
    /// Between the number and a word, pixels.
    pub(crate) space: f32,
}

impl<'a> Worded<'a> {
    /// A text, split at its number.
    pub(crate) fn new(text: &'a str, ink: Ink, words: Ink, space: f32) -> Worded<'a> {
        let (before, number, after) = split(text);
        Worded { before, number, after, ink, words, space }
    }

    /// Width of the words, each with the space between it and the number.
    pub(crate) fn words_width(&self, paint: &mut Paint<'_>) -> f32 {
        let words = [self.before, self.after].into_iter().filter(|word| !word.is_empty());
        let Ink { style, cap_height, .. } = self.words;
        words.map(|word| paint.fonts.shaped(word, style, cap_height).width + self.space).sum()
    }

    /// Makes the figures of the number smaller where it would be wider than `room`, pixels.
    pub(crate) fn fit(&mut self, paint: &mut Paint<'_>, room: f32) {
        let wanted = paint.figures_width(self.number, self.ink);
        if wanted > room {
            self.ink.cap_height = (self.ink.cap_height * room.max(1.0) / wanted - 0.25).max(1.0);
        }
    }

    /// Sets it on a lane's row; the width that it takes, pixels.
    pub(crate) fn draw(&self, paint: &mut Paint<'_>, lane: u8, [right, baseline]: [f32; 2]) -> f32 {
        let at = |x| At { x, baseline, align: Align::Right };
        let word_key = |index| key(lane, Kind::CountWord, index);
        let mut x = right;
        if !self.after.is_empty() {
            x -= paint.text(word_key(0), Layer::Ground, self.after, self.words, at(x)) + self.space;
        }
        x -= paint.figures(lane, Kind::Count, Layer::Ground, self.number, self.ink, at(x));
        if !self.before.is_empty() {
            x -= self.space;
            x -= paint.text(word_key(1), Layer::Ground, self.before, self.words, at(x));
        }
        right - x
    }
}

/// The first word that begins with a figure, and what stands before and after it; the whole text if none does.
pub(crate) fn split(text: &str) -> (&str, &str, &str) {
    let text = text.trim();
    // Rounds and the rest: `5 + 12` is one figure.
    if text.starts_with(|c: char| c.is_ascii_digit())
        && text.split(" + ").all(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
    {
        return ("", text, "");
    }
    let mut at = 0;
    for word in text.split(' ') {
        let end = at + word.len();
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            return (text[..at].trim(), word, text[end..].trim());
        }
        at = end + 1;
    }
    ("", text, "")
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn a_result_is_split_at_its_first_number() {
        for (text, parts) in [
            ("7:08.4", ("", "7:08.4", "")),
            ("87 of 90", ("", "87", "of 90")),
            ("cap + 3", ("cap +", "3", "")),
            ("5 + 12", ("", "5 + 12", "")),
            ("162", ("", "162", "")),
            ("starts 0:30", ("starts", "0:30", "")),
            ("DNF", ("", "DNF", "")),
            ("", ("", "", "")),
            (" 5 ", ("", "5", "")),
        ] {
            assert_eq!(split(text), parts, "{text}");
        }
    }
}
