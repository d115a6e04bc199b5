//! What a screen remembers of cards: which one it showed last, so that it comes and goes quietly, and lines of text as
//! they were laid out, so that they are laid out once.

use fivemark_wire::shows::{Card, Program};

use super::{CardFrame, Lines};
use crate::screen::{Motion, Times};

/// How long a card takes to come, and to go, microseconds; less where heat time runs faster, in which a whole countdown
/// may be shorter than this.
const FADE_US: i64 = 140_000;

/// Least time from one card's coming to the next one's, microseconds: each goes and comes once in it, so that fewer than
/// three flash in a second, however often an operator changes their mind.
const REST_US: i64 = 340_000;

/// Texts whose lines are kept: those of a running order's cards, so that none is laid out anew when it comes again.
const MAX_LAID_OUT: usize = 48;

/// What is remembered of cards.
#[derive(Debug, Default)]
pub(crate) struct CardMemory {
    motion_off: bool,
    /// How long coming and going take at the speed of heat time, microseconds.
    fade_us: i64,
    /// What the last card was.
    card: Option<u64>,
    /// When it came or will come, on the axis of frames; none if nothing was shown before it.
    came_us: Option<i64>,
    /// When it goes, on the axis of frames, if another card comes then.
    goes_us: Option<i64>,
    /// When the program's next step comes, on the axis of frames, be its card another or the same: a list has other
    /// rows then, and a countdown another end.
    changes_us: Option<i64>,
    lines: Vec<LaidOut>,
}

/// Lines, by what they were laid out for.
#[derive(Debug)]
struct LaidOut {
    text: String,
    room: [u32; 3],
    lines: Lines,
}

impl CardMemory {
    /// Nothing is remembered.
    pub(crate) fn new(motion: Motion) -> CardMemory {
        CardMemory { motion_off: motion == Motion::Reduced, ..CardMemory::default() }
    }

    /// Forgets lines, when they would be laid out otherwise now.
    pub(crate) fn restyle(&mut self) {
        self.lines.clear();
    }

    /// Looks at what a program shows now; `came` says when a message that came now would have come at the earliest.
    pub(crate) fn follow(&mut self, program: &Program, times: Times, came_us: i64) {
        self.fade_us = FADE_US * 1000 / i64::from(times.speed_milli.max(1000));
        let turn = program.at(times.feed_us.div_euclid(1000));
        let card = identity(turn.card);
        if self.card != Some(card) {
            // The first picture is there at once. One that comes too soon after another waits, and whichever it is then
            // comes; nothing is there meanwhile.
            let rested = |before_us: i64| {
                if before_us >= came_us { before_us } else { came_us.max(before_us + REST_US) }
            };
            self.came_us = self.card.map(|_| self.came_us.map_or(came_us, rested));
            self.card = Some(card);
        }
        let at_us = |feed_ms: i64| frame_us(times, feed_ms.saturating_mul(1000));
        self.changes_us = turn.next_change_ms.map(at_us);
        let goes = turn.next_change_ms.filter(|next_ms| identity(program.at(*next_ms).card) != card);
        self.goes_us = goes.map(at_us);
    }

    /// How much the card is there, 0 to 1.
    pub(crate) fn share(&self, frame: &CardFrame<'_>) -> f32 {
        self.share_at(frame.times.frame_us)
    }

    /// How much what is shown is there, 0 to 1, at a moment on the axis of frames.
    pub(crate) fn share_at(&self, now_us: i64) -> f32 {
        if self.motion_off {
            return if self.came_us.is_some_and(|came_us| came_us > now_us) { 0.0 } else { 1.0 };
        }
        let fade_us = self.fade_us.max(1);
        #[allow(clippy::cast_precision_loss)] // clamped to the length of a fade
        let share = |us: i64| us.clamp(0, fade_us) as f32 / fade_us as f32;
        let come = self.came_us.map_or(1.0, |came_us| share(now_us.saturating_sub(came_us)));
        let gone = self.goes_us.map_or(1.0, |goes_us| share(goes_us.saturating_sub(now_us)));
        come.min(gone)
    }

    /// When what is shown next differs by the program alone, on the axis of frames: now while it comes or goes.
    pub(crate) fn next_us(&self, now_us: i64) -> Option<i64> {
        if self.share_at(now_us) < 1.0 {
            return Some(now_us);
        }
        let ahead_us = if self.motion_off { 0 } else { self.fade_us };
        let fades_us = self.goes_us.map(|goes_us| goes_us.saturating_sub(ahead_us));
        [fades_us, self.changes_us].into_iter().flatten().min()
    }

    /// Lines of a text in some room, laid out only if they are not remembered.
    pub(super) fn lines(&mut self, text: &str, room: [f32; 3], lay_out: impl FnOnce() -> Lines) -> Lines {
        let room = room.map(f32::to_bits);
        let known = self.lines.iter().position(|known| known.room == room && known.text == text);
        let at = known.unwrap_or_else(|| {
            if self.lines.len() == MAX_LAID_OUT {
                self.lines.remove(0);
            }
            self.lines.push(LaidOut { text: text.to_owned(), room, lines: lay_out() });
            self.lines.len() - 1
        });
        Lines::clone(&self.lines[at].lines)
    }
}

/// When feed time comes to a moment, on the axis of frames; rounded up, so that the moment has come then.
pub(super) fn frame_us(times: Times, feed_us: i64) -> i64 {
    let speed = i64::from(times.speed_milli.max(1));
    let ahead_us = feed_us.saturating_sub(times.feed_us);
    times.frame_us.saturating_add(ahead_us.saturating_mul(1000).saturating_add(speed - 1).div_euclid(speed))
}

/// Tells cards apart that a screen changes between; what only grows or is corrected on a card makes no other card.
fn identity(card: &Card) -> u64 {
    let (kind, texts): (u64, [&str; 2]) = match card {
        Card::Heat => (1, [""; 2]),
        Card::NextHeat(next) => (2, [&next.heat_name, &next.workout]),
        Card::Results(results) => (3, [&results.heat_name, &results.workout]),
        Card::Standings(standings) => (4, [&standings.division, &standings.workout]),
        Card::Event { .. } => (5, [""; 2]),
        Card::Words { title, text } => (6, [title, text]),
        Card::Countdown { title, .. } => (7, [title, ""]),
    };
    // FNV-1a, 64 bits: quick, and the same everywhere.
    let bytes = texts.iter().flat_map(|text| text.bytes().chain([0xFF]));
    bytes.fold(0xCBF2_9CE4_8422_2325 ^ kind, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    })
}
