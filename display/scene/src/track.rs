//! A course as a track shows it: cells for its parts, the closing blocks, and where a number of units lies.
//! Lengths are shares: the track's own stretch runs from 0 to 1, and block k from 1 + k to 2 + k.

use std::ops::Range;

use fivemark_wire::view::{Course, LaneCount, Part, Scoring};

use crate::tries::MOST_MARKS;

/// A stretch of a track between two gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Left end, 0 to 1.
    pub(crate) start: f32,
    /// Right end, 0 to 1.
    pub(crate) end: f32,
    /// The part that it shows, from the plan's first; none if it shows several.
    pub(crate) part: Option<usize>,
}

/// A course as drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct TrackPlan {
    /// Its cells from left to right.
    pub(crate) cells: Vec<Cell>,
    /// Index in the course of its first part.
    pub(crate) first_part: usize,
    /// Number of closing blocks.
    pub(crate) blocks: u8,
    /// Units of the whole course.
    units: u32,
    closing_step: u32,
    /// It is done again and again, or once before such a round.
    open: bool,
    /// Its cells are attempts or holds.
    tried: bool,
    /// For each part: first unit, amount, and start and length as shares of the track.
    parts: Vec<PlanPart>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct PlanPart {
    first_unit: u32,
    amount: u32,
    start: f32,
    len: f32,
    /// Only tapped when it is done.
    in_one: bool,
}

/// The tracks of a course: one, or for as many rounds as possible one for a buy-in and one for a round.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct CoursePlan {
    pub(crate) buy_in: Option<TrackPlan>,
    pub(crate) main: TrackPlan,
}

impl CoursePlan {
    /// Lays a course out in tracks of at most `most_cells` cells.
    pub(crate) fn new(course: &Course, most_cells: usize) -> CoursePlan {
        if course.scoring == Scoring::ForTime {
            return CoursePlan { buy_in: None, main: TrackPlan::new(course, most_cells) };
        }
        if course.scoring.judges_attempts() {
            return CoursePlan { buy_in: None, main: TrackPlan::tried(course, most_cells) };
        }
        let first = course.parts.partition_point(|part| part.round == 0);
        let buy_in = (first > 0).then(|| TrackPlan::open(course, 0..first, most_cells));
        CoursePlan { buy_in, main: TrackPlan::open(course, first..course.parts.len(), most_cells) }
    }

    /// The track that a lane is on.
    pub(crate) fn of(&self, count: &LaneCount) -> &TrackPlan {
        self.buy_in.as_ref().filter(|_| count.round == 0).unwrap_or(&self.main)
    }

    /// Whether it is done in rounds without end.
    pub(crate) fn is_open(&self) -> bool {
        self.main.open
    }
}

impl TrackPlan {
    /// Lays a course out in at most `most_cells` cells: one for each part if they are so few, else round by
    /// round, else several rounds together.
    pub(crate) fn new(course: &Course, most_cells: usize) -> TrackPlan {
        let closing_units = if course.closing_blocks == 0 {
            0
        } else {
            u32::from(course.closing_blocks).saturating_mul(course.closing_step)
        };
        let whole = closing_start_ppm(course, closing_units);
        // Where all of the work lies in the blocks, no track is left.
        let share = |at: u32| if whole >= 1.0 { ppm(at) / whole } else { 1.0 };
        let parts = plan_parts(&course.parts, share);
        TrackPlan {
            cells: cells(&course.parts, &parts, most_cells.max(1)),
            first_part: 0,
            blocks: course.closing_blocks.min(5),
            units: course.units,
            closing_step: course.closing_step.max(1),
            open: false,
            tried: false,
            parts,
        }
    }

    /// Lays out some parts of an open-ended course, which have the whole track.
    fn open(course: &Course, range: Range<usize>, most_cells: usize) -> TrackPlan {
        let shown = &course.parts[range.clone()];
        let parts = plan_parts(shown, |at| ppm(at) / 1_000_000.0);
        TrackPlan {
            cells: cells(shown, &parts, most_cells.max(1)),
            first_part: range.start,
            blocks: 0,
            units: course.units,
            closing_step: 1,
            open: true,
            tried: false,
            parts,
        }
    }

    /// A cell for each attempt or hold that an athlete has, as far as that many are shown.
    fn tried(course: &Course, most_cells: usize) -> TrackPlan {
        let most = most_cells.clamp(1, MOST_MARKS);
        let slots = course.attempts.map_or(most, |attempts| usize::from(attempts).clamp(1, most));
        let share = |slot: usize| ratio(u32::try_from(slot).unwrap_or(0), u32::try_from(slots).unwrap_or(1));
        let cell = |slot| Cell { start: share(slot), end: share(slot + 1), part: None };
        TrackPlan {
            cells: (0..slots).map(cell).collect(),
            units: u32::try_from(slots).unwrap_or(1),
            closing_step: 1,
            open: true,
            tried: true,
            ..TrackPlan::default()
        }
    }

