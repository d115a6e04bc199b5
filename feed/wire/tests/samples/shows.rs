//! Every show command, and every card.

use fivemark_wire::show_commands::{BoardCommand, CardAsked, OverlayPart, ShowCommand, StepAsked};
use fivemark_wire::shows::{
    BoardOrder, Card, CardLane, Duel, NextHeat, OverlayShows, Program, ResultRow, Results, Shows,
    StandingRow, Standings, Step,
};

/// Every show command.
pub fn show_commands() -> Vec<ShowCommand> {
    let title = || "Lunch".to_owned();
    let cards = [
        CardAsked::Heat,
        CardAsked::NextHeat { heat: None, in_ms: None },
        CardAsked::NextHeat { heat: Some(7), in_ms: Some(600_000) },
        CardAsked::LastResults { heat: None },
        CardAsked::LastResults { heat: Some(2) },
        CardAsked::Standings { division: None },
        CardAsked::Standings { division: Some("open".to_owned()) },
        CardAsked::Event,
        CardAsked::Words { title: title(), text: "Back at one.\nThe yard is open.".to_owned() },
        CardAsked::Countdown { title: title(), to_ms: Some(-4), in_ms: None },
        CardAsked::Countdown { title: String::new(), to_ms: None, in_ms: Some(60_000) },
    ];
    let steps = cards.map(|card| StepAsked { for_ms: 12_000, card });
    vec![
        ShowCommand::Overlay { part: OverlayPart::Ribbon, on: true },
        ShowCommand::Overlay { part: OverlayPart::Card, on: false },
        ShowCommand::Duel { left: 4, right: 2 },
        ShowCommand::DuelOff,
        ShowCommand::Board(BoardCommand::Follow),
        ShowCommand::Board(BoardCommand::Heat),
        ShowCommand::Board(BoardCommand::Own { again: true, steps: steps.to_vec() }),
    ]
}

/// A program with every card on it.
pub fn shows() -> Box<Shows> {
    let (given, family) = (|| "Tomasz".to_owned(), || "Wielgórecki".to_owned());
    let name = || "Tomasz Wielgórecki".to_owned();
    let (heat_name, workout) = (|| "Heat 7".to_owned(), || "Short Fuse".to_owned());
    let divisions = || vec!["Open".to_owned()];
    let lane = CardLane {
        lane: 4,
        bib: "101".to_owned(),
        name: name(),
        given: given(),
        family: family(),
        say: String::new(),
        division: 0,
        club: String::new(),
        members: vec!["Sanna Krueger".to_owned()],
    };
    let result = ResultRow {
        place: 1,
        lane: 4,
        bib: "101".to_owned(),
        name: name(),
        given: given(),
        family: family(),
        division: 0,
        result: "7:08.4".to_owned(),
        finished: true,
    };
    let cards = [
        Card::Heat,
        Card::NextHeat(NextHeat {
            heat_name: heat_name(),
            workout: workout(),
            divisions: divisions(),
            starts_at_ms: Some(9_000),
            lanes: vec![lane],
        }),
        Card::Results(Results {
            heat_name: heat_name(),
            workout: workout(),
            official: true,
            divisions: divisions(),
            rows: vec![result],
        }),
        Card::Standings(Standings {
            workout: workout(),
            division: "Open".to_owned(),
            rows: vec![standing()],
            heats_done: 1,
            heats_of: 3,
        }),
        Card::Event {
            name: "Harrowgate Winter Throwdown".to_owned(),
            place: String::new(),
            date: String::new(),
        },
        Card::Words { title: String::new(), text: "Back at one.".to_owned() },
        Card::Countdown { title: String::new(), to_ms: 600_000 },
    ];
    let steps = cards.map(|card| Step { for_ms: 8_000, card }).to_vec();
    let duel = Some(Duel { left: 4, right: 2 });
    let overlay = OverlayShows { ribbon: true, rail: false, corner: true, duel, card: false };
    Box::new(Shows { board: Program { since_ms: -4, again: true, steps }, order: BoardOrder::Own, overlay })
}

fn standing() -> StandingRow {
    StandingRow {
        place: 300,
        bib: "101".to_owned(),
        name: "Tomasz Wielgórecki".to_owned(),
        given: "Tomasz".to_owned(),
        family: "Wielgórecki".to_owned(),
        heat_name: "Heat 7".to_owned(),
        result: "DNF".to_owned(),
        finished: false,
        provisional: true,
    }
}

/// Standings, as a card has them.
pub fn standings() -> Vec<Standings> {
    let of_card = |card| if let Card::Standings(standings) = card { Some(standings) } else { None };
    shows().board.steps.into_iter().filter_map(|step| of_card(step.card)).collect()
}
