//! Every word that screens write: which message says what, and what fills its places. The messages themselves stand
//! in `display/scene/messages`, a file for each language.

mod cards;
mod language;
mod limit;
mod overlay;

use std::fmt::Write as _;

use fivemark_wire::view::{HeatState, Part, State, Titles, Unit};
use unicode_segmentation::UnicodeSegmentation;

use crate::clock;

pub(crate) use language::Message;
pub use language::{UnknownLanguage, Words};
pub(crate) use limit::Limit;
pub(crate) use overlay::LEVEL;

/// Isolates a text from outside, so that its direction of writing does not reorder what stands beside it
/// (UAX #9: FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE).
const ISOLATE: char = '\u{2068}';
const POP: char = '\u{2069}';

pub(crate) const FINISHED: Message = Message("finished");
pub(crate) const TIME_CAP: Message = Message("time-cap");
pub(crate) const UNDER_REVIEW: Message = Message("under-review");
pub(crate) const REVIEW: Message = Message("review");
pub(crate) const RULED: Message = Message("ruled");
pub(crate) const EMPTY_LANE: Message = Message("empty-lane");
pub(crate) const NO_REP: Message = Message("no-rep");
pub(crate) const TO_THE_LINE: Message = Message("to-the-line");
pub(crate) const BUY_IN: Message = Message("buy-in");
pub(crate) const CLOCK_IN_DOUBT: Message = Message("clock-in-doubt");
pub(crate) const NOT_RECORDING: Message = Message("not-recording");
pub(crate) const WAITING: Message = Message("waiting");
pub(crate) const HELD: Message = Message("held");
pub(crate) const HELD_MEANS: Message = Message("held-means");
pub(crate) const CANCELLED: Message = Message("cancelled");
pub(crate) const CANCELLED_MEANS: Message = Message("cancelled-means");
pub(crate) const LEFT: Message = Message("left");
pub(crate) const NEXT_HEAT: Message = Message("next-heat");
pub(crate) const RESULTS: Message = Message("results");
pub(crate) const STANDINGS: Message = Message("standings");
pub(crate) const PROVISIONAL: Message = Message("provisional");
pub(crate) const OFFICIAL: Message = Message("official");
pub(crate) const BETWEEN: &str = " · ";
pub(crate) const MINUS: char = '\u{2212}';
pub(crate) const ELLIPSIS: char = '\u{2026}';

/// The name of a state, as a plate in the header; none while the heat runs.
pub(crate) fn state(state: State) -> Option<Message> {
    match state {
        State::LanesSet => Some(Message("lanes-set")),
        State::OnDeck => Some(Message("on-deck")),
        State::Countdown => Some(Message("countdown")),
        State::Running => None,
        State::Held => Some(HELD),
        State::TimeCalled => Some(Message("time-called")),
        State::Provisional => Some(PROVISIONAL),
        State::Signed => Some(OFFICIAL),
        State::Cancelled => Some(CANCELLED),
    }
}

