//! A hall's own authority, kept in a folder: made once, and never made anew where one is; the feed's certificate is
//! made anew at every call. What it may vouch for is written into it, so that a phone that trusts it trusts it for
//! a hall's addresses and for nothing else. Leaves showing certificates to `tls` and offering the authority to `http`.

mod name;
mod scope;

use std::io::Write;
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rcgen::{
    BasicConstraints, Certificate, CertificateParams, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints,
};
use rustls::RootCertStore;
use rustls::client::WebPkiServerVerifier;
use rustls::client::danger::ServerCertVerifier;
use rustls::crypto::ring;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use sha2::{Digest, Sha256};
use thiserror::Error;
use time::{Duration, OffsetDateTime};

pub use name::{Name, NameError};

use crate::tls::{PemFiles, TlsError, read_authority};

/// The authority's certificate, for everybody.
pub const AUTHORITY: &str = "authority.crt";
/// The authority's key, for nobody.
const AUTHORITY_KEY: &str = "authority.key";
/// The feed's certificate.
const FEED: &str = "feed.crt";
/// The feed's key.
const FEED_KEY: &str = "feed.key";

/// How long an authority is good: three seasons, because phones forget nothing by themselves.
const AUTHORITY_GOOD: Duration = Duration::days(3 * 365);
/// How long the feed's certificate is good: 13 months. Phones refuse one that is good for more than 825 days.
const FEED_GOOD: Duration = Duration::days(397);
/// Certificates begin this long before they are made, because clocks of phones are wrong.
const EARLIER: Duration = Duration::days(2);
/// Most names of one certificate: several networks of several machines.
const MAX_NAMES: usize = 32;
/// A name that every one of our authorities may vouch for.
const SOME_NAME: &str = "feed.local";
/// Largest file that is read, in bytes: a certificate is a thousand.
const MAX_FILE: u64 = 64 * 1024;

/// Why no certificate was made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AuthorityError {
    /// A file or folder cannot be read or written.
    #[error("cannot {does} {}: {says}; check the folder and its permissions", .file.display())]
    File {
        /// `read` or `write`.
        does: &'static str,
        /// The file.
        file: PathBuf,
        /// What the system says.
        says: String,
    },
    /// Something else is in a file.
    #[error("{} is not what this program wrote there ({says}); bring the file back, or use another folder", .file.display())]
    Foreign {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        says: &'static str,
    },
    /// The authority's certificate.
    #[error(transparent)]
    Authority(#[from] TlsError),
    /// One half of an authority.
    #[error("{} is not there, and without it the authority makes no certificates; bring it back, or make another authority in another folder, which every phone has to trust anew", .0.display())]
    Half(PathBuf),
    /// The authority has ended.
    #[error("the authority in {} ended on {until}; make another in another folder, which every phone has to trust anew", .folder.display())]
    Ended {
        /// The folder.
        folder: PathBuf,
        /// Its last day.
        until: String,
    },
    /// No names, or too many.
    #[error("give 1 to {MAX_NAMES} names with --name, the addresses by which phones reach the feed")]
    Names,
    /// The authority may not vouch for a name.
    #[error("the authority in {} may not vouch for {name}, only for private addresses, .local and the names that it was made with; make another in another folder, which every phone has to trust anew", .folder.display())]
    OutOfScope {
        /// The folder.
        folder: PathBuf,
        /// The name.
        name: String,
    },
    /// The library fails: a fault of ours.
    #[error("no certificate could be made: {0}")]
    Library(String),
}

/// What a call made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// Whether the authority is new.
    pub is_new: bool,
    /// The authority's fingerprint.
    pub fingerprint: String,
    /// Until when the feed's certificate is good, as `2027-03-31`.
    pub until: String,
}

/// The feed's certificate and key in a folder.
#[must_use]
pub fn pair(folder: &Path) -> PemFiles {
    PemFiles { certificate: folder.join(FEED), key: folder.join(FEED_KEY) }
}

/// The SHA-256 fingerprint of a certificate, as phones write it: pairs of digits with colons between them.
#[must_use]
pub fn fingerprint(certificate: &[u8]) -> String {
    let digest: [u8; 32] = Sha256::digest(certificate).into();
    digest.map(|byte| format!("{byte:02X}")).join(":")
}

