//! Every word that a board writes, in one place, in English.

use std::fmt::Write as _;

use fivemark_wire::view::{HeatState, Part, State, Titles, Unit};
use unicode_segmentation::UnicodeSegmentation;

use crate::clock;

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
pub(crate) const BUY_IN: &str = "buy-in";
pub(crate) const CLOCK_IN_DOUBT: &str = "clock unconfirmed";
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

/// `Heat 7 · Open women`; `Lane 4 runs again · Heat 7`; `Heat 8 · OW Open women · MW Masters women`, where rows carry
/// the short forms of divisions.
pub(crate) fn heat_line(out: &mut String, titles: &Titles, heat: &HeatState, short: &[String]) {
    out.clear();
    if let Some(lane) = heat.alone {
        let _ = write!(out, "Lane {lane} runs again{BETWEEN}");
    }
    isolated(out, &titles.heat_name);
    if heat.alone.is_some() {
        return;
    }
    if heat.run > 1 {
        let _ = write!(out, "{BETWEEN}run {}", heat.run);
    }
    for (index, division) in titles.divisions.iter().enumerate() {
        out.push_str(BETWEEN);
        if let Some(short) = short.get(index) {
            isolated(out, short);
            out.push(' ');
        }
        isolated(out, division);
    }
}

/// Short forms of divisions, each of them different: their initials, or letters in order.
pub(crate) fn short_divisions(divisions: &[String]) -> Vec<String> {
    let initials = |name: &String| {
        let first = |word: &str| word.graphemes(true).next().map(str::to_uppercase);
        name.split_whitespace().filter_map(first).take(3).collect::<String>()
    };
    let shorts: Vec<String> = divisions.iter().map(initials).collect();
    let differ =
        shorts.iter().enumerate().all(|(at, short)| !short.is_empty() && !shorts[..at].contains(short));
    if differ { shorts } else { ('A'..='Z').take(divisions.len()).map(String::from).collect() }
}

/// `cap `, before the cap's time, or `AMRAP · window `.
pub(crate) fn cap(out: &mut String, open: bool) {
    out.push_str(if open { "AMRAP · window " } else { "cap " });
}

/// `starts 0:30`, with a lane's own start in heat time.
pub(crate) fn starts(out: &mut String, start_ms: i64) {
    out.clear();
    out.push_str("starts ");
    clock::write_seconds(out, start_ms / 100);
}

/// `R5`: the round under way.
pub(crate) fn round(out: &mut String, round: u32) {
    out.clear();
    let _ = write!(out, "R{round}");
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
    seconds(out, penalty_ms);
    out.push_str(" s penalty");
}

/// `−12.5 s credit`.
pub(crate) fn credit(out: &mut String, credit_ms: i64) {
    seconds(out, credit_ms.saturating_neg());
    out.push_str(" s credit");
}

/// `tie-break 4:12.3`, or `TB 4:12.3` where there is little room.
pub(crate) fn tie_break(out: &mut String, tie_break_ms: i64, resolution_ms: u32, short: bool) {
    out.push_str(if short { "TB " } else { "tie-break " });
    clock::write_result(out, tie_break_ms, resolution_ms);
}

fn seconds(out: &mut String, ms: i64) {
    let sign = if ms < 0 { MINUS } else { '+' };
    out.push(sign);
    let magnitude = ms.unsigned_abs();
    let _ = write!(out, "{}", magnitude / 1000);
    if !magnitude.is_multiple_of(1000) {
        let _ = write!(out, ".{}", magnitude % 1000 / 100);
    }
}

fn isolated(out: &mut String, text: &str) {
    out.push(ISOLATE);
    out.push_str(text);
    out.push(POP);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_divisions_are_all_different() {
        for (divisions, shorts) in [
            (&["Open women", "Masters women"][..], &["OW", "MW"][..]),
            (&["Open women", "Older women"], &["A", "B"]),
            (&["Élite", "35+ men", "very long name of it"], &["É", "3M", "VLN"]),
            (&["", "Open"], &["A", "B"]),
        ] {
            let divisions: Vec<String> = divisions.iter().map(|name| (*name).to_owned()).collect();
            assert_eq!(short_divisions(&divisions), shorts);
        }
    }

    #[test]
    fn seconds_carry_their_sign() {
        let mut out = String::new();
        penalty(&mut out, 10_000);
        credit(&mut out, 12_500);
        tie_break(&mut out, 252_300, 100, true);
        assert_eq!(out, "+10 s penalty−12.5 s creditTB 4:12.3");
    }

    /// What the board itself writes must be in every theme's fonts, so it is in the list by which they are checked.
    #[test]
    fn every_character_of_the_board_s_own_words_is_looked_for_in_fonts() {
        let own = include_str!("words.rs").split("#[cfg(test)]").next().unwrap();
        let code = own.lines().filter(|line| !line.trim_start().starts_with("//"));
        for character in code.flat_map(str::chars).filter(|c| !c.is_ascii()) {
            assert!(fivemark_themes::WRITTEN.contains(character), "{character:?}");
        }
        for character in
            [MINUS, ELLIPSIS].into_iter().chain((' '..='~').filter(|c| c.is_ascii_alphanumeric()))
        {
            assert!(fivemark_themes::WRITTEN.contains(character), "{character:?}");
        }
    }
}
