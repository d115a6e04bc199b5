//! Attempts with a declared load, and holds, as screens show them: what each mark on the track is, the best load or the
//! running hold in place of a count, and gaps in what the workout scores.

use std::fmt::Write as _;
use std::rc::Rc;

use fivemark_wire::tries::{LoadUnit, write_load};
use fivemark_wire::view::{Course, LaneCount, Scoring};

use crate::clock;
use crate::draw::Segment;

/// The most attempts that a track shows: as many as the feed tells one by one.
pub(crate) const MOST_MARKS: usize = 12;

/// From here on a gap between holds has a colon, milliseconds.
const MINUTE_MS: u32 = 60_000;

/// What a lane tries, and the heat's time by which a hold under way is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Trying {
    /// Unit of loads; none where holds are timed.
    unit: Option<LoadUnit>,
    /// Heat time, milliseconds.
    elapsed_ms: i64,
    resolution_ms: u32,
}

/// A mark on the track: one attempt, or one hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mark {
    /// Still to come.
    Open,
    Good,
    Failed,
    /// A hold that is under way.
    UnderWay,
}

/// Whether a hold is under way on a lane.
pub(crate) fn is_holding(count: &LaneCount) -> bool {
    count.tries.as_ref().is_some_and(|tries| tries.holding_ms.is_some())
}

impl Trying {
    /// Of a course, if attempts or holds are judged on it; `elapsed_ms` is heat time.
    pub(crate) fn of(course: Option<&Course>, elapsed_ms: i64, resolution_ms: u32) -> Option<Trying> {
        let course = course.filter(|course| course.scoring.judges_attempts())?;
        let lifts = course.scoring == Scoring::HeaviestLift;
        let unit = lifts.then(|| course.load_unit.unwrap_or(LoadUnit::Kilogram));
        Some(Trying { unit, elapsed_ms, resolution_ms })
    }

    /// What one of `slots` marks on a lane's track is: the latest ones, where there were more.
    pub(crate) fn mark(self, count: &LaneCount, slot: usize, slots: usize) -> Mark {
        let done = usize::try_from(count.done).unwrap_or(usize::MAX);
        let tries = count.tries.as_ref();
        if self.unit.is_none() {
            let number = done.saturating_sub(slots).saturating_add(slot).saturating_add(1);
            return match number {
                number if number == done && is_holding(count) => Mark::UnderWay,
                number if number <= done => Mark::Good,
                _ => Mark::Open,
            };
        }
        let attempts = tries.map_or(&[][..], |tries| &tries.attempts);
        match attempts.get(attempts.len().saturating_sub(slots) + slot) {
            Some(attempt) if attempt.good => Mark::Good,
            Some(_) => Mark::Failed,
            None => Mark::Open,
        }
    }

    /// Writes what stands in place of a count: the hold under way, or the best: `142.5 kg`, `1:23.4`. Nothing where there
    /// is none yet.
    pub(crate) fn write_count(self, out: &mut String, count: &LaneCount, mark: char) {
        out.clear();
        let began = count.tries.as_ref().and_then(|tries| tries.holding_ms);
        match (self.unit, began) {
            (None, Some(began)) => {
                clock::write_tenths(out, self.elapsed_ms.saturating_sub(began).max(0) / 100, mark);
            }
            _ if count.score == 0 => {}
            _ => self.write_score(out, count.score, mark),
        }
    }

    /// Writes the load that is declared for the next attempt; whether there is one.
    pub(crate) fn write_declared(self, out: &mut String, count: &LaneCount, mark: char) -> bool {
        out.clear();
        let declared = count.tries.as_ref().and_then(|tries| tries.declared_g);
        let (Some(unit), Some(load_g)) = (self.unit, declared) else { return false };
        write_loaded(out, load_g, unit, mark);
        true
    }

    /// Writes how far behind a lane is, without a sign: `2.5 kg`, `7.4 s`.
    pub(crate) fn write_gap(self, out: &mut String, gap: u32, mark: char) {
        self.write_figures(out, gap, mark);
        let sign = self.unit.map_or("s", LoadUnit::symbol);
        if self.unit.is_some() || gap < MINUTE_MS {
            out.push(' ');
            out.push_str(sign);
        }
    }

    /// The same without its unit, where that stands beside it: `2.5`, `7.4`.
    pub(crate) fn write_figures(self, out: &mut String, gap: u32, mark: char) {
        match self.unit {
            Some(unit) => write_load(out, gap, unit, mark),
            None if gap >= MINUTE_MS => clock::write_result(out, gap.into(), self.resolution_ms, mark),
            // To the tenth, as gaps are.
            None => {
                let _ = write!(out, "{}{mark}{}", gap / 1_000, gap % 1_000 / 100);
            }
        }
    }

    fn write_score(self, out: &mut String, score: u32, mark: char) {
        match self.unit {
            Some(unit) => write_loaded(out, score, unit, mark),
            None => clock::write_result(out, score.into(), self.resolution_ms, mark),
        }
    }
}

fn write_loaded(out: &mut String, load_g: u32, unit: LoadUnit, mark: char) {
    write_load(out, load_g, unit, mark);
    out.push(' ');
    out.push_str(unit.symbol());
}

/// A cross in a square of one by one: what failed is told by its shape.
pub(crate) fn cross_outline() -> Rc<Vec<Segment>> {
    const THIN: f32 = 0.14;
    let corners = [
        [0.5, 0.5 - THIN],
        [1.0 - THIN, 0.0],
        [1.0, THIN],
        [0.5 + THIN, 0.5],
        [1.0, 1.0 - THIN],
        [1.0 - THIN, 1.0],
        [0.5, 0.5 + THIN],
        [THIN, 1.0],
        [0.0, 1.0 - THIN],
        [0.5 - THIN, 0.5],
        [0.0, THIN],
        [THIN, 0.0],
    ];
    let mut outline = vec![Segment::MoveTo(corners[0])];
    outline.extend(corners[1..].iter().map(|corner| Segment::LineTo(*corner)));
    outline.push(Segment::Close);
    Rc::new(outline)
}
