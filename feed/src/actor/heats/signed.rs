//! Which heats were signed, by whom and when, each with the digest over everything recorded of it until then. Follows
//! the record entry by entry, so that a restart finds the same; what signing takes is the engine's to say.

use std::collections::BTreeMap;

use fivemark_wire::from_client::FloorCommand;

use crate::digest::{Chain, Link};
use crate::journal::{Body, Entry};

/// The heat was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signing {
    /// Who signed: the role.
    pub by: String,
    /// Wall clock at receipt, Unix milliseconds.
    pub wall_ms: i64,
    /// Entries of the heat up to this one, it included.
    pub entries: u32,
    /// The digest over them.
    pub digest: Link,
    /// That it was taken back.
    pub reopened: Option<Reopening>,
}

/// A signed heat was made provisional again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reopening {
    /// Who did: the role.
    pub by: String,
    /// Wall clock at receipt, Unix milliseconds.
    pub wall_ms: i64,
    /// Why.
    pub reason: String,
}

/// The chains of all heats, and their signings.
#[derive(Debug, Default)]
pub(super) struct SignedLog {
    heats: BTreeMap<u32, Signed>,
}

#[derive(Debug)]
struct Signed {
    chain: Chain,
    signings: Vec<Signing>,
}

impl SignedLog {
    /// Takes an entry of a heat with the text of its body; the heat was signed before it, and is after it.
    pub(super) fn note(&mut self, entry: &Entry, body: &str, was: bool, is: bool) {
        let new = || Signed { chain: Chain::of(entry.heat), signings: Vec::new() };
        let Signed { chain, signings } = self.heats.entry(entry.heat).or_insert_with(new);
        chain.add(entry, body);
        let Body::Floor { said, by, .. } = &entry.body else { return };
        let (by, wall_ms) = (by.clone(), entry.wall_ms);
        if is && !was {
            let (entries, digest) = (chain.entries(), chain.link());
            signings.push(Signing { by, wall_ms, entries, digest, reopened: None });
        } else if let (FloorCommand::Reopen { reason }, true, false) = (&said.command, was, is)
            && let Some(last) = signings.last_mut()
        {
            last.reopened = Some(Reopening { by, wall_ms, reason: reason.clone() });
        }
    }

    /// Each time that a heat was signed, in order.
    pub(super) fn of(&self, heat: u32) -> &[Signing] {
        self.heats.get(&heat).map_or(&[], |signed| signed.signings.as_slice())
    }

    /// The last link of a heat's chain; none before its first entry.
    pub(super) fn link(&self, heat: u32) -> Option<Link> {
        self.heats.get(&heat).map(|signed| signed.chain.link())
    }
}
