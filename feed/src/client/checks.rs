//! Bounds of what clients say: sizes, ranges, rate. Decided before anything is journalled, so that nonsense never
//! reaches the record.

use std::time::Instant;

use fivemark_wire::bounds::{
    MAX_AMOUNT, MAX_ID, MAX_INITIALS, MAX_JUDGE_MESSAGE, MAX_LANES, MAX_OTHER_MESSAGE, MAX_REASON,
};
use fivemark_wire::from_client::{Floor, FloorCommand, Offset, Role, Ruling, RulingKind, Tally};
use fivemark_wire::from_feed::{Reason, ReasonCode};
use fivemark_wire::lane_record::Confirm;
use fivemark_wire::lanes::{AskAthletes, LaneAthlete};
use fivemark_wire::phones::{HandOver, Phone};
use unicode_segmentation::UnicodeSegmentation;

use crate::access::reason;
use crate::pace::Pace;

/// Largest whole number that every JSON reader takes without loss (RFC 8259 section 6): 2^53 − 1.
pub(super) const MAX_SAFE: i64 = 9_007_199_254_740_991;
/// Longest span that is said, in milliseconds: ten days, more than any event.
const MAX_SPAN_MS: i64 = 864_000_000;

/// Largest message of a role, in bytes.
pub(super) fn max_message(role: Role) -> usize {
    match role {
        Role::LaneJudge | Role::ShadowJudge => MAX_JUDGE_MESSAGE,
        _ => MAX_OTHER_MESSAGE,
    }
}

/// Whether a tally's fields lie within their bounds.
pub(super) fn tally(tally: &Tally) -> Result<(), Reason> {
    let safe = |value: i64| (-MAX_SAFE..=MAX_SAFE).contains(&value);
    let short = |text: &Option<String>| text.as_ref().is_none_or(|text| text.len() <= MAX_ID);
    within(tally.number > 0, "number", "1 or more; numbers run from 1 within a page load")?;
    within(tally.epoch <= MAX_SAFE as u64, "epoch", "below 2^53")?;
    within(tally.amount <= MAX_AMOUNT, "amount", "at most 1000")?;
    within(short(&tally.fault), "fault", "at most 64 bytes long")?;
    within(short(&tally.athlete), "athlete", "at most 64 bytes long")?;
    within(safe(tally.stamp_ms), "stamp_ms", "below 2^53")?;
    within(tally.wall_ms.is_none_or(safe), "wall_ms", "below 2^53")?;
    let offset = |offset: Offset| safe(offset.add_us) && (0..=MAX_SAFE).contains(&offset.delay_us);
    within(tally.offset.is_none_or(offset), "offset", "below 2^53, its delay not negative")
}

/// Whether a ruling's fields lie within their bounds.
pub(super) fn ruling(ruling: &Ruling) -> Result<(), Reason> {
    let span = |value: i64| (-MAX_SPAN_MS..=MAX_SPAN_MS).contains(&value);
    reason_given(&ruling.reason)?;
    match ruling.kind {
        RulingKind::SetCount { finish_ms: Some(finish_ms), .. }
        | RulingKind::FromPaper { finish_ms: Some(finish_ms), .. } => {
            within(span(finish_ms), "finish_ms", "a time of the heat")
        }
        RulingKind::Credit { credit_ms } => within(span(credit_ms), "credit_ms", "a time of the heat"),
        RulingKind::Review { within_min } => {
            within((1..=1_440).contains(&within_min), "within_min", "1 to 1440 minutes")
        }
        RulingKind::MoveFinish { elapsed_ms } | RulingKind::NoteStop { elapsed_ms } => {
            within(span(elapsed_ms), "elapsed_ms", "a time of the heat")
        }
        RulingKind::SetHeld { held_ms } => within(span(held_ms), "held_ms", "a time of the heat"),
        RulingKind::TimePenalty { add_ms } => within(span(add_ms), "add_ms", "a time of the heat"),
        RulingKind::SetCount { .. }
        | RulingKind::SetBestLoad { .. }
        | RulingKind::FromPaper { .. }
        | RulingKind::AddUnits { .. }
        | RulingKind::UnitPenalty { .. }
        | RulingKind::MoveAthlete { .. }
        | RulingKind::Status { .. } => Ok(()),
    }
}

/// Whether a hand-over's fields lie within their bounds.
pub(super) fn hand_over(said: &HandOver) -> Result<(), Reason> {
    within((1..=MAX_ID).contains(&said.to.len()), "to", "a device's name, 1 to 64 bytes long")
}

