//! Raw frames at a steady rate, on the standard output or a named pipe: every frame number is sent once in its period,
//! from memory where nothing has changed. One thread takes in what comes out of the card, another writes; a reader that
//! is slow or gone holds up neither the picture nor any other output, and costs two frames of memory.

mod latest;
mod pace;
mod pipe;

use std::fmt;
use std::fs::File;
use std::io::{self, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use crate::clock::MonoClock;
use crate::plan::{Fps, FramesPlan, Output, Pipe};
use crate::readback::{Captured, Tap};
use latest::{Form, Latest};
use pace::Pace;
pub use pipe::PipeError;
use pipe::{MadePipe, Mouth};

/// Between two looks for a reader of a named pipe.
const LOOK_FOR_READER_EVERY: Duration = Duration::from_millis(50);
/// How often it is told that a reader is slow.
const TELL_EVERY_US: i64 = 60_000_000;
/// For a write that is under way when the program ends.
const LAST_WRITE: Duration = Duration::from_millis(500);
/// How late frames are told up to, microseconds; later ones count as this late.
const MAX_LATE_US: usize = 50_000;

/// One output of raw frames. Dropping it ends it, whatever its reader does.
pub struct Frames {
    shared: Arc<SharedState>,
    taken_in: Sender<Event>,
    ended: Receiver<()>,
    /// Goes away with this even if the writer is held up by its reader.
    _made: Option<MadePipe>,
}

/// What the threads have in common.
struct SharedState {
    name: String,
    latest: Mutex<Latest>,
    /// There is a frame to send, or the end.
    ready: Condvar,
    watched: AtomicBool,
    stop: AtomicBool,
    /// The reader of the standard output is gone, and nothing more will be sent.
    over: AtomicBool,
    figures: Mutex<Tally>,
    wake: Box<dyn Fn() + Send + Sync>,
}

enum Event {
    Captured(Arc<Captured>),
    Unwatched,
    Stop,
}

impl Frames {
    /// Starts to send an output's frames as the plan says. `wake` is called when a reader comes, for the thread that
    /// draws to look.
    ///
    /// # Errors
    /// There can be no such pipe, or the system gives no thread.
    pub fn start(
        output: &Output,
        plan: &FramesPlan,
        clock: MonoClock,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, PipeError> {
        let (mouth, made) = Mouth::make(&plan.pipe)?;
        let form = Form { excerpt: output.excerpt, pixels: plan.pixels, alpha: plan.alpha };
        let shared = Arc::new(SharedState {
            name: output.name.clone(),
            latest: Mutex::new(Latest::new(form)),
            ready: Condvar::new(),
            watched: AtomicBool::new(false),
            stop: AtomicBool::new(false),
            over: AtomicBool::new(false),
            figures: Mutex::new(Tally::default()),
            wake: Box::new(wake),
        });
        let (taken_in, inbox) = channel();
        let (end, ended) = channel();
        let refused = |source| PipeError::Refused { path: plan.pipe.to_string().into(), source };
        let taker = Arc::clone(&shared);
        thread::Builder::new()
            .name("frames in".into())
            .spawn(move || taker.take_in(&inbox))
            .map_err(refused)?;
        let writer = Writer { shared: Arc::clone(&shared), mouth, clock, fps: output.fps, copy: Vec::new() };
        let pipe = plan.pipe.clone();
        let write = move || {
            writer.run(&pipe);
            // Nobody waits any more when the program was not ready to.
            let _ = end.send(());
        };
        thread::Builder::new().name("frames out".into()).spawn(write).map_err(refused)?;
        Ok(Self { shared, taken_in, ended, _made: made })
    }

    /// Where the pixels go in.
    #[must_use]
    pub fn tap(&self) -> Arc<dyn Tap> {
        Arc::new(FramesTap { shared: Arc::clone(&self.shared), taken_in: self.taken_in.clone() })
    }

    /// The reader has gone for good.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.shared.over.load(Ordering::Acquire)
    }

    /// What was sent so far.
    #[must_use]
    pub fn figures(&self) -> FrameFigures {
        let drawn = self.shared.latest().drawn;
        lock(&self.shared.figures).figures(drawn)
    }
}

impl Drop for Frames {
    fn drop(&mut self) {
        // The taker ends the writer too, once it has taken in all that came before; unless it has ended after a fault.
        if self.taken_in.send(Event::Stop).is_err() {
            self.shared.end();
        }
        // A reader that does not read is not waited for: its pipe breaks when the program ends.
        let _ = self.ended.recv_timeout(LAST_WRITE);
    }
}

impl SharedState {
    fn latest(&self) -> MutexGuard<'_, Latest> {
        lock(&self.latest)
    }

    fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Acquire)
    }

    fn take_in(&self, inbox: &Receiver<Event>) {
        while let Ok(event) = inbox.recv() {
            match event {
                Event::Captured(captured) => {
                    self.latest().take(&captured);
                    self.ready.notify_all();
                }
                Event::Unwatched => self.latest().forget(),
                Event::Stop => return self.end(),
            }
        }
    }

    /// Has the writer send what it has not sent yet, and end.
    fn end(&self) {
        self.stop.store(true, Ordering::Release);
        // A writer that has just looked whether it is to stop sleeps, and can be woken, once the lock is free again.
        drop(self.latest());
        self.ready.notify_all();
    }
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // Pixels and counts are whole after every line; the best there is after a panic within one.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

