//! Attempts with a declared load, and holds: what a call does to a lane's work where these are judged, what rulings on
//! them do, and how a load reads. The score is the best load in grams, or the longest hold in milliseconds.

use crate::answer::NotCounted;
use crate::bounds::{ATTEMPTS_REACH, MAX_ATTEMPTS_SHOWN, MAX_LOAD_G};
use crate::command::{Call, Tally};
use crate::course::Course;
use crate::lane::Lane;
use crate::official::cut;
use crate::record::{Entry, Said, Verdict};
use crate::time::{HeatMs, SpanMs};
use crate::view::{AttemptView, TriesView};
use crate::work::{Finish, Ground, Heard, Work, fault_of};
use crate::workout::{ClockRules, EqualLoads, LoadUnit, Scoring};

/// A pound in hundred-thousandths of a gram: it is 0.45359237 kg exactly (NIST SP 811, appendix B).
const POUND: u64 = 45_359_237;

/// What a lane has tried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tries {
    /// Attempts up to the one that was the best.
    pub(crate) to_best: u32,
    /// Load declared for the next attempt, grams.
    pub(crate) declared_g: Option<u32>,
    /// When the hold under way began.
    pub(crate) holding: Option<HeatMs>,
}

impl Work {
    /// After a call that counts in time, at `elapsed` of heat time; with the attempts that it added.
    pub(crate) fn after_attempt(
        self,
        heard: Heard<'_>,
        elapsed: SpanMs,
        ground: Ground<'_>,
    ) -> Result<(Self, u32), NotCounted> {
        use Scoring::{HeaviestLift, LongestHold};
        let over = self.hold_end(ground).is_some_and(|end| heard.effective > end);
        let work = if over { self.with_hold_over(ground, false) } else { self };
        let left = work.done < ground.course.units;
        let part = ground.course.parts.first();
        match (ground.course.scoring, heard.tally.call) {
            (HeaviestLift { .. }, Call::DeclareLoad) => {
                let declared_g = Some(load_of(heard.tally)?);
                Ok((Self { tries: Tries { declared_g, ..work.tries }, ..work }, 0))
            }
            (HeaviestLift { .. }, Call::AttemptGood | Call::AttemptFailed) => {
                let load_g = load_of(heard.tally)?;
                fault_of(heard.tally, part)?;
                let good = heard.tally.call == Call::AttemptGood;
                Ok((work.attempted(load_g, good, heard, elapsed, ground.course), 1))
            }
            (LongestHold { .. }, Call::HoldStart) if work.tries.holding.is_some() => {
                Err(NotCounted::HoldUnderWay)
            }
            (LongestHold { .. }, Call::HoldStart) if !left => Err(NotCounted::NoAttemptLeft),
            (LongestHold { .. }, Call::HoldStart) => {
                let tries = Tries { holding: Some(heard.effective), ..work.tries };
                Ok((Self { done: work.done.saturating_add(1), tries, ..work }, 1))
            }
            (LongestHold { .. }, Call::HoldStop) => {
                fault_of(heard.tally, part)?;
                let began = work.tries.holding.ok_or(NotCounted::HoldNotStarted)?;
                let held = work.held(began, elapsed, ground);
                let finish = (!left).then_some(Finish { elapsed, by: Some(heard.ix) });
                Ok((Self { finish, last_good: Some(heard.effective), ..held }, 0))
            }
            _ => Err(NotCounted::CallDoesNotFit),
        }
    }

    /// The work with a hold under way ended where the heat's clock stopped, or where the lane's window closed
    /// (`called`); as it is if neither has happened.
    pub(crate) fn with_hold_over(self, ground: Ground<'_>, called: bool) -> Self {
        let Some(began) = self.tries.holding else { return self };
        let up = ground.own.up(ground.rules);
        match self.hold_end(ground) {
            Some(end) => self.held(began, ground.clock.elapsed(end).min(up), ground),
            None if called => self.held(began, up, ground),
            None => self,
        }
    }

