//! Pairing is one to one, within its window, in order, the cheapest there is, and the same in whatever order calls come.

use fivemark_insight::pairing::pair;
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

const WINDOW: i64 = 1_500;

/// Twice what a pairing costs.
fn cost(first: &[i64], second: &[i64], pairs: &[(usize, usize)]) -> i64 {
    let apart: i64 = pairs.iter().map(|(one, other)| 2 * (first[*one] - second[*other]).abs()).sum();
    let alone = first.len() + second.len() - 2 * pairs.len();
    apart + i64::try_from(alone).unwrap() * WINDOW
}

/// The least cost of all one-to-one pairings, crosswise ones too, by trying each.
fn least(first: &[i64], second: &[i64], taken: &mut Vec<bool>) -> i64 {
    let Some((moment, rest)) = first.split_first() else {
        return i64::try_from(taken.iter().filter(|taken| !**taken).count()).unwrap() * WINDOW;
    };
    let mut best = WINDOW + least(rest, second, taken);
    for other in 0..second.len() {
        let apart = (moment - second[other]).abs();
        if !taken[other] && apart <= WINDOW {
            taken[other] = true;
            best = best.min(2 * apart + least(rest, second, taken));
            taken[other] = false;
        }
    }
    best
}

fn moments(random: &mut impl Rng, most: usize, span: i64) -> Vec<i64> {
    let count = random.random_range(0..=most);
    let mut moments: Vec<i64> = (0..count).map(|_| random.random_range(0..=span)).collect();
    moments.sort_unstable();
    moments
}

#[track_caller]
fn holds(first: &[i64], second: &[i64], pairs: &[(usize, usize)]) {
    assert!(pairs.iter().all(|(one, other)| (first[*one] - second[*other]).abs() <= WINDOW));
    let in_order = pairs.windows(2).all(|two| two[0].0 < two[1].0 && two[0].1 < two[1].1);
    assert!(in_order, "one to one and in order: {pairs:?}");
}

#[test]
fn no_other_pairing_is_cheaper() {
    let mut random = ChaCha8Rng::seed_from_u64(5);
    for _ in 0..4_000 {
        // Mostly so near each other that much could be paired in many ways; some far apart.
        let span = random.random_range(500..9_000);
        let (first, second) = (moments(&mut random, 6, span), moments(&mut random, 6, span));
        let pairs = pair(&first, &second, WINDOW);
        holds(&first, &second, &pairs);
        let least = least(&first, &second, &mut vec![false; second.len()]);
        assert_eq!(cost(&first, &second, &pairs), least, "{first:?} {second:?} {pairs:?}");
    }
}

#[test]
fn long_rows_pair_one_to_one_whoever_is_named_first() {
    let mut random = ChaCha8Rng::seed_from_u64(6);
    for _ in 0..40 {
        let (first, second) = (moments(&mut random, 400, 200_000), moments(&mut random, 400, 200_000));
        let pairs = pair(&first, &second, WINDOW);
        holds(&first, &second, &pairs);
        let turned = pair(&second, &first, WINDOW);
        let turned: Vec<_> = turned.into_iter().map(|(one, other)| (other, one)).collect();
        assert_eq!(cost(&first, &second, &pairs), cost(&first, &second, &turned));
    }
}

#[test]
fn a_missed_call_does_not_shift_the_pairs_after_it() {
    // One judge misses the first of a rep a second, and has one more at the end: all could be paired a second off.
    let first = [0, 1_000, 2_000, 3_000, 4_000];
    let second = [1_000, 2_000, 3_000, 4_000, 5_000];
    assert_eq!(pair(&first, &second, WINDOW), [(1, 0), (2, 1), (3, 2), (4, 3)]);
}

#[test]
fn the_window_is_its_end_too() {
    assert_eq!(pair(&[0], &[1_500], WINDOW), [(0, 0)]);
    assert_eq!(pair(&[1_500], &[0], WINDOW), [(0, 0)]);
    assert_eq!(pair(&[0], &[1_501], WINDOW), []);
    assert_eq!(pair(&[], &[3], WINDOW), []);
    assert_eq!(pair(&[3], &[], WINDOW), []);
}
