//! The head judge of the demo, as a script: looks at the heat and says which command comes next and when. Pure;
//! leaves talking to the feed to `official`.

use fivemark_wire::from_client::FloorCommand;
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{LaneCount, State, Status};

/// How long the head judge lets each state stand, microseconds of heat time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pauses {
    /// Lanes set; longer if a judge is not on the line then.
    pub lanes_set_us: i64,
    /// On deck.
    pub on_deck_us: i64,
    /// Time called, before the heat is closed by hand because calls are missing.
    pub missing_us: i64,
    /// Provisional, before it is signed.
    pub provisional_us: i64,
}

/// The script.
#[derive(Clone, Copy, Debug)]
pub struct HeadJudge {
    pauses: Pauses,
    /// The state, its run, and since when it stands.
    since: Option<(State, u32, i64)>,
    said: bool,
    /// A judge is missing on the line, or initials under a result, so that the pause alone decides nothing.
    waiting: bool,
}

impl HeadJudge {
    /// A head judge who has seen nothing yet.
    #[must_use]
    pub fn new(pauses: Pauses) -> Self {
        Self { pauses, since: None, said: false, waiting: false }
    }

    /// What to command now, if anything. Each state is answered once.
    pub fn look(&mut self, snapshot: &Snapshot, now_us: i64) -> Option<FloorCommand> {
        let (state, run) = (snapshot.heat.state, snapshot.heat.run);
        if self.since.is_none_or(|(seen, seen_run, _)| (seen, seen_run) != (state, run)) {
            self.said = false;
            self.since = Some((state, run, now_us));
        }
        self.waiting = match state {
            State::LanesSet => !all_judges_on(snapshot),
            State::Provisional => !all_confirmed(snapshot),
            _ => false,
        };
        let due = self.due_us(state)?;
        if self.said || self.waiting || now_us < due {
            return None;
        }
        self.said = true;
        command(state)
    }

    /// What was commanded last was not to be done yet: it comes again when the heat is ready for it.
    pub fn refused(&mut self) {
        self.said = false;
    }

    /// When the script goes on without a change of the heat, microseconds.
    #[must_use]
    pub fn next_due_us(&self) -> Option<i64> {
        let (state, ..) = self.since?;
        if self.said || self.waiting { None } else { self.due_us(state) }
    }

    fn due_us(&self, state: State) -> Option<i64> {
        let (.., since_us) = self.since?;
        let pause = match state {
            State::LanesSet => self.pauses.lanes_set_us,
            State::OnDeck => self.pauses.on_deck_us,
            State::TimeCalled => self.pauses.missing_us,
            State::Provisional => self.pauses.provisional_us,
            State::Countdown | State::Running | State::Held | State::Signed | State::Cancelled => {
                return None;
            }
        };
        Some(since_us + pause)
    }
}

fn command(state: State) -> Option<FloorCommand> {
    match state {
        State::LanesSet => Some(FloorCommand::OnDeck),
        State::OnDeck => Some(FloorCommand::StartCountdown),
        State::TimeCalled => Some(FloorCommand::Close),
        State::Provisional => Some(FloorCommand::Sign),
        State::Countdown | State::Running | State::Held | State::Signed | State::Cancelled => None,
    }
}

fn all_confirmed(snapshot: &Snapshot) -> bool {
    let wants = |lane: &&LaneCount| lane.result.is_some() && lane.status != Status::DidNotStart;
    snapshot.lanes.iter().filter(wants).all(|lane| lane.confirmed)
}

fn all_judges_on(snapshot: &Snapshot) -> bool {
    snapshot.lanes.iter().all(|lane| lane.status == Status::Empty || lane.judge_on)
}
