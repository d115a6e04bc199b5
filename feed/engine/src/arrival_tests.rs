//! Tests that the order in which a lane's entries arrive changes nothing. They look into the lane itself, so they
//! stand here and not among the tests of whole heats.

use crate::clock::RunClock;
use crate::command::{Call, Command, Floor, Offset, Ruling, RulingKind, Tally};
use crate::compile::compile;
use crate::heat::Heat;
use crate::ids::{DeviceId, Epoch, LaneNo, MovementIx};
use crate::lane::Lane;
use crate::own_time::OwnTime;
use crate::record::{Doubts, Entry, Said, Verdict};
use crate::setup::{HeatSetup, LaneSetup};
use crate::time::{HeatMs, MonoMs, SpanMs};
use crate::work::{Finish, Ground, Work};
use crate::workout::{
    AmrapShows, CapOn, CappedAs, ClockRules, FinishRule, Movement, OrderBy, PartSpec, Resolution, Rounding,
    ScoreRule, Scoring, TrackRule, Unit, Workout,
};

/// Two parts of six repetitions; the first gives the tie-break.
fn workout(finish: FinishRule) -> Workout {
    let part = |tie_break| PartSpec {
        movement: MovementIx(0),
        amount: 6,
        scores: ScoreRule::PerUnit,
        tie_break,
        load: String::new(),
    };
    Workout {
        name: "Two Sixes".into(),
        scoring: Scoring::ForTime,
        movements: vec![Movement {
            name: "squat".into(),
            short_name: "squat".into(),
            unit: Unit::Rep,
            step: 1,
            expected_ms_per_unit: 3_000,
            several_at_once: true,
            closing_steps: 0,
            start: String::new(),
            finish: String::new(),
            faults: vec![],
        }],
        buy_in: vec![],
        body: vec![part(true), part(false)],
        rounds: 1,
        scheme: vec![],
        cash_out: vec![],
        finish,
        track: TrackRule::Units,
        mark_every_part: false,
        clock: rules(),
    }
}

fn rules() -> ClockRules {
    ClockRules {
        countdown: SpanMs(0),
        cap: SpanMs(60_000),
        order_by: OrderBy::LaneTime,
        cap_on: CapOn::LaneTime,
        resolution: Resolution::Tenth,
        rounding: Rounding::Up,
        capped_as: CappedAs::WorkDone,
        penalty_per_unit: SpanMs(0),
    }
}

fn lane() -> Lane {
    Lane::new(LaneSetup { lane: LaneNo(1), division: 0, workout: 0, occupied: true, start: SpanMs(0) })
}

fn random(seed: &mut u64, limit: i64) -> i64 {
    *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    i64::try_from(*seed >> 33).unwrap() % limit
}

/// An entry with a random call of one of three phones, or now and then a ruling on the count.
fn entry(seed: &mut u64) -> Entry {
    let effective = HeatMs(random(seed, 70) * 1_000);
    let said = if random(seed, 25) == 0 {
        let kind = match random(seed, 2) {
            0 => RulingKind::SetCount { done: u32::try_from(random(seed, 12)).unwrap(), finish: None },
            _ => RulingKind::AddUnits(i32::try_from(random(seed, 5)).unwrap() - 2),
        };
        Said::Ruling(Ruling { lane: LaneNo(1), by: "H".into(), reason: "r".into(), kind })
    } else {
        use Call::{Finish, Good, LastWasNoRep, NoRep, Undo};
        let calls = [Good, Good, Good, Good, Good, Undo, Undo, LastWasNoRep, NoRep, Finish];
        Said::Tally(Tally {
            run: 1,
            lane: LaneNo(1),
            device: DeviceId(format!("phone-{}", random(seed, 3))),
            epoch: Epoch(u64::try_from(random(seed, 2)).unwrap()),
            number: 1,
            call: calls[usize::try_from(random(seed, 10)).unwrap()],
            amount: u32::try_from(random(seed, 3)).unwrap(),
            fault: None,
            stamp: MonoMs(effective.0),
            wall_ms: None,
            offset: None::<Offset>,
            link_since: HeatMs(0),
            athlete: None,
            load_g: None,
            slot: None,
            shadow: false,
        })
    };
    let verdict = Verdict::Counted { units: 0 };
    Entry { at: HeatMs(99_000), effective, said, doubts: Doubts::default(), verdict, told: None }
}

