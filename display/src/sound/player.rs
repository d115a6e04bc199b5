//! Samples from a plan: which sound begins at which sample, each once, none late. Knows no device; times are
//! microseconds of the display's clock.

use super::plan::{MAX_CUES, Sound};
use super::tone;

/// A sound that is to begin then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Due {
    /// What.
    pub sound: Sound,
    /// When by the feed's clock, milliseconds. It names the cue: a better estimate of that clock moves `at_us`, and
    /// it is still the same.
    pub feed_ms: i64,
    /// When by the display's.
    pub at_us: i64,
}

/// What is to sound, in place of what was to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Score {
    /// What.
    pub dues: [Option<Due>; MAX_CUES],
    /// See [`super::plan::Plan::goes_on`].
    pub goes_on: bool,
}

/// A sound that would begin later than this after its time is left out, microseconds: later is worse than not at all.
const LATEST_US: i64 = 20_000;
/// How near a cue has to be that was reached rather than taken back, microseconds: the way of a message to here, and
/// what the two clocks may differ by.
const REACHED_US: i64 = 60_000;
/// Sounds at a time; at rehearsal speed they run into each other.
const MAX_VOICES: usize = 4;
/// Cues that are remembered as played: more than fall within the time in which one could come again.
const MAX_PLAYED: usize = 16;
/// A device's own account of when its samples are heard jumps about by less than this, microseconds. More is a gap
/// in its stream.
const GAP_US: f64 = 30_000.0;
/// Such jumps are followed slowly, with this time constant, so that two beeps are as far apart as they should be.
const FOLLOW_US: f64 = 3_000_000.0;

/// Turns scores into samples of one channel.
#[derive(Debug)]
pub struct Player {
    rate: f64,
    /// When the next sample is heard.
    next_us: Option<f64>,
    score: Score,
    voices: [Option<Voice>; MAX_VOICES],
    played: [Option<(Sound, i64)>; MAX_PLAYED],
    next_played: usize,
}

#[derive(Clone, Copy, Debug)]
struct Voice {
    sound: Sound,
    /// Samples since its begin; negative before it.
    at: i64,
}

impl Player {
    /// Silence at this many samples a second.
    pub fn new(rate: u32) -> Self {
        Self {
            rate: f64::from(rate.max(1)),
            next_us: None,
            score: Score::default(),
            voices: [None; MAX_VOICES],
            played: [None; MAX_PLAYED],
            next_played: 0,
        }
    }

    /// Plays from another score from now on. What sounds already ends by itself.
    pub fn follow(&mut self, score: Score, now_us: i64) {
        let reached = |due: &Due| score.goes_on && (due.at_us - now_us).abs() <= REACHED_US;
        let kept = self.score.dues.into_iter().flatten().find(reached);
        self.score = score;
        let named =
            |due: &Due| kept.is_some_and(|kept| (kept.sound, kept.feed_ms) == (due.sound, due.feed_ms));
        if kept.is_some()
            && !self.score.dues.iter().flatten().any(named)
            && let Some(free) = self.score.dues.iter_mut().find(|due| due.is_none())
        {
            *free = kept;
        }
    }

