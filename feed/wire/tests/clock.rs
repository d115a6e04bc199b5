//! The clock-offset estimator against RFC 5905, section 8 (with erratum 5020 for the sign of theta):
//! theta = ((T2 − T1) + (T3 − T4)) / 2, delta = (T4 − T1) − (T3 − T2). Each row was worked by hand from these two
//! formulas; the first is the example of the erratum.

use fivemark_wire::clock::{Estimator, Exchange, SAMPLES};

fn exchange(t1_ms: i64, t2_ms: i64, t3_ms: i64, t4_ms: i64) -> Exchange {
    Exchange { t1_us: t1_ms * 1_000, t2_us: t2_ms * 1_000, t3_us: t3_ms * 1_000, t4_us: t4_ms * 1_000 }
}

#[test]
fn offset_and_delay_agree_with_the_formulas_of_rfc_5905() {
    for (name, (t1, t2, t3, t4), offset_ms, delay_ms) in [
        ("erratum 5020: equal clocks, 50 ms each way", (0, 50, 50, 100), 0, 100),
        ("feed 2 s ahead, 20 ms each way", (100_000, 102_020, 102_021, 100_041), 2_000, 40),
        ("feed 500 ms behind", (1_000_000, 999_510, 999_512, 1_000_022), -500, 20),
        ("10 ms out, 70 ms back: the error is half the difference", (0, 10, 10, 80), -30, 80),
        ("no delay", (5_000, 5_000, 5_000, 5_000), 0, 0),
    ] {
        let exchange = exchange(t1, t2, t3, t4);
        assert_eq!(exchange.offset_us(), offset_ms * 1_000, "{name}");
        assert_eq!(exchange.delay_us(), delay_ms * 1_000, "{name}");
    }
}

#[test]
fn the_true_offset_lies_within_half_the_delay() {
    // The feed is 300 ms ahead, whatever the split of the road: RFC 5905 section 8 bounds the error by delta / 2.
    for (out, back) in [(0, 200), (200, 0), (150, 50), (7, 93)] {
        let exchange = exchange(1_000, 1_000 + out + 300, 1_000 + out + 301, 1_000 + out + 1 + back);
        let error_us = (exchange.offset_us() - 300_000).abs();
        assert!(2 * error_us <= exchange.delay_us(), "{out} ms out, {back} ms back");
    }
}

#[test]
fn an_odd_sum_is_cut_toward_minus_infinity() {
    let ahead = Exchange { t1_us: 0, t2_us: 1, t3_us: 1, t4_us: 1 };
    let behind = Exchange { t1_us: 1, t2_us: 0, t3_us: 0, t4_us: 0 };
    assert_eq!((ahead.offset_us(), behind.offset_us()), (0, -1));
}

#[test]
fn stamps_at_the_ends_of_their_range_do_not_overflow() {
    let wild = Exchange { t1_us: i64::MIN, t2_us: i64::MAX, t3_us: i64::MAX, t4_us: i64::MIN };
    assert_eq!(wild.offset_us(), i64::MAX);
    let backwards = Exchange { t1_us: i64::MAX, t2_us: 0, t3_us: 0, t4_us: i64::MIN };
    assert_eq!(backwards.delay_us(), 0);
}

#[test]
fn the_least_delay_of_the_last_eight_wins() {
    // RFC 5905 section 10: a filter of eight stages, the sample with the least delay is taken.
    let mut estimator = Estimator::default();
    assert!(estimator.best().is_none());
    estimator.add(exchange(0, 105, 105, 10));
    assert_eq!(estimator.best().map(|best| (best.add_us, best.delay_us)), Some((100_000, 10_000)));
    for _ in 1..SAMPLES {
        estimator.add(exchange(0, 150, 150, 80));
    }
    assert_eq!(estimator.best().map(|best| best.delay_us), Some(10_000));
    // The ninth pushes the good one out.
    estimator.add(exchange(0, 140, 140, 60));
    assert_eq!(estimator.best().map(|best| (best.add_us, best.delay_us)), Some((110_000, 60_000)));
}
