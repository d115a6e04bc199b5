//! The sound device: opens the system's default one and lets the player fill its buffers. Decides nothing.

use std::sync::{Arc, Mutex, PoisonError};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{ErrorKind, FromSample, OutputCallbackInfo, SampleFormat, SizedSample, Stream, StreamConfig};
use thiserror::Error;

use super::player::{Player, Score};
use crate::clock::MonoClock;

/// Samples that are filled at a time; larger buffers of a device are filled in several steps.
const STEP: usize = 1_024;

/// Why nothing is heard.
#[derive(Debug, Error)]
#[allow(missing_docs)]
pub enum OutputError {
    /// The system names no device.
    #[error("there is no sound device")]
    NoDevice,
    /// It is there and does not play.
    #[error("the sound device {device} does not play: {reason}")]
    Silent { device: String, reason: String },
}

/// An open device. Dropping it ends the sound.
pub struct Output {
    /// Its name, for people.
    pub name: String,
    scores: Arc<Mutex<Option<Score>>>,
    _stream: Stream,
}

impl Output {
    /// Opens the default device. `failed` is called from the device's own thread when it ends by itself.
    ///
    /// # Errors
    /// There is none, or it does not play.
    pub fn open(clock: MonoClock, failed: impl Fn(String) + Send + 'static) -> Result<Self, OutputError> {
        hush();
        let device = cpal::default_host().default_output_device().ok_or(OutputError::NoDevice)?;
        let name = device.description().map_or_else(|_| "default".to_owned(), |about| about.to_string());
        let silent =
            |error: cpal::Error| OutputError::Silent { device: name.clone(), reason: error.to_string() };
        let supported = device.default_output_config().map_err(silent)?;
        let scores = Arc::new(Mutex::new(None));
        let filling = Filling {
            player: Player::new(supported.sample_rate()),
            channels: usize::from(supported.channels()).max(1),
            scores: Arc::clone(&scores),
            clock,
            step: Vec::with_capacity(STEP),
        };
        let config = supported.config();
        let build = match supported.sample_format() {
            SampleFormat::F32 => build::<f32>,
            SampleFormat::I16 => build::<i16>,
            SampleFormat::I32 => build::<i32>,
            SampleFormat::U8 => build::<u8>,
            other => {
                let reason = format!("its samples are of a kind that is not spoken here ({other})");
                return Err(OutputError::Silent { device: name, reason });
            }
        };
        let stream = build(&device, config, filling, Box::new(failed)).map_err(silent)?;
        stream.play().map_err(silent)?;
        Ok(Self { name, scores, _stream: stream })
    }

    /// Plays from this score from the next buffer on.
    pub fn play(&self, score: Score) {
        *self.scores.lock().unwrap_or_else(PoisonError::into_inner) = Some(score);
    }
}

/// Keeps ALSA from writing its own account of what fails to the standard error, many lines at every try; what matters
/// of it comes back as an error.
#[cfg(target_os = "linux")]
fn hush() {
    if let Err(error) = alsa::Output::local_error_handler() {
        tracing::debug!(%error, "ALSA writes its own messages");
    }
}

#[cfg(not(target_os = "linux"))]
fn hush() {}

/// What the device's thread has.
struct Filling {
    player: Player,
    channels: usize,
    scores: Arc<Mutex<Option<Score>>>,
    clock: MonoClock,
    step: Vec<f32>,
}

impl Filling {
    fn fill<T: SizedSample + FromSample<f32>>(&mut self, data: &mut [T], info: &OutputCallbackInfo) {
        let now_us = self.clock.now_us();
        // The device's thread never waits: a score that is being written now is taken with the next buffer.
        if let Ok(mut scores) = self.scores.try_lock()
            && let Some(score) = scores.take()
        {
            self.player.follow(score, now_us);
        }
        let stamp = info.timestamp();
        let ahead = stamp.playback.duration_since(stamp.callback);
        let mut heard_us = now_us.saturating_add(i64::try_from(ahead.as_micros()).unwrap_or(0));
        for part in data.chunks_mut(STEP * self.channels) {
            let frames = part.len() / self.channels;
            self.step.clear();
            self.step.resize(frames, 0.0);
            heard_us = self.player.fill(heard_us, &mut self.step);
            for (frame, sample) in part.chunks_mut(self.channels).zip(&self.step) {
                frame.fill(T::from_sample(*sample));
            }
        }
    }
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    config: StreamConfig,
    mut filling: Filling,
    failed: Box<dyn Fn(String) + Send>,
) -> Result<Stream, cpal::Error> {
    let fill = move |data: &mut [T], info: &OutputCallbackInfo| filling.fill(data, info);
    let trouble = move |error: cpal::Error| match error.kind() {
        // The stream goes on after these.
        ErrorKind::Xrun | ErrorKind::DeviceChanged | ErrorKind::RealtimeDenied => {
            tracing::debug!(%error, "the sound device stumbled");
        }
        _ => failed(error.to_string()),
    };
    device.build_output_stream(config, fill, trouble, None)
}
