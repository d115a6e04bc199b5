//! Clients that share no code with us join the real programs: Python's `websockets` and headless Chromium. Every
//! message of the first is held against the JSON Schema by Python's `jsonschema`; the judge's page is touched as a judge
//! would; the pixels that the browser shows of a display's canvas feed are held against the display's own picture
//! files.

use std::path::Path;

use fivemark_engine::command::{Penalty, RulingKind};
use fivemark_engine::time::SpanMs;
use fivemark_tests::binaries::{Feed, path_of};
use fivemark_tests::foreign::run;
use fivemark_tests::rehearsal::{GO_MS, Rehearsal};
use fivemark_wire::from_feed::FeedMessage;

#[test]
fn pythons_websockets_runs_a_heat() {
    let feed = Feed::start(10);
    let schema = Path::new(env!("CARGO_MANIFEST_DIR")).join("../feed/wire/schema.json");
    let socket = format!("{}/feed", feed.url.replace("http://", "ws://"));
    run("board_client.py", &[&socket, text(&feed.access_file), text(&schema)]);
}

#[test]
fn pythons_websockets_runs_a_heat_over_tls() {
    let feed = Feed::start_with_tls(10);
    let schema = Path::new(env!("CARGO_MANIFEST_DIR")).join("../feed/wire/schema.json");
    let socket = format!("{}/feed", feed.url.replace("https://", "wss://"));
    run("board_client.py", &[&socket, text(&feed.access_file), text(&schema), text(&feed.trust)]);
}

#[test]
fn a_browser_comes_to_trust_the_feed() {
    let feed = Feed::start_with_tls(1);
    run("trust_client.py", &[&feed.url, text(&feed.access_file), text(&feed.trust)]);
}

#[test]
fn a_browser_joins_and_a_page_from_elsewhere_does_not() {
    let feed = Feed::start(1);
    run("browser_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_head_judge_runs_a_heat_from_the_page() {
    let golden = include_str!("../data/golden.toml");
    let feed = Feed::start_with(&golden.replace("initials = false", "initials = true"), 1);
    run("head_judge_page.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn papers_are_printed_and_their_digest_is_worked_out_from_the_journal() {
    let golden = include_str!("../data/golden.toml");
    let feed = Feed::start_with(&golden.replace("initials = false", "initials = true"), 1);
    run("paper_client.py", &[&feed.url, text(&feed.access_file), text(&path_of("fivemark-feed"))]);
}

#[test]
fn the_demos_briefs_fit_one_page() {
    let feed = Feed::start_with(include_str!("../../demo/competition.toml"), 1);
    run("brief_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_spectators_phone_shows_results_that_turn_official() {
    let feed = Feed::start(10);
    run("results_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn the_announcers_page_calls_a_whole_heat() {
    let feed = Feed::start(10);
    run("announcer_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn the_floor_operators_page_says_what_screens_show() {
    let feed = Feed::start(10);
    run("floor_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_judge_counts_a_lane_in_a_browser() {
    let speed = 4;
    let feed = Feed::start_with(include_str!("../data/lane.toml"), speed);
    run("judge_client.py", &[&feed.url, text(&feed.access_file), &speed.to_string()]);
}

#[test]
fn a_judge_judges_attempts_and_holds_in_a_browser() {
    let feed = Feed::start_with(include_str!("../data/tries.toml"), 1);
    run("tries_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_shadow_judge_and_the_tables_of_judges_in_a_browser() {
    let feed = Feed::start_with(include_str!("../data/lane.toml"), 1);
    run("judges_client.py", &[&feed.url, text(&feed.access_file)]);
}

#[test]
fn a_browser_shows_the_boards_own_pixels() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let now_ms = GO_MS + 620_000;
    let paces: Vec<(u8, i64)> = (1..=10).map(|lane| (lane, 770 + i64::from(lane) * 31)).collect();
    let ended = Rehearsal::of_heat(7).with_paces(&paces).started().played_to(now_ms);
    let before = ended.snapshot(now_ms);
    let mut after =
        ended.ruled(now_ms, 1, RulingKind::Penalty(Penalty::Time(SpanMs(10_000)))).snapshot(now_ms);
    after.number = before.number + 1;
    for (name, snapshot) in [("before.json", before), ("after.json", after)] {
        let message = serde_json::to_string(&FeedMessage::Snapshot(Box::new(snapshot))).expect("JSON");
        std::fs::write(folder.path().join(name), message).expect("the folder can be written");
    }
    run("canvas_client.py", &[text(&path_of("fivemark-display")), text(folder.path())]);
}

/// The page that measures a wall sees 400 ms more where there are 400 ms more.
#[test]
fn a_browser_measures_how_late_a_wall_is() {
    let feed = Feed::start(1);
    run("probe_client.py", &[text(&path_of("fivemark-display")), &feed.url, text(&feed.access_file)]);
}

fn text(path: &Path) -> &str {
    path.to_str().expect("test folders have names in UTF-8")
}