    /// Where a lane stands.
    pub(crate) fn head_of(&self, count: &LaneCount) -> f32 {
        if self.tried {
            return ratio(count.done.min(self.units), self.units);
        }
        if !self.open {
            return self.head(count.done);
        }
        match self.part_of(count) {
            Some(part) => part.head(count.part_done),
            None => 0.0,
        }
    }

    fn part_of(&self, count: &LaneCount) -> Option<&PlanPart> {
        self.parts.get(usize::try_from(count.part).ok()?.checked_sub(self.first_part)?)
    }

    /// Where this many units of work lie: 0 to 1 on the track, then one for each block that is full.
    pub(crate) fn head(&self, done: u32) -> f32 {
        let left = self.units.saturating_sub(done);
        let closing = u32::from(self.blocks).saturating_mul(self.closing_step);
        if self.blocks > 0 && left <= closing {
            let full = (closing - left) / self.closing_step;
            return 1.0 + small(full);
        }
        let at = self.parts.partition_point(|part| part.first_unit.saturating_add(part.amount) <= done);
        match self.parts.get(at) {
            Some(part) => part.head(done.saturating_sub(part.first_unit)),
            None => 1.0,
        }
    }

    /// The stretch to hatch, if the lane works on a part whose progress nobody can know: only its end is called.
    pub(crate) fn hidden_stretch(&self, count: &LaneCount) -> Option<(f32, f32)> {
        let part = self.part_of(count)?;
        part.in_one.then_some((part.start, (part.start + part.len).min(1.0)))
    }
}

impl PlanPart {
    /// Where this many of its units lie.
    fn head(&self, done: u32) -> f32 {
        (self.start + self.len * ratio(done, self.amount)).clamp(0.0, 1.0)
    }
}

/// Parts with where they lie; `share` turns millionths of the work into a share of the track.
fn plan_parts(parts: &[Part], share: impl Fn(u32) -> f32) -> Vec<PlanPart> {
    let mut first_unit = 0u32;
    let place = |part: &Part| {
        let start = share(part.track_start_ppm);
        let end = share(part.track_start_ppm.saturating_add(part.track_len_ppm));
        let plan = PlanPart {
            first_unit,
            amount: part.amount.max(1),
            start: start.min(1.0),
            len: end - start,
            in_one: part.amount > 1 && part.step >= part.amount,
        };
        first_unit = first_unit.saturating_add(part.amount);
        plan
    };
    parts.iter().map(place).collect()
}

/// Where the closing blocks begin, millionths of the whole work; all of it if there are none.
fn closing_start_ppm(course: &Course, closing_units: u32) -> f32 {
    match course.parts.last() {
        Some(last) if closing_units > 0 => {
            let before = ratio(last.amount.saturating_sub(closing_units), last.amount.max(1));
            ppm(last.track_start_ppm) + ppm(last.track_len_ppm) * before
        }
        _ => 1_000_000.0,
    }
}

fn cells(of: &[Part], parts: &[PlanPart], most: usize) -> Vec<Cell> {
    let rounds_differ = of.first().map(|part| part.round) != of.last().map(|part| part.round);
    let by_round = parts.len() > most && rounds_differ;
    let mut cells: Vec<Cell> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let end = (part.start + part.len).min(1.0);
        // The last part can lie wholly in the closing blocks.
        if end - part.start < 1e-4 {
            continue;
        }
        let same_round = index > 0 && of[index].round == of[index - 1].round;
        match cells.last_mut() {
            Some(cell) if by_round && same_round => {
                cell.end = end;
                cell.part = None;
            }
            _ => cells.push(Cell { start: part.start, end, part: Some(index) }),
        }
    }
    if cells.len() <= most {
        return cells;
    }
    cells
        .chunks(cells.len().div_ceil(most))
        .filter_map(|chunk| Some(Cell { start: chunk.first()?.start, end: chunk.last()?.end, part: None }))
        .collect()
}

#[allow(clippy::cast_precision_loss)] // a screen has fewer pixels than a float has steps
fn ppm(value: u32) -> f32 {
    value as f32
}

#[allow(clippy::cast_possible_truncation)] // a share
fn ratio(part: u32, whole: u32) -> f32 {
    (f64::from(part) / f64::from(whole.max(1))) as f32
}

