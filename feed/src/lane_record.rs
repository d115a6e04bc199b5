//! The record behind a lane's numbers, as officials are told it: calls, rulings, initials, hand-overs and remarks, in
//! the order in which they take effect, each with what became of it. The engine keeps it; here it is put into words of
//! the wire and held to a size.

use fivemark_engine as engine;
use fivemark_engine::Heat;
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_wire::bounds::MAX_RECORD;
use fivemark_wire::from_feed::Reason;
use fivemark_wire::lane_record::{
    AskLane, Doubt, LaneRecord, RecordEntry, Recorded, RecordedCall, RecordedHandOver, RecordedInitials,
    RecordedRemark, RecordedRuling, Verdict,
};

use crate::competition::HeatPlan;
use crate::convert;

/// Entries of one run that are looked at: more have no room in any case, since each takes over 100 bytes.
const MAX_ENTRIES: usize = MAX_RECORD / 100;

/// The record of a lane; none if the heat has no such lane.
#[must_use]
pub fn of(heat: &Heat, plan: &HeatPlan, asked: AskLane) -> Option<LaneRecord> {
    let lane = LaneNo(asked.lane);
    let now = heat.record(lane)?;
    let judge = plan.lanes.iter().find(|known| known.lane == asked.lane).map(|known| known.judge.clone());
    let mut gathered = Gathered { heat, entries: Vec::new(), left_out: 0 };
    for past in heat.past_runs() {
        let of_lane = past.lanes.iter().filter(|past| past.lane == lane);
        of_lane.for_each(|past_lane| gathered.run(past.run, &past_lane.record, None));
    }
    gathered.run(heat.lane(lane)?.run, now, Some(lane));
    gathered.beside(lane);
    // Of one moment, what was received first stands first.
    gathered.entries.sort_by_key(|entry| (entry.at_ms, entry.received_ms));
    let mut record = LaneRecord {
        id: asked.id,
        heat: asked.heat,
        lane: asked.lane,
        judge: judge.unwrap_or_default(),
        left_out: 0,
        entries: Vec::new(),
    };
    let kept = newest(&gathered.entries);
    record.left_out = u32::try_from(gathered.left_out + gathered.entries.len() - kept).unwrap_or(u32::MAX);
    record.entries = gathered.entries.split_off(gathered.entries.len() - kept);
    Some(record)
}

/// How many of the newest entries have room.
fn newest(entries: &[RecordEntry]) -> usize {
    let size = |entry: &RecordEntry| serde_json::to_string(entry).map_or(MAX_RECORD, |text| text.len() + 1);
    let mut room = MAX_RECORD;
    let fits = |entry: &&RecordEntry| {
        let left = room.checked_sub(size(entry));
        room = left.unwrap_or(0);
        left.is_some()
    };
    entries.iter().rev().take_while(fits).count()
}

struct Gathered<'a> {
    heat: &'a Heat,
    entries: Vec<RecordEntry>,
    left_out: usize,
}

