//! Limits of the engine, each with its reason. An input beyond one is answered with an error that names it;
//! nothing grows without end.

/// The most units that one course may have. The longest known workouts have a few thousand; the limit keeps a
/// mistyped amount (a thousand million repetitions) from being taken seriously.
pub const MAX_UNITS: u32 = 100_000;

/// The most parts that one course may have, rounds counted out. Boards draw every part.
pub const MAX_PARTS: usize = 1_000;

/// The most score units that one course may have; a declared score may weigh more than its units.
pub const MAX_SCORE_UNITS: u32 = 1_000_000;

/// The most workouts (one per division) on one floor.
pub const MAX_WORKOUTS: usize = 16;

/// The longest time cap, in milliseconds: a day.
pub const MAX_CAP_MS: i64 = 24 * 3_600_000;

/// The longest countdown, in milliseconds: an hour.
pub const MAX_COUNTDOWN_MS: i64 = 3_600_000;

/// The longest expected time for one unit, in milliseconds: an hour.
pub const MAX_EXPECTED_MS_PER_UNIT: u32 = 3_600_000;

/// The most calls and rulings that one lane's record holds in one run: more than twice the units of the longest
/// course.
pub const MAX_ENTRIES_PER_LANE: usize = 250_000;

/// The most page loads whose calls one heat tells apart. A phone that reloads every second for an hour stays
/// below it.
pub const MAX_EPOCHS: usize = 4_096;

/// The most attempts, or holds, of one athlete: a platform sees one a minute, and no window is longer than that.
pub const MAX_ATTEMPTS: u8 = 100;

/// The largest load that can be declared, in grams: 1000 kg, twice what anybody has lifted. It keeps grams that were
/// meant as kilograms out.
pub const MAX_LOAD_G: u32 = 1_000_000;

/// The most attempts of a lane that are shown one by one, the latest ones: more have no room beside a name.
pub const MAX_ATTEMPTS_SHOWN: usize = 12;

/// How many entries of a lane's record are looked through for these: each attempt comes with a few declarations.
pub const ATTEMPTS_REACH: usize = 1_000;

/// The most runs of one heat, recalls and re-runs counted.
pub const MAX_RUNS: u32 = 100;

/// The most times that the clock of one run may be held.
pub const MAX_HOLDS: usize = 1_000;

/// The most times that athletes of one heat may change lanes. Each late call looks through them.
pub const MAX_MOVES: usize = 1_000;

/// The most remarks on one heat: re-runs, reopenings, doubts of its clock and their confirmations.
pub const MAX_REMARKS: usize = 1_000;

/// The most times that one lane of a heat goes from phone to phone. Each late call looks through them.
pub const MAX_HAND_OVERS: usize = 1_000;

/// The most initials under the results of one lane, those that were taken back included.
pub const MAX_INITIALS: usize = 1_000;

/// The most bytes of a device's name or of a fault's code.
pub const MAX_NAME_BYTES: usize = 64;

/// The most bytes of a reason, or of the name of who rules.
pub const MAX_REASON_BYTES: usize = 400;

/// The most bytes of the words for lanes that were set anew: a line for each of the most lanes.
pub const MAX_SAYS_BYTES: usize = 16_384;

/// The shortest time that a review may be given, in milliseconds: a minute.
pub const MIN_REVIEW_MS: i64 = 60_000;

/// The longest, in milliseconds: a day.
pub const MAX_REVIEW_MS: i64 = MAX_CAP_MS;

/// The largest time that one penalty adds or gives back, in milliseconds: a day.
pub const MAX_PENALTY_MS: i64 = MAX_CAP_MS;

/// How far one call may lie behind its receipt on a live link, in milliseconds.
pub const LIVE_LAG_MS: i64 = 10_000;

/// By how much a stamp may miss its bounds before the call is flagged, in milliseconds; a clock offset measured
/// over a bad radio link errs by some hundred milliseconds.
pub const CLAMP_DOUBT_MS: i64 = 1_000;

/// By how much a page's wall and monotonic clocks may part before the page counts as having slept, in
/// milliseconds.
pub const SLEPT_MS: i64 = 500;

/// How long after a call its judge may take it back, in milliseconds between the two stamps.
pub const UNDO_MS: i64 = 5_000;

/// How many entries an undo or a "last was no-rep" looks back over. Nobody taps so many in the time that an undo
/// allows; the limit keeps a hostile phone from making each call slow.
pub const UNDO_REACH: usize = 1_000;

/// How long the heat waits after time was called before it becomes provisional by itself, in milliseconds, so
/// that calls on their way arrive.
pub const CLOSE_GRACE_MS: i64 = 3_000;

/// The most blocks of the closing mark (the last five).
pub const MAX_CLOSING_BLOCKS: u8 = 5;

/// The most no-reps and rulings that wait for a reader of events. A reader drains after each input; one that does
/// not, as in a fast replay, loses the oldest.
pub const MAX_PENDING_EVENTS: usize = 256;
