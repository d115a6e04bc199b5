//! One lane as the board sees it: what it looks like, decided from the feed's words alone, and what the board
//! remembers of it from frame to frame so that changes can move.

use std::rc::Rc;

use fivemark_themes::{Color, Colors, Timing};
use fivemark_wire::view::{LaneCount, LaneEntry, OrderRow, Status};

use crate::fit::NameCell;
use crate::motion::{Change, Glide, Once, Tint};
use crate::text::ShapedText;
use crate::track::CoursePlan;

/// What a lane looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    /// Nobody stands here.
    Empty,
    /// Works, or is about to.
    Racing,
    /// Works on its closing blocks.
    LastFive,
    /// Done.
    Finished,
    /// Stopped by the cap.
    Capped,
    /// Did not finish, did not start, disqualified.
    Out,
    /// The head judge looks at it.
    UnderReview,
}

impl Look {
    /// From the lane's status, and whether the heat has begun: nobody is in the last five before.
    pub(crate) fn of(count: &LaneCount, begun: bool) -> Look {
        match count.status {
            Status::Empty => Look::Empty,
            Status::Racing if begun && count.to_go.is_some() => Look::LastFive,
            Status::Racing => Look::Racing,
            Status::Finished => Look::Finished,
            Status::Capped => Look::Capped,
            Status::DidNotFinish | Status::DidNotStart | Status::Disqualified => Look::Out,
            Status::UnderReview => Look::UnderReview,
        }
    }

    /// Still at work.
    pub(crate) fn works(self) -> bool {
        matches!(self, Look::Racing | Look::LastFive)
    }

    /// Colour of its row.
    pub(crate) fn row(self, colors: &Colors) -> Color {
        match self {
            Look::Empty => colors.row_empty,
            Look::Racing | Look::Out | Look::UnderReview => colors.row,
            Look::LastFive => colors.row_last_five,
            Look::Finished => colors.row_finished,
            Look::Capped => colors.row_capped,
        }
    }

    /// Colour of its bar.
    pub(crate) fn bar(self, leads: bool, colors: &Colors) -> Color {
        match self {
            Look::Racing | Look::LastFive if leads => colors.leading,
            Look::Racing | Look::LastFive | Look::Empty => colors.racing,
            Look::Finished => colors.finished,
            Look::Capped => colors.capped,
            Look::Out | Look::UnderReview => colors.text_dim,
        }
    }

    /// Colour of its place badge.
    pub(crate) fn badge(self, leads: bool, colors: &Colors) -> Color {
        match self {
            Look::Racing | Look::LastFive if leads => colors.leading,
            Look::Finished => colors.finished,
            _ => colors.badge,
        }
    }
}

/// Least time from one full bar that runs out to the next, microseconds: under three in a second.
const WRAP_REST_US: i64 = 340_000;

/// The characters of a count; a count that is longer is no count of reps.
pub(crate) type Digits = [u8; 6];

/// A number as digits set from the right, spaces before it.
pub(crate) fn digits(number: u32) -> Digits {
    let mut digits = [b' '; 6];
    let mut rest = number.min(999_999);
    for slot in digits.iter_mut().rev() {
        *slot = b'0' + u8::try_from(rest % 10).unwrap_or(0);
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    digits
}

/// What is remembered of a lane between frames.
#[derive(Debug)]
pub(crate) struct LaneMemory {
    /// Whose lane it is, and the lane's run: for another one everything starts anew.
    bib: String,
    run: u32,
    pub(crate) look: Look,
    /// It is first on floor and works.
    leads: bool,
    pub(crate) head: Glide,
    /// The round under way, where the work has no end.
    round: u32,
    /// The bar of the round before runs out, and where it stood when that round was done.
    pub(crate) wrap: Once,
    pub(crate) wrap_from: f32,
    pub(crate) row: Tint,
    pub(crate) bar: Tint,
    pub(crate) badge: Tint,
    pub(crate) count: Change<Digits>,
    pub(crate) place: Change<u8>,
    pub(crate) finish: Once,
    pub(crate) no_rep: Once,
    /// Number of the delta of the no-rep that is shown or was shown last, and its fault.
    pub(crate) no_rep_number: u64,
    pub(crate) fault: String,
    /// The name as fitted, and for which name and cell.
    pub(crate) name: Option<(String, NameCell, Rc<ShapedText>)>,
}

/// What a lane should look like now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LaneTarget {
    pub(crate) look: Look,
    pub(crate) leads: bool,
    pub(crate) head: f32,
    /// The round under way; 0 where work has an end.
    pub(crate) round: u32,
    pub(crate) score: u32,
    pub(crate) place: u8,
}

impl LaneTarget {
    /// From the feed's words.
    pub(crate) fn of(
        count: &LaneCount,
        begun: bool,
        order: Option<&OrderRow>,
        by_division: bool,
        leads: bool,
        plan: &CoursePlan,
    ) -> LaneTarget {
        let look = Look::of(count, begun);
        // Where the work differs, only the order within a division means anything.
        let place = order.map_or(0, |row| if by_division { row.division_place } else { row.place });
        LaneTarget {
            look,
            leads: leads && look.works(),
            head: plan.of(count).head_of(count),
            round: if plan.is_open() { count.round } else { 0 },
            score: count.score,
            place,
        }
    }
}

