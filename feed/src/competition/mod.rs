//! The competition file: event, divisions, athletes, movements, workouts and heats, as an organiser writes them in
//! TOML. Reads it whole and names every fault at its line; leaves running a heat to the engine.

mod faults;
mod fields;
mod heats;
mod people;
mod rules;
mod setup;
mod values;
mod work;

use std::path::Path;

use fivemark_engine::time::SpanMs;
use fivemark_engine::workout::{ClockRules, FinishRule, Movement, ScoreRule, Scoring, TrackRule};
use sha2::{Digest, Sha256};
use thiserror::Error;
use toml::de::DeTable;

use self::faults::Faults;
pub use self::faults::{Fault, MAX_FAULTS};
use self::fields::Fields;
pub use self::values::PerDivision;

/// Largest competition file, in bytes: thousands of athletes fit.
pub const MAX_FILE: u64 = 1024 * 1024;
/// Most divisions.
const MAX_DIVISIONS: usize = 100;
/// Most athletes.
const MAX_ATHLETES: usize = 5_000;
/// Most members of a team.
const MAX_MEMBERS: usize = 12;
/// Most movements.
const MAX_MOVEMENTS: usize = 500;
/// Most workouts.
const MAX_WORKOUTS: usize = 200;
/// Most heats.
const MAX_HEATS: usize = 1_000;
/// Largest amount of one part: a mistyped amount of a thousand million is named, not taken.
const MAX_AMOUNT: u32 = fivemark_engine::bounds::MAX_UNITS;

/// A whole competition, free of faults.
#[derive(Clone, Debug)]
pub struct Competition {
    /// The event's name.
    pub event: String,
    /// Where it is; empty if not told.
    pub place: String,
    /// When it is, as written; empty if not told.
    pub date: String,
    /// Results need the initials of athlete and judge before a heat is signed.
    pub initials: bool,
    /// Divisions, in the order of the file.
    pub divisions: Vec<Division>,
    /// Athletes, in the order of the file.
    pub athletes: Vec<Athlete>,
    /// Movements; workouts refer to them by index.
    pub movements: Vec<Movement>,
    /// Workouts; heats refer to them by index.
    pub workouts: Vec<Workout>,
    /// Heats, in running order.
    pub heats: Vec<HeatPlan>,
    /// SHA-256 of the file, in hexadecimal.
    pub digest: String,
}

/// A division.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Division {
    /// Short name, unique.
    pub id: String,
    /// As shown.
    pub name: String,
}

/// An athlete.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Athlete {
    /// Bib, unique.
    pub bib: String,
    /// Name as shown.
    pub name: String,
    /// Name in full, for officials' papers alone.
    pub full_name: String,
    /// Given name; may be empty.
    pub given: String,
    /// Family name; may be empty.
    pub family: String,
    /// How to say it; empty if not told.
    pub say: String,
    /// Club; empty if none.
    pub club: String,
    /// Names of its members, if it is a team.
    pub members: Vec<String>,
    /// Index of the division.
    pub division: usize,
    /// Shown by initials in public.
    pub private: bool,
}

/// A workout, with its amounts still per division.
#[derive(Clone, Debug)]
pub struct Workout {
    /// Short name, unique.
    pub id: String,
    /// As shown.
    pub name: String,
    /// How results come about.
    pub scoring: Scoring,
    /// Clock, cap or window, order and official time.
    pub clock: ClockRules,
    /// What ends the course.
    pub finish: FinishRule,
    /// Every part ends with the closing mark, not the course alone.
    pub mark_every_part: bool,
    /// What length on the track means.
    pub track: TrackRule,
    /// Times that the parts are done.
    pub rounds: u32,
    /// Rep scheme; replaces rounds and amounts when not empty.
    pub scheme: Vec<u32>,
    /// Done once before.
    pub buy_in: Vec<Part>,
    /// Done in rounds.
    pub parts: Vec<Part>,
    /// Done once after.
    pub cash_out: Vec<Part>,
    /// Byte of the file at which it stands.
    at: usize,
}

