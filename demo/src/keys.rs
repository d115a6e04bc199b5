//! Reads the access keys that the feed made, for the demo's own clients. Leaves making them to the feed.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use thiserror::Error;

/// Keys of those whom the demo plays, and of the pages that it says how to open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccessKeys {
    /// Of the head judge.
    pub head_judge: String,
    /// Of a display.
    pub display: String,
    /// Of the announcer.
    pub announcer: String,
    /// Of the floor operator.
    pub floor_operator: String,
    /// Of the lane judges, by lane.
    pub lane_judges: BTreeMap<u8, String>,
}

/// Why the keys cannot be used.
#[derive(Debug, Error)]
#[error("cannot use the feed's access keys in {}: {says}", .file.display())]
pub struct KeysError {
    /// The file.
    pub file: PathBuf,
    /// What is wrong.
    pub says: String,
}

/// Reads the file.
///
/// # Errors
/// It cannot be read, or a key is not in it.
pub fn read_keys(file: &Path) -> Result<AccessKeys, KeysError> {
    let fault = |says: String| KeysError { file: file.to_owned(), says };
    let text = std::fs::read_to_string(file).map_err(|error| fault(error.to_string()))?;
    // The parser's own words would quote a line with a key.
    let table: toml::Table = text.parse().map_err(|_| fault("it is not TOML".to_owned()))?;
    let key = |name: &str| {
        let value = table.get(name).and_then(toml::Value::as_str);
        value.map(str::to_owned).ok_or_else(|| fault(format!("there is no key for {name}")))
    };
    let lanes = table.get("lane_judge").and_then(toml::Value::as_table);
    let lane_judges = lanes
        .into_iter()
        .flatten()
        .filter_map(|(lane, key)| Some((lane.parse().ok()?, key.as_str()?.to_owned())))
        .collect();
    Ok(AccessKeys {
        head_judge: key("head_judge")?,
        display: key("display")?,
        announcer: key("announcer")?,
        floor_operator: key("floor_operator")?,
        lane_judges,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_read_and_a_missing_one_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("access.toml");
        let roles = "head_judge = \"h\"\ndisplay = \"d\"\nannouncer = \"s\"\nfloor_operator = \"f\"\n";
        std::fs::write(&file, format!("{roles}[lane_judge]\n1 = \"a\"\n12 = \"b\"\n")).unwrap();
        let keys = read_keys(&file).unwrap();
        assert_eq!((keys.head_judge.as_str(), keys.display.as_str()), ("h", "d"));
        assert_eq!((keys.announcer.as_str(), keys.floor_operator.as_str()), ("s", "f"));
        assert_eq!(keys.lane_judges.get(&12).map(String::as_str), Some("b"));
        std::fs::write(&file, "head_judge = \"h\"\n").unwrap();
        assert!(read_keys(&file).unwrap_err().to_string().contains("display"));
        std::fs::write(&file, "head_judge = secret").unwrap();
        assert!(!read_keys(&file).unwrap_err().to_string().contains("secret"));
        assert!(read_keys(&folder.path().join("none")).is_err());
    }
}
