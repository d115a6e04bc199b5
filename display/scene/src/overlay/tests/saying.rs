//! What each part says.

use super::*;
use fivemark_wire::view::{Clock, Scoring, Status};

/// Words of all texts of one group of items, from left to right and top to bottom.
fn words(overlay: &Overlay, group: settle::Group) -> Vec<String> {
    let of = texts(&overlay.list).filter(|(item, _)| item.key.0 >> 48 == group as u64);
    of.map(|(_, text)| says(text).to_owned()).collect()
}

fn at_rest(view: &View, size: [u32; 2]) -> Overlay {
    let mut overlay = overlay(size, Motion::Reduced);
    overlay.frame(Some(view), Link::Live, times(462_300, 0));
    overlay
}

fn lanes_of(overlay: &Overlay, group: settle::Group, kind: Kind) -> Vec<u64> {
    let items = overlay.list.items.iter();
    let mut rows: Vec<_> = items
        .filter(|item| is(item, kind) && item.key.0 >> 48 == group as u64)
        .map(|item| (item.bounds.y as i64, item.bounds.x as i64, item.key.0 >> 32 & 0xFF))
        .collect();
    rows.sort_unstable();
    rows.into_iter().map(|(_, _, lane)| lane).collect()
}

#[test]
fn the_ribbon_has_the_first_lanes_that_work_by_place_and_who_has_finished() {
    let mut view = sample::nine();
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    assert_eq!(lanes_of(&overlay, settle::Group::Card, Kind::Row), [3, 2, 4, 5, 1]);
    let tall = at_rest(&view, [1080, 1920]);
    assert_eq!(lanes_of(&tall, settle::Group::Card, Kind::Row), [3, 2, 4, 5, 1], "two lines");
    let course = view.snapshot.courses[0].clone();
    view.snapshot.lanes[3] = sample::count(&course, 4, course.units, Status::Finished);
    let two = at_rest(&view, [1920, 1080]);
    assert_eq!(lanes_of(&two, settle::Group::Card, Kind::Row), [2, 5, 1, 6]);
    assert_eq!(lanes_of(&two, settle::Group::Finishers, Kind::Name), [3, 4]);
}

#[test]
fn when_nobody_works_the_ribbon_has_the_best_results() {
    let course = sample::course(sample::PARTS, 5);
    let units = course.units;
    let lanes = [
        (units - 7, Status::Capped),
        (units, Status::Finished),
        (units - 2, Status::Capped),
        (0, Status::DidNotStart),
    ];
    let clock = Clock::Stopped { elapsed_ms: 600_000 };
    let mut view = View::new(sample::snapshot(course, &lanes, State::Provisional, clock));
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    assert_eq!(lanes_of(&overlay, settle::Group::Card, Kind::Row), [2, 3, 1, 4]);
    assert!(words(&overlay, settle::Group::Ribbon).contains(&"provisional".to_owned()));
}

#[test]
fn more_than_three_who_finished_are_counted() {
    let course = sample::course(sample::PARTS, 5);
    let mut lanes = vec![(course.units, Status::Finished); 6];
    lanes.push((30, Status::Racing));
    let clock = Clock::Running { zero_at_ms: 0 };
    let mut view = View::new(sample::snapshot(course, &lanes, State::Running, clock));
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    assert_eq!(lanes_of(&overlay, settle::Group::Finishers, Kind::Name), [1, 6], "the winner and the latest");
    assert!(words(&overlay, settle::Group::Finishers).contains(&"+4 finished".to_owned()));
}

