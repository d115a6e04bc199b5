//! Holds the digest of a printed result sheet against the journal: whether it is that of the signed record, and if not,
//! of what else. Reads the whole journal, as signing is the engine's to allow, and changes nothing.

use std::path::Path;
use std::sync::Arc;

use fivemark_engine::State;
use fivemark_engine::ids::LaneNo;
use thiserror::Error;

use crate::actor::{Changes, Heats, OpenHeatError, Signing};
use crate::competition::Competition;
use crate::digest::Link;
use crate::journal::{OpenError, Written, read_each};
use crate::stamp::rfc3339;

/// Why nothing could be said of a digest.
#[derive(Debug, Error)]
pub enum VerifyError {
    /// Another program has the journal open.
    #[error("{0}; or copy it with the files whose names begin with its name, and verify the copy")]
    InUse(OpenError),
    /// The journal cannot be read.
    #[error(transparent)]
    Journal(OpenError),
    /// A heat of the competition cannot be run.
    #[error(transparent)]
    Heat(#[from] OpenHeatError),
    /// The competition has no such heat.
    #[error(
        "the competition has no heat {0}; give the number that stands on the sheet, and its competition file"
    )]
    NoSuchHeat(u32),
    /// Nothing is recorded of it.
    #[error(
        "the journal has no entry of heat {0}; give the journal that was kept when the sheet was printed"
    )]
    NothingThere(u32),
}

impl From<OpenError> for VerifyError {
    fn from(error: OpenError) -> Self {
        if matches!(error, OpenError::InUse(_)) { Self::InUse(error) } else { Self::Journal(error) }
    }
}

/// Of what a digest is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// Of the signed record as it stands.
    Signed(Signing),
    /// Of a signing that was taken back; `later` is the one that stands now, if one does.
    TakenBack {
        /// The sheet's.
        sheet: Signing,
        /// The one that stands.
        later: Option<Signing>,
    },
    /// Of the record at a moment when the heat was not being signed.
    NotASigning {
        /// Entries of the heat until then.
        entries: u32,
        /// Wall clock of the last of them, Unix milliseconds.
        wall_ms: i64,
    },
    /// Of a signing of another heat.
    OtherHeat(u32),
    /// Of nothing that this journal tells.
    Nothing,
}

/// What was found out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// The heat that was asked for.
    pub heat: u32,
    /// Of what the digest is.
    pub found: Found,
    /// Every signing of the heat, in order.
    pub signings: Vec<Signing>,
    /// The heat is signed now.
    pub signed: bool,
    /// Its results as the record has them, lane by lane, in words.
    pub results: Vec<String>,
}

/// Looks for a digest in the record of a heat.
///
/// # Errors
/// See [`VerifyError`].
pub fn verify(
    journal: &Path,
    competition: Arc<Competition>,
    heat: u32,
    digest: Link,
) -> Result<Verified, VerifyError> {
    if competition.heat(heat).is_none() {
        return Err(VerifyError::NoSuchHeat(heat));
    }
    let numbers: Vec<u32> = competition.heats.iter().map(|heat| heat.number).collect();
    let mut heats = Heats::new(Arc::clone(&competition))?;
    let (mut entries, mut at) = (0, None);
    read_each(journal, |Written { entry, body }| {
        heats.apply_written(&entry, &body, &mut Changes::default());
        if entry.heat == heat {
            entries += 1;
            if heats.digest(heat) == Some(digest) {
                at = Some(Found::NotASigning { entries, wall_ms: entry.wall_ms });
            }
        }
    })?;
    if entries == 0 {
        return Err(VerifyError::NothingThere(heat));
    }
    let signings = heats.signings(heat).to_vec();
    let of_other = || {
        let mut others = numbers.iter().filter(|number| **number != heat);
        others.find(|number| heats.signings(**number).iter().any(|signing| signing.digest == digest))
    };
    let found = match signings.iter().position(|signing| signing.digest == digest) {
        Some(index) if signings[index].reopened.is_none() => Found::Signed(signings[index].clone()),
        Some(index) => {
            let later = signings.last().filter(|last| last.reopened.is_none()).cloned();
            Found::TakenBack { sheet: signings[index].clone(), later }
        }
        None => at.or_else(|| of_other().copied().map(Found::OtherHeat)).unwrap_or(Found::Nothing),
    };
    let signed = heats.opened(heat).is_some_and(|(heat, _)| heat.state().state == State::Signed);
    Ok(Verified { heat, found, signings, signed, results: results(&heats, &competition, heat) })
}

