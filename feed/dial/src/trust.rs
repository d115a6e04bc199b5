//! Whom a program trusts to say that a feed is the feed: the system's authorities, or those of one file and nobody
//! else.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rustls::crypto::ring;
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject;
use rustls::{ClientConfig, RootCertStore};
use thiserror::Error;

/// Largest file of authorities, in bytes: all that a system trusts are a few hundred thousand.
const MAX_FILE: u64 = 1024 * 1024;

/// Why nobody can be trusted.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TrustError {
    /// The file cannot be read.
    #[error("cannot read {}: {says}; check the path after --trust", .file.display())]
    Read {
        /// The file.
        file: PathBuf,
        /// What the system says.
        says: String,
    },
    /// No certificate that can be trusted is in it.
    #[error(
        "{} holds no authority's certificate in PEM form ({says}); take the authority.crt that was made with the \
         feed's certificate",
        .file.display()
    )]
    NoAuthority {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        says: String,
    },
    /// An address in plain text.
    #[error(
        "{0} is not encrypted, so that nobody can be told from the feed there; write wss://, or leave out --trust"
    )]
    NothingToTrust(String),
    /// The library has no ciphers: a fault of ours.
    #[error("no encrypted connection can be made: {0}")]
    NoCiphers(String),
}

/// Trusts the authorities in a PEM file, and nobody else.
pub(super) fn of_file(file: &Path) -> Result<Arc<ClientConfig>, TrustError> {
    let none = |says: &str| TrustError::NoAuthority { file: file.to_owned(), says: says.to_owned() };
    let bytes = read(file)?;
    let mut roots = RootCertStore::empty();
    for certificate in CertificateDer::pem_slice_iter(&bytes) {
        let certificate = certificate.map_err(|_| none("one in it is broken"))?;
        roots.add(certificate).map_err(|_| none("one in it cannot be trusted"))?;
    }
    if roots.is_empty() { Err(none("there is none in it")) } else { settings(roots) }
}

/// Trusts the authorities that the system trusts. A system with none trusts no feed, and the connection says so.
pub(super) fn of_system() -> Result<Arc<ClientConfig>, TrustError> {
    let mut roots = RootCertStore::empty();
    let (_, unread) = roots.add_parsable_certificates(rustls_native_certs::load_native_certs().certs);
    tracing::debug!(authorities = roots.len(), unread, "the system's authorities are trusted");
    settings(roots)
}

fn settings(roots: RootCertStore) -> Result<Arc<ClientConfig>, TrustError> {
    let settings = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(|error| TrustError::NoCiphers(error.to_string()))?
        .with_root_certificates(roots)
        .with_no_client_auth();
    Ok(Arc::new(settings))
}

fn read(file: &Path) -> Result<Vec<u8>, TrustError> {
    let unread = |says: String| TrustError::Read { file: file.to_owned(), says };
    let mut bytes = Vec::new();
    std::fs::File::open(file)
        .and_then(|source| source.take(MAX_FILE + 1).read_to_end(&mut bytes))
        .map_err(|error| unread(error.to_string()))?;
    if bytes.len() as u64 > MAX_FILE {
        return Err(unread(format!("it is larger than {} KiB", MAX_FILE / 1024)));
    }
    Ok(bytes)
}
