//! Competition files with attempts and holds: what they say, and what is said of their faults.

use fivemark_engine::workout::{EqualLoads, LoadUnit, Scoring};
use fivemark_feed::competition::{Competition, Fault, parse};

use crate::harness::data;

/// The example with a workout that heat 30 does.
fn with(workout: &str) -> String {
    let example = std::fs::read_to_string(data("competition.toml")).unwrap();
    let heat = "[[heat]]\nnumber = 30\nworkout = \"tried\"\nlanes = [{ lane = 1, athlete = \"101\" }]\n";
    format!("{example}\n[[workout]]\nid = \"tried\"\nname = \"Slack Water\"\n{workout}\n{heat}")
}

fn lift(more: &str) -> String {
    with(&format!(
        "scoring = \"heaviest lift\"\nwindow = \"8:00\"\nparts = [{{ movement = \"thruster\" }}]\n{more}"
    ))
}

fn hold(more: &str) -> String {
    with(&format!(
        "scoring = \"longest hold\"\nwindow = \"3:00\"\nparts = [{{ movement = \"hop\", load = \"20 kg\" }}]\n{more}"
    ))
}

fn scoring(text: &str) -> Scoring {
    let competition: Competition = parse("x.toml", text).unwrap();
    let workout = competition.heat_setup(competition.heat(30).unwrap()).workouts.remove(0);
    assert_eq!(workout.body.len(), 1);
    workout.scoring
}

#[test]
fn what_a_lift_leaves_out_is_kilograms_and_as_many_attempts_as_there_is_time_for() {
    let equal = EqualLoads::FewerAttempts;
    let unit = LoadUnit::Kilogram;
    assert_eq!(scoring(&lift("")), Scoring::HeaviestLift { unit, attempts: None, equal });
    let more = "attempts = 3\nload_unit = \"lb\"\nequal_loads = \"earlier\"";
    let (unit, equal) = (LoadUnit::Pound, EqualLoads::Earlier);
    assert_eq!(scoring(&lift(more)), Scoring::HeaviestLift { unit, attempts: Some(3), equal });
    let Scoring::HeaviestLift { equal, .. } = scoring(&lift("equal_loads = \"shared\"")) else {
        panic!("no lift");
    };
    assert_eq!(equal, EqualLoads::Shared);
    assert_eq!(scoring(&hold("")), Scoring::LongestHold { holds: 1 });
    assert_eq!(scoring(&hold("holds = 2")), Scoring::LongestHold { holds: 2 });
}

#[test]
fn what_does_not_fit_is_named_with_what_to_do() {
    #[track_caller]
    fn check(text: &str, says: &str) {
        let found: Vec<String> = parse("x.toml", text).unwrap_err().iter().map(Fault::to_string).collect();
        assert!(found.iter().any(|fault| fault.contains(says)), "{found:#?}");
    }
    let window = |text: String| text.replace("window = \"8:00\"", "");
    check(&window(lift("")), "workout \"tried\" needs a window; write window = \"10:00\"");
    check(
        &window(lift("cap = \"8:00\"")),
        "is a heaviest lift: it ends with its window; write window instead of cap",
    );
    check(&lift("attempts = 0"), "attempts is 0; it must lie between 1 and 100");
    check(&lift("attempts = 101"), "attempts is 101; it must lie between 1 and 100");
    check(&lift("equal_loads = \"lighter\""), "choose \"fewer attempts\" or \"earlier\" or \"shared\"");
    check(&lift("load_unit = \"stone\""), "choose \"kg\" or \"lb\"");
    check(&lift("holds = 2"), "leave holds out or write scoring = \"longest hold\"");
    check(&lift("rounds = 2"), "it has no rounds; leave rounds out");
    check(&lift("scheme = \"3-2-1\""), "it has no sets; leave scheme out");
    check(&lift("track = \"units\""), "leave track out");
    check(&lift("capped = \"work left\""), "its result is the best of what was tried; leave capped out");
    check(&lift("finish = \"finish call\""), "it ends with its window; leave finish out");
    check(&lift("buy_in = [{ movement = \"hop\", amount = 5 }]"), "leave buy_in out");
    check(&hold("attempts = 2"), "leave attempts out or write scoring = \"heaviest lift\"");
    check(&hold("holds = 0"), "holds is 0; it must lie between 1 and 100");
    let part = |old: &str, new: &str, text: String| text.replace(old, new);
    let thruster = "{ movement = \"thruster\" }";
    for (new, says) in [
        (
            "{ movement = \"thruster\", amount = 3 }",
            "is tried, not counted; leave amount out and write attempts",
        ),
        ("{ movement = \"thruster\", scores = 1 }", "the best attempt is the score; leave scores out"),
        ("{ movement = \"thruster\", tie_break = true }", "leave tie_break out"),
        (
            "{ movement = \"thruster\", load = \"43 kg\" }",
            "its loads are declared by the athletes; leave load out",
        ),
        ("{ movement = \"thruster\" }, { movement = \"hop\" }", "is of one movement; write one part"),
    ] {
        check(&part(thruster, new, lift("")), says);
    }
    let for_time = |more: &str| {
        with(&format!(
            "scoring = \"for time\"\ncap = \"8:00\"\nparts = [{{ movement = \"hop\", amount = 5 }}]\n{more}"
        ))
    };
    check(&for_time("attempts = 3"), "is for time: leave attempts out or write scoring = \"heaviest lift\"");
    check(&for_time("scoring2 = 3"), "has no field \"scoring2\"; did you mean \"scoring\"?");
}
