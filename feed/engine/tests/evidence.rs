//! What is kept beside a lane's result and decides nothing: stops by hand, and the deadline of a review.

mod support;

use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::{Event, NotCounted, Outcome, Refused, Status, Verdict};
use support::{GO, Rig, status, three_of_four, time_penalty};

fn stop(ms: i64) -> RulingKind {
    RulingKind::NoteStop(SpanMs(ms))
}

fn review(minutes: i64) -> RulingKind {
    RulingKind::Review(SpanMs(minutes * 60_000))
}

fn says(rig: &Rig) -> String {
    let ruled = rig.events.iter().rev().find_map(|event| match event {
        Event::Ruled { says, .. } => Some(says.clone()),
        _ => None,
    });
    ruled.expect("a ruling was made")
}

#[test]
fn a_stop_by_hand_stands_beside_the_finish_and_changes_nothing() {
    let mut rig = Rig::started(three_of_four());
    rig.goods(1, 3_000, 3_000, 9);
    let before = (rig.lane(1).done, rig.heat.state(), rig.heat.order().to_vec());
    // Stopped by hand at 29.94, and the last rep tapped at 30.0.
    assert_eq!(rig.say(1, 29_940, Call::ManualStop), Outcome::Applied { done: 9 });
    assert_eq!(before, (rig.lane(1).done, rig.heat.state(), rig.heat.order().to_vec()));
    rig.goods(1, 30_000, 0, 1);
    let view = rig.lane(1);
    assert_eq!(
        (rig.text(1).as_str(), view.stop),
        ("0:30.0", Some(SpanMs(30_000))),
        "cut up to the tenth, as the finish is"
    );
    assert!(!view.ruled && !view.flagged);
    let record = rig.heat.record(LaneNo(1)).expect("a lane of the heat");
    assert_eq!((record[9].verdict, record[9].effective), (Verdict::Noted, HeatMs(GO + 29_940)));
    // Undo takes back the last rep, and not the stop that came after it.
    assert_eq!(rig.say(1, 31_000, Call::ManualStop), Outcome::Applied { done: 10 });
    assert_eq!(rig.say(1, 32_000, Call::Undo), Outcome::Applied { done: 9 });
    assert_eq!((rig.lane(1).stop, rig.lane(1).status), (Some(SpanMs(31_000)), Status::Racing));
    rig.replays(three_of_four());
}

#[test]
fn a_stop_by_hand_counts_by_its_own_moment_and_not_before_the_start() {
    let mut rig = Rig::new(three_of_four());
    rig.floor(1_000, Floor::OnDeck);
    assert_eq!(
        rig.say(1, -20_000, Call::ManualStop),
        Outcome::NotCounted { why: NotCounted::BeforeStart, done: 0 }
    );
    rig.floor(GO - 10_000, Floor::StartCountdown);
    rig.pass(GO);
    rig.goods(1, 3_000, 1_000, 10);
    // It comes in after the finish, and was tapped at it.
    let late = rig.tap(1, 12_010, Call::ManualStop);
    assert_eq!(rig.tally(GO + 15_000, late), Outcome::Applied { done: 10 });
    assert_eq!((rig.text(1).as_str(), rig.lane(1).stop), ("0:12.0", Some(SpanMs(12_100))));
    // A penalty is no part of it.
    rig.ruled(16_000, 1, time_penalty(5_000));
    assert_eq!((rig.text(1).as_str(), rig.lane(1).stop), ("0:17.0", Some(SpanMs(12_100))));
    rig.replays(three_of_four());
}

#[test]
fn the_head_judge_notes_a_stop_by_hand_too() {
    let mut rig = Rig::new(three_of_four());
    assert!(matches!(rig.rule(1_000, 1, stop(30_000)), Outcome::Refused(Refused::NotInThisState(_))));
    let mut rig = Rig::started(three_of_four());
    rig.goods(1, 3_000, 1_000, 10);
    rig.ruled(13_000, 1, stop(11_900));
    assert_eq!(says(&rig), "noted a stop by hand at 0:11.9");
    let view = rig.lane(1);
    assert_eq!((rig.text(1).as_str(), view.stop, view.ruled), ("0:12.0", Some(SpanMs(11_900)), false));
    for out in [-1, 86_400_001] {
        assert!(matches!(
            rig.rule(GO + 14_000, 1, stop(out)),
            Outcome::Refused(Refused::TimeOutOfRange { .. })
        ));
    }
    // It stands in nobody's way: the judge still takes the last call back.
    assert_eq!(rig.say(1, 15_000, Call::Undo), Outcome::Applied { done: 9 });
    rig.replays(three_of_four());
}

#[test]
fn a_review_says_until_when_and_never_decides() {
    let mut rig = Rig::started(three_of_four());
    rig.goods(1, 3_000, 1_000, 4);
    rig.ruled(8_000, 1, review(1));
    assert_eq!(says(&rig), "put under review, to be decided within 1 min");
    let view = rig.lane(1);
    assert_eq!((view.status, view.review_until), (Status::UnderReview, Some(HeatMs(GO + 68_000))));
    // Long after the deadline it is under review all the same, and the heat is not signed.
    rig.floor(GO + 9_000, Floor::CallTime);
    rig.floor(GO + 10_000, Floor::Close);
    rig.pass(GO + 500_000);
    assert_eq!(
        (rig.lane(1).status, rig.lane(1).review_until),
        (Status::UnderReview, Some(HeatMs(GO + 68_000)))
    );
    let sign = Floor::Sign { initials: false };
    assert_eq!(rig.refused(GO + 500_000, sign), Refused::UnderReview(LaneNo(1)));
    // Another deadline takes its place, and a review without one has none.
    rig.ruled(501_000, 1, review(20));
    assert_eq!(rig.lane(1).review_until, Some(HeatMs(GO + 1_701_000)));
    rig.ruled(502_000, 1, status(StatusRuling::UnderReview));
    assert_eq!(rig.lane(1).review_until, None);
    rig.ruled(503_000, 1, review(2));
    rig.ruled(504_000, 1, status(StatusRuling::Reinstated));
    assert_eq!(
        (rig.lane(1).status, rig.lane(1).review_until, rig.text(1).as_str()),
        (Status::Capped, None, "4 of 10")
    );
    for out in [0, -5, 1_441] {
        assert_eq!(rig.rule(GO + 505_000, 1, review(out)), Outcome::Refused(Refused::DeadlineOutOfRange));
    }
    rig.replays(three_of_four());
}
