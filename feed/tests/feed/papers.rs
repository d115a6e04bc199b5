//! What is printed of a heat, and a sheet's digest held against the journal: signed, signed again, changed, copied.

use std::path::Path;
use std::process::{Command, Output};

use fivemark_wire::from_client::{Call, ClientMessage, FloorCommand, Role, RulingKind};
use fivemark_wire::from_feed::{FeedMessage, ReasonCode};
use fivemark_wire::papers::{AskPapers, Papers};
use fivemark_wire::shows::{AskStandings, Standings};
use fivemark_wire::view::State;

use crate::harness::{Client, TestFeed, data, raw};

async fn papers(official: &mut Client, heat: u32) -> Papers {
    official.say(&ClientMessage::AskPapers(AskPapers { id: 50, heat })).await;
    let answer = |message| if let FeedMessage::Papers(papers) = message { Some(*papers) } else { None };
    let papers = official.hear_until(answer).await;
    assert_eq!((papers.id, papers.heat), (50, heat));
    papers
}

fn verify(journal: &Path, heat: u32, digest: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fivemark-feed"))
        .args(["verify", "--heat", &heat.to_string(), "--digest", digest, "--competition"])
        .arg(data("competition.toml"))
        .arg("--journal")
        .arg(journal)
        .output()
        .unwrap()
}

/// Exit status and words of a verification.
fn verified(journal: &Path, heat: u32, digest: &str) -> (Option<i32>, String) {
    let Output { status, stdout, stderr } = verify(journal, heat, digest);
    (status.code(), format!("{}{}", String::from_utf8_lossy(&stdout), String::from_utf8_lossy(&stderr)))
}

/// Heat 1 worked, ruled on and signed; its digest.
async fn signed(feed: &TestFeed, head: &mut Client) -> String {
    let mut judge = feed.door().judge(1).await;
    head.start_heat(1).await;
    for number in 1..=12 {
        judge.call(1, number, Call::Good).await;
    }
    head.command(1, 1, FloorCommand::CallTime).await;
    head.state(State::Provisional).await;
    head.rule(2, 1, 2, RulingKind::SetCount { done: 6, finish_ms: None }).await;
    head.rule(3, 1, 1, RulingKind::TimePenalty { add_ms: 5_000 }).await;
    head.command(4, 1, FloorCommand::Sign).await;
    let papers = papers(head, 1).await;
    assert_eq!((papers.state, papers.signings.len()), (State::Signed, 1));
    papers.signings[0].digest.clone()
}

#[tokio::test]
async fn a_signed_heat_is_on_paper_with_full_names_rulings_and_who_signed() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let before = papers(&mut head, 1).await;
    assert!(before.signings.is_empty());
    signed(&feed, &mut head).await;
    let papers = papers(&mut head, 1).await;
    assert_eq!((papers.event.as_str(), papers.date.as_str()), ("Harrowgate Winter Throwdown", "2031-02-08"));
    let names: Vec<&str> = papers.lanes.iter().map(|lane| lane.full_name.as_str()).collect();
    assert_eq!(names, ["Ilva Brandt-Osei", "Tomasz Wielgórecki", "Noor van Ashdale", ""]);
    let [one, two, three, four] = papers.lanes.as_slice() else { panic!("{papers:?}") };
    assert_eq!((one.place, two.place, three.place, four.place), (1, 2, 3, 0));
    assert_eq!(one.count.result.as_ref().unwrap().penalty_ms, Some(5_000));
    assert_eq!(one.rulings.len(), 1);
    assert_eq!((two.rulings[0].before.as_str(), two.rulings[0].after.as_str()), ("cap + 12", "cap + 6"));
    assert_eq!(two.rulings[0].reason, "Seen from the side");
    let signing = &papers.signings[0];
    assert_eq!((signing.by.as_str(), signing.reopened.is_none()), ("head judge", true));
    feed.stop().await;
}

