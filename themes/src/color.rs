//! Colours as theme files write them, and mixing.

/// A straight (not premultiplied) sRGB colour with alpha.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Color(pub [u8; 4]);

impl Color {
    /// Reads `#RRGGBB` or `#RRGGBBAA`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Color> {
        let digits = text.strip_prefix('#')?;
        if !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return None;
        }
        let value = u32::from_str_radix(digits, 16).ok()?;
        match digits.len() {
            6 => Some(Color((value << 8 | 0xFF).to_be_bytes())),
            8 => Some(Color(value.to_be_bytes())),
            _ => None,
        }
    }

    /// The way from `self` to `other`, `share` from 0 to 1, channel by channel as coded (not in linear light).
    #[must_use]
    pub fn mix(self, other: Color, share: f32) -> Color {
        let share = share.clamp(0.0, 1.0);
        let mut out = [0; 4];
        for (channel, (from, to)) in out.iter_mut().zip(self.0.into_iter().zip(other.0)) {
            let value = f32::from(from) + (f32::from(to) - f32::from(from)) * share;
            // Both ends are bytes, so the rounded value is one too.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            {
                *channel = value.round() as u8;
            }
        }
        Color(out)
    }

    /// This colour with its alpha scaled by `share`, 0 to 1.
    #[must_use]
    pub fn faded(self, share: f32) -> Color {
        let clear = Color([self.0[0], self.0[1], self.0[2], 0]);
        clear.mix(self, share)
    }

    /// What is seen where this colour lies over an opaque one (source-over, on coded values as a browser does).
    #[must_use]
    pub fn over(self, under: Color) -> Color {
        let opaque = Color([self.0[0], self.0[1], self.0[2], 255]);
        under.mix(opaque, f32::from(self.0[3]) / 255.0)
    }
}

impl std::fmt::Display for Color {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let [r, g, b, a] = self.0;
        if a == 255 {
            write!(f, "#{r:02X}{g:02X}{b:02X}")
        } else {
            write!(f, "#{r:02X}{g:02X}{b:02X}{a:02X}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_it_writes() {
        for text in ["#000000", "#FF8000", "#01020380"] {
            assert_eq!(Color::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(Color::parse("#ff8000"), Color::parse("#FF8000"));
    }

    #[test]
    fn refuses_what_is_no_color() {
        for text in ["", "#", "red", "#FFF", "#FFFFF", "#GG0000", "#+12345", "FFFFFF", "#FFFFFFFFF", "#é1234"]
        {
            assert_eq!(Color::parse(text), None, "{text}");
        }
    }

    #[test]
    fn mixing_ends_at_its_ends() {
        let (a, b) = (Color([10, 20, 30, 255]), Color([200, 100, 0, 255]));
        assert_eq!(a.mix(b, 0.0), a);
        assert_eq!(a.mix(b, 1.0), b);
        assert_eq!(a.mix(b, 0.5), Color([105, 60, 15, 255]));
        assert_eq!(b.faded(0.0).over(a), a);
        assert_eq!(b.faded(1.0).over(a), b);
    }
}
