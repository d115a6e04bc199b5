//! Frames a second as an exact fraction. Television's rates are whole numbers slowed down by 1000/1001: a pace of 60 is a
//! frame off after seventeen seconds, and one of 59.94 as it stands within hours, which a mixer shows as a hitch.

use std::cmp::Ordering;
use std::fmt;

/// Least and most frames a second: a slower picture is a series of stills, and no screen or mixer is faster.
const RANGE: [u32; 2] = [1, 240];
/// Largest number above or below the line, and its digits: 240000/1001 has six, and products with times stay far
/// within 128 bits.
const MAX_PART: u32 = 1_000_000;
/// Most digits after the point: more than any rate is written with.
const MAX_DECIMALS: usize = 6;
/// Whole rates that also exist slowed down by 1000/1001, as the standards of television list them (SMPTE ST 274 and
/// ST 2036-1, from memory), and the doubles of the fastest.
const SLOWED: [u32; 6] = [24, 30, 48, 60, 120, 240];

/// A number of frames in a number of seconds, in lowest terms; from 1 to 240 a second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fps {
    frames: u32,
    seconds: u32,
}

impl Fps {
    /// If none are told.
    pub const USUAL: Self = Self { frames: 60, seconds: 1 };

    /// So many frames in so many seconds; none if that is under 1 or over 240 a second.
    #[must_use]
    pub fn new(frames: u32, seconds: u32) -> Option<Self> {
        let within = (1..=MAX_PART).contains(&frames) && (1..=MAX_PART).contains(&seconds);
        let [frames_wide, seconds_wide] = [frames, seconds].map(u64::from);
        let [least, most] = RANGE.map(|rate| u64::from(rate) * seconds_wide);
        if !within || !(least..=most).contains(&frames_wide) {
            return None;
        }
        let shared = common_divisor(frames, seconds);
        Some(Self { frames: frames / shared, seconds: seconds / shared })
    }

    /// Reads `50`, `12.5`, `60000/1001`; a number with a point that one of television's slowed rates rounds to, such as
    /// `59.94` or `23.976`, is that rate.
    ///
    /// # Errors
    /// It is no number of this kind, or under 1 or over 240, in words.
    pub fn read(text: &str) -> Result<Self, String> {
        let read = match text.split_once('/') {
            Some((frames, seconds)) => whole(frames).zip(whole(seconds)).and_then(|(f, s)| Self::new(f, s)),
            None => Self::read_decimal(text),
        };
        let [least, most] = RANGE;
        read.ok_or_else(|| {
            format!(
                "`{text}` is no frame rate; give frames a second from {least} to {most}, like 50, 59.94 or 60000/1001"
            )
        })
    }

    fn read_decimal(text: &str) -> Option<Self> {
        let Some((units, decimals)) = text.split_once('.') else { return Self::new(whole(text)?, 1) };
        if !(1..=MAX_DECIMALS).contains(&decimals.len()) {
            return None;
        }
        let scale = 10u64.pow(u32::try_from(decimals.len()).ok()?);
        let value = u64::from(whole(units)?) * scale + u64::from(whole(decimals)?);
        // A slowed rate to so many places, if it differs from the whole one there.
        let rounded = |rate: u32| (u64::from(rate) * 1_000 * scale + 500) / 1_001;
        let slowed =
            SLOWED.iter().find(|rate| rounded(**rate) == value && value != u64::from(**rate) * scale);
        if let Some(rate) = slowed {
            return Self::new(rate * 1_000, 1_001);
        }
        let shared = common_divisor(value, scale);
        Self::new(u32::try_from(value / shared).ok()?, u32::try_from(scale / shared).ok()?)
    }

    /// When frame `number` is due after frame 0, microseconds, rounded down.
    #[must_use]
    pub fn due_us(self, number: i64) -> i64 {
        let exact = i128::from(number) * 1_000_000 * i128::from(self.seconds) / i128::from(self.frames);
        i64::try_from(exact).unwrap_or(i64::MAX)
    }

