//! No sequence of commands, however absurd, panics, breaks what always holds, or replays to another result.

mod support;

use fivemark_engine::bounds::{CLOSE_GRACE_MS, MAX_PENDING_EVENTS};
use fivemark_engine::command::{
    Call, Command, Confirm, Floor, HandOver, Link, Offset, Penalty, Ruling, RulingKind, StatusRuling, Tally,
};
use fivemark_engine::ids::{DeviceId, Epoch, LaneNo};
use fivemark_engine::time::{HeatMs, MonoMs, SpanMs};
use fivemark_engine::workout::{
    AmrapShows, CapOn, CappedAs, EqualLoads, FinishRule, LoadUnit, OrderBy, ScoreRule, Scoring, TrackRule,
};
use fivemark_engine::{Heat, HeatSetup, Outcome, Refused, Remark, RemarkKind, State, Status};
use support::{Seeded, part, setup, workout};

const CALLS: [Call; 11] = [
    Call::Good,
    Call::NoRep,
    Call::LastWasNoRep,
    Call::PartDone,
    Call::Finish,
    Call::AttemptGood,
    Call::AttemptFailed,
    Call::DeclareLoad,
    Call::HoldStart,
    Call::HoldStop,
    Call::Undo,
];

/// Every command of the floor; those that name a lane or a reason with one of several.
fn floor(seeded: &mut Seeded) -> Floor {
    let reason = || "as decided".to_owned();
    let lane = LaneNo(u8::try_from(seeded.below(8)).expect("in range"));
    let simple = [
        Floor::OnDeck,
        Floor::StartCountdown,
        Floor::Recall,
        Floor::Hold,
        Floor::Resume,
        Floor::Cancel,
        Floor::CallTime,
        Floor::Close,
        Floor::Sign { initials: false },
        Floor::Sign { initials: true },
        Floor::DoubtClock,
        Floor::ConfirmClock,
        Floor::Rerun { reason: reason() },
        Floor::RerunLane { lane, reason: reason() },
        Floor::RerunLane { lane, reason: String::new() },
        Floor::Reopen { reason: reason() },
    ];
    pick(seeded, &simple)
}

const STATUSES: [StatusRuling; 5] = [
    StatusRuling::DidNotFinish,
    StatusRuling::DidNotStart,
    StatusRuling::Disqualified,
    StatusRuling::UnderReview,
    StatusRuling::Reinstated,
];

fn pick<T: Clone>(seeded: &mut Seeded, from: &[T]) -> T {
    from[seeded.index(from.len())].clone()
}

/// Usually a sensible number, now and then an absurd one.
fn number(seeded: &mut Seeded, sensible: i64) -> i64 {
    match seeded.below(40) {
        0 => i64::MIN,
        1 => i64::MAX,
        2 => -1,
        _ => seeded.below(sensible),
    }
}

