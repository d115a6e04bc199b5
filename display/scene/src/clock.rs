//! What a heat's clock shows at a moment of feed time, and when that will next differ. Elapsed time is cut down
//! to the tenth and time left is rounded up to it, so that the two always add up to a cap of whole tenths.

use std::fmt::Write as _;

use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Clock, HeatState};

use crate::screen::{Times, speed};

const TENTH_US: i64 = 100_000;
const SECOND_US: i64 = 1_000_000;
/// Longest cap that is reckoned with, microseconds: thirty years, so that no sum below can overflow.
const MAX_CAP_US: i64 = 1_000_000_000_000_000;

/// The clock at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Reading {
    /// Elapsed time, tenths of a second, cut down.
    pub(crate) elapsed_tenths: i64,
    /// Time left to the cap, tenths of a second, rounded up.
    pub(crate) left_tenths: i64,
    /// Elapsed share of the whole time in millionths.
    pub(crate) gone_ppm: i64,
    /// Heat time at which the last lane is stopped, milliseconds.
    pub(crate) end_ms: i64,
    /// Whole seconds left of a countdown, rounded up; none when none runs.
    pub(crate) countdown_s: Option<i64>,
    /// The countdown resumes a held heat.
    pub(crate) resumes: bool,
    /// Feed microseconds until any of these differs; none if they stand.
    pub(crate) next_us: Option<i64>,
}

impl Reading {
    /// Reads the clock. A countdown that has run out reads as running: the start needs no message.
    /// `end_ms` is the heat time at which the last lane's cap is reached.
    pub(crate) fn of(heat: &HeatState, end_ms: i64, feed_us: i64) -> Reading {
        let cap_us = end_ms.max(0).saturating_mul(1000).min(MAX_CAP_US);
        match heat.clock {
            Clock::Idle => Reading::at(0, cap_us, false),
            Clock::Stopped { elapsed_ms } => Reading::at(elapsed_ms.saturating_mul(1000), cap_us, false),
            Clock::Running { zero_at_ms } => {
                Reading::at(feed_us.saturating_sub(zero_at_ms.saturating_mul(1000)), cap_us, true)
            }
            Clock::CountingDown { go_at_ms, elapsed_ms, .. } => {
                let left_us = go_at_ms.saturating_mul(1000).saturating_sub(feed_us);
                let elapsed_us = elapsed_ms.saturating_mul(1000);
                if left_us <= 0 {
                    return Reading::at(elapsed_us.saturating_sub(left_us), cap_us, true);
                }
                let seconds = ceil_div(left_us, SECOND_US);
                let mut reading = Reading::at(elapsed_us, cap_us, false);
                reading.countdown_s = Some(seconds);
                reading.resumes = elapsed_ms > 0;
                reading.next_us = Some(left_us - (seconds - 1) * SECOND_US);
                reading
            }
        }
    }

    /// When the clock next differs, on the axis of frames.
    pub(crate) fn next_frame_us(&self, times: Times) -> Option<i64> {
        let speed = i64::from(speed(times));
        self.next_us.map(|feed_us| {
            // Rounded up, so that the new figure is there when the frame is drawn.
            times.frame_us.saturating_add((feed_us.saturating_mul(1000) + speed - 1) / speed)
        })
    }

    fn at(elapsed_us: i64, cap_us: i64, runs: bool) -> Reading {
        let elapsed_us = elapsed_us.clamp(0, cap_us);
        let left_us = cap_us - elapsed_us;
        let elapsed_tenths = elapsed_us / TENTH_US;
        let left_tenths = ceil_div(left_us, TENTH_US);
        let to_next_elapsed = (elapsed_tenths + 1) * TENTH_US - elapsed_us;
        let to_next_left = left_us - (left_tenths - 1) * TENTH_US;
        let next_us = (runs && left_us > 0).then(|| to_next_elapsed.min(to_next_left));
        // In whole tenths, so that the bar moves when the figures do and not in between.
        let gone_ppm = if cap_us == 0 {
            0
        } else {
            elapsed_tenths.saturating_mul(TENTH_US * 1000) / (cap_us / 1000).max(1)
        };
        let end_ms = cap_us / 1000;
        Reading { elapsed_tenths, left_tenths, gone_ppm, end_ms, countdown_s: None, resumes: false, next_us }
    }
}

