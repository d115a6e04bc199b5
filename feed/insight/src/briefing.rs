//! What the head judge may bring up at the next briefing: which judges call no-reps more or less often than the field
//! does on the same movement, by more than chance explains, and how shadow judges agreed. Nobody is accused: athletes
//! differ, and of a hundred comparisons five lie outside by chance alone.

use std::collections::BTreeMap;

use crate::agreement::Agreement;
use crate::counts::{Counts, HeatCounts};
use crate::interval::{Interval, wilson};
use crate::who::Judge;

/// All judges of the heats that were counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Briefing {
    /// The field: all judges together, by movement.
    pub field: Vec<MovementRate>,
    /// Each judge on each movement; by movement, then by judge.
    pub judges: Vec<JudgeRate>,
    /// Agreement of lane judges with their shadow judges, by movement; then that of all movements together, without a
    /// name, if there are several.
    pub agreement: Vec<MovementAgreement>,
    /// How many of `judges`' intervals, those of their faults included, were held against the field.
    pub comparisons: u32,
}

/// The field's no-rep rate on a movement.
#[derive(Clone, Debug, PartialEq)]
pub struct MovementRate {
    /// Name of the movement.
    pub movement: String,
    /// Judges who called it.
    pub judges: u32,
    /// Attempts that were judged.
    pub attempts: u32,
    /// No-reps among them.
    pub no_reps: u32,
}

/// A judge's no-rep rate on a movement.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgeRate {
    /// Who.
    pub judge: Judge,
    /// Name of the movement.
    pub movement: String,
    /// Attempts that were judged.
    pub attempts: u32,
    /// No-reps among them.
    pub no_reps: u32,
    /// The 95 % interval of their share.
    pub interval: Interval,
    /// The field's share lies outside of it.
    pub outside: Option<Outside>,
    /// The no-reps by fault, as named; in order of the names.
    pub faults: Vec<FaultRate>,
}

/// How often a judge names a fault.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultRate {
    /// Name of the fault; empty for no-reps without one.
    pub fault: String,
    /// No-reps of it.
    pub no_reps: u32,
    /// The 95 % interval of their share in all attempts.
    pub interval: Interval,
    /// The field's no-reps of it.
    pub field_no_reps: u32,
    /// The field's share lies outside of the interval.
    pub outside: Option<Outside>,
}

/// On which side of the field a judge lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outside {
    /// Fewer no-reps than the field.
    Below,
    /// More.
    Above,
}

/// How lane judges and their shadow judges agree on a movement.
#[derive(Clone, Debug, PartialEq)]
pub struct MovementAgreement {
    /// Name of the movement; empty for all together.
    pub movement: String,
    /// How far they agree.
    pub agreement: Agreement,
}

impl Briefing {
    /// Compares the judges. The field is everybody who called a movement, the judge in question included; where that is
    /// one judge alone, there is nothing to compare with.
    #[must_use]
    pub fn of(counts: &HeatCounts) -> Self {
        let mut fields: BTreeMap<&str, (u32, Counts)> = BTreeMap::new();
        for ((_, movement), own) in &counts.rates {
            let (judges, field) = fields.entry(movement).or_default();
            *judges += 1;
            field.take_in(own);
        }
        let mut briefing = Self { agreement: agreement(counts), ..Self::default() };
        for (movement, (judges, field)) in &fields {
            let (attempts, no_reps) = (field.attempts, field.no_reps);
            let movement = (*movement).to_owned();
            briefing.field.push(MovementRate { movement, judges: *judges, attempts, no_reps });
        }
        for ((judge, movement), own) in &counts.rates {
            let Some((judges, field)) = fields.get(movement.as_str()) else { continue };
            let Some(mut rate) = judge_rate(judge, movement, own, field) else { continue };
            if *judges < 2 {
                rate.outside = None;
                rate.faults.iter_mut().for_each(|fault| fault.outside = None);
            } else {
                let faults = u32::try_from(rate.faults.len()).unwrap_or(u32::MAX);
                briefing.comparisons = briefing.comparisons.saturating_add(faults).saturating_add(1);
            }
            briefing.judges.push(rate);
        }
        briefing.judges.sort_by(|a, b| (&a.movement, &a.judge).cmp(&(&b.movement, &b.judge)));
        briefing
    }
}

/// A judge's rate beside the field's; none without attempts. Faults of the field that the judge never named are in it,
/// too: never to name one may be what stands out.
fn judge_rate(judge: &Judge, movement: &str, own: &Counts, field: &Counts) -> Option<JudgeRate> {
    let beside = |no_reps: u32, of_field: u32| {
        let interval = wilson(no_reps, own.attempts)?;
        Some((interval, outside(interval, share(of_field, field.attempts))))
    };
    let (interval, side) = beside(own.no_reps, field.no_reps)?;
    let faults = field.faults.iter().filter_map(|(fault, of_field)| {
        let no_reps = own.faults.get(fault).copied().unwrap_or(0);
        let (interval, outside) = beside(no_reps, *of_field)?;
        Some(FaultRate { fault: fault.clone(), no_reps, interval, field_no_reps: *of_field, outside })
    });
    Some(JudgeRate {
        judge: judge.clone(),
        movement: movement.to_owned(),
        attempts: own.attempts,
        no_reps: own.no_reps,
        interval,
        outside: side,
        faults: faults.collect(),
    })
}

fn share(hits: u32, of: u32) -> f64 {
    if of == 0 { 0.0 } else { f64::from(hits) / f64::from(of) }
}

fn outside(interval: Interval, field: f64) -> Option<Outside> {
    if field > interval.high {
        Some(Outside::Below)
    } else if field < interval.low {
        Some(Outside::Above)
    } else {
        None
    }
}

fn agreement(counts: &HeatCounts) -> Vec<MovementAgreement> {
    let of = |(movement, table): (&str, &crate::agreement::Table)| {
        Some(MovementAgreement { movement: movement.to_owned(), agreement: table.agreement()? })
    };
    let mut each: Vec<_> =
        counts.agreement.iter().filter_map(|(movement, table)| of((movement, table))).collect();
    if each.len() > 1 {
        let mut all = crate::agreement::Table::default();
        counts.agreement.values().for_each(|table| all.take_in(table));
        each.extend(of(("", &all)));
    }
    each
}
