//! Who is put on which lane before a heat: from what was asked to the heat's plan as it is then, or why that cannot be;
//! and the athletes of the competition who could be put there. Whether lanes can be set now is the engine's to say.

use fivemark_engine::Heat;
use fivemark_engine::command::{Command, SetLanes};
use fivemark_engine::ids::LaneNo;
use fivemark_wire::bounds::MAX_FOUND;
use fivemark_wire::from_feed::ReasonCode;
use fivemark_wire::lanes::{AskAthletes, AthleteFound, Athletes, LaneAthlete};
use thiserror::Error;

use crate::competition::{Athlete, Competition, HeatPlan};

/// Lanes that can be set so, as far as the competition goes.
#[derive(Debug)]
pub struct Setting {
    /// Who stands where from then on.
    pub plan: HeatPlan,
    /// For the engine.
    pub command: Command,
}

/// Why lanes cannot be set so.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotSet {
    /// A lane that is not there.
    #[error("Heat {heat} has no lane {lane}. Name its own lanes.")]
    UnknownLane {
        /// The heat.
        heat: u32,
        /// The lane.
        lane: u8,
    },
    /// A lane twice.
    #[error("Lane {0} is named twice. Name each lane once.")]
    LaneTwice(u8),
    /// An athlete whom the competition does not have.
    #[error("No athlete of the competition has bib {0}. Check the bib.")]
    UnknownAthlete(String),
    /// An athlete on two lanes.
    #[error(
        "Athlete {bib} would stand on lane {one} and on lane {other}. Say who is to stand on each of the two."
    )]
    StandsTwice {
        /// The athlete's bib.
        bib: String,
        /// One lane.
        one: u8,
        /// The other.
        other: u8,
    },
    /// A division without this work.
    #[error(
        "Athlete {bib} is in division {division}, for which workout \"{workout}\" has no amounts. Put in another athlete."
    )]
    NoWork {
        /// The athlete's bib.
        bib: String,
        /// The division's name.
        division: String,
        /// The workout's name.
        workout: String,
    },
    /// Nobody is left.
    #[error("Nobody would stand in heat {0}. Leave one athlete at least, or go on to another heat.")]
    Nobody(u32),
    /// Everybody stands there already.
    #[error("The lanes are set so already.")]
    SetAlready,
    /// The heat would be none.
    #[error("Heat {heat} cannot be run so: {says}.")]
    CannotRun {
        /// The heat.
        heat: u32,
        /// What the engine says.
        says: String,
    },
}

impl CannotSet {
    /// The same for programs.
    #[must_use]
    pub fn code(&self) -> ReasonCode {
        match self {
            Self::UnknownLane { .. } => ReasonCode::UnknownLane,
            Self::UnknownAthlete(_) => ReasonCode::UnknownAthlete,
            Self::StandsTwice { .. } => ReasonCode::StandsTwice,
            Self::LaneTwice(_)
            | Self::NoWork { .. }
            | Self::Nobody(_)
            | Self::SetAlready
            | Self::CannotRun { .. } => ReasonCode::OutOfRange,
        }
    }
}

/// The heat with the lanes that are asked for; the others stay as they are.
///
/// # Errors
/// See [`CannotSet`].
pub fn set(
    competition: &Competition,
    plan: &HeatPlan,
    asked: &[LaneAthlete],
    by: &str,
    reason: &str,
) -> Result<Setting, CannotSet> {
    let mut after = plan.clone();
    let mut named = Vec::with_capacity(asked.len());
    for LaneAthlete { lane, bib } in asked {
        let unknown = || CannotSet::UnknownLane { heat: plan.number, lane: *lane };
        let slot = after.lanes.iter_mut().find(|known| known.lane == *lane).ok_or_else(unknown)?;
        if named.contains(lane) {
            return Err(CannotSet::LaneTwice(*lane));
        }
        named.push(*lane);
        slot.athlete = match bib {
            Some(bib) => Some(index_of(competition, bib)?),
            None => None,
        };
    }
    check(competition, &after)?;
    if same(plan, &after) {
        return Err(CannotSet::SetAlready);
    }
    give_starts(plan, &mut after);
    let setup = competition.heat_setup(&after);
    if let Err(error) = Heat::new(setup.clone()) {
        return Err(CannotSet::CannotRun { heat: plan.number, says: error.to_string() });
    }
    let command = Command::SetLanes(SetLanes {
        setup,
        stays: stays(plan, &after),
        says: says(competition, plan, &after, by),
        reason: reason.to_owned(),
    });
    Ok(Setting { plan: after, command })
}

/// Athletes who stood in a heat as the competition has it and were taken out of it, in lane order, each with that lane.
pub fn scratched<'a>(
    competition: &'a Competition,
    plan: &'a HeatPlan,
) -> impl Iterator<Item = (u8, usize)> + 'a {
    let as_filed = competition.heat(plan.number).into_iter().flat_map(|filed| &filed.lanes);
    let left = move |athlete: &usize| !plan.lanes.iter().any(|lane| lane.athlete == Some(*athlete));
    as_filed.filter_map(move |lane| lane.athlete.filter(left).map(|athlete| (lane.lane, athlete)))
}

