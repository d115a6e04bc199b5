//! A phone against a feed that does only what the wire promises, over links that lose, double and reorder messages
//! and break: every call is applied once, in order, and answered once.

use std::collections::BTreeMap;

use fivemark_demo::calls::MAX_WAITING;
use fivemark_demo::judge::Tap;
use fivemark_demo::phone::{Identity, Phone, PhoneError};
use fivemark_wire::clock::Exchange;
use fivemark_wire::from_client::{Call, ClientMessage, Resume, Role, Tally};
use fivemark_wire::from_feed::{
    Ack, ClockReply, Delta, FeedMessage, Gap, Reason, ReasonCode, Refusal, Snapshot, Subject, Welcome,
};
use fivemark_wire::view::{Clock, HeatState, LaneCount, State, Status, Titles};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

const SECOND_US: i64 = 1_000_000;

fn phone(epoch: u64) -> Phone {
    let identity = Identity { lane: 3, device: "phone-3".to_owned(), access_key: "key".to_owned() };
    Phone::new(identity, epoch)
}

fn welcome() -> FeedMessage {
    FeedMessage::Welcome(Welcome {
        role: Role::LaneJudge,
        lane: Some(3),
        access_key: None,
        standing_by: false,
        stream: "stream".to_owned(),
        speed_milli: 1_000,
        version: "0".to_owned(),
    })
}

fn heat() -> HeatState {
    HeatState {
        state: State::Running,
        run: 1,
        clock: Clock::Idle,
        cap_ms: 600_000,
        resolution_ms: 100,
        finished: 0,
        starters: 1,
        first_on_floor: 0,
        cap_on_heat: false,
        ends_ms: None,
        clock_in_doubt: false,
        alone: None,
    }
}

fn count(run: u32) -> LaneCount {
    LaneCount {
        lane: 3,
        run,
        status: Status::Racing,
        done: 0,
        score: 0,
        tries: None,
        round: 1,
        round_score: 0,
        part: 0,
        part_done: 0,
        to_go: None,
        result: None,
        credit_ms: None,
        tie_break_ms: None,
        stop_ms: None,
        review_until_ms: None,
        no_reps: 0,
        last_good_ms: None,
        ruled: false,
        flagged: false,
        judge_on: true,
        confirmed: false,
    }
}

fn snapshot(number: u64) -> FeedMessage {
    let titles = Titles {
        event: String::new(),
        workout: String::new(),
        heat: 7,
        heat_name: String::new(),
        divisions: Vec::new(),
        heats: vec![7],
    };
    FeedMessage::Snapshot(Box::new(Snapshot {
        number,
        at_ms: 0,
        titles,
        heat: heat(),
        courses: Vec::new(),
        entries: Vec::new(),
        lanes: vec![count(1)],
        order: Vec::new(),
        journal_ok: true,
        initials: true,
        shows: Box::default(),
        next: None,
    }))
}

fn delta(number: u64, lane: Option<LaneCount>) -> FeedMessage {
    FeedMessage::Delta(Delta {
        number,
        at_ms: 0,
        heat: None,
        lanes: lane.into_iter().collect(),
        order: Vec::new(),
        no_reps: Vec::new(),
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    })
}

fn ack(epoch: u64, number: u32) -> FeedMessage {
    FeedMessage::Ack(Ack { of: Subject::Tally { epoch, number }, not_counted: None, done: None })
}

fn refusal(of: Subject, code: ReasonCode) -> FeedMessage {
    FeedMessage::Refusal(Refusal { of, why: Reason { code, says: "no".to_owned() } })
}

fn good() -> Tap {
    Tap { at_ms: 0, call: Call::Good, amount: 0, fault: None }
}

fn drain(phone: &mut Phone, now_us: i64) -> Vec<ClientMessage> {
    std::iter::from_fn(|| phone.poll_message(now_us)).collect()
}

fn tallies(phone: &mut Phone, now_us: i64) -> Vec<Tally> {
    let tally = |message| match message {
        ClientMessage::Tally(tally) => Some(tally),
        _ => None,
    };
    drain(phone, now_us).into_iter().filter_map(tally).collect()
}

