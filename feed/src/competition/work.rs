//! Movements and workouts, from the competition file.

use fivemark_engine::workout::{Fault as RepFault, Movement, ScoreRule, Scoring, TrackRule, Unit};
use toml::de::DeValue;

use super::faults::Faults;
use super::fields::{Fields, MAX_ID, MAX_TEXT, Value, nearest, number_of, shorten, text_of};
use super::rules::rules;
use super::values::{PerDivision, per_division, scheme_of, seconds_of};
use super::{Division, MAX_AMOUNT, MAX_MOVEMENTS, MAX_WORKOUTS, Part, Workout};

/// Most faults of one movement: they are buttons on a phone.
const MAX_REP_FAULTS: usize = 20;
/// Longest standard of a movement, in bytes: two sentences on a phone.
const MAX_STANDARD: usize = 300;
/// Most parts written in one list; rounds come on top.
const MAX_PARTS: usize = 200;
/// Most rounds; the course's own bound on parts comes later.
const MAX_ROUNDS: u32 = 1_000;

const UNITS: [(&str, Unit); 5] = [
    ("rep", Unit::Rep),
    ("metre", Unit::Metre),
    ("calorie", Unit::Calorie),
    ("second held", Unit::SecondHeld),
    ("kilogram", Unit::Kilogram),
];

/// A movement and the id by which workouts name it.
pub(super) struct MovementRead {
    id: String,
    pub(super) movement: Movement,
}

/// The movements.
pub(super) fn movements(file: &mut Fields<'_, '_>, faults: &mut Faults) -> Vec<MovementRead> {
    let mut movements: Vec<MovementRead> = Vec::new();
    for value in file.list("movement", MAX_MOVEMENTS, faults) {
        let Some(mut fields) = Fields::of(value, "a movement", faults) else { continue };
        let Some(id) = fields.need_id("id", faults) else {
            movement(fields, faults);
            continue;
        };
        fields.what = format!("movement \"{}\"", shorten(&id.value));
        if movements.iter().any(|known| known.id == id.value) {
            faults
                .add(id.at, format!("movement \"{}\" is there twice; give each an id of its own", id.value));
        }
        // One with faults stays known by its id, so that the workouts are not blamed for it.
        let movement = movement(fields, faults);
        movements.push(MovementRead { id: id.value, movement });
    }
    movements
}

fn movement(mut fields: Fields<'_, '_>, faults: &mut Faults) -> Movement {
    let name = fields.need_text("name", MAX_TEXT, faults).map_or_else(String::new, |name| name.value);
    let short_name =
        fields.text("short_name", MAX_TEXT, faults).map_or_else(|| name.clone(), |text| text.value);
    let unit = fields.choice("unit", &UNITS, faults).unwrap_or(Unit::Rep);
    let step = fields.number("step", 1..=MAX_AMOUNT, faults).map_or(1, |step| step.value);
    let expected = match fields.value("seconds_per_unit") {
        Some(value) => seconds_of(value, "seconds_per_unit", faults),
        None => {
            faults.add(fields.at, format!("{} needs a field \"seconds_per_unit\"", fields.what));
            None
        }
    };
    let several_at_once = fields.flag("several_at_once", faults);
    let most = u32::from(fivemark_engine::bounds::MAX_CLOSING_BLOCKS);
    let closing = fields.number("closing_steps", 0..=most, faults).map_or(0, |steps| steps.value);
    let mut standard = |name: &'static str| {
        fields.text(name, MAX_STANDARD, faults).map_or_else(String::new, |text| text.value)
    };
    let (start, finish) = (standard("start"), standard("finish"));
    let rep_faults = rep_faults(&mut fields, faults);
    fields.finish(faults);
    Movement {
        name,
        short_name,
        unit,
        step,
        expected_ms_per_unit: expected.and_then(|ms| u32::try_from(ms).ok()).unwrap_or(1_000),
        several_at_once,
        closing_steps: u8::try_from(closing).unwrap_or(0),
        start,
        finish,
        faults: rep_faults,
    }
}

fn rep_faults(movement: &mut Fields<'_, '_>, faults: &mut Faults) -> Vec<RepFault> {
    let mut found: Vec<RepFault> = Vec::new();
    for value in movement.list("fault", MAX_REP_FAULTS, faults) {
        let Some(mut fields) = Fields::of(value, format!("a fault of {}", movement.what), faults) else {
            continue;
        };
        let code = fields.need_text("code", MAX_ID, faults);
        let name = fields.need_text("name", MAX_TEXT, faults);
        let partial = fields.flag("partial", faults);
        fields.finish(faults);
        let (Some(code), Some(name)) = (code, name) else { continue };
        if found.iter().any(|known| known.code == code.value) {
            let code_text = &code.value;
            let says = format!("fault \"{code_text}\" is there twice in {}; rename one", movement.what);
            faults.add(code.at, says);
            continue;
        }
        found.push(RepFault { code: code.value, name: name.value, partial });
    }
    found
}

