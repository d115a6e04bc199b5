//! A course as a track shows it: cells for its parts, the closing blocks, and where a number of units lies.
//! Lengths are shares: the track's own stretch runs from 0 to 1, and block k from 1 + k to 2 + k.

use fivemark_wire::view::{Course, LaneCount};

/// A stretch of a track between two gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Left end, 0 to 1.
    pub(crate) start: f32,
    /// Right end, 0 to 1.
    pub(crate) end: f32,
    /// The part that it shows; none if it shows several.
    pub(crate) part: Option<usize>,
}

/// A course as drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct TrackPlan {
    /// Its cells from left to right.
    pub(crate) cells: Vec<Cell>,
    /// Number of closing blocks.
    pub(crate) blocks: u8,
    /// Units of the whole course.
    units: u32,
    closing_step: u32,
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

impl TrackPlan {
    /// Lays a course out in at most `most_cells` cells: one for each part if they are so few, else round by
    /// round, else several rounds together.
    pub(crate) fn new(course: &Course, most_cells: usize) -> TrackPlan {
        let closing_units = if course.closing_blocks == 0 {
            0
        } else {
            u32::from(course.closing_blocks) * course.closing_step
        };
        let whole = closing_start_ppm(course, closing_units).max(1.0);
        let mut first_unit = 0u32;
        let mut parts = Vec::with_capacity(course.parts.len());
        for part in &course.parts {
            let start = ppm(part.track_start_ppm) / whole;
            let end = ppm(part.track_start_ppm.saturating_add(part.track_len_ppm)) / whole;
            parts.push(PlanPart {
                first_unit,
                amount: part.amount.max(1),
                start: start.min(1.0),
                len: end - start,
                in_one: part.amount > 1 && part.step >= part.amount,
            });
            first_unit = first_unit.saturating_add(part.amount);
        }
        TrackPlan {
            cells: cells(course, &parts, most_cells.max(1)),
            blocks: course.closing_blocks.min(5),
            units: course.units,
            closing_step: course.closing_step.max(1),
            parts,
        }
    }

    /// Where this many units of work lie: 0 to 1 on the track, then one for each block that is full.
    pub(crate) fn head(&self, done: u32) -> f32 {
        let left = self.units.saturating_sub(done);
        let closing = u32::from(self.blocks) * self.closing_step;
        if self.blocks > 0 && left <= closing {
            let full = (closing - left) / self.closing_step;
            return 1.0 + small(full);
        }
        let at = self.parts.partition_point(|part| part.first_unit.saturating_add(part.amount) <= done);
        match self.parts.get(at) {
            Some(part) => {
                let share = ratio(done.saturating_sub(part.first_unit), part.amount);
                (part.start + part.len * share).clamp(0.0, 1.0)
            }
            None => 1.0,
        }
    }

    /// The stretch to hatch, if the lane works on a part whose progress nobody can know: only its end is called.
    pub(crate) fn hidden_stretch(&self, count: &LaneCount) -> Option<(f32, f32)> {
        let part = self.parts.get(usize::try_from(count.part).ok()?)?;
        part.in_one.then_some((part.start, (part.start + part.len).min(1.0)))
    }
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

fn cells(course: &Course, parts: &[PlanPart], most: usize) -> Vec<Cell> {
    let by_round = parts.len() > most;
    let mut cells: Vec<Cell> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let end = (part.start + part.len).min(1.0);
        // The last part can lie wholly in the closing blocks.
        if end - part.start < 1e-4 {
            continue;
        }
        let same_round = index > 0 && course.parts[index].round == course.parts[index - 1].round;
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
