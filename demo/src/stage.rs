//! The programs around the floor: starts feed and display as children in process groups of their own, watches them,
//! and stops them in order. Leaves what happens in between to `show`.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{ExitStatus, Stdio};
use std::time::Duration;

use rustix::process::{Pid, Signal, kill_process};
use thiserror::Error;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};

/// How long a feed may take to listen, real time: its first start writes the journal on a slow disk.
const READY_WITHIN: Duration = Duration::from_secs(30);
/// How long a child has to stop by itself.
const STOP_WITHIN: Duration = Duration::from_secs(8);
/// Last lines of a log that are shown when its program fails.
const TAIL_LINES: usize = 12;

/// Why a program cannot run.
#[derive(Debug, Error)]
pub enum StageError {
    /// A program is not beside this one.
    #[error("{} is not there; build it with: cargo build -p {name}", .path.display())]
    Missing {
        /// Its name.
        name: &'static str,
        /// Where it should be.
        path: PathBuf,
    },
    /// It cannot be started.
    #[error("cannot start {name}: {says}")]
    Start {
        /// Its name.
        name: &'static str,
        /// What the system says.
        says: String,
    },
    /// It ended although it should run.
    #[error("{name} has ended ({status}){tail}")]
    Ended {
        /// Its name.
        name: &'static str,
        /// How.
        status: String,
        /// The end of its log.
        tail: String,
    },
    /// It does not get ready.
    #[error("{name} was not ready within {} s{tail}", READY_WITHIN.as_secs())]
    NotReady {
        /// Its name.
        name: &'static str,
        /// The end of its log.
        tail: String,
    },
}

/// A program that runs.
#[derive(Debug)]
pub struct Program {
    name: &'static str,
    child: Child,
    log: PathBuf,
}

/// Path of a program that stands beside this one.
///
/// # Errors
/// It is not there.
pub fn sibling(name: &'static str) -> Result<PathBuf, StageError> {
    let own = std::env::current_exe().map_err(|error| StageError::Start { name, says: error.to_string() })?;
    let path = own.with_file_name(name);
    if path.is_file() { Ok(path) } else { Err(StageError::Missing { name, path }) }
}

impl Program {
    /// Starts a program that stands beside this one; what it logs goes to `NAME.log` in `folder`.
    ///
    /// # Errors
    /// See [`StageError`].
    pub fn start(
        name: &'static str,
        folder: &Path,
        prepare: impl FnOnce(&mut Command),
    ) -> Result<Self, StageError> {
        let fault = |error: std::io::Error| StageError::Start { name, says: error.to_string() };
        let log = folder.join(format!("{name}.log"));
        let file = File::create(&log).map_err(fault)?;
        let mut command = Command::new(sibling(name)?);
        prepare(&mut command);
        // A group of its own: Ctrl-C reaches the demo alone, which then stops its children in order.
        command.process_group(0).kill_on_drop(true);
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(file).env("NO_COLOR", "1");
        let child = command.spawn().map_err(fault)?;
        Ok(Self { name, child, log })
    }

    /// Waits for a line on its output that begins with `mark`; gives the rest of it. Later output is read and
    /// dropped, so that the program never waits for a reader.
    ///
    /// # Errors
    /// It ends before, or takes too long.
    pub async fn ready(&mut self, mark: &str) -> Result<String, StageError> {
        let Some(output) = self.child.stdout.take() else { return Err(self.not_ready()) };
        let mut lines = BufReader::new(output).lines();
        let wanted = async {
            while let Ok(Some(line)) = lines.next_line().await {
                if let Some(rest) = line.strip_prefix(mark) {
                    return Some(rest.trim().to_owned());
                }
            }
            None
        };
        let found = tokio::time::timeout(READY_WITHIN, wanted).await.map_err(|_| self.not_ready())?;
        let Some(found) = found else { return Err(self.ended().await) };
        tokio::spawn(async move { while let Ok(Some(_)) = lines.next_line().await {} });
        Ok(found)
    }

    /// Waits until it has ended by itself, well. Dropping the wait stops nothing.
    ///
    /// # Errors
    /// It failed.
    pub async fn over(&mut self) -> Result<(), StageError> {
        match self.child.wait().await {
            Ok(status) if status.success() => Ok(()),
            Ok(status) => Err(self.fault(status)),
            Err(error) => Err(StageError::Start { name: self.name, says: error.to_string() }),
        }
    }

    /// Asks it to stop, waits, and ends it by force if it does not.
    pub async fn stop(mut self) {
        let pid = self.child.id().and_then(|id| Pid::from_raw(i32::try_from(id).ok()?));
        if let Some(pid) = pid {
            // It may have ended this moment; the wait below finds out.
            let _ = kill_process(pid, Signal::TERM);
        }
        if tokio::time::timeout(STOP_WITHIN, self.child.wait()).await.is_err() {
            eprintln!("{} does not stop and is ended by force", self.name);
            // It fails only for a child that is gone.
            let _ = self.child.kill().await;
        }
    }

    async fn ended(&mut self) -> StageError {
        match self.child.wait().await {
            Ok(status) => self.fault(status),
            Err(error) => StageError::Start { name: self.name, says: error.to_string() },
        }
    }

    fn fault(&self, status: ExitStatus) -> StageError {
        StageError::Ended { name: self.name, status: status.to_string(), tail: self.tail() }
    }

    fn not_ready(&self) -> StageError {
        StageError::NotReady { name: self.name, tail: self.tail() }
    }

    /// The end of the log, ready to be put behind a sentence.
    fn tail(&self) -> String {
        let text = std::fs::read(&self.log).unwrap_or_default();
        let text = String::from_utf8_lossy(&text);
        let lines: Vec<&str> = text.lines().collect();
        let last = lines.split_at(lines.len().saturating_sub(TAIL_LINES)).1;
        let shown: String = last.iter().map(|line| format!("\n  {line}")).collect();
        if shown.is_empty() { shown } else { format!("; it said:{shown}") }
    }
}
