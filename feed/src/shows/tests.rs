//! What screens are told, from entries of a record alone: no socket, no clock.

use std::fmt::Write as _;
use std::sync::Arc;

use fivemark_wire::from_client::{Floor, FloorCommand, Ruling, RulingKind};
use fivemark_wire::from_feed::FeedMessage;
use fivemark_wire::show_commands::{BoardCommand, CardAsked, Show, ShowCommand, StepAsked};
use fivemark_wire::shows::{Card, Shows, Step};

use crate::actor::{Changes, Heats};
use crate::competition::parse;
use crate::journal::{Body, Entry};
use crate::roles::Audience;

/// A record under construction.
struct Rig {
    heats: Heats,
    at_ms: i64,
    id: u64,
    entries: Vec<Entry>,
    competition: String,
}

/// `heats` heats of one workout with `lanes` athletes each, of one division.
fn competition(heats: u32, lanes: u32) -> String {
    let mut file = String::from(
        "[event]\nname = \"Lighthouse Games\"\nplace = \"The old pier\"\ndate = 2031-06-14\n\
         [[division]]\nid = \"open\"\nname = \"Open\"\n\
         [[movement]]\nid = \"hop\"\nname = \"Hop\"\nseconds_per_unit = 1\n\
         [[workout]]\nid = \"w\"\nname = \"Ebb and Flow\"\nscoring = \"for time\"\ncap = \"5:00\"\n\
         parts = [{ movement = \"hop\", amount = 9 }]\n",
    );
    for bib in 1..=heats * lanes {
        let more = match bib {
            2 => "private = true\nmembers = [\"Sanna Krueger\", \"Bo Tamiya\"]",
            3 => "members = [\"Ilse Aarde\", \"Per Wold\"]",
            _ => "",
        };
        let _ = writeln!(
            file,
            "[[athlete]]\nbib = {bib}\nname = \"Imke Vandersteen {bib}\"\ndivision = \"open\"\n{more}"
        );
    }
    for heat in 0..heats {
        let lane = |lane: u32| format!("{{ lane = {lane}, athlete = {} }}", heat * lanes + lane);
        let all: Vec<String> = (1..=lanes).map(lane).collect();
        let _ = writeln!(
            file,
            "[[heat]]\nnumber = {}\nworkout = \"w\"\nlanes = [{}]\n",
            heat + 1,
            all.join(", ")
        );
    }
    file
}

impl Rig {
    fn new(heats: u32, lanes: u32) -> Self {
        Self::of(competition(heats, lanes))
    }

    fn of(competition: String) -> Self {
        let read = parse("test", &competition).unwrap();
        Self { heats: Heats::new(Arc::new(read)).unwrap(), at_ms: 0, id: 0, entries: Vec::new(), competition }
    }

    fn say(&mut self, heat: u32, body: Body) -> FeedMessage {
        let entry =
            Entry { at_ms: self.at_ms, wall_ms: 0, boot_ms: 0, heat, device: "desk".to_owned(), body };
        self.entries.push(entry.clone());
        self.heats.apply(&entry, &mut Changes::default()).unwrap()
    }

    fn floor(&mut self, after_ms: i64, heat: u32, command: FloorCommand) -> &mut Self {
        (self.at_ms, self.id) = (self.at_ms + after_ms, self.id + 1);
        let said = Floor { id: self.id, heat, command };
        let answer = self.say(heat, Body::Floor { said, by: "head judge".to_owned(), initials: false });
        assert!(matches!(answer, FeedMessage::Ack(_)), "{answer:?}");
        self
    }

    fn show(&mut self, after_ms: i64, command: ShowCommand) -> &mut Self {
        (self.at_ms, self.id) = (self.at_ms + after_ms, self.id + 1);
        let said = Show { id: self.id, command };
        let answer = self.say(0, Body::Show { said, by: "floor operator".to_owned() });
        assert!(matches!(answer, FeedMessage::Ack(_)), "{answer:?}");
        self
    }

    /// Runs a heat to its end: nobody does anything.
    fn run(&mut self, heat: u32) -> &mut Self {
        if heat > 1 {
            self.floor(1_000, heat, FloorCommand::OpenHeat);
        }
        self.floor(1_000, heat, FloorCommand::OnDeck).floor(1_000, heat, FloorCommand::StartCountdown);
        self.floor(20_000, heat, FloorCommand::CallTime).floor(2_000, heat, FloorCommand::Close)
    }

    fn shows(&mut self) -> Shows {
        self.heats.refresh_shows();
        *self.heats.picture(true).unwrap().for_audience(Audience::Public, 0).shows
    }

