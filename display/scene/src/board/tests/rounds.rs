//! Open-ended work: rounds that wrap around, the last minute, and lanes with a start or a run of their own.

use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::{Clock, Scoring, State, Status};

use super::super::*;
use super::{board, is, lane_of, texts, times};
use crate::draw::Shape;
use crate::paint::Kind;
use crate::sample;

fn three(rounds: [(u32, u32); 3]) -> View {
    let lanes = rounds.map(|(round, done)| (round, done, Status::Racing));
    let clock = Clock::Running { zero_at_ms: 0 };
    View::new(sample::open_heat(Scoring::AmrapRounds, &lanes, State::Running, clock))
}

pub(super) fn says(list: &DrawList, lane: u64, kind: Kind) -> String {
    let mut pieces: Vec<_> = texts(list)
        .filter(|(item, _)| is(item, kind) && lane_of(item) == lane)
        .map(|(_, text)| (text.left, text.text.buffer.lines[0].text().to_owned()))
        .collect();
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    pieces.into_iter().map(|(_, text)| text).collect()
}

/// The stretch of a lane's track that is filled, from its left end to its right end.
fn filled(list: &DrawList, lane: u64) -> (f32, f32) {
    let mut ends = (f32::MAX, 0.0f32);
    for item in list.items.iter().filter(|item| lane_of(item) == lane) {
        if let Shape::Box(shape) = &item.shape
            && (is(item, Kind::CellFill) || is(item, Kind::Wrap))
        {
            ends = (ends.0.min(shape.rect.x), ends.1.max(shape.rect.x + shape.rect.w));
        }
    }
    ends
}

#[test]
fn the_track_is_the_round_and_its_number_stands_before_it() {
    let view = three([(0, 12), (3, 0), (12, 210)]);
    let mut board = board([1920, 1080], Motion::Full);
    let list = board.frame(Some(&view), Link::Live, times(400_000, 0)).clone();
    let rounds = [1, 2, 3].map(|lane| says(&list, lane, Kind::RoundText));
    assert_eq!(rounds, ["buy-in", "R3", "R12"]);
    let counts = [1, 2, 3].map(|lane| says(&list, lane, Kind::Count));
    assert_eq!(counts, ["12", "72", "298"], "counts are score units over all rounds");
    assert!(list.items.iter().all(|item| !is(item, Kind::Block)), "no five blocks");
    assert!(filled(&list, 2).1 < f32::EPSILON, "a round begins empty");
    let notches: Vec<_> = list.items.iter().filter(|item| is(item, Kind::Notch)).map(lane_of).collect();
    assert_eq!(notches, [0u64; 0], "a notch only means something on a track of the same round");
}

#[test]
fn a_round_that_is_done_runs_out_to_the_right_and_never_glides_back() {
    for motion in [Motion::Full, Motion::Reduced] {
        let mut view = three([(3, 223), (3, 10), (3, 20)]);
        let mut board = board([1920, 1080], motion);
        board.frame(Some(&view), Link::Live, times(400_000, 0));
        let course = view.snapshot.courses[0].clone();
        let next = |round, done| vec![sample::open_count(&course, 1, round, done, Status::Racing)];
        view.apply(&Delta { lanes: next(4, 0), ..sample::delta(11) }).unwrap();
        let mut at = |view: &View, us: i64| {
            let list = board.frame(Some(view), Link::Live, times(400_000, us)).clone();
            (filled(&list, 1), says(&list, 1, Kind::RoundText))
        };
        let mut last = (0.0, 0.0);
        for us in (1_000..=230_000).step_by(5_000) {
            let ((left, right), round) = at(&view, us);
            assert_eq!(round, "R4");
            if right > 0.0 {
                assert!(motion == Motion::Full, "reduced motion starts anew at once");
                assert!(left >= last.0 && right >= last.1, "{left} to {right} after {last:?}");
                last = (left, right);
            }
        }
        let (left, right) = at(&view, 300_000).0;
        assert!(left > right, "then the track is empty");
        // An undone call stands where it stood, at once.
        view.apply(&Delta { lanes: next(3, 223), ..sample::delta(12) }).unwrap();
        let undone = at(&view, 310_000);
        assert_eq!(undone.1, "R3");
        assert!(undone.0.1 - undone.0.0 > 300.0);
        assert_eq!(at(&view, 900_000), undone);
        assert!(board.next_change_us() > Some(900_000), "and it rests");
    }
}

