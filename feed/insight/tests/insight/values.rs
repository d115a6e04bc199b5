//! Intervals and kappas against values worked out by statsmodels and scikit-learn; the files name their versions.

use fivemark_insight::agreement::{Said, Table};
use fivemark_insight::interval::{reach, wilson};
use serde::Deserialize;

#[derive(Deserialize)]
struct Values<T> {
    values: Vec<T>,
}

#[derive(Deserialize)]
struct Wilson {
    hits: u32,
    of: u32,
    low: f64,
    high: f64,
}

#[derive(Deserialize)]
struct Kappa {
    table: [[u32; 3]; 3],
    kappa: f64,
    kappa_sklearn: f64,
    low: f64,
    upp: f64,
    standard_error: f64,
}

/// Floating point in another order of steps.
#[track_caller]
fn close(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 1e-9, "{ours} and not {theirs}");
}

#[test]
fn wilson_intervals_are_those_of_statsmodels() {
    let file: Values<Wilson> = serde_json::from_str(include_str!("../data/wilson.json")).unwrap();
    assert_eq!(file.values.len(), 15);
    for Wilson { hits, of, low, high } in file.values {
        let ours = wilson(hits, of).unwrap();
        close(ours.low, low);
        close(ours.high, high);
    }
    assert_eq!(wilson(0, 0), None);
    // Norm.isf(0.025) of scipy.
    close(reach(), 1.959_963_984_540_054);
}

#[test]
fn kappas_are_those_of_statsmodels_and_of_scikit_learn() {
    let file: Values<Kappa> = serde_json::from_str(include_str!("../data/kappa.json")).unwrap();
    assert_eq!(file.values.len(), 10);
    for known in file.values {
        let kappa = Table(known.table).agreement().unwrap().kappa.unwrap();
        close(kappa.value, known.kappa);
        close(kappa.value, known.kappa_sklearn);
        match kappa.interval {
            Some(ends) => {
                close(ends.low, known.low.max(-1.0));
                close(ends.high, known.upp.min(1.0));
            }
            None => close(known.standard_error, 0.0),
        }
    }
}

#[test]
fn where_both_say_one_thing_throughout_there_is_raw_agreement_and_no_kappa() {
    let good = Table([[30, 0, 0], [0, 0, 0], [0, 0, 0]]).agreement().unwrap();
    assert_eq!((good.decisions, good.same, good.kappa), (30, 30, None));
    close(good.raw.0, 1.0);
    assert!(good.raw.1.low < 0.9, "thirty decisions are no certainty");
    assert_eq!(Table([[0, 0, 0], [0, 4, 0], [0, 0, 0]]).agreement().unwrap().kappa, None);
    assert_eq!(Table::default().agreement(), None);
    // Full agreement on more than one thing has a kappa, whose interval the formula gives no width.
    let both = Table([[30, 0, 0], [0, 1, 0], [0, 0, 0]]).agreement().unwrap().kappa.unwrap();
    assert_eq!((both.value, both.interval), (1.0, None));
}

#[test]
fn a_table_tells_who_said_what() {
    let mut table = Table::default();
    for (judge, shadow) in [
        (Said::Good, Said::Good),
        (Said::Good, Said::NoRep),
        (Said::Good, Said::NoRep),
        (Said::NoRep, Said::Nothing),
        (Said::Nothing, Said::Good),
        (Said::Nothing, Said::NoRep),
        (Said::Nothing, Said::NoRep),
    ] {
        table.add(judge, shadow);
    }
    let found = table.agreement().unwrap();
    assert_eq!((found.decisions, found.same, found.differ), (7, 1, 2));
    assert_eq!((found.judge_alone, found.shadow_alone), (1, 3));
    let mut twice = table;
    twice.take_in(&table);
    assert_eq!(twice.agreement().unwrap().decisions, 14);
}
