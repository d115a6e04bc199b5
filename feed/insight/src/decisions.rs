//! The decisions that a lane's judges made, read out of its record: one for each attempt that was judged. What was
//! undone, refused or changed by a ruling is no decision; a rep that was called a no-rep a moment later is a no-rep.
//! Attempts at a declared load and holds are not read here: they have standards of their own.

use fivemark_engine::command::{Call, Tally};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Course, Entry, Heat, Part, Said, Verdict};

use crate::who::Phone;

/// What was decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub enum Class {
    Good,
    NoRep,
}

/// One judged attempt, or several that were entered at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// When it was tapped; a rep that became a no-rep afterwards, when the rep was.
    pub at: HeatMs,
    /// What was decided.
    pub class: Class,
    /// Index of the part of the course that it was made on.
    pub part: usize,
    /// Steps of the movement that it stands for: 1, or more where a judge entered several at once. A part that was
    /// called done is one.
    pub attempts: u32,
    /// It stands for more than a step, whose own times are not known.
    pub at_once: bool,
    /// Name of the fault, if one was named.
    pub fault: Option<String>,
    /// Whose phone said so.
    pub phone: Phone,
}

/// The decisions on a lane in its present run, in order of their times; none for an unknown lane. Runs that score
/// nothing are left out.
#[must_use]
pub fn of_lane(heat: &Heat, lane: LaneNo) -> Vec<Decision> {
    let (Some(record), Some(course)) = (heat.record(lane), heat.course_of(lane)) else { return Vec::new() };
    let found = record.iter().enumerate().filter_map(|(index, entry)| {
        // A call of which nothing came leaves the count as it was: this is where it was made, less what it added.
        let after = heat.done_after(lane, index)?;
        decision(entry, record, course, after)
    });
    let mut decisions: Vec<Decision> = found.collect();
    decisions.sort_by_key(|decision| (decision.at, decision.class));
    decisions
}

fn decision(entry: &Entry, record: &[Entry], course: &Course, after: u32) -> Option<Decision> {
    let Said::Tally(tally) = &entry.said else { return None };
    let (judged_by, class, units) = match (tally.call, entry.verdict) {
        (Call::Good | Call::PartDone, Verdict::Counted { units }) => (tally, Class::Good, units),
        (Call::NoRep, Verdict::Counted { .. }) => (tally, Class::NoRep, 0),
        (Call::Good | Call::PartDone, Verdict::TakenBack { by }) => (taken_by(record, by)?, Class::NoRep, 0),
        _ => return None,
    };
    let index = course.place(after.saturating_sub(units)).part;
    let part = course.parts.get(index)?;
    let whole = tally.call == Call::PartDone;
    Some(Decision {
        at: entry.effective,
        class,
        part: index,
        attempts: if whole { 1 } else { units.div_ceil(part.step.max(1)).max(1) },
        at_once: units > part.step,
        fault: judged_by.fault.as_deref().map(|code| fault_name(part, code)),
        phone: Phone::of(judged_by),
    })
}

/// Who said that a rep was a no-rep, if that is what took it back.
fn taken_by(record: &[Entry], by: usize) -> Option<&Tally> {
    match &record.get(by)?.said {
        Said::Tally(later) if later.call == Call::LastWasNoRep => Some(later),
        _ => None,
    }
}

/// A fault as people read it; its code where the movement has no such fault.
pub(crate) fn fault_name(part: &Part, code: &str) -> String {
    let known = part.faults.iter().find(|fault| fault.code == code);
    known.map_or_else(|| code.to_owned(), |fault| fault.name.clone())
}
