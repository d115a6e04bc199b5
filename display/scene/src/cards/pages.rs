//! Long lists by pages: how many rows a page has, which page it is, and when the next one comes. A pure function of the
//! room and the time.

use fivemark_wire::bounds::PAGE_MS;
use fivemark_wire::shows::Turn;

use super::{MAX_ROWS, Measures};

/// Shortest time for a page, milliseconds, where a step is too short for all of them at the usual pace.
const LEAST_PAGE_MS: i64 = 4_000;
/// Narrowest column of rows, units: beside the head of a strip, and under a head.
const COLUMN_UNITS: [f32; 2] = [600.0, 800.0];

/// One page of a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Page {
    /// Index of it.
    pub(super) index: usize,
    /// How many there are.
    pub(super) count: usize,
    /// Rows of a column.
    pub(super) rows: usize,
    /// Columns.
    pub(super) columns: usize,
    /// Feed time at which another page comes, milliseconds; none if none does before the step ends.
    pub(super) next_ms: Option<i64>,
}

impl Page {
    /// Indices of its rows in the list.
    pub(super) fn range(&self, list: usize) -> std::ops::Range<usize> {
        let most = self.rows * self.columns;
        (self.index * most).min(list)..((self.index + 1) * most).min(list)
    }
}

/// The page of a list that is shown now.
pub(super) fn page(m: &Measures, list: usize, turn: &Turn<'_>) -> Page {
    // Sizes of a screen in units: a few hundred at most.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = |units: f32, of: f32| ((units / of).floor().max(1.0) as usize).min(MAX_ROWS);
    let fits = whole(m.body.h / m.unit + 10.0, m.row_units);
    let most_columns =
        whole(m.body.w / m.unit + 40.0, COLUMN_UNITS[usize::from(!m.beside)]).min(MAX_ROWS / fits);
    let columns = list.div_ceil(fits).clamp(1, most_columns);
    let count = list.div_ceil(fits * columns).max(1);
    // Columns that all are on one page are of one length.
    let rows = if count == 1 { list.div_ceil(columns).max(1) } else { fits };
    let pages = i64::try_from(count).unwrap_or(i64::MAX);
    let page_ms =
        if turn.for_ms <= 0 { PAGE_MS } else { (turn.for_ms / pages).clamp(LEAST_PAGE_MS, PAGE_MS) };
    let nth = turn.within_ms / page_ms;
    // A step that is too short for all pages goes on with the rest when its turn comes again.
    let a_turn = if turn.for_ms <= 0 { pages } else { (turn.for_ms / page_ms).clamp(1, pages) };
    let (index, goes_on) = if turn.for_ms <= 0 {
        (nth % pages, pages > 1)
    } else {
        ((turn.round.saturating_mul(a_turn).saturating_add(nth.min(a_turn - 1))) % pages, nth + 1 < a_turn)
    };
    let next_ms = goes_on.then(|| turn.begun_ms.saturating_add((nth + 1).saturating_mul(page_ms)));
    Page { index: usize::try_from(index).unwrap_or(0), count, rows, columns, next_ms }
}
