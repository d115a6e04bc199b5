//! What the tests that cross packages share: a rehearsed heat, golden pictures, the flash count, foreign scripts, and the program's own
//! binaries.

pub mod binaries;
pub mod flash_count;
pub mod foreign;
pub mod golden;
pub mod rehearsal;
