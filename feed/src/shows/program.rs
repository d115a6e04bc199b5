//! From the record, what was asked and what has been on the floor to what screens are told: a pure function, which
//! reads no clock.

use fivemark_wire::bounds::PAGE_MS;
use fivemark_wire::show_commands::{CardAsked, StepAsked};
use fivemark_wire::shows::{Card, OverlayShows, Program, Shows, Step};

use super::record::Record;
use super::{Asked, Board, Phase, cards};

/// Before a heat: how long its lanes are shown, milliseconds.
const NEXT_MS: i64 = 12_000;
/// And its board in between.
const BOARD_MS: i64 = 8_000;
/// After a heat: how long its board still stands.
const AFTER_MS: i64 = 20_000;
/// How long the event's card is shown.
const EVENT_MS: i64 = 8_000;
/// Rows that a page of a board is reckoned with; a screen with less room turns its pages sooner.
const ROWS_A_PAGE: usize = 10;
/// Most pages that one step of a running order that follows the heats is given; a longer list goes on at the next
/// round.
const MAX_PAGES: usize = 8;
/// Most steps that screens are told: more than an hour of cards.
const MAX_SHOWN: usize = 64;
/// Most rows on all cards together, so that a program stays under a megabyte: four full standings.
const MAX_ROWS: usize = 1_600;

/// What screens are told.
#[must_use]
pub fn shows(record: &Record<'_>, asked: &Asked) -> Shows {
    let duel = asked.duel.filter(|(heat, _)| *heat == record.on_floor()).map(|(_, duel)| duel);
    let duel = duel.filter(|duel| record.stands(duel.left) && record.stands(duel.right));
    Shows { board: board(record, &asked.board), overlay: OverlayShows { duel, ..asked.overlay } }
}

fn board(record: &Record<'_>, asked: &Board) -> Program {
    let floor = record.floor;
    let (since_ms, again, steps) = match (asked, floor.phase) {
        (Board::Heat, _) => return Program::default(),
        // A heat that begins takes the board over, whatever was asked.
        (_, Phase::OnFloor) => return Program { since_ms: floor.since_ms, ..Program::default() },
        (Board::Follow, Phase::Ready) => (floor.since_ms, true, before(record)),
        (Board::Follow, Phase::Ended | Phase::Cancelled) => (floor.since_ms, true, after(record)),
        (Board::Own { since_ms, again, steps }, _) => {
            let steps = steps.iter().flat_map(|step| own(record, step, *since_ms)).collect();
            (*since_ms, *again, steps)
        }
    };
    let mut steps: Vec<Step> = steps;
    steps.truncate(MAX_SHOWN);
    let mut left = MAX_ROWS;
    steps.iter_mut().for_each(|step| cut(&mut step.card, &mut left));
    if steps.is_empty() {
        steps.push(Step { for_ms: 0, card: cards::event(record.competition) });
    }
    Program { since_ms, again, steps }
}

/// While a heat is to come: its lanes and its board in turn.
fn before(record: &Record<'_>) -> Vec<Step> {
    let lanes = cards::next_heat(record, record.on_floor(), None).map(|card| Step { for_ms: NEXT_MS, card });
    lanes.into_iter().chain([Step { for_ms: BOARD_MS, card: Card::Heat }]).collect()
}

/// After a heat: its board for a while, its results, its workout's standings, who comes next, the event.
fn after(record: &Record<'_>) -> Vec<Step> {
    let mut steps = vec![Step { for_ms: AFTER_MS, card: Card::Heat }];
    let paged = |card: Card, rows: usize| Step { for_ms: pages_ms(rows), card };
    let heat = record.on_floor();
    if let Some(card) = cards::results(record, heat) {
        let rows = rows_of(&card);
        steps.push(paged(card, rows));
    }
    for card in standings(record, heat, None) {
        let rows = rows_of(&card);
        steps.push(paged(card, rows));
    }
    let next = record.next().and_then(|next| cards::next_heat(record, next, None));
    steps.extend(next.map(|card| Step { for_ms: NEXT_MS, card }));
    steps.push(Step { for_ms: EVENT_MS, card: cards::event(record.competition) });
    steps
}

/// A step of the floor operator's own: none if there is nothing yet for it to show, several for several divisions.
fn own(record: &Record<'_>, step: &StepAsked, since_ms: i64) -> Vec<Step> {
    let one = |card: Option<Card>| card.into_iter().collect::<Vec<_>>();
    let in_ms = |in_ms: &Option<i64>| in_ms.map(|in_ms| since_ms.saturating_add(in_ms));
    let cards = match &step.card {
        CardAsked::Heat => vec![Card::Heat],
        CardAsked::NextHeat { heat, in_ms: starts } => {
            let next = heat.or_else(|| record.next());
            one(next.and_then(|next| cards::next_heat(record, next, in_ms(starts))))
        }
        CardAsked::LastResults { heat } => {
            one(heat.or_else(|| record.last()).and_then(|heat| cards::results(record, heat)))
        }
        CardAsked::Standings { division } => {
            let division = division.as_ref().and_then(|id| record.division(id));
            record.last().map_or_else(Vec::new, |heat| standings(record, heat, division))
        }
        CardAsked::Event => vec![cards::event(record.competition)],
        CardAsked::Words { title, text } => vec![Card::Words { title: title.clone(), text: text.clone() }],
        CardAsked::Countdown { title, to_ms, in_ms: after } => {
            let to_ms = to_ms.or_else(|| in_ms(after)).unwrap_or(since_ms);
            vec![Card::Countdown { title: title.clone(), to_ms }]
        }
    };
    cards.into_iter().map(|card| Step { for_ms: step.for_ms, card }).collect()
}

/// Standings of a heat's workout in a division, or in each of the heat's.
fn standings(record: &Record<'_>, heat: u32, division: Option<usize>) -> Vec<Card> {
    let divisions = match (division, record.plan(heat)) {
        (Some(division), _) => vec![division],
        (None, Some(plan)) => record.competition.divisions_of(plan),
        (None, None) => Vec::new(),
    };
    divisions.into_iter().filter_map(|division| cards::standings(record, heat, division)).collect()
}

fn rows_of(card: &Card) -> usize {
    match card {
        Card::Results(results) => results.rows.len(),
        Card::Standings(standings) => standings.rows.len(),
        Card::NextHeat(next) => next.lanes.len(),
        _ => 0,
    }
}

fn pages_ms(rows: usize) -> i64 {
    let pages = rows.div_ceil(ROWS_A_PAGE).clamp(1, MAX_PAGES);
    i64::try_from(pages).unwrap_or(1) * PAGE_MS
}

/// Leaves a card no more rows than are left for the program, and takes them from these.
fn cut(card: &mut Card, left: &mut usize) {
    match card {
        Card::Results(results) => results.rows.truncate(*left),
        Card::Standings(standings) => standings.rows.truncate(*left),
        Card::NextHeat(next) => next.lanes.truncate(*left),
        _ => {}
    }
    *left -= rows_of(card);
}