    /// What a record says that is rebuilt from the entries so far, with nothing fired in between.
    fn rebuilt(&self) -> Shows {
        let mut again = Heats::new(Arc::new(parse("test", &self.competition).unwrap())).unwrap();
        for entry in &self.entries {
            again.apply(entry, &mut Changes::default());
        }
        again.refresh_shows();
        *again.picture(true).unwrap().for_audience(Audience::Public, 0).shows
    }
}

fn own(again: bool, cards: &[CardAsked]) -> ShowCommand {
    let steps = cards.iter().map(|card| StepAsked { for_ms: 5_000, card: card.clone() }).collect();
    ShowCommand::Board(BoardCommand::Own { again, steps })
}

fn lengths(shows: &Shows) -> Vec<i64> {
    shows.board.steps.iter().map(|step| step.for_ms).collect()
}

#[test]
fn before_a_heat_its_lanes_and_its_board_take_turns() {
    let mut rig = Rig::new(2, 3);
    let shows = rig.shows();
    assert_eq!((shows.board.since_ms, shows.board.again, lengths(&shows)), (0, true, vec![12_000, 8_000]));
    let Card::NextHeat(next) = &shows.board.steps[0].card else { panic!("the lanes come first") };
    assert_eq!((next.lanes.len(), &*next.lanes[1].name), (3, "I. V. 2."), "private names are initials");
    assert_eq!(next.lanes[1].members, ["S. K.", "B. T."]);
    assert_eq!(next.lanes[2].members, ["Ilse Aarde", "Per Wold"]);
    assert!(next.lanes[0].members.is_empty());
    rig.floor(7_000, 1, FloorCommand::OnDeck);
    assert_eq!(rig.shows(), shows, "on deck is the same order, and it goes on");
    rig.floor(1_000, 1, FloorCommand::StartCountdown).floor(2_000, 1, FloorCommand::Recall);
    assert_eq!(rig.shows().board.since_ms, 10_000, "after a false start it begins again");
}

#[test]
fn the_announcer_is_told_by_full_names_who_comes_next() {
    let mut rig = Rig::new(3, 1);
    let next = |rig: &Rig, audience| {
        let snapshot = rig.heats.picture(true).unwrap().for_audience(audience, 0);
        snapshot.next.map(|next| (next.heat_name, next.lanes[0].name.clone()))
    };
    let told = |heat: &str, name: &str| Some((heat.to_owned(), name.to_owned()));
    for audience in [Audience::Staff, Audience::Officials] {
        assert_eq!(next(&rig, audience), told("Heat 2", "Imke Vandersteen 2"), "{audience:?}");
    }
    for audience in [Audience::Public, Audience::Crowd, Audience::Judges] {
        assert_eq!(next(&rig, audience), None, "{audience:?}");
    }
    rig.run(1);
    assert_eq!(next(&rig, Audience::Staff), told("Heat 2", "Imke Vandersteen 2"));
    rig.run(3);
    assert_eq!(next(&rig, Audience::Staff), None, "nobody comes after the last heat");
    rig.floor(1_000, 1, FloorCommand::OpenHeat);
    assert_eq!(next(&rig, Audience::Staff), told("Heat 2", "Imke Vandersteen 2"));
    rig.run(2).floor(1_000, 1, FloorCommand::OpenHeat);
    assert_eq!(next(&rig, Audience::Staff), None, "both others have results");
}

#[test]
fn after_a_heat_results_standings_who_comes_next_and_the_event() {
    let mut rig = Rig::new(2, 12);
    let shows = rig.run(1).shows();
    assert_eq!(lengths(&shows), [20_000, 16_000, 16_000, 12_000, 8_000], "two pages of twelve rows");
    assert_eq!(shows.board.since_ms, rig.at_ms);
    let [_, results, standings, next, event] = &shows.board.steps[..] else { panic!("five steps") };
    assert!(matches!(&results.card, Card::Results(results) if results.rows.len() == 12 && !results.official));
    let Card::Standings(standings) = &standings.card else { panic!("standings") };
    assert_eq!((standings.heats_done, standings.heats_of), (1, 2));
    assert!(standings.rows.iter().all(|row| row.place == 1 && row.provisional), "all have done nothing");
    assert!(matches!(&next.card, Card::NextHeat(next) if next.heat_name == "Heat 2"));
    let Card::Event { name, place, date } = &event.card else { panic!("the event") };
    assert_eq!((&**name, &**place, &**date), ("Lighthouse Games", "The old pier", "2031-06-14"));
    let last = rig.run(2).shows();
    assert!(last.board.steps.iter().all(|step| !matches!(step.card, Card::NextHeat(_))), "nobody comes next");
}

