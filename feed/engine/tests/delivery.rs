//! How calls arrive: once, twice, late, out of order, with holes. None of it may change what counts.

mod support;

use fivemark_engine::bounds::MAX_ENTRIES_PER_LANE;
use fivemark_engine::command::{Call, Floor, Tally};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::time::HeatMs;
use fivemark_engine::{HeatSetup, LaneView, Outcome, Refused, Standing, State};
use support::{GO, Phone, Rig, Seeded, part, set_count, setup, workout};

const LANES: u8 = 5;
const CAP: i64 = 90_000;

#[test]
fn a_number_applies_once_and_a_replay_gets_the_first_answer() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 10)]), 1));
    let first = rig.tap(1, 1_000, Call::Good);
    let second = rig.tap(1, 2_000, Call::Good);
    assert_eq!(rig.tally(GO + 1_000, first.clone()), Outcome::Applied { done: 1 });
    assert_eq!(rig.tally(GO + 2_000, second), Outcome::Applied { done: 2 });
    let before = rig.heat.clone();
    assert_eq!(rig.tally(GO + 2_000, first), Outcome::Applied { done: 1 });
    assert_eq!(rig.heat, before);
    assert_eq!(rig.heat.record(LaneNo(1)).map(<[_]>::len), Some(2));
}

#[test]
fn a_hole_is_asked_for_and_nothing_beyond_it_applies() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 10)]), 1));
    let calls: Vec<Tally> = (1..=3).map(|second| rig.tap(1, second * 1_000, Call::Good)).collect();
    let epoch = calls[0].epoch;
    rig.tally(GO + 1_000, calls[0].clone());
    assert_eq!(rig.tally(GO + 3_000, calls[2].clone()), Outcome::Gap { epoch, from: 2 });
    assert_eq!(rig.lane(1).done, 1);
    assert_eq!(rig.tally(GO + 3_100, calls[1].clone()), Outcome::Applied { done: 2 });
    assert_eq!(rig.tally(GO + 3_200, calls[2].clone()), Outcome::Applied { done: 3 });
}

#[test]
fn numbers_belong_to_a_page_load_of_a_device() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 10)]), 1));
    let mut call = rig.tap(1, 1_000, Call::Good);
    rig.tally(GO + 1_000, call.clone());
    call.epoch = Epoch(77);
    assert_eq!(rig.tally(GO + 1_100, call.clone()), Outcome::Applied { done: 2 });
    call.device = DeviceId("second phone".into());
    assert_eq!(rig.tally(GO + 1_200, call), Outcome::Applied { done: 3 });
}

#[test]
fn a_call_that_waited_out_an_outage_counts_when_it_was_tapped() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 3)]), 2));
    let waiting: Vec<Tally> = (1..=3).map(|second| rig.tap(1, second * 1_000, Call::Good)).collect();
    rig.goods(2, 2_000, 1_000, 3);
    assert_eq!(rig.places(), [0, 1]);
    for call in waiting {
        rig.tally(GO + 80_000, Tally { link_since: HeatMs(GO + 79_000), ..call });
    }
    assert_eq!((rig.text(1), rig.places()), ("0:03.0".into(), vec![1, 2]));
    assert!(rig.lane(1).flagged);
}

#[test]
fn a_call_may_finish_a_lane_after_time_was_called() {
    let mut rig = Rig::started(setup(workout(vec![part(0, 3)]), 2));
    rig.goods(1, 597_000, 1_000, 2);
    let last = rig.tap(1, 599_900, Call::Good);
    rig.pass(GO + 603_500);
    assert_eq!((rig.state(), rig.text(1).as_str()), (State::Provisional, "2 of 3"));
    assert_eq!(rig.tally(GO + 604_000, last), Outcome::Applied { done: 3 });
    assert_eq!((rig.text(1).as_str(), rig.lane(1).flagged), ("9:59.9", true));
    assert_eq!(rig.heat.state().finished, 1);
}

