//! The heat's states: which command leads where, holds, recalls, and when the heat closes by itself.

mod support;

use fivemark_engine::command::{Call, Command, Floor, StatusRuling, Tally};
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::{Clock, NotCounted, Outcome, Refused, State};
use support::{GO, Rig, part, set_count, setup, status, workout};

/// Two lanes, ten squats, cap 10 minutes.
fn ten_squats() -> Rig {
    Rig::started(setup(workout(vec![part(0, 10)]), 2))
}

/// A rig in each state, at no later than two hours of heat time.
fn in_state(state: State) -> Rig {
    let mut rig = ten_squats();
    match state {
        State::LanesSet => return Rig::new(setup(workout(vec![part(0, 10)]), 2)),
        State::OnDeck => rig.floor(GO + 1_000, Floor::Recall),
        State::Countdown => {
            rig.floor(GO + 1_000, Floor::Hold);
            rig.floor(GO + 2_000, Floor::Resume);
        }
        State::Running => {}
        State::Held => rig.floor(GO + 1_000, Floor::Hold),
        State::TimeCalled => rig.floor(GO + 1_000, Floor::CallTime),
        State::Provisional | State::Signed => {
            rig.floor(GO + 1_000, Floor::CallTime);
            rig.floor(GO + 1_000, Floor::Close);
            if state == State::Signed {
                rig.floor(GO + 1_000, Floor::Sign { initials: false });
            }
        }
        State::Cancelled => rig.floor(GO + 1_000, Floor::Cancel),
    }
    assert_eq!(rig.state(), state);
    rig
}

#[test]
fn each_command_fits_the_states_that_it_fits() {
    use Floor::{CallTime, Cancel, Close, Hold, OnDeck, Recall, Resume, StartCountdown};
    let sign = Floor::Sign { initials: false };
    let commands = [OnDeck, StartCountdown, Recall, Hold, Resume, Cancel, CallTime, Close, sign.clone()];
    #[track_caller]
    fn check(commands: &[Floor], from: State, fits: &[(Floor, State)]) {
        for command in commands {
            let mut rig = in_state(from);
            let outcome = rig.send(GO + 2_000, &Command::Floor(command.clone()));
            match fits.iter().find(|(fit, _)| fit == command) {
                Some((_, to)) => {
                    assert_eq!((outcome, rig.state()), (Outcome::Done, *to), "{from} {command:?}")
                }
                None => {
                    assert!(matches!(outcome, Outcome::Refused(_)), "{from} {command:?}: {outcome:?}");
                    assert_eq!(rig.state(), from);
                }
            }
        }
    }
    check(&commands, State::LanesSet, &[(OnDeck, State::OnDeck)]);
    check(&commands, State::OnDeck, &[(StartCountdown, State::Countdown)]);
    let stop = [(Recall, State::OnDeck), (Hold, State::Held), (Cancel, State::Cancelled)];
    check(&commands, State::Countdown, &stop);
    check(&commands, State::Running, &[&stop[..], &[(CallTime, State::TimeCalled)]].concat());
    let held = [(Resume, State::Countdown), (Cancel, State::Cancelled), (CallTime, State::TimeCalled)];
    check(&commands, State::Held, &held);
    check(&commands, State::TimeCalled, &[(Close, State::Provisional)]);
    check(&commands, State::Provisional, &[(sign, State::Signed)]);
    check(&commands, State::Signed, &[]);
    check(&commands, State::Cancelled, &[(OnDeck, State::OnDeck)]);
}

#[test]
fn refusals_name_the_state() {
    let mut rig = in_state(State::OnDeck);
    let refused = rig.send(GO + 2_000, &Command::Floor(Floor::Sign { initials: false }));
    assert_eq!(refused, Outcome::Refused(Refused::NotInThisState(State::OnDeck)));
    let mut rig = in_state(State::Signed);
    assert_eq!(rig.send(GO + 2_000, &Command::Floor(Floor::Recall)), Outcome::Refused(Refused::HeatSigned));
}

#[test]
fn the_countdown_leads_to_the_start_and_the_cap_ends_it() {
    let mut rig = Rig::new(setup(workout(vec![part(0, 10)]), 1));
    assert_eq!((rig.heat.state().clock, rig.heat.next_timeout()), (Clock::Idle, None));
    rig.floor(10_000, Floor::OnDeck);
    rig.floor(20_000, Floor::StartCountdown);
    let (since, go_at) = (HeatMs(20_000), HeatMs(30_000));
    assert_eq!(rig.heat.state().clock, Clock::CountingDown { since, go_at, elapsed: SpanMs(0) });
    assert_eq!(rig.heat.next_timeout(), Some(go_at));
    rig.pass(29_999);
    assert_eq!(rig.state(), State::Countdown);
    rig.pass(30_000);
    assert_eq!(rig.heat.state().clock, Clock::Running { zero_at: go_at });
    assert_eq!(rig.heat.next_timeout(), Some(HeatMs(630_000)));
    rig.pass(630_000);
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(600_000) });
    assert_eq!(rig.heat.next_timeout(), Some(HeatMs(633_000)));
    rig.pass(632_999);
    assert_eq!(rig.state(), State::TimeCalled);
    rig.pass(633_000);
    assert_eq!((rig.state(), rig.heat.next_timeout()), (State::Provisional, None));
    rig.floor(700_000, Floor::Sign { initials: false });
    assert_eq!(rig.state(), State::Signed);
}

