//! The head judge's corrections: which ones can be made, and how they read beside what they replace. What they do
//! to a lane's work is in `work`.

use crate::answer::{Event, Refused};
use crate::attempt::load_text;
use crate::bounds::{
    MAX_CAP_MS, MAX_LOAD_G, MAX_PENALTY_MS, MAX_REASON_BYTES, MAX_REVIEW_MS, MAX_SCORE_UNITS, MIN_REVIEW_MS,
};
use crate::command::{Penalty, Ruling, RulingKind, StatusRuling};
use crate::course::Course;
use crate::floor::Phase;
use crate::heat::Heat;
use crate::lane::Lane;
use crate::official::{count_text, cut, seconds_text, time_text};
use crate::record::{Doubts, Entry, Said, Told, Verdict};
use crate::time::{HeatMs, SpanMs};
use crate::view::Status;
use crate::workout::{ClockRules, Scoring};

impl Heat {
    /// Makes a ruling: a new entry of the lane's record.
    pub(crate) fn ruling(&mut self, at: HeatMs, ruling: &Ruling) -> Result<(), Refused> {
        let index = self.may_rule(at, ruling)?;
        let before = self.standing_text(index);
        let said = Said::Ruling(ruling.clone());
        let doubts = Doubts::default();
        let slot = self.lanes[index].record().len();
        let entry = Entry { at, effective: at, said, doubts, verdict: Verdict::Ruled, told: None };
        self.enter(index, entry, None);
        let index = match ruling.kind {
            RulingKind::MoveAthlete { to } => self.move_athlete(at, index, to),
            _ => {
                self.refresh(index);
                index
            }
        };
        let course = &self.courses[self.lanes[index].course];
        let (says, after) = (says(&ruling.kind, &self.rules, course), self.standing_text(index));
        let told = Told { says: says.clone(), before: before.clone(), after: after.clone() };
        self.lanes[index].tell(slot, told);
        let (lane, by, reason) = (self.lanes[index].no, ruling.by.clone(), ruling.reason.clone());
        self.screen.note(Event::Ruled { lane, by, says, reason, before, after });
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
        let on_the_clock = ruling.kind.is_about_work()
            || matches!(ruling.kind, RulingKind::Credit(_) | RulingKind::NoteStop(_));
        if on_the_clock && !self.clock_of(lane).started() {
            return Err(Refused::NotInThisState(self.phase.state()));
        }
        check_scoring(&ruling.kind, self.courses[lane.course].scoring)?;
        match ruling.kind {
            RulingKind::SetBestLoad { load_g } if load_g > MAX_LOAD_G => {
                return Err(Refused::BestLoadOutOfRange);
            }
            RulingKind::SetHeld(held) => self.check_held(at, lane, held)?,
            RulingKind::SetCount { done, finish } | RulingKind::FromPaper { done, finish } => {
                self.check_count(at, lane, done, finish)?;
            }
            RulingKind::AddUnits(add) => self.check_units(at, lane, add)?,
            RulingKind::MoveFinish(_) if lane.now().finish.is_none() => {
                return Err(Refused::NotFinished(ruling.lane));
            }
            RulingKind::MoveFinish(time) => self.check_finish(at, lane, time)?,
            RulingKind::Credit(credit) => check_credit(lane, credit)?,
            RulingKind::MoveAthlete { to } => self.check_move(lane, to)?,
            RulingKind::Penalty(penalty) => check_penalty(penalty)?,
            RulingKind::NoteStop(time) => check_stop(time)?,
            RulingKind::Review(within) => check_review(within)?,
            RulingKind::SetBestLoad { .. } | RulingKind::Status(_) => {}
        }
        Ok(index)
    }

