//! Cards between heats, filled with invented people: for pictures of them, and for whoever reads these.

use fivemark_wire::shows::{Card, CardLane, NextHeat, ResultRow, Results, StandingRow, Standings};

/// Invented people: given and family name, one of them far too long, one in another script.
pub const PEOPLE: [(&str, &str); 12] = [
    ("Ilva", "Brandt-Osei"),
    ("Tomasz", "Wielgórecki"),
    ("Maria Fernanda", "de Albuquerque Montalvão-Figueirinhas"),
    ("Χρυσάνθη", "Μελισσοβουνιώτη"),
    ("Bo", "Ryx"),
    ("Noor", "Ashdale"),
    ("Siiri", "Kuusivaara-Hietalampi"),
    ("Emeka", "Obiorahwu"),
    ("Þorvaldur", "Hrafnkelsstaðason"),
    ("Pell", "Okonkwo-Lindqvist"),
    ("Ingrún", "Skarphallsdóttir"),
    ("Yael", "Ben-Tsafrir"),
];

struct Person {
    bib: String,
    name: String,
    given: String,
    family: String,
}

fn person(people: &[(&str, &str)], index: usize) -> Person {
    let (given, family) = people[index % people.len()];
    Person {
        bib: (101 + index).to_string(),
        name: format!("{given} {family}"),
        given: given.to_owned(),
        family: family.to_owned(),
    }
}

/// The lanes of a heat that comes; `people` are given and family names, over and over.
#[must_use]
pub fn next_heat(people: &[(&str, &str)], lanes: u8, starts_at_ms: Option<i64>) -> Card {
    let clubs = ["Ashmerrow Strength Hall", "Seven Ropes", "", "Moth and Anvil"];
    let lane = |lane: u8| {
        let Person { bib, name, given, family } = person(people, usize::from(lane) - 1);
        let club = clubs[usize::from(lane) % clubs.len()].to_owned();
        CardLane {
            lane,
            bib,
            name,
            given,
            family,
            say: String::new(),
            division: 0,
            club,
            members: Vec::new(),
        }
    };
    Card::NextHeat(NextHeat {
        heat_name: "Heat 4".to_owned(),
        workout: "Harbour Bell".to_owned(),
        divisions: vec!["Open women".to_owned()],
        starts_at_ms,
        lanes: (1..=lanes).map(lane).collect(),
    })
}

fn result(index: usize) -> (String, bool) {
    match index {
        0..6 => (format!("{}:{:02}.{}", 6 + index / 3, 12 + index * 7, index), true),
        6..8 => (format!("{} of 112", 111 - index), false),
        8 => ("DNF".to_owned(), false),
        _ => ("DNS".to_owned(), false),
    }
}

/// Ten lanes of two divisions; two share a place, two have none.
#[must_use]
pub fn results(people: &[(&str, &str)], official: bool) -> Card {
    let row = |index: usize| {
        let Person { bib, name, given, family } = person(people, index);
        let (result, finished) = result(index);
        let place = if index < 8 { [1, 2, 2, 4, 1, 2, 3, 4][index] } else { 0 };
        let (lane, division) = (u8::try_from(10 - index).unwrap_or(1), u8::from(index >= 4));
        ResultRow { place, lane, bib, name, given, family, division, result, finished }
    };
    Card::Results(Results {
        heat_name: "Heat 3".to_owned(),
        workout: "Lighthouse Steps".to_owned(),
        official,
        divisions: vec!["Masters women 40+".to_owned(), "Masters men 40+".to_owned()],
        rows: (0..10).map(row).collect(),
    })
}

/// Thirty-four athletes of three heats, the last of them provisional.
#[must_use]
pub fn standings(people: &[(&str, &str)]) -> Card {
    let row = |index: usize| {
        let Person { bib, name, given, family } = person(people, index);
        let result = format!("{}:{:02}.{}", 6 + index / 12, index * 17 % 60, index % 10);
        let heat_name = format!("Heat {}", 1 + index % 3);
        let place = u16::try_from(index + 1).unwrap_or(1);
        let provisional = index % 3 == 2;
        StandingRow { place, bib, name, given, family, heat_name, result, finished: true, provisional }
    };
    Card::Standings(Standings {
        workout: "Harbour Bell".to_owned(),
        division: "Open women".to_owned(),
        rows: (0..34).map(row).collect(),
        heats_done: 3,
        heats_of: 4,
    })
}

/// The event's own card.
#[must_use]
pub fn event() -> Card {
    Card::Event {
        name: "Brackwater Trials".to_owned(),
        place: "Lantern Quay Hall, Ostrel".to_owned(),
        date: "2031-06-14".to_owned(),
    }
}

/// Somebody's own words.
#[must_use]
pub fn words() -> Card {
    Card::Words {
        title: "Lunch until 13:30".to_owned(),
        text: "The warm-up yard behind the hall stays open.\nJudges of heats 5 to 8 meet at the scoring table at 13:10."
            .to_owned(),
    }
}

/// A countdown to a moment of feed time.
#[must_use]
pub fn countdown(to_ms: i64) -> Card {
    Card::Countdown { title: "Finals begin".to_owned(), to_ms }
}
