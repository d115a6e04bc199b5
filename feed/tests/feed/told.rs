//! What pages are told besides counts: the standards of movements, whether initials are wanted, whose order boards follow.

use fivemark_wire::from_client::{ClientMessage, Role};
use fivemark_wire::show_commands::{BoardCommand, CardAsked, Show, ShowCommand, StepAsked};
use fivemark_wire::shows::BoardOrder;

use crate::harness::{Client, TestFeed, data};

#[tokio::test]
async fn a_judge_is_told_how_a_rep_begins_and_what_it_has_to_come_to() {
    let feed = TestFeed::start();
    let parts = feed.door().judge(1).await.snapshot.unwrap().courses[0].parts.clone();
    let standards: Vec<_> = parts.iter().map(|part| (part.start.as_str(), part.finish.as_str())).collect();
    assert_eq!(standards, [("", ""), ("Both feet behind the bar", "Both feet over the bar together")]);
    feed.stop().await;
}

#[test]
fn a_standard_that_is_too_long_or_empty_is_named_at_its_line() {
    let text = std::fs::read_to_string(data("competition.toml")).unwrap();
    let with = |start: &str| text.replace("Both feet behind the bar", start);
    assert!(fivemark_feed::competition::parse("event.toml", &with(&"x".repeat(300))).is_ok());
    for (start, says) in [("x".repeat(301), "start is 301 bytes long"), (" ".to_owned(), "start is empty")] {
        let faults = fivemark_feed::competition::parse("event.toml", &with(&start)).unwrap_err();
        assert_eq!(faults.len(), 1);
        assert!(faults[0].to_string().contains(says), "{}", faults[0]);
    }
}

#[tokio::test]
async fn pages_are_told_whether_initials_are_wanted() {
    let feed = TestFeed::start();
    assert!(!feed.door().judge(1).await.snapshot.unwrap().initials, "the file says so");
    feed.stop().await;
    let folder = tempfile::tempdir().unwrap();
    let competition = folder.path().join("initials.toml");
    let text = std::fs::read_to_string(data("competition.toml")).unwrap();
    std::fs::write(&competition, text.replace("initials = false", "")).unwrap();
    let feed = TestFeed::start_in(folder, |config| config.competition = competition);
    assert!(feed.door().judge(1).await.snapshot.unwrap().initials, "unless the file says otherwise");
    feed.stop().await;
}

async fn order_after(floor: &mut Client, id: u64, board: BoardCommand) -> BoardOrder {
    floor.say(&ClientMessage::Show(Show { id, command: ShowCommand::Board(board) })).await;
    loop {
        if let Some(shows) = floor.delta().await.shows {
            return shows.order;
        }
    }
}

#[tokio::test]
async fn the_floor_is_told_whose_order_boards_follow() {
    let feed = TestFeed::start();
    let mut floor = feed.door().join(Role::FloorOperator, None).await;
    assert_eq!(floor.snapshot.as_ref().unwrap().shows.order, BoardOrder::Follow);
    let steps = vec![StepAsked { for_ms: 0, card: CardAsked::Event }];
    assert_eq!(order_after(&mut floor, 1, BoardCommand::Own { again: false, steps }).await, BoardOrder::Own);
    assert_eq!(order_after(&mut floor, 2, BoardCommand::Heat).await, BoardOrder::Heat);
    assert_eq!(order_after(&mut floor, 3, BoardCommand::Follow).await, BoardOrder::Follow);
    feed.stop().await;
}
