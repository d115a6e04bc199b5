//! Other processes: started on a core of their own, and what they have used, as the kernel tells it.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::time::Duration;

use anyhow::Context;

/// A child that ends with its owner.
#[derive(Debug)]
pub struct Running(pub Child);

impl Running {
    /// Its process number.
    pub fn id(&self) -> u32 {
        self.0.id()
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to stop.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Path of a program that is built beside this one.
///
/// # Errors
/// It is not there.
pub fn beside(name: &str) -> anyhow::Result<PathBuf> {
    let own = std::env::current_exe().context("cannot find this program's own path")?;
    let path = own.with_file_name(name);
    anyhow::ensure!(path.is_file(), "{} is not built; run `cargo build --release` first", path.display());
    Ok(path)
}

/// A command that runs on these cores only (as `taskset` writes them), where there is more than one.
pub fn on_cores(cores: &str, program: &Path) -> Command {
    let several = std::thread::available_parallelism().is_ok_and(|count| count.get() > 1);
    if several {
        let mut command = Command::new("taskset");
        command.args(["--cpu-list", cores]).arg(program);
        command
    } else {
        Command::new(program)
    }
}

/// The first line that a process says; the rest stays to be read.
///
/// # Errors
/// It ends, or says something else than text.
pub fn first_line(said: &mut impl Read) -> anyhow::Result<String> {
    let (mut line, mut byte) = (Vec::new(), [0]);
    while said.read(&mut byte)? == 1 && byte != *b"\n" {
        line.push(byte[0]);
    }
    Ok(String::from_utf8(line)?)
}

/// Resident memory of a process now, in MB (of 1,000,000 bytes).
///
/// # Errors
/// It has ended.
pub fn resident_mb(id: u32) -> anyhow::Result<f64> {
    let status = std::fs::read_to_string(format!("/proc/{id}/status"))
        .with_context(|| format!("process {id} has ended"))?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or_default();
    let kb: f64 =
        line.trim().trim_end_matches(" kB").parse().context("the kernel tells no resident memory")?;
    Ok(kb * 1_024.0 / 1e6)
}

/// CPU time that a process and everything it started and that still runs has used, all threads.
pub fn tree_cpu(id: u32) -> Duration {
    let stats: Vec<Stat> = std::fs::read_dir("/proc")
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|entry| entry.file_name().to_str()?.parse().ok())
        .filter_map(Stat::of)
        .collect();
    let mut tree = vec![id];
    let mut next = 0;
    while let Some(&parent) = tree.get(next) {
        tree.extend(stats.iter().filter(|stat| stat.parent == parent).map(|stat| stat.id));
        next += 1;
    }
    stats.iter().filter(|stat| tree.contains(&stat.id)).map(|stat| stat.cpu).sum()
}

struct Stat {
    id: u32,
    parent: u32,
    cpu: Duration,
}

impl Stat {
    fn of(id: u32) -> Option<Self> {
        let text = std::fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
        // The name stands in brackets and may hold spaces; what follows it is counted from the state.
        let fields: Vec<&str> = text.rsplit_once(')')?.1.split_whitespace().collect();
        let field = |index: usize| fields.get(index)?.parse::<u64>().ok();
        // User and system time of itself, and of children that have ended and were waited for.
        let ticks = field(11)? + field(12)? + field(13)? + field(14)?;
        let a_second = rustix::param::clock_ticks_per_second();
        Some(Self {
            id,
            parent: fields.get(1)?.parse().ok()?,
            cpu: Duration::from_millis(ticks * 1_000 / a_second),
        })
    }
}
