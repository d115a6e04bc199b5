//! The feed's binary as a child process.

use std::net::SocketAddr;
use std::path::Path;

use super::{Door, data, keys};

/// The binary, running.
pub struct Program {
    pub child: std::process::Child,
    pub address: SocketAddr,
    pub keys: toml::Table,
}

impl Program {
    /// Starts `serve` on a journal in a folder and waits for its ready line.
    pub fn serve(folder: &Path, more: &[&str]) -> Self {
        Self::spawn(Self::command(folder, more), folder)
    }

    /// The command line that `serve` starts.
    pub fn command(folder: &Path, more: &[&str]) -> std::process::Command {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_fivemark-feed"));
        command.args(["serve", "--listen", "127.0.0.1:0", "--competition"]);
        command.arg(data("competition.toml")).arg("--journal").arg(folder.join("record.journal")).args(more);
        command
    }

    pub fn spawn(mut command: std::process::Command, folder: &Path) -> Self {
        command.stderr(std::process::Stdio::null());
        Self::spawn_logging(command, folder)
    }

    /// The same, with a log where the command has it.
    pub fn spawn_logging(mut command: std::process::Command, folder: &Path) -> Self {
        use std::io::{BufRead, BufReader};
        use std::process::Stdio;

        let mut child = command.stdout(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let address =
            line.trim().strip_prefix("listening on http://").expect("no ready line").parse().unwrap();
        Self { child, address, keys: keys(&folder.join("record.journal")) }
    }

    pub fn door(&self) -> Door<'_> {
        Door { address: self.address, keys: &self.keys }
    }

    pub fn signal(&self, signal: rustix::process::Signal) {
        let pid = rustix::process::Pid::from_child(&self.child);
        rustix::process::kill_process(pid, signal).unwrap();
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // A test that failed leaves no feed behind; one that ended has none to kill.
        self.child.kill().ok();
        self.child.wait().ok();
    }
}
