//! What clients ask of the record. It is answered at once, as the record stands, and nothing of it is kept.

use fivemark_wire::from_feed::FeedMessage;
use fivemark_wire::judges::AskJudges;
use fivemark_wire::lane_record::AskLane;
use fivemark_wire::lanes::AskAthletes;
use fivemark_wire::papers::AskPapers;
use fivemark_wire::shows::AskStandings;

use super::Heats;

/// A question. Who may ask it is decided before.
#[derive(Clone, Debug)]
pub enum Question {
    /// For a lane's record.
    Lane(AskLane),
    /// For athletes who could be put into a heat.
    Athletes(AskAthletes),
    /// For what is printed of a heat.
    Papers(AskPapers),
    /// For the standings of the workout on the floor.
    Standings(AskStandings),
    /// For how the judges call.
    Judges(AskJudges),
}

impl Heats {
    /// The answer to a question.
    pub fn answer(&mut self, question: &Question) -> FeedMessage {
        match question {
            Question::Lane(asked) => self.lane_record(*asked),
            Question::Athletes(asked) => self.athletes(asked),
            Question::Papers(asked) => self.papers(*asked),
            Question::Standings(asked) => self.standings(*asked),
            Question::Judges(asked) => self.judges(*asked),
        }
    }
}
