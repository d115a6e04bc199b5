//! Writes the demo's competition file: an invented event with four heats, from a seed and a number of lanes. The
//! seed decides who stands where; the words are fixed. Leaves reading and checking the file to the feed.

use std::fmt::Write;

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

use crate::people::{CLUBS, DIVISIONS, Division, JUDGES, Person};

/// How many heats the competition has.
pub const HEATS: u32 = 4;
/// Most lanes of the demo; the feed allows no more.
pub const MAX_LANES: u8 = 40;
/// Lanes of the masters' heat, at most: so many masters there are.
const MASTERS_LANES: u8 = 8;
/// The first bib of each division stands this far from the next one's.
const BIBS_PER_DIVISION: usize = 100;

/// The whole file. The first heat has `lanes` athletes; the same seed and lanes give the same file.
#[must_use]
pub fn competition_toml(seed: u64, lanes: u8) -> String {
    let lanes = lanes.clamp(1, MAX_LANES);
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut file = String::from(HEAD);
    for division in DIVISIONS {
        push(&mut file, format_args!("\n[[division]]\nid = {}\n", text(division.id())));
        push(&mut file, format_args!("name = {}\n", text(division.name())));
    }
    for division in DIVISIONS {
        for index in 0..division.athletes().len() {
            athlete(&mut file, division, index);
        }
    }
    file.push_str(WORK);
    let women = line_up(&[Division::OpenWomen], lanes, &mut rng);
    heat(&mut file, 1, "Heat 1", "harbour-bell", &women);
    let men = line_up(&[Division::OpenMen], lanes, &mut rng);
    heat(&mut file, 2, "Heat 2", "harbour-bell", &men);
    let masters = [Division::MastersWomen, Division::MastersMen];
    let masters = line_up(&masters, lanes.min(MASTERS_LANES), &mut rng);
    heat(&mut file, 3, "Heat 3", "lighthouse-steps", &masters);
    let women = line_up(&[Division::OpenWomen], lanes, &mut rng);
    heat(&mut file, HEATS, "Heat 4", "ebb-mill", &women);
    file
}

const HEAD: &str = r#"# An invented competition. Nobody and nothing in it exists.

[event]
name = "Brackwater Trials"
date = 2031-06-14
place = "Lantern Quay Hall, Ostrel"
"#;

const WORK: &str = r#"
[[movement]]
id = "row"
name = "Row"
unit = "metre"
step = 25
several_at_once = true
seconds_per_unit = 0.21
start = "Seated on the rower, its display set to the metres asked for"
finish = "The display shows the metres; hands stay on the handle until then"

[[movement]]
id = "front-squat"
name = "Front squat"
short_name = "Squat"
seconds_per_unit = 2.9
start = "Standing tall, the bar on the front of the shoulders"
finish = "Hips below the knees, then standing with hips and knees straight"
[[movement.fault]]
code = "depth"
name = "Hips not below knees"
[[movement.fault]]
code = "lockout"
name = "Not standing tall"

[[movement]]
id = "burpee-over-bar"
name = "Burpee over the bar"
short_name = "Burpee"
seconds_per_unit = 4.1
start = "Facing the bar on both feet"
finish = "Chest on the floor, then both feet over the bar and on the ground"
[[movement.fault]]
code = "chest"
name = "Chest off the floor"
[[movement.fault]]
code = "jump"
name = "Jump again"
partial = true

[[movement]]
id = "toes-to-bar"
name = "Toes to bar"
short_name = "Toes"
seconds_per_unit = 2.3
start = "Hanging with arms straight and heels behind the bar"
finish = "Both feet touch the bar together, between the hands"
[[movement.fault]]
code = "contact"
name = "No contact"
[[movement.fault]]
code = "behind"
name = "Heels not behind the bar"

[[movement]]
id = "box-step"
name = "Box step-over"
short_name = "Box"
seconds_per_unit = 3.0
start = "Both feet on the ground, facing the box"
finish = "Standing tall on the box, then both feet on the ground beyond it"
[[movement.fault]]
code = "hip"
name = "No full stand"

[[movement]]
id = "carry"
name = "Sandbag carry"
short_name = "Carry"
unit = "metre"
step = 10
several_at_once = true
closing_steps = 5
seconds_per_unit = 0.9
start = "Both feet behind the line, the bag off the ground"
finish = "Bag and both feet over the line of the next ten metres"

[[workout]]
id = "harbour-bell"
name = "Harbour Bell"
scoring = "for time"
cap = "9:30"
countdown = "10"
resolution = "0.1"
rounding = "up"
capped = "work done"
buy_in = [{ movement = "row", amount = 500, scores = "per 50" }]
scheme = "15-12-9"
parts = [
  { movement = "front-squat", load = { open-women = "40 kg", open-men = "60 kg" } },
  { movement = "burpee-over-bar", tie_break = true },
]
cash_out = [{ movement = "toes-to-bar", amount = 20 }]

