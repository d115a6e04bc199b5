//! Makes cards from the record, with names as the public may see them. Which card is shown when is left to
//! `program`.

use std::collections::BTreeSet;

use fivemark_engine::standings as places_of;
use fivemark_wire::bounds::MAX_STANDINGS;
use fivemark_wire::shows::{Card, CardLane, NextHeat, ResultRow, Results, StandingRow, Standings};

use super::record::{Record, Result};
use crate::competition::{Competition, HeatPlan};
use crate::picture::Names;
use crate::roles::Audience;

/// The event's own card.
pub(super) fn event(competition: &Competition) -> Card {
    let Competition { event, place, date, .. } = competition;
    Card::Event { name: event.clone(), place: place.clone(), date: date.clone() }
}

/// Who comes in a heat, as a card; none if there is no such heat.
pub(super) fn next_heat(record: &Record<'_>, number: u32, starts_at_ms: Option<i64>) -> Option<Card> {
    lanes_of(record, number, starts_at_ms, Audience::Public).map(Card::NextHeat)
}

/// Who comes in a heat, with names as an audience may see them; none if there is no such heat.
pub(super) fn lanes_of(
    record: &Record<'_>,
    number: u32,
    starts_at_ms: Option<i64>,
    audience: Audience,
) -> Option<NextHeat> {
    let (plan, competition) = (record.plan(number)?, record.competition);
    let divisions = competition.divisions_of(plan);
    let lane = |lane: &crate::competition::LanePlan| {
        let Names { bib, name, given, family, say, club, members } =
            Names::of(competition.athletes.get(lane.athlete?)?, audience);
        let division = competition.floor_division(&divisions, lane.athlete);
        Some(CardLane { lane: lane.lane, bib, name, given, family, say, division, club, members })
    };
    Some(NextHeat {
        heat_name: plan.name.clone(),
        workout: workout(competition, plan),
        divisions: names(competition, &divisions),
        starts_at_ms,
        lanes: plan.lanes.iter().filter_map(lane).collect(),
    })
}

/// Results of a heat; none if it has none.
pub(super) fn results(record: &Record<'_>, number: u32) -> Option<Card> {
    let (plan, competition) = (record.plan(number)?, record.competition);
    let divisions = competition.divisions_of(plan);
    let mut lanes = record.results(number);
    if lanes.is_empty() {
        return None;
    }
    lanes.sort_by_key(|lane| (lane.athlete.division, lane.score));
    let mut rows = Vec::with_capacity(lanes.len());
    for division in lanes.chunk_by(|one, other| one.athlete.division == other.athlete.division) {
        let places = places_of(&division.iter().map(|lane| lane.score).collect::<Vec<_>>());
        rows.extend(places.into_iter().zip(division).map(|(place, lane)| {
            let Names { bib, name, given, family, .. } = Names::of(lane.athlete, Audience::Public);
            let division = competition.floor_division(&divisions, Some(lane.athlete_index));
            let (result, finished, lane) = (lane.text.clone(), lane.finished, lane.lane);
            ResultRow { place, lane, bib, name, given, family, division, result, finished }
        }));
    }
    Some(Card::Results(Results {
        heat_name: plan.name.clone(),
        workout: workout(competition, plan),
        official: record.is_signed(number),
        divisions: names(competition, &divisions),
        rows,
    }))
}

/// Standings of a heat's workout in a division, as a card; none if there are none.
pub(super) fn standings(record: &Record<'_>, of_heat: u32, division: usize) -> Option<Card> {
    standings_of(record, of_heat, division).map(Card::Standings)
}

/// Standings of a heat's workout in a division, over all its heats so far; none if there are none.
pub(super) fn standings_of(record: &Record<'_>, of_heat: u32, division: usize) -> Option<Standings> {
    let (plan, competition) = (record.plan(of_heat)?, record.competition);
    let (mut heats_of, mut heats_done) = (0, 0);
    let mut found: Vec<(Result<'_>, u32)> = Vec::new();
    for heat in competition.heats.iter().filter(|heat| heat.workout == plan.workout) {
        if !record.has_division(heat.number, division) {
            continue;
        }
        heats_of += 1;
        heats_done += u16::from(record.has_results(heat.number));
        let results = record.results(heat.number).into_iter().chain(record.scratched(heat.number));
        let own = results.filter(|result| result.athlete.division == division);
        found.extend(own.map(|result| (result, heat.number)));
    }
    if found.is_empty() {
        return None;
    }
    // Equal ones stay in running order. Who did the workout twice stands once, with the better result.
    found.sort_by_key(|(result, _)| result.score);
    let mut seen = BTreeSet::new();
    found.retain(|(result, _)| seen.insert(result.athlete_index));
    let places = places_of(&found.iter().map(|(result, _)| result.score).collect::<Vec<_>>());
    let row = |(place, (result, heat)): (u16, &(Result<'_>, u32))| {
        let Names { bib, name, given, family, .. } = Names::of(result.athlete, Audience::Public);
        StandingRow {
            place,
            bib,
            name,
            given,
            family,
            heat_name: record.plan(*heat).map_or_else(String::new, |plan| plan.name.clone()),
            result: result.text.clone(),
            finished: result.finished,
            provisional: !record.is_signed(*heat),
        }
    };
    Some(Standings {
        workout: workout(competition, plan),
        division: names(competition, &[division]).pop().unwrap_or_default(),
        rows: places.into_iter().zip(&found).take(MAX_STANDINGS).map(row).collect(),
        heats_done,
        heats_of,
    })
}

fn workout(competition: &Competition, plan: &HeatPlan) -> String {
    competition.workouts.get(plan.workout).map_or_else(String::new, |workout| workout.name.clone())
}

fn names(competition: &Competition, divisions: &[usize]) -> Vec<String> {
    let known = divisions.iter().filter_map(|index| competition.divisions.get(*index));
    known.map(|division| division.name.clone()).collect()
}