#[tokio::test]
async fn a_heat_that_was_not_opened_is_printed_before_it() {
    let feed = TestFeed::start();
    let mut floor = feed.door().join(Role::FloorOperator, None).await;
    let mixed = papers(&mut floor, 2).await;
    assert_eq!((mixed.heat_name.as_str(), mixed.state), ("Heat 2, mixed", State::LanesSet));
    assert_eq!(mixed.divisions, ["Open", "Masters 45+"]);
    let brief = mixed.brief;
    assert_eq!(brief.divisions, ["Open", "Masters 45+"]);
    assert_eq!(
        (brief.parts[0].amounts.as_slice(), brief.parts[1].amounts.as_slice()),
        (&[6, 4][..], &[6, 5][..])
    );
    assert_eq!(brief.parts[0].loads, ["43 kg", "30 kg"]);
    let faults: Vec<(&str, bool)> =
        brief.movements[1].faults.iter().map(|fault| (fault.name.as_str(), fault.partial)).collect();
    assert_eq!(faults, [("Jump not with both feet", true)]);
    let ladder = papers(&mut floor, 7).await.brief;
    assert_eq!((ladder.scheme.as_slice(), ladder.cash_out.len(), ladder.rounds), (&[21, 15, 9][..], 1, 1));
    let ask = |heat| ClientMessage::AskPapers(AskPapers { id: 51, heat });
    floor.say(&ask(6)).await;
    assert_eq!(floor.refusal().await.1.code, ReasonCode::UnknownHeat);
    let mut announcer = feed.door().join(Role::Announcer, None).await;
    announcer.say(&ask(1)).await;
    assert_eq!(announcer.refusal().await.1.code, ReasonCode::WrongRole);
    feed.stop().await;
}

#[tokio::test]
async fn a_sheets_digest_is_that_of_the_signed_record_and_a_restart_has_the_same() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let digest = signed(&feed, &mut head).await;
    let journal = feed.folder.path().join("record.journal");
    let (code, says) = verified(&journal, 1, &digest);
    assert_eq!(code, Some(2), "{says}");
    assert!(says.contains("in use by another feed") && says.contains("verify the copy"), "{says}");
    let folder = feed.stop().await;
    let (code, says) = verified(&journal, 1, &digest);
    assert_eq!(code, Some(0), "{says}");
    assert!(
        says.contains("The sheet is that of the signed record of heat 1: signed by the head judge at 2"),
        "{says}"
    );
    assert!(says.contains("lane 2: 102 Tomasz Wielgórecki: cap + 6"), "{says}");
    // What comes after the signing is not in it, and a feed that starts again works out the same.
    let feed = TestFeed::start_in(folder, |_| {});
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.command(5, 8, FloorCommand::OpenHeat).await;
    assert_eq!(papers(&mut head, 1).await.signings[0].digest, digest);
    let folder = feed.stop().await;
    let journal = folder.path().join("record.journal");
    assert_eq!(verified(&journal, 1, &digest).0, Some(0));
    let (code, says) = verified(&journal, 8, &digest);
    assert_eq!(code, Some(1), "{says}");
    assert!(says.contains("It stands on a sheet of heat 1."), "{says}");
    for (heat, digest, why) in [
        (2, digest.as_str(), "no entry of heat 2"),
        (6, &digest, "the competition has no heat 6"),
        (1, "12ab", "64 hexadecimal digits"),
    ] {
        let (code, says) = verified(&journal, heat, digest);
        assert_eq!(code, Some(2), "{says}");
        assert!(says.contains(why), "{says}");
    }
}

#[tokio::test]
async fn a_heat_that_was_signed_twice_has_both_digests_each_named() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let first = signed(&feed, &mut head).await;
    let reason = "Lane 2 was counted on video".to_owned();
    head.command(5, 1, FloorCommand::Reopen { reason }).await;
    let folder = feed.stop().await;
    let journal = folder.path().join("record.journal");
    let (code, says) = verified(&journal, 1, &first);
    assert_eq!(code, Some(1), "{says}");
    assert!(says.contains("It has not been signed again."), "{says}");
    let feed = TestFeed::start_in(folder, |_| {});
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    head.rule(6, 1, 2, RulingKind::SetCount { done: 7, finish_ms: None }).await;
    head.command(7, 1, FloorCommand::Sign).await;
    let signings = papers(&mut head, 1).await.signings;
    let [earlier, last] = signings.as_slice() else { panic!("{signings:?}") };
    assert_eq!((&earlier.digest, last.reopened.is_none()), (&first, true));
    assert_eq!(earlier.reopened.as_ref().unwrap().reason, "Lane 2 was counted on video");
    let folder = feed.stop().await;
    let journal = folder.path().join("record.journal");
    assert_eq!(verified(&journal, 1, &last.digest).0, Some(0));
    let (code, says) = verified(&journal, 1, &first);
    assert_eq!(code, Some(1), "{says}");
    for part in ["of an earlier signing of heat 1", "because: Lane 2 was counted on video", &last.digest] {
        assert!(says.contains(part), "{part} in {says}");
    }
}