[[workout]]
id = "lighthouse-steps"
name = "Lighthouse Steps"
scoring = "for time"
cap = "9:00"
capped = "work left"
rounds = 3
parts = [
  { movement = "box-step", amount = 20, load = { masters-women = "50 cm", masters-men = "60 cm" } },
  { movement = "front-squat", amount = { masters-women = 10, masters-men = 12 }, load = { masters-women = "30 kg", masters-men = "45 kg" } },
]
cash_out = [{ movement = "carry", amount = 100, scores = "per 10", load = { masters-women = "30 kg", masters-men = "45 kg" } }]

[[workout]]
id = "ebb-mill"
name = "Ebb Mill"
scoring = "amrap"
window = "7:00"
amrap_shows = "rounds and reps"
parts = [
  { movement = "toes-to-bar", amount = 6 },
  { movement = "front-squat", amount = 9, load = { open-women = "40 kg" } },
  { movement = "burpee-over-bar", amount = 6, tie_break = true },
]
"#;

/// An athlete of a heat: division and index in it.
type Entry = (Division, usize);

/// Chooses who is in a heat, and shuffles them over its lanes. The first of each division are always in it.
fn line_up(divisions: &[Division], lanes: u8, rng: &mut ChaCha8Rng) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    let most = divisions.iter().map(|division| division.athletes().len()).max().unwrap_or(0);
    for index in 0..most {
        let there = divisions.iter().filter(|division| index < division.athletes().len());
        entries.extend(there.map(|division| (*division, index)));
    }
    entries.truncate(usize::from(lanes));
    entries.shuffle(rng);
    entries
}

fn athlete(file: &mut String, division: Division, index: usize) {
    let person: &Person = &division.athletes()[index];
    let name = if person.family_first {
        format!("{} {}", person.family, person.given)
    } else {
        format!("{} {}", person.given, person.family)
    };
    push(file, format_args!("\n[[athlete]]\nbib = {}\n", text(&bib(division, index))));
    push(file, format_args!("name = {}\n", text(&name)));
    push(file, format_args!("given = {}\nfamily = {}\n", text(person.given), text(person.family)));
    if !person.say.is_empty() {
        push(file, format_args!("say = {}\n", text(person.say)));
    }
    let club = CLUBS[(index + division as usize) % CLUBS.len()];
    push(file, format_args!("club = {}\ndivision = {}\n", text(club), text(division.id())));
    if person.private {
        file.push_str("private = true\n");
    }
}

fn heat(file: &mut String, number: u32, name: &str, workout: &str, entries: &[Entry]) {
    push(file, format_args!("\n[[heat]]\nnumber = {number}\nname = {}\n", text(name)));
    push(file, format_args!("workout = {}\nlanes = [\n", text(workout)));
    for (place, (division, index)) in entries.iter().enumerate() {
        let (athlete, judge) = (bib(*division, *index), JUDGES[place % JUDGES.len()]);
        push(
            file,
            format_args!(
                "  {{ lane = {}, athlete = {}, judge = {} }},\n",
                place + 1,
                text(&athlete),
                text(judge)
            ),
        );
    }
    file.push_str("]\n");
}

fn bib(division: Division, index: usize) -> String {
    ((division as usize + 1) * BIBS_PER_DIVISION + index + 1).to_string()
}

/// A text as TOML writes it.
fn text(plain: &str) -> toml::Value {
    toml::Value::from(plain)
}

fn push(file: &mut String, line: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = file.write_fmt(line);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_of_lanes_gives_a_file_that_the_feed_takes() {
        for seed in [1, 77] {
            for lanes in 1..=MAX_LANES {
                let file = competition_toml(seed, lanes);
                let read = fivemark_feed::competition::parse("demo", &file);
                let competition = read.unwrap_or_else(|faults| panic!("{lanes} lanes: {faults:?}"));
                assert_eq!(competition.heats[0].lanes.len(), usize::from(lanes));
                assert_eq!(competition.heats.len(), HEATS as usize);
            }
        }
    }

    #[test]
    fn the_seed_decides_who_stands_where() {
        assert_eq!(competition_toml(5, 10), competition_toml(5, 10));
        assert_ne!(competition_toml(5, 10), competition_toml(6, 10));
    }

    #[test]
    fn hard_names_are_on_the_floor_of_ten_lanes() {
        let file = competition_toml(1, 10);
        let competition = fivemark_feed::competition::parse("demo", &file).unwrap();
        let on_floor: Vec<_> = competition.heats[0]
            .lanes
            .iter()
            .filter_map(|lane| competition.athletes.get(lane.athlete?))
            .collect();
        assert!(on_floor.iter().any(|athlete| athlete.private));
        assert!(on_floor.iter().any(|athlete| athlete.name.chars().count() > 45));
        assert!(on_floor.iter().any(|athlete| athlete.name.starts_with('Χ')));
    }

    #[test]
    fn the_example_in_the_tree_is_the_demo_itself() {
        assert_eq!(
            include_str!("../competition.toml"),
            competition_toml(1, 10),
            "run: demo/run --print-competition"
        );
    }
}
