//! How the judges call, as the head judge is told it: counts of every heat that was on the floor, compared by `insight`,
//! put into the wire's words and held to a size. Counts of signed heats are kept, since those don't change by themselves;
//! whatever might change them has them counted anew.

use std::collections::BTreeMap;

use fivemark_engine::ids::LaneNo;
use fivemark_engine::{Heat, State};
use fivemark_insight as insight;
use fivemark_insight::agreement::Kappa;
use fivemark_insight::interval::Interval;
use fivemark_insight::{Briefing, HeatCounts, Planned, Roster, WINDOW_MS};
use fivemark_wire::bounds::MAX_JUDGES;
use fivemark_wire::judges as wire;
use fivemark_wire::judges::{Ends, JudgeName, Judges};

use crate::competition::{Competition, HeatPlan};

/// Counts of signed heats, by number.
#[derive(Debug, Default)]
pub struct Kept(BTreeMap<u32, (Stands, HeatCounts)>);

/// What the counts of a signed heat hang on.
#[derive(Debug, PartialEq, Eq)]
struct Stands {
    planned: Planned,
    remarks: usize,
    entries: usize,
}

/// The tables of all heats that were opened.
#[must_use]
pub fn tables(
    id: u64,
    competition: &Competition,
    open: &BTreeMap<u32, Heat>,
    plans: &BTreeMap<u32, HeatPlan>,
    kept: &mut Kept,
) -> Judges {
    let roster = roster(competition, plans);
    let (mut heats, mut all) = (0, HeatCounts::default());
    for (number, heat) in open {
        let planned = plans.get(number).map(planned).unwrap_or_default();
        let counts = kept.counts(*number, heat, planned, &roster);
        heats += u32::from(counts != HeatCounts::default());
        all.take_in(&counts);
    }
    told(id, heats, &Briefing::of(&all))
}

fn roster(competition: &Competition, plans: &BTreeMap<u32, HeatPlan>) -> Roster {
    let lanes = competition.heats.iter().chain(plans.values()).flat_map(|plan| &plan.lanes);
    Roster::new(lanes.map(|lane| lane.judge.as_str()))
}

impl Kept {
    /// Counts the first signed heat of which no counts are kept.
    pub fn count_ahead(
        &mut self,
        competition: &Competition,
        open: &BTreeMap<u32, Heat>,
        plans: &BTreeMap<u32, HeatPlan>,
    ) {
        let is_due = |(number, heat): &(&u32, &Heat)| {
            heat.state().state == State::Signed && !self.0.contains_key(number)
        };
        if let Some((number, heat)) = open.iter().find(is_due) {
            let planned = plans.get(number).map(planned).unwrap_or_default();
            self.counts(*number, heat, planned, &roster(competition, plans));
        }
    }

    fn counts(&mut self, number: u32, heat: &Heat, planned: Planned, roster: &Roster) -> HeatCounts {
        let records = planned.keys().filter_map(|lane| heat.record(*lane));
        let entries = records.map(<[_]>::len).sum();
        let stands = Stands { planned, remarks: heat.remarks().len(), entries };
        let signed = heat.state().state == State::Signed;
        if let Some((known, counts)) = self.0.get(&number).filter(|_| signed)
            && *known == stands
        {
            return counts.clone();
        }
        let counts = HeatCounts::of(heat, &stands.planned, roster);
        if signed {
            self.0.insert(number, (stands, counts.clone()));
        }
        counts
    }
}

fn planned(plan: &HeatPlan) -> Planned {
    plan.lanes.iter().map(|lane| (LaneNo(lane.lane), lane.judge.clone())).collect()
}

fn told(id: u64, heats: u32, briefing: &Briefing) -> Judges {
    let field = briefing.field.iter().map(|of| wire::FieldRate {
        movement: of.movement.clone(),
        judges: of.judges,
        attempts: of.attempts,
        no_reps: of.no_reps,
    });
    let rates: Vec<wire::JudgeRate> = briefing.judges.iter().map(rate).collect();
    let all = rates.len();
    let rates = with_room(rates);
    Judges {
        id,
        heats,
        field: field.collect(),
        left_out: u32::try_from(all - rates.len()).unwrap_or(u32::MAX),
        rates,
        comparisons: briefing.comparisons,
        agreement: briefing.agreement.iter().map(agreement).collect(),
        window_ms: WINDOW_MS,
    }
}

