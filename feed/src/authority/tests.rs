use std::os::unix::fs::PermissionsExt;

use rustls::pki_types::pem::PemObject;

use super::*;

/// The first of July 2026.
const NOW_MS: i64 = 1_782_864_000_000;
const DAY_MS: i64 = 24 * 3_600_000;

fn names(all: &[&str]) -> Vec<Name> {
    all.iter().map(|name| name.parse().unwrap()).collect()
}

fn mode(file: &Path) -> u32 {
    std::fs::metadata(file).unwrap().permissions().mode() & 0o777
}

fn read_der(file: &Path) -> CertificateDer<'static> {
    CertificateDer::from_pem_slice(&std::fs::read(file).unwrap()).unwrap()
}

#[test]
fn an_authority_is_made_once_and_the_feeds_certificate_anew() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("hall");
    let first = make(&folder, &names(&["feed.local", "192.168.7.7"]), NOW_MS).unwrap();
    assert!(first.is_new);
    assert_eq!(first.fingerprint.len(), 95);
    assert_eq!(first.until, "2027-08-02");
    let [authority, authority_key] = [AUTHORITY, AUTHORITY_KEY].map(|file| folder.join(file));
    let files = pair(&folder);
    assert_eq!([mode(&folder), mode(&authority_key), mode(&files.key)], [0o700, 0o600, 0o600]);
    let kept = [&authority, &authority_key].map(|file| std::fs::read(file).unwrap());
    let leaf = std::fs::read(&files.certificate).unwrap();
    let again = make(&folder, &names(&["10.0.0.4", "board.feed.local"]), NOW_MS + DAY_MS).unwrap();
    assert!(!again.is_new);
    assert_eq!(again.fingerprint, first.fingerprint);
    assert_eq!([&authority, &authority_key].map(|file| std::fs::read(file).unwrap()), kept);
    assert_ne!(std::fs::read(&files.certificate).unwrap(), leaf);
    assert_eq!(files.load(NOW_MS).unwrap().leaf.names, ["10.0.0.4", "board.feed.local"]);
}

#[test]
fn certificates_are_what_phones_ask_for() {
    let folder = tempfile::tempdir().unwrap();
    make(folder.path(), &names(&["feed.example", "192.0.2.7", "2001:db8::7"]), NOW_MS).unwrap();
    let has = |file: &str, bytes: &[u8]| {
        read_der(&folder.path().join(file)).windows(bytes.len()).any(|part| part == bytes)
    };
    // Basic constraints, critical, an authority for no other authority (RFC 5280 section 4.2.1.9), in DER.
    assert!(has(AUTHORITY, &[0x55, 0x1d, 0x13, 1, 1, 0xff, 4, 8, 0x30, 6, 1, 1, 0xff, 2, 1, 0]));
    // Name constraints, critical, as RFC 5280 section 4.2.1.10 asks.
    assert!(has(AUTHORITY, &[0x55, 0x1d, 0x1e, 1, 1, 0xff, 4]));
    assert!(has(AUTHORITY, &[192, 0, 2, 7, 255, 255, 255, 255]));
    // For servers alone: id-kp-serverAuth (RFC 5280 section 4.2.1.12), which iPhones ask for.
    assert!(has(FEED, &[0x55, 0x1d, 0x25, 4, 12, 0x30, 10, 6, 8, 0x2b, 6, 1, 5, 5, 7, 3, 1]));
    let leaf = pair(folder.path()).load(NOW_MS).unwrap().leaf;
    assert_eq!(leaf.names, ["feed.example", "192.0.2.7", "2001:db8::7"]);
    assert!(leaf.until_ms - leaf.from_ms <= 825 * DAY_MS, "phones refuse what is good for longer");
}

#[test]
fn the_feeds_certificate_does_not_outlive_its_authority() {
    let folder = tempfile::tempdir().unwrap();
    make(folder.path(), &names(&["feed.local"]), NOW_MS).unwrap();
    let late = make(folder.path(), &names(&["feed.local"]), NOW_MS + 1_000 * DAY_MS).unwrap();
    assert_eq!(late.until, "2029-06-30");
    let ended = make(folder.path(), &names(&["feed.local"]), NOW_MS + 1_096 * DAY_MS).unwrap_err();
    assert_eq!(
        ended,
        AuthorityError::Ended { folder: folder.path().to_owned(), until: "2029-06-30".to_owned() }
    );
}

#[test]
fn it_vouches_for_a_halls_addresses_and_for_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    make(folder.path(), &names(&["feed.example", "192.0.2.7"]), NOW_MS).unwrap();
    for inside in ["a.feed.example", "board.local", "172.31.0.9", "169.254.1.1", "fd00::7", "fe80::1", "::1"]
    {
        make(folder.path(), &names(&[inside]), NOW_MS).expect(inside);
    }
    let kept = std::fs::read(folder.path().join(FEED)).unwrap();
    for outside in ["bank.example", "notfeed.example", "172.32.0.1", "192.0.2.8", "2001:db8::7", "hall"] {
        let error = make(folder.path(), &names(&["feed.example", outside]), NOW_MS).unwrap_err();
        let (folder, name) = (folder.path().to_owned(), outside.to_owned());
        assert_eq!(error, AuthorityError::OutOfScope { folder, name });
    }
    assert_eq!(std::fs::read(folder.path().join(FEED)).unwrap(), kept, "a refusal changes nothing");
}

#[test]
fn half_an_authority_and_a_foreign_one_are_told_and_left_as_they_are() {
    let (one, other) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    for folder in [&one, &other] {
        make(folder.path(), &names(&["feed.local"]), NOW_MS).unwrap();
    }
    let [authority, key] = [AUTHORITY, AUTHORITY_KEY].map(|file| one.path().join(file));
    let again = || make(one.path(), &names(&["feed.local"]), NOW_MS).unwrap_err();
    std::fs::copy(other.path().join(AUTHORITY_KEY), &key).unwrap();
    assert!(again().to_string().contains("it is the key of another authority"), "{}", again());
    std::fs::write(&key, "nonsense").unwrap();
    assert!(matches!(again(), AuthorityError::Foreign { .. }));
    std::fs::remove_file(&key).unwrap();
    assert_eq!(again(), AuthorityError::Half(key.clone()));
    assert!(!key.exists());
    std::fs::rename(&authority, &key).unwrap();
    assert_eq!(again(), AuthorityError::Half(authority));
    assert_eq!(make(one.path(), &[], NOW_MS), Err(AuthorityError::Names));
}
