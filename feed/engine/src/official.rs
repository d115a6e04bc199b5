//! Official times and how results read: cut to the event's resolution by the event's rule, in whole
//! milliseconds throughout.

use crate::attempt::load_text;
use crate::course::Course;
use crate::own_time::OwnTime;
use crate::time::SpanMs;
use crate::work::Work;
use crate::workout::{AmrapShows, CappedAs, ClockRules, Resolution, Rounding, Scoring};

/// Milliseconds of one unit of a resolution.
#[must_use]
pub fn resolution_ms(resolution: Resolution) -> u32 {
    match resolution {
        Resolution::Second => 1_000,
        Resolution::Tenth => 100,
        Resolution::Hundredth => 10,
    }
}

/// A time cut to a resolution. A time on the resolution already stays as it is; less than 0 becomes 0.
///
/// Rounding up is the rule of track and field's technical rules, dropping the rest that of swimming
/// (SW 11.2).
#[must_use]
pub fn cut(time: SpanMs, resolution: Resolution, rounding: Rounding) -> SpanMs {
    let unit = i64::from(resolution_ms(resolution));
    let time = time.0.max(0);
    let rest = time % unit;
    let down = time - rest;
    match rounding {
        Rounding::Up if rest > 0 => SpanMs(down.saturating_add(unit)),
        _ => SpanMs(down),
    }
}

/// A cut time as shown: `7:08.4`, with hours from one hour on (`1:02:03.4`).
#[must_use]
pub fn time_text(time: SpanMs, resolution: Resolution) -> String {
    let ms = time.0.max(0);
    let (hours, minutes, seconds) = (ms / 3_600_000, ms / 60_000 % 60, ms / 1_000 % 60);
    let whole = if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    };
    match resolution {
        Resolution::Second => whole,
        Resolution::Tenth => format!("{whole}.{}", ms / 100 % 10),
        Resolution::Hundredth => format!("{whole}.{:02}", ms / 10 % 100),
    }
}

/// The result, as shown, of a lane that was stopped by time.
pub(crate) fn stopped_text(work: &Work, own: OwnTime, course: &Course, rules: &ClockRules) -> String {
    let missing = course.score_units.saturating_sub(work.score);
    match (course.scoring, rules.capped_as) {
        (Scoring::ForTime, CappedAs::WorkLeft) => format!("cap + {missing}"),
        (Scoring::ForTime, CappedAs::CapPlusPenalty) => {
            time_text(own.capped(missing, work.penalty(), rules), rules.resolution)
        }
        _ => count_text(work, course, rules),
    }
}

/// What a lane has done: `87 of 90`, or in an AMRAP `5 + 12` or `162`. Work that ends within the buy-in has no
/// rounds: `buy-in + 12`. Where attempts are judged the best of them, `142.5 kg` or `1:23.4`, or `no mark`.
pub(crate) fn count_text(work: &Work, course: &Course, rules: &ClockRules) -> String {
    let score = work.score;
    match course.scoring {
        Scoring::HeaviestLift { .. } | Scoring::LongestHold { .. } if score == 0 => "no mark".to_owned(),
        Scoring::HeaviestLift { unit, .. } => load_text(score, unit),
        Scoring::LongestHold { .. } => time_text(SpanMs(i64::from(score)), rules.resolution),
        Scoring::ForTime => format!("{score} of {}", course.score_units),
        Scoring::Amrap { shows: AmrapShows::Total } => score.to_string(),
        Scoring::Amrap { shows: AmrapShows::RoundsAndReps } => match rounds_and_reps(work, course) {
            Some((rounds, reps)) => format!("{rounds} + {reps}"),
            None => format!("buy-in + {score}"),
        },
    }
}

/// Whole rounds and score units beyond them; none in the buy-in. Penalties and units given back are spread over
/// rounds like work.
fn rounds_and_reps(work: &Work, course: &Course) -> Option<(u32, u32)> {
    if work.score != course.score_at(work.done) {
        return course.rounds_of_score(work.score);
    }
    let (round, reps) = course.round_of(course.place(work.done));
    round.checked_sub(1).map(|rounds| (rounds, reps))
}