struct FramesTap {
    shared: Arc<SharedState>,
    taken_in: Sender<Event>,
}

impl Tap for FramesTap {
    fn is_watching(&self) -> bool {
        self.shared.watched.load(Ordering::Acquire)
    }

    fn take(&self, captured: Arc<Captured>) {
        // The taker has ended only if the program does.
        let _ = self.taken_in.send(Event::Captured(captured));
    }

    fn unwatched(&self) {
        let _ = self.taken_in.send(Event::Unwatched);
    }
}

/// The thread that writes.
struct Writer {
    shared: Arc<SharedState>,
    mouth: Mouth,
    clock: MonoClock,
    fps: Fps,
    copy: Vec<u8>,
}

impl Writer {
    fn run(mut self, pipe: &Pipe) {
        let shared = Arc::clone(&self.shared);
        let name = &shared.name;
        while let Some(mut reader) = self.reader() {
            shared.watched.store(true, Ordering::Release);
            (shared.wake)();
            tracing::info!(output = name, "raw frames have a reader");
            let gone = self.serve(&mut reader);
            drop(reader);
            shared.watched.store(false, Ordering::Release);
            (shared.wake)();
            let Err(error) = gone else { break };
            match pipe {
                Pipe::Standard => {
                    tracing::warn!(output = name, "the reader of the raw frames is gone ({error})");
                    break;
                }
                Pipe::Named(_) => {
                    tracing::warn!(
                        output = name,
                        "the reader of the raw frames is gone; waiting for the next"
                    );
                }
            }
        }
        shared.over.store(true, Ordering::Release);
        (shared.wake)();
    }

    /// Waits for a reader; none when the program ends.
    fn reader(&self) -> Option<File> {
        let mut told = false;
        while !self.shared.is_stopped() {
            match self.mouth.open() {
                Ok(Some(file)) => return Some(file),
                Ok(None) => {}
                Err(error) if !told => {
                    tracing::warn!(output = self.shared.name, %error, "the pipe of the raw frames does not open");
                    told = true;
                }
                Err(_) => {}
            }
            thread::sleep(LOOK_FOR_READER_EVERY);
        }
        None
    }

