//! Competition files with faults: each is named at its line, all at once, and nothing in a file can bring the feed
//! down.

use fivemark_engine::workout::{AmrapShows, CapOn, OrderBy, Scoring};
use fivemark_feed::competition::{Competition, Fault, LoadError, MAX_FAULTS, MAX_FILE, load, parse};

use crate::harness::data;

fn example() -> String {
    std::fs::read_to_string(data("competition.toml")).unwrap()
}

fn faults(text: &str) -> Vec<String> {
    parse("x.toml", text).unwrap_err().iter().map(Fault::to_string).collect()
}

fn good(text: &str) -> Competition {
    parse("x.toml", text).unwrap()
}

#[test]
fn the_example_says_what_it_says() {
    let competition = good(&example());
    assert_eq!(competition.event, "Harrowgate Winter Throwdown");
    assert_eq!(competition.athletes[2].name, "Noor Ashdale", "the name as shown");
    assert_eq!(competition.athletes[3].bib, "104", "a bib may be written as a number");
    assert_eq!(competition.workouts[1].scheme, [21, 15, 9]);
    let mixed = competition.heat_setup(competition.heat(2).unwrap());
    assert_eq!(mixed.workouts.len(), 2);
    assert_eq!(mixed.workouts[1].body[0].load, "30 kg");
    assert_eq!(mixed.lanes[0].division, 1);
    assert_eq!(competition.digest.len(), 64);
}

/// A piece of the example, what is put in its place, and what is said about it.
const FAULTY: &[(&str, &str, &str)] = &[
    ("name = \"Harrowgate Winter Throwdown\"", "", "event needs a field \"name\""),
    ("[event]", "[evnt]", "the file has no field \"evnt\"; did you mean \"event\"?"),
    ("private = true", "privat = true", "athlete 103 has no field \"privat\"; did you mean \"private\"?"),
    ("private = true", "private = \"yes\"", "private is true or false, not a text"),
    ("bib = \"102\"", "bib = \"101\"", "bib 101 is given twice"),
    ("division = \"masters\"", "division = \"master\"", "did you mean \"masters\"?"),
    ("id = \"masters\"", "id = \"open\"", "division \"open\" is there twice"),
    ("unit = \"metre\"", "unit = \"meter\"", "unit cannot be \"meter\"; choose \"rep\" or \"metre\""),
    ("step = 100", "step = 0", "step is 0; it must lie between 1 and 100000"),
    ("step = 100", "step = 1.5", "step must be a whole number, not a decimal number"),
    (
        "seconds_per_unit = 2.5",
        "seconds_per_unit = -1",
        "seconds_per_unit is -1; write seconds like 2 or 2.5",
    ),
    ("seconds_per_unit = 2.5", "", "movement \"thruster\" needs a field \"seconds_per_unit\""),
    ("code = \"lockout\"", "code = \"depth\"", "fault \"depth\" is there twice"),
    (
        "cap = \"5:00\"",
        "cap = \"5 min\"",
        "cap \"5 min\" is not a time; write minutes and seconds like \"10:00\"",
    ),
    ("cap = \"5:00\"", "", "workout \"short\" needs a time cap"),
    ("resolution = \"0.1\"", "resolution = 0.5", "resolution cannot be \"0.5\""),
    ("rounding = \"up\"\ncapped", "rounding = \"sideways\"\ncapped", "rounding cannot be \"sideways\""),
    ("scheme = \"21-15-9\"", "scheme = \"21-x-9\"", "scheme \"21-x-9\" is not a rep scheme"),
    ("scheme = \"21-15-9\"", "scheme = \"21-15-9\"\nrounds = 3", "has rounds and a scheme; keep one of them"),
    ("amount = 400, scores = 1", "amount = 400", "is not counted in reps, so say what it scores"),
    ("amount = 400, scores = 1", "amount = 400, scores = \"lots\"", "scores cannot be \"lots\""),
    ("amount = 400, scores", "amount = 1000000000, scores", "amount is 1000000000; it must lie between"),
    ("amount = 400, scores", "scores", "needs a field \"amount\""),
    ("masters = 4 }", "mastres = 4, masters = 4 }", "amount names division \"mastres\", which is not there"),
    (", masters = 4 }", " }", "amount has no entry for division \"masters\", which does this in heat 2"),
    ("{ movement = \"run\"", "{ movement = \"rum\"", "movement \"rum\" is not there; did you mean \"run\"?"),
    (
        "workout = \"ladder\"",
        "workout = \"lader\"",
        "workout \"lader\" is not there; did you mean \"ladder\"?",
    ),
    ("number = 7", "number = 2", "heat 2 is there twice"),
    ("{ lane = 4 }", "{ lane = 3 }", "lane 3 is listed twice in heat 1; give each athlete a lane of its own"),
    ("{ lane = 4 }", "{ lane = 41 }", "lane is 41; it must lie between 1 and 40"),
    ("{ lane = 4 }", "{ lane = 4, athlete = \"103\" }", "athlete 103 is listed twice in heat 1"),
    ("{ lane = 4 }", "{ lane = 4, athlete = \"999\" }", "no athlete has bib 999"),
    ("{ lane = 4 }", "4", "a lane of heat 1 must be a table, not a whole number"),
    ("{ lane = 4 }", "{ lane = 4, start = \"soon\" }", "start \"soon\" is not a time"),
    ("{ lane = 4 }", "{ lane = 4, strat = \"0:30\" }", "has no field \"strat\"; did you mean \"start\"?"),
    (
        "{ lane = 4 }",
        "{ lane = 4, start = \"9000:00\" }",
        "lane 4 starts 540000000 ms after the heat; give 0 to",
    ),
    ("scoring = \"for time\"", "scoring = \"for fun\"", "choose \"for time\" or \"amrap\" or"),
    ("scoring = \"for time\"", "order_by = \"whim\"", "choose \"lane time\" or \"first to finish\""),
    ("scoring = \"for time\"", "cap_on = \"whim\"", "choose \"lane time\" or \"heat\""),
    ("scoring = \"for time\"", "mark_every_part = 5", "mark_every_part is true or false, not a whole number"),
    ("scoring = \"for time\"", "window = \"9:00\"", "it has a time cap; write cap instead of window"),
    ("scoring = \"for time\"", "amrap_shows = \"total\"", "leave amrap_shows out or write scoring"),
    ("scoring = \"for time\"", "amrap_show = \"total\"", "did you mean \"amrap_shows\"?"),
];

