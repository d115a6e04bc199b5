//! The moments of a heat that are worth a picture, found from the view alone.
//!
//! A picture is taken a little after its moment, when what moved has come to rest. If the heat moves on before,
//! the canvas still shows the moment, and is taken as it stands.

use fivemark_scene::View;
use fivemark_wire::view::{Clock, Course, LaneCount, State, Status};

/// A moment, in the order of a heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Moment {
    LanesSet,
    Countdown,
    Quarter,
    LeadChange,
    LastFive,
    FirstFinish,
    Cap,
    Provisional,
}

/// All moments.
pub const MOMENTS: [Moment; 8] = [
    Moment::LanesSet,
    Moment::Countdown,
    Moment::Quarter,
    Moment::LeadChange,
    Moment::LastFive,
    Moment::FirstFinish,
    Moment::Cap,
    Moment::Provisional,
];

/// The countdown's picture shows its last three figures, microseconds of feed time.
const COUNTDOWN_LEFT_US: i64 = 3_000_000;
/// At high speeds three seconds pass between two frames; then this much of the display's time, microseconds.
const COUNTDOWN_AHEAD_US: i64 = 80_000;
/// A picture comes at most this long after its moment in the heat's own time, microseconds: in a rehearsal at twenty
/// times the speed, half a second is a whole scene.
const LATEST_IN_HEAT_US: i64 = 4_000_000;
/// But never sooner than this of the display's time, microseconds, so that a place has changed and a count rolled.
const SOONEST_US: i64 = 250_000;
/// How long a picture waits for the board to stand still, microseconds.
const PATIENCE_US: i64 = 1_000_000;
/// A quarter of the track, and the tenth of it before which the lead is nobody's yet, in millionths.
const QUARTER_PPM: u64 = 250_000;
const TENTH_PPM: u64 = 100_000;

impl Moment {
    /// Name of its picture's file.
    #[must_use]
    pub fn file_name(self) -> &'static str {
        match self {
            Moment::LanesSet => "01-lanes-set.png",
            Moment::Countdown => "02-countdown.png",
            Moment::Quarter => "03-quarter.png",
            Moment::LeadChange => "04-lead-change.png",
            Moment::LastFive => "05-last-five.png",
            Moment::FirstFinish => "06-first-finish.png",
            Moment::Cap => "07-cap.png",
            Moment::Provisional => "08-provisional.png",
        }
    }

    /// How long after the moment its picture is taken, microseconds of the display's time: what is over soon early,
    /// what stays when everything rests.
    fn settle_us(self, speed_milli: u32) -> i64 {
        let latest_us = (LATEST_IN_HEAT_US * 1_000 / i64::from(speed_milli.max(1))).max(SOONEST_US);
        let settle_us = match self {
            Moment::Countdown => 0,
            Moment::LeadChange | Moment::LastFive => 250_000,
            Moment::LanesSet | Moment::Quarter | Moment::Cap | Moment::Provisional => 500_000,
            // The finish plays for about 1.2 s; half way it is at its clearest.
            Moment::FirstFinish => 600_000,
        };
        settle_us.min(latest_us)
    }

    /// How long its picture may wait for the board to stand still.
    fn patience_us(self) -> i64 {
        if self == Moment::Countdown { 0 } else { PATIENCE_US }
    }

    /// Whether the heat still stands where the moment was. `late`: the state of this moment was never seen, and
    /// the one after it has to do.
    fn lasts_in(self, state: State, late: bool) -> bool {
        let provisional = matches!(state, State::Provisional | State::Signed);
        match self {
            Moment::LanesSet => matches!(state, State::LanesSet | State::OnDeck),
            Moment::Countdown => state == State::Countdown,
            Moment::Quarter | Moment::LeadChange | Moment::LastFive => {
                matches!(state, State::Running | State::Held)
            }
            Moment::FirstFinish => matches!(state, State::Running | State::Held | State::TimeCalled),
            Moment::Cap => state == State::TimeCalled || late && provisional,
            Moment::Provisional => provisional,
        }
    }
}

/// Where one moment stands in this run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Stage {
    #[default]
    Ahead,
    /// Seen; the picture is due at this time of the display's clock, microseconds.
    Due(i64),
    Taken,
}

/// Finds the moments of each run of each heat, each once.
#[derive(Clone, Debug, Default)]
pub struct Moments {
    heat_and_run: (u32, u32),
    leader: Option<u8>,
    stages: [Stage; MOMENTS.len()],
    /// The heat was provisional before a frame showed that time was called.
    late_cap: bool,
}

