//! What a heat's judges decided, counted: attempts and no-reps of each judge on each movement, and how shadow judges
//! agreed. Counts of several heats add up.

use std::collections::BTreeMap;

use fivemark_engine::ids::{LaneNo, MAX_LANES};
use fivemark_engine::{Heat, State};

use crate::agreement::Table;
use crate::decisions::{Class, Decision, of_lane};
use crate::shadows;
use crate::who::{Judge, Phone, Planned, Roster, Who};

/// A judge's decisions on a movement.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Attempts that were judged, good ones and no-reps.
    pub attempts: u32,
    /// No-reps among them.
    pub no_reps: u32,
    /// The same by fault as named, empty where none was named.
    pub faults: BTreeMap<String, u32>,
}

/// Everything that is counted of one heat, or of several.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HeatCounts {
    pub(crate) rates: BTreeMap<(Judge, String), Counts>,
    pub(crate) agreement: BTreeMap<String, Table>,
}

impl HeatCounts {
    /// Counts a heat. `planned` names its lanes' judges, as far as the competition does, and `roster` all judges of the
    /// competition. Movements are told apart by name alone: loads and divisions are taken together. A cancelled run and
    /// runs that were recalled or run again score nothing and are left out.
    #[must_use]
    pub fn of(heat: &Heat, planned: &Planned, roster: &Roster) -> Self {
        let mut counts = Self::default();
        if heat.state().state == State::Cancelled {
            return counts;
        }
        let who = Who::new(heat, planned, roster);
        let mut known: BTreeMap<Phone, Judge> = BTreeMap::new();
        for lane in (1..=MAX_LANES).map(LaneNo) {
            let Some(course) = heat.course_of(lane) else { continue };
            for decision in of_lane(heat, lane) {
                if let Some(part) = course.parts.get(decision.part) {
                    let judge = known.entry(decision.phone.clone()).or_insert_with_key(|phone| who.of(phone));
                    let key = (judge.clone(), part.movement.clone());
                    counts.rates.entry(key).or_default().add(decision);
                }
            }
            for (movement, table) in shadows::of_heats_lane(heat, lane) {
                counts.agreement.entry(movement).or_default().take_in(&table);
            }
        }
        counts
    }

    /// Takes another heat's counts in.
    pub fn take_in(&mut self, other: &Self) {
        for (key, counts) in &other.rates {
            self.rates.entry(key.clone()).or_default().take_in(counts);
        }
        for (movement, table) in &other.agreement {
            self.agreement.entry(movement.clone()).or_default().take_in(table);
        }
    }
}

impl Counts {
    fn add(&mut self, decision: Decision) {
        self.attempts = self.attempts.saturating_add(decision.attempts);
        if decision.class == Class::NoRep {
            self.no_reps = self.no_reps.saturating_add(1);
            let fault = self.faults.entry(decision.fault.unwrap_or_default()).or_default();
            *fault = fault.saturating_add(1);
        }
    }

    pub(crate) fn take_in(&mut self, other: &Self) {
        self.attempts = self.attempts.saturating_add(other.attempts);
        self.no_reps = self.no_reps.saturating_add(other.no_reps);
        for (name, count) in &other.faults {
            let fault = self.faults.entry(name.clone()).or_default();
            *fault = fault.saturating_add(*count);
        }
    }
}
