//! Which machine the figures are from: a figure without its machine says nothing.

use std::fmt;

use serde::Serialize;

/// A machine, in words.
#[derive(Clone, Debug, Serialize)]
pub struct Machine {
    /// The processor's own name.
    pub processor: String,
    /// How many cores this program may use.
    pub cores: usize,
    /// Memory, in GiB.
    pub memory_gib: u64,
    /// The system's kernel.
    pub kernel: String,
    /// What draws; empty if nothing was drawn.
    pub adapter: String,
    /// Load average of the last minute when the measuring began: other programs' work.
    pub load: String,
}

impl Machine {
    /// This machine.
    pub fn this() -> Self {
        let read = |file: &str| std::fs::read_to_string(file).unwrap_or_default();
        let field = |text: &str, name: &str| {
            let line = text.lines().find(|line| line.starts_with(name));
            line.and_then(|line| line.split_once(':'))
                .map_or(String::new(), |(_, value)| value.trim().to_owned())
        };
        let memory_kb = field(&read("/proc/meminfo"), "MemTotal");
        let memory_kb: u64 = memory_kb.split(' ').next().and_then(|kb| kb.parse().ok()).unwrap_or(0);
        Self {
            processor: field(&read("/proc/cpuinfo"), "model name"),
            cores: std::thread::available_parallelism().map_or(1, usize::from),
            memory_gib: memory_kb.div_ceil(1024 * 1024),
            kernel: read("/proc/sys/kernel/osrelease").trim().to_owned(),
            adapter: String::new(),
            load: read("/proc/loadavg").split(' ').next().unwrap_or_default().to_owned(),
        }
    }
}

impl fmt::Display for Machine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { processor, cores, memory_gib, kernel, adapter, load } = self;
        write!(f, "{processor}, {cores} cores, {memory_gib} GiB, Linux {kernel}, load {load} at the start")?;
        if !adapter.is_empty() {
            write!(f, "; drawing with {adapter}")?;
        }
        Ok(())
    }
}
