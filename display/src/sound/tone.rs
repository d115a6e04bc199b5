//! The sounds themselves, as functions of time: a few sines with soft edges, loud enough for a hall's system and
//! never near its limit.

use std::f32::consts::TAU;

use super::plan::Sound;

/// Rise of every sound from nothing, seconds: fast enough to be a start, slow enough not to click.
const RISE_S: f32 = 0.005;
/// Fall to nothing.
const FALL_S: f32 = 0.04;

/// A stretch of sound.
struct Note {
    from_s: f32,
    length_s: f32,
    /// Frequency in hertz and level of each sine, of full scale 1. The levels of a note sum to 0.35 at most: some 9 dB
    /// of room.
    sines: &'static [(f32, f32)],
}

const BEEP: &[Note] = &[Note { from_s: 0.0, length_s: 0.16, sines: &[(880.0, 0.3)] }];
const GO: &[Note] = &[Note { from_s: 0.0, length_s: 0.7, sines: &[(1_318.5, 0.25), (659.25, 0.1)] }];
const LAST_MINUTE: &[Note] = &[
    Note { from_s: 0.0, length_s: 0.14, sines: &[(1_046.5, 0.3)] },
    Note { from_s: 0.22, length_s: 0.14, sines: &[(1_046.5, 0.3)] },
];
const HORN: &[Note] = &[Note {
    from_s: 0.0,
    length_s: 1.5,
    sines: &[(220.0, 0.16), (330.0, 0.1), (440.0, 0.06), (660.0, 0.03)],
}];

fn notes(sound: Sound) -> &'static [Note] {
    match sound {
        Sound::Beep => BEEP,
        Sound::Go => GO,
        Sound::LastMinute => LAST_MINUTE,
        Sound::Horn => HORN,
    }
}

/// The sound's value at a time after its begin, seconds; none when it is over.
pub fn sample(sound: Sound, at_s: f32) -> Option<f32> {
    let notes = notes(sound);
    let end_s = notes.iter().map(|note| note.from_s + note.length_s).fold(0.0, f32::max);
    (at_s < end_s).then(|| notes.iter().map(|note| note.sample(at_s - note.from_s)).sum())
}

impl Note {
    fn sample(&self, at_s: f32) -> f32 {
        if !(0.0..self.length_s).contains(&at_s) {
            return 0.0;
        }
        let edge = (at_s / RISE_S).min((self.length_s - at_s) / FALL_S).min(1.0);
        // Half a cosine: it leaves and reaches both ends without a corner.
        let envelope = 0.5 - 0.5 * (edge * TAU / 2.0).cos();
        envelope * self.sines.iter().map(|(hertz, level)| level * (TAU * hertz * at_s).sin()).sum::<f32>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: f32 = 48_000.0;
    const MAX_LEVEL: f32 = 0.35;
    const ALL: [Sound; 4] = [Sound::Beep, Sound::Go, Sound::LastMinute, Sound::Horn];

    #[allow(clippy::cast_precision_loss)] // seconds of samples
    fn played(sound: Sound) -> Vec<f32> {
        (0..).map_while(|n| sample(sound, n as f32 / RATE)).collect()
    }

    #[test]
    fn sounds_begin_and_end_at_nothing_without_a_click_and_stay_in_level() {
        for sound in ALL {
            let samples = played(sound);
            assert!(samples[0].abs() < 1e-6 && samples[samples.len() - 1].abs() < 0.001, "{sound:?}");
            let peak = samples.iter().fold(0.0f32, |peak, s| peak.max(s.abs()));
            assert!((0.2..=MAX_LEVEL).contains(&peak), "{sound:?}: {peak}");
            // The steepest that a sine of the highest frequency is anyway; an edge that clicked would be steeper.
            let steepest = MAX_LEVEL * TAU * 1_400.0 / RATE;
            let step = samples.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f32::max);
            assert!(step <= steepest, "{sound:?}: {step}");
        }
    }

    #[test]
    fn sounds_differ_in_length() {
        let lengths = ALL.map(|sound| played(sound).len());
        assert!(lengths[0] < lengths[2] && lengths[2] < lengths[1] && lengths[1] < lengths[3], "{lengths:?}");
    }
}
