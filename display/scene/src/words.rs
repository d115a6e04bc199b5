//! Every word that a board writes, in one place, in English.

use std::fmt::Write as _;

use fivemark_wire::view::{HeatState, Part, State, Titles, Unit};

/// Isolates a text from outside, so that its direction of writing does not reorder what stands beside it
/// (UAX #9: FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE).
const ISOLATE: char = '\u{2068}';
const POP: char = '\u{2069}';

pub(crate) const FINISHED: &str = "finished";
pub(crate) const TIME_CAP: &str = "time cap";
pub(crate) const UNDER_REVIEW: &str = "under review";
pub(crate) const REVIEW: &str = "review";
pub(crate) const RULED: &str = "ruled";
pub(crate) const EMPTY_LANE: &str = "empty lane";
pub(crate) const NO_REP: &str = "no-rep";
pub(crate) const TO_THE_LINE: &str = "to the line";
pub(crate) const NOT_RECORDING: &str = "not recording";
pub(crate) const WAITING: &str = "Waiting for the feed";
pub(crate) const HELD: &str = "held";
pub(crate) const HELD_MEANS: &str = "The clock is stopped. Calls wait for the head judge.";
pub(crate) const CANCELLED: &str = "cancelled";
pub(crate) const CANCELLED_MEANS: &str = "This run of the heat does not count.";
pub(crate) const LEFT: &str = "left";
pub(crate) const BETWEEN: &str = " · ";
pub(crate) const MINUS: char = '\u{2212}';
pub(crate) const ELLIPSIS: char = '\u{2026}';

/// The name of a state, as a plate in the header; none while the heat runs.
pub(crate) fn state(state: State) -> Option<&'static str> {
    match state {
        State::LanesSet => Some("lanes set"),
        State::OnDeck => Some("on deck"),
        State::Countdown => Some("countdown"),
        State::Running => None,
        State::Held => Some(HELD),
        State::TimeCalled => Some("time called"),
        State::Provisional => Some("provisional"),
        State::Signed => Some("official"),
        State::Cancelled => Some(CANCELLED),
    }
}

/// `Heat 7 · Open women`.
pub(crate) fn heat_line(out: &mut String, titles: &Titles) {
    out.clear();
    isolated(out, &titles.heat_name);
    for division in &titles.divisions {
        out.push_str(" · ");
        isolated(out, division);
    }
}

/// `cap `, before the cap's time.
pub(crate) fn cap(out: &mut String) {
    out.push_str("cap ");
}

/// `2 of 9 done`.
pub(crate) fn done_of(out: &mut String, heat: &HeatState) {
    let _ = write!(out, "{} of {} done", heat.finished, heat.starters);
}

/// `4 to go`, or what is left when only the finish call is.
pub(crate) fn to_go(out: &mut String, left: u32) {
    out.clear();
    if left == 0 {
        out.push_str(TO_THE_LINE);
    } else {
        let _ = write!(out, "{left} to go");
    }
}

/// `no-rep · depth`.
pub(crate) fn no_rep(out: &mut String, fault: &str) {
    out.clear();
    out.push_str(NO_REP);
    if !fault.is_empty() {
        out.push_str(" · ");
        isolated(out, fault);
    }
}

/// `no feed · 12 s`.
pub(crate) fn no_feed(out: &mut String, age_ms: i64) {
    out.clear();
    let seconds = age_ms.max(0) / 1000;
    if seconds < 100 {
        let _ = write!(out, "no feed · {seconds} s");
    } else {
        let _ = write!(out, "no feed · {} min", seconds / 60);
    }
}

/// `21`, `400 m`: a part's amount.
pub(crate) fn amount(out: &mut String, part: &Part) {
    out.clear();
    let unit = match part.unit {
        Unit::Rep => "",
        Unit::Metre => " m",
        Unit::Calorie => " cal",
        Unit::SecondHeld => " s",
        Unit::Kilogram => " kg",
    };
    let _ = write!(out, "{}{unit}", part.amount);
}

/// `21 thruster`: a part's amount and movement.
pub(crate) fn part(out: &mut String, part: &Part) {
    amount(out, part);
    out.push(' ');
    isolated(out, &part.short_name);
}

/// `starts in 7 s`, or `resumes in 7 s` after a hold.
pub(crate) fn starts_in(out: &mut String, seconds: i64, resumes: bool) {
    let verb = if resumes { "resumes" } else { "starts" };
    let _ = write!(out, "{verb} in {seconds} s");
}

/// `No. 104`, in place of a name that no font can write.
pub(crate) fn bib(bib: &str) -> String {
    format!("No. {bib}")
}

/// `+10 s penalty`.
pub(crate) fn penalty(out: &mut String, penalty_ms: i64) {
    let sign = if penalty_ms < 0 { MINUS } else { '+' };
    out.push(sign);
    let magnitude = penalty_ms.unsigned_abs();
    let _ = write!(out, "{}", magnitude / 1000);
    if !magnitude.is_multiple_of(1000) {
        let _ = write!(out, ".{}", magnitude % 1000 / 100);
    }
    out.push_str(" s penalty");
}

fn isolated(out: &mut String, text: &str) {
    out.push(ISOLATE);
    out.push_str(text);
    out.push(POP);
}
