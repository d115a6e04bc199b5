//! The encrypted door: the certificate that the feed shows, and what a handshake needs. A pair of files that is
//! replaced while the feed runs is taken for new connections; a broken one changes nothing and is told. Leaves
//! accepting to `http::accept`, and making certificates to `authority`.

mod fields;
mod files;

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::{Duration, SystemTime};

use tokio_rustls::TlsAcceptor;

pub(crate) use files::day;
pub use files::{Authority, Leaf, Loaded, PemFiles, TlsError, read_authority};

use crate::machine::Machine;

/// Between looks at the files. They are looked at, not subscribed to: notices don't come from network folders.
const LOOK_EVERY: Duration = Duration::from_secs(2);
/// A certificate that ends sooner than this is told at the start, in milliseconds: two weeks.
const SOON_MS: i64 = 14 * 24 * 3_600_000;

/// The certificate of a running feed.
#[derive(Debug)]
pub struct Certificate {
    files: PemFiles,
    machine: Arc<dyn Machine>,
    current: RwLock<Loaded>,
    /// The files as they were when they were read last.
    seen: Mutex<Seen>,
}

/// What tells that a file is another one: when it was written, and its length.
type Seen = [Option<(SystemTime, u64)>; 2];

impl Certificate {
    /// Reads and checks the files.
    ///
    /// # Errors
    /// See [`TlsError`].
    pub fn load(files: PemFiles, machine: Arc<dyn Machine>) -> Result<Self, TlsError> {
        let seen = look(&files);
        let loaded = files.load(machine.wall_ms())?;
        tell(&loaded.leaf, machine.wall_ms());
        Ok(Self { files, machine, current: RwLock::new(loaded), seen: Mutex::new(seen) })
    }

    /// What makes a handshake with the certificate of now.
    #[must_use]
    pub fn acceptor(&self) -> TlsAcceptor {
        TlsAcceptor::from(Arc::clone(&self.current.read().unwrap_or_else(PoisonError::into_inner).server))
    }

    /// What the certificate of now says of itself.
    #[must_use]
    pub fn leaf(&self) -> Leaf {
        self.current.read().unwrap_or_else(PoisonError::into_inner).leaf.clone()
    }

    /// Takes files that are replaced, until it is dropped.
    pub async fn keep_current(self: Arc<Self>) {
        loop {
            tokio::time::sleep(LOOK_EVERY).await;
            let certificate = Arc::clone(&self);
            // A folder on a network may keep a reader waiting.
            if tokio::task::spawn_blocking(move || certificate.look_again()).await.is_err() {
                tracing::error!("looking at the certificate ended with a fault");
            }
        }
    }

    fn look_again(&self) {
        // Before they are read: files that change meanwhile are read again at the next look.
        let now = look(&self.files);
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        if *seen == now {
            return;
        }
        *seen = now;
        match self.files.load(self.machine.wall_ms()) {
            Ok(loaded) => {
                tracing::info!("the certificate was replaced; new connections have the new one");
                tell(&loaded.leaf, self.machine.wall_ms());
                *self.current.write().unwrap_or_else(PoisonError::into_inner) = loaded;
            }
            Err(error) => tracing::warn!("{error}; the feed goes on with the certificate that it has"),
        }
    }
}

fn look(files: &PemFiles) -> Seen {
    let one = |file: &Path| {
        let about = std::fs::metadata(file).ok()?;
        Some((about.modified().ok()?, about.len()))
    };
    [one(&files.certificate), one(&files.key)]
}

/// Says what browsers will think of a certificate that is good today.
fn tell(leaf: &Leaf, now_ms: i64) {
    if leaf.names.is_empty() {
        tracing::warn!("the certificate names no address (subject alternative name); browsers refuse it");
    }
    if leaf.until_ms - now_ms < SOON_MS {
        tracing::warn!("the certificate is good only until {}", leaf.until());
    }
    tracing::info!(names = leaf.names.join(" "), until = leaf.until(), "the certificate");
}
