//! When an overlay changes, what moves in between, and when it rests.

use super::*;

#[test]
fn with_nothing_on_there_is_no_frame_to_draw() {
    let view = sample::nine();
    let mut overlay = overlay([1920, 1080], Motion::Full);
    for frame_us in [0, 5_000_000] {
        assert!(overlay.frame(Some(&view), Link::Live, times(462_300, frame_us)).items.is_empty());
        assert_eq!((overlay.next_change_us(), overlay.extent()), (None, Rect::default()));
    }
    assert!(overlay.frame(None, Link::Never, times(0, 6_000_000)).items.is_empty());
    assert_eq!(overlay.next_change_us(), None);
}

#[test]
fn the_clock_alone_ticks_and_without_it_nothing_does() {
    let mut view = sample::nine();
    let mut overlay = overlay([1920, 1080], Motion::Full);
    let mut next = |shows: OverlayShows, frame_us: i64| {
        view.snapshot.shows.overlay = shows;
        for at_us in [frame_us - 4_000_000, frame_us - 3_000_000, frame_us] {
            overlay.frame(Some(&view), Link::Live, times(462_320, at_us));
        }
        overlay.next_change_us()
    };
    let none = OverlayShows::default();
    assert_eq!(next(OverlayShows { ribbon: true, ..none }, 10_000_000), Some(10_080_000));
    assert_eq!(next(OverlayShows { corner: true, ..none }, 20_000_000), Some(20_080_000));
    assert_eq!(next(OverlayShows { rail: true, ..none }, 30_000_000), None);
    assert_eq!(next(OverlayShows { duel: Some(Duel { left: 1, right: 2 }), ..none }, 40_000_000), None);
    assert_eq!(next(none, 50_000_000), None);
}

#[test]
fn the_picture_changes_when_it_said_and_not_before() {
    for seed in 0..40 {
        let (mut view, feed_ms) = heat(seed);
        view.snapshot.shows.overlay =
            OverlayShows { corner: seed % 3 == 0, ribbon: seed % 3 == 1, ..all(1, 2) };
        let mut overlay = overlay([1280, 720], Motion::Full);
        let at = |frame_us: i64| Times {
            feed_us: feed_ms * 1000 + frame_us - 1_000_000,
            frame_us,
            speed_milli: 1000,
        };
        overlay.frame(Some(&view), Link::Live, at(0));
        let first = overlay.frame(Some(&view), Link::Live, at(1_000_000)).clone();
        let Some(next_us) = overlay.next_change_us() else {
            assert_eq!(*overlay.frame(Some(&view), Link::Live, at(3_600_000_000)), first, "seed {seed}");
            continue;
        };
        assert!(next_us > 1_000_000, "seed {seed}: nothing moves");
        assert_eq!(*overlay.frame(Some(&view), Link::Live, at(next_us - 1)), first, "seed {seed}: too soon");
        if seed % 3 < 2 {
            assert_ne!(*overlay.frame(Some(&view), Link::Live, at(next_us)), first, "seed {seed}: too late");
        }
    }
}

#[test]
fn a_frame_depends_on_its_time_and_not_on_those_before() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let mut view = sample::nine();
    view.snapshot.shows.overlay = all(2, 4);
    let later = changed(&view, 462_300, &mut rng);
    let frames = |between: &[i64]| {
        let mut overlay = overlay([1280, 720], Motion::Full);
        overlay.frame(Some(&view), Link::Live, times(462_300, 0));
        overlay.frame(Some(&view), Link::Live, times(462_300, 600_000));
        overlay.frame(Some(&later), Link::Live, times(462_300, 700_000));
        for frame_us in between {
            overlay.frame(Some(&later), Link::Live, times(462_300, *frame_us));
        }
        let list = overlay.frame(Some(&later), Link::Live, times(462_300, 790_000));
        list.items.iter().map(|item| (item.key, item.bounds, item.clip)).collect::<Vec<_>>()
    };
    let straight = frames(&[]);
    assert_eq!(frames(&[710_000, 720_000, 750_000, 789_999]), straight);
    assert!(!straight.is_empty());
}

#[test]
fn parts_slide_in_and_out_in_time_and_reduced_motion_is_at_once() {
    let view = |on: bool| {
        let mut view = sample::nine();
        view.snapshot.shows.overlay = if on { all(2, 4) } else { OverlayShows::default() };
        view
    };
    let mut moving = overlay([1920, 1080], Motion::Full);
    let bounds = |list: &DrawList| list.items.iter().map(|item| item.bounds).collect::<Vec<_>>();
    moving.frame(Some(&view(true)), Link::Live, times(462_300, 0));
    let half = bounds(moving.frame(Some(&view(true)), Link::Live, times(462_300, 120_000)));
    let rest = bounds(moving.frame(Some(&view(true)), Link::Live, times(462_300, 400_000)));
    assert_ne!(half, rest);
    assert_eq!(bounds(moving.frame(Some(&view(true)), Link::Live, times(462_300, 3_000_000))), rest);
    moving.frame(Some(&view(false)), Link::Live, times(462_300, 3_000_000));
    assert_eq!(moving.next_change_us(), Some(3_000_000), "it leaves");
    assert!(!moving.frame(Some(&view(false)), Link::Live, times(462_300, 3_200_000)).items.is_empty());
    assert!(moving.frame(Some(&view(false)), Link::Live, times(462_300, 3_400_000)).items.is_empty());
    let mut still = overlay([1920, 1080], Motion::Reduced);
    assert_eq!(bounds(still.frame(Some(&view(true)), Link::Live, times(462_300, 0))), rest);
    assert!(still.frame(Some(&view(false)), Link::Live, times(462_300, 1_000_000)).items.is_empty());
    assert_eq!(still.next_change_us(), None);
}