fn plan(seeded: &mut Seeded) -> HeatSetup {
    let mut run = part(1, 120);
    run.scores = ScoreRule::WhenDone(3);
    run.tie_break = seeded.chance(50);
    let mut first = workout(vec![part(0, 5), run, part(2, 6)]);
    first.movements[2].several_at_once = true;
    first.movements[2].step = 2;
    first.finish = pick(seeded, &[FinishRule::LastUnit, FinishRule::FinishCall]);
    first.track = pick(seeded, &[TrackRule::ExpectedTime, TrackRule::Units]);
    first.clock.cap = SpanMs(60_000);
    first.clock.countdown = SpanMs(pick(seeded, &[0, 3_000]));
    first.clock.capped_as = pick(seeded, &[CappedAs::WorkDone, CappedAs::WorkLeft, CappedAs::CapPlusPenalty]);
    first.clock.order_by = pick(seeded, &[OrderBy::LaneTime, OrderBy::FirstToFinish]);
    first.clock.cap_on = pick(seeded, &[CapOn::LaneTime, CapOn::Heat]);
    first.mark_every_part = seeded.chance(30);
    if seeded.chance(40) {
        let shows = pick(seeded, &[AmrapShows::RoundsAndReps, AmrapShows::Total]);
        first.scoring = Scoring::Amrap { shows };
        first.finish = FinishRule::LastUnit;
        if seeded.chance(50) {
            first.buy_in = vec![first.body.remove(1)];
        }
    }
    let mut second = first.clone();
    second.body.truncate(2);
    if seeded.chance(30) {
        let equals = [EqualLoads::FewerAttempts, EqualLoads::Earlier, EqualLoads::Shared];
        let equal = pick(seeded, &equals);
        let attempts = pick(seeded, &[None, Some(1), Some(3)]);
        let lift = Scoring::HeaviestLift { unit: LoadUnit::Pound, attempts, equal };
        let scoring =
            pick(seeded, &[lift, Scoring::LongestHold { holds: 1 }, Scoring::LongestHold { holds: 3 }]);
        for plan in [&mut first, &mut second] {
            (plan.scoring, plan.finish) = (scoring, FinishRule::LastUnit);
            (plan.buy_in, plan.body) = (vec![], vec![part(0, 1)]);
        }
    }
    let mut plan = setup(first, 6);
    plan.workouts.push(second);
    let (division, workout) = (1, u8::from(seeded.chance(50)));
    for lane in &mut plan.lanes[4..] {
        (lane.division, lane.workout) = (division, workout);
    }
    plan.lanes[3].occupied = false;
    if seeded.chance(40) {
        for lane in &mut plan.lanes {
            lane.start = SpanMs(seeded.below(4) * 10_000);
        }
    }
    plan
}

/// Phones with the number that each expects next, so that most tallies are in turn.
struct Script {
    seeded: Seeded,
    now: i64,
    runs: [u32; 4],
    next: [u32; 4],
    attempt: Call,
}

impl Script {
    fn command(&mut self) -> (HeatMs, Command) {
        let seeded = &mut self.seeded;
        self.now += pick(seeded, &[0, 0, 10, 400, 2_000]);
        let at = if seeded.chance(3) { self.now - 5_000 } else { self.now };
        let command = match seeded.below(100) {
            0..4 => Command::Floor(floor(seeded)),
            4..9 => {
                let onward = [Floor::OnDeck, Floor::StartCountdown, Floor::Resume, Floor::ConfirmClock];
                Command::Floor(pick(seeded, &onward))
            }
            9..15 => Command::Ruling(Self::ruling(seeded)),
            15..19 => {
                let lane = LaneNo(u8::try_from(seeded.below(9)).expect("in range"));
                let device = DeviceId(format!("phone-{}", seeded.below(4)));
                Command::Link(Link { lane, device, up: seeded.chance(50) })
            }
            19 => Command::HandOver(Self::hand_over(seeded)),
            20 => Command::Confirm(Self::confirm(seeded)),
            _ => Command::Tally(self.tally()),
        };
        (HeatMs(at), command)
    }

