//! The picture that screens are given: names, courses, and the present state of the heat on the floor, for each
//! audience. Put together here from the competition and the engine; kept current and sent by the hub.

use fivemark_engine::Heat;
use fivemark_engine::ids::LaneNo;
use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::shows::{NextHeat, Shows};
use fivemark_wire::view::{LaneEntry, Titles};
use unicode_segmentation::UnicodeSegmentation;

use crate::competition::{Athlete, Competition, HeatPlan};
use crate::convert;
use crate::roles::Audience;

/// A snapshot, with the entries that each audience may see.
#[derive(Clone, Debug)]
pub struct Picture {
    snapshot: Snapshot,
    staff: Vec<LaneEntry>,
    public: Vec<LaneEntry>,
}

impl Picture {
    /// The whole picture of a heat. Its number is set when it is published.
    #[must_use]
    pub fn of(competition: &Competition, plan: &HeatPlan, heat: &Heat, journal_ok: bool) -> Self {
        let divisions = competition.divisions_of(plan);
        let names = divisions.iter().filter_map(|index| competition.divisions.get(*index));
        let titles = Titles {
            event: competition.event.clone(),
            workout: competition
                .workouts
                .get(plan.workout)
                .map_or_else(String::new, |workout| workout.name.clone()),
            heat: plan.number,
            heat_name: plan.name.clone(),
            divisions: names.map(|division| division.name.clone()).collect(),
            heats: competition.heats.iter().map(|heat| heat.number).collect(),
        };
        let entries = |audience| entries(competition, plan, &divisions, audience);
        let lanes = plan.lanes.iter().filter_map(|lane| heat.lane(LaneNo(lane.lane)));
        let snapshot = Snapshot {
            number: 0,
            at_ms: 0,
            titles,
            heat: convert::heat_state(heat.state()),
            courses: heat.courses().iter().map(convert::course).collect(),
            entries: entries(Audience::Officials),
            lanes: lanes.map(convert::lane_count).collect(),
            order: heat.order().iter().copied().map(convert::order_row).collect(),
            journal_ok,
            initials: competition.initials,
            shows: Box::default(),
            next: None,
        };
        Self { snapshot, staff: entries(Audience::Staff), public: entries(Audience::Public) }
    }

    /// The picture with what screens are asked to show.
    #[must_use]
    pub fn showing(mut self, shows: Box<Shows>) -> Self {
        self.snapshot.shows = shows;
        self
    }

    /// The picture with who comes next, by full names.
    #[must_use]
    pub fn before(mut self, next: Option<NextHeat>) -> Self {
        self.snapshot.next = next.map(Box::new);
        self
    }

    /// Gives the picture its number.
    pub fn renumber(&mut self, number: u64) {
        self.snapshot.number = number;
    }

    /// Takes a delta in.
    pub fn apply(&mut self, delta: &Delta) {
        let snapshot = &mut self.snapshot;
        snapshot.number = delta.number;
        if let Some(heat) = delta.heat {
            snapshot.heat = heat;
        }
        for lane in &delta.lanes {
            if let Some(known) = snapshot.lanes.iter_mut().find(|known| known.lane == lane.lane) {
                known.clone_from(lane);
            }
        }
        for row in &delta.order {
            if let Some(known) = snapshot.order.iter_mut().find(|known| known.lane == row.lane) {
                *known = *row;
            }
        }
        if let Some(journal_ok) = delta.journal_ok {
            snapshot.journal_ok = journal_ok;
        }
        if let Some(shows) = &delta.shows {
            snapshot.shows.clone_from(shows);
        }
    }

    /// The snapshot for an audience, as of a moment of feed time.
    #[must_use]
    pub fn for_audience(&self, audience: Audience, at_ms: i64) -> Snapshot {
        let mut snapshot = self.snapshot.clone();
        snapshot.at_ms = at_ms;
        match audience {
            Audience::Officials => {}
            Audience::Staff | Audience::Judges => snapshot.entries.clone_from(&self.staff),
            Audience::Public | Audience::Crowd => snapshot.entries.clone_from(&self.public),
        }
        if !audience.sees_shows() {
            snapshot.shows = Box::default();
        }
        if !audience.sees_next() {
            snapshot.next = None;
        }
        snapshot
    }
}

fn entries(
    competition: &Competition,
    plan: &HeatPlan,
    divisions: &[usize],
    audience: Audience,
) -> Vec<LaneEntry> {
    plan.lanes
        .iter()
        .map(|lane| {
            let division = competition.floor_division(divisions, lane.athlete);
            let athlete = lane.athlete.and_then(|index| competition.athletes.get(index));
            let judge = if audience == Audience::Officials { lane.judge.clone() } else { String::new() };
            let names = athlete.map_or_else(Names::default, |athlete| Names::of(athlete, audience));
            let Names { bib, name, given, family, say, club, members } = names;
            LaneEntry {
                lane: lane.lane,
                course: division,
                division,
                bib,
                name,
                given,
                family,
                say,
                club,
                judge,
                start_ms: lane.start.0,
                members,
            }
        })
        .collect()
}

/// An athlete's names, as an audience may see them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Names {
    pub bib: String,
    pub name: String,
    pub given: String,
    pub family: String,
    pub say: String,
    pub club: String,
    pub members: Vec<String>,
}

impl Names {
    /// Those of an athlete: who is marked private is shown to the public by initials.
    #[must_use]
    pub fn of(athlete: &Athlete, audience: Audience) -> Self {
        let (bib, club) = (athlete.bib.clone(), athlete.club.clone());
        if athlete.private && matches!(audience, Audience::Public | Audience::Crowd) {
            let members = athlete.members.iter().map(|member| initials(member)).collect();
            return Self { bib, club, members, name: initials(&athlete.name), ..Self::default() };
        }
        Self {
            bib,
            name: athlete.name.clone(),
            given: athlete.given.clone(),
            family: athlete.family.clone(),
            say: athlete.say.clone(),
            club,
            members: athlete.members.clone(),
        }
    }
}

/// Initials of a name: the first letter of each word, with its marks.
fn initials(name: &str) -> String {
    let letters = name.split_whitespace().filter_map(|word| word.graphemes(true).next());
    let dotted: Vec<String> = letters.map(|letter| format!("{letter}.")).collect();
    dotted.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn initials_are_whole_letters_of_each_word() {
        for (name, expected) in [
            ("Ilva Brandt-Osei", "I. B."),
            ("E\u{301}lodie  Marchetti", "E\u{301}. M."),
            ("김하늘", "김."),
            ("", ""),
        ] {
            assert_eq!(initials(name), expected);
        }
    }
}