/// Whether the fields of initials lie within their bounds.
pub(super) fn confirm(said: &Confirm, role: Role) -> Result<(), Reason> {
    within(initials(&said.athlete), "athlete", "initials of 1 to 8 letters")?;
    within(initials(&said.judge), "judge", "initials of 1 to 8 letters")?;
    within(said.result.len() <= MAX_ID, "result", "the lane's result as it is shown")?;
    match (&said.reason, role) {
        (Some(reason), Role::HeadJudge) => reason_given(reason),
        (None, Role::HeadJudge) => reason_given(""),
        (reason, _) => within(reason.is_none(), "reason", "left out by the lane's own judge"),
    }
}

/// Letters of any script, with their marks.
fn initials(text: &str) -> bool {
    let letter = |letter: &str| {
        let mut chars = letter.chars();
        chars.next().is_some_and(char::is_alphabetic) && !chars.any(|c| c.is_control() || c.is_whitespace())
    };
    let mut letters = text.graphemes(true);
    text.len() <= MAX_ID && (1..=MAX_INITIALS).contains(&letters.clone().count()) && letters.all(letter)
}

/// Whether what a phone tells of itself can be.
pub(super) fn phone(phone: &Phone) -> Result<(), Reason> {
    within(phone.charge_percent.is_none_or(|charge| charge <= 100), "charge_percent", "0 to 100")?;
    within(phone.delay_us.is_none_or(|delay| (0..=MAX_SAFE).contains(&delay)), "delay_us", "0 to 2^53")
}

/// Whether a floor command's fields lie within their bounds.
pub(super) fn floor(floor: &Floor) -> Result<(), Reason> {
    match &floor.command {
        FloorCommand::Rerun { reason }
        | FloorCommand::RerunLane { reason, .. }
        | FloorCommand::Reopen { reason } => reason_given(reason),
        FloorCommand::SetLanes { lanes, reason } => {
            within((1..=MAX_LANES).contains(&lanes.len()), "lanes", "1 to 40")?;
            let short =
                |of: &LaneAthlete| of.bib.as_ref().is_none_or(|bib| (1..=MAX_ID).contains(&bib.len()));
            within(lanes.iter().all(short), "bib", "1 to 64 bytes long, or left out for an empty lane")?;
            reason_given(reason)
        }
        _ => Ok(()),
    }
}

/// Whether a question for athletes lies within its bounds.
pub(super) fn ask_athletes(asked: &AskAthletes) -> Result<(), Reason> {
    within(asked.find.len() <= MAX_ID, "find", "at most 64 bytes long")
}

fn reason_given(reason: &str) -> Result<(), Reason> {
    let said = !reason.trim().is_empty() && reason.len() <= MAX_REASON;
    within(said, "reason", "1 to 400 bytes long; say in a few words why")?;
    within(!reason.chars().any(char::is_control), "reason", "on one line, without control characters")
}

/// Names a field that does not hold to its bound.
pub(super) fn within(holds: bool, field: &str, bound: &str) -> Result<(), Reason> {
    if holds { Ok(()) } else { Err(reason(ReasonCode::OutOfRange, format!("{field} must be {bound}."))) }
}

/// How fast a role may talk, a token for each message. A judge taps a few times a second, and after an outage sends what
/// waited at once.
pub(super) fn pace(role: Role, now: Instant) -> Pace {
    let (per_second, burst) = match role {
        Role::LaneJudge | Role::ShadowJudge => (50.0, 500.0),
        Role::Spectator => (5.0, 20.0),
        _ => (50.0, 100.0),
    };
    Pace::new(per_second, burst, now)
}

#[cfg(test)]
mod tests {
    use fivemark_wire::from_client::Call;

    use super::*;

    fn good() -> Tally {
        Tally {
            heat: 1,
            run: 1,
            lane: 1,
            epoch: 7,
            number: 1,
            call: Call::Good,
            amount: 0,
            fault: None,
            stamp_ms: 5,
            wall_ms: None,
            offset: None,
            athlete: None,
            load_g: None,
            slot: None,
        }
    }

    #[test]
    fn a_tally_out_of_bounds_is_told_which_field() {
        assert!(tally(&good()).is_ok());
        let long = Some("x".repeat(65));
        for (bad, field) in [
            (Tally { number: 0, ..good() }, "number"),
            (Tally { epoch: 1 << 53, ..good() }, "epoch"),
            (Tally { amount: 1_001, ..good() }, "amount"),
            (Tally { fault: long.clone(), ..good() }, "fault"),
            (Tally { athlete: long, ..good() }, "athlete"),
            (Tally { stamp_ms: i64::MIN, ..good() }, "stamp_ms"),
            (Tally { wall_ms: Some(i64::MAX), ..good() }, "wall_ms"),
            (Tally { offset: Some(Offset { add_us: 0, delay_us: -1 }), ..good() }, "offset"),
        ] {
            let refused = tally(&bad).unwrap_err();
            assert_eq!(refused.code, ReasonCode::OutOfRange);
            assert!(refused.says.starts_with(field), "{}", refused.says);
        }
    }

