//! A heat that was told again: its messages in order, each with its moment, and where the heat's clock stood when.
//! Knows nothing of pictures and of real time.

use std::io::{self, BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use fivemark_scene::{Hole, View};
use fivemark_wire::from_feed::{FeedMessage, Snapshot};
use fivemark_wire::shows::Shows;
use fivemark_wire::view::{Clock, HeatState};
use thiserror::Error;

/// Most bytes of a film: the calls of forty lanes for a day, many times over.
const MAX_BYTES: u64 = 512 * 1024 * 1024;

/// Why a film cannot be shown.
#[derive(Debug, Error)]
pub enum FilmError {
    /// The file.
    #[error("{} can't be read: {source}", file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// More than any heat.
    #[error("{} is longer than {MAX_BYTES} bytes; one heat of `fivemark-feed retell` is wanted", .0.display())]
    TooLong(PathBuf),
    /// Something else than messages.
    #[error("{}, line {line}: not a message of the feed: {says}", file.display())]
    NotAMessage {
        /// The file.
        file: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong.
        says: String,
    },
    /// It does not begin with a snapshot.
    #[error("{}: no snapshot in it; write it with `fivemark-feed retell`", .0.display())]
    NoSnapshot(PathBuf),
    /// Messages are missing.
    #[error("{}, line {line}: {hole}", file.display())]
    Hole {
        /// The file.
        file: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is missing.
        hole: Hole,
    },
    /// No such lane.
    #[error("no lane {lane} in this heat; it has lanes {first} to {last}")]
    NoLane {
        /// The lane that was asked for.
        lane: u8,
        /// Its first lane.
        first: u8,
        /// Its last lane.
        last: u8,
    },
    /// No such run.
    #[error("no run {run} of this heat began; its last one is run {last}")]
    NoRun {
        /// The run that was asked for.
        run: u32,
        /// The last one there is; 0 for none.
        last: u32,
    },
    /// The clock never showed that.
    #[error("the heat's clock never reached that moment; it got to {}", minutes(*.reached_ms))]
    NeverReached {
        /// How far it got, milliseconds.
        reached_ms: i64,
    },
}

fn minutes(ms: i64) -> String {
    format!("{}:{:02}.{}", ms / 60_000, ms / 1_000 % 60, ms / 100 % 10)
}

/// The messages of a heat.
#[derive(Clone, Debug)]
pub struct Film {
    first: Snapshot,
    /// What followed, by moment of feed time, milliseconds.
    messages: Vec<(i64, FeedMessage)>,
    /// State and clock as they changed, by moment.
    states: Vec<(i64, HeatState)>,
}

impl Film {
    /// Reads a film, of one lane alone if one is named.
    ///
    /// # Errors
    /// See [`FilmError`].
    pub fn read(file: &Path, lane: Option<u8>) -> Result<Self, FilmError> {
        let unreadable = |source| FilmError::Unreadable { file: file.to_owned(), source };
        let opened = std::fs::File::open(file).map_err(unreadable)?;
        let mut input = BufReader::new(opened.take(MAX_BYTES + 1));
        let (mut film, mut view) = (None::<Self>, None::<View>);
        let (mut text, mut bytes, mut line) = (String::new(), 0, 0);
        loop {
            text.clear();
            let read = input.read_line(&mut text).map_err(unreadable)?;
            if read == 0 {
                break;
            }
            (bytes, line) = (bytes + read as u64, line + 1);
            if bytes > MAX_BYTES {
                return Err(FilmError::TooLong(file.to_owned()));
            }
            let message: FeedMessage = serde_json::from_str(&text).map_err(|error| {
                FilmError::NotAMessage { file: file.to_owned(), line, says: error.to_string() }
            })?;
            match message {
                FeedMessage::Snapshot(mut snapshot) => {
                    alone(&mut snapshot, lane)?;
                    let seen = view.insert(View::new((*snapshot).clone()));
                    match &mut film {
                        Some(film) => film.push(FeedMessage::Snapshot(snapshot), seen),
                        None => film = Some(Self::starting(*snapshot)),
                    }
                }
                FeedMessage::Delta(mut delta) => {
                    let (Some(film), Some(view)) = (&mut film, &mut view) else {
                        return Err(FilmError::NoSnapshot(file.to_owned()));
                    };
                    if let Some(lane) = lane {
                        delta.lanes.retain(|count| count.lane == lane);
                        delta.order.retain(|row| row.lane == lane);
                        delta.no_reps.retain(|no_rep| no_rep.lane == lane);
                        delta.shows = None;
                    }
                    let hole = |hole| FilmError::Hole { file: file.to_owned(), line, hole };
                    view.apply(&delta).map_err(hole)?;
                    film.push(FeedMessage::Delta(delta), view);
                }
                // Whatever else a recording holds (welcome, clocks, answers) shows nothing.
                _ => {}
            }
        }
        film.ok_or_else(|| FilmError::NoSnapshot(file.to_owned()))
    }

    fn starting(first: Snapshot) -> Self {
        Self { states: vec![(first.at_ms, first.heat)], first, messages: Vec::new() }
    }

    fn push(&mut self, message: FeedMessage, view: &View) {
        // A moment that went back would never be shown.
        let at_ms = self.ends_ms().max(view.snapshot.at_ms);
        if self.states.last().is_none_or(|(_, state)| *state != view.snapshot.heat) {
            self.states.push((at_ms, view.snapshot.heat));
        }
        self.messages.push((at_ms, message));
    }

    /// The moment of feed time at which a run (the last one if none is named) began its countdown, milliseconds.
    ///
    /// # Errors
    /// There is no such run.
    pub fn begins_ms(&self, run: Option<u32>) -> Result<i64, FilmError> {
        let run = self.run(run)?;
        let began = |(_, state): &&(i64, HeatState)| state.run == run && state.clock != Clock::Idle;
        Ok(self.states.iter().find(began).map_or(0, |(at_ms, _)| *at_ms))
    }

    /// The moment of feed time at which the heat's clock first showed this, in a run (the last one if none is named).
    ///
    /// # Errors
    /// There is no such run, or its clock never got there.
    pub fn moment_ms(&self, elapsed_ms: i64, run: Option<u32>) -> Result<i64, FilmError> {
        let run = self.run(run)?;
        let ends = self.states.iter().skip(1).map(|(at_ms, _)| *at_ms).chain([i64::MAX]);
        let mut reached_ms = 0;
        for ((from_ms, state), until_ms) in self.states.iter().zip(ends) {
            let Clock::Running { zero_at_ms } = state.clock else { continue };
            if state.run != run {
                continue;
            }
            // Nothing but a message stops the clock, and the cap does so with one.
            let until_ms = until_ms.min(self.ends_ms());
            let at_ms = zero_at_ms.saturating_add(elapsed_ms).max(*from_ms);
            if at_ms <= until_ms {
                return Ok(at_ms);
            }
            reached_ms = reached_ms.max(until_ms.saturating_sub(zero_at_ms));
        }
        Err(FilmError::NeverReached { reached_ms })
    }

    /// The last message's moment of feed time, milliseconds.
    #[must_use]
    pub fn ends_ms(&self) -> i64 {
        self.messages.last().map_or(self.first.at_ms, |(at_ms, _)| *at_ms)
    }

    /// The heat as it stood at a moment of feed time, milliseconds, and what came after it. Before the first message it
    /// stands as in that one.
    #[must_use]
    pub fn from_ms(&self, feed_ms: i64) -> (Snapshot, &[(i64, FeedMessage)]) {
        let (before, after) =
            self.messages.split_at(self.messages.partition_point(|(at_ms, _)| *at_ms <= feed_ms));
        let mut view = View::new(self.first.clone());
        for (_, message) in before {
            match message {
                FeedMessage::Snapshot(snapshot) => view = View::new((**snapshot).clone()),
                // It was put together once already when it was read: there is no hole in it.
                FeedMessage::Delta(delta) => drop(view.apply(delta)),
                _ => {}
            }
        }
        (view.snapshot, after)
    }

    fn run(&self, run: Option<u32>) -> Result<u32, FilmError> {
        let began = self.states.iter().filter(|(_, state)| state.clock != Clock::Idle);
        let last = began.clone().map(|(_, state)| state.run).max().unwrap_or(0);
        let wanted = run.unwrap_or(last);
        if began.clone().any(|(_, state)| state.run == wanted) {
            Ok(wanted)
        } else {
            Err(FilmError::NoRun { run: wanted, last })
        }
    }
}

/// Leaves one lane of a snapshot, on the heat's own board.
fn alone(snapshot: &mut Snapshot, lane: Option<u8>) -> Result<(), FilmError> {
    let Some(lane) = lane else { return Ok(()) };
    let lanes = snapshot.entries.iter().map(|entry| entry.lane);
    if !lanes.clone().any(|known| known == lane) {
        let (first, last) = (lanes.clone().min().unwrap_or(0), lanes.max().unwrap_or(0));
        return Err(FilmError::NoLane { lane, first, last });
    }
    snapshot.entries.retain(|entry| entry.lane == lane);
    snapshot.lanes.retain(|count| count.lane == lane);
    snapshot.order.retain(|row| row.lane == lane);
    *snapshot.shows = Shows::default();
    Ok(())
}
