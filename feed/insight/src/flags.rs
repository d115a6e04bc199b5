//! What an official should look at on a lane while it works: reps called faster than a human can do them, a lane that
//! has gone quiet, and calls that came late. A flag changes nothing and accuses nobody; it says where to look. The
//! limits are ours, with no published source.

use fivemark_engine::command::{Call, Tally};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::{HeatMs, SpanMs};
use fivemark_engine::{Course, Doubts, Entry, Heat, Said, State, Status, Verdict};

/// A rep that came this many times sooner than the movement's expected time is faster than a human can do it.
pub const TOO_FAST: i64 = 4;
/// So many of them in a row are flagged: a single one may be a tap that caught up with a missed one.
pub const TOO_FAST_IN_A_ROW: u32 = 2;
/// A lane is quiet when no call has come for this many times what it usually takes for its next one.
pub const QUIET: i64 = 6;
/// And for no less than this, in milliseconds: rests are normal.
pub const QUIET_AT_LEAST_MS: i64 = 20_000;
/// What a lane usually takes is the median of so many of its last reps.
pub const RECENT: usize = 8;
/// With fewer reps than this nothing is usual yet.
pub const RECENT_AT_LEAST: usize = 5;
/// A call that was received later than this after it was tapped came late, in milliseconds: as long as a call on a live
/// link may reach back.
pub const LATE_MS: i64 = fivemark_engine::bounds::LIVE_LAG_MS;

/// Something to look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flag {
    /// Good reps in a row, each sooner than a human can do it.
    TooFast {
        /// How often: each rep counts that makes [`TOO_FAST_IN_A_ROW`] of them, or more.
        times: u32,
        /// The last one's moment.
        at: HeatMs,
        /// The time that it took.
        took: SpanMs,
        /// The time that its movement is expected to take.
        expected: SpanMs,
    },
    /// No call has come for long, beside what is usual on this lane. A rest, mostly.
    Quiet {
        /// The last call's moment.
        since: HeatMs,
        /// What this lane usually takes for what comes next.
        usual: SpanMs,
    },
    /// Calls that count came later than [`LATE_MS`] after they were tapped.
    Late {
        /// How many.
        calls: u32,
        /// The longest delay among them.
        longest: SpanMs,
    },
}

/// The flags of a lane in its present run, at a moment. An empty lane and an unknown one have none.
#[must_use]
pub fn of_lane(heat: &Heat, lane: LaneNo, now: HeatMs) -> Vec<Flag> {
    let (Some(view), Some(record), Some(course)) = (heat.lane(lane), heat.record(lane), heat.course_of(lane))
    else {
        return Vec::new();
    };
    if view.status == Status::Empty {
        return Vec::new();
    }
    let reps = reps(heat, lane, record, course);
    let works = heat.state().state == State::Running && view.status == Status::Racing;
    let elapsed = heat.counts_at(lane, now).filter(|_| works);
    let silent = elapsed.and_then(|elapsed| quiet(heat, lane, record, &reps, (elapsed, view.done)));
    [too_fast(&reps), silent, late(record)].into_iter().flatten().collect()
}

/// A good call that counts.
struct Rep {
    at: HeatMs,
    /// Heat time since the good call before it, or since the lane's start.
    took: SpanMs,
    expected: SpanMs,
    /// Its time or that of the one before it is not known well.
    doubtful: bool,
}

fn reps(heat: &Heat, lane: LaneNo, record: &[Entry], course: &Course) -> Vec<Rep> {
    let good = record.iter().enumerate().filter_map(|(index, entry)| {
        let units = match (&entry.said, entry.verdict) {
            (Said::Tally(tally), Verdict::Counted { units }) if units > 0 && is_rep(tally) => units,
            _ => return None,
        };
        let before = heat.done_after(lane, index)?.saturating_sub(units);
        let per_unit = i64::from(course.part_at(before)?.expected_ms_per_unit);
        let heat_time = heat.counts_at(lane, entry.effective)?;
        let expected = SpanMs(per_unit.saturating_mul(i64::from(units)));
        Some((entry.effective, heat_time, expected, is_unsure(entry.doubts)))
    });
    let mut good: Vec<_> = good.collect();
    good.sort_by_key(|(at, ..)| *at);
    let start = heat.lane(lane).map_or(SpanMs(0), |view| view.start);
    let mut before = (start, false);
    let mut reps = Vec::with_capacity(good.len());
    for (at, heat_time, expected, unsure) in good {
        let took = SpanMs(heat_time.0.saturating_sub(before.0.0));
        reps.push(Rep { at, took, expected, doubtful: unsure || before.1 });
        before = (heat_time, unsure);
    }
    reps
}

