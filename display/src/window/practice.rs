//! Faults on demand, so that a test can watch a real window come through them: what a driver does once in a season
//! is done here by a word on the standard input. Only with a hidden option; without it nothing of this runs.

use std::collections::VecDeque;
use std::io::BufRead;
use std::sync::{Arc, Mutex, PoisonError};

use wgpu::CurrentSurfaceTexture;

/// What can be made to happen, by its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// `device`: the device goes away.
    Device,
    /// `lost`: the surface goes away.
    Lost,
    /// `outdated`: the surface no longer fits its window.
    Outdated,
    /// `timeout`: the surface has no picture to draw on in time.
    Timeout,
    /// `occluded`: nobody can see the window.
    Occluded,
    /// `invalid`: the surface may not be drawn on.
    Invalid,
}

impl Fault {
    fn read(word: &str) -> Option<Self> {
        Some(match word {
            "device" => Self::Device,
            "lost" => Self::Lost,
            "outdated" => Self::Outdated,
            "timeout" => Self::Timeout,
            "occluded" => Self::Occluded,
            "invalid" => Self::Invalid,
            _ => return None,
        })
    }

    /// As a surface tells it; none for the device.
    pub(super) fn outcome(self) -> Option<CurrentSurfaceTexture> {
        match self {
            Self::Device => None,
            Self::Lost => Some(CurrentSurfaceTexture::Lost),
            Self::Outdated => Some(CurrentSurfaceTexture::Outdated),
            Self::Timeout => Some(CurrentSurfaceTexture::Timeout),
            Self::Occluded => Some(CurrentSurfaceTexture::Occluded),
            Self::Invalid => Some(CurrentSurfaceTexture::Validation),
        }
    }
}

/// Faults that were asked for and did not happen yet, oldest first.
#[derive(Clone, Debug, Default)]
pub struct Practice {
    asked: Arc<Mutex<VecDeque<Fault>>>,
}

impl Practice {
    /// Takes faults from the standard input, a word a line, from now on. `wake` is called after each.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn from_input(wake: impl Fn() + Send + 'static) -> std::io::Result<Self> {
        let practice = Self::default();
        let asked = Arc::clone(&practice.asked);
        let read = move || {
            for line in std::io::stdin().lock().lines().map_while(Result::ok) {
                match Fault::read(line.trim()) {
                    Some(fault) => asked.lock().unwrap_or_else(PoisonError::into_inner).push_back(fault),
                    None => tracing::warn!(line, "no fault of this name can be practised"),
                }
                wake();
            }
        };
        // It ends with the program: a read from the standard input can't be called off.
        std::thread::Builder::new().name("practice".into()).spawn(read)?;
        Ok(practice)
    }

    /// The next fault that is to happen.
    pub(super) fn next(&self) -> Option<Fault> {
        self.asked.lock().unwrap_or_else(PoisonError::into_inner).pop_front()
    }
}