impl Words {
    /// `Heat 7 · Open women`; `Lane 4 runs again · Heat 7`; `Heat 8 · OW Open women · MW Masters women`, where rows
    /// carry the short forms of divisions.
    pub(crate) fn heat_line(&self, out: &mut String, titles: &Titles, heat: &HeatState, short: &[String]) {
        out.clear();
        if let Some(lane) = heat.alone {
            self.write(out, Message("lane-runs-again"), &[("lane", lane.into())]);
            out.push_str(BETWEEN);
        }
        isolated(out, &titles.heat_name);
        if heat.alone.is_some() {
            return;
        }
        if heat.run > 1 {
            out.push_str(BETWEEN);
            self.write(out, Message("run"), &[("run", heat.run.into())]);
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

    /// `cap 12:00`, `AMRAP · window 12:00`, or `window 12:00`.
    pub(crate) fn cap(&self, out: &mut String, limit: Limit, cap_ms: i64) {
        let message = Message(match limit {
            Limit::Cap => "cap",
            Limit::Rounds => "window",
            Limit::Tries => "window-tries",
        });
        self.with_text(|time| {
            clock::write_seconds(time, cap_ms / 100);
            self.write(out, message, &[("time", (&**time).into())]);
        });
    }

    /// `starts 0:30`, with a lane's own start in heat time.
    pub(crate) fn starts(&self, out: &mut String, start_ms: i64) {
        out.clear();
        self.with_text(|time| {
            clock::write_seconds(time, start_ms / 100);
            self.write(out, Message("starts"), &[("time", (&**time).into())]);
        });
    }

    /// `R5`: the round under way.
    pub(crate) fn round(&self, out: &mut String, round: u32) {
        out.clear();
        self.write(out, Message("round"), &[("round", round.into())]);
    }

    /// `2 of 9 done`.
    pub(crate) fn done_of(&self, out: &mut String, heat: &HeatState) {
        let args = [("done", heat.finished.into()), ("all", heat.starters.into())];
        self.write(out, Message("done-of"), &args);
    }

    /// `4 to go`, or what is left when only the finish call is.
    pub(crate) fn to_go(&self, out: &mut String, left: u32) {
        out.clear();
        if left == 0 {
            out.push_str(self.get(TO_THE_LINE));
        } else {
            self.write(out, Message("to-go"), &[("left", left.into())]);
        }
    }

    /// `no-rep · depth`.
    pub(crate) fn no_rep(&self, out: &mut String, fault: &str) {
        out.clear();
        if fault.is_empty() {
            out.push_str(self.get(NO_REP));
            return;
        }
        self.with_text(|text| {
            isolated(text, fault);
            self.write(out, Message("no-rep-fault"), &[("fault", (&**text).into())]);
        });
    }

    /// `no feed · 12 s`.
    pub(crate) fn no_feed(&self, out: &mut String, age_ms: i64) {
        out.clear();
        let seconds = age_ms.max(0) / 1000;
        if seconds < 100 {
            self.write(out, Message("no-feed-seconds"), &[("seconds", seconds.into())]);
        } else {
            self.write(out, Message("no-feed-minutes"), &[("minutes", (seconds / 60).into())]);
        }
    }

    /// `starts in 7 s`, or `resumes in 7 s` after a hold.
    pub(crate) fn starts_in(&self, out: &mut String, seconds: i64, resumes: bool) {
        let message = Message(if resumes { "resumes-in" } else { "starts-in" });
        self.write(out, message, &[("seconds", seconds.into())]);
    }

    /// `No. 104`, in place of a name that no font can write.
    pub(crate) fn bib(&self, bib: &str) -> String {
        let mut out = String::new();
        self.write(&mut out, Message("bib"), &[("bib", bib.into())]);
        out
    }

    /// `+10 s penalty`.
    pub(crate) fn penalty(&self, out: &mut String, penalty_ms: i64) {
        self.seconds(out, Message("penalty"), penalty_ms);
    }

    /// `−12.5 s credit`.
    pub(crate) fn credit(&self, out: &mut String, credit_ms: i64) {
        self.seconds(out, Message("credit"), credit_ms.saturating_neg());
    }

    /// `tie-break 4:12.3`, or `TB 4:12.3` where there is little room.
    pub(crate) fn tie_break(&self, out: &mut String, tie_break_ms: i64, resolution_ms: u32, short: bool) {
        let message = Message(if short { "tie-break-short" } else { "tie-break" });
        self.with_text(|time| {
            clock::write_result(time, tie_break_ms, resolution_ms, self.decimal_mark());
            self.write(out, message, &[("time", (&**time).into())]);
        });
    }

    /// A result as the feed writes it (`7:08.4`, `87 of 90`, `cap + 3`, `5 + 12`, `142.5 kg`, `no mark`, `DNF`) in this
    /// language: a time or a load with its mark, and the words between numbers. What is none of these is written as it is.
    pub(crate) fn result(&self, out: &mut String, result: &str) {
        let number = |text: &str| text.parse::<u32>().ok();
        if is_time(result) {
            out.extend(result.chars().map(|c| if c == '.' { self.decimal_mark() } else { c }));
        } else if let Some((Some(done), Some(all))) =
            result.split_once(" of ").map(|(done, all)| (number(done), number(all)))
        {
            self.write(out, Message("work-of"), &[("done", done.into()), ("all", all.into())]);
        } else if let Some(missing) = result.strip_prefix("cap + ").and_then(number) {
            self.write(out, Message("cap-plus"), &[("missing", missing.into())]);
        } else if let Some(done) = result.strip_prefix("buy-in + ").and_then(number) {
            self.write(out, Message("buy-in-plus"), &[("done", done.into())]);
        } else if result == "no mark" {
            out.push_str(self.get(Message("no-mark")));
        } else if is_load(result) {
            out.extend(result.chars().map(|c| if c == '.' { self.decimal_mark() } else { c }));
        } else {
            out.push_str(result);
        }
    }

    fn seconds(&self, out: &mut String, message: Message, ms: i64) {
        self.with_text(|text| {
            text.push(if ms < 0 { MINUS } else { '+' });
            let magnitude = ms.unsigned_abs();
            let _ = write!(text, "{}", magnitude / 1000);
            if !magnitude.is_multiple_of(1000) {
                let _ = write!(text, "{}{}", self.decimal_mark(), magnitude % 1000 / 100);
            }
            self.write(out, message, &[("seconds", (&**text).into())]);
        });
    }
}

/// A lane or a place in figures.
pub(crate) fn number(out: &mut String, number: u16) {
    let _ = write!(out, "{number}");
}

/// Whether a result is a time: `7:08`, `7:08.4`, `1:07:42.35`, `9.57`.
fn is_time(result: &str) -> bool {
    result.contains([':', '.'])
        && result.split(':').count() <= 3
        && result
            .split([':', '.'])
            .all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()))
        && result.rsplit_once('.').is_none_or(|(_, fraction)| !fraction.contains(':'))
        && result.matches('.').count() <= 1
}

