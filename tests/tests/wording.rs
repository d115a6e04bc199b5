//! One word for a lane in each language, on boards and on pages: athletes, judges and officials hear it from one another,
//! so that two words would be two things. Spanish has two in use, and takes `carril`.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The language, how its word for a lane begins, and other words for one, whole.
const LANES: [(&str, &str, &[&str]); 2] =
    [("es", "carril", &["calle", "calles"]), ("de", "bahn", &["spur", "spuren", "lane", "lanes"])];

/// The files of messages of a language: those of pages, and the one of screens.
fn files(language: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let pages = fs::read_dir(root.join("feed/pages/messages").join(language)).expect("pages have messages");
    let mut files: Vec<_> = pages.map(|entry| entry.expect("it can be listed").path()).collect();
    files.push(root.join(format!("display/scene/messages/{language}.ftl")));
    files.sort();
    files
}

/// A file's messages as lower-case words, without what fills their places: `lane = Lane { $lane }` says one word.
fn messages(file: &Path) -> BTreeMap<String, Vec<String>> {
    let text = fs::read_to_string(file).expect("messages can be read");
    let mut messages: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut name = None;
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let says = match line.split_once(" =") {
            Some((new, says)) if !line.starts_with(' ') => {
                name = Some(new.to_owned());
                says
            }
            _ => line,
        };
        let Some(name) = &name else { continue };
        let words = says
            .split(|c: char| !(c.is_alphanumeric() || c == '$'))
            .filter(|word| !word.is_empty() && !word.starts_with('$'));
        messages.entry(name.clone()).or_default().extend(words.map(str::to_lowercase));
    }
    messages
}

#[test]
fn a_lane_has_one_word_in_each_language() {
    for (language, word, others) in LANES {
        let mut said = 0;
        for (english, file) in files("en").into_iter().zip(files(language)) {
            assert!(english.file_name() == file.file_name() || english.ends_with("en.ftl"), "{file:?}");
            let (english, messages) = (messages(&english), messages(&file));
            for (name, words) in &messages {
                let other = words.iter().find(|word| others.contains(&word.as_str()));
                assert_eq!(other, None, "`{name}` in {} says a lane in another word", file.display());
                let of_lanes = |word: &String| word == "lane" || word == "lanes";
                if english.get(name).is_some_and(|words| words.iter().any(of_lanes)) {
                    let has = words.iter().any(|said| said.starts_with(word));
                    assert!(has, "`{name}` in {} is about a lane and has no `{word}`", file.display());
                    said += 1;
                }
            }
        }
        assert!(said > 50, "{language}: {said} messages about lanes");
    }
}