    /// Sends frames until the reader goes (an error) or the program ends.
    fn serve(&mut self, reader: &mut File) -> io::Result<()> {
        if !self.first_frame() {
            return Ok(());
        }
        reader.write_all(&self.copy)?;
        let first_us = self.clock.now_us();
        lock(&self.shared.figures).sent(0);
        let mut pace = Pace::after_first(first_us, self.fps);
        let (mut told_us, mut untold) = (first_us, 0);
        while !self.shared.is_stopped() {
            let left_out = pace.leave_out(self.clock.now_us());
            self.sleep_until(pace.due_us());
            let late_us = self.clock.now_us() - pace.due_us();
            self.shared.latest().copy_to(&mut self.copy);
            reader.write_all(&self.copy)?;
            pace.taken();
            let mut figures = lock(&self.shared.figures);
            figures.sent(late_us);
            figures.dropped += left_out;
            drop(figures);
            untold += left_out;
            if untold > 0 && self.clock.now_us() - told_us >= TELL_EVERY_US {
                self.tell(untold);
                (told_us, untold) = (self.clock.now_us(), 0);
            }
        }
        self.last_frame(reader)
    }

    /// Sends what came since the last frame was sent, if anything did.
    fn last_frame(&mut self, reader: &mut File) -> io::Result<()> {
        if self.shared.latest().copy_to(&mut self.copy) {
            reader.write_all(&self.copy)?;
            lock(&self.shared.figures).sent(0);
        }
        Ok(())
    }

    /// Waits until there is a frame, and copies it; false when the program ends.
    fn first_frame(&mut self) -> bool {
        let mut latest = self.shared.latest();
        while !latest.is_whole() {
            if self.shared.is_stopped() {
                return false;
            }
            latest = self.shared.ready.wait(latest).unwrap_or_else(PoisonError::into_inner);
        }
        latest.copy_to(&mut self.copy);
        true
    }

    fn sleep_until(&self, due_us: i64) {
        let left_us = due_us - self.clock.now_us();
        if let Ok(left_us) = u64::try_from(left_us) {
            thread::sleep(Duration::from_micros(left_us));
        }
    }

    fn tell(&self, dropped: u64) {
        tracing::warn!(
            output = self.shared.name,
            "the reader of the raw frames is too slow: {dropped} frames were dropped since the last word of it"
        );
    }
}

/// Counts.
struct Tally {
    sent: u64,
    dropped: u64,
    /// Frames by how late they were, microseconds.
    late: Vec<u32>,
}

impl Default for Tally {
    fn default() -> Self {
        Self { sent: 0, dropped: 0, late: vec![0; MAX_LATE_US + 1] }
    }
}

impl Tally {
    fn sent(&mut self, late_us: i64) {
        self.sent += 1;
        let late_us = usize::try_from(late_us).unwrap_or(0).min(MAX_LATE_US);
        self.late[late_us] = self.late[late_us].saturating_add(1);
    }

    fn figures(&self, drawn: u64) -> FrameFigures {
        let rank = (self.sent * 99).div_ceil(100).max(1);
        let mut seen = 0;
        let p99 = self.late.iter().position(|count| {
            seen += u64::from(*count);
            seen >= rank
        });
        FrameFigures { sent: self.sent, dropped: self.dropped, drawn, late_us_p99: p99.unwrap_or(0) as u64 }
    }
}

/// What was sent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FrameFigures {
    /// Frames that the reader was given.
    pub sent: u64,
    /// Frames that were left out because it was too slow.
    pub dropped: u64,
    /// Pictures that differed from the one before.
    pub drawn: u64,
    /// How late after its time the writing of a frame began, 99th percentile, microseconds; at most 50,000.
    pub late_us_p99: u64,
}

impl fmt::Display for FrameFigures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { sent, dropped, drawn, late_us_p99 } = self;
        write!(f, "{sent} sent, {dropped} dropped, {drawn} drawn; p99 late by {late_us_p99} µs")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lateness_is_told_by_nearest_rank_and_bounded() {
        let mut tally = Tally::default();
        (1..=98).for_each(|late_us| tally.sent(late_us));
        tally.sent(7_000);
        tally.sent(9_000_000);
        assert_eq!(tally.figures(3), FrameFigures { sent: 100, dropped: 0, drawn: 3, late_us_p99: 7_000 });
        tally.sent(-5);
        (0..3).for_each(|_| tally.sent(80_000));
        assert_eq!(tally.figures(3).late_us_p99, 50_000);
        assert_eq!(Tally::default().figures(0), FrameFigures::default());
    }
}