/// Whether a result is a load: `142.5 kg`, `225 lb`.
fn is_load(result: &str) -> bool {
    let figures = result.strip_suffix(" kg").or_else(|| result.strip_suffix(" lb"));
    figures
        .is_some_and(|figures| figures.parse::<u32>().is_ok() || is_time(figures) && !figures.contains(':'))
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

impl Words {
    /// `test card · south wall · dark · 1920 x 1080`.
    pub(crate) fn test_card(&self, out: &mut String, name: &str, [width, height]: [u32; 2], theme: &str) {
        out.clear();
        out.push_str(self.get(Message("test-card")));
        for part in [name, theme].into_iter().filter(|part| !part.is_empty()) {
            out.push_str(BETWEEN);
            isolated(out, part);
        }
        let _ = write!(out, "{BETWEEN}{width} x {height}");
    }
}

/// `Ada Vollan · Brit Ness`: the members of a team.
pub(crate) fn members(out: &mut String, members: &[String]) {
    out.clear();
    for (index, member) in members.iter().enumerate() {
        if index > 0 {
            out.push_str(BETWEEN);
        }
        isolated(out, member);
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

    fn written(code: &str, write: impl Fn(&Words, &mut String)) -> String {
        let mut out = String::new();
        write(&Words::of(code).unwrap(), &mut out);
        out
    }

    /// Plurals as the Unicode CLDR has them (cardinal: `one` is 1 in all three), numbers with each language's mark.
    #[test]
    fn sentences_have_their_plurals_signs_and_marks() {
        for (code, texts) in [
            ("en", ["1 to go", "4 to go", "+10 s penalty", "−12.5 s credit", "TB 4:12.3"]),
            ("es", ["falta 1", "faltan 4", "+10 s de penalización", "−12,5 s de bonificación", "TB 4:12,3"]),
            ("de", ["noch 1", "noch 4", "+10 s Strafe", "−12,5 s Gutschrift", "TB 4:12,3"]),
        ] {
            let found = [
                written(code, |words, out| words.to_go(out, 1)),
                written(code, |words, out| words.to_go(out, 4)),
                written(code, |words, out| words.penalty(out, 10_000)),
                written(code, |words, out| words.credit(out, 12_500)),
                written(code, |words, out| words.tie_break(out, 252_300, 100, true)),
            ];
            assert_eq!(found, texts);
        }
    }

    #[test]
    fn a_result_is_written_in_the_language_and_only_times_get_its_mark() {
        for (result, en, es, de) in [
            ("7:08.4", "7:08.4", "7:08,4", "7:08,4"),
            ("1:07:42.35", "1:07:42.35", "1:07:42,35", "1:07:42,35"),
            ("9.57", "9.57", "9,57", "9,57"),
            ("12:00", "12:00", "12:00", "12:00"),
            ("87 of 90", "87 of 90", "87 de 90", "87 von 90"),
            ("cap + 3", "cap + 3", "límite + 3", "Limit + 3"),
            ("5 + 12", "5 + 12", "5 + 12", "5 + 12"),
            ("buy-in + 4", "buy-in + 4", "buy-in + 4", "Buy-in + 4"),
            ("162", "162", "162", "162"),
            ("142.5 kg", "142.5 kg", "142,5 kg", "142,5 kg"),
            ("225 lb", "225 lb", "225 lb", "225 lb"),
            ("1.2.3 kg", "1.2.3 kg", "1.2.3 kg", "1.2.3 kg"),
            ("no mark", "no mark", "sin marca", "ohne Wertung"),
            ("DNF", "DNF", "DNF", "DNF"),
            ("v1.5", "v1.5", "v1.5", "v1.5"),
            ("1.2.3", "1.2.3", "1.2.3", "1.2.3"),
            ("4.12:30", "4.12:30", "4.12:30", "4.12:30"),
            ("one of 9", "one of 9", "one of 9", "one of 9"),
            (".", ".", ".", "."),
            ("", "", "", ""),
        ] {
            for (code, text) in [("en", en), ("es", es), ("de", de)] {
                assert_eq!(written(code, |words, out| words.result(out, result)), text, "{result} in {code}");
            }
        }
    }

    /// Names from outside are isolated once, and nothing else is.
    #[test]
    fn a_name_in_a_sentence_is_isolated_once() {
        let line = written("de", |words, out| words.no_rep(out, "עומק"));
        assert_eq!(line, "No-Rep · \u{2068}עומק\u{2069}");
        assert!(!written("de", |words, out| words.to_go(out, 4)).contains([ISOLATE, POP]));
    }
}
