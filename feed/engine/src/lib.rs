//! The heat: course, clock states, tallies, rulings, live order and official results.
//!
//! A pure core. Time is an argument, numbers are integers, and the same record always gives the same result.
//! It reads no clock, does no I/O, uses no floating point and no hash order, and knows neither serde nor tokio.

pub mod command;
pub mod ids;
pub mod time;
pub mod workout;
