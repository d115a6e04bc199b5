//! From how far away each text of a board can be read on a wall of a known height: by the same measures that draw it.
//! Words for a table, and lengths with their units, are left to whoever prints it.
//!
//! The rule: capitals seen under at least 16 minutes of arc can be read, under 20 or more they read well (ISO 9241-3
//! and -303, as quoted in NUREG-0700, 1.3.1-4): height = 2 · distance · tan(angle / 2).

use fivemark_themes::LoadedTheme;

use crate::layouts::{Content, Layout, MAX_LANES};
use crate::text::{Fonts, Style};

/// Least angle under which capitals can be read, minutes of arc.
pub const LEAST_ARC_MIN: f64 = 16.0;
/// Angle from which they read well, minutes of arc.
pub const GOOD_ARC_MIN: f64 = 20.0;

/// What a text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum TextRole {
    Clock,
    Count,
    Place,
    Name,
    /// A name that is set smaller, as far as names are before they are shortened.
    LongName,
    LaneNumber,
    /// Gaps, `4 to go`, no-reps and other words on a track.
    Tag,
    /// Workout and time left.
    Title,
    /// Heat, cap and marks.
    HeaderLine,
}

/// A text of a board and how far it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitRow {
    /// What it is for.
    pub role: TextRole,
    /// Height of its capitals and figures, pixels.
    pub cap_px: f64,
    /// The same as a share of the screen's height, per cent.
    pub percent: f64,
    /// The same on the wall, millimetres.
    pub cap_mm: f64,
    /// Farthest seat from which it can be read, millimetres.
    pub reads_mm: f64,
    /// Farthest seat from which it reads well, millimetres.
    pub reads_well_mm: f64,
    /// How it reads from the farthest seat of the hall.
    pub at_seat: Reads,
}

/// How a text reads from a seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// At [`GOOD_ARC_MIN`] or more.
    Well,
    /// At [`LEAST_ARC_MIN`] or more.
    Yes,
    /// Too small.
    No,
}

/// Every text of the board of this size in pixels and this many lanes in a theme, the largest first, on a screen
/// `height_mm` high, for a farthest seat `seat_mm` away, both in millimetres and above 0. Heights are those with long names, results of
/// any length, and counts of up to three figures; shorter names let some layouts set all of them larger.
#[must_use]
pub fn fit_table(
    size: [u32; 2],
    lanes: usize,
    theme: &LoadedTheme,
    height_mm: f64,
    seat_mm: f64,
) -> Vec<FitRow> {
    const CAP: f32 = 100.0;
    let count_width = Fonts::new(theme).digit_width(Style::Figures, CAP) * 3.0 / CAP;
    let content = Content { lanes: lanes.clamp(1, MAX_LANES), count_width, ..Content::default() };
    let layout = Layout::new(size, content, &theme.form);
    let mut rows: Vec<FitRow> = heights(&layout)
        .into_iter()
        .map(|(role, cap)| {
            let cap_px = f64::from(cap);
            let share = cap_px / f64::from(size[1].max(1));
            let cap_mm = share * height_mm;
            let (reads_mm, reads_well_mm) =
                (distance_mm(cap_mm, LEAST_ARC_MIN), distance_mm(cap_mm, GOOD_ARC_MIN));
            let at_seat = if seat_mm <= reads_well_mm {
                Reads::Well
            } else if seat_mm <= reads_mm {
                Reads::Yes
            } else {
                Reads::No
            };
            FitRow { role, cap_px, percent: share * 100.0, cap_mm, reads_mm, reads_well_mm, at_seat }
        })
        .collect();
    rows.sort_by(|a, b| b.cap_px.total_cmp(&a.cap_px));
    rows
}

/// Height that capitals need to be seen under an angle, in the unit of the distance.
#[must_use]
pub fn needed_height(distance: f64, arc_min: f64) -> f64 {
    2.0 * distance * half_angle_tan(arc_min)
}

fn distance_mm(cap_mm: f64, arc_min: f64) -> f64 {
    cap_mm / (2.0 * half_angle_tan(arc_min))
}

fn half_angle_tan(arc_min: f64) -> f64 {
    (arc_min / 60.0 / 2.0).to_radians().tan()
}

/// Heights of capitals in a layout, pixels.
pub(crate) fn heights(layout: &Layout) -> [(TextRole, f32); 9] {
    let (heading, row) = (&layout.heading, &layout.row);
    [
        (TextRole::Clock, heading.clock.cap),
        (TextRole::Count, row.count_cap),
        (TextRole::Place, row.place_cap),
        (TextRole::Name, row.name_cap),
        (TextRole::LongName, row.name_least_cap),
        (TextRole::LaneNumber, row.lane_cap),
        (TextRole::Tag, row.tag_cap),
        (TextRole::Title, heading.title.cap),
        (TextRole::HeaderLine, heading.line.cap),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Letter heights for a viewing distance. Angles: ISO 9241-3 and -303 as quoted by NUREG-0700, 1.3.1-4 (seen
    /// second-hand); heights computed from the formula, in millimetres at metres.
    #[test]
    fn letter_heights_are_those_of_the_rule() {
        for (arc_min, distance_m, height_mm) in [
            (16.0, 0.5, 2.327),
            (16.0, 10.0, 46.542),
            (16.0, 25.0, 116.356),
            (16.0, 40.0, 186.169),
            (20.0, 10.0, 58.178),
            (20.0, 40.0, 232.711),
            (22.0, 10.0, 63.996),
            (22.0, 40.0, 255.982),
        ] {
            let found = needed_height(distance_m * 1000.0, arc_min);
            assert!((found - height_mm).abs() < 0.001, "{distance_m} m at {arc_min}′: {found}");
            assert!((distance_mm(height_mm, arc_min) / 1000.0 - distance_m).abs() < 0.001);
        }
    }

    /// A wall of LEDs 3 m high with 1080 rows, seen from 25 m: capitals of 42 pixels can be read, 41 can't; for a
    /// panel 0.685 m high with 2160 rows, seen from 10 m, 147 (computed from the same formula).
    #[test]
    fn pixels_of_a_wall_follow_from_its_height() {
        for (height_mm, rows, seat_m, least_px) in
            [(3000.0, 1080.0, 25.0, 42.0), (685.0, 2160.0, 10.0, 147.0)]
        {
            let needed_px = needed_height(seat_m * 1000.0, LEAST_ARC_MIN) / height_mm * rows;
            assert!((least_px - 1.0..=least_px).contains(&needed_px), "{needed_px}");
        }
    }

    #[test]
    fn a_seat_is_judged_by_the_angle_there() {
        let theme = fivemark_themes::find("dark").unwrap();
        let of = |seat_mm: f64| fit_table([1920, 1080], 10, &theme, 3000.0, seat_mm);
        let count = |seat_mm: f64| of(seat_mm).into_iter().find(|row| row.role == TextRole::Count).unwrap();
        let row = count(1_000.0);
        assert_eq!(row.at_seat, Reads::Well);
        assert_eq!(count(row.reads_well_mm + 1.0).at_seat, Reads::Yes);
        assert_eq!(count(row.reads_mm - 1.0).at_seat, Reads::Yes);
        assert_eq!(count(row.reads_mm + 1.0).at_seat, Reads::No);
        let heights: Vec<f64> = of(40_000.0).iter().map(|row| row.cap_px).collect();
        assert!(heights.is_sorted_by(|a, b| a >= b), "{heights:?}");
    }
}