/// The same for a workout that is an AMRAP.
const FAULTY_AMRAP: &[(&str, &str, &str)] = &[
    ("window = \"12:00\"", "", "workout \"quays\" needs a window; write window = \"10:00\""),
    (
        "window = \"12:00\"",
        "cap = \"12:00\"",
        "is an AMRAP: it ends with its window; write window instead of cap",
    ),
    ("window = \"12:00\"", "windwo = \"12:00\"", "has no field \"windwo\"; did you mean \"window\"?"),
    ("window = \"12:00\"", "window = \"12 min\"", "window \"12 min\" is not a time"),
    ("amrap_shows = \"total\"", "amrap_shows = \"sum\"", "choose \"rounds and reps\" or \"total\""),
    ("amrap_shows = \"total\"", "rounds = 3", "its round is repeated without end; leave rounds out"),
    ("amrap_shows = \"total\"", "finish = \"finish call\"", "it ends with its window; leave finish out"),
    ("amrap_shows = \"total\"", "capped = \"work left\"", "its result is the work done; leave capped out"),
    ("amrap_shows = \"total\"", "penalty_per_unit = \"1\"", "leave penalty_per_unit out"),
    (
        "amrap_shows = \"total\"",
        "cash_out = [{ movement = \"hop\", amount = 5 }]",
        "nobody would come to it; put the work into parts or leave cash_out out",
    ),
    ("tie_break = true", "tie_braek = true", "did you mean \"tie_break\"?"),
    ("tie_break = true", "tie_break = 1", "tie_break is true or false, not a whole number"),
];

