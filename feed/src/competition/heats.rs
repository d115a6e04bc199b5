//! Heats and their lanes, from the competition file.

use std::collections::BTreeMap;

use fivemark_engine::ids::MAX_LANES;
use fivemark_engine::time::SpanMs;

use super::faults::Faults;
use super::fields::{Fields, MAX_TEXT, nearest, shorten};
use super::people::AthleteRead;
use super::values::span_of;
use super::{HeatPlan, LanePlan, MAX_HEATS, Workout};

/// The heats, in the order of the file.
pub(super) fn heats(
    file: &mut Fields<'_, '_>,
    workouts: &[Workout],
    athletes: &[AthleteRead],
    faults: &mut Faults,
) -> Vec<HeatPlan> {
    let by_bib: BTreeMap<&str, usize> =
        athletes.iter().enumerate().map(|(index, entry)| (entry.athlete.bib.as_str(), index)).collect();
    let mut heats: Vec<HeatPlan> = Vec::new();
    for value in file.list("heat", MAX_HEATS, faults) {
        let Some(mut fields) = Fields::of(value, "a heat", faults) else { continue };
        let number = fields.need_number("number", 1..=1_000_000, faults);
        if let Some(number) = &number {
            fields.what = format!("heat {}", number.value);
            if heats.iter().any(|known| known.number == number.value) {
                let says = format!("{} is there twice; give each heat a number of its own", fields.what);
                faults.add(number.at, says);
            }
        }
        let heat = heat(fields, number.map_or(0, |number| number.value), workouts, &by_bib, faults);
        heats.extend(heat);
    }
    if heats.is_empty() {
        faults.add(0, "the file has no [[heat]] that can be run; add at least one with its lanes");
    }
    heats
}

fn heat(
    mut fields: Fields<'_, '_>,
    number: u32,
    workouts: &[Workout],
    by_bib: &BTreeMap<&str, usize>,
    faults: &mut Faults,
) -> Option<HeatPlan> {
    let at = fields.at;
    let name =
        fields.text("name", MAX_TEXT, faults).map_or_else(|| format!("Heat {number}"), |text| text.value);
    let workout = fields.need_id("workout", faults).and_then(|id| {
        let found = workouts.iter().position(|known| known.id == id.value);
        if found.is_none() {
            let hint = match nearest(&id.value, workouts.iter().map(|known| known.id.as_str())) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "add it as a [[workout]]".to_owned(),
            };
            let id_text = shorten(&id.value);
            faults.add(id.at, format!("workout \"{id_text}\" is not there; {hint}"));
        }
        found
    });
    let mut lanes = lanes(&mut fields, by_bib, faults);
    lanes.sort_by_key(|lane| lane.lane);
    if !lanes.iter().any(|lane| lane.athlete.is_some()) {
        faults.add(at, format!("{} has no athlete on any lane; give it at least one", fields.what));
    }
    fields.finish(faults);
    Some(HeatPlan { number, name, workout: workout?, lanes, at })
}

fn lanes(heat: &mut Fields<'_, '_>, by_bib: &BTreeMap<&str, usize>, faults: &mut Faults) -> Vec<LanePlan> {
    let most = u32::from(MAX_LANES);
    let mut lanes: Vec<LanePlan> = Vec::new();
    for value in heat.list("lanes", usize::from(MAX_LANES), faults) {
        let Some(mut fields) = Fields::of(value, format!("a lane of {}", heat.what), faults) else {
            continue;
        };
        let lane = fields.need_number("lane", 1..=most, faults);
        if let Some(lane) = &lane {
            fields.what = format!("lane {} of {}", lane.value, heat.what);
        }
        let bib = fields.id("athlete", faults);
        let judge = fields.text("judge", MAX_TEXT, faults).map_or_else(String::new, |text| text.value);
        let start = fields.value("start").and_then(|value| span_of(value, "start", faults)).unwrap_or(0);
        fields.finish(faults);
        let athlete = bib.and_then(|bib| {
            let index = by_bib.get(bib.value.as_str()).copied();
            if index.is_none() {
                let hint = match nearest(&bib.value, by_bib.keys().copied()) {
                    Some(near) => format!("did you mean {near}?"),
                    None => "add the athlete or leave the lane empty".to_owned(),
                };
                let bib_text = shorten(&bib.value);
                faults.add(bib.at, format!("no athlete has bib {bib_text}; {hint}"));
            } else if lanes.iter().any(|known| known.athlete == index) {
                let says = format!("athlete {} is listed twice in {}; keep one lane", bib.value, heat.what);
                faults.add(bib.at, says);
            }
            index
        });
        let Some(lane) = lane else { continue };
        let number = u8::try_from(lane.value).unwrap_or(MAX_LANES);
        if lanes.iter().any(|known| known.lane == number) {
            let says = format!(
                "lane {number} is listed twice in {}; give each athlete a lane of its own",
                heat.what
            );
            faults.add(lane.at, says);
            continue;
        }
        lanes.push(LanePlan { lane: number, athlete, judge, start: SpanMs(start) });
    }
    lanes
}