/// A call whose moment is known only within bounds; one that waited out an outage has its own stamp.
fn is_unsure(doubts: Doubts) -> bool {
    doubts.no_offset || doubts.slept || doubts.clamped
}

fn too_fast(reps: &[Rep]) -> Option<Flag> {
    let (mut in_a_row, mut times, mut last) = (0_u32, 0_u32, None);
    for rep in reps {
        let fast = !rep.doubtful && rep.took.0.saturating_mul(TOO_FAST) < rep.expected.0;
        in_a_row = if fast { in_a_row.saturating_add(1) } else { 0 };
        if in_a_row >= TOO_FAST_IN_A_ROW {
            times = times.saturating_add(1);
            last = Some(rep);
        }
    }
    last.map(|rep| Flag::TooFast { times, at: rep.at, took: rep.took, expected: rep.expected })
}

/// `now` is the heat time that has passed, and the units that the lane has done.
fn quiet(heat: &Heat, lane: LaneNo, record: &[Entry], reps: &[Rep], now: (SpanMs, u32)) -> Option<Flag> {
    let (elapsed, done) = now;
    let recent: Vec<&Rep> =
        reps.iter().rev().filter(|rep| !rep.doubtful && rep.expected.0 > 0).take(RECENT).collect();
    if recent.len() < RECENT_AT_LEAST {
        return None;
    }
    let mut paces: Vec<i64> =
        recent.iter().map(|rep| rep.took.0.max(0) * PER_MILLE / rep.expected.0).collect();
    paces.sort_unstable();
    let pace = paces[paces.len() / 2];
    let course = heat.course_of(lane)?;
    let place = course.place(done);
    let part = course.parts.get(place.part)?;
    let units = part.step.min(part.amount.saturating_sub(place.part_done));
    let usual = i64::from(part.expected_ms_per_unit) * i64::from(units) * pace / PER_MILLE;
    let said = |entry: &&Entry| matches!(&entry.said, Said::Tally(tally) if is_call(tally));
    // Calls at other times than those that count are none that the lane's work would explain.
    let calls = record.iter().filter(said).map(|entry| entry.effective);
    let (last, since) = calls.filter_map(|at| Some((heat.counts_at(lane, at)?, at))).max()?;
    let silence = elapsed.0.saturating_sub(last.0);
    let long = silence > usual.saturating_mul(QUIET).max(QUIET_AT_LEAST_MS);
    long.then_some(Flag::Quiet { since, usual: SpanMs(usual) })
}

/// Paces are told in thousandths of what is expected.
const PER_MILLE: i64 = 1_000;

/// A call whose time tells how fast work is done; attempts at a load and holds are not.
fn is_rep(tally: &Tally) -> bool {
    matches!(tally.call, Call::Good | Call::PartDone)
}

/// A lane judge's word on an attempt.
fn is_call(tally: &Tally) -> bool {
    !tally.shadow && tally.call != Call::Undo
}

fn late(record: &[Entry]) -> Option<Flag> {
    let counted = record.iter().filter(|entry| matches!(entry.verdict, Verdict::Counted { .. }));
    let delays = counted.map(|entry| entry.at.since(entry.effective)).filter(|delay| delay.0 > LATE_MS);
    let (calls, longest) = delays
        .fold((0_u32, SpanMs(0)), |(calls, longest), delay| (calls.saturating_add(1), longest.max(delay)));
    (calls > 0).then_some(Flag::Late { calls, longest })
}
