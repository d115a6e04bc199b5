//! What the tests that cross packages share: a rehearsed heat, cards between heats, golden pictures and lists, the texts
//! of a frame and the seats that read them, the flash count, what tells states apart, foreign scripts, and the program's
//! own binaries.

pub mod apart;
pub mod between;
pub mod binaries;
pub mod flash_count;
pub mod foreign;
pub mod golden;
pub mod list_text;
pub mod rehearsal;
pub mod seats;
pub mod states;
pub mod written;