/// A span in seconds as said in a sentence: `10 s`, `1.5 s`, without needless noughts.
pub(crate) fn seconds_text(span: SpanMs) -> String {
    let ms = span.0.unsigned_abs();
    let rest = format!("{:03}", ms % 1_000);
    match rest.trim_end_matches('0') {
        "" => format!("{} s", ms / 1_000),
        rest => format!("{}.{rest} s", ms / 1_000),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_cut_by_the_published_rules() {
        // Milliseconds in; to the next longer hundredth, tenth and second (track and field technical rules for
        // electronic times, hand times and road races), and the hundredth with the third decimal dropped
        // (swimming rule SW 11.2). The figures were computed from these rules in exact decimal arithmetic.
        // Figures finer than a millisecond are left out: the engine is given whole milliseconds.
        #[track_caller]
        fn check(ms: i64, up: [i64; 3], down: i64) {
            let of = |resolution, rounding| cut(SpanMs(ms), resolution, rounding).0;
            use Resolution::{Hundredth, Second, Tenth};
            assert_eq!([Hundredth, Tenth, Second].map(|resolution| of(resolution, Rounding::Up)), up);
            assert_eq!(of(Hundredth, Rounding::Down), down);
        }
        check(9_570, [9_570, 9_600, 10_000], 9_570);
        check(9_571, [9_580, 9_600, 10_000], 9_570); // 9.571 to 9.58: from memory of the rule's own example.
        check(9_579, [9_580, 9_600, 10_000], 9_570);
        check(9_580, [9_580, 9_600, 10_000], 9_580);
        check(10_000, [10_000, 10_000, 10_000], 10_000);
        check(28_320, [28_320, 28_400, 29_000], 28_320);
        check(59_999, [60_000, 60_000, 60_000], 59_990);
        check(60_000, [60_000, 60_000, 60_000], 60_000);
        check(1, [10, 100, 1_000], 0);
        check(431_200, [431_200, 431_200, 432_000], 431_200);
        check(3_599_995, [3_600_000, 3_600_000, 3_600_000], 3_599_990);
        // Not a time: nothing below zero, nothing past what fits.
        check(-5, [0, 0, 0], 0);
        assert_eq!(cut(SpanMs(i64::MAX), Resolution::Second, Rounding::Up), SpanMs(i64::MAX));
    }

    #[test]
    fn printed_examples_of_the_rules_come_out() {
        #[track_caller]
        fn check(ms: i64, resolution: Resolution, want: &str) {
            let time = cut(SpanMs(ms), resolution, Rounding::Up);
            assert_eq!(time_text(time, resolution), want);
        }
        // Long road races, to the next longer second: 2:09:44.3 is 2:09:45 (printed in the track and field rules).
        check(7_784_300, Resolution::Second, "2:09:45");
        // Hand times, to the next longer tenth: 12.32 is 12.4 (printed at masterstrack.com, "rankings_HvFAT").
        check(12_320, Resolution::Tenth, "0:12.4");
        // 10.11 is 10.2 (from memory of the rule's own example).
        check(10_110, Resolution::Tenth, "0:10.2");
    }

    #[test]
    fn hundredths_tie_where_the_third_decimal_is_dropped() {
        // Swimming rule SW 11.2: 51.233 and 51.237 are equal, 51.240 is not.
        let hundredths =
            [51_233, 51_237, 51_240].map(|ms| cut(SpanMs(ms), Resolution::Hundredth, Rounding::Down));
        assert_eq!(hundredths, [SpanMs(51_230), SpanMs(51_230), SpanMs(51_240)]);
        let keys = hundredths.map(Some);
        assert_eq!(crate::order::tests::competition_ranks(&keys), [1, 1, 3]);
    }

    #[test]
    fn times_read_as_on_a_board() {
        #[track_caller]
        fn check(ms: i64, resolution: Resolution, want: &str) {
            assert_eq!(time_text(SpanMs(ms), resolution), want);
        }
        check(428_400, Resolution::Tenth, "7:08.4");
        check(428_400, Resolution::Second, "7:08");
        check(428_450, Resolution::Hundredth, "7:08.45");
        check(45_200, Resolution::Tenth, "0:45.2");
        check(0, Resolution::Hundredth, "0:00.00");
        check(3_723_400, Resolution::Tenth, "1:02:03.4");
        check(36_000_000, Resolution::Second, "10:00:00");
    }

    #[test]
    fn seconds_read_without_needless_noughts() {
        let said = [10_000, 1_500, -250, 0, 1_230].map(|ms| seconds_text(SpanMs(ms)));
        assert_eq!(said, ["10 s", "1.5 s", "0.25 s", "0 s", "1.23 s"]);
    }
}