    fn tally(&mut self) -> Tally {
        let seeded = &mut self.seeded;
        let phone = usize::try_from(seeded.below(4)).expect("in range");
        let off_turn = seeded.chance(10);
        let number = match off_turn {
            true => u32::try_from(seeded.below(i64::from(u32::MAX))).expect("in range") >> seeded.below(32),
            false => self.next[phone],
        };
        let stamp = number_near(seeded, self.now);
        let lane =
            if seeded.chance(3) { seeded.below(256) } else { 1 + i64::try_from(phone).expect("in range") };
        let likely = [Call::Good, Call::Good, self.attempt];
        let calls = if seeded.chance(60) { &likely[..] } else { &CALLS };
        let fault = ["squat-depth", "run-jump", "none of these", "", &"x".repeat(70)];
        Tally {
            run: if seeded.chance(5) {
                u32::try_from(seeded.below(4)).expect("in range")
            } else {
                self.runs[phone]
            },
            lane: LaneNo(u8::try_from(lane).expect("in range")),
            device: DeviceId(format!("phone-{phone}")),
            epoch: Epoch(u64::try_from(phone).expect("in range")),
            number,
            call: pick(seeded, calls),
            amount: if seeded.chance(80) { 0 } else { pick(seeded, &[1, 2, 4, 6, 50, u32::MAX]) },
            fault: seeded.chance(30).then(|| pick(seeded, &fault).to_owned()),
            stamp: MonoMs(stamp),
            wall_ms: seeded.chance(50).then(|| number_near(seeded, stamp)),
            offset: seeded
                .chance(85)
                .then(|| Offset { add: SpanMs(number_near(seeded, 0)), delay: SpanMs(0) }),
            link_since: HeatMs(number_near(seeded, self.now / 2)),
            athlete: None,
            load_g: seeded.chance(80).then(|| pick(seeded, &[100_000, 102_500, 105_000, 0, 1_000_001])),
            slot: None,
            shadow: seeded.chance(3),
        }
    }

    fn hand_over(seeded: &mut Seeded) -> HandOver {
        let lane = LaneNo(u8::try_from(seeded.below(9)).expect("in range"));
        let mut device = || DeviceId(format!("phone-{}", seeded.below(4)));
        let (from, to) = (device(), device());
        HandOver { lane, from: seeded.chance(80).then_some(from), to, by: "head judge".into() }
    }

    fn confirm(seeded: &mut Seeded) -> Confirm {
        let lane = LaneNo(u8::try_from(seeded.below(9)).expect("in range"));
        let result = pick(seeded, &["0:12.0", "8 of 11", "DNF", "DQ", ""]).to_owned();
        let (athlete, judge) = ("IBO".to_owned(), pick(seeded, &["SK", "SK", ""]).to_owned());
        let run = u32::try_from(seeded.below(3)).expect("in range");
        Confirm { lane, run, result, athlete, judge, by: "lane judge".into(), reason: String::new() }
    }

    fn ruling(seeded: &mut Seeded) -> Ruling {
        let kind = match seeded.below(11) {
            9 => RulingKind::SetBestLoad { load_g: pick(seeded, &[0, 100_000, 107_500, 1_000_001]) },
            10 => RulingKind::SetHeld(SpanMs(number(seeded, 60_000))),
            0 => {
                let done =
                    u32::try_from(number(seeded, 140).clamp(0, i64::from(u32::MAX))).expect("in range");
                let done = if seeded.chance(20) { pick(seeded, &[125, 131]) } else { done };
                let finish = seeded.chance(30).then(|| SpanMs(number(seeded, 60_000)));
                RulingKind::SetCount { done, finish }
            }
            1 => RulingKind::MoveFinish(SpanMs(number(seeded, 60_000))),
            2 => RulingKind::Penalty(Penalty::Time(SpanMs(number(seeded, 20_000).saturating_sub(5_000)))),
            3 => RulingKind::Penalty(Penalty::Units(pick(
                seeded,
                &[1, 3, -2, 0, i32::MIN, i32::MAX, 1_000_000],
            ))),
            4 => RulingKind::AddUnits(pick(seeded, &[1, 1, -1, -2, 7, 0, i32::MIN, i32::MAX])),
            5 => RulingKind::Credit(SpanMs(number(seeded, 8_000).saturating_sub(1_000))),
            6 => RulingKind::MoveAthlete { to: LaneNo(u8::try_from(seeded.below(8)).expect("in range")) },
            7 => {
                let done = pick(seeded, &[0, 3, 60, 125, 131, 99_999, 100_000, u32::MAX]);
                let finish = seeded.chance(30).then(|| SpanMs(number(seeded, 60_000)));
                RulingKind::FromPaper { done, finish }
            }
            _ => RulingKind::Status(pick(seeded, &STATUSES)),
        };
        let lane = LaneNo(u8::try_from(seeded.below(8)).expect("in range"));
        let reason = if seeded.chance(95) { "as seen".to_owned() } else { String::new() };
        Ruling { lane, by: "Head judge".into(), reason, kind }
    }
}

