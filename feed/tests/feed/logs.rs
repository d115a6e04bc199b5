//! What the feed's log says of those whom it turns away, and what it must not say.

use fivemark_wire::from_client::{ClientMessage, Join, Role};

use crate::harness::{Client, Program, raw};

#[tokio::test]
async fn refusals_are_logged_and_access_keys_never_are() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log");
    let mut command = Program::command(folder.path(), &["--spectators", "off"]);
    // All that anything in the program says, not our own lines alone.
    command.env("RUST_LOG", "trace").stderr(std::fs::File::create(&log).unwrap());
    let feed = Program::spawn_logging(command, folder.path());
    let door = feed.door();
    let guessed = "0123456789abcdef0123456789abcdef";
    let right = door.join_message(Role::HeadJudge, None, "laptop");
    for join in [
        Join { access_key: Some(guessed.to_owned()), ..right.clone() },
        // A right key for another role.
        Join { role: Role::Display, ..right.clone() },
        Join { role: Role::LaneJudge, lane: Some(99), ..right.clone() },
        Join { role: Role::Spectator, ..right.clone() },
    ] {
        let mut client = Client::connect(feed.address).await;
        client.say(&ClientMessage::Join(join)).await;
        client.refusal().await;
    }
    let mut client = Client::connect(feed.address).await;
    client.say_text(&format!("{{\"type\":\"join\",\"access_key\":\"{guessed}\",")).await;
    client.refusal().await;
    let mut head = door.join(Role::HeadJudge, None).await;
    head.say(&ClientMessage::Join(right)).await;
    head.refusal().await;
    // A page that puts the key where it does not belong.
    let request = format!("GET /?access_key={guessed} HTTP/1.1\r\nHost: feed\r\nConnection: close\r\n\r\n");
    raw(feed.address, request.as_bytes(), |_| false).await;
    drop(feed);

    let said = std::fs::read_to_string(&log).unwrap();
    let keys = std::fs::read_to_string(folder.path().join("record.journal.access.toml")).unwrap();
    let keys = keys.split('"').skip(1).step_by(2).chain([guessed]);
    for key in keys {
        assert!(!said.contains(key), "an access key is in the log");
    }
    assert!(said.matches("turned away").count() >= 5, "{said}");
    assert!(said.contains("refused"), "{said}");
}