    /// When the clock stopped by which a hold under way is held, if it did.
    fn hold_end(&self, ground: Ground<'_>) -> Option<HeatMs> {
        ground.clock.span_end(self.tries.holding?, ground.own.credit)
    }

    fn attempted(
        mut self,
        load_g: u32,
        good: bool,
        heard: Heard<'_>,
        elapsed: SpanMs,
        course: &Course,
    ) -> Self {
        self.done = self.done.saturating_add(1);
        self.tries.declared_g = None;
        if good {
            self.last_good = Some(heard.effective);
        }
        if good && load_g > self.score {
            (self.score, self.reached, self.tries.to_best) = (load_g, Some(elapsed), self.done);
        }
        if self.done >= course.units {
            self.finish = Some(Finish { elapsed, by: Some(heard.ix) });
        }
        self
    }

    /// A hold from a moment to a heat time, cut like an official time.
    fn held(mut self, began: HeatMs, until: SpanMs, ground: Ground<'_>) -> Self {
        let from = ground.clock.elapsed(began);
        let held = score_of(SpanMs(until.0.saturating_sub(from.0)), ground.rules);
        self.tries.holding = None;
        if held > self.score {
            (self.score, self.reached, self.tries.to_best) = (held, Some(until), self.done);
        }
        self
    }

    /// A ruling says what the best load is.
    pub(crate) fn set_best_load(&mut self, load_g: u32) {
        (self.score, self.tries.to_best) = (load_g, self.done);
    }

    /// A ruling says how long the longest hold took.
    pub(crate) fn set_held(&mut self, held: SpanMs, rules: &ClockRules) {
        (self.score, self.tries.to_best) = (score_of(held, rules), self.done);
    }
}

impl Lane {
    /// Which attempt a ruling at `place` means by a best load, and its heat time: the first one with that load, judged
    /// either way. None if the lane has not tried it.
    pub(crate) fn attempt_with(
        &self,
        load_g: u32,
        place: usize,
        ground: Ground<'_>,
    ) -> Option<(u32, SpanMs)> {
        let entries = (0..place).map(|place| self.entry(self.at_place(place)));
        let attempts = entries.filter_map(|entry| Some((attempt_of(entry)?.load_g, entry.effective)));
        let (number, (_, at)) = (1..).zip(attempts).find(|(_, (tried, _))| *tried == load_g)?;
        Some((number, ground.clock.elapsed(at)))
    }

    /// What it has tried, for screens.
    pub(crate) fn tries_view(&self, ground: Ground<'_>) -> Option<TriesView> {
        if !ground.course.scoring.judges_attempts() {
            return None;
        }
        let work = self.now();
        let latest = self.latest(ATTEMPTS_REACH).filter_map(attempt_of);
        let mut attempts: Vec<AttemptView> = latest.take(MAX_ATTEMPTS_SHOWN).collect();
        attempts.reverse();
        Some(TriesView {
            declared_g: work.tries.declared_g,
            attempts,
            holding: work.tries.holding.map(|began| ground.clock.elapsed(began)),
        })
    }
}

/// The attempt that an entry of a record is, if it counts as one.
fn attempt_of(entry: &Entry) -> Option<AttemptView> {
    let Said::Tally(tally) = &entry.said else { return None };
    let judged = matches!(tally.call, Call::AttemptGood | Call::AttemptFailed);
    let counts = judged && matches!(entry.verdict, Verdict::Counted { .. });
    let load_g = tally.load_g.filter(|_| counts)?;
    Some(AttemptView { load_g, good: tally.call == Call::AttemptGood })
}

/// What a hold scores: its time, cut like an official time.
fn score_of(held: SpanMs, rules: &ClockRules) -> u32 {
    // No window is as long as this type counts.
    u32::try_from(cut(held, rules.resolution, rules.rounding).0).unwrap_or(u32::MAX)
}