#[test]
fn the_order_of_arrival_changes_nothing() {
    for run in 0..400_u64 {
        let mut seed = run;
        let finish = if run % 2 == 0 { FinishRule::LastUnit } else { FinishRule::FinishCall };
        let mut workout = workout(finish);
        if run % 4 == 0 {
            workout.scoring = Scoring::Amrap { shows: AmrapShows::Total };
        }
        let course = compile(&workout).unwrap();
        let mut clock = RunClock::default();
        clock.go(HeatMs(2_000), SpanMs(0));
        clock.hold(HeatMs(20_500));
        clock.go(HeatMs(23_500), SpanMs(18_500));
        let (rules, own) = (rules(), OwnTime { start: SpanMs(0), credit: SpanMs(0) });
        let ground = Ground { course: &course, clock: &clock, rules: &rules, own };
        let entries: Vec<Entry> = (0..60).map(|_| entry(&mut seed)).collect();
        let mut arrived = lane();
        for entry in &entries {
            arrived.add(entry.clone(), None, ground);
        }
        let mut sorted: Vec<usize> = (0..entries.len()).collect();
        sorted.sort_by_key(|index| entries[*index].effective);
        let mut in_time = lane();
        for index in &sorted {
            in_time.add(entries[*index].clone(), None, ground);
        }
        assert_eq!(same_but_places(arrived.now()), same_but_places(in_time.now()), "run {run}");
        for (place, index) in sorted.iter().enumerate() {
            let verdict = match in_time.record()[place].verdict {
                Verdict::TakenBack { by } => Verdict::TakenBack { by: sorted[by] },
                verdict => verdict,
            };
            assert_eq!(arrived.record()[*index].verdict, verdict, "run {run}, entry {index}");
        }
        let recounted = {
            let mut lane = arrived.clone();
            lane.recount(ground);
            lane
        };
        assert_eq!((arrived.now(), arrived.record()), (recounted.now(), recounted.record()), "run {run}");
    }
}

/// Work without the indices that depend on the order of arrival.
fn same_but_places(work: &Work) -> Work {
    let finish = work.finish.map(|finish| Finish { by: None, ..finish });
    Work { finish, last_good_ix: None, ..*work }
}

#[test]
fn step_by_step_the_order_comes_out_as_when_worked_out_whole() {
    for run in 0..60_u64 {
        let mut seed = run;
        let division = |lane| if run % 2 == 0 { 0 } else { lane % 2 };
        let lanes = (1..=5).map(|lane| LaneSetup {
            lane: LaneNo(lane),
            division: division(lane),
            workout: 0,
            occupied: true,
            start: SpanMs(i64::from(lane) * 1_000 * i64::from(run % 3 == 0)),
        });
        let setup = HeatSetup { lanes: lanes.collect(), workouts: vec![workout(FinishRule::LastUnit)] };
        let mut heat = Heat::new(setup).unwrap();
        heat.handle_command(HeatMs(0), &Command::Floor(Floor::OnDeck));
        heat.handle_command(HeatMs(0), &Command::Floor(Floor::StartCountdown));
        let mut next = [0; 5];
        for step in 0..150_i64 {
            let at = HeatMs(step * 300);
            let lane = usize::try_from(random(&mut seed, 5)).unwrap();
            let no = LaneNo(u8::try_from(lane + 1).unwrap());
            let command = match entry(&mut seed).said {
                Said::Ruling(ruling) => Command::Ruling(Ruling { lane: no, ..ruling }),
                Said::Tally(tally) => {
                    next[lane] += 1;
                    let device = DeviceId(format!("phone-{lane}"));
                    Command::Tally(Tally { lane: no, number: next[lane], epoch: Epoch(0), device, ..tally })
                }
            };
            heat.handle_command(at, &command);
            let mut whole = heat.clone();
            whole.refresh_all();
            assert_eq!(heat.order(), whole.order(), "run {run}, step {step}: {command:?}");
            assert_eq!(heat.state(), whole.state(), "run {run}, step {step}");
        }
        assert!(heat.order().iter().any(|row| row.place > 1), "run {run}");
    }
}
