//! How things move: closed forms of time, so that a frame depends on its time alone and not on how many frames
//! came before. What moves is left to the rows.

use fivemark_themes::Color;

/// A critically damped way to a target. Velocity carries over when the target changes on the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Glide {
    from: f32,
    speed_per_s: f32,
    to: f32,
    since_us: i64,
    length_us: i64,
}

/// How many time constants fit into a glide: after nine, 0.12 % of the way is left, and it is closed at once.
const TIME_CONSTANTS: f32 = 9.0;

impl Glide {
    /// Rests at a value.
    pub(crate) fn at(value: f32) -> Glide {
        Glide { from: value, speed_per_s: 0.0, to: value, since_us: 0, length_us: 0 }
    }

    /// Heads for a new target within `length_us`; 0 jumps.
    pub(crate) fn head_for(&mut self, to: f32, now_us: i64, length_us: i64) {
        if to == self.to {
            return;
        }
        let (from, speed_per_s) = self.place_and_speed(now_us);
        *self = Glide { from, speed_per_s, to, since_us: now_us, length_us };
    }

    /// Where it is.
    pub(crate) fn place(&self, now_us: i64) -> f32 {
        self.place_and_speed(now_us).0
    }

    /// Whether it still moves.
    pub(crate) fn moves(&self, now_us: i64) -> bool {
        now_us - self.since_us < self.length_us
    }

    /// x(t) = to + (a + b t) e^(−ωt), with a the way left at the start and b = v + ω a.
    fn place_and_speed(&self, now_us: i64) -> (f32, f32) {
        if !self.moves(now_us) {
            return (self.to, 0.0);
        }
        let seconds = seconds(now_us - self.since_us);
        let omega = TIME_CONSTANTS / seconds_of_length(self.length_us);
        let a = self.from - self.to;
        let b = self.speed_per_s + omega * a;
        let decay = (-omega * seconds).exp();
        let place = self.to + (a + b * seconds) * decay;
        let speed = (b - omega * (a + b * seconds)) * decay;
        // Carried speed could push a little past the target; a bar never shows work that was not done.
        let (low, high) = (self.from.min(self.to), self.from.max(self.to));
        (place.clamp(low, high), speed)
    }
}

/// A change from one value to another over a set time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Change<T> {
    /// Before.
    pub(crate) from: T,
    /// After.
    pub(crate) to: T,
    since_us: i64,
    length_us: i64,
}

impl<T: Copy + PartialEq> Change<T> {
    /// Rests.
    pub(crate) fn at(value: T) -> Change<T> {
        Change { from: value, to: value, since_us: 0, length_us: 0 }
    }

    /// Changes to a value within `length_us`; 0 is at once.
    pub(crate) fn change_to(&mut self, to: T, now_us: i64, length_us: i64) {
        if to != self.to {
            *self = Change { from: self.to, to, since_us: now_us, length_us };
        }
    }

    /// How far it is, 0 to 1, slow at the end; 1 when it rests.
    pub(crate) fn share(&self, now_us: i64) -> f32 {
        if !self.moves(now_us) {
            return 1.0;
        }
        ease_out(seconds(now_us - self.since_us) / seconds_of_length(self.length_us))
    }

    /// Whether it is under way.
    pub(crate) fn moves(&self, now_us: i64) -> bool {
        now_us - self.since_us < self.length_us
    }
}

impl Change<Color> {
    /// The colour now.
    pub(crate) fn color(&self, now_us: i64) -> Color {
        self.from.mix(self.to, self.share(now_us))
    }

    /// Changes to a colour from whatever is shown now.
    pub(crate) fn fade_to(&mut self, to: Color, now_us: i64, length_us: i64) {
        if to != self.to {
            *self = Change { from: self.color(now_us), to, since_us: now_us, length_us };
        }
    }
}

/// Something that plays once and is over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Once {
    since_us: Option<i64>,
}

impl Once {
    /// Starts now.
    pub(crate) fn start(&mut self, now_us: i64) {
        self.since_us = Some(now_us);
    }

    /// Is over.
    pub(crate) fn stop(&mut self) {
        self.since_us = None;
    }

    /// How far it is, 0 to 1; none when it does not play.
    pub(crate) fn share(&self, now_us: i64, length_us: i64) -> Option<f32> {
        let passed = now_us - self.since_us?;
        (passed < length_us).then(|| seconds(passed.max(0)) / seconds_of_length(length_us))
    }

    /// When it ends; none when it does not play.
    pub(crate) fn end_us(&self, now_us: i64, length_us: i64) -> Option<i64> {
        self.since_us.map(|since| since + length_us).filter(|end| *end > now_us)
    }
}

/// Fast at first, then slow: the cubic 1 − (1 − t)³.
pub(crate) fn ease_out(share: f32) -> f32 {
    1.0 - (1.0 - share.clamp(0.0, 1.0)).powi(3)
}

/// The part of `share` that lies between two marks, stretched to 0 to 1.
pub(crate) fn between(share: f32, from: f32, to: f32) -> f32 {
    ((share - from) / (to - from)).clamp(0.0, 1.0)
}

#[allow(clippy::cast_precision_loss)] // motions last under a few seconds
fn seconds(us: i64) -> f32 {
    us as f32 / 1_000_000.0
}

fn seconds_of_length(us: i64) -> f32 {
    seconds(us.max(1))
}
