//! Estimates over the record: against published values, against simulated judges whose truth is known, and as whole
//! heats. One program, so that it is linked once.

// Helpers of tests: a value that is not there is a failed test.
#![allow(clippy::unwrap_used)]

mod flags;
mod judges;
mod pairing;
mod shadows;
mod simulated;
#[path = "../../../engine/tests/support/mod.rs"]
mod support;
mod values;
