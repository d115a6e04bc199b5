//! Attempts with a declared load, and holds: marks on the track, the best in place of a count, the load that comes next.

use fivemark_wire::view::{Clock, Scoring, State, Status};

use super::super::*;
use super::rounds::says;
use super::{board, is, lane_of, times};
use crate::paint::Kind;
use crate::sample;

const CLOCK: Clock = Clock::Running { zero_at_ms: 0 };

fn lifts() -> View {
    let course = sample::tried_course(Scoring::HeaviestLift, Some(4));
    let lanes = vec![
        sample::lifted(&course, 1, &[140, -145, 142], None, Status::Racing),
        sample::lifted(&course, 2, &[130, 138], Some(142_500), Status::Racing),
        sample::lifted(&course, 3, &[-120], None, Status::Racing),
    ];
    View::new(sample::tried_heat(course, lanes, State::Running, CLOCK))
}

/// A text that is set figure by figure, without its spaces.
fn figures(list: &DrawList, lane: u64, kind: Kind) -> String {
    says(list, lane, kind).replace(' ', "")
}

fn many(list: &DrawList, lane: u64, kind: Kind) -> usize {
    list.items.iter().filter(|item| lane_of(item) == lane && is(item, kind)).count()
}

#[test]
fn a_good_attempt_is_filled_a_failed_one_crossed_and_the_rest_is_open() {
    let mut board = board([1920, 1080], Motion::Full);
    let list = board.frame(Some(&lifts()), Link::Live, times(400_000, 0)).clone();
    // A cell that is filled to its end needs no box under it.
    let marks = |lane| [Kind::CellFill, Kind::Cross, Kind::Cell].map(|kind| many(&list, lane, kind));
    assert_eq!([1, 2, 3].map(marks), [[2, 1, 2], [2, 0, 2], [0, 1, 4]]);
    let none = [Kind::Block, Kind::Notch, Kind::RoundPlate, Kind::RoundText];
    assert!(list.items.iter().all(|item| !none.iter().any(|kind| is(item, *kind))));
}

#[test]
fn the_best_load_stands_for_a_count_with_the_gap_and_what_is_declared() {
    let mut board = board([1920, 1080], Motion::Full);
    let list = board.frame(Some(&lifts()), Link::Live, times(400_000, 0)).clone();
    let counts =
        [1, 2, 3].map(|lane| says(&list, lane, Kind::Count) + " " + &says(&list, lane, Kind::CountWord));
    assert_eq!(counts, ["142.5 kg", "138.5 kg", " "]);
    assert_eq!([1, 2, 3].map(|lane| figures(&list, lane, Kind::Gap)), ["", "\u{2212}4kg", ""]);
    assert_eq!([1, 2, 3].map(|lane| says(&list, lane, Kind::TagText)), ["", "142.5 kg", ""]);
    assert!(says(&list, 0, Kind::Cap).starts_with("window"), "{}", says(&list, 0, Kind::Cap));
}

#[test]
fn a_hold_under_way_runs_with_the_clock_and_is_hatched() {
    let course = sample::tried_course(Scoring::LongestHold, Some(2));
    let lanes = vec![
        sample::held(&course, 1, (2, 40_100), Some(360_000), Status::Racing),
        sample::held(&course, 2, (1, 83_400), None, Status::Racing),
    ];
    let view = View::new(sample::tried_heat(course, lanes, State::Running, CLOCK));
    let mut board = board([1920, 1080], Motion::Full);
    for (now_ms, held) in [(383_450, "0:23.4"), (383_500, "0:23.5"), (430_000, "1:10.0")] {
        let list = board.frame(Some(&view), Link::Live, times(now_ms, 0)).clone();
        assert_eq!([1, 2].map(|lane| says(&list, lane, Kind::Count)), [held, "1:23.4"]);
        assert_eq!([1, 2].map(|lane| many(&list, lane, Kind::Hidden)), [1, 0]);
    }
    assert!(board.next_change_us().is_some(), "its time changes by itself");
}

#[test]
fn results_keep_their_marks() {
    let course = sample::tried_course(Scoring::HeaviestLift, None);
    let loads: Vec<i32> = (100..120).collect();
    let lanes = vec![
        sample::lifted(&course, 1, &loads, None, Status::Finished),
        sample::lifted(&course, 2, &[-90], None, Status::Finished),
    ];
    let clock = Clock::Stopped { elapsed_ms: 600_000 };
    let view = View::new(sample::tried_heat(course, lanes, State::Provisional, clock));
    let list = board([1920, 1080], Motion::Full).frame(Some(&view), Link::Live, times(600_000, 0)).clone();
    assert_eq!([1, 2].map(|lane| many(&list, lane, Kind::CellFill)), [12, 0], "the latest twelve");
    assert_eq!([1, 2].map(|lane| many(&list, lane, Kind::Cross)), [0, 1]);
    assert_eq!(says(&list, 1, Kind::Count), "119.5");
    assert_eq!(figures(&list, 2, Kind::Count), "nomark");
}