#[test]
fn what_happens_by_itself_has_its_own_moment() {
    let mut rig = Rig::new(1, 2);
    rig.floor(1_000, 1, FloorCommand::OnDeck).floor(1_000, 1, FloorCommand::StartCountdown);
    // Countdown of 10 s, cap of 5:00, and a minute more without a word.
    rig.show(400_000, ShowCommand::DuelOff);
    let closed = rig.shows();
    assert_eq!(
        closed.board.since_ms,
        2_000 + 10_000 + 300_000 + 3_000,
        "countdown, cap, and time for late calls"
    );
    // Read again, with every timeout where it was due, it is the same.
    let read = parse("test", &rig.competition).unwrap();
    let mut again = Heats::new(Arc::new(read)).unwrap();
    for entry in &rig.entries {
        while let Some(due) = again.next_timeout().filter(|due| due.0 <= entry.at_ms) {
            again.fire(due, &mut Changes::default());
        }
        again.apply(entry, &mut Changes::default());
    }
    again.refresh_shows();
    assert_eq!(*again.picture(true).unwrap().for_audience(Audience::Public, 0).shows, closed);
}

#[test]
fn an_order_of_ones_own_leaves_out_what_is_not_there_and_counts_from_when_it_was_asked() {
    let mut rig = Rig::new(2, 3);
    let cards = [
        CardAsked::LastResults { heat: None },
        CardAsked::Standings { division: None },
        CardAsked::NextHeat { heat: Some(2), in_ms: Some(60_000) },
        CardAsked::Countdown { title: String::new(), to_ms: None, in_ms: Some(5_000) },
    ];
    let shows = rig.show(3_000, own(false, &cards)).shows();
    assert_eq!((shows.board.since_ms, shows.board.again, shows.board.steps.len()), (3_000, false, 2));
    assert!(matches!(&shows.board.steps[0].card, Card::NextHeat(next) if next.starts_at_ms == Some(63_000)));
    assert!(matches!(&shows.board.steps[1].card, Card::Countdown { to_ms: 8_000, .. }));
    let ended = rig.run(1).shows();
    assert_eq!((ended.board.since_ms, ended.board.steps.len()), (3_000, 4), "now they are there");
    let nothing = rig.show(0, own(true, &[CardAsked::LastResults { heat: Some(2) }])).shows();
    assert!(matches!(nothing.board.steps[..], [Step { card: Card::Event { .. }, .. }]));
}

#[test]
fn a_start_that_was_announced_stays_with_its_heat() {
    let mut rig = Rig::new(3, 2);
    rig.run(1);
    let next = |in_ms| CardAsked::NextHeat { heat: None, in_ms };
    let cards = [next(Some(60_000)), next(None)];
    let told = |shows: &Shows| {
        let card = |step: &Step| match &step.card {
            Card::NextHeat(next) => (next.heat_name.clone(), next.starts_at_ms),
            other => panic!("{other:?}"),
        };
        shows.board.steps.iter().map(card).collect::<Vec<_>>()
    };
    let (second, third) = ("Heat 2".to_owned(), "Heat 3".to_owned());
    let shows = rig.show(1_000, own(true, &cards)).shows();
    let starts_at_ms = Some(shows.board.since_ms + 60_000);
    assert_eq!(told(&shows), [(second.clone(), starts_at_ms), (second.clone(), None)]);
    let later = rig.run(2).shows();
    assert_eq!(told(&later), [(second, starts_at_ms), (third, None)], "the other card follows the heats");
    assert_eq!(rig.rebuilt(), later);
    // With no heat to come there is nothing that could start then, whatever comes afterwards.
    rig.run(3).show(1_000, own(true, &[next(Some(60_000)), CardAsked::Event]));
    rig.floor(1_000, 2, FloorCommand::OpenHeat);
    rig.floor(1_000, 2, FloorCommand::Rerun { reason: "The rig gave way".to_owned() });
    let Card::NextHeat(next) = &rig.shows().board.steps[0].card else { panic!("heat 2 is next") };
    assert_eq!((&*next.heat_name, next.starts_at_ms), ("Heat 2", None));
}

#[test]
fn who_moves_while_the_heat_runs_is_no_longer_in_the_duel() {
    let mut rig = Rig::of(competition(1, 3).replace("athlete = 3 }]", "athlete = 3 }, { lane = 4 }]"));
    rig.floor(1_000, 1, FloorCommand::OnDeck).floor(1_000, 1, FloorCommand::StartCountdown);
    rig.show(11_000, ShowCommand::Duel { left: 2, right: 1 });
    assert!(rig.shows().overlay.duel.is_some());
    (rig.at_ms, rig.id) = (rig.at_ms + 1_000, rig.id + 1);
    let (reason, kind) = ("Its rig gave way".to_owned(), RulingKind::MoveAthlete { to: 4 });
    let said = Ruling { id: rig.id, heat: 1, lane: 2, reason, kind };
    let answer = rig.say(1, Body::Ruling { said, by: "head judge".to_owned() });
    assert!(matches!(answer, FeedMessage::Ack(_)), "{answer:?}");
    let shows = rig.shows();
    assert_eq!(shows.overlay.duel, None);
    assert_eq!(rig.rebuilt(), shows);
}

