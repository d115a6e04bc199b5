//! What was measured, as one table for people and as JSON for programs.

use std::path::Path;

use anyhow::Context;
use serde::Serialize;

use crate::machine::Machine;
use crate::samples::Samples;

/// What a figure should reach.
#[derive(Clone, Copy, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// The median is at most this.
    Median(f64),
    /// The 99th percentile is at most this.
    P99(f64),
    /// Median and 99th percentile are at most these.
    Both(f64, f64),
    /// Nothing to reach: it stands beside the others for comparison.
    Yardstick,
}

/// From how many samples on a 99th percentile says something.
const P99_FROM: usize = 20;

/// One figure.
#[derive(Clone, Debug, Serialize)]
pub struct Figure {
    /// Of which benchmark.
    pub benchmark: &'static str,
    /// What was measured.
    pub what: String,
    /// Unit of the numbers.
    pub unit: &'static str,
    /// How many samples.
    pub samples: usize,
    /// Their median.
    pub median: Option<f64>,
    /// Their 99th percentile; none where there are too few.
    pub p99: Option<f64>,
    /// What it should reach.
    pub goal: Goal,
}

impl Figure {
    /// A figure of many samples.
    pub fn of(
        benchmark: &'static str,
        what: impl Into<String>,
        unit: &'static str,
        samples: &Samples,
        goal: Goal,
    ) -> Self {
        Self {
            benchmark,
            what: what.into(),
            unit,
            samples: samples.len(),
            median: samples.median(),
            p99: samples.p99().filter(|_| samples.len() >= P99_FROM),
            goal,
        }
    }

    /// A figure that was taken once.
    pub fn once(
        benchmark: &'static str,
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        goal: Goal,
    ) -> Self {
        Self::of(benchmark, what, unit, &[value].into_iter().collect(), goal)
    }

    /// Whether the goal is reached; none for a yardstick.
    fn reached(&self) -> Option<bool> {
        let within = |value: Option<f64>, most: f64| value.is_some_and(|value| value <= most);
        match self.goal {
            Goal::Median(most) => Some(within(self.median, most)),
            Goal::P99(most) => Some(within(self.p99, most)),
            Goal::Both(median, p99) => Some(within(self.median, median) && within(self.p99, p99)),
            Goal::Yardstick => None,
        }
    }

    fn goal_text(&self) -> String {
        match self.goal {
            Goal::Median(most) => format!("≤ {most}"),
            Goal::P99(most) => format!("p99 ≤ {}", number(most)),
            Goal::Both(median, p99) => format!("≤ {median}, p99 ≤ {p99}"),
            Goal::Yardstick => "for comparison".to_owned(),
        }
    }
}

/// Three significant figures, so that nobody reads noise.
fn number(value: f64) -> String {
    let places = match value.abs() {
        large if large >= 100.0 => 0,
        medium if medium >= 10.0 => 1,
        small if small >= 1.0 => 2,
        _ => 3,
    };
    format!("{value:.places$}")
}

/// The table, with the machine in its last line.
pub fn print(figures: &[Figure], machine: &Machine) {
    let shown = |value: Option<f64>| value.map_or_else(|| "–".to_owned(), number);
    let rows: Vec<[String; 6]> = figures
        .iter()
        .map(|figure| {
            let reached = match figure.reached() {
                Some(true) => "reached",
                Some(false) => "MISSED",
                None => "",
            };
            let what = format!("{} ({})", figure.what, figure.unit);
            let samples = figure.samples.to_string();
            [what, shown(figure.median), shown(figure.p99), samples, figure.goal_text(), reached.to_owned()]
        })
        .collect();
    let head = ["figure", "median", "p99", "samples", "goal", ""].map(str::to_owned);
    let widths: Vec<usize> = (0..head.len())
        .map(|column| {
            let cells = rows.iter().map(|row| row[column].chars().count());
            cells.chain([head[column].chars().count()]).max().unwrap_or(0)
        })
        .collect();
    for row in std::iter::once(&head).chain(&rows) {
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .enumerate()
            .map(|(column, (cell, width))| match column {
                1..=3 => format!("{cell:>width$}"),
                _ => format!("{cell:<width$}"),
            })
            .collect();
        println!("{}", cells.join("  ").trim_end());
    }
    println!("machine: {machine}");
}

/// The same as JSON.
///
/// # Errors
/// The file cannot be written.
pub fn write_json(file: &Path, figures: &[Figure], machine: &Machine) -> anyhow::Result<()> {
    let all = serde_json::json!({ "machine": machine, "figures": figures });
    let text = serde_json::to_string_pretty(&all)?;
    std::fs::write(file, text + "\n").with_context(|| format!("cannot write {}", file.display()))
}