/// The results of a heat, a line for each lane.
fn results(heats: &Heats, competition: &Competition, number: u32) -> Vec<String> {
    let Some((heat, plan)) = heats.opened(number) else { return Vec::new() };
    let line = |lane: &crate::competition::LanePlan| {
        let athlete = competition.athletes.get(lane.athlete?)?;
        let result = heat.lane(LaneNo(lane.lane))?.result.map(|result| result.text);
        let result = result.unwrap_or_else(|| "no result".to_owned());
        Some(format!("lane {}: {} {}: {result}", lane.lane, athlete.bib, athlete.name))
    };
    plan.lanes.iter().filter_map(line).collect()
}

impl Verified {
    /// Whether the sheet is that of the signed record as it stands.
    #[must_use]
    pub fn holds(&self) -> bool {
        matches!(self.found, Found::Signed(_))
    }

    /// What was found out, in words, several lines.
    #[must_use]
    pub fn told(&self) -> String {
        let heat = self.heat;
        let mut lines = vec![match &self.found {
            Found::Signed(signing) => {
                format!("The sheet is that of the signed record of heat {heat}: {}.", signed_text(signing))
            }
            Found::TakenBack { sheet, later } => {
                let now = later.as_ref().map_or_else(
                    || "It has not been signed again".to_owned(),
                    |later| format!("The record that stands was {}", signed_text(later)),
                );
                format!("The sheet is of an earlier signing of heat {heat}: {}. {now}.", signed_text(sheet))
            }
            Found::NotASigning { entries, wall_ms } => format!(
                "The digest is that of the record of heat {heat} after its entry {entries}, at {}, when it was not \
                 being signed. No sheet was printed with it.",
                rfc3339(*wall_ms)
            ),
            Found::OtherHeat(other) => {
                format!("The digest is not of heat {heat}. It stands on a sheet of heat {other}.")
            }
            Found::Nothing => self.nothing_told(),
        }];
        for (number, signing) in (1..).zip(&self.signings) {
            lines.push(format!("Signing {number}: {}; digest {}", signed_text(signing), signing.digest));
        }
        let how = if self.signed { "signed" } else { "not signed now" };
        lines.push(format!("Results in the record, which is {how}; hold them against the sheet:"));
        lines.extend(self.results.iter().map(|line| format!("  {line}")));
        lines.join("\n")
    }

    fn nothing_told(&self) -> String {
        let heat = self.heat;
        if self.signings.is_empty() {
            return format!("Heat {heat} was never signed in this journal, and never had this digest.");
        }
        let entries: Vec<String> = self.signings.iter().map(|signing| signing.entries.to_string()).collect();
        format!(
            "No moment of heat {heat} has this digest in this journal. It was mistyped, or the sheet is of another \
             journal, or an entry before its signing has been changed, added or taken away: among the first {} \
             entries of the heat. An earlier sheet that still holds says that those before its own signing are whole.",
            entries.join(" or ")
        )
    }
}

fn signed_text(signing: &Signing) -> String {
    let Signing { by, wall_ms, entries, reopened, .. } = signing;
    let signed = format!("signed by the {} at {} over {entries} entries", by, rfc3339(*wall_ms));
    let Some(reopened) = reopened else { return signed };
    let (by, at) = (&reopened.by, rfc3339(reopened.wall_ms));
    format!("{signed}, reopened by the {by} at {at} because: {}", reopened.reason)
}