#[test]
fn one_late_look_at_the_clock_fires_everything_that_was_due() {
    let mut rig = Rig::new(setup(workout(vec![part(0, 10)]), 1));
    rig.floor(10_000, Floor::OnDeck);
    rig.floor(20_000, Floor::StartCountdown);
    rig.pass(9_000_000);
    assert_eq!(rig.state(), State::Provisional);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(600_000) });
}

#[test]
fn a_hold_freezes_the_clock_and_the_cap_moves_with_it() {
    let mut rig = ten_squats();
    rig.goods(1, 10_000, 10_000, 3);
    rig.floor(GO + 40_000, Floor::Hold);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(40_000) });
    assert_eq!(rig.heat.next_timeout(), None);
    // Tapped before the hold, received during it: counts. Tapped during it: recorded for a ruling.
    let before = rig.tap(1, 39_500, Call::Good);
    assert_eq!(rig.tally(GO + 41_000, before), Outcome::Applied { done: 4 });
    let during = rig.say(1, 50_000, Call::Good);
    assert_eq!(during, Outcome::NotCounted { why: NotCounted::DuringHold, done: 4 });
    // Resume at 100 s; a countdown of 10 s; the clock goes on from 40 s at 110 s.
    rig.floor(GO + 100_000, Floor::Resume);
    let (since, go_at) = (HeatMs(GO + 100_000), HeatMs(GO + 110_000));
    assert_eq!(rig.heat.state().clock, Clock::CountingDown { since, go_at, elapsed: SpanMs(40_000) });
    assert_eq!(rig.say(1, 105_000, Call::Good), Outcome::NotCounted { why: NotCounted::DuringHold, done: 4 });
    rig.pass(GO + 110_000);
    assert_eq!(rig.heat.state().clock, Clock::Running { zero_at: HeatMs(GO + 70_000) });
    assert_eq!(rig.heat.next_timeout(), Some(HeatMs(GO + 670_000)));
    // The tenth squat at 170 s of heat time is at 100 s on the clock.
    rig.goods(1, 120_000, 10_000, 6);
    assert_eq!(rig.text(1), "1:40.0");
}

#[test]
fn a_hold_in_the_countdown_counts_down_again() {
    let mut rig = Rig::new(setup(workout(vec![part(0, 10)]), 1));
    rig.floor(10_000, Floor::OnDeck);
    rig.floor(20_000, Floor::StartCountdown);
    rig.floor(25_000, Floor::Hold);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(0) });
    rig.floor(60_000, Floor::Resume);
    rig.pass(70_000);
    assert_eq!(rig.heat.state().clock, Clock::Running { zero_at: HeatMs(70_000) });
}

#[test]
fn a_recalled_run_stays_in_the_record_and_scores_nothing() {
    let mut rig = ten_squats();
    rig.goods(1, 1_000, 1_000, 3);
    rig.floor(GO + 5_000, Floor::Recall);
    assert_eq!((rig.state(), rig.heat.state().run), (State::OnDeck, 2));
    assert_eq!((rig.lane(1).done, rig.heat.state().clock), (0, Clock::Idle));
    assert_eq!(rig.heat.past_runs().len(), 1);
    assert_eq!(rig.heat.past_runs()[0].lanes[0].record.len(), 3);
    rig.floor(GO + 60_000, Floor::StartCountdown);
    rig.pass(GO + 70_000);
    // A call of the first run that was on its way counts in no other.
    let late = rig.tap(1, 4_000, Call::Good);
    assert_eq!(rig.tally(GO + 71_000, late), Outcome::NotCounted { why: NotCounted::WrongRun, done: 0 });
    rig.phone(1).run = 2;
    assert_eq!(rig.say(1, 72_000, Call::Good), Outcome::Applied { done: 1 });
}

#[test]
fn a_cancelled_run_scores_nothing_and_can_be_run_again() {
    let mut rig = ten_squats();
    rig.goods(1, 1_000, 1_000, 10);
    rig.floor(GO + 20_000, Floor::Cancel);
    assert_eq!(rig.places(), [0, 0]);
    assert_eq!(rig.lane(1).result, None);
    let late = rig.say(2, 21_000, Call::Good);
    assert_eq!(late, Outcome::NotCounted { why: NotCounted::HeatCancelled, done: 0 });
    rig.floor(GO + 30_000, Floor::OnDeck);
    assert_eq!((rig.heat.state().run, rig.lane(1).done), (2, 0));
}