/// A phone on the line that knows the heat and its clock: the feed's is 5 s ahead.
fn on_line() -> Phone {
    let mut phone = phone(11);
    phone.link_up(0);
    assert!(matches!(drain(&mut phone, 0)[..], [ClientMessage::Join(_)]));
    for message in [welcome(), snapshot(40)] {
        phone.hear(message, 0).expect("nothing is refused");
    }
    drain(&mut phone, 0);
    let reply = ClockReply { t1_us: 0, t2_us: 5 * SECOND_US, t3_us: 5 * SECOND_US };
    phone.hear(FeedMessage::Clock(reply), 0).expect("nothing is refused");
    phone
}

/// What the wire promises of a feed: each (epoch, number) applies once, a replay is answered again, a hole is asked
/// for.
#[derive(Default)]
struct PlainFeed {
    applied: BTreeMap<u64, Vec<Tally>>,
}

impl PlainFeed {
    fn hear(&mut self, message: ClientMessage, now_us: i64) -> Vec<FeedMessage> {
        match message {
            ClientMessage::Join(_) => vec![welcome(), snapshot(1)],
            ClientMessage::Clock(request) => {
                let (t2_us, t3_us) = (now_us, now_us);
                vec![FeedMessage::Clock(ClockReply { t1_us: request.t1_us, t2_us, t3_us })]
            }
            ClientMessage::Tally(tally) => {
                let (epoch, number) = (tally.epoch, tally.number);
                let known = self.applied.entry(epoch).or_default();
                let next = u32::try_from(known.len()).expect("a short storm") + 1;
                if number > next {
                    return vec![FeedMessage::Gap(Gap { epoch, from: next })];
                }
                if number == next {
                    known.push(tally);
                }
                vec![ack(epoch, number)]
            }
            _ => Vec::new(),
        }
    }
}

/// One world: taps for two minutes over a link that does everything that links do, then calm until all is answered.
fn storm(seed: u64) -> (Vec<i64>, PlainFeed, Phone, Vec<(u64, u32)>) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut phone = phone(1);
    let mut feed = PlainFeed::default();
    let (mut to_feed, mut to_phone) = (Vec::new(), Vec::new());
    let (mut stamps, mut answers) = (Vec::new(), Vec::new());
    let (mut linked, mut epoch, mut heard_of_heat) = (false, 1, false);
    for step in 0..40_000_i64 {
        let now_us = step * 20_000;
        let stormy = now_us < 120 * SECOND_US;
        if !linked && rng.random_ratio(1, 40) {
            phone.link_up(now_us);
            linked = true;
        } else if linked && stormy && rng.random_ratio(1, 600) {
            linked = false;
            (to_feed, to_phone) = (Vec::new(), Vec::new());
            phone.link_down();
            if rng.random_ratio(1, 3) {
                epoch += 1;
                phone.reload(epoch);
            }
        }
        if stormy && heard_of_heat && rng.random_ratio(1, 30) {
            phone.tap(&good(), step, step).expect("there is room");
            stamps.push(step);
        }
        for message in drain(&mut phone, now_us) {
            let copies = if !stormy || matches!(message, ClientMessage::Join(_)) {
                1
            } else {
                [0, 1, 1, 1, 1, 1, 1, 2][rng.random_range(0..8)]
            };
            for _ in 0..copies {
                to_feed.push((now_us + rng.random_range(10_000..400_000), message.clone()));
            }
        }
        to_feed.shuffle(&mut rng);
        for (_, message) in to_feed.extract_if(.., |(due, _)| *due <= now_us) {
            to_phone.extend(
                feed.hear(message, now_us)
                    .into_iter()
                    .map(|m| (now_us + rng.random_range(10_000..400_000), m)),
            );
        }
        for (_, message) in to_phone.extract_if(.., |(due, _)| *due <= now_us) {
            heard_of_heat |= matches!(message, FeedMessage::Snapshot(_));
            phone.hear(message, now_us).expect("nothing is refused");
        }
        answers
            .extend(std::iter::from_fn(|| phone.poll_answer()).map(|answer| (answer.epoch, answer.number)));
        if !stormy && phone.waiting() == 0 {
            break;
        }
    }
    (stamps, feed, phone, answers)
}

