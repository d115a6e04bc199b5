//! What screens are asked to show: what floor operators have asked for so far, and which heat was on the floor when.
//! From these and the record, `program` works out what screens are told; nothing else goes into it, so that a record
//! that is read again gives the same.

mod cards;
mod made;
mod program;
mod record;
mod room;
#[cfg(test)]
mod tests;

use fivemark_engine::{HeatView, State};
use fivemark_wire::show_commands::{BoardCommand, CardAsked, OverlayPart, ShowCommand, StepAsked};
use fivemark_wire::shows::{Duel, NextHeat, OverlayShows, Standings};

use crate::roles::Audience;

pub use self::program::shows;
pub use self::record::Record;

/// Who comes after the heat on the floor, with names as an audience may see them; none if no heat does.
#[must_use]
pub fn next(record: &Record<'_>, audience: Audience) -> Option<NextHeat> {
    cards::lanes_of(record, record.after_floor()?, None, audience)
}

/// Standings of the workout on the floor, in each division on its floor that has results.
#[must_use]
pub fn floor_standings(record: &Record<'_>) -> Vec<Standings> {
    let Some(plan) = record.plan(record.on_floor()) else { return Vec::new() };
    let divisions = record.competition.divisions_of(plan).into_iter();
    divisions.filter_map(|division| cards::standings_of(record, plan.number, division)).collect()
}

/// What floor operators have asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    board: Board,
    /// Without the duel, which belongs to a heat.
    overlay: OverlayShows,
    /// Two lanes of a heat.
    duel: Option<(u32, Duel)>,
}

/// What boards show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
enum Board {
    /// The running order follows the heats.
    #[default]
    Follow,
    /// Steps of the floor operator's own.
    Own { since_ms: i64, again: bool, steps: Vec<StepAsked> },
    /// The heat's board stays.
    Heat,
}

/// What a heat on the floor is to its board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// It is to come.
    Ready,
    /// From its countdown to the call of time, and while a lane of it is to run again alone.
    OnFloor,
    /// It has results.
    Ended,
    /// It scores nothing.
    Cancelled,
}

/// Which heat has been on the floor, and since when it is what it is now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FloorLog {
    /// Heats that were on the floor, each once; the one that is there now last.
    opened: Vec<u32>,
    phase: Phase,
    /// Feed time, milliseconds.
    since_ms: i64,
}

impl Asked {
    /// Takes a command at a moment of feed time, milliseconds. The record has to be able to do what it asks.
    ///
    /// # Errors
    /// Why it cannot, and what to do.
    pub fn take(&mut self, command: &ShowCommand, at_ms: i64, record: &Record<'_>) -> Result<(), Unknown> {
        match command {
            ShowCommand::Overlay { part, on } => {
                *match part {
                    OverlayPart::Ribbon => &mut self.overlay.ribbon,
                    OverlayPart::Rail => &mut self.overlay.rail,
                    OverlayPart::Corner => &mut self.overlay.corner,
                    OverlayPart::Card => &mut self.overlay.card,
                } = *on;
            }
            ShowCommand::Duel { left, right } => {
                for lane in [*left, *right] {
                    if !record.stands(lane) {
                        return Err(Unknown::Lane(lane));
                    }
                }
                self.duel = Some((record.on_floor(), Duel { left: *left, right: *right }));
            }
            ShowCommand::DuelOff => self.duel = None,
            ShowCommand::Board(BoardCommand::Follow) => self.board = Board::Follow,
            ShowCommand::Board(BoardCommand::Heat) => self.board = Board::Heat,
            ShowCommand::Board(BoardCommand::Own { again, steps }) => {
                steps.iter().try_for_each(|step| known(&step.card, record))?;
                let steps = steps.iter().map(|step| settled(step, record)).collect();
                self.board = Board::Own { since_ms: at_ms, again: *again, steps };
            }
        }
        Ok(())
    }
}

/// A step as it is kept: the start of the next heat is that of the heat which is next when it is said, and stays with
/// it. If none is next, nothing starts then.
fn settled(step: &StepAsked, record: &Record<'_>) -> StepAsked {
    let mut step = step.clone();
    if let CardAsked::NextHeat { heat: heat @ None, in_ms: in_ms @ Some(_) } = &mut step.card {
        *heat = record.next();
        *in_ms = in_ms.filter(|_| heat.is_some());
    }
    step
}

fn known(card: &CardAsked, record: &Record<'_>) -> Result<(), Unknown> {
    match card {
        CardAsked::NextHeat { heat: Some(number), .. } | CardAsked::LastResults { heat: Some(number) }
            if record.plan(*number).is_none() =>
        {
            Err(Unknown::Heat(*number))
        }
        CardAsked::Standings { division: Some(id) } if record.division(id).is_none() => {
            Err(Unknown::Division(id.clone()))
        }
        _ => Ok(()),
    }
}

/// What a show command names and the competition has not.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unknown {
    /// A heat.
    #[error("The competition has no heat {0}. Name one of its heats, or none for the next or last one.")]
    Heat(u32),
    /// A division.
    #[error("The competition has no division \"{0}\". Name one by its id, or none for all of the heat.")]
    Division(String),
    /// A lane.
    #[error("Nobody stands on lane {0} of the heat on the floor. Name two lanes with an athlete.")]
    Lane(u8),
}

impl FloorLog {
    /// The first heat is on the floor, with its work still to come.
    #[must_use]
    pub fn new(heat: u32) -> Self {
        Self { opened: vec![heat], phase: Phase::Ready, since_ms: 0 }
    }

    /// Number of the heat on the floor.
    #[must_use]
    pub fn on_floor(&self) -> u32 {
        self.opened.last().copied().unwrap_or_default()
    }

    /// Another heat goes on the floor.
    pub fn open(&mut self, heat: u32, at_ms: i64, view: &HeatView) {
        self.opened.retain(|known| *known != heat);
        self.opened.push(heat);
        (self.phase, self.since_ms) = (Phase::of(view), at_ms);
    }

    /// Looks at the heat on the floor. True if it has become something else.
    pub fn look(&mut self, at_ms: i64, view: &HeatView) -> bool {
        let phase = Phase::of(view);
        let other = phase != self.phase;
        if other {
            (self.phase, self.since_ms) = (phase, at_ms);
        }
        other
    }
}

impl Phase {
    fn of(view: &HeatView) -> Self {
        match view.state {
            State::LanesSet | State::OnDeck if view.alone.is_none() => Self::Ready,
            State::Provisional | State::Signed => Self::Ended,
            State::Cancelled => Self::Cancelled,
            _ => Self::OnFloor,
        }
    }
}
