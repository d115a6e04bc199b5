//! Remembers the answers to rulings, floor and show commands, so that one sent again applies once. Tallies are remembered
//! by the engine.

use std::collections::{BTreeMap, VecDeque};

use fivemark_wire::from_feed::{FeedMessage, Subject};

/// Answers that are kept: days of rulings; a resend comes within minutes.
const KEPT: usize = 4_096;

/// What a command is; each has ids of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Ruling,
    Floor,
    Show,
}

/// A command by its device, kind and id.
type Key = (String, Kind, u64);

/// The last answers.
#[derive(Debug, Default)]
pub struct Answered {
    answers: BTreeMap<Key, FeedMessage>,
    order: VecDeque<Key>,
}

impl Answered {
    /// The answer that this command of this device was given, if it is remembered.
    #[must_use]
    pub fn get(&self, device: &str, of: Subject) -> Option<FeedMessage> {
        self.answers.get(&key(device, of)?).cloned()
    }

    /// Remembers an answer and gives it back.
    pub fn put(&mut self, device: &str, of: Subject, answer: FeedMessage) -> FeedMessage {
        if let Some(key) = key(device, of) {
            if self.order.len() == KEPT
                && let Some(oldest) = self.order.pop_front()
            {
                self.answers.remove(&oldest);
            }
            self.order.push_back(key.clone());
            self.answers.insert(key, answer.clone());
        }
        answer
    }
}

fn key(device: &str, of: Subject) -> Option<Key> {
    match of {
        Subject::Ruling { id } => Some((device.to_owned(), Kind::Ruling, id)),
        Subject::Floor { id } => Some((device.to_owned(), Kind::Floor, id)),
        Subject::Show { id } => Some((device.to_owned(), Kind::Show, id)),
        Subject::Join | Subject::Tally { .. } | Subject::Message => None,
    }
}