/// The rates that have room, in their order: those that lie outside of the field first, then those with the most attempts.
fn with_room(rates: Vec<wire::JudgeRate>) -> Vec<wire::JudgeRate> {
    let mut places: Vec<usize> = (0..rates.len()).collect();
    let stands_out = |rate: &wire::JudgeRate| {
        rate.outside.is_some() || rate.faults.iter().any(|fault| fault.outside.is_some())
    };
    places.sort_by_key(|place| (!stands_out(&rates[*place]), std::cmp::Reverse(rates[*place].attempts)));
    let mut room = MAX_JUDGES;
    let mut has_room = vec![false; rates.len()];
    for place in places {
        let size = serde_json::to_string(&rates[place]).map_or(MAX_JUDGES, |text| text.len() + 1);
        let Some(left) = room.checked_sub(size) else { break };
        (room, has_room[place]) = (left, true);
    }
    rates.into_iter().zip(has_room).filter(|(_, has_room)| *has_room).map(|(rate, _)| rate).collect()
}

fn rate(of: &insight::JudgeRate) -> wire::JudgeRate {
    let judge = match of.judge.clone() {
        insight::Judge::Named(name) => JudgeName::Name(name),
        insight::Judge::Initials(initials) => JudgeName::Initials(initials),
        insight::Judge::Phone(device) => JudgeName::Device(device),
    };
    let fault = |fault: &insight::FaultRate| wire::FaultRate {
        fault: fault.fault.clone(),
        no_reps: fault.no_reps,
        interval: ends(fault.interval),
        field_no_reps: fault.field_no_reps,
        outside: fault.outside.map(side),
    };
    wire::JudgeRate {
        judge,
        movement: of.movement.clone(),
        attempts: of.attempts,
        no_reps: of.no_reps,
        interval: ends(of.interval),
        outside: of.outside.map(side),
        faults: of.faults.iter().map(fault).collect(),
    }
}

fn side(of: insight::Outside) -> wire::Outside {
    match of {
        insight::Outside::Below => wire::Outside::Below,
        insight::Outside::Above => wire::Outside::Above,
    }
}

fn agreement(of: &insight::MovementAgreement) -> wire::MovementAgreement {
    let insight::MovementAgreement { movement, agreement } = of;
    let kappa = |kappa: Kappa| wire::Kappa { ppm: ppm(kappa.value), interval: kappa.interval.map(ends) };
    wire::MovementAgreement {
        movement: movement.clone(),
        decisions: agreement.decisions,
        same: agreement.same,
        differ: agreement.differ,
        judge_alone: agreement.judge_alone,
        shadow_alone: agreement.shadow_alone,
        raw: ends(agreement.raw.1),
        kappa: agreement.kappa.map(kappa),
    }
}

fn ends(of: Interval) -> Ends {
    Ends { low_ppm: ppm(of.low), high_ppm: ppm(of.high) }
}

/// A share or a kappa in whole millionths.
fn ppm(value: f64) -> i32 {
    // Between −1 and 1, so that it fits.
    #[allow(clippy::cast_possible_truncation)]
    let whole = (value.clamp(-1.0, 1.0) * 1_000_000.0).round() as i32;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate_of(attempts: u32, outside: Option<wire::Outside>, long: usize) -> wire::JudgeRate {
        wire::JudgeRate {
            judge: JudgeName::Name("x".repeat(long)),
            movement: "Thruster".to_owned(),
            attempts,
            no_reps: 0,
            interval: Ends { low_ppm: 0, high_ppm: 1 },
            outside,
            faults: Vec::new(),
        }
    }

    #[test]
    fn what_stands_out_keeps_its_room() {
        let third = MAX_JUDGES / 3;
        let rates = vec![
            rate_of(5, None, third),
            rate_of(90, None, third),
            rate_of(1, Some(wire::Outside::Above), third),
            rate_of(40, None, 10),
        ];
        let kept: Vec<u32> = with_room(rates).iter().map(|rate| rate.attempts).collect();
        assert_eq!(kept, [90, 1, 40], "in their order");
        assert_eq!(with_room(Vec::new()), []);
    }

    #[test]
    fn shares_are_whole_millionths() {
        for (value, expected) in [(0.0, 0), (1.0, 1_000_000), (-1.0, -1_000_000), (0.1234567, 123_457)] {
            assert_eq!(ppm(value), expected);
        }
    }
}