    /// Fills the next samples, the first of which the device says is heard at `heard_us`. Tells when the one after
    /// them is.
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // microseconds and samples of days
    pub fn fill(&mut self, heard_us: i64, samples: &mut [f32]) -> i64 {
        let heard_us = heard_us as f64;
        let length_us = samples.len() as f64 * 1e6 / self.rate;
        let from_us = match self.next_us {
            Some(next_us) if (heard_us - next_us).abs() <= GAP_US => {
                next_us + (heard_us - next_us) * (length_us / FOLLOW_US).min(1.0)
            }
            _ => heard_us,
        };
        let until_us = from_us + length_us;
        self.next_us = Some(until_us);
        for due in self.score.dues.into_iter().flatten() {
            let late_us = from_us - due.at_us as f64;
            let name = (due.sound, due.feed_ms);
            if due.at_us as f64 >= until_us || late_us > LATEST_US as f64 || self.played.contains(&Some(name))
            {
                continue;
            }
            self.played[self.next_played] = Some(name);
            self.next_played = (self.next_played + 1) % MAX_PLAYED;
            if let Some(free) = self.voices.iter_mut().find(|voice| voice.is_none()) {
                *free = Some(Voice { sound: due.sound, at: (late_us.min(0.0) * self.rate / 1e6) as i64 });
            }
        }
        samples.fill(0.0);
        for voice in &mut self.voices {
            let Some(Voice { sound, at }) = voice else { continue };
            let over = samples.iter_mut().try_for_each(|sample| {
                if *at >= 0 {
                    *sample += tone::sample(*sound, (*at as f64 / self.rate) as f32)?;
                }
                *at += 1;
                Some(())
            });
            if over.is_none() {
                *voice = None;
            }
        }
        samples.iter_mut().for_each(|sample| *sample = sample.clamp(-1.0, 1.0));
        until_us as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: u32 = 48_000;
    const BLOCK: usize = 480;

    fn due(sound: Sound, feed_ms: i64, at_us: i64) -> Option<Due> {
        Some(Due { sound, feed_ms, at_us })
    }

    fn score(dues: &[Option<Due>]) -> Score {
        let mut score = Score { goes_on: true, ..Score::default() };
        score.dues[..dues.len()].copy_from_slice(dues);
        score
    }

    /// Blocks of 10 ms from a time on; the device's account of it is off by up to `jitter_us`.
    fn play(player: &mut Player, from_us: i64, blocks: i64, jitter_us: i64) -> Vec<f32> {
        let mut samples = Vec::new();
        for block in 0..blocks {
            let mut part = [0.0; BLOCK];
            let off_us = if block % 2 == 0 { jitter_us } else { -jitter_us };
            player.fill(from_us + block * 10_000 + off_us, &mut part);
            samples.extend(part);
        }
        samples
    }

    /// Where sound begins after silence of 50 ms or more, in samples.
    fn begins(samples: &[f32]) -> Vec<usize> {
        let mut begins = Vec::new();
        let mut quiet = 2_400;
        for (at, sample) in samples.iter().enumerate() {
            if sample.abs() > 1e-6 {
                if quiet >= 2_400 {
                    begins.push(at);
                }
                quiet = 0;
            } else {
                quiet += 1;
            }
        }
        begins
    }

    #[test]
    fn a_sound_begins_at_its_sample_however_the_device_jitters() {
        let mut player = Player::new(RATE);
        player.follow(score(&[due(Sound::Beep, 1, 503_000), due(Sound::Beep, 2, 1_503_000)]), 0);
        let begins = begins(&play(&mut player, 0, 200, 4_000));
        assert_eq!(begins.len(), 2);
        let apart = begins[1] - begins[0];
        assert!(apart.abs_diff(48_000) <= 96, "within two milliseconds: {apart}");
        assert!(begins[0].abs_diff(24_144) <= 5 * 48, "{begins:?}");
    }

    #[test]
    fn nothing_sounds_twice_although_its_time_is_corrected() {
        let mut player = Player::new(RATE);
        player.follow(score(&[due(Sound::Go, 1, 50_000)]), 0);
        let first = play(&mut player, 0, 6, 0);
        assert_eq!(begins(&first).len(), 1);
        player.follow(score(&[due(Sound::Go, 1, 65_000)]), 60_000);
        let rest = play(&mut player, 60_000, 200, 0);
        assert!(begins(&[first, rest].concat()).len() == 1);
    }

    #[test]
    fn nothing_sounds_late_or_after_it_was_taken_back() {
        let mut player = Player::new(RATE);
        player.follow(score(&[due(Sound::Go, 1, -21_000)]), 0);
        assert!(begins(&play(&mut player, 0, 100, 0)).is_empty(), "it is too late for it");
        player.follow(score(&[due(Sound::Horn, 2, 1_500_000)]), 1_000_000);
        player.follow(Score::default(), 1_490_000);
        assert!(begins(&play(&mut player, 1_490_000, 100, 0)).is_empty(), "it was taken back");
        player.follow(score(&[due(Sound::Horn, 3, 2_500_000)]), 2_490_000);
        player.follow(score(&[]), 2_490_000);
        assert_eq!(begins(&play(&mut player, 2_490_000, 100, 0)).len(), 1, "it was reached");
    }

    #[test]
    fn a_gap_in_the_stream_is_noticed() {
        let mut player = Player::new(RATE);
        play(&mut player, 0, 10, 0);
        player.follow(score(&[due(Sound::Beep, 1, 5_030_000)]), 5_000_000);
        let begins = begins(&play(&mut player, 5_000_000, 10, 0));
        assert_eq!(begins.len(), 1);
        assert!(begins[0].abs_diff(1_440) <= 1, "{begins:?}");
    }

    #[test]
    fn many_at_once_stay_in_range() {
        let mut player = Player::new(RATE);
        let all: Vec<_> = (0..6).map(|name| due(Sound::Horn, name, 10_000)).collect();
        player.follow(score(&all), 0);
        assert!(play(&mut player, 0, 100, 0).iter().all(|sample| sample.abs() <= 1.0));
    }
}