#[test]
fn time_is_called_when_every_lane_has_ended() {
    let mut rig = ten_squats();
    rig.goods(1, 10_000, 1_000, 10);
    assert_eq!(rig.state(), State::Running);
    assert_eq!(rig.rule(GO + 30_000, 2, status(StatusRuling::DidNotFinish)), Outcome::Done);
    assert_eq!(rig.state(), State::TimeCalled);
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(30_000) });
    assert_eq!(rig.heat.next_timeout(), Some(HeatMs(GO + 33_000)));
}

#[test]
fn a_missing_number_keeps_the_heat_from_closing() {
    let mut rig = ten_squats();
    let first = rig.tap(1, 599_000, Call::Good);
    let second = rig.tap(1, 599_500, Call::Good);
    let gap = rig.tally(GO + 599_600, second.clone());
    assert_eq!(gap, Outcome::Gap { epoch: second.epoch, from: 1 });
    rig.pass(GO + 620_000);
    assert_eq!((rig.state(), rig.heat.next_timeout()), (State::TimeCalled, None));
    // Both waited for a new link.
    let (first, second) = (over_new_link(first, 620_500), over_new_link(second, 620_500));
    rig.tally(GO + 621_000, first);
    assert_eq!(rig.state(), State::TimeCalled);
    rig.tally(GO + 621_000, second);
    assert_eq!(rig.state(), State::Provisional);
    assert_eq!(rig.lane(1).score, 2);
}

/// The same call, brought by a link that was joined so long after the start.
fn over_new_link(tally: Tally, since_go: i64) -> Tally {
    Tally { link_since: HeatMs(GO + since_go), ..tally }
}

#[test]
fn a_lost_link_of_a_capped_lane_keeps_the_heat_from_closing() {
    let mut rig = ten_squats();
    rig.link(GO + 100_000, 1, true);
    rig.link(GO + 590_000, 1, false);
    assert!(!rig.lane(1).judge_on);
    rig.pass(GO + 620_000);
    assert_eq!(rig.state(), State::TimeCalled);
    rig.link(GO + 630_000, 1, true);
    assert!(rig.lane(1).judge_on);
    assert_eq!(rig.state(), State::Provisional);
}

#[test]
fn the_head_judge_closes_what_does_not_close_by_itself() {
    let mut rig = ten_squats();
    rig.link(GO + 590_000, 1, false);
    rig.pass(GO + 620_000);
    rig.floor(GO + 620_000, Floor::Close);
    assert_eq!(rig.state(), State::Provisional);
}

#[test]
fn nothing_counts_or_is_ruled_after_signing() {
    let mut rig = in_state(State::Signed);
    let late = rig.say(1, 3_000, Call::Good);
    assert_eq!(late, Outcome::NotCounted { why: NotCounted::HeatSigned, done: 0 });
    let ruled = rig.rule(GO + 4_000, 1, set_count(3, None));
    assert_eq!(ruled, Outcome::Refused(Refused::HeatSigned));
}

#[test]
fn a_heat_is_not_run_without_end() {
    let mut rig = ten_squats();
    for run in 1..100 {
        assert_eq!(rig.heat.state().run, run);
        rig.floor(GO + 1_000, Floor::Recall);
        rig.floor(GO + 1_000, Floor::StartCountdown);
    }
    let refused = rig.send(GO + 1_000, &Command::Floor(Floor::Recall));
    assert_eq!(refused, Outcome::Refused(Refused::TooManyRuns(100)));
}

#[test]
fn time_called_out_of_a_hold_ends_where_it_was_held() {
    // Held at 20.0 with 4 of 10, after a fifth at 19.5 that is still on its way; called at 40.0.
    let plan = setup(workout(vec![part(0, 10)]), 1);
    let mut rig = Rig::started(plan.clone());
    rig.goods(1, 4_000, 4_000, 4);
    let late = rig.tap(1, 19_500, Call::Good);
    rig.floor(GO + 20_000, Floor::Hold);
    rig.floor(GO + 40_000, Floor::CallTime);
    assert_eq!((rig.state(), rig.text(1)), (State::TimeCalled, "4 of 10".into()));
    assert_eq!(rig.heat.state().clock, Clock::Stopped { elapsed: SpanMs(20_000) });
    let mut late = late;
    late.link_since = HeatMs(GO + 41_000);
    assert_eq!(rig.tally(GO + 41_500, late), Outcome::Applied { done: 5 });
    assert!(rig.lane(1).flagged);
    assert_eq!(rig.say(1, 42_000, Call::Good), Outcome::NotCounted { why: NotCounted::AfterCap, done: 5 });
    rig.pass(GO + 43_000);
    assert_eq!(rig.state(), State::Provisional);
    rig.replays(plan);
    // A countdown that is held has no time to call.
    let mut rig = Rig::new(setup(workout(vec![part(0, 10)]), 1));
    rig.floor(10_000, Floor::OnDeck);
    rig.floor(20_000, Floor::StartCountdown);
    rig.floor(21_000, Floor::Hold);
    assert_eq!(rig.refused(22_000, Floor::CallTime), Refused::NotInThisState(State::Held));
}