fn number_near(seeded: &mut Seeded, middle: i64) -> i64 {
    match seeded.below(40) {
        0 => i64::MIN,
        1 => i64::MAX,
        _ => middle.saturating_add(seeded.below(2_000) - 1_000),
    }
}

/// What holds after every input.
fn check_heat(heat: &Heat, at: HeatMs) {
    let mut finished = 0;
    let starters = heat.state().starters;
    for row in heat.order() {
        let lane = heat.lane(row.lane).expect("a lane of the heat");
        assert!(heat.courses().iter().any(|course| lane.done <= course.most_units()), "{lane:?}");
        assert!(heat.courses().iter().any(|course| lane.part_done <= course.units), "{lane:?}");
        assert!(row.place <= starters && row.division_place <= starters);
        assert!(row.gap.is_none_or(|gap| gap >= SpanMs(0)), "{row:?}");
        assert!(lane.to_go.is_none_or(|to_go| to_go <= 5 && lane.result.is_none()), "{lane:?}");
        let worked_on = matches!(lane.status, Status::Finished | Status::UnderReview);
        finished += u8::from(lane.result.is_some_and(|result| match heat.courses()[0].is_open_ended() {
            true => worked_on,
            false => result.official.is_some(),
        }));
    }
    let view = heat.state();
    assert!(finished == view.finished || view.state == State::Cancelled, "{view:?}");
    assert!(heat.next_timeout().is_none_or(|due| due > at), "due in the past: {view:?} at {at:?}");
}

fn play(seed: u64, commands: usize, drained: bool) -> (Heat, Vec<(HeatMs, Command)>, Vec<Outcome>) {
    let mut seeded = Seeded(seed);
    let mut heat = Heat::new(plan(&mut seeded)).expect("the setup is sound");
    let attempt = pick(&mut seeded, &[Call::AttemptGood, Call::HoldStart]);
    let mut script = Script { seeded, now: 10_000, runs: [1; 4], next: [1; 4], attempt };
    let (mut said, mut outcomes) = (vec![], vec![]);
    let mut latest = HeatMs(i64::MIN);
    for _ in 0..commands {
        let (at, command) = script.command();
        latest = latest.max(at);
        let outcome = heat.handle_command(at, &command);
        if let (Command::Tally(tally), Outcome::Applied { .. } | Outcome::NotCounted { .. }) =
            (&command, outcome)
        {
            let phone = usize::try_from(tally.epoch.0).expect("in range");
            script.next[phone] = script.next[phone].max(tally.number + 1);
        }
        script.runs = [1, 2, 3, 4].map(|lane| heat.lane(LaneNo(lane)).expect("a lane of the heat").run);
        check_heat(&heat, latest);
        if drained {
            while heat.poll_event().is_some() {}
        }
        said.push((at, command));
        outcomes.push(outcome);
    }
    (heat, said, outcomes)
}

fn was_moved(command: &Command, outcome: &Outcome) -> bool {
    let Command::Ruling(ruling) = command else { return false };
    matches!(ruling.kind, RulingKind::MoveAthlete { .. }) && *outcome == Outcome::Done
}