impl Moments {
    /// Looks at the heat before a frame of it is drawn. What is returned has to be taken from the canvas now, as
    /// it shows the frame before: the heat has moved on from it.
    pub fn look(&mut self, view: &View, feed_us: i64, speed_milli: u32, now_us: i64) -> Vec<Moment> {
        let snapshot = &view.snapshot;
        let state = snapshot.heat.state;
        let heat_and_run = (snapshot.titles.heat, snapshot.heat.run);
        let mut missed = Vec::new();
        for moment in MOMENTS {
            let stage = &mut self.stages[moment as usize];
            // The last five of a fast lane pass in a blink of a rehearsal: then the frame before has them.
            let passed = moment == Moment::LastFive && !any_in_last_five(view);
            let over = heat_and_run != self.heat_and_run || !moment.lasts_in(state, self.late_cap) || passed;
            if matches!(*stage, Stage::Due(_)) && over {
                *stage = Stage::Taken;
                missed.push(moment);
            }
        }
        if heat_and_run != self.heat_and_run {
            *self = Self { heat_and_run, ..Self::default() };
        }
        if state == State::Provisional && self.stages[Moment::Cap as usize] == Stage::Ahead {
            self.late_cap = true;
        }
        let leader = leader(view);
        for moment in MOMENTS {
            let stage = &mut self.stages[moment as usize];
            if *stage == Stage::Ahead
                && moment.lasts_in(state, self.late_cap)
                && is_now(moment, view, feed_us, speed_milli, self.leader)
            {
                *stage = Stage::Due(now_us + moment.settle_us(speed_milli));
            }
        }
        self.leader = leader.or(self.leader);
        missed
    }

    /// Moments whose pictures are due, after a frame was drawn on which everything stands still or not. Each is told
    /// once.
    pub fn due(&mut self, now_us: i64, still: bool) -> Vec<Moment> {
        let mut due = Vec::new();
        for moment in MOMENTS {
            let stage = &mut self.stages[moment as usize];
            let ripe = |at_us: i64| at_us <= now_us && (still || at_us + moment.patience_us() <= now_us);
            if matches!(*stage, Stage::Due(at_us) if ripe(at_us)) {
                *stage = Stage::Taken;
                due.push(moment);
            }
        }
        due
    }

    /// When the next picture is due, microseconds of the display's clock.
    #[must_use]
    pub fn next_due_us(&self) -> Option<i64> {
        let due = |stage: &Stage| if let Stage::Due(at_us) = stage { Some(*at_us) } else { None };
        self.stages.iter().filter_map(due).min()
    }

    /// Whether this run's picture of the moment was taken.
    #[must_use]
    pub fn is_taken(&self, moment: Moment) -> bool {
        self.stages[moment as usize] == Stage::Taken
    }
}

fn is_now(moment: Moment, view: &View, feed_us: i64, speed_milli: u32, leader_before: Option<u8>) -> bool {
    let heat = &view.snapshot.heat;
    match moment {
        Moment::LanesSet | Moment::Cap | Moment::Provisional => true,
        Moment::Countdown => match heat.clock {
            Clock::CountingDown { go_at_ms, .. } => {
                let left_us = go_at_ms.saturating_mul(1_000).saturating_sub(feed_us);
                let ahead_us = COUNTDOWN_AHEAD_US * i64::from(speed_milli) / 1_000;
                left_us <= COUNTDOWN_LEFT_US.max(ahead_us)
            }
            Clock::Idle | Clock::Running { .. } | Clock::Stopped { .. } => false,
        },
        Moment::Quarter => {
            let far = any_lane(view, |lane, course| track_ppm(lane, course) >= QUARTER_PPM);
            let late = match heat.clock {
                Clock::Running { zero_at_ms } => {
                    feed_us.saturating_sub(zero_at_ms.saturating_mul(1_000)) / 1_000 >= heat.cap_ms / 4
                }
                Clock::Idle | Clock::CountingDown { .. } | Clock::Stopped { .. } => false,
            };
            far || late
        }
        Moment::LeadChange => {
            let changed = leader(view).filter(|now| leader_before.is_some_and(|before| before != *now));
            changed.is_some_and(|lane| {
                any_lane(view, |count, course| {
                    count.lane == lane
                        && count.status == Status::Racing
                        && track_ppm(count, course) >= TENTH_PPM
                })
            })
        }
        Moment::LastFive => any_in_last_five(view),
        Moment::FirstFinish => heat.finished > 0,
    }
}

fn any_in_last_five(view: &View) -> bool {
    any_lane(view, |lane, _| lane.status == Status::Racing && lane.to_go.is_some())
}

fn any_lane(view: &View, test: impl Fn(&LaneCount, &Course) -> bool) -> bool {
    view.snapshot.entries.iter().any(|entry| match (view.count(entry.lane), view.course(entry)) {
        (Some(count), Some(course)) => test(count, course),
        _ => false,
    })
}

/// How far a lane is on its track, millionths. Units will not do: 500 metres are not 500 lifts.
fn track_ppm(count: &LaneCount, course: &Course) -> u64 {
    let Some(part) = usize::try_from(count.part).ok().and_then(|part| course.parts.get(part)) else {
        return 1_000_000;
    };
    let within = u64::from(part.track_len_ppm) * u64::from(count.part_done) / u64::from(part.amount.max(1));
    u64::from(part.track_start_ppm) + within
}

/// The lane in place 1, if it is alone there.
fn leader(view: &View) -> Option<u8> {
    let mut first = view.snapshot.order.iter().filter(|row| row.place == 1);
    match (first.next(), first.next()) {
        (Some(row), None) => Some(row.lane),
        _ => None,
    }
}