    /// Whole frames in a time, microseconds.
    #[must_use]
    pub fn frames_in(self, span_us: i64) -> i64 {
        let exact = i128::from(span_us) * i128::from(self.frames) / (1_000_000 * i128::from(self.seconds));
        i64::try_from(exact).unwrap_or(i64::MAX)
    }
}

/// Digits and nothing else, at most as many as [`MAX_PART`] has.
fn whole(text: &str) -> Option<u32> {
    let plain = (1..=7).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| plain)
}

fn common_divisor<N: Copy + PartialEq + From<u32> + std::ops::Rem<Output = N>>(a: N, b: N) -> N {
    if b == N::from(0) { a } else { common_divisor(b, a % b) }
}

impl Ord for Fps {
    fn cmp(&self, other: &Self) -> Ordering {
        let cross = |one: &Self, two: &Self| u64::from(one.frames) * u64::from(two.seconds);
        cross(self, other).cmp(&cross(other, self))
    }
}

impl PartialOrd for Fps {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Fps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.seconds {
            1 => write!(f, "{}", self.frames),
            seconds => write!(f, "{}/{seconds}", self.frames),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_are_read_as_what_they_mean() {
        for (text, frames, seconds) in [
            ("60", 60, 1),
            ("1", 1, 1),
            ("240", 240, 1),
            ("12.5", 25, 2),
            ("59.94", 60_000, 1_001),
            ("59.9401", 60_000, 1_001),
            ("29.97", 30_000, 1_001),
            ("23.976", 24_000, 1_001),
            ("23.98", 24_000, 1_001),
            ("119.88", 120_000, 1_001),
            ("60000/1001", 60_000, 1_001),
            ("120/2", 60, 1),
            // Near a slowed rate, and none.
            ("59.95", 1_199, 20),
            ("60.0", 60, 1),
            ("24.000", 24, 1),
        ] {
            assert_eq!(Fps::read(text).ok(), Fps::new(frames, seconds), "{text}");
            let fps = Fps::read(text).expect(text);
            assert_eq!((fps.frames, fps.seconds), (frames, seconds), "{text}");
            assert_eq!(Fps::read(&fps.to_string()), Ok(fps), "{text}");
        }
        for wrong in [
            "",
            "0",
            "0.9",
            "241",
            "240.1",
            "-1",
            "+5",
            "59,94",
            "1e2",
            "nan",
            ".5",
            "5.",
            "60/0",
            "60/",
            "/1",
            "60/1/1",
            "0/0",
            "9999999/99999",
            "10000000",
            "5.1234567",
            " 60",
        ] {
            let says = Fps::read(wrong).expect_err(wrong);
            assert!(says.starts_with(&format!("`{wrong}` is no frame rate")), "{says}");
        }
    }

    #[test]
    fn frame_n_is_due_at_its_exact_time() {
        let fps = Fps::read("59.94").expect("a rate");
        // 1001/60000 s each: sixty thousand frames take 1001 s, and an hour and a day no less exactly.
        assert_eq!([0, 1, 2, 3].map(|number| fps.due_us(number)), [0, 16_683, 33_366, 50_050]);
        assert_eq!(fps.due_us(60_000), 1_001_000_000);
        assert_eq!(fps.due_us(60_000 * 86), 86 * 1_001_000_000);
        assert_eq!(fps.frames_in(1_001_000_000), 60_000);
        assert_eq!(fps.frames_in(1_000_999_999), 59_999);
        assert_eq!(Fps::USUAL.due_us(i64::MAX), i64::MAX, "bounded");
    }

    #[test]
    fn the_fastest_of_some_rates_is_found() {
        let mut rates = ["60", "59.94", "23.976", "25", "24"].map(|text| Fps::read(text).expect(text));
        rates.sort_unstable();
        assert_eq!(rates.map(|rate| rate.to_string()), ["24000/1001", "24", "25", "60000/1001", "60"]);
    }
}