#[test]
fn every_call_is_applied_once_in_order_and_answered_once() {
    let (mut losses, mut gaps, mut again, mut reloads) = (0, 0, 0, 0);
    for seed in 0..30 {
        let (stamps, feed, phone, mut answers) = storm(seed);
        assert!(stamps.len() > 100, "seed {seed}: only {} taps", stamps.len());
        assert_eq!(phone.waiting(), 0, "seed {seed}");
        // Epochs count up here, and within one the feed takes numbers in order: so this is the order of tapping.
        let applied: Vec<i64> = feed.applied.values().flatten().map(|tally| tally.stamp_ms).collect();
        assert_eq!(applied, stamps, "seed {seed}");
        let sent = feed.applied.values().flatten().map(|tally| (tally.epoch, tally.number));
        let sent: Vec<(u64, u32)> = sent.collect();
        answers.sort_unstable();
        assert_eq!(answers, sent, "seed {seed}");
        let counters = phone.counters();
        (losses, gaps) = (losses + counters.losses, gaps + counters.gaps);
        (again, reloads) = (again + counters.again, reloads + counters.reloads);
    }
    assert!(losses > 30 && gaps > 30 && again > 100 && reloads > 10, "{losses} {gaps} {again} {reloads}");
}

#[test]
fn calls_go_out_in_order_with_the_offset_of_their_page() {
    let mut phone = on_line();
    for stamp in 1..=3 {
        phone.tap(&good(), stamp, stamp).unwrap();
    }
    let sent = tallies(&mut phone, 10);
    assert_eq!(sent.iter().map(|tally| tally.number).collect::<Vec<_>>(), [1, 2, 3]);
    assert!(sent.iter().all(|tally| (tally.heat, tally.run, tally.lane) == (7, 1, 3)));
    let exchange = Exchange { t1_us: 0, t2_us: 5 * SECOND_US, t3_us: 5 * SECOND_US, t4_us: 0 };
    assert!(sent.iter().all(|tally| tally.offset.unwrap().add_us == exchange.offset_us()));
    assert!(tallies(&mut phone, 20).is_empty(), "nothing is sent twice without a reason");
}

#[test]
fn a_call_waits_for_the_clock_of_its_page() {
    let mut phone = phone(5);
    phone.link_up(0);
    drain(&mut phone, 0);
    for message in [welcome(), snapshot(1)] {
        phone.hear(message, 0).expect("nothing is refused");
    }
    phone.tap(&good(), 1, 1).unwrap();
    assert!(tallies(&mut phone, 10).is_empty());
    let reply = ClockReply { t1_us: 0, t2_us: 9, t3_us: 9 };
    phone.hear(FeedMessage::Clock(reply), 20).unwrap();
    assert_eq!(tallies(&mut phone, 20).len(), 1);
}

#[test]
fn a_hole_is_filled_once_however_often_it_is_asked_for() {
    let mut phone = on_line();
    for stamp in 1..=4 {
        phone.tap(&good(), stamp, stamp).unwrap();
    }
    assert_eq!(tallies(&mut phone, 10).len(), 4);
    phone.hear(ack(11, 1), 20).unwrap();
    phone.hear(FeedMessage::Gap(Gap { epoch: 11, from: 2 }), 30).unwrap();
    assert_eq!(tallies(&mut phone, 40).iter().map(|tally| tally.number).collect::<Vec<_>>(), [2, 3, 4]);
    phone.hear(FeedMessage::Gap(Gap { epoch: 11, from: 2 }), 50).unwrap();
    assert!(tallies(&mut phone, 60).is_empty());
}

