//! The engine's own rules, checked on its source: it reads no clock, uses no floating point and no hash order,
//! does no I/O, and needs nothing but its error macros.

use std::fs;
use std::path::Path;

#[test]
fn the_source_uses_nothing_that_could_differ_between_two_machines() {
    let absent = [
        "f32",
        "f64",
        "Instant",
        "SystemTime",
        "HashMap",
        "HashSet",
        "std::fs",
        "std::net",
        "std::io",
        "std::env",
        "std::thread",
        "serde",
        "tokio",
        "rand::",
        "unsafe",
        "static mut",
        "RefCell",
    ];
    let mut files = 0;
    for file in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src")).unwrap() {
        let path = file.unwrap().path();
        assert!(path.is_file(), "{} is a folder; let this test look into it", path.display());
        let source = fs::read_to_string(&path).unwrap();
        let lines = source.lines().enumerate().filter(|(_, line)| !line.trim_start().starts_with("//"));
        for (number, line) in lines {
            for word in absent {
                assert!(!line.contains(word), "{}:{} mentions {word}: {line}", path.display(), number + 1);
            }
        }
        assert!(source.starts_with("//!"), "{} does not say what it is for", path.display());
        assert!(source.lines().count() <= 400, "{} is longer than 400 lines", path.display());
        files += 1;
    }
    assert!(files > 20, "only {files} files were read");
}

#[test]
fn the_engine_depends_on_its_error_macros_alone() {
    let manifest = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml")).unwrap();
    let own = manifest.split("[dependencies]").nth(1).unwrap_or_default();
    let names: Vec<&str> = own
        .lines()
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| line.split(['.', '=']).next())
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .collect();
    assert_eq!(names, ["thiserror"]);
}
