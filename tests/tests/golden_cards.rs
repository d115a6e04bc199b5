//! Every card between heats, in small, in each theme on a wide screen and in one on a tower and a strip, against
//! pictures in the tree. Tolerance as for boards (`fivemark_tests::golden`).

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Screen, Times, View};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::Rehearsal;
use fivemark_wire::shows::{
    Card, CardLane, NextHeat, Program, ResultRow, Results, Shows, StandingRow, Standings, Step,
};

const WIDE: [u32; 2] = [640, 360];
const TALL: [u32; 2] = [360, 640];
const STRIP: [u32; 2] = [960, 150];
/// Feed time of every picture, milliseconds.
const AT_MS: i64 = 1_000_000;

/// Invented people: given and family name, one of them far too long, one in another script.
const PEOPLE: [(&str, &str); 12] = [
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

fn person(index: usize) -> Person {
    let (given, family) = PEOPLE[index % PEOPLE.len()];
    Person {
        bib: (101 + index).to_string(),
        name: format!("{given} {family}"),
        given: given.to_owned(),
        family: family.to_owned(),
    }
}

fn next_heat(lanes: u8, starts_at_ms: Option<i64>) -> Card {
    let clubs = ["Ashmerrow Strength Hall", "Seven Ropes", "", "Moth and Anvil"];
    let lane = |lane: u8| {
        let Person { bib, name, given, family } = person(usize::from(lane) - 1);
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
fn results(official: bool) -> Card {
    let row = |index: usize| {
        let Person { bib, name, given, family } = person(index);
        let (result, finished) = result(index);
        let place = if index < 8 { [1, 2, 2, 4, 1, 2, 3, 4][index] } else { 0 };
        let (lane, division) = (u8::try_from(10 - index).expect("ten lanes"), u8::from(index >= 4));
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
fn standings() -> Card {
    let row = |index: usize| {
        let Person { bib, name, given, family } = person(index);
        let result = format!("{}:{:02}.{}", 6 + index / 12, index * 17 % 60, index % 10);
        let heat_name = format!("Heat {}", 1 + index % 3);
        let place = u16::try_from(index + 1).expect("a place");
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

fn event() -> Card {
    Card::Event {
        name: "Brackwater Trials".to_owned(),
        place: "Lantern Quay Hall, Ostrel".to_owned(),
        date: "2031-06-14".to_owned(),
    }
}

fn words() -> Card {
    Card::Words {
        title: "Lunch until 13:30".to_owned(),
        text: "The warm-up yard behind the hall stays open.\nJudges of heats 5 to 8 meet at the scoring table at 13:10."
            .to_owned(),
    }
}

fn countdown(left_ms: i64) -> Card {
    Card::Countdown { title: "Finals begin".to_owned(), to_ms: AT_MS + left_ms }
}

/// Draws cards of one size and theme, one after the other, on one renderer.
struct Stage {
    board: Board,
    renderer: Renderer,
    view: View,
    frame_us: i64,
    name: &'static str,
}

impl Stage {
    fn new(name: &'static str, theme: &str, size: [u32; 2]) -> Self {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
        let view = View::new(Rehearsal::of_heat(7).snapshot(AT_MS));
        Self { board: Board::new(theme, size, Motion::Full), renderer, view, frame_us: 0, name }
    }

    /// Checks a card that has been shown for `within_ms`.
    fn check(&mut self, card: &str, shown: Card, within_ms: i64) {
        let steps = vec![Step { for_ms: 0, card: shown }];
        let board = Program { since_ms: AT_MS - within_ms, again: false, steps };
        *self.view.snapshot.shows = Shows { board, ..Shows::default() };
        // Once as it comes, and once when it has come to rest.
        for after_us in [0, 1_000_000] {
            self.frame_us += after_us;
            let times = Times { feed_us: AT_MS * 1_000, frame_us: self.frame_us, speed_milli: 1_000 };
            self.board.frame(Some(&self.view), Link::Live, times);
        }
        let (list, fonts) = self.board.parts();
        self.renderer.draw(list, fonts).expect("it is drawn");
        let pixels = self.renderer.pixels().expect("it is read");
        golden::check(&format!("card-{}-{card}", self.name), pixels.size, &pixels.rgba);
    }

    /// Every card.
    fn check_all(mut self) {
        self.check("next-heat", next_heat(10, Some(AT_MS + 252_000)), 1_000);
        self.check("next-heat-twenty", next_heat(20, None), 1_000);
        self.check("results", results(false), 1_000);
        self.check("results-official", results(true), 1_000);
        self.check("standings", standings(), 1_000);
        self.check("standings-second-page", standings(), 9_000);
        self.check("event", event(), 1_000);
        self.check("words", words(), 1_000);
        self.check("countdown", countdown(754_200), 1_000);
    }
}

#[test]
fn cards_on_a_wide_screen() {
    Stage::new("dark", "dark", WIDE).check_all();
    Stage::new("light", "light", WIDE).check_all();
    Stage::new("contrast", "contrast", WIDE).check_all();
}

#[test]
fn cards_on_a_tower() {
    let mut tall = Stage::new("tall", "dark", TALL);
    tall.check("next-heat", next_heat(10, None), 1_000);
    tall.check("standings", standings(), 1_000);
    tall.check("event", event(), 1_000);
    tall.check("words", words(), 1_000);
    tall.check("countdown", countdown(5_025_000), 1_000);
}

#[test]
fn cards_on_a_strip() {
    let mut strip = Stage::new("strip", "dark", STRIP);
    strip.check("next-heat", next_heat(10, Some(AT_MS + 252_000)), 1_000);
    strip.check("results", results(false), 1_000);
    strip.check("standings", standings(), 1_000);
    strip.check("event", event(), 1_000);
    strip.check("words", words(), 1_000);
    strip.check("countdown", countdown(0), 1_000);
}
