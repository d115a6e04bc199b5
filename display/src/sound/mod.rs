//! Beeps of the countdown, the start, the last minute and the cap's horn, on a thread of their own, from the feed's
//! clock. Everything is scheduled ahead, so that it begins on the second; what the feed takes back is not played, and
//! while the feed is away nothing is: nobody knows then whether the heat still runs.

mod output;
pub mod plan;
mod player;
mod tone;

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

use fivemark_scene::Link;

use self::output::Output;
use self::player::{Due, Score};
use crate::clock::MonoClock;
use crate::connection::{Known, Shared};

/// Between two tries to open a device that ended.
const OPEN_AGAIN: Duration = Duration::from_secs(5);

/// Rings when there is news for the sound's thread.
#[derive(Clone, Debug, Default)]
pub struct Bell {
    rung: Arc<(Mutex<bool>, Condvar)>,
}

impl Bell {
    /// Wakes the sound's thread.
    pub fn ring(&self) {
        *self.rung.0.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.rung.1.notify_one();
    }

    /// Waits for a ring, at most `within`.
    fn wait(&self, within: Duration) {
        let rung = self.rung.0.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = self.rung.1.wait_timeout_while(rung, within, |rung| !*rung);
        let (mut rung, _) = waited.unwrap_or_else(PoisonError::into_inner);
        *rung = false;
    }
}

/// The running sound. Dropping it ends it.
#[derive(Debug)]
pub struct Speaker {
    stop: Arc<AtomicBool>,
    bell: Bell,
    thread: Option<JoinHandle<()>>,
}

impl Speaker {
    /// Starts to play what `shared` says. `bell` has to ring after every change of it. Everything begins `latency_us`
    /// microseconds early, for a device that does not know how late its sound is heard.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(shared: Shared, clock: MonoClock, bell: Bell, latency_us: i64) -> io::Result<Self> {
        let stop = Arc::new(AtomicBool::new(false));
        let (stopped, rings) = (Arc::clone(&stop), bell.clone());
        let play = move || {
            // A machine without a sound device shows the same as any other.
            let Some(mut output) = open(clock, &rings, true) else { return };
            let mut last = None;
            while !stopped.load(Ordering::Acquire) {
                if output.1.load(Ordering::Acquire) {
                    drop(output);
                    let Some(again) = open_again(clock, &rings, &stopped) else { return };
                    output = again;
                    last = None;
                }
                let score = score(&shared.lock(), clock.now_us(), latency_us);
                if last != Some(score) {
                    output.0.play(score);
                    last = Some(score);
                }
                rings.wait(OPEN_AGAIN);
            }
        };
        let thread = std::thread::Builder::new().name("sound".into()).spawn(play)?;
        Ok(Self { stop, bell, thread: Some(thread) })
    }
}

impl Drop for Speaker {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Release);
        self.bell.ring();
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the sound's thread stopped with a fault");
        }
    }
}

/// The device, and whether it has ended by itself. What is wrong is told if asked.
fn open(clock: MonoClock, bell: &Bell, tell: bool) -> Option<(Output, Arc<AtomicBool>)> {
    let ended = Arc::new(AtomicBool::new(false));
    let (flag, rings) = (Arc::clone(&ended), bell.clone());
    let failed = move |reason: String| {
        if !flag.swap(true, Ordering::AcqRel) {
            tracing::warn!(reason, "the sound device went away; it is tried again, quietly");
        }
        rings.ring();
    };
    match Output::open(clock, failed) {
        Ok(output) => {
            tracing::info!(device = output.name, "sound goes to this device");
            Some((output, ended))
        }
        Err(error) => {
            if tell {
                tracing::warn!(
                    "{error}; the board goes on without sound. Check with `aplay -l`, then start again"
                );
            }
            None
        }
    }
}

/// Tries until the device is back; none when the sound is to end.
fn open_again(clock: MonoClock, bell: &Bell, stopped: &AtomicBool) -> Option<(Output, Arc<AtomicBool>)> {
    let mut tried = std::time::Instant::now();
    loop {
        if stopped.load(Ordering::Acquire) {
            return None;
        }
        if tried.elapsed() >= OPEN_AGAIN {
            if let Some(again) = open(clock, bell, false) {
                return Some(again);
            }
            tried = std::time::Instant::now();
        }
        bell.wait(OPEN_AGAIN);
    }
}

/// What is to sound, as far as it is known now.
fn score(known: &Known, now_us: i64, latency_us: i64) -> Score {
    let shown_us = known.shown_us(now_us);
    let (Some(view), Link::Live) = (&known.view, known.link(shown_us)) else { return Score::default() };
    let plan = plan::plan(&view.snapshot);
    let late_us = now_us - shown_us;
    let due = |cue: plan::Cue| {
        let at_us = known.clock.mono_us(cue.at_ms.saturating_mul(1_000))?;
        let at_us = at_us.saturating_add(late_us).saturating_sub(latency_us);
        Some(Due { sound: cue.sound, feed_ms: cue.at_ms, at_us })
    };
    Score { dues: plan.cues.map(|cue| cue.and_then(due)), goes_on: plan.goes_on }
}

#[cfg(test)]
#[path = "../../tests/program/heat.rs"]
mod heat;

/// A heat of two lanes in this state.
#[cfg(test)]
fn sample(
    state: fivemark_wire::view::State,
    clock: fivemark_wire::view::Clock,
    cap_ms: i64,
) -> fivemark_wire::from_feed::Snapshot {
    let mut snapshot = heat::snapshot(2);
    snapshot.heat.state = state;
    snapshot.heat.clock = clock;
    snapshot.heat.cap_ms = cap_ms;
    snapshot
}