/// Rows of each card, lanes too.
fn rows(shows: &Shows) -> Vec<usize> {
    let rows = |step: &Step| match &step.card {
        Card::Standings(standings) => standings.rows.len(),
        Card::Results(results) => results.rows.len(),
        Card::NextHeat(next) => next.lanes.len(),
        _ => 0,
    };
    shows.board.steps.iter().map(rows).collect()
}

fn bytes(shows: &Shows) -> usize {
    serde_json::to_string(shows).unwrap().len()
}

/// Eleven heats of forty lanes, everything at once on the board.
#[test]
fn a_program_is_bounded_whatever_is_asked() {
    let mut rig = Rig::new(11, 40);
    for heat in 1..=11 {
        rig.run(heat);
    }
    let mut cards = vec![CardAsked::Standings { division: None }; 23];
    cards.push(CardAsked::Words { title: "Lunch".to_owned(), text: String::new() });
    let shows = rig.show(0, own(true, &cards)).shows();
    let mut rows = rows(&shows);
    assert_eq!(rows.pop(), Some(0), "words are still there");
    assert_eq!(rows[..4], [400; 4]);
    assert!(
        rows.len() < 23 && rows.iter().all(|rows| *rows > 0),
        "{rows:?}: a card without rows is left out"
    );
    assert!(bytes(&shows) < 1_000_000, "{} bytes", bytes(&shows));
}

/// Every name as long as it may be, of letters that take two bytes each where they are sent.
#[test]
fn a_program_of_the_longest_names_is_bounded_too() {
    let name = format!("'{}'", "\"".repeat(200));
    let members = [name.as_str(); 12].join(", ");
    let more = format!(
        "division = \"open\"\ngiven = {name}\nfamily = {name}\nsay = {name}\nclub = {name}\nmembers = [{members}]"
    );
    let mut file = competition(11, 40).replace("division = \"open\"", &more);
    for members in ["\"Sanna Krueger\", \"Bo Tamiya\"", "\"Ilse Aarde\", \"Per Wold\""] {
        file = file.replace(&format!("members = [{members}]"), "");
    }
    for bib in 1..=440 {
        file = file.replace(&format!("\"Imke Vandersteen {bib}\""), &name);
    }
    file = file.replace("\nworkout = \"w\"\n", &format!("\nworkout = \"w\"\nname = {name}\n"));
    let mut rig = Rig::of(file.replace("\"Ebb and Flow\"", &name));
    for heat in 1..=10 {
        rig.run(heat);
    }
    let mut cards = vec![CardAsked::NextHeat { heat: None, in_ms: None }; 8];
    cards.extend((1..=8).map(|heat| CardAsked::LastResults { heat: Some(heat) }));
    cards.push(CardAsked::Standings { division: None });
    let quotes = CardAsked::Words { title: "\"".repeat(120), text: "\"".repeat(400) };
    cards.extend(vec![quotes; 24 - cards.len()]);
    let shows = rig.show(0, own(true, &cards)).shows();
    let rows = rows(&shows);
    let (long, words) = rows.split_at(rows.len() - 7);
    assert!(long.iter().all(|rows| *rows > 0) && words == [0; 7], "{rows:?}");
    assert_eq!(long[..3], [40; 3], "three heats of teams fit");
    assert!((700_000..1_000_000).contains(&bytes(&shows)), "{} bytes", bytes(&shows));
}

#[test]
fn of_several_divisions_only_the_last_stays() {
    let second = "[[division]]\nid = \"masters\"\nname = \"Masters\"\n[[movement]]";
    let mut file = competition(1, 24).replacen("[[movement]]", second, 1);
    for bib in 13..=24 {
        let name = format!("\"Imke Vandersteen {bib}\"\ndivision = ");
        file = file.replace(&format!("{name}\"open\""), &format!("{name}\"masters\""));
    }
    let mut rig = Rig::of(file);
    rig.run(1);
    let step = |for_ms| StepAsked { for_ms, card: CardAsked::Standings { division: None } };
    let board = |steps| ShowCommand::Board(BoardCommand::Own { again: false, steps });
    let shows = rig.show(0, board(vec![step(0)])).shows();
    assert_eq!(lengths(&shows), [16_000, 0], "two pages of twelve rows, then the other division");
    let shows = rig.show(0, board(vec![step(5_000), step(0)])).shows();
    assert_eq!(lengths(&shows), [5_000, 5_000, 16_000, 0]);
}
