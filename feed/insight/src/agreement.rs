//! How far two judges of one lane agree, decision by decision: the share of equal decisions, and Cohen's kappa, which
//! takes off what would agree by chance. Leaves what a decision is to `shadows`.

use crate::interval::{Interval, reach, wilson};

/// What one judge said of an attempt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Said {
    /// A good rep.
    Good,
    /// A no-rep.
    NoRep,
    /// Nothing, where the other judge called.
    Nothing,
}

/// How often which two things were said together. Rows are the lane judge's, columns the shadow judge's, both in the
/// order of [`Said`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Table(pub [[u32; 3]; 3]);

/// What a table comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Decisions.
    pub decisions: u32,
    /// Both said the same.
    pub same: u32,
    /// Both called, and not the same.
    pub differ: u32,
    /// The lane judge alone called.
    pub judge_alone: u32,
    /// The shadow judge alone called.
    pub shadow_alone: u32,
    /// The share of equal decisions, and its Wilson interval.
    pub raw: (f64, Interval),
    /// Cohen's kappa; none where both said one and the same thing throughout, so that chance would agree as well and
    /// kappa says nothing.
    pub kappa: Option<Kappa>,
}

/// Cohen's kappa: 1 is full agreement, 0 is what chance would give, and less than 0 is less than chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kappa {
    /// Its value.
    pub value: f64,
    /// Its 95 % interval, within −1 to 1. None where the formula gives it no width, as with full agreement: that is no
    /// certainty, and the interval of the raw agreement tells how much is known.
    pub interval: Option<Interval>,
}

impl Table {
    /// Adds a decision.
    pub fn add(&mut self, judge: Said, shadow: Said) {
        let cell = &mut self.0[judge as usize][shadow as usize];
        *cell = cell.saturating_add(1);
    }

    /// Takes another table in.
    pub fn take_in(&mut self, other: &Self) {
        for (cell, more) in self.0.as_flattened_mut().iter_mut().zip(other.0.as_flattened()) {
            *cell = cell.saturating_add(*more);
        }
    }

    /// What it comes to; none without decisions.
    #[must_use]
    pub fn agreement(&self) -> Option<Agreement> {
        let Self([[gg, gn, g_alone], [ng, nn, n_alone], [shadow_good, shadow_no_rep, neither]]) = *self;
        let sum = |cells: &[u32]| cells.iter().fold(0_u32, |sum, cell| sum.saturating_add(*cell));
        let decisions = sum(self.0.as_flattened());
        let same = sum(&[gg, nn, neither]);
        Some(Agreement {
            decisions,
            same,
            differ: sum(&[gn, ng]),
            judge_alone: sum(&[g_alone, n_alone]),
            shadow_alone: sum(&[shadow_good, shadow_no_rep]),
            raw: (f64::from(same) / f64::from(decisions), wilson(same, decisions)?),
            kappa: self.kappa(),
        })
    }

    /// Cohen's kappa with the standard error of J. L. Fleiss, J. Cohen and B. S. Everitt (1969), for large samples.
    fn kappa(&self) -> Option<Kappa> {
        let count: f64 = self.0.as_flattened().iter().map(|cell| f64::from(*cell)).sum();
        let share = |row: usize, column: usize| f64::from(self.0[row][column]) / count;
        let rows: [f64; 3] = std::array::from_fn(|row| (0..3).map(|column| share(row, column)).sum());
        let columns: [f64; 3] = std::array::from_fn(|column| (0..3).map(|row| share(row, column)).sum());
        let seen: f64 = (0..3).map(|class| share(class, class)).sum();
        let by_chance: f64 = (0..3).map(|class| rows[class] * columns[class]).sum();
        let left = 1.0 - by_chance;
        // Each class is one of three, so that anything but one class throughout leaves far more than rounding.
        if !left.is_finite() || left < f64::EPSILON {
            return None;
        }
        let value = (seen - by_chance) / left;
        let off = 1.0 - value;
        let on_the_diagonal: f64 = (0..3)
            .map(|class| share(class, class) * (1.0 - (rows[class] + columns[class]) * off).powi(2))
            .sum();
        let beside_it: f64 = (0..3)
            .flat_map(|row| (0..3).map(move |column| (row, column)))
            .filter(|(row, column)| row != column)
            .map(|(row, column)| share(row, column) * (columns[row] + rows[column]).powi(2))
            .sum();
        let middle = (value - by_chance * off).powi(2);
        let variance = (on_the_diagonal + off * off * beside_it - middle) / (left * left) / count;
        let side = reach() * variance.max(0.0).sqrt();
        let ends = Interval { low: (value - side).max(-1.0), high: (value + side).min(1.0) };
        Some(Kappa { value, interval: (side > NO_WIDTH).then_some(ends) })
    }
}

/// Less than this is rounding, and no width of an interval: no table of whole decisions comes near it.
const NO_WIDTH: f64 = 1e-7;