    fn check_count(&self, at: HeatMs, lane: &Lane, done: u32, finish: Option<SpanMs>) -> Result<(), Refused> {
        let course = &self.courses[lane.course];
        let units = course.most_units();
        match finish {
            _ if done > units => Err(Refused::CountOutOfRange { units }),
            Some(_) if course.is_open_ended() => Err(Refused::NoFinish),
            None if !course.is_open_ended() && done == units && !course.finish_call => {
                Err(Refused::NeedsFinishTime { units })
            }
            Some(_) if done < units => Err(Refused::FinishNotReached { units }),
            Some(time) => self.check_finish(at, lane, time),
            None => Ok(()),
        }
    }

    fn check_units(&self, at: HeatMs, lane: &Lane, add: i32) -> Result<(), Refused> {
        let (done, units) = (lane.now().done, self.courses[lane.course].most_units());
        match done.checked_add_signed(add) {
            Some(after) if add != 0 && after <= units => self.check_count(at, lane, after, None),
            _ => Err(Refused::UnitsOutOfRange { lane: lane.no, done, units }),
        }
    }

    /// A finish lies within the time that the lane has run, and not after its time was up.
    fn check_finish(&self, at: HeatMs, lane: &Lane, time: SpanMs) -> Result<(), Refused> {
        let clock = self.clock_of(lane);
        let seen = clock.ended_at().map_or(at, |ended| at.min(ended.plus(lane.own.credit)));
        let fits = lane.own.finishes(clock.elapsed(seen), &self.rules);
        let (earliest_ms, latest_ms) = (fits.start().0, fits.end().0);
        if fits.contains(&time) { Ok(()) } else { Err(Refused::TimeOutOfRange { earliest_ms, latest_ms }) }
    }

    /// Nobody held longer than the lane has had time, cut as holds are.
    fn check_held(&self, at: HeatMs, lane: &Lane, held: SpanMs) -> Result<(), Refused> {
        let had = self.clock_of(lane).elapsed(at).min(lane.own.up(&self.rules));
        let longest = SpanMs(had.0.saturating_sub(lane.own.start.0));
        let longest_ms = cut(longest, self.rules.resolution, self.rules.rounding).0;
        if (0..=longest_ms).contains(&held.0) { Ok(()) } else { Err(Refused::HeldOutOfRange { longest_ms }) }
    }

    /// The lane's result or count, as put beside a ruling.
    fn standing_text(&self, index: usize) -> String {
        let Some(view) = self.screen.lanes.get(index) else { return String::new() };
        let lane = &self.lanes[index];
        let mut text = match &view.result {
            Some(result) => result.text.clone(),
            None => count_text(lane.now(), &self.courses[lane.course], &self.rules),
        };
        let penalty = lane.now().penalty();
        if penalty != SpanMs(0) {
            let way = if penalty.0 > 0 { "penalty" } else { "given back" };
            text.push_str(&format!(", with {} {way}", seconds_text(penalty)));
        }
        if lane.own.credit != SpanMs(0) {
            text.push_str(&format!(", with {} credit", seconds_text(lane.own.credit)));
        }
        if view.status == Status::UnderReview {
            text.push_str(", under review");
        }
        text
    }
}

fn check_texts(ruling: &Ruling) -> Result<(), Refused> {
    check_reason(&ruling.reason)?;
    if ruling.by.trim().is_empty() {
        return Err(Refused::NoName);
    }
    if ruling.by.len() > MAX_REASON_BYTES {
        return Err(Refused::TooLong("name of who rules", MAX_REASON_BYTES));
    }
    Ok(())
}

/// Whoever changes what stood says why.
pub(crate) fn check_reason(reason: &str) -> Result<(), Refused> {
    if reason.trim().is_empty() {
        return Err(Refused::NoReason);
    }
    if reason.len() > MAX_REASON_BYTES {
        return Err(Refused::TooLong("reason", MAX_REASON_BYTES));
    }
    Ok(())
}

/// Units and finishes are ruled on where units are counted, bests where attempts are judged.
fn check_scoring(kind: &RulingKind, scoring: Scoring) -> Result<(), Refused> {
    let fits = match kind {
        RulingKind::SetBestLoad { .. } => matches!(scoring, Scoring::HeaviestLift { .. }),
        RulingKind::SetHeld(_) => matches!(scoring, Scoring::LongestHold { .. }),
        RulingKind::Penalty(_) => !scoring.judges_attempts(),
        kind => !kind.is_about_work() || !scoring.judges_attempts(),
    };
    let attempts = scoring.judges_attempts();
    if fits { Ok(()) } else { Err(Refused::DoesNotFitScoring { attempts }) }
}

