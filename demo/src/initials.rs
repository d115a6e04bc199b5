//! Initials under the lane's result, as athlete and judge put them on the phone: some seconds after it is shown, and
//! again if it becomes another or no confirmation comes. Pure; leaves sending to `phone`.

use fivemark_wire::lane_record::Confirm;
use fivemark_wire::view::{LaneCount, LaneEntry, Status};

/// From the result to the initials, microseconds: both read it first.
const READING_US: i64 = 2_500_000;
/// Without a confirmation they are sent again after this, microseconds.
const AGAIN_AFTER_US: i64 = 5_000_000;
/// Ids of one heat lie below this, so that the next heat's are others.
const IDS_PER_HEAT: u64 = 1_000_000;

/// The lower part of a phone once its lane has ended.
#[derive(Clone, Debug, Default)]
pub struct Initials {
    athlete: String,
    /// Heat, run and text of the result that wants initials, and when they are sent next.
    wanted: Option<(u32, u32, String)>,
    due_us: i64,
    sent: u64,
}

impl Initials {
    /// Who stands on the lane.
    pub fn of_athlete(&mut self, entry: Option<&LaneEntry>) {
        let letter = |name: &str| name.chars().find(|letter| letter.is_alphabetic());
        let names = entry.map(|entry| [&entry.given, &entry.family]);
        self.athlete = names.into_iter().flatten().filter_map(|name| letter(name)).collect();
        if self.athlete.is_empty() {
            self.athlete = entry.and_then(|entry| letter(&entry.name)).unwrap_or('A').to_string();
        }
    }

    /// What the phone shows of its lane from now on.
    pub fn show(&mut self, heat: u32, lane: &LaneCount, now_us: i64) {
        let signs = !lane.confirmed && !matches!(lane.status, Status::Empty | Status::DidNotStart);
        let result = lane.result.as_ref().filter(|_| signs);
        let wanted = result.map(|result| (heat, lane.run, result.text.clone()));
        if wanted != self.wanted {
            self.wanted = wanted;
            self.due_us = now_us + READING_US;
        }
    }

    /// The page is loaded anew, with another clock: what is due is found again from what it shows.
    pub fn leave_page(&mut self) {
        self.wanted = None;
    }

    /// When initials are due; none if none are wanted.
    #[must_use]
    pub fn due_us(&self) -> Option<i64> {
        self.wanted.as_ref().map(|_| self.due_us)
    }

    /// The initials, if they are due.
    pub fn next(&mut self, lane: u8, now_us: i64) -> Option<Confirm> {
        let (heat, run, result) = self.wanted.clone().filter(|_| now_us >= self.due_us)?;
        self.due_us = now_us + AGAIN_AFTER_US;
        self.sent += 1;
        let id = u64::from(heat) * IDS_PER_HEAT + self.sent;
        let judge = format!("J{}", char::from(b'A' + lane % 26));
        Some(Confirm { id, heat, lane, run, result, athlete: self.athlete.clone(), judge, reason: None })
    }
}

#[cfg(test)]
mod tests {
    use fivemark_wire::view::LaneResult;

    use super::*;

    fn lane(text: Option<&str>, confirmed: bool) -> LaneCount {
        let official = |text: &str| LaneResult {
            text: text.to_owned(),
            official_ms: None,
            penalty_ms: None,
            credit_ms: None,
        };
        LaneCount {
            lane: 3,
            run: 2,
            status: Status::Finished,
            done: 0,
            score: 0,
            tries: None,
            round: 0,
            round_score: 0,
            part: 0,
            part_done: 0,
            to_go: None,
            result: text.map(official),
            stop_ms: None,
            review_until_ms: None,
            no_reps: 0,
            last_good_ms: None,
            credit_ms: None,
            tie_break_ms: None,
            ruled: false,
            flagged: false,
            judge_on: true,
            confirmed,
        }
    }

    #[test]
    fn a_result_is_confirmed_until_it_is_and_anew_when_it_changes() {
        let mut initials = Initials::default();
        initials.of_athlete(None);
        initials.show(7, &lane(None, false), 0);
        assert_eq!((initials.due_us(), initials.next(3, i64::MAX / 2)), (None, None));
        initials.show(7, &lane(Some("7:08.4"), false), 1_000_000);
        assert_eq!(initials.next(3, 3_000_000), None, "both read it first");
        let first = initials.next(3, 3_500_000).unwrap();
        assert_eq!((first.heat, first.lane, first.run, first.result.as_str()), (7, 3, 2, "7:08.4"));
        initials.show(7, &lane(Some("7:08.4"), false), 4_000_000);
        assert_eq!(initials.next(3, 4_000_000), None);
        let again = initials.next(3, initials.due_us().unwrap()).unwrap();
        assert_ne!(again.id, first.id, "an answer to the first one says nothing of this one");
        initials.show(7, &lane(Some("7:08.4"), true), 9_000_000);
        assert_eq!(initials.due_us(), None);
        initials.show(7, &lane(Some("7:13.4"), false), 9_500_000);
        assert_eq!(initials.next(3, 12_000_000).unwrap().result, "7:13.4");
        initials.leave_page();
        initials.show(7, &lane(Some("7:13.4"), false), 1_000);
        assert_eq!(initials.due_us(), Some(2_501_000), "a page's clock may begin at 0");
    }
}
