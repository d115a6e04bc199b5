//! The file of access keys beside the journal: made at the first start, readable by its owner only, completed when a
//! competition gains lanes.

use std::collections::BTreeMap;
use std::io::Write;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};

use thiserror::Error;

use crate::access::{Keys, SINGLE_ROLES};

/// Random bytes in a key: 128 bits.
const KEY_BYTES: usize = 16;
/// Shortest key that a hand-written file may have, in bytes.
const MIN_KEY: usize = 16;
/// Largest file, in bytes.
const MAX_FILE: u64 = 64 * 1024;

/// Why the access keys cannot be used.
#[derive(Debug, Error)]
pub enum AccessError {
    /// The file cannot be read.
    #[error("cannot read the access keys in {}: {says}; mend the file, or remove it to have new keys made", .file.display())]
    Read {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        says: String,
    },
    /// The file cannot be written.
    #[error("cannot write the access keys to {}: {says}; check the folder's permissions", .file.display())]
    Write {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        says: String,
    },
}

/// Reads the keys, makes those that are missing, and writes the file if any were.
///
/// # Errors
/// See [`AccessError`].
pub fn load_or_make(file: &Path, lanes: &[u8]) -> Result<Keys, AccessError> {
    let mut keys = if file.exists() { read(file)? } else { Keys::default() };
    let unwritable = |says: String| AccessError::Write { file: file.to_owned(), says };
    let mut made = false;
    for (name, _) in SINGLE_ROLES {
        made |= fill(&mut keys.roles, name).map_err(unwritable)?;
    }
    for lane in lanes {
        made |= fill(&mut keys.lane_judge, *lane).map_err(unwritable)?;
        made |= fill(&mut keys.shadow_judge, *lane).map_err(unwritable)?;
    }
    if made {
        write(file, &keys).map_err(|error| unwritable(error.to_string()))?;
    }
    Ok(keys)
}

/// Makes a key where none is. True if it made one.
fn fill<K: Ord>(keys: &mut BTreeMap<K, String>, name: K) -> Result<bool, String> {
    if keys.contains_key(&name) {
        return Ok(false);
    }
    let mut bytes = [0_u8; KEY_BYTES];
    getrandom::fill(&mut bytes).map_err(|error| format!("the system gives no random bits ({error})"))?;
    keys.insert(name, bytes.iter().map(|byte| format!("{byte:02x}")).collect());
    Ok(true)
}

fn read(file: &Path) -> Result<Keys, AccessError> {
    use std::io::Read;

    let fault = |says: String| AccessError::Read { file: file.to_owned(), says };
    let mut text = String::new();
    std::fs::File::open(file)
        .and_then(|source| source.take(MAX_FILE).read_to_string(&mut text))
        .map_err(|error| fault(error.to_string()))?;
    // The parser's own words would quote the line at fault, and with it a key.
    let table: toml::Table = text.parse().map_err(|error: toml::de::Error| {
        let line =
            error.span().map_or(1, |span| 1 + text.get(..span.start).unwrap_or("").matches('\n').count());
        fault(format!("line {line} is not TOML"))
    })?;
    let mut keys = Keys::default();
    for (name, value) in &table {
        match (SINGLE_ROLES.iter().find(|(known, _)| known == name), name.as_str()) {
            (Some((known, _)), _) => {
                keys.roles.insert(known, key(name, value).map_err(fault)?);
            }
            (None, "lane_judge") => keys.lane_judge = lane_keys(name, value).map_err(fault)?,
            (None, "shadow_judge") => keys.shadow_judge = lane_keys(name, value).map_err(fault)?,
            _ => return Err(fault(format!("there is no role \"{name}\""))),
        }
    }
    Ok(keys)
}

fn key(name: &str, value: &toml::Value) -> Result<String, String> {
    match value.as_str() {
        Some(key) if key.len() >= MIN_KEY => Ok(key.to_owned()),
        Some(_) => Err(format!("the key of {name} is shorter than {MIN_KEY} characters")),
        None => Err(format!("the key of {name} is not a text in quotes")),
    }
}

fn lane_keys(name: &str, value: &toml::Value) -> Result<BTreeMap<u8, String>, String> {
    let table = value.as_table().ok_or_else(|| format!("{name} is not a table of lanes"))?;
    table
        .iter()
        .map(|(lane, value)| {
            let number = lane.parse().map_err(|_| format!("\"{lane}\" in {name} is not a lane"))?;
            Ok((number, key(&format!("{name} {lane}"), value)?))
        })
        .collect()
}

/// Writes a new file and puts it in place, so that a crash leaves the old one or the new one.
fn write(file: &Path, keys: &Keys) -> std::io::Result<()> {
    let mut text = String::from(
        "# Access keys of this feed. Whoever has one may act in its role: keep this file to yourself.\n",
    );
    for (name, _) in SINGLE_ROLES {
        if let Some(key) = keys.roles.get(name) {
            text.push_str(&format!("{name} = {}\n", toml::Value::from(key.as_str())));
        }
    }
    for (name, lanes) in [("lane_judge", &keys.lane_judge), ("shadow_judge", &keys.shadow_judge)] {
        text.push_str(&format!("\n[{name}]\n"));
        for (lane, key) in lanes {
            text.push_str(&format!("{lane} = {}\n", toml::Value::from(key.as_str())));
        }
    }
    let mut name = file.as_os_str().to_owned();
    name.push(".new");
    let beside = PathBuf::from(name);
    let mut target =
        std::fs::OpenOptions::new().write(true).create(true).truncate(true).mode(0o600).open(&beside)?;
    target.write_all(text.as_bytes())?;
    target.sync_all()?;
    std::fs::rename(&beside, file)
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    #[test]
    fn keys_are_made_once_kept_and_completed() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("access.toml");
        let first = load_or_make(&file, &[1, 2]).unwrap();
        assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(first.lane_judge.len(), 2);
        assert!(first.roles.values().chain(first.lane_judge.values()).all(|key| key.len() == 32));
        let second = load_or_make(&file, &[1, 2, 5]).unwrap();
        assert_eq!(second.roles, first.roles);
        assert_eq!(second.lane_judge.get(&1), first.lane_judge.get(&1));
        assert!(second.lane_judge.contains_key(&5));
        assert_eq!(load_or_make(&file, &[1, 2, 5]).unwrap(), second);
    }

    #[test]
    fn a_broken_file_is_told_without_telling_keys() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("access.toml");
        for (text, says) in [
            ("display = \"secretsecretsecretsecret\"\nhead_judge = = \"topsecret\"", "line 2 is not TOML"),
            ("display = \"short\"", "the key of display is shorter"),
            ("display = 7", "the key of display is not a text"),
            ("steward = \"secretsecretsecretsecret\"", "no role \"steward\""),
            ("[lane_judge]\nfirst = \"secretsecretsecretsecret\"", "\"first\" in lane_judge is not a lane"),
            ("lane_judge = 4", "lane_judge is not a table"),
        ] {
            std::fs::write(&file, text).unwrap();
            let told = load_or_make(&file, &[1]).unwrap_err().to_string();
            assert!(told.contains(says), "{told}");
            assert!(!told.contains("secret"), "{told}");
        }
    }
}