#[test]
fn the_rail_has_all_lanes_or_counts_the_rest() {
    let course = sample::course(sample::PARTS, 5);
    let lanes: Vec<_> = (0..40).map(|lane| (400 - lane, Status::Racing)).collect();
    let clock = Clock::Running { zero_at_ms: 0 };
    let mut view = View::new(sample::snapshot(course, &lanes, State::Running, clock));
    view.snapshot.shows.overlay = OverlayShows { rail: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    let shown = lanes_of(&overlay, settle::Group::Rail, Kind::Name);
    assert_eq!(shown, (1..=22).collect::<Vec<_>>());
    assert!(words(&overlay, settle::Group::Rail).contains(&"+18 lanes".to_owned()));
    let tall = at_rest(&view, [1080, 1920]);
    assert_eq!(lanes_of(&tall, settle::Group::Rail, Kind::Name).len(), 40);
}

#[test]
fn the_corner_has_first_on_floor_and_the_next() {
    let mut view = sample::nine();
    view.snapshot.shows.overlay = OverlayShows { corner: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    assert_eq!(lanes_of(&overlay, settle::Group::Corner, Kind::Name), [2, 4]);
}

#[test]
fn a_duel_tells_units_and_seconds_only_where_the_feed_knows_them() {
    let duel = |left: u8, right: u8, change: fn(&mut View)| {
        let mut view = sample::nine();
        change(&mut view);
        let duel = Some(Duel { left, right });
        view.snapshot.shows.overlay = OverlayShows { duel, ..OverlayShows::default() };
        let overlay = at_rest(&view, [1920, 1080]);
        let of = texts(&overlay.list).filter(|(item, _)| item.key.0 >> 32 & 0xFFFF == 0);
        let mut said: Vec<_> = of.map(|(_, text)| (text.left as i64, says(text).to_owned())).collect();
        said.sort();
        said.into_iter().map(|(_, text)| text).collect::<String>()
    };
    // Lane 2 has three to go and lane 4 four; lane 3 has finished, so no gap in time to the lane that leads is told.
    assert_eq!(duel(2, 4, |_| {}), "+1");
    assert_eq!(duel(5, 1, |_| {}), "+13");
    let lead = |view: &mut View| {
        view.snapshot.lanes.remove(2);
        view.snapshot.order.iter_mut().for_each(|row| row.place -= 1);
        view.snapshot.order[3].gap_ms = Some(2_300);
    };
    let both = duel(2, 4, lead);
    assert!(both.contains('1') && both.contains('3') && both.contains('s'), "{both}");
    assert_eq!(duel(2, 4, |view| view.snapshot.lanes[3].score = view.snapshot.lanes[1].score), "level");
    assert_eq!(duel(2, 4, |view| view.snapshot.order[1].place = 0), "", "nobody has scored");
}

#[test]
fn rounds_are_named_where_work_has_no_end() {
    let lanes = [(3, 12, Status::Racing), (2, 30, Status::Racing), (0, 5, Status::Racing)];
    let clock = Clock::Running { zero_at_ms: 0 };
    let mut view = View::new(sample::open_heat(Scoring::AmrapRounds, &lanes, State::Running, clock));
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let overlay = at_rest(&view, [1920, 1080]);
    let said = words(&overlay, settle::Group::Card);
    assert!(said.contains(&"R3".to_owned()) && said.contains(&"R2".to_owned()), "{said:?}");
    assert!(words(&overlay, settle::Group::Ribbon).iter().any(|text| text.starts_with("AMRAP")));
}

#[test]
fn a_finish_keeps_its_card_until_it_is_read_and_a_no_rep_has_its_tag_for_two_seconds() {
    let mut view = sample::nine();
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let mut overlay = overlay([1920, 1080], Motion::Full);
    overlay.frame(Some(&view), Link::Live, times(462_300, 0));
    let course = view.snapshot.courses[0].clone();
    let lanes = vec![sample::count(&course, 2, course.units, Status::Finished)];
    let no_reps = vec![sample::no_rep(5, 463_300)];
    view.apply(&Delta { lanes, no_reps, ..sample::delta(11) }).expect("it runs on");
    let mut seen = |ms: i64| {
        overlay.frame(Some(&view), Link::Live, times(462_300 + ms, ms * 1000));
        let no_reps = lanes_of(&overlay, settle::Group::Card, Kind::NoRepText);
        (lanes_of(&overlay, settle::Group::Card, Kind::Row).contains(&2), no_reps)
    };
    assert_eq!(seen(1_000), (true, vec![5]));
    assert_eq!(seen(2_999), (true, vec![5]));
    assert_eq!(seen(3_000), (true, vec![]));
    assert!(seen(3_599).0);
    seen(3_600);
    assert!(!seen(4_000).0, "it has gone to the list");
    assert!(lanes_of(&overlay, settle::Group::Finishers, Kind::Name).contains(&2));
}

#[test]
fn a_name_that_is_divided_otherwise_is_written_anew() {
    let mut view = sample::nine();
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let mut overlay = at_rest(&view, [1920, 1080]);
    let written =
        |overlay: &Overlay, name: &str| words(overlay, settle::Group::Card).iter().any(|word| word == name);
    assert!(written(&overlay, "Sollund"));
    let entry = view.snapshot.entries.iter_mut().find(|entry| entry.family == "Sollund").unwrap();
    (entry.given, entry.family) = ("Sollund".into(), "Marit".into());
    overlay.frame(Some(&view), Link::Live, times(462_300, 1));
    assert!(written(&overlay, "Marit") && !written(&overlay, "Sollund"));
}
