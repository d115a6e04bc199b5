//! How things move: closed forms of time, so that a frame depends on its time alone and not on how many frames
//! came before. What moves is left to the rows.

use fivemark_themes::Color;

use crate::lane::Spans;

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

/// A colour of some size. It fades, and it never changes again before it has rested: what a judge calls and takes
/// back many times in a second must not flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Tint {
    fade: Change<Color>,
    /// Where it goes once it has rested.
    wanted: Color,
    changed: bool,
}

impl Tint {
    /// Rests, and may change at once.
    pub(crate) fn at(color: Color) -> Tint {
        Tint { fade: Change::at(color), wanted: color, changed: false }
    }

    /// Heads for a colour.
    pub(crate) fn follow(&mut self, wanted: Color, spans: &Spans, now_us: i64) {
        self.wanted = wanted;
        let rests = self.changed && now_us - self.fade.since_us < spans.rest_us;
        if wanted != self.fade.to && !rests {
            let from = self.color(now_us);
            self.fade = Change { from, to: wanted, since_us: now_us, length_us: spans.place_us };
            self.changed = true;
        }
    }

    /// The colour now.
    pub(crate) fn color(&self, now_us: i64) -> Color {
        self.fade.from.mix(self.fade.to, self.fade.share(now_us))
    }

    /// The colour that it has or fades to.
    pub(crate) fn to(&self) -> Color {
        self.fade.to
    }

    /// Whether it fades or is about to.
    pub(crate) fn moves(&self, now_us: i64) -> bool {
        self.fade.moves(now_us) || self.wanted != self.fade.to
    }
}

/// Something that plays once and is over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Once {
    since_us: Option<i64>,
    /// When it last started, even if it was stopped since.
    last_us: Option<i64>,
}

impl Once {
    /// Starts now.
    pub(crate) fn start(&mut self, now_us: i64) {
        (self.since_us, self.last_us) = (Some(now_us), Some(now_us));
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

    /// Whether it did not start for at least this long.
    pub(crate) fn has_rested(&self, now_us: i64, us: i64) -> bool {
        self.last_us.is_none_or(|last| now_us - last >= us)
    }

    /// When it will not have started for this long; none if that is so.
    pub(crate) fn rests_at_us(&self, now_us: i64, us: i64) -> Option<i64> {
        self.last_us.map(|last| last + us).filter(|rests| *rests > now_us)
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

/// Slow, fast, slow: the cubic 3t² − 2t³.
pub(crate) fn ease_both(share: f32) -> f32 {
    let share = share.clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
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

#[cfg(test)]
mod tests {
    use super::*;

    const LENGTH_US: i64 = 180_000;

    #[test]
    fn a_glide_nears_its_target_without_passing_it_and_rests_in_time() {
        let mut glide = Glide::at(0.2);
        glide.head_for(0.7, 1_000, LENGTH_US);
        let mut last = 0.2;
        for now_us in (1_000..1_000 + LENGTH_US).step_by(1_000) {
            let place = glide.place(now_us);
            assert!((last..=0.7).contains(&place), "{place} after {last} at {now_us}");
            last = place;
        }
        // What is left when it is closed is far under a pixel of any screen.
        assert!((0.7 - last) * 1_000.0 < 1.5, "{last}");
        assert!((glide.place(1_000 + LENGTH_US) - 0.7).abs() < f32::EPSILON);
        assert!(!glide.moves(1_000 + LENGTH_US));
    }

    #[test]
    fn a_new_target_on_the_way_makes_no_jump() {
        let mut glide = Glide::at(0.0);
        glide.head_for(0.5, 0, LENGTH_US);
        let before = glide.place(60_000);
        glide.head_for(0.6, 60_000, LENGTH_US);
        let after = glide.place(60_000);
        assert!((before - after).abs() < 1e-6);
        assert!(glide.place(61_000) >= after, "it keeps its way");
        // Back, as an undo does it, without a swing past the old place.
        glide.head_for(0.1, 61_000, LENGTH_US);
        for now_us in (61_000..61_000 + LENGTH_US).step_by(3_000) {
            assert!((0.1..=after + 0.01).contains(&glide.place(now_us)));
        }
    }

    #[test]
    fn a_frame_depends_on_its_time_alone() {
        let run = |frames: &[i64]| {
            let mut glide = Glide::at(0.0);
            glide.head_for(1.0, 0, LENGTH_US);
            for now_us in frames {
                glide.place(*now_us);
            }
            glide.place(100_000)
        };
        assert!((run(&[]) - run(&[1_000, 7_000, 33_000, 66_000])).abs() < f32::EPSILON);
    }

    #[test]
    fn without_length_nothing_moves() {
        let mut glide = Glide::at(0.0);
        glide.head_for(1.0, 5, 0);
        assert!((glide.place(5) - 1.0).abs() < f32::EPSILON && !glide.moves(5));
        let mut change = Change::at(1u8);
        change.change_to(2, 5, 0);
        assert!((change.share(5) - 1.0).abs() < f32::EPSILON && !change.moves(5));
    }

    #[test]
    fn a_change_runs_from_0_to_1_and_starts_anew_only_for_a_new_value() {
        let mut change = Change::at(7u8);
        change.change_to(8, 0, 140_000);
        let middle = change.share(70_000);
        assert!(middle > 0.5 && middle < 1.0, "fast at first: {middle}");
        change.change_to(8, 70_000, 140_000);
        assert!((change.share(70_000) - middle).abs() < f32::EPSILON);
        assert!((change.share(140_000) - 1.0).abs() < f32::EPSILON);
    }

    #[test]
    fn what_plays_once_ends() {
        let mut once = Once::default();
        assert_eq!(once.share(0, 1_200_000), None);
        once.start(10);
        assert_eq!(once.share(10, 1_200_000), Some(0.0));
        assert_eq!(once.end_us(10, 1_200_000), Some(1_200_010));
        assert_eq!(once.share(1_200_010, 1_200_000), None);
        assert_eq!(once.end_us(1_200_010, 1_200_000), None);
    }
}
