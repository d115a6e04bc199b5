//! A shadow judge's calls beside those of the lane's own judge. The feed keeps a shadow's calls and counts none, so
//! what the shadow took back is worked out here, by the rules by which a lane judge takes back.
//!
//! Each attempt that either of them called is one decision: what the one said, and what the other said of the same
//! attempt, or nothing. Two calls are about the same attempt if `pairing` pairs them within [`WINDOW_MS`].

use std::collections::BTreeMap;

use fivemark_engine::bounds::{UNDO_MS, UNDO_REACH};
use fivemark_engine::command::{Call, Tally};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::HeatMs;
use fivemark_engine::{Course, Heat, Said as Recorded};

use crate::agreement::{Said, Table};
use crate::decisions::{Class, Decision, of_lane};
use crate::pairing::pair;
use crate::who::Phone;

/// How far apart two judges' calls of one attempt may lie, in milliseconds. Ours: judges tap within about half a
/// second of the end of a rep, some twice as late, and most reps take longer than this.
pub const WINDOW_MS: i64 = 1_500;

/// A call as it is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Tap {
    pub(crate) at: HeatMs,
    pub(crate) class: Class,
    /// It stands for several attempts.
    pub(crate) at_once: bool,
    /// Index of the part of the course.
    pub(crate) part: usize,
}

/// The tables of a lane by movement: its judges' decisions against those of every shadow judge it had. A lane whose
/// judge called nothing, such as one that was counted on paper, has none.
pub(crate) fn of_heats_lane(heat: &Heat, lane: LaneNo) -> BTreeMap<String, Table> {
    let mut tables: BTreeMap<String, Table> = BTreeMap::new();
    let Some(course) = heat.course_of(lane) else { return tables };
    let judge: Vec<Tap> = of_lane(heat, lane).iter().map(Tap::of).collect();
    if judge.is_empty() {
        return tables;
    }
    for shadow in shadow_taps(heat, lane, course).into_values() {
        for (part, judge, shadow) in compare(&judge, &shadow) {
            if let Some(part) = course.parts.get(part) {
                tables.entry(part.movement.clone()).or_default().add(judge, shadow);
            }
        }
    }
    tables
}

impl Tap {
    fn of(decision: &Decision) -> Self {
        let Decision { at, class, at_once, part, .. } = *decision;
        Self { at, class, at_once, part }
    }
}

/// What both said of each attempt, with its part, in whatever order the calls are given. Compared is from a shadow's
/// first call to its last: before and after, nobody was there to shadow. Where one judge entered several at once, their
/// own times are not known: neither these nor what the other called meanwhile is compared.
pub(crate) fn compare(judge: &[Tap], shadow: &[Tap]) -> Vec<(usize, Said, Said)> {
    let mut shadow: Vec<Tap> = shadow.to_vec();
    shadow.sort_unstable();
    let (Some(first), Some(last)) = (shadow.first(), shadow.last()) else { return Vec::new() };
    let (first, last) = (first.at.0 - WINDOW_MS, last.at.0 + WINDOW_MS);
    let mut judge: Vec<Tap> =
        judge.iter().copied().filter(|tap| (first..=last).contains(&tap.at.0)).collect();
    judge.sort_unstable();
    let (of_judge, of_shadow) = (spans_at_once(&judge), spans_at_once(&shadow));
    judge.retain(|tap| !tap.at_once && !lies_in(&of_shadow, tap.at));
    shadow.retain(|tap| !tap.at_once && !lies_in(&of_judge, tap.at));
    let times = |taps: &[Tap]| taps.iter().map(|tap| tap.at.0).collect::<Vec<_>>();
    let pairs = pair(&times(&judge), &times(&shadow), WINDOW_MS);
    let mut partners = vec![None; judge.len()];
    let mut alone = vec![true; shadow.len()];
    for (own, other) in pairs {
        partners[own] = Some(shadow[other]);
        alone[other] = false;
    }
    let said = |class| if class == Class::Good { Said::Good } else { Said::NoRep };
    let of_the_judge = judge.iter().zip(partners).map(|(tap, partner)| {
        (tap.part, said(tap.class), partner.map_or(Said::Nothing, |other| said(other.class)))
    });
    let left = shadow.iter().zip(alone).filter(|(_, alone)| *alone);
    of_the_judge.chain(left.map(|(tap, _)| (tap.part, Said::Nothing, said(tap.class)))).collect()
}

/// For each call of several at once, the time in which its attempts were made: after the judge's call before it.
fn spans_at_once(taps: &[Tap]) -> Vec<(HeatMs, HeatMs)> {
    let before = std::iter::once(None).chain(taps.iter().map(|tap| Some(tap.at)));
    let at_once = taps.iter().zip(before).filter(|(tap, _)| tap.at_once);
    let span = |(tap, before): (&Tap, Option<HeatMs>)| {
        (before.unwrap_or(HeatMs(i64::MIN)), HeatMs(tap.at.0.saturating_add(WINDOW_MS)))
    };
    at_once.map(span).collect()
}