#[test]
fn an_unanswered_call_is_sent_again_after_a_while() {
    let mut phone = on_line();
    phone.tap(&good(), 1, 1).unwrap();
    assert_eq!(tallies(&mut phone, 10).len(), 1);
    assert!(tallies(&mut phone, 3 * SECOND_US).is_empty());
    assert_eq!(tallies(&mut phone, 5 * SECOND_US).len(), 1);
    // Then it waits twice as long.
    assert!(tallies(&mut phone, 10 * SECOND_US).is_empty());
    assert_eq!(tallies(&mut phone, 14 * SECOND_US).len(), 1);
    phone.hear(ack(11, 1), 15 * SECOND_US).unwrap();
    phone.hear(ack(11, 1), 15 * SECOND_US).unwrap();
    assert!(phone.poll_answer().is_some() && phone.poll_answer().is_none());
    assert_eq!(phone.counters().double_answers, 1);
}

#[test]
fn told_too_fast_it_waits_and_sends_again_from_there() {
    let mut phone = on_line();
    for stamp in 1..=3 {
        phone.tap(&good(), stamp, stamp).unwrap();
    }
    tallies(&mut phone, 10);
    let of = Subject::Tally { epoch: 11, number: 2 };
    phone.hear(refusal(of, ReasonCode::TooFast), 20).unwrap();
    phone.hear(ack(11, 1), 30).unwrap();
    assert!(tallies(&mut phone, 40).is_empty());
    let again = tallies(&mut phone, 2 * SECOND_US);
    assert_eq!(again.iter().map(|tally| tally.number).collect::<Vec<_>>(), [2, 3]);
}

#[test]
fn a_final_refusal_is_an_error_that_says_why() {
    let mut phone = on_line();
    phone.tap(&good(), 1, 1).unwrap();
    tallies(&mut phone, 10);
    let of = Subject::Tally { epoch: 11, number: 1 };
    let refused = phone.hear(refusal(of, ReasonCode::UnknownLane), 20);
    assert_eq!(refused, Err(PhoneError::CallRefused { lane: 3, number: 1, says: "no".to_owned() }));
    let refused = phone.hear(refusal(Subject::Join, ReasonCode::WrongAccessKey), 20);
    assert_eq!(refused, Err(PhoneError::TurnedAway { lane: 3, says: "no".to_owned() }));
    assert_eq!(phone.hear(refusal(Subject::Join, ReasonCode::ShuttingDown), 20), Ok(()));
}

#[test]
fn missed_deltas_are_asked_for_and_the_run_is_followed() {
    let mut phone = on_line();
    phone.hear(delta(41, Some(count(2))), 10).unwrap();
    phone.hear(delta(43, None), 20).unwrap();
    phone.hear(delta(44, None), 30).unwrap();
    let resume = ClientMessage::Resume(Resume { stream: "stream".to_owned(), last: 41 });
    assert_eq!(drain(&mut phone, 40), [resume]);
    phone.tap(&good(), 1, 1).unwrap();
    assert_eq!(tallies(&mut phone, 50)[0].run, 2);
    phone.link_down();
    phone.link_up(60);
    let join = drain(&mut phone, 60);
    assert!(matches!(&join[..], [ClientMessage::Join(join)] if join.resume.as_ref().unwrap().last == 41));
}

#[test]
fn a_phone_that_comes_back_says_what_time_it_is_at_the_feed() {
    let mut phone = on_line();
    phone.link_down();
    phone.link_up(7 * SECOND_US);
    let join = drain(&mut phone, 7 * SECOND_US);
    let [ClientMessage::Join(join)] = &join[..] else { panic!("{join:?}") };
    let clock = join.clock.expect("it has exchanged clocks before");
    assert_eq!(clock.now_us + clock.add_us, 12 * SECOND_US);
    // A page that is loaded anew has forgotten.
    phone.reload(12);
    phone.link_up(0);
    assert!(matches!(&drain(&mut phone, 0)[..], [ClientMessage::Join(join)] if join.clock.is_none()));
}

#[test]
fn a_queue_has_an_end() {
    let mut blind = phone(1);
    assert_eq!(blind.tap(&good(), 1, 1), Err(PhoneError::NoHeat { lane: 3 }));
    let mut phone = on_line();
    phone.link_down();
    for stamp in 0..i64::try_from(MAX_WAITING).unwrap() {
        phone.tap(&good(), stamp, stamp).unwrap();
    }
    assert_eq!(phone.tap(&good(), 1, 1), Err(PhoneError::QueueFull { lane: 3 }));
}