#[test]
fn the_end_of_the_window_shows_rounds_and_what_parted_equals() {
    let lanes = [(5, 207, Status::Finished), (5, 207, Status::Finished), (4, 0, Status::Finished)];
    let clock = Clock::Stopped { elapsed_ms: 600_000 };
    let mut snapshot = sample::open_heat(Scoring::AmrapRounds, &lanes, State::Provisional, clock);
    snapshot.order[0].tied_apart = true;
    snapshot.order[1].tied_apart = true;
    let mut board = board([1920, 1080], Motion::Full);
    let list = board.frame(Some(&View::new(snapshot)), Link::Live, times(0, 0)).clone();
    let counts = [1, 2, 3].map(|lane| says(&list, lane, Kind::Count));
    assert_eq!(counts.map(|text| text.replace(' ', "")), ["4+7", "4+7", "3+0"]);
    let tags = [1, 2, 3].map(|lane| says(&list, lane, Kind::TagText));
    assert_eq!(tags, ["tie-break 4:12.3", "tie-break 4:12.3", ""]);
    assert_eq!(says(&list, 0, Kind::Cap), "AMRAP · window 10:00");
}

#[test]
fn the_last_minute_is_marked_in_the_header() {
    let view = three([(3, 0), (3, 10), (3, 20)]);
    let mut board = board([1920, 1080], Motion::Full);
    let marked = |board: &mut Board, feed_ms: i64| {
        let list = board.frame(Some(&view), Link::Live, times(feed_ms, 0));
        list.items.iter().any(|item| is(item, Kind::LeftPlate))
    };
    let shown = [539_999, 540_000, 599_900, 600_000].map(|feed_ms| marked(&mut board, feed_ms));
    assert_eq!(shown, [false, true, true, false]);
}

#[test]
fn a_lane_with_a_start_of_its_own_says_when_until_then() {
    let mut view = sample::nine();
    view.snapshot.entries[8].start_ms = 30_000;
    let mut board = board([1920, 1080], Motion::Full);
    let mut at = |feed_ms: i64| {
        let list = board.frame(Some(&view), Link::Live, times(feed_ms, 0)).clone();
        (says(&list, 9, Kind::CountWord), says(&list, 9, Kind::Count), says(&list, 0, Kind::Left))
    };
    let text = |a: &str, b: &str, c: &str| (a.to_owned(), b.to_owned(), c.to_owned());
    assert_eq!(
        at(29_900),
        text("starts", "0:30", "10:00.1"),
        "the last lane is stopped at 10:30 of heat time"
    );
    assert_eq!(at(30_000), text("", "427", "10:00.0"));
    view.snapshot.heat.cap_on_heat = true;
    let list = board.frame(Some(&view), Link::Live, times(30_000, 0)).clone();
    assert_eq!(says(&list, 0, Kind::Left), "9:30.0");
}

#[test]
fn while_one_lane_runs_again_the_others_stand_dimmed_with_their_results() {
    let course = sample::course(sample::PARTS, 5);
    let lanes = [(0, Status::Racing), (course.units, Status::Finished), (90, Status::Capped)];
    let clock = Clock::CountingDown { since_ms: 0, go_at_ms: 9_000, elapsed_ms: 0 };
    let mut snapshot = sample::snapshot(course.clone(), &lanes, State::Countdown, clock);
    snapshot.heat.alone = Some(1);
    let mut board = board([1920, 1080], Motion::Full);
    let list = board.frame(Some(&View::new(snapshot.clone())), Link::Live, times(1_000, 0)).clone();
    let dimmed = |list: &DrawList| {
        list.items.iter().filter(|item| is(item, Kind::Dim)).map(lane_of).collect::<Vec<_>>()
    };
    assert_eq!(dimmed(&list), [2, 3]);
    assert_eq!([1, 2, 3].map(|lane| says(&list, lane, Kind::Count)), ["", "7:08.4", "90"]);
    assert!(says(&list, 0, Kind::Subtitle).contains("Lane 1 runs again"));
    snapshot.heat.state = State::Provisional;
    let list = board.frame(Some(&View::new(snapshot)), Link::Live, times(1_000, 0));
    assert_eq!(dimmed(list), [0u64; 0]);
}

#[test]
fn another_run_or_athlete_on_a_lane_begins_at_rest() {
    let mut board = board([1920, 1080], Motion::Full);
    let mut view = sample::nine();
    board.frame(Some(&view), Link::Live, times(462_300, 0));
    let course = view.snapshot.courses[0].clone();
    view.snapshot.lanes[0] = sample::count(&course, 1, 0, Status::Racing);
    view.snapshot.lanes[0].run = 2;
    view.snapshot.lanes[1] = sample::count(&course, 2, 50, Status::Racing);
    view.snapshot.entries[1].bib = "999".into();
    board.frame(Some(&view), Link::Live, times(462_300, 1_000));
    assert!(board.next_change_us() > Some(1_000), "nothing glides from one athlete's count to another's");
}