/// Whether a moment lies in one of the spans, whose beginnings and ends are both in order.
fn lies_in(spans: &[(HeatMs, HeatMs)], at: HeatMs) -> bool {
    let first = spans.partition_point(|(_, until)| *until < at);
    spans.get(first).is_some_and(|(after, _)| *after < at)
}

/// What each shadow judge of a lane called in its present run while calls counted there, by phone.
fn shadow_taps(heat: &Heat, lane: LaneNo, course: &Course) -> BTreeMap<Phone, Vec<Tap>> {
    let run = heat.lane(lane).map_or(0, |view| view.run);
    let mut heard: BTreeMap<Phone, Vec<(HeatMs, &Tally)>> = BTreeMap::new();
    let mut counted = Vec::new();
    for (index, entry) in heat.record(lane).unwrap_or_default().iter().enumerate() {
        match &entry.said {
            Recorded::Tally(tally) if tally.shadow => {
                if tally.run == run {
                    heard.entry(Phone::of(tally)).or_default().push((entry.effective, tally));
                }
            }
            _ => counted.push((entry.effective, index)),
        }
    }
    counted.sort_unstable();
    // The part on which the lane stood, for what the shadow alone has called.
    let part_at = |at: HeatMs| {
        let before = counted.partition_point(|(moment, _)| *moment <= at);
        let last = before.checked_sub(1).and_then(|last| counted.get(last));
        let done = last.and_then(|(_, index)| heat.done_after(lane, *index)).unwrap_or(0);
        course.place(done).part.min(course.parts.len().saturating_sub(1))
    };
    let taps = |calls: Vec<(HeatMs, &Tally)>| {
        let stand = standing(calls).into_iter().filter(|(at, ..)| heat.counts_at(lane, *at).is_some());
        let tap = |(at, class, tally): (HeatMs, Class, &Tally)| {
            let part = part_at(at);
            let step = course.parts.get(part).map_or(1, |part| part.step);
            let whole =
                tally.call == Call::PartDone && course.parts.get(part).is_some_and(|of| of.amount > step);
            Tap { at, class, at_once: whole || tally.amount > step, part }
        };
        stand.map(tap).collect()
    };
    heard.into_iter().map(|(phone, calls)| (phone, taps(calls))).collect()
}

/// One phone's call, and what became of it.
struct Stands<'a> {
    at: HeatMs,
    tally: &'a Tally,
    /// It was undone.
    undone: bool,
    /// A rep that was called a no-rep afterwards.
    converted: bool,
    /// The rep that a "last was no-rep" is about.
    about: Option<usize>,
}

/// What of one phone's calls stands in the end, in order of their times.
fn standing(mut calls: Vec<(HeatMs, &Tally)>) -> Vec<(HeatMs, Class, &Tally)> {
    calls.sort_by_key(|(at, tally)| (*at, tally.number));
    let mut said: Vec<Stands<'_>> = Vec::new();
    for (at, tally) in calls {
        let mut new = Stands { at, tally, undone: false, converted: false, about: None };
        match tally.call {
            Call::Undo => {
                undo(&mut said, at, tally);
                continue;
            }
            Call::LastWasNoRep => {
                let mut back = said.iter_mut().enumerate().rev().take(UNDO_REACH);
                let rep = back.find(|(_, one)| one.is_rep() && !one.undone && !one.converted);
                new.about = rep.map(|(place, rep)| {
                    rep.converted = true;
                    place
                });
            }
            _ => {}
        }
        said.push(new);
    }
    let class = |one: &Stands<'_>| match one.tally.call {
        _ if one.undone => None,
        Call::NoRep => Some(Class::NoRep),
        _ if one.converted => Some(Class::NoRep),
        Call::Good | Call::PartDone => Some(Class::Good),
        _ => None,
    };
    said.iter().filter_map(|one| Some((one.at, class(one)?, one.tally))).collect()
}

/// Takes the phone's last call back, if it is young enough.
fn undo(said: &mut [Stands<'_>], at: HeatMs, tally: &Tally) {
    let Some((last, _)) = said.iter().enumerate().rev().take(UNDO_REACH).find(|(_, one)| !one.undone) else {
        return;
    };
    let age = match said[last].tally {
        before if before.epoch == tally.epoch => tally.stamp.0.saturating_sub(before.stamp.0),
        _ => at.since(said[last].at).0,
    };
    if age > UNDO_MS {
        return;
    }
    said[last].undone = true;
    if let Some(rep) = said[last].about {
        said[rep].converted = false;
    }
}

impl Stands<'_> {
    fn is_rep(&self) -> bool {
        matches!(self.tally.call, Call::Good | Call::PartDone)
    }
}
