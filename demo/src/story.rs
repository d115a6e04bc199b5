//! The short running commentary on the terminal: what changed of the heat, in words, from the messages that the head
//! judge hears. Decides nothing; places and results are the feed's.

use fivemark_wire::from_feed::{FeedMessage, Snapshot};
use fivemark_wire::view::{Clock, LaneCount, LaneEntry, Scoring, State, Status};

/// A change of lead is told at most this often, milliseconds of heat time.
const LEAD_EVERY_MS: i64 = 8_000;

/// Tells the heat.
#[derive(Clone, Debug, Default)]
pub struct Story {
    /// Who stands where, by the names that the public is shown.
    entries: Vec<LaneEntry>,
    state: Option<State>,
    run: u32,
    leader: Option<u8>,
    lead_told_ms: Option<i64>,
    in_last_five: Vec<u8>,
    finished: Vec<u8>,
}

impl Story {
    /// A story that names athletes as `entries` do. The head judge hears full names, a terminal in a hall shows what
    /// the public is shown.
    #[must_use]
    pub fn new(entries: Vec<LaneEntry>) -> Self {
        Self { entries, ..Self::default() }
    }

    /// What is worth a line after a message, with the picture after it.
    #[must_use]
    pub fn lines(&mut self, message: &FeedMessage, picture: &Snapshot) -> Vec<String> {
        let mut lines = Vec::new();
        if !matches!(message, FeedMessage::Snapshot(_) | FeedMessage::Delta(_)) {
            return lines;
        }
        if picture.heat.run != self.run {
            let entries = std::mem::take(&mut self.entries);
            *self = Self { entries, run: picture.heat.run, ..Self::default() };
        }
        let ms = elapsed_ms(picture);
        if self.state != Some(picture.heat.state) {
            self.state = Some(picture.heat.state);
            lines.extend(state_line(picture));
        }
        self.lanes(picture, ms, &mut lines);
        self.lead(picture, ms, &mut lines);
        lines
    }

    /// The result as a table, one line a lane, by place.
    #[must_use]
    pub fn result_lines(&self, picture: &Snapshot) -> Vec<String> {
        let mut lanes: Vec<_> = picture.lanes.iter().filter(|lane| lane.status != Status::Empty).collect();
        // Lanes without a place come last.
        lanes.sort_by_key(|lane| (place(picture, lane.lane).checked_sub(1).unwrap_or(u8::MAX), lane.lane));
        let row = |lane: &&LaneCount| {
            let result = lane.result.as_ref().map_or("", |result| &result.text);
            format!("  {:>2}  {result:>12}  {}", place(picture, lane.lane), self.who(lane.lane))
        };
        lanes.iter().map(row).collect()
    }

    fn lanes(&mut self, picture: &Snapshot, ms: i64, lines: &mut Vec<String>) {
        for lane in &picture.lanes {
            let timed = lane.result.as_ref().is_some_and(|result| result.official_ms.is_some());
            if lane.status == Status::Finished && timed && !self.finished.contains(&lane.lane) {
                self.finished.push(lane.lane);
                let result = lane.result.as_ref().map_or("", |result| &result.text);
                lines.push(line(
                    ms,
                    format!(
                        "{} finishes in {result}, place {}",
                        self.who(lane.lane),
                        place(picture, lane.lane)
                    ),
                ));
            } else if let (Status::Racing, Some(to_go)) = (lane.status, lane.to_go)
                && !self.in_last_five.contains(&lane.lane)
            {
                self.in_last_five.push(lane.lane);
                lines.push(line(ms, format!("{} is in the last five, {to_go} to go", self.who(lane.lane))));
            }
        }
    }

    fn who(&self, lane: u8) -> String {
        let name = self.entries.iter().find(|entry| entry.lane == lane).map_or("", |entry| &entry.name);
        format!("{name} (lane {lane})")
    }

    fn lead(&mut self, picture: &Snapshot, ms: i64, lines: &mut Vec<String>) {
        if picture.heat.state != State::Running || picture.heat.finished > 0 {
            return;
        }
        let mut first = picture.order.iter().filter(|row| row.place == 1);
        let (Some(row), None) = (first.next(), first.next()) else { return };
        let fresh = self.lead_told_ms.is_none_or(|told| ms - told >= LEAD_EVERY_MS);
        if self.leader == Some(row.lane) || !fresh {
            return;
        }
        (self.leader, self.lead_told_ms) = (Some(row.lane), Some(ms));
        let score = picture.lanes.iter().find(|lane| lane.lane == row.lane).map_or(0, |lane| lane.score);
        lines.push(line(ms, format!("{} leads with {score}", self.who(row.lane))));
    }
}

fn state_line(picture: &Snapshot) -> Option<String> {
    let ms = elapsed_ms(picture);
    let heat = &picture.heat;
    let open_ended = picture.courses.iter().any(|course| course.scoring != Scoring::ForTime);
    let says = match heat.state {
        State::LanesSet => {
            let titles = &picture.titles;
            format!("{}, {}: {} athletes on the floor", titles.heat_name, titles.workout, heat.starters)
        }
        State::OnDeck => "on deck".to_owned(),
        State::Countdown => "countdown".to_owned(),
        State::Running => "go".to_owned(),
        State::Held => "held".to_owned(),
        State::TimeCalled if open_ended => "time".to_owned(),
        State::TimeCalled if ms >= heat.cap_ms => "time cap".to_owned(),
        State::TimeCalled => "every lane has ended".to_owned(),
        State::Provisional if open_ended => "provisional".to_owned(),
        State::Provisional => {
            format!("provisional: {} of {} finished", heat.finished, heat.starters)
        }
        State::Signed => "signed: the result is official".to_owned(),
        State::Cancelled => "cancelled".to_owned(),
    };
    Some(line(ms, says))
}

fn line(ms: i64, says: impl AsRef<str>) -> String {
    let tenths = ms.max(0) / 100;
    format!("  {:>2}:{:02}.{}  {}", tenths / 600, tenths / 10 % 60, tenths % 10, says.as_ref())
}

/// Elapsed time at the moment of the picture, milliseconds.
fn elapsed_ms(picture: &Snapshot) -> i64 {
    match picture.heat.clock {
        Clock::Idle | Clock::CountingDown { .. } => 0,
        Clock::Running { zero_at_ms } => (picture.at_ms - zero_at_ms).clamp(0, picture.heat.cap_ms),
        Clock::Stopped { elapsed_ms } => elapsed_ms,
    }
}

fn place(picture: &Snapshot, lane: u8) -> u8 {
    picture.order.iter().find(|row| row.lane == lane).map_or(0, |row| row.place)
}