/// The workouts.
pub(super) fn workouts(
    file: &mut Fields<'_, '_>,
    divisions: &[Division],
    movements: &[MovementRead],
    faults: &mut Faults,
) -> Vec<Workout> {
    let names: Vec<String> = divisions.iter().map(|division| division.id.clone()).collect();
    let reader = PartReader { divisions: &names, movements };
    let mut workouts: Vec<Workout> = Vec::new();
    for value in file.list("workout", MAX_WORKOUTS, faults) {
        let Some(mut fields) = Fields::of(value, "a workout", faults) else { continue };
        let id = fields.need_id("id", faults);
        if let Some(id) = &id {
            fields.what = format!("workout \"{}\"", shorten(&id.value));
            if workouts.iter().any(|known| known.id == id.value) {
                faults.add(id.at, format!("{} is there twice; give each an id of its own", fields.what));
            }
        }
        let workout = workout(fields, id.map_or_else(String::new, |id| id.value), &reader, faults);
        workouts.push(workout);
    }
    workouts
}

fn workout(mut fields: Fields<'_, '_>, id: String, reader: &PartReader<'_>, faults: &mut Faults) -> Workout {
    let at = fields.at;
    let name = fields.need_text("name", MAX_TEXT, faults).map_or_else(|| id.clone(), |name| name.value);
    let rules = rules(&mut fields, faults);
    let track = fields.choice(
        "track",
        &[("expected time", TrackRule::ExpectedTime), ("units", TrackRule::Units)],
        faults,
    );
    let rounds = fields.number("rounds", 1..=MAX_ROUNDS, faults);
    let scheme = fields.value("scheme").and_then(|value| scheme_of(value, faults));
    if let (Some(rounds), true) = (&rounds, scheme.is_some()) {
        faults.add(rounds.at, format!("{} has rounds and a scheme; keep one of them", fields.what));
    }
    let tries = rules.scoring.tries();
    let body = match (tries, &scheme) {
        (Some(tries), _) => {
            Amounts::Tries { tries, lifts: matches!(rules.scoring, Scoring::HeaviestLift { .. }) }
        }
        (None, Some(_)) => Amounts::Scheme,
        (None, None) => Amounts::Written,
    };
    let buy_in = reader.parts(&mut fields, "buy_in", Amounts::Written, faults);
    let parts = reader.parts(&mut fields, "parts", body, faults);
    let cash_out = reader.parts(&mut fields, "cash_out", Amounts::Written, faults);
    if tries.is_some() && parts.len() > 1 {
        faults.add(at, format!("{} is of one movement; write one part", fields.what));
    }
    if parts.is_empty() {
        faults.add(at, format!("{} has no parts; write what is done into parts", fields.what));
    }
    fields.finish(faults);
    Workout {
        id,
        name,
        scoring: rules.scoring,
        clock: rules.clock,
        finish: rules.finish,
        mark_every_part: rules.mark_every_part,
        track: track.unwrap_or(TrackRule::ExpectedTime),
        rounds: rounds.map_or(1, |rounds| rounds.value),
        scheme: scheme.unwrap_or_default(),
        buy_in,
        parts,
        cash_out,
        at,
    }
}

/// Where the amounts of a list of parts come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Amounts {
    /// Each part has its own.
    Written,
    /// The rep scheme.
    Scheme,
    /// Attempts or holds are judged, so many of them.
    Tries { tries: u8, lifts: bool },
}

/// Reads parts, knowing divisions and movements by their ids.
struct PartReader<'a> {
    divisions: &'a [String],
    movements: &'a [MovementRead],
}

