//! The bounds of the wire, each with its reason.

/// Largest message from a lane or shadow judge, in bytes: a tally is under 500.
pub const MAX_JUDGE_MESSAGE: usize = 4 * 1024;
/// Largest message from any other role, in bytes: the floor operator's own words are the longest.
pub const MAX_OTHER_MESSAGE: usize = 64 * 1024;
/// Longest identifier (device, fault code, bib), in bytes.
pub const MAX_ID: usize = 64;
/// Longest reason of a ruling, in bytes: two sentences for the sheet.
pub const MAX_REASON: usize = 400;
/// Digits of a PIN: as many as can be told across a hall and typed with a thumb.
pub const PIN_DIGITS: usize = 6;
/// Most letters of initials.
pub const MAX_INITIALS: usize = 8;
/// Largest record of a lane that is told, in bytes: some 800 calls, more than any heat's lane has.
pub const MAX_RECORD: usize = 192 * 1024;
/// Most athletes that one answer names: more are found sooner by another letter.
pub const MAX_FOUND: usize = 50;
/// Most rulings of one lane on a result sheet, the newest: more fill pages of their own.
pub const MAX_PAPER_RULINGS: usize = 20;
/// Largest tables of judges that are told, in bytes: some 600 judges on a movement each.
pub const MAX_JUDGES: usize = 192 * 1024;
/// Most lanes of a heat.
pub const MAX_LANES: usize = 40;
/// Most steps of a program that is asked for: a running order is a dozen cards.
pub const MAX_STEPS: usize = 24;
/// Longest step, and the longest countdown that is asked for, in milliseconds: a day.
pub const MAX_STEP_MS: i64 = 86_400_000;
/// Longest title of the floor operator's own, in bytes: one line of a board.
pub const MAX_TITLE: usize = 120;
/// Longest text of the floor operator's own, in bytes: more cannot be read in passing.
pub const MAX_WORDS: usize = 400;
/// Most rows of one division's standings: more are never read from a screen.
pub const MAX_STANDINGS: usize = 400;
/// How long a screen shows one page of a long list, in milliseconds: some ten rows can be read in it.
pub const PAGE_MS: i64 = 8_000;
/// Most units in one tally: a judge enters steps, not whole workouts.
pub const MAX_AMOUNT: u32 = 1_000;
