//! Lanes set before the start: athletes change places, leave and come in; what was said of them goes along, and phones
//! stay.

mod support;

use fivemark_engine::command::{Call, Command, Floor, RulingKind, SetLanes, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::ScoreRule;
use fivemark_engine::{Event, HeatSetup, NotCounted, Outcome, Refused, RemarkKind, State, Status, Verdict};
use support::{GO, Rig, Seeded, part, set_count, setup, status, three_of_four, time_penalty, workout};

/// Lanes 1 to 4 of one division, with athletes on those that are named.
fn plan(occupied: &[u8]) -> HeatSetup {
    let mut plan = three_of_four();
    for lane in &mut plan.lanes {
        lane.occupied = occupied.contains(&lane.lane.0);
    }
    plan
}

fn command(setup: HeatSetup, stays: &[(u8, u8)]) -> Command {
    let stays = stays.iter().map(|(before, after)| (LaneNo(*before), LaneNo(*after))).collect();
    let (says, reason) = ("lanes 1 and 2 change".into(), "drawn anew".into());
    Command::SetLanes(SetLanes { setup, stays, says, reason })
}

fn set(rig: &mut Rig, at: i64, setup: HeatSetup, stays: &[(u8, u8)]) -> Outcome {
    rig.send(at, &command(setup, stays))
}

#[test]
fn athletes_change_places_and_take_along_what_was_ruled() {
    let mut rig = Rig::new(three_of_four());
    rig.link(500, 1, true);
    assert_eq!(rig.rule(1_000, 1, time_penalty(5_000)), Outcome::Done);
    // 1 and 2 change, 3 goes to the empty lane 4.
    assert_eq!(set(&mut rig, 2_000, plan(&[1, 2, 4]), &[(1, 2), (2, 1), (3, 4)]), Outcome::Done);
    assert!(rig.events.contains(&Event::EntriesChanged));
    assert_eq!([1, 2, 3, 4].map(|lane| rig.lane(lane).status == Status::Empty), [false, false, true, false]);
    let remark = &rig.heat.remarks()[0];
    assert_eq!((remark.what, remark.says.as_str()), (RemarkKind::LanesSet, "lanes 1 and 2 change"));
    assert_eq!(remark.reason, "drawn anew");
    // The phone stayed on lane 1, and the penalty went to lane 2.
    assert!(rig.lane(1).judge_on && !rig.lane(2).judge_on);
    assert_eq!(
        [1, 2, 4].map(|lane| rig.heat.record(LaneNo(lane)).map(<[_]>::len)),
        [Some(0), Some(1), Some(0)]
    );
    rig.floor(3_000, Floor::OnDeck);
    rig.floor(GO - 10_000, Floor::StartCountdown);
    rig.pass(GO);
    rig.goods(2, 3_000, 3_000, 10);
    assert_eq!(rig.text(2), "0:35.0");
    assert_eq!(rig.say(3, 31_000, Call::Good), Outcome::NotCounted { why: NotCounted::EmptyLane, done: 0 });
    rig.replays(three_of_four());
}

#[test]
fn a_ring_of_three_comes_out_right() {
    let mut rig = Rig::new(plan(&[1, 2, 3]));
    for (lane, seconds) in [(1, 1), (2, 2), (3, 3)] {
        assert_eq!(rig.rule(1_000, lane, time_penalty(seconds * 1_000)), Outcome::Done);
    }
    assert_eq!(set(&mut rig, 2_000, plan(&[1, 3, 4]), &[(1, 3), (2, 4), (3, 1)]), Outcome::Done);
    let penalty =
        |lane: u8| match rig.heat.record(LaneNo(lane)).and_then(<[_]>::first).map(|entry| &entry.said) {
            Some(fivemark_engine::Said::Ruling(ruling)) => ruling.kind.clone(),
            other => panic!("lane {lane} has {other:?}"),
        };
    assert_eq!([1, 3, 4].map(penalty), [3, 1, 2].map(|seconds| time_penalty(seconds * 1_000)));
    assert!(rig.heat.record(LaneNo(2)).is_some_and(<[_]>::is_empty));
    rig.replays(plan(&[1, 2, 3]));
}

#[test]
fn who_leaves_takes_nothing_of_the_next_one_and_stays_in_the_record() {
    let mut rig = Rig::new(three_of_four());
    assert_eq!(rig.rule(1_000, 3, status(StatusRuling::DidNotStart)), Outcome::Done);
    assert_eq!(
        rig.say(3, -20_000, Call::Good),
        Outcome::NotCounted { why: NotCounted::BeforeStart, done: 0 }
    );
    // Lane 3's athlete leaves and another one comes to the same lane.
    assert_eq!(set(&mut rig, 12_000, plan(&[1, 2, 3]), &[(1, 1), (2, 2)]), Outcome::Done);
    assert_eq!(rig.lane(3).status, Status::Racing);
    assert!(rig.heat.record(LaneNo(3)).is_some_and(<[_]>::is_empty));
    let past = &rig.heat.past_runs()[0];
    assert_eq!((past.run, past.lanes.len(), past.lanes[0].lane), (1, 1, LaneNo(3)));
    assert_eq!(past.lanes[0].record.len(), 2);
    assert_eq!(past.lanes[0].record[1].verdict, Verdict::NotCounted(NotCounted::BeforeStart));
    // The phone of lane 3 goes on with its numbers, for who stands there now.
    rig.floor(13_000, Floor::OnDeck);
    rig.floor(GO - 10_000, Floor::StartCountdown);
    rig.pass(GO);
    rig.goods(3, 3_000, 3_000, 2);
    assert_eq!(rig.lane(3).done, 2);
    rig.replays(three_of_four());
}

#[test]
fn lanes_are_set_before_the_start_alone() {
    let mut rig = Rig::new(three_of_four());
    let swap = [(1, 2), (2, 1), (3, 3)];
    rig.floor(1_000, Floor::OnDeck);
    assert_eq!(set(&mut rig, 1_500, plan(&[1, 2, 3]), &swap), Outcome::Done);
    let refused = |rig: &mut Rig, at, why| {
        let before = rig.heat.clone();
        assert_eq!(set(rig, at, plan(&[1, 2, 3]), &swap), Outcome::Refused(why));
        assert_eq!(rig.heat.remarks(), before.remarks());
    };
    rig.floor(GO - 10_000, Floor::StartCountdown);
    refused(&mut rig, GO - 9_000, Refused::LanesAfterStart(State::Countdown));
    refused(&mut rig, GO + 1_000, Refused::LanesAfterStart(State::Running));
    rig.floor(GO + 2_000, Floor::CallTime);
    rig.floor(GO + 3_000, Floor::RerunLane { lane: LaneNo(2), reason: "the bar".into() });
    refused(&mut rig, GO + 4_000, Refused::RunsAlone(LaneNo(2)));
    rig.floor(GO + 5_000, Floor::Cancel);
    rig.floor(GO + 7_000, Floor::Sign { initials: false });
    refused(&mut rig, GO + 8_000, Refused::HeatSigned);
    rig.floor(GO + 9_000, Floor::Reopen { reason: "two athletes stood in each other's lanes".into() });
    // The whole heat runs again: its lanes may be set, and the run before keeps its record.
    rig.floor(GO + 10_000, Floor::Rerun { reason: "two athletes stood in each other's lanes".into() });
    assert_eq!(set(&mut rig, GO + 11_000, plan(&[1, 2, 4]), &[(1, 2), (2, 1), (3, 4)]), Outcome::Done);
    rig.start_again(GO + 20_000);
    rig.follow_runs();
    rig.goods(4, 31_000, 1_000, 10);
    assert_eq!(rig.text(4), "0:10.0");
    rig.replays(three_of_four());
}

#[test]
fn a_setting_that_does_not_fit_changes_nothing() {
    let mut rig = Rig::new(three_of_four());
    let before = rig.heat.clone();
    let without_workout = HeatSetup { workouts: vec![], ..plan(&[1, 2, 3]) };
    let mut other_lanes = plan(&[1, 2, 3]);
    other_lanes.lanes.pop();
    for (setup, stays, why) in [
        (plan(&[1, 2]), [(1, 1), (2, 3)], Refused::EmptyLane(LaneNo(3))),
        (plan(&[1, 2]), [(1, 1), (4, 2)], Refused::EmptyLane(LaneNo(4))),
        (plan(&[1, 2]), [(1, 1), (1, 2)], Refused::LaneTaken(LaneNo(2))),
        (plan(&[1, 2]), [(1, 1), (2, 1)], Refused::LaneTaken(LaneNo(1))),
        (plan(&[1, 2]), [(1, 1), (2, 9)], Refused::UnknownLane(LaneNo(9))),
        (other_lanes, [(1, 1), (2, 2)], Refused::OtherLanes),
        (without_workout, [(1, 1), (2, 2)], Refused::LanesCannotRun),
    ] {
        assert_eq!(set(&mut rig, 1_000, setup, &stays), Outcome::Refused(why));
    }
    let mut unsaid = command(plan(&[1, 2]), &[(1, 1), (2, 2)]);
    if let Command::SetLanes(said) = &mut unsaid {
        said.reason = " ".into();
    }
    assert_eq!(rig.send(1_000, &unsaid), Outcome::Refused(Refused::NoReason));
    assert_eq!((rig.heat.state(), rig.heat.order()), (before.state(), before.order()));
    assert!(rig.heat.remarks().is_empty());
}

#[test]
fn who_comes_in_may_bring_a_division_and_a_start() {
    let mut rig = Rig::new(three_of_four());
    // Lane 4 is filled from another division, whose ten squats weigh double, and starts 5 s late. Divisions are numbered
    // anew: the one that comes in is the first.
    let mut heavy = part(0, 10);
    heavy.scores = ScoreRule::WhenDone(20);
    let mut other = workout(vec![heavy]);
    other.clock.cap = SpanMs(60_000);
    let mut wanted = setup(other, 4);
    wanted.workouts.push(three_of_four().workouts[0].clone());
    for lane in &mut wanted.lanes[..3] {
        (lane.division, lane.workout) = (1, 1);
    }
    wanted.lanes[3].start = SpanMs(5_000);
    assert_eq!(set(&mut rig, 1_000, wanted, &[(1, 1), (2, 2), (3, 3)]), Outcome::Done);
    rig.floor(2_000, Floor::OnDeck);
    rig.floor(GO - 10_000, Floor::StartCountdown);
    rig.pass(GO);
    rig.goods(1, 3_000, 3_000, 10);
    rig.goods(4, 31_000, 1_000, 10);
    assert_eq!((rig.lane(1).score, rig.lane(4).score), (10, 20));
    assert_eq!((rig.text(1), rig.text(4)), ("0:30.0".to_owned(), "0:35.0".to_owned()));
    let places = [1, 4].map(|lane| rig.standing(lane).division_place);
    assert_eq!(places, [1, 1]);
    rig.ruled(50_000, 2, set_count(4, None));
    assert_eq!(
        rig.rule(GO + 51_000, 2, RulingKind::MoveAthlete { to: LaneNo(4) }),
        Outcome::Refused(Refused::LaneTaken(LaneNo(4)))
    );
    rig.replays(three_of_four());
}

/// Whatever is set over and over, nothing that was said is lost or said twice, and a journal gives the same heat again.
#[test]
fn nothing_is_lost_however_lanes_are_set() {
    for seed in 0..200 {
        let mut seeded = Seeded(seed);
        let mut rig = Rig::new(three_of_four());
        let mut said = 0;
        for step in 0..20 {
            let at = 1_000 * (step + 1);
            let lane = u8::try_from(1 + seeded.below(4)).expect("in range");
            match seeded.below(3) {
                0 => said += usize::from(rig.rule(at, lane, time_penalty(1_000)) == Outcome::Done),
                1 => {
                    rig.say(lane, at - GO, Call::Good);
                    said += 1;
                }
                _ => {
                    // Athletes are dealt out anew; some leave.
                    let mut lanes = vec![1, 2, 3, 4];
                    let mut stays = Vec::new();
                    for before in 1..=4 {
                        let stands = rig.lane(before).status != Status::Empty;
                        if stands && seeded.chance(80) {
                            stays.push((before, lanes.remove(seeded.index(lanes.len()))));
                        }
                    }
                    let mut occupied: Vec<u8> = stays.iter().map(|(_, after)| *after).collect();
                    if seeded.chance(50) {
                        occupied.extend(lanes.first());
                    }
                    set(&mut rig, at, plan(&occupied), &stays);
                }
            }
        }
        let now: usize = (1..=4).filter_map(|lane| rig.heat.record(LaneNo(lane))).map(<[_]>::len).sum();
        let past: usize =
            rig.heat.past_runs().iter().flat_map(|run| &run.lanes).map(|lane| lane.record.len()).sum();
        assert_eq!(now + past, said, "seed {seed}");
        rig.replays(three_of_four());
    }
}