#[allow(clippy::cast_precision_loss)] // at most five
fn small(value: u32) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use fivemark_wire::view::{Status, Unit};

    fn near(found: f32, wanted: f32) {
        assert!((found - wanted).abs() < 1e-4, "{found} is not {wanted}");
    }

    #[test]
    fn the_track_ends_where_the_blocks_begin() {
        // 10 and 10 repetitions of one weight: 15 of 20 lie on the track, 5 in the blocks.
        let course = sample::course(&[(10, Unit::Rep, 1, 1_000), (10, Unit::Rep, 1, 1_000)], 5);
        let plan = TrackPlan::new(&course, 14);
        near(plan.head(0), 0.0);
        near(plan.head(6), 6.0 / 15.0);
        near(plan.head(14), 14.0 / 15.0);
        for (done, head) in [(15, 1.0), (16, 2.0), (19, 5.0), (20, 6.0), (99, 6.0)] {
            near(plan.head(done), head);
        }
        assert_eq!(plan.cells.len(), 2);
        near(plan.cells[0].end, 10.0 / 15.0);
        near(plan.cells[1].end, 1.0);
    }

    #[test]
    fn a_last_part_that_is_all_blocks_has_no_cell() {
        let course = sample::course(&[(10, Unit::Rep, 1, 1_000), (3, Unit::Rep, 1, 1_000)], 3);
        let plan = TrackPlan::new(&course, 14);
        assert_eq!((plan.cells.len(), plan.blocks), (1, 3));
        near(plan.head(9), 0.9);
        near(plan.head(10), 1.0);
        near(plan.head(12), 3.0);
    }

    #[test]
    fn a_course_that_is_all_blocks_has_no_track() {
        let plan = TrackPlan::new(&sample::course(&[(4, Unit::Rep, 1, 1_000)], 4), 14);
        assert_eq!((plan.cells.len(), plan.blocks), (0, 4));
        near(plan.head(0), 1.0);
        near(plan.head(4), 5.0);
    }

    #[test]
    fn without_blocks_the_track_takes_all() {
        let course = sample::course(&[(10, Unit::Rep, 1, 1_000), (30, Unit::Rep, 1, 1_000)], 0);
        let plan = TrackPlan::new(&course, 14);
        assert_eq!(plan.blocks, 0);
        near(plan.head(20), 0.5);
        near(plan.head(40), 1.0);
    }

    #[test]
    fn blocks_may_stand_for_several_units_and_fill_whole() {
        let mut course = sample::course(&[(100, Unit::Metre, 10, 500)], 5);
        course.closing_step = 10;
        let plan = TrackPlan::new(&course, 14);
        for (done, head) in [(25, 0.5), (50, 1.0), (59, 1.0), (60, 2.0), (100, 6.0)] {
            near(plan.head(done), head);
        }
    }

    #[test]
    fn work_done_never_moves_the_head_back() {
        for seed in 0..40 {
            let (view, _) = sample::random(seed);
            let course = &view.snapshot.courses[0];
            for most in [1, 6, 24] {
                let plan = TrackPlan::new(course, most);
                assert!(plan.cells.len() <= most);
                let ends_meet = plan.cells.windows(2).all(|pair| (pair[0].end - pair[1].start).abs() < 1e-3);
                assert!(ends_meet, "{:?}", plan.cells);
                let mut last = -1.0;
                for done in 0..=course.units {
                    let head = plan.head(done);
                    assert!(head >= last && head <= 6.0, "seed {seed}: {head} after {last}");
                    last = head;
                }
                near(last, 1.0 + f32::from(plan.blocks));
            }
        }
    }

    #[test]
    fn what_nobody_can_measure_is_known_as_such() {
        let course = sample::course(sample::PARTS, 5);
        let plan = TrackPlan::new(&course, 14);
        let hidden = |done| plan.hidden_stretch(&sample::count(&course, 1, done, Status::Racing));
        assert_eq!(hidden(20), None, "repetitions are called one by one");
        let (start, end) = hidden(21).unwrap();
        near(start, plan.head(21));
        near(end, plan.head(421));
        assert_eq!(hidden(421), None);
    }

    #[test]
    fn a_course_without_anything_is_drawn_as_nothing() {
        let mut course = sample::course(sample::PARTS, 5);
        course.parts.clear();
        course.units = 0;
        let plan = TrackPlan::new(&course, 14);
        assert!(plan.cells.is_empty());
        assert!(plan.head(0).is_finite() && plan.head(u32::MAX).is_finite());
    }
}