/// The example, and an AMRAP that heat 7 does.
fn with_amrap() -> String {
    let workout = "
[[workout]]
id = \"quays\"
name = \"Twelve Quays\"
scoring = \"amrap\"
amrap_shows = \"total\"
window = \"12:00\"
buy_in = [{ movement = \"run\", amount = 400, scores = 0 }]
parts = [
  { movement = \"hop\", amount = 10, tie_break = true },
  { movement = \"thruster\", amount = 5 },
]
";
    let heat = "\n[[heat]]\nnumber = 30\nworkout = \"quays\"\nlanes = [{ lane = 1, athlete = \"101\" }]\n";
    example() + workout + heat
}

#[test]
fn an_amrap_and_lanes_that_start_apart_are_read() {
    let staggered = with_amrap().replacen("{ lane = 4 }", "{ lane = 4, start = \"0:30\" }", 1).replacen(
        "scoring = \"for time\"",
        "scoring = \"for time\"\norder_by = \"first to finish\"\ncap_on = \"heat\"\nmark_every_part = true",
        1,
    );
    let competition = good(&staggered);
    let first = competition.heat_setup(&competition.heats[0]);
    assert_eq!(first.lanes.iter().map(|lane| lane.start.0).collect::<Vec<_>>(), [0, 0, 0, 30_000]);
    let (rules, marked) = (first.workouts[0].clock, first.workouts[0].mark_every_part);
    assert_eq!((rules.order_by, rules.cap_on, marked), (OrderBy::FirstToFinish, CapOn::Heat, true));
    let amrap = competition.heat_setup(competition.heat(30).unwrap()).workouts.remove(0);
    assert_eq!(amrap.scoring, Scoring::Amrap { shows: AmrapShows::Total });
    assert_eq!(amrap.clock.cap.0, 720_000);
    assert_eq!(amrap.body.iter().map(|part| part.tie_break).collect::<Vec<_>>(), [true, false]);
    let shown = good(&with_amrap().replacen("amrap_shows = \"total\"", "", 1));
    assert_eq!(
        shown.heat_setup(shown.heat(30).unwrap()).workouts[0].scoring,
        Scoring::Amrap { shows: AmrapShows::RoundsAndReps },
    );
}

#[test]
fn one_fault_is_named_at_its_place() {
    let cases = FAULTY.iter().map(|case| (example(), case));
    for (text, (old, new, says)) in cases.chain(FAULTY_AMRAP.iter().map(|case| (with_amrap(), case))) {
        assert!(text.contains(old), "{old}");
        let line = text[..text.find(old).unwrap()].matches('\n').count() + 1;
        let found = faults(&text.replacen(old, new, 1));
        assert!(found.iter().any(|fault| fault.contains(says)), "{new}: {found:#?}");
        let near = found.iter().any(|fault| {
            let at: usize = fault.split(':').nth(1).unwrap().parse().unwrap();
            at.abs_diff(line) <= 8
        });
        assert!(near || new.is_empty() || *old == "[event]", "{new} at line {line}: {found:#?}");
    }
}

#[test]
fn a_fault_stands_at_its_line_and_column() {
    let text = "[event]\nname = \"Cup\"\n\n[[heat]]\nnumber = 7\nworkout = \"w\"\nlanes = [\n  { lane = 3 },\n  { lane = 3 },\n]\n";
    let found = faults(text);
    assert!(
        found.contains(
            &"x.toml:9:12: lane 3 is listed twice in heat 7; give each athlete a lane of its own".to_owned()
        ),
        "{found:#?}"
    );
}

#[test]
fn all_faults_are_named_at_once() {
    let text = example()
        .replacen("step = 100", "step = 0", 1)
        .replacen("{ lane = 4 }", "{ lane = 3 }", 1)
        .replacen("bib = \"102\"", "bib = \"101\"", 1);
    let found = faults(&text);
    for says in ["step is 0", "lane 3 is listed twice", "bib 101 is given twice"] {
        assert_eq!(found.iter().filter(|fault| fault.contains(says)).count(), 1, "{found:#?}");
    }
}

#[test]
fn what_is_not_toml_is_told_at_its_place() {
    for (text, place, says) in [
        ("a = 1\na = 2\n", "x.toml:2:1: ", "duplicate key"),
        ("[event\nname = 1\n", "x.toml:1:", "this is not TOML"),
        ("x = \"never closed\n", "x.toml:1:", "this is not TOML"),
        ("\u{0}\u{1}\u{2}", "x.toml:1:1: ", "this is not TOML"),
    ] {
        let found = faults(text);
        assert!(found.iter().any(|fault| fault.starts_with(place) && fault.contains(says)), "{found:#?}");
    }
}

#[test]
fn hostile_files_end_in_faults() {
    let deep_array = format!("x = {}{}", "[".repeat(100_000), "]".repeat(100_000));
    let deep_table = format!("[{}]\n", vec!["a"; 100_000].join("."));
    let dotted = format!("{}=1", vec!["a"; 100_000].join("."));
    let many_faults: String = (0..10_000).map(|number| format!("a{number} = 1\n")).collect();
    let many_heats = "[[heat]]\nnumber = 1\n".repeat(5_000);
    let long_name = example().replacen("Quarry Dash", &"x".repeat(10_000), 1);
    let control = example().replacen("Quarry Dash", "Quarry\\u0007Dash", 1);
    let many_parts = example().replacen(
        "parts = [{ movement = \"hop\", amount = 50 }]",
        "rounds = 1000\nparts = [{ movement = \"hop\", amount = 100000 }, { movement = \"hop\", amount = 100000 }]",
        1,
    );
    for (name, text) in [
        ("nothing", String::new()),
        ("deep arrays", deep_array),
        ("deep tables", deep_table),
        ("deep dotted keys", dotted),
        ("many unknown fields", many_faults),
        ("many empty heats", many_heats),
        ("a long name", long_name),
        ("a control character", control),
        ("a course without end", many_parts),
        (
            "wrong types everywhere",
            "event = 1\ndivision = 2\nathlete = {}\nmovement = [1]\nworkout = \"w\"\nheat = [[]]\n"
                .to_owned(),
        ),
    ] {
        let found = faults(&text);
        assert!(!found.is_empty() && found.len() <= MAX_FAULTS + 1, "{name}");
        assert!(found.iter().all(|fault| fault.len() < 600), "{name}: {:?}", found[0]);
    }
}

#[test]
fn files_that_are_too_large_or_not_text_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("competition.toml");
    std::fs::write(&file, vec![b'#'; usize::try_from(MAX_FILE).unwrap() + 1]).unwrap();
    assert!(matches!(load(&file), Err(LoadError::TooLarge { .. })));
    assert!(matches!(load(std::path::Path::new("/dev/zero")), Err(LoadError::TooLarge { .. })), "endless");
    std::fs::write(&file, [0xff, 0xfe, 0x00]).unwrap();
    assert!(matches!(load(&file), Err(LoadError::NotText { .. })));
    assert!(matches!(load(folder.path()), Err(LoadError::Read { .. })), "a folder");
}
