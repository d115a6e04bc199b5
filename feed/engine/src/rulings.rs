//! The head judge's corrections: which ones can be made, and how they read beside what they replace. What they do
//! to a lane's work is in `work`.

use crate::answer::{Event, Refused};
use crate::bounds::{MAX_PENALTY_MS, MAX_REASON_BYTES, MAX_SCORE_UNITS};
use crate::command::{Penalty, Ruling, RulingKind, StatusRuling};
use crate::floor::Phase;
use crate::heat::Heat;
use crate::official::{official, seconds_text, time_text};
use crate::record::{Doubts, Entry, Said, Verdict};
use crate::time::{HeatMs, SpanMs};
use crate::view::Status;
use crate::workout::ClockRules;

impl Heat {
    /// Makes a ruling: a new entry of the lane's record.
    pub(crate) fn ruling(&mut self, at: HeatMs, ruling: &Ruling) -> Result<(), Refused> {
        let index = self.may_rule(at, ruling)?;
        let before = self.standing_text(index);
        let said = Said::Ruling(ruling.clone());
        let doubts = Doubts::default();
        self.enter(index, Entry { at, effective: at, said, doubts, verdict: Verdict::Ruled }, None);
        self.refresh(index);
        self.screen.note(Event::Ruled {
            lane: ruling.lane,
            by: ruling.by.clone(),
            says: says(&ruling.kind, &self.rules),
            reason: ruling.reason.clone(),
            before,
            after: self.standing_text(index),
        });
        Ok(())
    }

    /// The lane's index, if the ruling can be made.
    fn may_rule(&self, at: HeatMs, ruling: &Ruling) -> Result<usize, Refused> {
        let index = self.index_of(ruling.lane).ok_or(Refused::UnknownLane(ruling.lane))?;
        let lane = &self.lanes[index];
        if !lane.occupied {
            return Err(Refused::EmptyLane(ruling.lane));
        }
        check_texts(ruling)?;
        match self.phase {
            Phase::Signed(_) => return Err(Refused::HeatSigned),
            Phase::Cancelled { .. } => return Err(Refused::HeatCancelled),
            _ => {}
        }
        if lane.is_full() {
            return Err(Refused::RecordFull(ruling.lane));
        }
        let about_work = matches!(ruling.kind, RulingKind::SetCount { .. } | RulingKind::MoveFinish(_));
        if about_work && !self.clock.started() {
            return Err(Refused::NotInThisState(self.phase.state()));
        }
        let course = &self.courses[lane.course];
        match ruling.kind {
            RulingKind::SetCount { done, finish } => {
                let units = course.units;
                match finish {
                    _ if done > units => return Err(Refused::CountOutOfRange { units }),
                    None if done == units && !course.finish_call => {
                        return Err(Refused::NeedsFinishTime { units });
                    }
                    Some(_) if done < units => return Err(Refused::FinishNotReached { units }),
                    Some(time) => self.check_finish(at, time)?,
                    None => {}
                }
            }
            RulingKind::MoveFinish(_) if lane.now().finish.is_none() => {
                return Err(Refused::NotFinished(ruling.lane));
            }
            RulingKind::MoveFinish(time) => self.check_finish(at, time)?,
            RulingKind::Penalty(penalty) => check_penalty(penalty)?,
            RulingKind::Status(_) => {}
        }
        Ok(index)
    }

    /// A finish lies within the time that the heat has run, and not after the cap.
    fn check_finish(&self, at: HeatMs, time: SpanMs) -> Result<(), Refused> {
        let latest = self.clock.elapsed(at);
        if (SpanMs(0)..=latest).contains(&time) {
            Ok(())
        } else {
            Err(Refused::TimeOutOfRange { latest_ms: latest.0 })
        }
    }

    /// The lane's result or count, as put beside a ruling.
    fn standing_text(&self, index: usize) -> String {
        let Some(view) = self.screen.lanes.get(index) else { return String::new() };
        let whole = self.courses[self.lanes[index].course].score_units;
        let mut text = match &view.result {
            Some(result) => result.text.clone(),
            None => format!("{} of {whole}", view.score),
        };
        let penalty = self.lanes[index].now().penalty();
        if penalty != SpanMs(0) {
            let way = if penalty.0 > 0 { "penalty" } else { "credit" };
            text.push_str(&format!(", with {} {way}", seconds_text(penalty)));
        }
        if view.status == Status::UnderReview {
            text.push_str(", under review");
        }
        text
    }
}

fn check_texts(ruling: &Ruling) -> Result<(), Refused> {
    if ruling.reason.trim().is_empty() {
        return Err(Refused::NoReason);
    }
    if ruling.by.trim().is_empty() {
        return Err(Refused::NoName);
    }
    if ruling.reason.len() > MAX_REASON_BYTES {
        return Err(Refused::TooLong("reason", MAX_REASON_BYTES));
    }
    if ruling.by.len() > MAX_REASON_BYTES {
        return Err(Refused::TooLong("name of who rules", MAX_REASON_BYTES));
    }
    Ok(())
}

fn check_penalty(penalty: Penalty) -> Result<(), Refused> {
    let fits = match penalty {
        Penalty::Time(add) => add.0 != 0 && (-MAX_PENALTY_MS..=MAX_PENALTY_MS).contains(&add.0),
        Penalty::Units(take) => take != 0 && take.unsigned_abs() <= MAX_SCORE_UNITS,
    };
    if fits { Ok(()) } else { Err(Refused::PenaltyOutOfRange { max_units: MAX_SCORE_UNITS }) }
}

/// A ruling in words.
fn says(kind: &RulingKind, rules: &ClockRules) -> String {
    let finish = |time| time_text(official(rules, time, SpanMs(0)), rules.resolution);
    match kind {
        RulingKind::SetCount { done, finish: None } => format!("set the count to {done} units"),
        RulingKind::SetCount { done, finish: Some(time) } => {
            format!("set the count to {done} units, finished in {}", finish(*time))
        }
        RulingKind::MoveFinish(time) => format!("moved the finish to {}", finish(*time)),
        RulingKind::Penalty(Penalty::Time(add)) if add.0 < 0 => format!("gave {} back", seconds_text(*add)),
        RulingKind::Penalty(Penalty::Time(add)) => format!("added a penalty of {}", seconds_text(*add)),
        RulingKind::Penalty(Penalty::Units(take)) if *take < 0 => {
            format!("gave {} back", units_text(take.unsigned_abs()))
        }
        RulingKind::Penalty(Penalty::Units(take)) => format!("took {} off", units_text(take.unsigned_abs())),
        RulingKind::Status(StatusRuling::DidNotFinish) => "did not finish".to_owned(),
        RulingKind::Status(StatusRuling::DidNotStart) => "did not start".to_owned(),
        RulingKind::Status(StatusRuling::Disqualified) => "disqualified".to_owned(),
        RulingKind::Status(StatusRuling::UnderReview) => "put under review".to_owned(),
        RulingKind::Status(StatusRuling::Reinstated) => "reinstated".to_owned(),
    }
}

fn units_text(units: u32) -> String {
    if units == 1 { "1 unit".to_owned() } else { format!("{units} units") }
}