/// Makes the authority of a folder if there is none, and a certificate of it for these names. `now_ms` is the wall
/// clock, Unix milliseconds.
///
/// # Errors
/// See [`AuthorityError`].
pub fn make(folder: &Path, names: &[Name], now_ms: i64) -> Result<Made, AuthorityError> {
    let Some(first) = names.first().filter(|_| names.len() <= MAX_NAMES) else {
        return Err(AuthorityError::Names);
    };
    let now = OffsetDateTime::from_unix_timestamp(now_ms.div_euclid(1_000)).map_err(library)?;
    let (certificate, key) = (folder.join(AUTHORITY), folder.join(AUTHORITY_KEY));
    let is_new = match (certificate.exists(), key.exists()) {
        (true, true) => false,
        (false, false) => {
            begin(folder, names, first, now)?;
            true
        }
        (true, false) => return Err(AuthorityError::Half(key)),
        (false, true) => return Err(AuthorityError::Half(certificate)),
    };
    let authority = Kept::read(folder)?;
    let until = sign(&authority, folder, names, now)?;
    let (fingerprint, until) = (fingerprint(&authority.certificate), until.date().to_string());
    Ok(Made { is_new, fingerprint, until })
}

/// Makes an authority in a folder.
fn begin(folder: &Path, names: &[Name], first: &Name, now: OffsetDateTime) -> Result<(), AuthorityError> {
    let unwritable = |says: std::io::Error| file("write", folder, &says);
    std::fs::DirBuilder::new().recursive(true).mode(0o700).create(folder).map_err(unwritable)?;
    // By the day, too: whoever removes it from a phone later has to know which it is.
    let mut params = authority_params(&format!("Fivemark {first} {}", now.date()));
    params.name_constraints =
        Some(NameConstraints { permitted_subtrees: scope::of(names), excluded_subtrees: Vec::new() });
    (params.not_before, params.not_after) = (now - EARLIER, now + AUTHORITY_GOOD);
    let key = KeyPair::generate().map_err(library)?;
    let certificate = params.self_signed(&key).map_err(library)?;
    // Only where nothing is: not even two calls at once make two authorities.
    write_new(&folder.join(AUTHORITY_KEY), &key.serialize_pem(), 0o600)?;
    write_new(&folder.join(AUTHORITY), &certificate.pem(), 0o644)
}

/// Makes the feed's certificate, and tells how long it is good.
fn sign(
    authority: &Kept,
    folder: &Path,
    names: &[Name],
    now: OffsetDateTime,
) -> Result<OffsetDateTime, AuthorityError> {
    if authority.until <= now {
        let until = authority.until.date().to_string();
        return Err(AuthorityError::Ended { folder: folder.to_owned(), until });
    }
    // Each name alone, so that the one that does not fit can be told.
    for name in names {
        let (certificate, ..) = authority.certify(std::slice::from_ref(name), now)?;
        if !authority.is_trusted(&certificate, name, now)? {
            let (folder, name) = (folder.to_owned(), name.to_string());
            return Err(AuthorityError::OutOfScope { folder, name });
        }
    }
    let (certificate, key, until) = authority.certify(names, now)?;
    let files = pair(folder);
    replace(&files.key, &key.serialize_pem(), 0o600)?;
    replace(&files.certificate, &certificate.pem(), 0o644)?;
    Ok(until)
}

fn called(name: &str) -> DistinguishedName {
    let mut called = DistinguishedName::new();
    called.push(DnType::CommonName, name);
    called
}

/// What an authority's certificate says of it, beside its days and what it may vouch for.
fn authority_params(name: &str) -> CertificateParams {
    let mut params = CertificateParams::default();
    params.distinguished_name = called(name);
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    params
}

/// An authority as its folder has it.
struct Kept {
    certificate: CertificateDer<'static>,
    key: KeyPair,
    name: String,
    until: OffsetDateTime,
}