fn load_of(tally: &Tally) -> Result<u32, NotCounted> {
    match tally.load_g {
        None => Err(NotCounted::NoLoad),
        Some(1..=MAX_LOAD_G) => Ok(tally.load_g.unwrap_or_default()),
        Some(_) => Err(NotCounted::LoadOutOfRange),
    }
}

/// What parts equal loads: `reached` is when the best was lifted, as it counts for the lane. The lesser is the better.
pub(crate) fn parts_equals(equal: EqualLoads, tries: Tries, reached: SpanMs) -> i64 {
    /// More than any time of a heat, so that one attempt more weighs more.
    const ATTEMPT: i64 = 1 << 40;
    match equal {
        EqualLoads::FewerAttempts => i64::from(tries.to_best) * ATTEMPT + reached.0.min(ATTEMPT - 1),
        EqualLoads::Earlier => reached.0,
        EqualLoads::Shared => 0,
    }
}

/// A load as it was declared: `142.5 kg`, `225 lb`. Pounds are kept as grams too fine for two declared loads of a
/// hundredth of a pound to meet, so that what is shown is what was declared.
#[must_use]
pub fn load_text(load_g: u32, unit: LoadUnit) -> String {
    let (parts, digits, name) = match unit {
        LoadUnit::Kilogram => (u64::from(load_g), 3, "kg"),
        // Hundredths of a pound, to the nearest.
        LoadUnit::Pound => ((u64::from(load_g) * 10_000_000 + POUND / 2) / POUND, 2, "lb"),
    };
    let one = 10_u64.pow(digits);
    let rest = format!("{:0width$}", parts % one, width = usize::try_from(digits).unwrap_or(0));
    match rest.trim_end_matches('0') {
        "" => format!("{} {name}", parts / one),
        rest => format!("{}.{rest} {name}", parts / one),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_read_as_they_were_declared() {
        #[track_caller]
        fn check(load_g: u32, unit: LoadUnit, want: &str) {
            assert_eq!(load_text(load_g, unit), want);
        }
        check(142_500, LoadUnit::Kilogram, "142.5 kg");
        check(100_000, LoadUnit::Kilogram, "100 kg");
        check(61_250, LoadUnit::Kilogram, "61.25 kg");
        check(1, LoadUnit::Kilogram, "0.001 kg");
        // 1, 45, 225 and 405 lb are 0.45359237, 20.41165665, 102.05828325 and 183.70490985 kg, here to the gram (NIST SP
        // 811, appendix B, and pint 0.25.3).
        for (load_g, want) in
            [(454, "1 lb"), (20_412, "45 lb"), (102_058, "225 lb"), (183_705, "405 lb"), (1_134, "2.5 lb")]
        {
            check(load_g, LoadUnit::Pound, want);
        }
    }

    #[test]
    fn every_load_in_pounds_comes_back_from_its_grams() {
        // Each hundredth of a pound up to the largest load, as grams to the nearest.
        for hundredths in 1..=220_462_u64 {
            let load_g = u32::try_from((hundredths * POUND + 5_000_000) / 10_000_000).unwrap();
            let shown = load_text(load_g, LoadUnit::Pound);
            let (whole, rest) = (hundredths / 100, format!("{:02}", hundredths % 100));
            let rest = rest.trim_end_matches('0');
            let want = if rest.is_empty() { format!("{whole} lb") } else { format!("{whole}.{rest} lb") };
            assert_eq!(shown, want);
        }
    }

    #[test]
    fn equal_loads_are_parted_as_the_workout_says() {
        let tries = |to_best| Tries { to_best, ..Tries::default() };
        let few = |to_best, reached| parts_equals(EqualLoads::FewerAttempts, tries(to_best), SpanMs(reached));
        assert!(few(1, 500_000) < few(2, 1_000));
        assert!(few(2, 1_000) < few(2, 1_100));
        let early = |to_best, reached| parts_equals(EqualLoads::Earlier, tries(to_best), SpanMs(reached));
        assert!(early(3, 1_000) < early(1, 1_100));
        assert_eq!(parts_equals(EqualLoads::Shared, tries(3), SpanMs(5)), 0);
    }
}
