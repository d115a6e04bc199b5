//! What a heat's time is called in its header: a cap, or a window and of what.

use fivemark_wire::view::{Course, Scoring};

/// What a heat's time limits, as its header says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Limit {
    /// The work has an end, and is stopped.
    #[default]
    Cap,
    /// As many rounds as possible.
    Rounds,
    /// Attempts or holds.
    Tries,
}

impl Limit {
    /// Of the courses on a floor, which are scored alike.
    pub(crate) fn of(courses: &[Course]) -> Limit {
        match courses.first().map(|course| course.scoring) {
            None | Some(Scoring::ForTime) => Limit::Cap,
            Some(scoring) if scoring.judges_attempts() => Limit::Tries,
            Some(_) => Limit::Rounds,
        }
    }
}