impl Kept {
    fn read(folder: &Path) -> Result<Self, AuthorityError> {
        let file = folder.join(AUTHORITY_KEY);
        let found = read_authority(&folder.join(AUTHORITY))?;
        let until = OffsetDateTime::from_unix_timestamp(found.until_ms.div_euclid(1_000)).map_err(library)?;
        let foreign = |says| AuthorityError::Foreign { file: file.clone(), says };
        let key = KeyPair::from_pem(&text(&file)?).map_err(|_| foreign("no private key"))?;
        // One that signs itself anew with this key is the same, if the key is the right one.
        let certificate = CertificateDer::from(found.certificate);
        let kept = Self { certificate, key, name: found.name, until };
        if kept.fits()? { Ok(kept) } else { Err(foreign("it is the key of another authority")) }
    }

    /// Whether the key is the certificate's.
    fn fits(&self) -> Result<bool, AuthorityError> {
        let now = self.until - EARLIER;
        let name = Name::Host(SOME_NAME.to_owned());
        let (certificate, ..) = self.certify(std::slice::from_ref(&name), now)?;
        self.is_trusted(&certificate, &name, now)
    }

    /// A certificate for these names, its key, and until when it is good.
    fn certify(
        &self,
        names: &[Name],
        now: OffsetDateTime,
    ) -> Result<(Certificate, KeyPair, OffsetDateTime), AuthorityError> {
        let mut params = CertificateParams::default();
        params.distinguished_name = called(&names.first().map(ToString::to_string).unwrap_or_default());
        params.subject_alt_names =
            names.iter().map(Name::in_certificate).collect::<Result<_, _>>().map_err(library)?;
        params.is_ca = IsCa::ExplicitNoCa;
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        (params.not_before, params.not_after) = (now - EARLIER, self.until.min(now + FEED_GOOD));
        let issuer = Issuer::new(authority_params(&self.name), &self.key);
        let key = KeyPair::generate().map_err(library)?;
        let certificate = params.signed_by(&key, &issuer).map_err(library)?;
        Ok((certificate, key, params.not_after))
    }

    /// Whether a client that trusts the authority takes a certificate for a name.
    fn is_trusted(
        &self,
        certificate: &Certificate,
        name: &Name,
        now: OffsetDateTime,
    ) -> Result<bool, AuthorityError> {
        let mut roots = RootCertStore::empty();
        roots.add(self.certificate.clone()).map_err(library)?;
        let provider = Arc::new(ring::default_provider());
        let client = WebPkiServerVerifier::builder_with_provider(Arc::new(roots), provider)
            .build()
            .map_err(library)?;
        let name = ServerName::try_from(name.to_string()).map_err(library)?;
        let seconds = u64::try_from(now.unix_timestamp()).unwrap_or_default();
        let at = UnixTime::since_unix_epoch(std::time::Duration::from_secs(seconds));
        Ok(client.verify_server_cert(certificate.der(), &[], &name, &[], at).is_ok())
    }
}

fn text(path: &Path) -> Result<String, AuthorityError> {
    use std::io::Read;

    let mut text = String::new();
    std::fs::File::open(path)
        .and_then(|source| source.take(MAX_FILE).read_to_string(&mut text))
        .map_err(|error| file("read", path, &error))?;
    Ok(text)
}

/// Writes a file that is not there yet.
fn write_new(path: &Path, text: &str, mode: u32) -> Result<(), AuthorityError> {
    let written = std::fs::OpenOptions::new().write(true).create_new(true).mode(mode).open(path).and_then(
        |mut target| {
            target.write_all(text.as_bytes())?;
            target.sync_all()
        },
    );
    written.map_err(|error| file("write", path, &error))
}

/// Writes a new file and puts it in place, so that a crash leaves the old one or the new one.
fn replace(path: &Path, text: &str, mode: u32) -> Result<(), AuthorityError> {
    let mut name = path.as_os_str().to_owned();
    name.push(".new");
    let beside = PathBuf::from(name);
    // One that a crash left behind may have other rights.
    match std::fs::remove_file(&beside) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            return Err(file("write", &beside, &error));
        }
        _ => {}
    }
    write_new(&beside, text, mode)?;
    std::fs::rename(&beside, path).map_err(|error| file("write", path, &error))
}

fn file(does: &'static str, file: &Path, error: &std::io::Error) -> AuthorityError {
    AuthorityError::File { does, file: file.to_owned(), says: error.to_string() }
}

fn library(error: impl std::fmt::Display) -> AuthorityError {
    AuthorityError::Library(error.to_string())
}

#[cfg(test)]
mod tests;
