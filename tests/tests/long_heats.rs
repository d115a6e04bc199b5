//! Slow: whole demo heats with the real programs, one after the other, over several floors. Each has lossy phones,
//! reloads and pictures; each has to end by itself with every call answered.
#![cfg(feature = "long")]

use std::process::Command;

use fivemark_tests::binaries::path_of;
use fivemark_tests::golden;

#[test]
fn floors_of_every_size_run_to_their_signed_end() {
    for (seed, lanes) in [(1, 1), (2, 6), (3, 10), (4, 13), (5, 24)] {
        let pictures = tempfile::tempdir().expect("a folder can be made");
        let output = Command::new(path_of("fivemark-demo"))
            .args(["--headless", "--once", "--port", "0", "--speed", "20"])
            .args(["--seed", &seed.to_string(), "--lanes", &lanes.to_string()])
            .arg("--pictures")
            .arg(pictures.path())
            .output()
            .expect("the demo starts");
        let said = String::from_utf8_lossy(&output.stdout);
        assert!(
            output.status.success(),
            "seed {seed}, {lanes} lanes: {said}\n{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(said.contains("all answered"), "seed {seed}, {lanes} lanes lost calls: {said}");
        assert!(said.contains("signed"), "seed {seed}, {lanes} lanes never signed: {said}");
        // One lane has nobody to take the lead from.
        let wanted = ["01-lanes-set", "02-countdown", "06-first-finish", "08-provisional"];
        for name in wanted {
            let (size, _) = golden::read(&pictures.path().join(format!("{name}.png")));
            assert_eq!(size, [1920, 1080], "seed {seed}, {lanes} lanes: {name}");
        }
    }
}
