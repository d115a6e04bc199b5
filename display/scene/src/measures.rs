//! Where things stand on a board and how courses are laid out, made anew only when something that they rest on has
//! changed: the lanes, their names, the courses, the cap.

use fivemark_themes::Form;
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Course, LaneEntry, Scoring};

use crate::layouts::{Content, Layout, result};
use crate::text::{Fonts, Style};
use crate::track::CoursePlan;
use crate::words::{self, Limit, Words};

/// Everything that is worked out once for a heat.
#[derive(Debug)]
pub(crate) struct Measures {
    size: [u32; 2],
    pub(crate) layout: Layout,
    plans: Vec<CoursePlan>,
    /// For a course that nobody knows.
    nothing: CoursePlan,
    /// What the heat's time limits.
    pub(crate) limit: Limit,
    /// Short forms of the divisions; none if the heat has but one.
    pub(crate) short_divisions: Vec<String>,
    made_for: Option<MadeFor>,
}

impl Measures {
    /// Measures before anything is known.
    pub(crate) fn new(size: [u32; 2], form: &Form) -> Measures {
        Measures {
            size,
            layout: Layout::new(size, Content::default(), form),
            plans: Vec::new(),
            nothing: CoursePlan::default(),
            limit: Limit::default(),
            short_divisions: Vec::new(),
            made_for: None,
        }
    }

    /// The tracks of a lane.
    pub(crate) fn plan(&self, entry: &LaneEntry) -> &CoursePlan {
        self.plans.get(usize::from(entry.course)).unwrap_or(&self.nothing)
    }

    /// Makes them anew if they are not made for this; `shown` lanes are shown.
    pub(crate) fn follow(
        &mut self,
        (fonts, words): (&mut Fonts, &Words),
        snapshot: &Snapshot,
        shown: usize,
        form: &Form,
    ) {
        if self.made_for.as_ref().is_some_and(|made_for| made_for.is_of(snapshot, shown)) {
            return;
        }
        self.limit = Limit::of(&snapshot.courses);
        let first = snapshot.entries.first().map_or(0, |entry| entry.division);
        let mixed = snapshot.entries.iter().take(shown).any(|entry| entry.division != first);
        let content = Content {
            lanes: shown,
            result_width: widest_result((fonts, words), snapshot),
            count_width: widest_count((fonts, words), snapshot, self.limit),
            name_width: widest_name(fonts, snapshot, shown),
            rounds: self.limit == Limit::Rounds,
            divisions: mixed,
            members: snapshot.entries.iter().take(shown).any(|entry| !entry.members.is_empty()),
        };
        self.layout = Layout::new(self.size, content, form);
        let most_cells = self.layout.most_cells();
        self.plans = snapshot.courses.iter().map(|course| CoursePlan::new(course, most_cells)).collect();
        let short = if mixed { words::short_divisions(&snapshot.titles.divisions) } else { Vec::new() };
        self.short_divisions = short;
        self.made_for = Some(MadeFor::of(snapshot, shown));
    }
}

/// What measures rest on.
#[derive(Clone, Debug, PartialEq)]
struct MadeFor {
    cap_ms: i64,
    resolution_ms: u32,
    courses: Vec<Course>,
    divisions: Vec<String>,
    /// Division, own start, name and number of members of each lane that is shown.
    lanes: Vec<(u8, i64, String, usize)>,
}

impl MadeFor {
    fn is_of(&self, snapshot: &Snapshot, shown: usize) -> bool {
        let heat = &snapshot.heat;
        let entries = snapshot.entries.iter().take(shown);
        (self.cap_ms, self.resolution_ms) == (heat.cap_ms, heat.resolution_ms)
            && self.courses == snapshot.courses
            && self.divisions == snapshot.titles.divisions
            && self.lanes.len() == shown
            && self.lanes.iter().zip(entries).all(|(of, entry)| {
                (of.0, of.1, of.3) == (entry.division, entry.start_ms, entry.members.len())
                    && of.2 == entry.name
            })
    }

    fn of(snapshot: &Snapshot, shown: usize) -> MadeFor {
        let heat = &snapshot.heat;
        let entries = snapshot.entries.iter().take(shown);
        MadeFor {
            cap_ms: heat.cap_ms,
            resolution_ms: heat.resolution_ms,
            courses: snapshot.courses.clone(),
            divisions: snapshot.titles.divisions.clone(),
            lanes: entries
                .map(|entry| (entry.division, entry.start_ms, entry.name.clone(), entry.members.len()))
                .collect(),
        }
    }
}

/// Width of the widest count, result or start, in heights of its figures.
fn widest_result((fonts, words): (&mut Fonts, &Words), snapshot: &Snapshot) -> f32 {
    let score_units = snapshot.courses.iter().map(|course| course.score_units).max().unwrap_or(0);
    let heat = &snapshot.heat;
    let rounds = snapshot.courses.iter().all(|course| course.scoring == Scoring::AmrapRounds);
    let width = if let Some(width) = widest_tried((fonts, words), snapshot) {
        width
    } else if rounds && !snapshot.courses.is_empty() {
        result::rounds_width(fonts, score_units)
    } else {
        result::width((fonts, words), heat.cap_ms, heat.resolution_ms, score_units)
    };
    let last_start_ms = snapshot.entries.iter().map(|entry| entry.start_ms).max().filter(|ms| *ms > 0);
    width.max(last_start_ms.map_or(0.0, |ms| result::start_width((fonts, words), ms)))
}

/// Width of the widest best that is tried for: a load in its unit, or a hold of the whole window; none where units are
/// counted.
fn widest_tried((fonts, words): (&mut Fonts, &Words), snapshot: &Snapshot) -> Option<f32> {
    let heat = &snapshot.heat;
    let course = snapshot.courses.first().filter(|course| course.scoring.judges_attempts())?;
    Some(match course.load_unit {
        Some(unit) => result::load_width(fonts, unit),
        None => result::width((fonts, words), heat.cap_ms, heat.resolution_ms, 1),
    })
}

/// Width of the widest count, in heights of its figures: three figures, or as many as all of the work has.
fn widest_count((fonts, words): (&mut Fonts, &Words), snapshot: &Snapshot, limit: Limit) -> f32 {
    const CAP: f32 = 100.0;
    if let Some(width) = widest_tried((fonts, words), snapshot) {
        return width;
    }
    let units = snapshot.courses.iter().map(|course| course.score_units).max().unwrap_or(0);
    // Rounds without end: one figure more than a round has.
    let figures = units.max(1).ilog10() + 1 + u32::from(limit == Limit::Rounds);
    #[allow(clippy::cast_precision_loss)] // at most six
    let figures = figures.clamp(3, 6) as f32;
    fonts.digit_width(Style::Figures, CAP) * figures / CAP
}

/// Width of the widest name, in heights of its capitals.
fn widest_name(fonts: &mut Fonts, snapshot: &Snapshot, shown: usize) -> f32 {
    const CAP: f32 = 40.0;
    let names = snapshot.entries.iter().take(shown);
    names.map(|entry| fonts.shaped(&entry.name, Style::Names, CAP).width / CAP).fold(0.0, f32::max)
}