/// What the judges of a heat tap, by lane, in order of time. Taps are at odd milliseconds, so that none falls on
/// a floor command.
fn taps(seed: u64) -> Vec<Vec<(i64, Call)>> {
    let mut seeded = Seeded(seed);
    let lane = |pace: i64, seeded: &mut Seeded| {
        let mut at = GO + 1;
        let mut calls = vec![];
        while at < GO + CAP + 8_000 {
            at += 2 * (100 + seeded.below(pace));
            let call = match seeded.below(20) {
                0 | 1 => Call::NoRep,
                2 => Call::Undo,
                3 => Call::LastWasNoRep,
                _ => Call::Good,
            };
            calls.push((at, call));
        }
        calls
    };
    (0..LANES).map(|index| lane(600 + 300 * i64::from(index), &mut seeded)).collect()
}

fn plan() -> HeatSetup {
    let mut tie_break = part(0, 15);
    tie_break.tie_break = true;
    let mut plan = workout(vec![tie_break, part(2, 20)]);
    plan.clock.cap.0 = CAP;
    setup(plan, LANES)
}

/// What does not go through a phone: a hold with its resume, and a ruling, at moments of heat time.
fn incident(rig: &mut Rig, at: i64) {
    match at - GO {
        9_000 => assert_eq!(rig.rule(at, 2, set_count(7, None)), Outcome::Done),
        12_000 => rig.floor(at, Floor::Hold),
        14_000 => rig.floor(at, Floor::Resume),
        _ => {}
    }
}

const INCIDENTS: [i64; 3] = [GO + 9_000, GO + 12_000, GO + 14_000];

/// Numbered tallies of one lane's phone.
fn tallies(lane: u8, taps: &[(i64, Call)]) -> Vec<Tally> {
    let mut phone = Phone::new(lane, &format!("phone-{lane}"));
    taps.iter().map(|(at, call)| phone.tap(*at, *call)).collect()
}

fn tapped(tally: &Tally) -> i64 {
    tally.stamp.0 + tally.offset.map_or(0, |offset| offset.add.0)
}

/// Every call delivered the moment it was tapped; every so often an earlier one is sent again.
fn deliver_at_once(seed: u64, again: bool) -> Rig {
    let mut seeded = Seeded(seed ^ 0xA5A5);
    let mut rig = Rig::started(plan());
    let mut calls: Vec<Tally> =
        (1..=LANES).zip(taps(seed)).flat_map(|(lane, taps)| tallies(lane, &taps)).collect();
    calls.sort_by_key(|tally| (tapped(tally), tally.lane));
    let mut incidents = INCIDENTS.to_vec();
    for (index, call) in calls.iter().enumerate() {
        while let Some(first) = incidents.first().copied().filter(|at| *at < tapped(call)) {
            incident(&mut rig, first);
            incidents.remove(0);
        }
        rig.tally(tapped(call), call.clone());
        while again && index > 0 && seeded.chance(30) {
            let earlier = &calls[seeded.index(index)];
            rig.tally(tapped(call), earlier.clone());
        }
    }
    rig.pass(GO + 1_000_000);
    rig
}

/// Phones that reach the feed only now and then: each time they send all that is not acknowledged, in order, some
/// of it is lost on the way, and some acknowledgements are lost on the way back.
fn deliver_badly(seed: u64) -> Rig {
    let mut seeded = Seeded(seed ^ 0x5A5A);
    let mut rig = Rig::started(plan());
    let mut waiting: Vec<Vec<Tally>> =
        (1..=LANES).zip(taps(seed)).map(|(lane, t)| tallies(lane, &t)).collect();
    let mut moments: Vec<(i64, Option<usize>)> = INCIDENTS.iter().map(|at| (*at, None)).collect();
    for lane in 0..usize::from(LANES) {
        let mut at = GO;
        while at < GO + CAP + 60_000 {
            at += 2 * seeded.below(7_000);
            moments.push((at, Some(lane)));
        }
    }
    moments.sort_unstable();
    for (at, lane) in moments {
        match lane {
            None => incident(&mut rig, at),
            Some(lane) => send_waiting(&mut rig, &mut waiting[lane], at, &mut seeded),
        }
    }
    for (lane, mut left) in waiting.into_iter().enumerate() {
        let mut rounds = 0;
        while !left.is_empty() {
            send_waiting(&mut rig, &mut left, GO + 500_000 + rounds, &mut seeded);
            rounds += 1;
            assert!(rounds < 1_000, "lane {} never gets through", lane + 1);
        }
    }
    rig.pass(GO + 1_000_000);
    rig
}