impl Gathered<'_> {
    /// Calls and rulings of one run; `lane` where it is the present one.
    fn run(&mut self, run: u32, record: &[engine::Entry], lane: Option<LaneNo>) {
        let first = record.len().saturating_sub(MAX_ENTRIES);
        self.left_out += first;
        for (index, entry) in record.iter().enumerate().skip(first) {
            let what = match &entry.said {
                engine::Said::Tally(tally) => {
                    let done = lane.and_then(|lane| self.heat.done_after(lane, index));
                    Recorded::Call(call(tally, entry, record, done))
                }
                engine::Said::Ruling(ruling) => Recorded::Ruling(self::ruling(ruling, entry)),
            };
            self.add(run, entry.effective, entry.at, what);
        }
    }

    /// What stands beside calls and rulings.
    fn beside(&mut self, lane: LaneNo) {
        let heat = self.heat;
        for initials in heat.initials(lane).unwrap_or_default() {
            let what = Recorded::Initials(self::initials(initials));
            self.add(initials.run, initials.at, initials.at, what);
        }
        for step in heat.hand_overs(lane).unwrap_or_default() {
            let what = Recorded::HandOver(RecordedHandOver {
                from: step.from.as_ref().map_or_else(String::new, |device| device.0.clone()),
                to: step.to.0.clone(),
                by: step.by.clone(),
            });
            self.add(step.run, step.at, step.at, what);
        }
        for remark in heat.remarks() {
            let more = if remark.says.is_empty() { String::new() } else { format!(" ({})", remark.says) };
            let (says, reason) = (format!("{}{more}", remark.what), remark.reason.clone());
            let what = Recorded::Heat(RecordedRemark { says, reason });
            self.add(remark.run, remark.at, remark.at, what);
        }
    }

    fn add(&mut self, run: u32, at: HeatMs, received: HeatMs, what: Recorded) {
        let heat_ms = self.heat.elapsed_at(run, at).map(|span| span.0);
        self.entries.push(RecordEntry { run, at_ms: at.0, received_ms: received.0, heat_ms, what });
    }
}

/// Initials under a result, as they are told.
#[must_use]
pub fn initials(initials: &engine::Initials) -> RecordedInitials {
    RecordedInitials {
        result: initials.result.clone(),
        athlete: initials.athlete.clone(),
        judge: initials.judge.clone(),
        by: initials.by.clone(),
        reason: initials.reason.clone(),
        taken_back_ms: initials.taken_back.map(|at| at.0),
    }
}

fn call(
    tally: &engine::command::Tally,
    entry: &engine::Entry,
    record: &[engine::Entry],
    done: Option<u32>,
) -> RecordedCall {
    let verdict = match entry.verdict {
        engine::Verdict::Counted { units } => Verdict::Counted { units },
        engine::Verdict::TakenBack { by } => match record.get(by).map(|entry| &entry.said) {
            Some(engine::Said::Tally(by)) => Verdict::TakenBack { epoch: by.epoch.0, number: by.number },
            _ => Verdict::TakenBack { epoch: tally.epoch.0, number: tally.number },
        },
        engine::Verdict::NotCounted(why) => {
            Verdict::NotCounted(Reason { code: convert::not_counted(why), says: why.to_string() })
        }
        engine::Verdict::Noted => Verdict::Noted,
        // A ruling's own word, which no call has.
        engine::Verdict::Shadow | engine::Verdict::Ruled => Verdict::Shadow,
    };
    RecordedCall {
        device: tally.device.0.clone(),
        epoch: tally.epoch.0,
        number: tally.number,
        call: convert::called(tally.call),
        amount: tally.amount,
        fault: tally.fault.clone(),
        load_g: tally.load_g,
        verdict,
        done,
        doubts: doubts(entry.doubts),
    }
}

fn doubts(doubts: engine::Doubts) -> Vec<Doubt> {
    let each = [
        (doubts.late, Doubt::Late),
        (doubts.outage, Doubt::Outage),
        (doubts.slept, Doubt::Slept),
        (doubts.no_offset, Doubt::NoClock),
        (doubts.clamped, Doubt::Clamped),
    ];
    each.into_iter().filter(|(is, _)| *is).map(|(_, doubt)| doubt).collect()
}

/// A ruling beside what it replaced, as it is told.
#[must_use]
pub fn ruling(ruling: &engine::command::Ruling, entry: &engine::Entry) -> RecordedRuling {
    let told = entry.told.as_deref();
    let text = |of: fn(&engine::Told) -> &String| told.map_or_else(String::new, |told| of(told).clone());
    RecordedRuling {
        by: ruling.by.clone(),
        says: text(|told| &told.says),
        reason: ruling.reason.clone(),
        before: text(|told| &told.before),
        after: text(|told| &told.after),
    }
}
