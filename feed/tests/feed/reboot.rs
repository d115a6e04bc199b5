//! The machine is restarted in the middle of a heat: feed time is found again from pages or the wall clock, the heat is
//! flagged until the head judge confirms, and the record replays to the same.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use fivemark_feed::journal::{Opened, SqliteJournal};
use fivemark_feed::machine::Machine;
use fivemark_feed::shared::Patience;
use fivemark_wire::from_client::{Call, ClientMessage, Floor, FloorCommand, Join, PageClock, Role};
use fivemark_wire::from_feed::{ReasonCode, Snapshot};
use fivemark_wire::view::State;

use crate::harness::{Client, Door, TestFeed, config};

/// A machine whose boot and clocks the test decides.
#[derive(Debug)]
struct Booted {
    boot_id: &'static str,
    since: Instant,
    boot_us: i64,
    wall_ms: i64,
}

impl Booted {
    fn new(boot_id: &'static str, boot_ms: i64, wall_ms: i64) -> Arc<Self> {
        Arc::new(Self { boot_id, since: Instant::now(), boot_us: boot_ms * 1_000, wall_ms })
    }

    fn passed_us(&self) -> i64 {
        i64::try_from(self.since.elapsed().as_micros()).unwrap()
    }
}

impl Machine for Booted {
    fn boot_id(&self) -> String {
        self.boot_id.to_owned()
    }

    fn boot_us(&self) -> i64 {
        self.boot_us + self.passed_us()
    }

    fn wall_ms(&self) -> i64 {
        self.wall_ms + self.passed_us() / 1_000
    }
}

const WALL_MS: i64 = 1_900_000_000_000;

fn start(machine: Arc<Booted>, folder: tempfile::TempDir, first_clock: Duration) -> TestFeed {
    let mut config = config(folder.path());
    config.patience = Patience { first_clock, more_clocks: Duration::from_secs(5), ..Patience::default() };
    TestFeed::start_on(machine, config, folder)
}

/// A heat with two lanes at work, whose feed is gone. Gives the last picture of it.
async fn interrupted(folder: tempfile::TempDir) -> (tempfile::TempDir, Snapshot) {
    let feed = start(Booted::new("first", 9_000_000, WALL_MS), folder, Duration::ZERO);
    let door = feed.door();
    let mut head = door.join(Role::HeadJudge, None).await;
    head.start_heat(1).await;
    for lane in [1, 2] {
        let mut judge = door.judge(lane).await;
        judge.call(1, 1, Call::Good).await;
        judge.call(1, 2, Call::Good).await;
        judge.close().await;
    }
    let picture = door.join(Role::Display, None).await.snapshot.unwrap();
    (feed.stop().await, picture)
}

fn joining(door: Door<'_>, role: Role, lane: Option<u8>, feed_ms: i64) -> Join {
    let clock = Some(PageClock { now_us: 7_000_000, add_us: feed_ms * 1_000 - 7_000_000, delay_us: 0 });
    Join { clock, ..door.join_message(role, lane, &format!("{role:?}-{}", lane.unwrap_or_default())) }
}

async fn refused(client: &mut Client, id: u64, command: FloorCommand) -> ReasonCode {
    client.say(&ClientMessage::Floor(Floor { id, heat: 1, command })).await;
    client.refusal().await.1.code
}

/// What hangs on the record alone: everything but the moment and who is on the line.
fn record_of(mut picture: Snapshot) -> Snapshot {
    (picture.number, picture.at_ms) = (0, 0);
    picture.lanes.iter_mut().for_each(|lane| lane.judge_on = false);
    picture
}

fn journal(folder: &Path) -> Opened {
    SqliteJournal::open(&folder.join("record.journal")).unwrap().1
}

