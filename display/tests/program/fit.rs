//! `fit` as somebody who rents a wall types it: the whole table of one hall, and what it says of wrong options.
//!
//! The rule is ISO 9241-303's as quoted by NUREG-0700, 1.3.1-4: capitals of height h are seen under the angle θ from
//! d = h / (2 · tan(θ / 2)). By hand: 2 · tan(8′) = 0.004 654 2 and 2 · tan(10′) = 0.005 817 8; so 40 m need
//! 40 000 mm · 0.004 654 2 = 186.2 mm, a clock of 378.0 mm carries 378.0 / 0.004 654 2 = 81 217 mm, and reads well up to
//! 378.0 / 0.005 817 8 = 64 973 mm. Distances are cut down to tenths of a metre.

use crate::support::display;

const HALL: [&str; 9] = ["fit", "--size", "1920x1080", "--lanes", "10", "--height", "3.0m", "--seat", "40m"];
/// A screen 1080 pixels and 3000 mm high: a pixel is 2.78 mm, and 0.0926 % of it.
const TABLE: &str = "\
1920x1080 on a screen 3.00 m high, 10 lanes on the board, farthest seat 40.0 m away.
From there capitals can be read from 186 mm on (16 minutes of arc), which are 6.2 % of the screen's height.

text                     pixels      %      mm   can be read     reads well  from 40.0 m
clock                     136.1  12.60   378.0  up to 81.2 m   up to 64.9 m  reads well
count and result           61.6   5.70   171.1  up to 36.7 m   up to 29.4 m  too small
place                      57.0   5.28   158.3  up to 34.0 m   up to 27.2 m  too small
name                       43.5   4.03   120.8  up to 25.9 m   up to 20.7 m  too small
workout and time left      41.0   3.80   114.0  up to 24.4 m   up to 19.5 m  too small
name, long ones            38.3   3.54   106.3  up to 22.8 m   up to 18.2 m  too small
lane                       26.2   2.42    72.7  up to 15.6 m   up to 12.4 m  too small
heat and cap               24.8   2.30    69.0  up to 14.8 m   up to 11.8 m  too small
gap, to go, no-rep         24.2   2.24    67.2  up to 14.4 m   up to 11.5 m  too small

Heights are those of capitals and figures. Reads well: 20 minutes of arc and more.
";

fn said(args: &[&str]) -> (bool, String, String) {
    let output = display().args(args).output().expect("the program");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.success(), text(&output.stdout), text(&output.stderr))
}

#[test]
fn the_table_of_one_hall_is_the_one_worked_out_by_hand() {
    let (success, table, errors) = said(&HALL);
    assert!(success && errors.is_empty(), "{errors}");
    assert_eq!(table, TABLE);
}

/// Every row again, from its pixels alone.
#[test]
fn every_distance_follows_from_the_pixels() {
    let per_mm = |arc_min: f64| 2.0 * (arc_min / 60.0 / 2.0).to_radians().tan();
    for line in TABLE.lines().skip(4).take_while(|line| !line.is_empty()) {
        let numbers: Vec<f64> = line[24..].split_whitespace().filter_map(|word| word.parse().ok()).collect();
        let [px, percent, mm, reads_m, well_m] = numbers[..] else { panic!("{line}") };
        // Pixels are told to a tenth: half of that may be missing.
        let near = |found: f64, from_px: f64, step: f64| {
            let slack = from_px * 0.05 / px + step;
            assert!((found - from_px).abs() <= slack, "{line}: {found}, by hand {from_px}");
        };
        near(percent, px / 10.8, 0.005);
        near(mm, px / 1_080.0 * 3_000.0, 0.05);
        near(reads_m, mm / per_mm(16.0) / 1_000.0, 0.1);
        near(well_m, mm / per_mm(20.0) / 1_000.0, 0.1);
        // The farthest seat is 40 m away.
        let verdict = if well_m >= 40.0 { "reads well" } else { "too small" };
        assert!(line.ends_with(verdict), "{line}");
    }
}

#[test]
fn what_can_not_be_fitted_is_told() {
    for (at, wrong, says) in [
        (2, "0x1080", "each side has to be from 16 to 16384 pixels"),
        (4, "0", "0 is not in 1..=40"),
        (4, "41", "41 is not in 1..=40"),
        (6, "3.0", "`3.0` is no length; write it with its unit, like 3.0m, 320cm or 3200mm"),
        (6, "0m", "it has to be from 1 cm to 1000 m"),
        (8, "2km", "`2km` is no length; write it with its unit"),
    ] {
        let mut args = HALL;
        args[at] = wrong;
        let (success, table, errors) = said(&args);
        assert!(!success && table.is_empty() && errors.contains(says), "{wrong}: {errors}");
    }
    let (success, _, errors) = said(&HALL[..7]);
    assert!(!success && errors.contains("--seat"), "{errors}");
    let (success, _, errors) = said(&[&HALL[..], &["--theme", "no-such-theme"]].concat());
    assert!(!success && errors.contains("no-such-theme"), "{errors}");
}