fn send_waiting(rig: &mut Rig, waiting: &mut Vec<Tally>, at: i64, seeded: &mut Seeded) {
    let ready = waiting.iter().filter(|tally| tapped(tally) < at).count();
    let sent: Vec<Tally> = waiting[..ready].to_vec();
    for tally in sent {
        if seeded.chance(20) {
            continue;
        }
        let number = tally.number;
        let outcome = rig.tally(at, Tally { link_since: HeatMs(at), ..tally });
        let settled = matches!(outcome, Outcome::Applied { .. } | Outcome::NotCounted { .. });
        if settled && seeded.chance(70) {
            waiting.retain(|waiting| waiting.number != number);
        }
    }
}

/// What counts, without what tells how it arrived.
fn counted(rig: &Rig) -> (Vec<LaneView>, Vec<Standing>) {
    let lane = |lane| LaneView { flagged: false, judge_on: false, ..rig.lane(lane) };
    ((1..=LANES).map(lane).collect(), rig.heat.order().to_vec())
}

#[test]
fn retransmissions_change_nothing() {
    for seed in 0..40 {
        let once = deliver_at_once(seed, false);
        let again = deliver_at_once(seed, true);
        assert_eq!(once.state(), State::Provisional);
        assert_eq!(counted(&once), counted(&again), "seed {seed}");
        for lane in 1..=LANES {
            assert_eq!(once.heat.record(LaneNo(lane)), again.heat.record(LaneNo(lane)), "seed {seed}");
        }
    }
}

#[test]
fn delayed_delivery_gives_the_same_order_and_results() {
    let mut finishes = 0;
    let mut caps = 0;
    for seed in 0..200 {
        let at_once = deliver_at_once(seed, false);
        let badly = deliver_badly(seed);
        assert_eq!(badly.state(), State::Provisional);
        assert_eq!(counted(&at_once), counted(&badly), "seed {seed}");
        finishes += i64::from(at_once.heat.state().finished);
        caps += i64::from(LANES - at_once.heat.state().finished);
    }
    // The heats are of use only if lanes both finish and are stopped by the cap.
    assert!(finishes > 100 && caps > 100, "{finishes} finishes, {caps} caps");
}

#[test]
fn a_lanes_record_is_bounded_and_taking_back_stays_cheap() {
    // A phone that taps and takes back at one and the same moment, without end. Were each undo to go back over all
    // that came before it, this test would not come to its end in hours.
    let mut rig = Rig::started(setup(workout(vec![part(0, 100_000)]), 1));
    let calls =
        [(99_000, Call::Good), (99_000, Call::Undo), (26_000, Call::NoRep), (26_000, Call::LastWasNoRep)];
    for (count, call) in calls {
        for _ in 0..count {
            rig.say(1, 1_000, call);
        }
    }
    assert_eq!(rig.heat.record(LaneNo(1)).map(<[_]>::len), Some(MAX_ENTRIES_PER_LANE));
    let full = Outcome::Refused(Refused::RecordFull(LaneNo(1)));
    assert_eq!(rig.say(1, 1_000, Call::Good), full);
    assert_eq!(rig.rule(GO + 1_000, 1, set_count(3, None)), full);
}