    #[test]
    fn a_ruling_needs_a_reason_and_sane_times() {
        let ruled = |reason: &str, kind| Ruling { id: 1, heat: 1, lane: 1, reason: reason.to_owned(), kind };
        let count = RulingKind::SetCount { done: 3, finish_ms: None };
        assert!(ruling(&ruled("counted on video", count.clone())).is_ok());
        assert!(ruling(&ruled("  ", count.clone())).is_err());
        assert!(ruling(&ruled("two\nlines", count.clone())).is_err());
        assert!(ruling(&ruled(&"x".repeat(401), count)).is_err());
        assert!(ruling(&ruled("late", RulingKind::MoveFinish { elapsed_ms: i64::MAX })).is_err());
        assert!(ruling(&ruled("late", RulingKind::TimePenalty { add_ms: i64::MIN })).is_err());
        assert!(ruling(&ruled("chain off", RulingKind::Credit { credit_ms: 12_000 })).is_ok());
        assert!(ruling(&ruled("chain off", RulingKind::Credit { credit_ms: i64::MAX })).is_err());
        let paper = RulingKind::FromPaper { done: 3, finish_ms: Some(i64::MAX) };
        assert!(ruling(&ruled("phone died", paper)).is_err());
    }

    #[test]
    fn initials_are_a_few_letters_of_any_script() {
        for good in ["I", "IBO", "Ж", "שד", "山田", "é", "e\u{301}", "ABCDEFGH", "Ｑ", "क्ष"] {
            assert!(initials(good), "{good}");
        }
        for bad in ["", " ", "A B", "ABCDEFGHI", "7", "A.", "\u{301}", "A\u{7}", "🙂"] {
            assert!(!initials(bad), "{bad:?}");
        }
        let zalgo = format!("A{}", "\u{301}".repeat(40));
        assert!(!initials(&zalgo), "too many bytes");
    }

    #[test]
    fn who_confirms_in_the_judges_place_says_why() {
        let said = |reason: Option<&str>| Confirm {
            id: 1,
            heat: 1,
            lane: 1,
            run: 1,
            result: "7:08.4".to_owned(),
            athlete: "IBO".to_owned(),
            judge: "SK".to_owned(),
            reason: reason.map(str::to_owned),
        };
        assert!(confirm(&said(None), Role::LaneJudge).is_ok());
        assert!(confirm(&said(Some("on paper")), Role::LaneJudge).is_err());
        assert!(confirm(&said(Some("on paper")), Role::HeadJudge).is_ok());
        assert!(confirm(&said(None), Role::HeadJudge).is_err());
        assert!(confirm(&Confirm { judge: "-".to_owned(), ..said(None) }, Role::LaneJudge).is_err());
        assert!(confirm(&Confirm { result: "x".repeat(65), ..said(None) }, Role::LaneJudge).is_err());
    }

    #[test]
    fn what_undoes_a_heat_needs_a_reason() {
        let said = |command| floor(&Floor { id: 1, heat: 1, command });
        assert!(said(FloorCommand::Rerun { reason: "rig gave way".to_owned() }).is_ok());
        assert!(said(FloorCommand::Rerun { reason: " ".to_owned() }).is_err());
        assert!(said(FloorCommand::RerunLane { lane: 1, reason: String::new() }).is_err());
        assert!(said(FloorCommand::Reopen { reason: "x".repeat(401) }).is_err());
        assert!(said(FloorCommand::Sign).is_ok());
    }

    #[test]
    fn lanes_are_set_few_at_a_time_with_a_reason() {
        let lane = |lane, bib: &str| LaneAthlete { lane, bib: Some(bib.to_owned()) };
        let said = |lanes: Vec<LaneAthlete>, reason: &str| {
            floor(&Floor {
                id: 1,
                heat: 1,
                command: FloorCommand::SetLanes { lanes, reason: reason.to_owned() },
            })
        };
        assert!(said(vec![lane(1, "101"), LaneAthlete { lane: 2, bib: None }], "hurt").is_ok());
        assert!(said(vec![], "hurt").is_err());
        assert!(said(vec![lane(1, "101"); 41], "hurt").is_err());
        assert!(said(vec![lane(1, "")], "hurt").is_err());
        assert!(said(vec![lane(1, &"x".repeat(65))], "hurt").is_err());
        assert!(said(vec![lane(1, "101")], "").is_err());
        let ask = |find: &str| ask_athletes(&AskAthletes { id: 1, heat: 1, find: find.to_owned() });
        assert!(ask("").is_ok() && ask(&"x".repeat(65)).is_err());
    }
}
