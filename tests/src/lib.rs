//! What the tests that cross packages share: a rehearsed heat, golden pictures, and the program's own binaries.

pub mod binaries;
pub mod golden;
pub mod rehearsal;