impl PartReader<'_> {
    /// The parts of one list.
    fn parts(
        &self,
        workout: &mut Fields<'_, '_>,
        name: &'static str,
        amounts: Amounts,
        faults: &mut Faults,
    ) -> Vec<Part> {
        let mut parts = Vec::new();
        for (index, value) in workout.list(name, MAX_PARTS, faults).into_iter().enumerate() {
            let what = format!("part {} of {name} in {}", index + 1, workout.what);
            if let Some(fields) = Fields::of(value, what, faults)
                && let Some(part) = self.part(fields, amounts, faults)
            {
                parts.push(part);
            }
        }
        parts
    }

    fn part(&self, mut fields: Fields<'_, '_>, amounts: Amounts, faults: &mut Faults) -> Option<Part> {
        let movement = fields.need_id("movement", faults).and_then(|id| {
            let found = self.movements.iter().position(|known| known.id == id.value);
            if found.is_none() {
                let hint = match nearest(&id.value, self.movements.iter().map(|known| known.id.as_str())) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => "add it as a [[movement]]".to_owned(),
                };
                let id_text = shorten(&id.value);
                faults.add(id.at, format!("movement \"{id_text}\" is not there; {hint}"));
            }
            found
        });
        let (amount, at) = self.amount(&mut fields, amounts, faults)?;
        let load = fields.value("load").and_then(|value| {
            per_division(value, "load", self.divisions, faults, |entry, faults| {
                text_of(entry, "load", MAX_ID, faults).map(|text| text.value)
            })
        });
        let scores = match amounts {
            Amounts::Tries { lifts, .. } => {
                refuse_in_attempts(&mut fields, lifts, faults);
                ScoreRule::PerUnit
            }
            _ => self.scores(&mut fields, movement, faults),
        };
        let tie_break = fields.flag("tie_break", faults);
        fields.finish(faults);
        Some(Part { movement: movement?, amount, load, scores, tie_break, at })
    }

    /// The amount and where it stands.
    fn amount(
        &self,
        fields: &mut Fields<'_, '_>,
        amounts: Amounts,
        faults: &mut Faults,
    ) -> Option<(PerDivision<u32>, usize)> {
        match (fields.value("amount"), amounts) {
            (None, Amounts::Scheme) => Some((PerDivision::Same(1), fields.at)),
            (None, Amounts::Tries { tries, .. }) => Some((PerDivision::Same(u32::from(tries)), fields.at)),
            (Some(value), Amounts::Scheme) => {
                let says = format!("{} takes its reps from the scheme; leave amount out", fields.what);
                faults.add(value.span().start, says);
                None
            }
            (Some(value), Amounts::Tries { lifts, .. }) => {
                let of = if lifts { "attempts" } else { "holds" };
                let says = format!("{} is tried, not counted; leave amount out and write {of}", fields.what);
                faults.add(value.span().start, says);
                None
            }
            (None, Amounts::Written) => {
                faults.add(fields.at, format!("{} needs a field \"amount\"", fields.what));
                None
            }
            (Some(value), Amounts::Written) => {
                let amount = per_division(value, "amount", self.divisions, faults, |entry, faults| {
                    number_of(entry, "amount", 1..=MAX_AMOUNT, faults).map(|number| number.value)
                });
                Some((amount?, value.span().start))
            }
        }
    }

    /// What a part scores: one per repetition unless told otherwise. Other units have to say.
    fn scores(&self, fields: &mut Fields<'_, '_>, movement: Option<usize>, faults: &mut Faults) -> ScoreRule {
        let Some(value) = fields.value("scores") else {
            let unit = movement.and_then(|index| self.movements.get(index)).map(|known| known.movement.unit);
            if unit.is_some_and(|unit| unit != Unit::Rep) {
                faults.add(
                    fields.at,
                    format!(
                        "{} is not counted in reps, so say what it scores: scores = 1 when it is done, \
                         scores = \"per unit\", or scores = \"per 5\"",
                        fields.what
                    ),
                );
            }
            return ScoreRule::PerUnit;
        };
        score_rule(value, faults).unwrap_or(ScoreRule::PerUnit)
    }
}

/// What a part has no use for where attempts are judged.
fn refuse_in_attempts(fields: &mut Fields<'_, '_>, lifts: bool, faults: &mut Faults) {
    let unfit = [
        ("scores", "the best attempt is the score; leave scores out"),
        ("tie_break", "it has no end of its own; leave tie_break out"),
        ("load", "its loads are declared by the athletes; leave load out"),
    ];
    for (name, instead) in unfit.into_iter().take(if lifts { 3 } else { 2 }) {
        if let Some(value) = fields.value(name) {
            faults.add(value.span().start, format!("{}: {instead}", fields.what));
        }
    }
}

fn score_rule(value: &Value<'_>, faults: &mut Faults) -> Option<ScoreRule> {
    if let DeValue::Integer(_) = value.get_ref() {
        return number_of(value, "scores", 0..=MAX_AMOUNT, faults)
            .map(|score| ScoreRule::WhenDone(score.value));
    }
    let text = text_of(value, "scores", MAX_TEXT, faults)?;
    let per = text.value.strip_prefix("per ").map(str::trim);
    match per.map(|per| (per, per.parse::<u32>())) {
        Some(("unit", _)) => Some(ScoreRule::PerUnit),
        Some((_, Ok(units))) if (1..=MAX_AMOUNT).contains(&units) => Some(ScoreRule::PerUnits(units)),
        _ => {
            faults.add(
                text.at,
                format!(
                    "scores cannot be \"{}\"; write a number, \"per unit\" or such as \"per 5\"",
                    shorten(&text.value)
                ),
            );
            None
        }
    }
}