#[tokio::test]
async fn after_a_reboot_the_pages_give_feed_time_back_and_the_head_judge_confirms_it() {
    let (folder, before) = interrupted(tempfile::tempdir().unwrap()).await;
    // The new boot's wall clock is off by hours; three pages agree within two tenths of a second.
    let feed = start(Booted::new("second", 5_000, WALL_MS - 9_000_000), folder, Duration::from_secs(30));
    let door = feed.door();
    let later_ms = before.at_ms + 40_000;
    let (phone, board, head) = tokio::join!(
        door.join_as(joining(door, Role::LaneJudge, Some(1), later_ms)),
        door.join_as(joining(door, Role::Display, None, later_ms + 200)),
        door.join_as(joining(door, Role::HeadJudge, None, later_ms + 100)),
    );
    let (after, mut head) = (board.snapshot.clone().unwrap(), head);
    assert!((later_ms..later_ms + 60_000).contains(&after.at_ms), "{} after {}", after.at_ms, before.at_ms);
    assert_eq!((after.heat.state, after.heat.clock), (before.heat.state, before.heat.clock));
    assert!(after.heat.clock_in_doubt && !before.heat.clock_in_doubt);
    assert_eq!(after.order, before.order);
    drop((phone, board));

    head.command(1, 1, FloorCommand::CallTime).await;
    // A phone is away: the head judge closes the heat without it.
    head.command(9, 1, FloorCommand::Close).await;
    assert_eq!(refused(&mut head, 2, FloorCommand::Sign).await, ReasonCode::ClockInDoubt);
    let mut operator = door.join(Role::FloorOperator, None).await;
    assert_eq!(refused(&mut operator, 3, FloorCommand::ConfirmClock).await, ReasonCode::WrongRole);
    head.command(4, 1, FloorCommand::ConfirmClock).await;
    head.command(5, 1, FloorCommand::Sign).await;
    let signed = door.join(Role::Display, None).await.snapshot.unwrap();
    assert!(!signed.heat.clock_in_doubt);
    assert_eq!(signed.heat.state, State::Signed);
    let folder = feed.stop().await;

    // Nothing hangs on the clock any more: after another reboot nobody is asked, and nothing is flagged.
    let feed = start(Booted::new("third", 5_000, WALL_MS), folder, Duration::from_secs(30));
    let replayed = feed.door().join(Role::Display, None).await.snapshot.unwrap();
    assert_eq!(record_of(replayed), record_of(signed));
    feed.stop().await;
}

#[tokio::test]
async fn without_pages_the_wall_clock_gives_feed_time_back() {
    let (folder, before) = interrupted(tempfile::tempdir().unwrap()).await;
    let wall_ms = WALL_MS + 60_000;
    let feed = start(Booted::new("second", 5_000, wall_ms), folder, Duration::from_millis(200));
    let door = feed.door();
    // A spectator's word counts for nothing: it has no access key.
    let later_ms = before.at_ms + 400_000_000;
    let after = door.join_as(joining(door, Role::Spectator, None, later_ms)).await.snapshot.unwrap();
    // Rehearsals run ten times as fast as the wall clock; a minute has passed on it.
    let expected = before.at_ms + 500_000..before.at_ms + 900_000;
    assert!(expected.contains(&after.at_ms), "{} after {}", after.at_ms, before.at_ms);
    assert!(after.heat.clock_in_doubt);
    assert_eq!(after.lanes[0].done, 2);
    let folder = feed.stop().await;

    // The doubt is in the record: a start in the same boot takes nothing away from it.
    let feed = start(Booted::new("second", 60_000, wall_ms), folder, Duration::from_secs(30));
    let replayed = feed.door().join(Role::Spectator, None).await.snapshot.unwrap();
    assert_eq!(record_of(replayed), record_of(after));
    feed.stop().await;
}

#[tokio::test]
async fn a_feed_that_is_stopped_while_it_asks_for_the_time_has_written_nothing() {
    let (folder, _) = interrupted(tempfile::tempdir().unwrap()).await;
    let kept = journal(folder.path());
    let feed = start(Booted::new("second", 5_000, WALL_MS), folder, Duration::from_secs(30));
    let folder = feed.stop().await;
    assert_eq!(journal(folder.path()), kept);
}

#[tokio::test]
async fn a_wall_clock_that_went_back_never_takes_feed_time_back() {
    let (folder, before) = interrupted(tempfile::tempdir().unwrap()).await;
    let feed = start(Booted::new("second", 5_000, 0), folder, Duration::from_millis(100));
    let door = feed.door();
    let mut judge = door.judge(1).await;
    let snapshot = judge.snapshot.clone().unwrap();
    assert!(snapshot.at_ms >= before.lanes[0].last_good_ms.unwrap());
    judge.call(1, 1, Call::Good).await;
    let lane = door.join(Role::Display, None).await.snapshot.unwrap().lanes.remove(0);
    assert!(lane.last_good_ms.unwrap() >= before.lanes[0].last_good_ms.unwrap());
    feed.stop().await;
}
