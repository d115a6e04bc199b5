//! A fresh folder for each run of the demo, in the build tree where there is one.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use anyhow::Context;

/// Name of the folder that holds the runs.
const RUNS: &str = "demo-run";
/// Numbers that are tried; nobody keeps so many runs.
const MOST_RUNS: u32 = 100_000;

/// Makes a folder that was not there before.
///
/// # Errors
/// No folder can be made.
pub fn fresh_folder() -> anyhow::Result<PathBuf> {
    let runs = build_tree().unwrap_or_else(std::env::temp_dir).join(RUNS);
    std::fs::create_dir_all(&runs).with_context(|| format!("cannot make the folder {}", runs.display()))?;
    fresh_in(&runs)
}

fn fresh_in(runs: &Path) -> anyhow::Result<PathBuf> {
    for number in 1..=MOST_RUNS {
        let folder = runs.join(format!("{number:03}"));
        match std::fs::create_dir(&folder) {
            Ok(()) => return Ok(folder),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => {
                return Err(error).with_context(|| format!("cannot make the folder {}", folder.display()));
            }
        }
    }
    anyhow::bail!("{} is full of runs; remove some", runs.display())
}

/// Cargo's target folder, if this program stands in one; Cargo marks it with a tag file.
fn build_tree() -> Option<PathBuf> {
    let own = std::env::current_exe().ok()?;
    let tree = own.parent()?.parent()?;
    tree.join("CACHEDIR.TAG").is_file().then(|| tree.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_run_has_a_folder_of_its_own() {
        let runs = tempfile::tempdir().unwrap();
        let (first, second) = (fresh_in(runs.path()).unwrap(), fresh_in(runs.path()).unwrap());
        assert_ne!(first, second);
        assert!(first.is_dir() && second.is_dir());
    }
}
