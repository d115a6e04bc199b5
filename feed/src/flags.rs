//! What is flagged on the lanes of the floor, as officials are told it: what `insight` finds in the record, and what the
//! phones' links say.

use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Heat, State, Status};
use fivemark_insight::flags as insight;
use fivemark_wire::judges::{Flag, LaneFlag};
use fivemark_wire::phones::PhoneState;

/// A lane's phone that was not heard of for longer than this is flagged, in milliseconds: a page comes back from a
/// short loss by itself within seconds.
const OFF_LINE_MS: i64 = 30_000;
/// A phone whose calls' times may be off by more than this is flagged, in milliseconds: the trade's closest finishes are told
/// apart by less, and a phone in a working network keeps within a tenth of it.
const CLOCK_ERROR_MS: i64 = 250;

/// The flags of the heat on the floor, in lane order. A signed or cancelled heat has none.
#[must_use]
pub fn of_floor(heat: &Heat, lanes: &[u8], phones: &[PhoneState], now: HeatMs) -> Vec<LaneFlag> {
    let view = heat.state();
    if matches!(view.state, State::Signed | State::Cancelled) {
        return Vec::new();
    }
    let judged = matches!(
        view.state,
        State::OnDeck | State::Countdown | State::Running | State::Held | State::TimeCalled
    );
    let mut flags = Vec::new();
    for lane in lanes {
        let Some(known) = heat.lane(LaneNo(*lane)).filter(|known| known.status != Status::Empty) else {
            continue;
        };
        let of_record = insight::of_lane(heat, LaneNo(*lane), now).into_iter();
        flags.extend(of_record.map(|flag| LaneFlag { lane: *lane, what: told(heat, known.run, flag) }));
        let holder = phones.iter().find(|phone| phone.lane == *lane && phone.holds);
        // While one lane runs again alone, the others' judges may be gone.
        let wanted = judged && view.alone.is_none_or(|alone| alone.0 == *lane);
        if let Some(holder) = holder.filter(|_| wanted) {
            flags.extend(of_phone(holder, now).map(|what| LaneFlag { lane: *lane, what }));
        }
    }
    flags
}

fn told(heat: &Heat, run: u32, flag: insight::Flag) -> Flag {
    match flag {
        insight::Flag::TooFast { times, at, took, expected } => Flag::TooFast {
            times,
            at_ms: at.0,
            heat_ms: heat.elapsed_at(run, at).map_or(0, |elapsed| elapsed.0),
            took_ms: took.0,
            expected_ms: expected.0,
        },
        insight::Flag::Quiet { since, usual } => Flag::Quiet { since_ms: since.0, usual_ms: usual.0 },
        insight::Flag::Late { calls, longest } => Flag::LateCalls { calls, longest_ms: longest.0 },
    }
}

fn of_phone(phone: &PhoneState, now: HeatMs) -> impl Iterator<Item = Flag> {
    let gone = phone.heard_ms.filter(|heard| !phone.on_line && now.0.saturating_sub(*heard) > OFF_LINE_MS);
    // The true offset lies within half of the delay (RFC 5905 section 8).
    let error_ms = phone.delay_us.map(|delay| delay.saturating_add(1_999) / 2_000);
    let off_line = gone.map(|since_ms| Flag::OffLine { since_ms });
    let clock = error_ms.filter(|error| *error > CLOCK_ERROR_MS);
    off_line.into_iter().chain(clock.map(|error_ms| Flag::ClockError { error_ms }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phone_is_flagged_beyond_its_limits_and_not_at_them() {
        let phone = |on_line, heard_ms, delay_us| PhoneState {
            lane: 1,
            device: "phone-1".to_owned(),
            shadow: false,
            holds: true,
            on_line,
            heard_ms,
            delay_us,
            charge_percent: None,
            charging: None,
            waiting: None,
            stays_awake: None,
        };
        let flags = |phone: &PhoneState| of_phone(phone, HeatMs(100_000)).collect::<Vec<_>>();
        for quiet in [
            phone(true, Some(10_000), Some(500_000)),
            phone(false, Some(70_000), None),
            phone(false, None, None),
        ] {
            assert_eq!(flags(&quiet), []);
        }
        assert_eq!(flags(&phone(false, Some(69_999), None)), [Flag::OffLine { since_ms: 69_999 }]);
        assert_eq!(flags(&phone(true, None, Some(500_001))), [Flag::ClockError { error_ms: 251 }]);
    }
}