#[test]
fn another_two_come_in_when_those_before_have_left() {
    let mut view = sample::nine();
    let mut overlay = overlay([1920, 1080], Motion::Full);
    let mut names = |left: u8, right: u8, frame_us: i64| {
        let duel = Some(Duel { left, right });
        view.snapshot.shows.overlay = OverlayShows { duel, ..OverlayShows::default() };
        let list = overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
        let names = list.items.iter().filter(|item| is(item, Kind::Name));
        names.map(|item| item.key.0 >> 32 & 0xFF).collect::<Vec<_>>()
    };
    names(2, 4, 0);
    assert_eq!(names(2, 4, 500_000), [2, 4]);
    assert_eq!(names(5, 1, 600_000), [2, 4], "those before leave first");
    names(5, 1, 960_000);
    assert_eq!(names(5, 1, 1_500_000), [5, 1]);
}

#[test]
fn frames_drawn_ahead_ask_for_the_one_that_takes_a_part_away() {
    for motion in [Motion::Full, Motion::Reduced] {
        let mut view = sample::nine();
        let mut overlay = overlay([1920, 1080], motion);
        overlay.set_ahead_us(200_000);
        let mut frame_us = 1_000_000;
        for rail in [true, false] {
            view.snapshot.shows.overlay = OverlayShows { rail, ..OverlayShows::default() };
            overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
            frame_us += 250_000;
        }
        // It is switched off before it was in. From here on only those frames come that it asks for.
        frame_us -= 250_000;
        while let Some(next_us) = overlay.next_change_us() {
            frame_us = next_us.max(frame_us + 16_667);
            assert!(frame_us < 3_000_000, "{motion:?}: it rests");
            overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
        }
        assert!(overlay.list.items.is_empty(), "{motion:?}: it has left");
    }
}

#[test]
fn the_next_two_come_by_themselves_where_nothing_may_move() {
    for ahead_us in [0, 150_000] {
        let mut view = sample::nine();
        let mut overlay = overlay([1920, 1080], Motion::Reduced);
        overlay.set_ahead_us(ahead_us);
        let mut names = |left: u8, right: u8, frame_us: i64| {
            let duel = Some(Duel { left, right });
            view.snapshot.shows.overlay = OverlayShows { duel, ..OverlayShows::default() };
            let list = overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
            let names = list.items.iter().filter(|item| is(item, Kind::Name));
            let lanes = names.map(|item| item.key.0 >> 32 & 0xFF).collect::<Vec<_>>();
            (lanes, overlay.next_change_us())
        };
        names(2, 4, 0);
        assert_eq!(names(2, 4, 1_000_000), (vec![2, 4], None));
        assert_eq!(names(5, 1, 2_000_000), (vec![], Some(2_360_000)), "those before leave at once");
        assert_eq!(names(5, 1, 2_360_000), (vec![5, 1], None));
    }
}

/// A swap is over in 0.3 s, and whoever climbs is whole all the way.
#[test]
fn a_swap_glides_and_the_climber_stays_readable() {
    let mut view = sample::nine();
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, ..OverlayShows::default() };
    let mut overlay = overlay([1920, 1080], Motion::Full);
    overlay.frame(Some(&view), Link::Live, times(462_300, 0));
    overlay.frame(Some(&view), Link::Live, times(462_300, 1_000_000));
    let mut order = view.snapshot.order.clone();
    // Lanes 2 and 4 have places 2 and 3.
    (order[1].place, order[3].place) = (order[3].place, order[1].place);
    view.apply(&Delta { order, ..sample::delta(11) }).expect("it runs on");
    let card = |list: &DrawList, lane: u64| {
        let row = list.items.iter().find(|item| {
            is(item, Kind::Row)
                && item.key.0 >> 32 & 0xFF == lane
                && item.key.0 >> 48 == settle::Group::Card as u64
        });
        row.map(|item| item.bounds)
    };
    let mut last = None;
    for frame_us in (1_000_000..1_400_000).step_by(16_667) {
        let list = overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
        let climber = card(list, 4).expect("it is there");
        let whole = overlay.places.cell(2.0).w;
        assert!(climber.w >= whole - 0.5, "{frame_us}: {climber:?}");
        assert!(last.is_none_or(|x| climber.x <= x), "it never goes back");
        last = Some(climber.x);
    }
    assert_eq!(last, Some(overlay.places.cell(2.0).x));
}