/// A part of a workout, with its amounts still per division.
#[derive(Clone, Debug)]
pub struct Part {
    /// Index of the movement.
    pub movement: usize,
    /// How much, in the movement's unit.
    pub amount: PerDivision<u32>,
    /// Load or height as shown; none means nothing is shown.
    pub load: Option<PerDivision<String>>,
    /// What it scores.
    pub scores: ScoreRule,
    /// The time at its end is the tie-break time.
    pub tie_break: bool,
    /// Byte of the file at which its amount stands.
    at: usize,
}

/// A heat before anything happens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeatPlan {
    /// Number, unique.
    pub number: u32,
    /// As announced.
    pub name: String,
    /// Index of the workout.
    pub workout: usize,
    /// Its lanes, in order of their numbers.
    pub lanes: Vec<LanePlan>,
    /// Byte of the file at which it stands.
    at: usize,
}

/// A lane of a heat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LanePlan {
    /// Lane, from 1.
    pub lane: u8,
    /// Index of the athlete; none for an empty lane.
    pub athlete: Option<usize>,
    /// Name of the lane judge; empty if not told.
    pub judge: String,
    /// Its start after the heat's.
    pub start: SpanMs,
}

/// Why a competition file cannot be used.
#[derive(Debug, Error)]
pub enum LoadError {
    /// The file cannot be read.
    #[error("cannot read the competition file {file}: {source}; check its name and its permissions")]
    Read {
        /// The file.
        file: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is too large.
    #[error("the competition file {file} is larger than {MAX_FILE} bytes; it cannot be a competition file")]
    TooLarge {
        /// The file.
        file: String,
    },
    /// The file is not text.
    #[error("the competition file {file} is not UTF-8 text; save it as UTF-8")]
    NotText {
        /// The file.
        file: String,
    },
    /// The file has faults.
    #[error("{}", listed(.0))]
    Faults(Vec<Fault>),
}

fn listed(faults: &[Fault]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// Reads a competition file.
///
/// # Errors
/// See [`LoadError`]; every fault is in it.
pub fn load(path: &Path) -> Result<Competition, LoadError> {
    use std::io::Read;

    let file = path.display().to_string();
    let read = |source| LoadError::Read { file: file.clone(), source };
    let mut bytes = Vec::new();
    let source = std::fs::File::open(path).map_err(read)?;
    source.take(MAX_FILE + 1).read_to_end(&mut bytes).map_err(read)?;
    if bytes.len() as u64 > MAX_FILE {
        return Err(LoadError::TooLarge { file });
    }
    let text = String::from_utf8(bytes).map_err(|_| LoadError::NotText { file: file.clone() })?;
    parse(&file, &text).map_err(LoadError::Faults)
}

/// Reads a competition from its text; `file` names it in faults.
///
/// # Errors
/// Every fault, in the order of the file.
pub fn parse(file: &str, text: &str) -> Result<Competition, Vec<Fault>> {
    let mut faults = Faults::default();
    let (document, errors) = DeTable::parse_recoverable(text);
    // Past a fault of syntax the structure is guesswork; what it would seem to say only distracts.
    for error in &errors {
        let at = error.span().map_or(0, |span| span.start);
        faults.add(at, format!("this is not TOML: {}", error.message().replace('\n', "; ")));
    }
    if !faults.is_empty() {
        return Err(faults.placed(file, text));
    }
    let mut fields = Fields::of_file(document.get_ref());
    let competition = read(&mut fields, &mut faults);
    fields.finish(&mut faults);
    match competition {
        Some(mut competition) if faults.is_empty() => {
            setup::check_heats(&competition, &mut faults);
            if !faults.is_empty() {
                return Err(faults.placed(file, text));
            }
            competition.digest = Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect();
            Ok(competition)
        }
        _ => Err(faults.placed(file, text)),
    }
}

fn read(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> Option<Competition> {
    let event = people::event(fields, faults);
    let divisions = people::divisions(fields, faults);
    let athletes = people::athletes(fields, &divisions, faults);
    let movements = work::movements(fields, faults);
    let workouts = work::workouts(fields, &divisions, &movements, faults);
    let heats = heats::heats(fields, &workouts, &athletes, faults);
    let people::Event { name: event, place, date, initials } = event?;
    Some(Competition {
        event,
        place,
        date,
        initials,
        divisions,
        athletes: athletes.into_iter().map(|entry| entry.athlete).collect(),
        movements: movements.into_iter().map(|entry| entry.movement).collect(),
        workouts,
        heats,
        digest: String::new(),
    })
}