/// Heat time at which the last lane's cap is reached, milliseconds: a lane that starts later than the heat, or is
/// credited time, is stopped that much later, unless the workout caps the heat.
pub(crate) fn end_ms(snapshot: &Snapshot) -> i64 {
    let heat = &snapshot.heat;
    if heat.cap_on_heat {
        return heat.cap_ms;
    }
    let runs = |lane: u8| heat.alone.is_none_or(|alone| alone == lane);
    let later = snapshot
        .entries
        .iter()
        .filter(|entry| runs(entry.lane))
        .map(|entry| {
            let count = snapshot.lanes.iter().find(|count| count.lane == entry.lane);
            entry.start_ms.max(0).saturating_add(count.and_then(|count| count.credit_ms).unwrap_or(0).max(0))
        })
        .max();
    heat.cap_ms.saturating_add(later.unwrap_or(0))
}

/// Writes `7:42` or `1:07:42`: whole seconds of a time in tenths.
pub(crate) fn write_seconds(out: &mut String, tenths: i64) {
    let seconds = tenths.max(0) / 10;
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    let _ = if hours > 0 {
        write!(out, "{hours}:{minutes:02}:{seconds:02}")
    } else {
        write!(out, "{minutes}:{seconds:02}")
    };
}

/// Writes `7:42.3`, with the language's mark before the tenth.
pub(crate) fn write_tenths(out: &mut String, tenths: i64, mark: char) {
    write_seconds(out, tenths);
    let _ = write!(out, "{mark}{}", tenths.max(0) % 10);
}

/// Writes `7:42.3` in a heat's resolution, as its results are written.
pub(crate) fn write_result(out: &mut String, ms: i64, resolution_ms: u32, mark: char) {
    write_seconds(out, ms / 100);
    write_fraction(out, ms, resolution_ms, mark);
}

/// Writes a time gap such as `+7.4` or `+1:07.4`, in the heat's resolution.
pub(crate) fn write_gap(out: &mut String, gap_ms: i64, resolution_ms: u32, mark: char) {
    let gap_ms = gap_ms.max(0);
    out.push('+');
    if gap_ms >= 60_000 {
        write_seconds(out, gap_ms / 100);
    } else {
        let _ = write!(out, "{}", gap_ms / 1000);
    }
    write_fraction(out, gap_ms, resolution_ms, mark);
}

fn write_fraction(out: &mut String, ms: i64, resolution_ms: u32, mark: char) {
    let rest = ms.rem_euclid(1000);
    let _ = match resolution_ms {
        0..=10 => write!(out, "{mark}{:02}", rest / 10),
        11..=100 => write!(out, "{mark}{}", rest / 100),
        _ => Ok(()),
    };
}

