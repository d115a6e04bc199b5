//! The program's own binaries, started as a user would start them.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// The golden competition.
const GOLDEN: &str = include_str!("../data/golden.toml");

/// Path of a binary of the workspace, in the folder that also holds the running test.
///
/// # Panics
/// It has not been built.
#[must_use]
pub fn path_of(name: &str) -> PathBuf {
    let test = std::env::current_exe().expect("a test knows its own path");
    let folder = test.parent().and_then(Path::parent).expect("tests lie in target/PROFILE/deps");
    let binary = folder.join(name);
    assert!(binary.is_file(), "{} is not built; run `cargo build --workspace --bins`", binary.display());
    binary
}

/// A feed on a port of its own, stopped when dropped.
#[derive(Debug)]
pub struct Feed {
    child: Child,
    /// `http://127.0.0.1:PORT`, or `https://`.
    pub url: String,
    /// The certificate of the authority of a feed with TLS.
    pub trust: PathBuf,
    /// Its access keys.
    pub access_file: PathBuf,
    _folder: tempfile::TempDir,
}

impl Feed {
    /// Starts a feed on the golden competition; heat time runs `speed` times faster.
    ///
    /// # Panics
    /// It does not start.
    #[must_use]
    pub fn start(speed: u32) -> Self {
        Self::start_with(GOLDEN, speed)
    }

    /// Starts a feed on a competition, given as its file's text.
    ///
    /// # Panics
    /// It does not start.
    #[must_use]
    pub fn start_with(text: &str, speed: u32) -> Self {
        Self::start_in(tempfile::tempdir().expect("a folder can be made"), text, speed, |_| {})
    }

    /// Starts a feed on the golden competition with TLS, by an authority of its own.
    ///
    /// # Panics
    /// It does not start.
    #[must_use]
    pub fn start_with_tls(speed: u32) -> Self {
        let folder = tempfile::tempdir().expect("a folder can be made");
        let authority = folder.path().join("authority");
        let made = Command::new(path_of("fivemark-feed"))
            .arg("authority")
            .arg(&authority)
            .args(["--name", "127.0.0.1", "--name", "localhost"])
            .output()
            .expect("the feed starts");
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        Self::start_in(folder, GOLDEN, speed, |command| {
            command.arg("--authority").arg(&authority);
        })
    }

    fn start_in(folder: tempfile::TempDir, text: &str, speed: u32, more: impl FnOnce(&mut Command)) -> Self {
        let competition = folder.path().join("competition.toml");
        std::fs::write(&competition, text).expect("the folder can be written");
        let journal = folder.path().join("heat.journal");
        let access_file = folder.path().join("access.toml");
        let mut command = Command::new(path_of("fivemark-feed"));
        command
            .arg("serve")
            .args(["--listen", "127.0.0.1:0", "--speed", &speed.to_string()])
            .arg("--competition")
            .arg(&competition)
            .arg("--journal")
            .arg(&journal)
            .arg("--access")
            .arg(&access_file)
            .stdout(Stdio::piped());
        more(&mut command);
        let mut child = command.spawn().expect("the feed starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output is piped")).lines();
        let url = loop {
            let line = lines.next().expect("the feed says where it listens").expect("in UTF-8");
            if let Some(url) = line.strip_prefix("listening on ") {
                break url.trim().to_owned();
            }
        };
        let trust = folder.path().join("authority/authority.crt");
        Self { child, url, trust, access_file, _folder: folder }
    }
}

impl Drop for Feed {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
