//! The digest that stands on a heat's result sheet: SHA-256 chained over the heat's entries in the journal, so that a
//! sheet of paper can be held against the record for ever after. Made of the entries as the journal has them, so that
//! anybody can work it out again without this program.
//!
//! Link 0 is SHA-256 of the text `fivemark record 1`, a line end, `heat N`, a line end. Each entry of the heat, in the
//! order of the journal's `seq`, makes the next link: SHA-256 of eight lines, each with a line end after it (the byte
//! 10), in UTF-8:
//!
//! 1. the link before, 64 hexadecimal digits in small letters,
//! 2. `at_ms`, 3. `wall_ms`, 4. `boot_ms`, as decimal numbers,
//! 5. `kind`, 6. how many bytes `body` has, 7. `body`, 8. `device`, as they stand in the journal.
//!
//! The digest of a signing is the link that the signing's own entry makes.

use std::fmt;

use sha2::{Digest as _, Sha256};
use thiserror::Error;

use crate::journal::Entry;

/// First line of what link 0 is made of; the number counts up when a digest is made in another way.
const VERSION: &str = "fivemark record 1";

/// One link of a chain.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Link([u8; 32]);

impl fmt::Display for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Link({self})")
    }
}

/// A text that is no digest.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("a digest has 64 hexadecimal digits, as they stand on the sheet; this has {0}")]
pub struct NoDigest(String);

impl std::str::FromStr for Link {
    type Err = NoDigest;

    /// Takes 64 hexadecimal digits, in groups as on the sheet or without.
    fn from_str(text: &str) -> Result<Self, NoDigest> {
        let digits: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
        if let Some(odd) = digits.iter().find(|c| !c.is_ascii_hexdigit()) {
            return Err(NoDigest(format!("{odd:?}")));
        }
        if digits.len() != 64 {
            return Err(NoDigest(digits.len().to_string()));
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            let value = |c: &char| c.to_digit(16).and_then(|digit| u8::try_from(digit).ok()).unwrap_or(0);
            *byte = value(&pair[0]) * 16 + value(&pair[1]);
        }
        Ok(Self(bytes))
    }
}

/// The chain over a heat's entries so far.
#[derive(Clone, Debug)]
pub struct Chain {
    link: Link,
    entries: u32,
}

impl Chain {
    /// The chain of a heat of which nothing is recorded.
    #[must_use]
    pub fn of(heat: u32) -> Self {
        let link = Link(Sha256::digest(format!("{VERSION}\nheat {heat}\n")).into());
        Self { link, entries: 0 }
    }

    /// Adds an entry of the heat; `body` is its body as the journal has it.
    pub fn add(&mut self, entry: &Entry, body: &str) {
        let Entry { at_ms, wall_ms, boot_ms, device, .. } = entry;
        let mut hash = Sha256::new();
        hash.update(format!("{}\n{at_ms}\n{wall_ms}\n{boot_ms}\n{}\n", self.link, entry.body.kind()));
        // Its length says where it ends, so that no other entry has the same lines.
        hash.update(format!("{}\n", body.len()));
        for text in [body, "\n", device, "\n"] {
            hash.update(text);
        }
        self.link = Link(hash.finalize().into());
        self.entries += 1;
    }

    /// The last link.
    #[must_use]
    pub fn link(&self) -> Link {
        self.link
    }

    /// How many entries are in it.
    #[must_use]
    pub fn entries(&self) -> u32 {
        self.entries
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Body;

    /// Worked out with `printf … | sha256sum` from GNU coreutils.
    #[test]
    fn links_are_those_of_sha256sum() {
        let mut chain = Chain::of(7);
        assert_eq!(
            chain.link().to_string(),
            "d98f341f2d1937aca2aed7a62c1285ebdbf1593b80058ce9d6ec565a33f9a9fe"
        );
        let body = Body::Link { lane: 4, up: true };
        let entry = |at_ms, device: &str| Entry {
            at_ms,
            wall_ms: 1_900_000_000_000,
            boot_ms: -3,
            heat: 7,
            device: device.to_owned(),
            body: body.clone(),
        };
        chain.add(&entry(12, "phone-4"), r#"{"lane":4,"up":true}"#);
        assert_eq!(
            chain.link().to_string(),
            "b5372ca604e129bf9ef010dc6da61d1f42279336c3c7c1e830566152812d49ff"
        );
        chain.add(&entry(13, "téléphone 9"), r#"{"kind":"link","lane":4,"up":true}"#);
        assert_eq!(
            chain.link().to_string(),
            "967887ba028413923080e0c4d4c27740649046a5e473fe1e33a84798c9d82917"
        );
        assert_eq!(chain.entries(), 2);
    }

    #[test]
    fn a_digest_is_read_as_it_stands_on_a_sheet() {
        let link = Chain::of(7).link();
        let text = link.to_string();
        let groups: Vec<String> =
            text.as_bytes().chunks(8).map(|of| String::from_utf8_lossy(of).into()).collect();
        assert_eq!(groups.join(" ").to_uppercase().parse(), Ok(link));
        assert!(text[1..].parse::<Link>().unwrap_err().to_string().ends_with("this has 63"));
        assert!(format!("é{}", &text[2..]).parse::<Link>().is_err());
    }
}