#[tokio::test]
async fn a_changed_byte_in_the_journal_is_noticed() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let digest = signed(&feed, &mut head).await;
    let folder = feed.stop().await;
    let journal = folder.path().join("record.journal");
    let whole = std::fs::read(&journal).unwrap();
    let place = |text: &str| {
        let found = whole.windows(text.len()).position(|window| window == text.as_bytes());
        found.unwrap_or_else(|| panic!("{text} is not in the journal")) + text.len()
    };
    // A call for another number, a ruling of another count, another device: each by one byte of the file itself.
    for (text, byte) in [(r#""number":1"#, b'7'), (r#""done":"#, b'7'), ("LaneJudge-", b'7')] {
        let mut changed = whole.clone();
        assert_ne!(changed[place(text)], byte);
        changed[place(text)] = byte;
        let copy = folder.path().join("changed.journal");
        std::fs::write(&copy, changed).unwrap();
        let (code, says) = verified(&copy, 1, &digest);
        assert!(matches!(code, Some(1 | 2)), "{text}: {says}");
    }
    std::fs::write(folder.path().join("copy.journal"), &whole).unwrap();
    assert_eq!(verified(&folder.path().join("copy.journal"), 1, &digest).0, Some(0));
}

async fn standings(client: &mut Client) -> Vec<Standings> {
    client.say(&ClientMessage::AskStandings(AskStandings { id: 60 })).await;
    let answer = |message| if let FeedMessage::Standings(told) = message { Some(told) } else { None };
    let told = client.hear_until(answer).await;
    assert_eq!((told.id, told.heat), (60, 1));
    told.standings
}

#[tokio::test]
async fn everybody_is_told_standings_by_public_names_as_they_stand_now() {
    let feed = TestFeed::start();
    let mut head = feed.door().join(Role::HeadJudge, None).await;
    let mut spectator = feed.door().join(Role::Spectator, None).await;
    assert_eq!(standings(&mut spectator).await, [], "nothing was done yet");
    signed(&feed, &mut head).await;
    let told = standings(&mut spectator).await;
    let rows: Vec<(u16, &str, bool)> =
        told[0].rows.iter().map(|row| (row.place, row.name.as_str(), row.provisional)).collect();
    let names = ["Ilva Brandt-Osei", "Tomasz Wielgórecki", "N. A."];
    assert_eq!(rows, [(1, names[0], false), (2, names[1], false), (3, names[2], false)]);
    head.command(5, 1, FloorCommand::Reopen { reason: "Lane 2 was counted on video".to_owned() }).await;
    head.rule(6, 1, 3, RulingKind::SetCount { done: 9, finish_ms: None }).await;
    let told = standings(&mut spectator).await;
    let rows: Vec<(u16, &str, bool)> =
        told[0].rows.iter().map(|row| (row.place, row.name.as_str(), row.provisional)).collect();
    assert_eq!(rows, [(1, names[0], true), (2, names[2], true), (3, names[1], true)]);
    feed.stop().await;
}

#[tokio::test]
async fn codes_are_drawn_of_short_texts_alone() {
    let feed = TestFeed::start();
    let post = async |body: &str| {
        let head = format!("POST /code HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n", feed.address);
        let request = format!("{head}Content-Length: {}\r\n\r\n{body}", body.len());
        String::from_utf8(raw(feed.address, request.as_bytes(), |_| false).await).unwrap()
    };
    let drawn = post("http://192.0.2.7:7333/judge#pin=123456").await;
    assert!(drawn.starts_with("HTTP/1.1 200 OK") && drawn.contains("image/svg+xml"), "{drawn}");
    assert!(drawn.contains("<svg xmlns") && !drawn.contains("123456"), "{drawn}");
    for odd in ["", &"x".repeat(250), &"x".repeat(5_000)] {
        let refused = post(odd).await;
        assert!(refused.starts_with("HTTP/1.1 413"), "{refused}");
    }
    feed.stop().await;
}
