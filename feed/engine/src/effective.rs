//! Effective time: when a call was tapped, as far as the feed can know. A page's stamp is mapped by the page's
//! clock offset, then kept within what receipt and neighbours allow, so that no phone can reach far back or
//! ahead. What is in doubt is said.

use crate::bounds::{CLAMP_DOUBT_MS, LIVE_LAG_MS, SLEPT_MS};
use crate::command::Tally;
use crate::record::Doubts;
use crate::time::{HeatMs, MonoMs, SpanMs};

/// What a page's earlier calls say about the next one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Neighbour {
    /// Stamp of the page's previous call.
    pub(crate) stamp: MonoMs,
    /// Its effective time.
    pub(crate) effective: HeatMs,
    /// Wall clock minus monotonic clock, at the page's first call that told its wall clock.
    pub(crate) wall_ahead_ms: Option<i64>,
}

/// Effective time of a call received at `at`, and what is in doubt about it.
pub(crate) fn effective(tally: &Tally, at: HeatMs, previous: Option<Neighbour>) -> (HeatMs, Doubts) {
    let earliest = previous.map_or(HeatMs(i64::MIN), |previous| previous.effective);
    let mut doubts = Doubts { slept: has_slept(tally, previous), ..Doubts::default() };
    let mapped = match (tally.offset, previous) {
        (Some(offset), _) => HeatMs(tally.stamp.0).plus(offset.add),
        (None, Some(previous)) => {
            doubts.no_offset = true;
            previous.effective.plus(SpanMs(tally.stamp.0.saturating_sub(previous.stamp.0)))
        }
        (None, None) => {
            doubts.no_offset = true;
            at
        }
    };
    let mut lowest = earliest;
    if tally.offset.is_some() {
        if mapped < tally.link_since {
            doubts.outage = true;
        } else {
            lowest = lowest.max(at.plus(SpanMs(-LIVE_LAG_MS)));
        }
    }
    let effective = mapped.max(lowest).min(at);
    doubts.clamped = mapped.since(effective).0.saturating_abs() > CLAMP_DOUBT_MS;
    (effective, doubts)
}

/// How far a page's wall clock is ahead of its monotonic clock, if it tells.
pub(crate) fn wall_ahead_ms(tally: &Tally) -> Option<i64> {
    tally.wall_ms.map(|wall| wall.saturating_sub(tally.stamp.0))
}

fn has_slept(tally: &Tally, previous: Option<Neighbour>) -> bool {
    let first = previous.and_then(|previous| previous.wall_ahead_ms);
    match (first, wall_ahead_ms(tally)) {
        (Some(first), Some(now)) => now.saturating_sub(first).saturating_abs() > SLEPT_MS,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::{Call, Offset};
    use crate::ids::{DeviceId, Epoch, LaneNo};

    /// A good call stamped `stamp` on a page whose clock, if it is known, is `offset` behind heat time.
    fn call(stamp: i64, offset: Option<i64>, link_since: i64) -> Tally {
        Tally {
            run: 1,
            lane: LaneNo(1),
            device: DeviceId("phone".into()),
            epoch: Epoch(1),
            number: 1,
            call: Call::Good,
            amount: 0,
            fault: None,
            stamp: MonoMs(stamp),
            wall_ms: None,
            offset: offset.map(|add| Offset { add: SpanMs(add), delay: SpanMs(20) }),
            link_since: HeatMs(link_since),
            athlete: None,
            load_g: None,
            slot: None,
            shadow: false,
        }
    }

    fn after(stamp: i64, effective: i64) -> Option<Neighbour> {
        Some(Neighbour { stamp: MonoMs(stamp), effective: HeatMs(effective), wall_ahead_ms: None })
    }

    const NONE: Doubts =
        Doubts { outage: false, no_offset: false, slept: false, clamped: false, late: false };

    #[track_caller]
    fn check(tally: &Tally, at: i64, previous: Option<Neighbour>, want: i64, doubts: Doubts) {
        assert_eq!(effective(tally, HeatMs(at), previous), (HeatMs(want), doubts));
    }

    #[test]
    fn a_known_clock_maps_the_stamp() {
        check(&call(5_000, Some(95_000), 0), 100_300, None, 100_000, NONE);
        // An offset's small error never puts a call after its receipt, nor before the page's previous call.
        check(&call(5_000, Some(95_000), 0), 99_990, None, 99_990, NONE);
        check(&call(5_000, Some(95_000), 0), 100_300, after(4_900, 100_050), 100_050, NONE);
    }

    #[test]
    fn a_live_link_reaches_ten_seconds_back_and_no_further() {
        let clamped = Doubts { clamped: true, ..NONE };
        check(&call(5_000, Some(95_000), 0), 110_000, None, 100_000, NONE);
        check(&call(5_000, Some(95_000), 0), 110_900, None, 100_900, NONE);
        check(&call(5_000, Some(95_000), 0), 200_000, None, 190_000, clamped);
        check(&call(9_999_999, Some(95_000), 0), 200_000, None, 200_000, clamped);
    }

    #[test]
    fn after_an_outage_the_stamp_stands_and_is_flagged() {
        let outage = Doubts { outage: true, ..NONE };
        check(&call(5_000, Some(95_000), 180_000), 200_000, None, 100_000, outage);
        check(&call(5_000, Some(95_000), 180_000), 200_000, after(4_000, 99_000), 100_000, outage);
    }

    #[test]
    fn without_a_clock_exchange_neighbours_bound_the_call() {
        let no_offset = Doubts { no_offset: true, ..NONE };
        check(&call(5_000, None, 0), 100_000, None, 100_000, no_offset);
        // 1.2 s after the previous call by the page's own clock, however late it arrives.
        check(&call(6_200, None, 0), 140_000, after(5_000, 100_000), 101_200, no_offset);
        check(&call(6_200, None, 0), 100_700, after(5_000, 100_000), 100_700, no_offset);
        let clamped = Doubts { clamped: true, ..no_offset };
        check(&call(1_000, None, 0), 140_000, after(5_000, 100_000), 100_000, clamped);
    }

    #[test]
    fn a_page_whose_clocks_part_has_slept() {
        #[track_caller]
        fn check_slept(ahead_before: i64, ahead_now: i64, want: bool) {
            let tally = Tally { wall_ms: Some(5_000 + ahead_now), ..call(5_000, Some(95_000), 0) };
            let mut previous = after(4_000, 99_000);
            if let Some(previous) = &mut previous {
                previous.wall_ahead_ms = Some(ahead_before);
            }
            assert_eq!(effective(&tally, HeatMs(100_100), previous).1.slept, want);
        }
        check_slept(1_700_000_000_000, 1_700_000_000_500, false);
        check_slept(1_700_000_000_000, 1_700_000_000_501, true);
        check_slept(1_700_000_000_000, 1_699_999_999_499, true);
    }

    #[test]
    fn absurd_stamps_stay_within_bounds() {
        for stamp in [i64::MIN, -1, i64::MAX] {
            for add in [Some(i64::MIN), Some(i64::MAX), None] {
                for previous in [None, after(0, 0), after(i64::MAX, 50)] {
                    let tally = Tally { wall_ms: Some(i64::MIN), ..call(stamp, add, i64::MIN) };
                    let (time, _) = effective(&tally, HeatMs(100), previous);
                    assert!(time <= HeatMs(100));
                    assert!(previous.is_none_or(|previous| time >= previous.effective));
                }
            }
        }
    }
}
