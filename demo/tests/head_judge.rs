//! The head judge's script: each state is answered once, after its pause, and the start waits for every judge.

mod support;

use fivemark_demo::head_judge::{HeadJudge, Pauses};
use fivemark_wire::from_client::FloorCommand;
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{LaneResult, State, Status};
use support::rehearsal;

const PAUSES: Pauses = Pauses { lanes_set_us: 50, on_deck_us: 40, missing_us: 600, provisional_us: 80 };

fn in_state(snapshot: &Snapshot, state: State, run: u32) -> Snapshot {
    let mut changed = snapshot.clone();
    (changed.heat.state, changed.heat.run) = (state, run);
    changed
}

fn all_on() -> Snapshot {
    let rehearsal = rehearsal(1, 4, 1);
    assert_eq!(rehearsal.heat.next_timeout(), None, "a heat waits for its head judge");
    let mut snapshot = rehearsal.snapshot;
    snapshot.lanes.iter_mut().for_each(|lane| lane.judge_on = true);
    snapshot
}

#[test]
fn a_heat_is_led_from_lanes_set_to_signed() {
    let snapshot = all_on();
    let mut script = HeadJudge::new(PAUSES);
    assert_eq!(script.next_due_us(), None);
    let mut now_us = 1_000;
    for (state, pause_us, command) in [
        (State::LanesSet, 50, FloorCommand::OnDeck),
        (State::OnDeck, 40, FloorCommand::StartCountdown),
        (State::TimeCalled, 600, FloorCommand::Close),
        (State::Provisional, 80, FloorCommand::Sign),
    ] {
        let now = in_state(&snapshot, state, 1);
        assert_eq!(script.look(&now, now_us), None);
        assert_eq!(script.next_due_us(), Some(now_us + pause_us));
        assert_eq!(script.look(&now, now_us + pause_us - 1), None);
        assert_eq!(script.look(&now, now_us + pause_us), Some(command));
        assert_eq!(script.look(&now, now_us + 10 * pause_us), None, "{state:?} is answered once");
        assert_eq!(script.next_due_us(), None);
        now_us += 10_000;
    }
}

#[test]
fn the_start_waits_for_the_last_judge() {
    let ready = all_on();
    let mut missing = ready.clone();
    missing.lanes[2].judge_on = false;
    let mut script = HeadJudge::new(PAUSES);
    assert_eq!(script.look(&missing, 0), None);
    assert_eq!(script.look(&missing, 500), None);
    assert_eq!(script.next_due_us(), None, "only a judge can change that");
    assert_eq!(script.look(&ready, 510), Some(FloorCommand::OnDeck));
}

#[test]
fn signing_waits_for_the_last_initials() {
    let mut ready = in_state(&all_on(), State::Provisional, 1);
    let text = "7:08.4".to_owned();
    let result = LaneResult { text, official_ms: None, penalty_ms: None, credit_ms: None };
    for lane in &mut ready.lanes {
        (lane.result, lane.confirmed) = (Some(result.clone()), true);
    }
    let mut missing = ready.clone();
    missing.lanes[1].confirmed = false;
    let mut script = HeadJudge::new(PAUSES);
    assert_eq!(script.look(&missing, 0), None);
    assert_eq!(script.look(&missing, 500), None);
    assert_eq!(script.next_due_us(), None, "only initials can change that");
    assert_eq!(script.look(&ready, 510), Some(FloorCommand::Sign));
    // A ruling came between: the feed refused, and the script signs when the lane is confirmed again.
    script.refused();
    assert_eq!(script.look(&missing, 520), None);
    assert_eq!(script.look(&ready, 530), Some(FloorCommand::Sign));
    missing.lanes[1].status = Status::DidNotStart;
    script.refused();
    assert_eq!(script.look(&missing, 540), Some(FloorCommand::Sign), "who did not start signs nothing");
}

#[test]
fn nothing_is_said_while_the_heat_runs() {
    let snapshot = all_on();
    let mut script = HeadJudge::new(PAUSES);
    for state in [State::Countdown, State::Running, State::Held, State::Signed, State::Cancelled] {
        assert_eq!(script.look(&in_state(&snapshot, state, 1), 0), None);
        assert_eq!(script.look(&in_state(&snapshot, state, 1), i64::MAX / 2), None);
        assert_eq!(script.next_due_us(), None);
    }
}

#[test]
fn a_recalled_heat_is_started_again() {
    let snapshot = all_on();
    let mut script = HeadJudge::new(PAUSES);
    let deck = |run| in_state(&snapshot, State::OnDeck, run);
    script.look(&deck(1), 0);
    assert_eq!(script.look(&deck(1), 40), Some(FloorCommand::StartCountdown));
    assert_eq!(script.look(&deck(2), 100), None);
    assert_eq!(script.look(&deck(2), 140), Some(FloorCommand::StartCountdown));
}