/// Credits add up to something between nothing and a day.
fn check_credit(lane: &Lane, credit: SpanMs) -> Result<(), Refused> {
    let credited_ms = lane.own.credit.0;
    let fits = (0..=MAX_CAP_MS).contains(&credited_ms.saturating_add(credit.0));
    if credit != SpanMs(0) && fits {
        Ok(())
    } else {
        Err(Refused::CreditOutOfRange { lane: lane.no, credited_ms })
    }
}

fn check_stop(time: SpanMs) -> Result<(), Refused> {
    if (0..=MAX_CAP_MS).contains(&time.0) {
        return Ok(());
    }
    Err(Refused::TimeOutOfRange { earliest_ms: 0, latest_ms: MAX_CAP_MS })
}

fn check_review(within: SpanMs) -> Result<(), Refused> {
    if (MIN_REVIEW_MS..=MAX_REVIEW_MS).contains(&within.0) {
        return Ok(());
    }
    Err(Refused::DeadlineOutOfRange)
}

fn check_penalty(penalty: Penalty) -> Result<(), Refused> {
    let fits = match penalty {
        Penalty::Time(add) => add.0 != 0 && (-MAX_PENALTY_MS..=MAX_PENALTY_MS).contains(&add.0),
        Penalty::Units(take) => take != 0 && take.unsigned_abs() <= MAX_SCORE_UNITS,
    };
    if fits { Ok(()) } else { Err(Refused::PenaltyOutOfRange { max_units: MAX_SCORE_UNITS }) }
}

/// A ruling in words.
fn says(kind: &RulingKind, rules: &ClockRules, course: &Course) -> String {
    let finish = |time| time_text(cut(time, rules.resolution, rules.rounding), rules.resolution);
    match kind {
        RulingKind::SetCount { done, finish: None } => format!("set the count to {}", units_text(*done)),
        RulingKind::SetCount { done, finish: Some(time) } => {
            format!("set the count to {}, finished in {}", units_text(*done), finish(*time))
        }
        RulingKind::FromPaper { done, finish: None } => {
            format!("went on from a paper count of {}", units_text(*done))
        }
        RulingKind::FromPaper { done, finish: Some(time) } => {
            format!("took a paper count of {}, finished in {}", units_text(*done), finish(*time))
        }
        RulingKind::AddUnits(add) if *add < 0 => format!("removed {}", units_text(add.unsigned_abs())),
        RulingKind::AddUnits(add) => format!("added {}", units_text(add.unsigned_abs())),
        RulingKind::SetBestLoad { load_g: 0 } => "took the best load away".to_owned(),
        RulingKind::SetBestLoad { load_g } => match course.scoring {
            Scoring::HeaviestLift { unit, .. } => {
                format!("set the best load to {}", load_text(*load_g, unit))
            }
            // No other scoring takes it.
            _ => "set the best load".to_owned(),
        },
        RulingKind::SetHeld(SpanMs(0)) => "took the time held away".to_owned(),
        RulingKind::SetHeld(held) => format!("set the time held to {}", finish(*held)),
        RulingKind::Credit(credit) if credit.0 < 0 => {
            format!("took a credit of {} back", seconds_text(*credit))
        }
        RulingKind::Credit(credit) => format!("credited {}", seconds_text(*credit)),
        RulingKind::MoveAthlete { to } => format!("moved to lane {}", to.0),
        RulingKind::MoveFinish(time) => format!("moved the finish to {}", finish(*time)),
        RulingKind::NoteStop(time) => format!("noted a stop by hand at {}", finish(*time)),
        RulingKind::Review(within) => {
            format!("put under review, to be decided within {} min", within.0 / 60_000)
        }
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
