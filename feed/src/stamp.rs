//! Moments of the wall clock in writing, as RFC 3339 section 5.6 has them: in UTC, to the second.

use time::OffsetDateTime;

/// A moment of Unix milliseconds such as `2031-06-14T10:27:42Z`; what lies outside of the calendar's years 0 to 9999 is
/// told as its milliseconds.
#[must_use]
pub fn rfc3339(wall_ms: i64) -> String {
    let moment = OffsetDateTime::from_unix_timestamp(wall_ms.div_euclid(1_000)).ok();
    let Some(moment) = moment.filter(|moment| (0..=9_999).contains(&moment.year())) else {
        return format!("{wall_ms} ms after 1970");
    };
    let (date, time) = (moment.date(), moment.time());
    format!(
        "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z",
        date.year(),
        u8::from(date.month()),
        date.day(),
        time.hour(),
        time.minute(),
        time.second()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Held against `date -u -d @SECONDS +%FT%TZ` of GNU coreutils.
    #[test]
    fn moments_are_written_as_date_writes_them() {
        for (wall_ms, expected) in [
            (0, "1970-01-01T00:00:00Z"),
            (-1, "1969-12-31T23:59:59Z"),
            (951_782_399_999, "2000-02-28T23:59:59Z"),
            (951_782_400_000, "2000-02-29T00:00:00Z"),
            (1_939_199_262_500, "2031-06-14T10:27:42Z"),
            (i64::MAX, "9223372036854775807 ms after 1970"),
        ] {
            assert_eq!(rfc3339(wall_ms), expected);
        }
    }
}