impl LaneMemory {
    /// A lane seen for the first time: nothing moves.
    pub(crate) fn new(entry: &LaneEntry, run: u32, target: LaneTarget, colors: &Colors) -> LaneMemory {
        LaneMemory {
            bib: entry.bib.clone(),
            run,
            look: target.look,
            leads: target.leads,
            head: Glide::at(target.head),
            round: target.round,
            wrap: Once::default(),
            wrap_from: 0.0,
            row: Tint::at(target.look.row(colors)),
            bar: Tint::at(target.look.bar(target.leads, colors)),
            badge: Tint::at(target.look.badge(target.leads, colors)),
            count: Change::at(digits(target.score)),
            place: Change::at(target.place),
            finish: Once::default(),
            no_rep: Once::default(),
            no_rep_number: 0,
            fault: String::new(),
            name: None,
        }
    }

    /// Whether this is the same athlete in the same run.
    pub(crate) fn is_of(&self, entry: &LaneEntry, run: u32) -> bool {
        self.run == run && self.bib == entry.bib
    }

    /// The round under way; 0 where work has an end.
    pub(crate) fn round(&self) -> u32 {
        self.round
    }

    /// Heads for a new target.
    pub(crate) fn follow(&mut self, target: LaneTarget, colors: &Colors, spans: &Spans, now_us: i64) {
        if self.look != target.look {
            // A finish that is undone and called again plays once: a row that swells time and again would flash.
            let rested = self.finish.has_rested(now_us, spans.finish_us);
            if target.look == Look::Finished && spans.finish_us > 0 && rested {
                self.finish.start(now_us);
            } else {
                self.finish.stop();
            }
            self.look = target.look;
        }
        self.leads = target.leads;
        self.follow_round(target, now_us);
        self.head.head_for(target.head, now_us, spans.glide_us);
        self.row.follow(target.look.row(colors), spans, now_us);
        // A finish sweeps over the bar as it was, and then covers it.
        if target.look != Look::Finished {
            self.bar.follow(target.look.bar(target.leads, colors), spans, now_us);
        }
        self.badge.follow(target.look.badge(target.leads, colors), spans, now_us);
        self.count.change_to(digits(target.score), now_us, spans.roll_us);
        self.place.change_to(target.place, now_us, spans.place_us);
    }

    /// A round that is done: its bar runs out to the right while the next one begins at the left. A round that is
    /// taken back stands there again at once.
    fn follow_round(&mut self, target: LaneTarget, now_us: i64) {
        if target.round == self.round {
            return;
        }
        let forward = target.round > self.round;
        self.round = target.round;
        if !forward {
            self.wrap.stop();
            self.head = Glide::at(target.head);
            return;
        }
        // Rounds of a moment would make the track flash: then the bar goes where it belongs by the shortest way.
        if !self.wrap.has_rested(now_us, WRAP_REST_US) {
            return;
        }
        self.wrap_from = self.head.place(now_us);
        self.wrap.start(now_us);
        self.head = Glide::at(0.0);
    }

    /// Takes on another theme's colours and fonts, at once.
    pub(crate) fn restyle(&mut self, colors: &Colors) {
        self.row = Tint::at(self.look.row(colors));
        self.bar = Tint::at(self.look.bar(self.leads, colors));
        self.badge = Tint::at(self.look.badge(self.leads, colors));
        self.name = None;
    }

    /// Whether anything of it moves.
    pub(crate) fn moves(&self, spans: &Spans, now_us: i64) -> bool {
        self.head.moves(now_us)
            || self.row.moves(now_us)
            || self.bar.moves(now_us)
            || self.badge.moves(now_us)
            || self.count.moves(now_us)
            || self.place.moves(now_us)
            || self.finish.end_us(now_us, spans.finish_us).is_some()
            || self.wrap.end_us(now_us, spans.place_us).is_some()
    }
}

/// How long things take, microseconds; all but the rest of a colour and the no-rep are 0 when motion is reduced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spans {
    pub(crate) glide_us: i64,
    pub(crate) roll_us: i64,
    pub(crate) place_us: i64,
    /// How long a colour stays before it changes again.
    pub(crate) rest_us: i64,
    pub(crate) finish_us: i64,
    pub(crate) no_rep_us: i64,
}

impl Spans {
    /// The theme's durations, or stillness.
    pub(crate) fn new(timing: &Timing, moves: bool) -> Spans {
        let us = |ms: u32| if moves { i64::from(ms) * 1000 } else { 0 };
        Spans {
            glide_us: us(timing.glide_ms),
            roll_us: us(timing.roll_ms),
            place_us: us(timing.place_ms),
            rest_us: i64::from(timing.place_ms) * 1000,
            finish_us: us(timing.finish_ms),
            no_rep_us: i64::from(timing.no_rep_ms) * 1000,
        }
    }
}