fn ceil_div(value: i64, by: i64) -> i64 {
    value.div_euclid(by) + i64::from(value.rem_euclid(by) != 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fivemark_wire::view::State;

    fn heat(clock: Clock) -> HeatState {
        HeatState {
            state: State::Running,
            run: 1,
            clock,
            cap_ms: 600_000,
            resolution_ms: 100,
            finished: 0,
            starters: 9,
            first_on_floor: 0,
            cap_on_heat: false,
            ends_ms: None,
            clock_in_doubt: false,
            alone: None,
        }
    }

    fn shown(reading: &Reading) -> (String, String) {
        let (mut elapsed, mut left) = (String::new(), String::new());
        write_tenths(&mut elapsed, reading.elapsed_tenths, '.');
        write_tenths(&mut left, reading.left_tenths, '.');
        (elapsed, left)
    }

    #[test]
    fn elapsed_is_cut_and_left_is_rounded_up() {
        for (feed_us, elapsed, left) in [
            (0, "0:00.0", "10:00.0"),
            (1, "0:00.0", "10:00.0"),
            (99_999, "0:00.0", "10:00.0"),
            (100_000, "0:00.1", "9:59.9"),
            (462_399_999, "7:42.3", "2:17.7"),
            (599_999_999, "9:59.9", "0:00.1"),
            (600_000_000, "10:00.0", "0:00.0"),
            (999_000_000_000, "10:00.0", "0:00.0"),
            (-5_000_000, "0:00.0", "10:00.0"),
        ] {
            let reading = Reading::of(&heat(Clock::Running { zero_at_ms: 0 }), 600_000, feed_us);
            let (found_elapsed, found_left) = shown(&reading);
            assert_eq!((found_elapsed.as_str(), found_left.as_str()), (elapsed, left), "{feed_us}");
            assert_eq!(reading.elapsed_tenths + reading.left_tenths, 6_000, "they add up at {feed_us}");
        }
    }

    /// Whatever is shown stays until `next_us` has passed, and differs then.
    #[test]
    fn the_next_change_is_told_to_the_microsecond() {
        for clock in [
            Clock::Running { zero_at_ms: -777 },
            Clock::CountingDown { since_ms: 0, go_at_ms: 700_000, elapsed_ms: 45_000 },
        ] {
            for feed_us in (0..3_000_000).step_by(77_777) {
                let reading = Reading::of(&heat(clock), 600_000, feed_us);
                let next_us = reading.next_us.unwrap();
                assert!(next_us > 0);
                let same = |reading: Reading| Reading { next_us: None, ..reading };
                let before = Reading::of(&heat(clock), 600_000, feed_us + next_us - 1);
                let then = Reading::of(&heat(clock), 600_000, feed_us + next_us);
                assert_eq!(same(before), same(reading), "{clock:?} at {feed_us}");
                assert_ne!(same(then), same(reading), "{clock:?} at {feed_us}");
            }
        }
    }

    #[test]
    fn a_standing_clock_never_changes() {
        for clock in [Clock::Idle, Clock::Stopped { elapsed_ms: 462_300 }] {
            assert_eq!(Reading::of(&heat(clock), 600_000, 5).next_us, None);
        }
        assert_eq!(
            Reading::of(&heat(Clock::Running { zero_at_ms: 0 }), 600_000, 600_000_000).next_us,
            None,
            "at the cap"
        );
    }

    #[test]
    fn a_countdown_rounds_up_and_ends_in_a_running_clock() {
        let clock = Clock::CountingDown { since_ms: 0, go_at_ms: 10_000, elapsed_ms: 45_000 };
        for (feed_us, seconds) in [(0, 10), (1, 10), (7_000_000, 3), (7_000_001, 3), (9_999_999, 1)] {
            let reading = Reading::of(&heat(clock), 600_000, feed_us);
            assert_eq!(reading.countdown_s, Some(seconds), "{feed_us}");
            assert_eq!(reading.elapsed_tenths, 450);
            assert!(reading.resumes);
        }
        let begun = Reading::of(&heat(clock), 600_000, 10_250_000);
        assert_eq!((begun.countdown_s, begun.elapsed_tenths), (None, 452));
    }

    #[test]
    fn extreme_times_do_not_overflow() {
        for clock in [
            Clock::Running { zero_at_ms: i64::MIN },
            Clock::Running { zero_at_ms: i64::MAX },
            Clock::CountingDown { since_ms: 0, go_at_ms: i64::MAX, elapsed_ms: i64::MAX },
            Clock::CountingDown { since_ms: 0, go_at_ms: i64::MIN, elapsed_ms: i64::MIN },
            Clock::Stopped { elapsed_ms: i64::MAX },
        ] {
            for cap_ms in [i64::MIN, 0, 1, i64::MAX] {
                for feed_us in [i64::MIN, 0, i64::MAX] {
                    let reading = Reading::of(&heat(clock), cap_ms, feed_us);
                    assert!(reading.elapsed_tenths >= 0 && reading.left_tenths >= 0);
                    assert!((0..=1_000_000).contains(&reading.gone_ppm), "{clock:?} {cap_ms}: {reading:?}");
                }
            }
        }
    }

    #[test]
    fn gaps_are_written_in_the_resolution_of_results() {
        for (gap_ms, resolution_ms, text) in [
            (23_500, 100, "+23.5"),
            (7_450, 10, "+7.45"),
            (67_400, 100, "+1:07.4"),
            (12_000, 1_000, "+12"),
            (0, 100, "+0.0"),
        ] {
            let mut out = String::new();
            write_gap(&mut out, gap_ms, resolution_ms, '.');
            assert_eq!(out, text);
        }
        let mut hours = String::new();
        write_tenths(&mut hours, 40_629, ',');
        assert_eq!(hours, "1:07:42,9");
    }
}
