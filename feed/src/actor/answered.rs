//! Remembers the answers to rulings, floor and show commands, so that one sent again applies once. Tallies are remembered
//! by the engine.

use std::collections::{BTreeMap, VecDeque};

use fivemark_wire::from_feed::{FeedMessage, Subject};

/// Answers that are kept of each kind of command: days of rulings; a resend comes within minutes.
const KEPT: usize = 4_096;

/// A command of a kind by its device and id.
type Key = (String, u64);

/// The kinds of commands whose answers are remembered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Ruling,
    Floor,
    Show,
    HandOver,
    Confirm,
}

/// The last answers. Each kind of command has ids and room of its own, so that many of one push out none of another.
#[derive(Debug, Default)]
pub struct Answered {
    kinds: BTreeMap<Kind, Answers>,
}

#[derive(Debug, Default)]
struct Answers {
    answers: BTreeMap<Key, FeedMessage>,
    order: VecDeque<Key>,
}

impl Answered {
    /// The answer that this command of this device was given, if it is remembered.
    #[must_use]
    pub fn get(&self, device: &str, of: Subject) -> Option<FeedMessage> {
        let (kind, id) = kept_as(of)?;
        self.kinds.get(&kind)?.answers.get(&(device.to_owned(), id)).cloned()
    }

    /// Remembers an answer and gives it back.
    pub fn put(&mut self, device: &str, of: Subject, answer: FeedMessage) -> FeedMessage {
        if let Some((kind, id)) = kept_as(of) {
            self.kinds.entry(kind).or_default().keep((device.to_owned(), id), answer.clone());
        }
        answer
    }
}

/// As which command an answer is remembered; none for what is asked anew, or remembered elsewhere.
fn kept_as(of: Subject) -> Option<(Kind, u64)> {
    match of {
        Subject::Ruling { id } => Some((Kind::Ruling, id)),
        Subject::Floor { id } => Some((Kind::Floor, id)),
        Subject::Show { id } => Some((Kind::Show, id)),
        Subject::HandOver { id } => Some((Kind::HandOver, id)),
        Subject::Confirm { id } => Some((Kind::Confirm, id)),
        Subject::Join
        | Subject::Tally { .. }
        | Subject::AskLane { .. }
        | Subject::AskAthletes { .. }
        | Subject::AskPapers { .. }
        | Subject::AskStandings { .. }
        | Subject::AskJudges { .. }
        | Subject::Message => None,
    }
}

impl Answers {
    fn keep(&mut self, key: Key, answer: FeedMessage) {
        if self.order.len() == KEPT
            && let Some(oldest) = self.order.pop_front()
        {
            self.answers.remove(&oldest);
        }
        self.order.push_back(key.clone());
        self.answers.insert(key, answer);
    }
}

#[cfg(test)]
mod tests {
    use fivemark_wire::from_feed::Ack;

    use super::*;

    fn put(answered: &mut Answered, of: Subject) {
        let answer = FeedMessage::Ack(Ack { of, not_counted: None, done: None });
        assert_eq!(answered.put("desk", of, answer.clone()), answer);
    }

    #[test]
    fn many_show_commands_push_out_no_ruling_and_no_floor_command() {
        let mut answered = Answered::default();
        let (ruling, floor) = (Subject::Ruling { id: 0 }, Subject::Floor { id: 0 });
        put(&mut answered, ruling);
        put(&mut answered, floor);
        let kept = u64::try_from(KEPT).unwrap();
        for id in 0..=kept {
            put(&mut answered, Subject::Show { id });
        }
        for of in [ruling, floor, Subject::Show { id: 1 }, Subject::Show { id: kept }] {
            let answer = FeedMessage::Ack(Ack { of, not_counted: None, done: None });
            assert_eq!(answered.get("desk", of), Some(answer));
            assert_eq!(answered.get("another", of), None);
        }
        assert_eq!(answered.get("desk", Subject::Show { id: 0 }), None, "the oldest of its kind is let go");
    }
}
