//! From the record, what was asked and what has been on the floor to what screens are told: a pure function, which
//! reads no clock.

use fivemark_wire::bounds::PAGE_MS;
use fivemark_wire::show_commands::{CardAsked, StepAsked};
use fivemark_wire::shows::{BoardOrder, Card, OverlayShows, Program, Shows, Step};

use super::made::Made;
use super::record::Record;
use super::room::Room;
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

/// What screens are told.
#[must_use]
pub fn shows(record: &Record<'_>, asked: &Asked) -> Shows {
    let duel = asked.duel.filter(|(heat, _)| *heat == record.on_floor()).map(|(_, duel)| duel);
    let duel = duel.filter(|duel| record.stands(duel.left) && record.stands(duel.right));
    let order = match &asked.board {
        Board::Follow => BoardOrder::Follow,
        Board::Own { .. } => BoardOrder::Own,
        Board::Heat => BoardOrder::Heat,
    };
    Shows { board: board(record, &asked.board), order, overlay: OverlayShows { duel, ..asked.overlay } }
}

fn board(record: &Record<'_>, asked: &Board) -> Program {
    let floor = record.floor;
    let (since_ms, again, mut steps) = match (asked, floor.phase) {
        (Board::Heat, _) => return Program::default(),
        // A heat that begins takes the board over, whatever was asked.
        (_, Phase::OnFloor) => return Program { since_ms: floor.since_ms, ..Program::default() },
        (Board::Follow, Phase::Ready) => (floor.since_ms, true, fitted(before(record))),
        (Board::Follow, Phase::Ended | Phase::Cancelled) => (floor.since_ms, true, fitted(after(record))),
        (Board::Own { since_ms, again, steps }, _) => {
            let mut made = Made::of(record);
            let steps = steps.iter().flat_map(|step| own(&mut made, step, *since_ms));
            (*since_ms, *again, fitted(steps))
        }
    };
    if steps.is_empty() {
        steps.push(Step { for_ms: 0, card: cards::event(record.competition) });
    }
    Program { since_ms, again, steps }
}

/// The first steps, with as many rows as there is room for.
fn fitted(steps: impl IntoIterator<Item = Step>) -> Vec<Step> {
    let mut room = Room::default();
    steps.into_iter().take(MAX_SHOWN).filter_map(|step| room.fit(step)).collect()
}

/// While a heat is to come: its lanes and its board in turn.
fn before(record: &Record<'_>) -> Vec<Step> {
    let lanes = cards::next_heat(record, record.on_floor(), None).map(|card| Step { for_ms: NEXT_MS, card });
    lanes.into_iter().chain([Step { for_ms: BOARD_MS, card: Card::Heat }]).collect()
}

/// After a heat: its board for a while, its results, its workout's standings, who comes next, the event.
fn after(record: &Record<'_>) -> Vec<Step> {
    let mut steps = vec![Step { for_ms: AFTER_MS, card: Card::Heat }];
    let (heat, mut made) = (record.on_floor(), Made::of(record));
    let paged = made.results(heat).into_iter().chain(made.standings(heat, None));
    steps.extend(paged.map(|card| Step { for_ms: pages_ms(&card), card }));
    let next = record.next().and_then(|next| cards::next_heat(record, next, None));
    steps.extend(next.map(|card| Step { for_ms: NEXT_MS, card }));
    steps.push(Step { for_ms: EVENT_MS, card: cards::event(record.competition) });
    steps
}

/// A step of the floor operator's own: none if there is nothing yet for it to show, several for several divisions. Of
/// several that are to stay only the last does; the others have the time that their pages take.
fn own(made: &mut Made<'_>, step: &StepAsked, since_ms: i64) -> Vec<Step> {
    let record = made.record();
    let one = |card: Option<Card>| card.into_iter().collect::<Vec<_>>();
    let in_ms = |in_ms: &Option<i64>| in_ms.map(|in_ms| since_ms.saturating_add(in_ms));
    let cards = match &step.card {
        CardAsked::Heat => vec![Card::Heat],
        CardAsked::NextHeat { heat, in_ms: starts } => {
            let next = heat.or_else(|| record.next());
            one(next.and_then(|next| cards::next_heat(record, next, in_ms(starts))))
        }
        CardAsked::LastResults { heat } => {
            one(heat.or_else(|| record.last()).and_then(|heat| made.results(heat)))
        }
        CardAsked::Standings { division } => {
            let division = division.as_ref().and_then(|id| record.division(id));
            record.last().map_or_else(Vec::new, |heat| made.standings(heat, division))
        }
        CardAsked::Event => vec![cards::event(record.competition)],
        CardAsked::Words { title, text } => vec![Card::Words { title: title.clone(), text: text.clone() }],
        CardAsked::Countdown { title, to_ms, in_ms: after } => {
            let to_ms = to_ms.or_else(|| in_ms(after)).unwrap_or(since_ms);
            vec![Card::Countdown { title: title.clone(), to_ms }]
        }
    };
    let last = cards.len().saturating_sub(1);
    let timed = |(index, card): (usize, Card)| {
        let for_ms = if step.for_ms == 0 && index < last { pages_ms(&card) } else { step.for_ms };
        Step { for_ms, card }
    };
    cards.into_iter().enumerate().map(timed).collect()
}

/// How long it takes to show a card's pages.
fn pages_ms(card: &Card) -> i64 {
    let rows = match card {
        Card::Results(results) => results.rows.len(),
        Card::Standings(standings) => standings.rows.len(),
        _ => 0,
    };
    let pages = rows.div_ceil(ROWS_A_PAGE).clamp(1, MAX_PAGES);
    i64::try_from(pages).unwrap_or(1) * PAGE_MS
}