/// Athletes who could be put into a heat.
#[must_use]
pub fn found(competition: &Competition, plan: &HeatPlan, asked: &AskAthletes) -> Athletes {
    let out: Vec<usize> = scratched(competition, plan).map(|(_, athlete)| athlete).collect();
    let find = asked.find.trim().to_lowercase();
    let fits = |index: &usize| {
        let Some(athlete) = competition.athletes.get(*index) else { return false };
        let stands = plan.lanes.iter().any(|lane| lane.athlete == Some(*index));
        let text = [&athlete.bib, &athlete.name, &athlete.given, &athlete.family, &athlete.club];
        let named = text.iter().any(|text| text.to_lowercase().contains(&find));
        !stands && named && competition.has_work(plan.workout, athlete.division)
    };
    let others = (0..competition.athletes.len()).filter(|index| !out.contains(index));
    let mut fitting = out.iter().copied().chain(others).filter(fits);
    let mut athletes = Vec::new();
    for index in fitting.by_ref().take(MAX_FOUND) {
        let Some(Athlete { bib, name, division, .. }) = competition.athletes.get(index) else { continue };
        let division =
            competition.divisions.get(*division).map_or_else(String::new, |known| known.name.clone());
        let (bib, name, scratched) = (bib.clone(), name.clone(), out.contains(&index));
        athletes.push(AthleteFound { bib, name, division, scratched });
    }
    Athletes { id: asked.id, heat: plan.number, athletes, more: fitting.next().is_some() }
}

fn index_of(competition: &Competition, bib: &str) -> Result<usize, CannotSet> {
    let found = competition.athletes.iter().position(|athlete| athlete.bib == bib);
    found.ok_or_else(|| CannotSet::UnknownAthlete(bib.to_owned()))
}

/// Everybody stands once, somebody does, and all have work.
fn check(competition: &Competition, plan: &HeatPlan) -> Result<(), CannotSet> {
    let mut seen: Vec<(usize, u8)> = Vec::with_capacity(plan.lanes.len());
    for lane in &plan.lanes {
        let Some(index) = lane.athlete else { continue };
        let Some(athlete) = competition.athletes.get(index) else { continue };
        let bib = athlete.bib.clone();
        if let Some((_, one)) = seen.iter().find(|(known, _)| *known == index) {
            return Err(CannotSet::StandsTwice { bib, one: *one, other: lane.lane });
        }
        if !competition.has_work(plan.workout, athlete.division) {
            let division = competition.divisions.get(athlete.division).map(|known| known.name.clone());
            let workout = competition.workouts.get(plan.workout).map(|known| known.name.clone());
            let (division, workout) = (division.unwrap_or_default(), workout.unwrap_or_default());
            return Err(CannotSet::NoWork { bib, division, workout });
        }
        seen.push((index, lane.lane));
    }
    if seen.is_empty() { Err(CannotSet::Nobody(plan.number)) } else { Ok(()) }
}

fn same(before: &HeatPlan, after: &HeatPlan) -> bool {
    before.lanes.iter().zip(&after.lanes).all(|(before, after)| before.athlete == after.athlete)
}

/// Places of athletes who stay in the heat: before, and after.
fn places<'a>(before: &'a HeatPlan, after: &'a HeatPlan) -> impl Iterator<Item = (usize, usize)> + 'a {
    after.lanes.iter().enumerate().filter_map(|(target, lane)| {
        let athlete = lane.athlete?;
        let source = before.lanes.iter().position(|lane| lane.athlete == Some(athlete))?;
        Some((source, target))
    })
}

fn stays(before: &HeatPlan, after: &HeatPlan) -> Vec<(LaneNo, LaneNo)> {
    let lane = |plan: &HeatPlan, place: usize| LaneNo(plan.lanes[place].lane);
    places(before, after).map(|(source, target)| (lane(before, source), lane(after, target))).collect()
}

/// A start of their own goes along with athletes who stay. The starts that are left go to the other lanes: each keeps its
/// own if it can.
fn give_starts(before: &HeatPlan, after: &mut HeatPlan) {
    let staying: Vec<(usize, usize)> = places(before, after).collect();
    for (source, target) in &staying {
        after.lanes[*target].start = before.lanes[*source].start;
    }
    let is_left = |place: &usize| staying.iter().all(|(source, _)| source != place);
    let is_open = |place: &usize| staying.iter().all(|(_, target)| target != place);
    let (open, mut left): (Vec<usize>, Vec<usize>) = {
        let all = 0..before.lanes.len();
        (all.clone().filter(is_open).collect(), all.filter(is_left).collect())
    };
    let (keep, change): (Vec<usize>, Vec<usize>) = open.into_iter().partition(|place| left.contains(place));
    left.retain(|place| !keep.contains(place));
    for (target, source) in change.into_iter().zip(left) {
        after.lanes[target].start = before.lanes[source].start;
    }
}

/// What is another: `head judge: lane 3 has 104 (was empty), lane 5 is empty (was 101)`.
fn says(competition: &Competition, before: &HeatPlan, after: &HeatPlan, by: &str) -> String {
    let bib = |athlete: Option<usize>| {
        athlete.and_then(|index| competition.athletes.get(index)).map(|of| of.bib.as_str())
    };
    let changed =
        before.lanes.iter().zip(&after.lanes).filter(|(before, after)| before.athlete != after.athlete);
    let lines = changed.map(|(before, after)| {
        let stands = bib(after.athlete).map_or_else(|| "is empty".to_owned(), |bib| format!("has {bib}"));
        format!("lane {} {stands} (was {})", after.lane, bib(before.athlete).unwrap_or("empty"))
    });
    format!("{by}: {}", lines.collect::<Vec<_>>().join(", "))
}