#[test]
fn no_sequence_of_commands_panics_or_replays_differently() {
    let (mut applied, mut refused, mut signed, mut alone, mut moved, mut tried) = (0, 0, 0, 0, 0, 0);
    for seed in 0..500 {
        let (heat, said, outcomes) = play(seed, 400, true);
        let mut again = Heat::new(plan(&mut Seeded(seed))).unwrap();
        let replayed: Vec<Outcome> =
            said.iter().map(|(at, command)| again.handle_command(*at, command)).collect();
        while again.poll_event().is_some() {}
        assert_eq!(outcomes, replayed, "seed {seed}");
        assert_eq!(heat, again, "seed {seed}");
        applied += outcomes.iter().filter(|outcome| matches!(outcome, Outcome::Applied { .. })).count();
        refused += outcomes.iter().filter(|outcome| matches!(outcome, Outcome::Refused(_))).count();
        signed += usize::from(heat.state().state == State::Signed);
        let reran = |remark: &Remark| matches!(remark.what, RemarkKind::RerunLane(_));
        alone += heat.remarks().iter().filter(|remark| reran(remark)).count();
        let count = |is: &dyn Fn(&Command, &Outcome) -> bool| {
            said.iter().zip(&outcomes).filter(|((_, command), outcome)| is(command, outcome)).count()
        };
        moved += count(&was_moved);
        let attempt = |call| matches!(call, Call::AttemptGood | Call::HoldStart | Call::HoldStop);
        let judged = |command: &Command| matches!(command, Command::Tally(tally) if attempt(tally.call));
        tried += count(&|command, outcome| judged(command) && matches!(outcome, Outcome::Applied { .. }));
    }
    // The sequences are of use only if they come far.
    assert!(
        applied > 5_000 && refused > 1_000 && signed > 3 && alone > 20 && moved > 30 && tried > 500,
        "{applied} applied, {refused} refused, {signed} signed, {alone} alone, {moved} moved, {tried} tried"
    );
}

#[test]
fn timeouts_fired_by_themselves_change_nothing() {
    for seed in 300..360 {
        let (heat, said, outcomes) = play(seed, 300, true);
        let mut fired = Heat::new(plan(&mut Seeded(seed))).unwrap();
        let mut latest = HeatMs(i64::MIN);
        for ((at, command), outcome) in said.iter().zip(&outcomes) {
            latest = latest.max(*at);
            while let Some(due) = fired.next_timeout().filter(|due| *due <= latest) {
                fired.handle_timeout(due);
            }
            assert_eq!(fired.handle_command(*at, command), *outcome, "seed {seed}");
        }
        while fired.poll_event().is_some() {}
        assert_eq!(fired, heat, "seed {seed}");
    }
}

#[test]
fn events_that_nobody_reads_do_not_grow_without_end() {
    let (mut heat, _, _) = play(7, 3_000, false);
    let mut events = 0;
    while heat.poll_event().is_some() {
        events += 1;
    }
    assert!(events <= MAX_PENDING_EVENTS + 2 + 2 * 6, "{events}");
}

#[test]
fn the_ends_of_time_are_reached_without_a_fall() {
    for at in [i64::MIN, i64::MAX - CLOSE_GRACE_MS, i64::MAX] {
        let mut heat = Heat::new(setup(workout(vec![part(0, 3)]), 2)).unwrap();
        let mut seeded = Seeded(1);
        for _ in 0..200 {
            heat.handle_command(HeatMs(at), &Command::Floor(floor(&mut seeded)));
        }
        heat.handle_timeout(HeatMs(at));
        heat.handle_timeout(HeatMs(i64::MAX));
        assert_eq!(heat.next_timeout(), None);
    }
}

#[test]
fn page_loads_are_bounded() {
    let mut heat = Heat::new(setup(workout(vec![part(0, 3)]), 1)).unwrap();
    let mut script = Script { seeded: Seeded(1), now: 0, runs: [1; 4], next: [1; 4], attempt: Call::Good };
    let mut tally = Tally { lane: LaneNo(1), number: 1, fault: None, ..script.tally() };
    let mut last = Outcome::Done;
    for epoch in 0..=4_096 {
        tally.epoch = Epoch(epoch);
        last = heat.handle_command(HeatMs(0), &Command::Tally(tally.clone()));
    }
    assert_eq!(last, Outcome::Refused(Refused::TooManyPages));
}
