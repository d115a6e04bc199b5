//! A whole heat on a real feed, twenty times as fast, with bad links: what a display is shown at the end is what was
//! true on the floor, within the judges' own delay.

use std::collections::BTreeSet;
use std::net::SocketAddr;
use std::path::Path;
use std::time::Duration;

use fivemark_demo::competition::competition_toml;
use fivemark_demo::floor::Lane;
use fivemark_demo::hall::{HallConfig, HallReport, run_heat};
use fivemark_demo::head_judge::Pauses;
use fivemark_demo::judge::{LATEST_TAP_MS, Tap};
use fivemark_demo::keys::{AccessKeys, read_keys};
use fivemark_demo::link::LinkQuality;
use fivemark_demo::session::{Follower, public_picture};
use fivemark_demo::story::Story;
use fivemark_dial::FeedAddress;
use fivemark_feed::run::{Config, DoorConfig, Feed};
use fivemark_feed::shared::Patience;
use fivemark_wire::from_client::{Join, Role};
use fivemark_wire::from_feed::Snapshot;
use fivemark_wire::view::{Course, State, Status};

const SPEED_MILLI: u32 = 20_000;
/// By how much a phone's idea of the feed's clock may be off, milliseconds of heat time: half of a bad link's delay,
/// and a busy machine's delays: 40 ms of them count twenty times here.
const CLOCK_MS: i64 = 800;
/// For a heat of some twenty seconds, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(300);

/// The demo's first heat with less to do.
fn short_competition(seed: u64) -> String {
    let whole = competition_toml(seed, 10);
    let short = whole.replace("15-12-9", "9-6").replace("amount = 500", "amount = 250");
    let short = short.replace("cap = \"9:30\"", "cap = \"4:50\"");
    assert_ne!(short, whole);
    short
}

fn start_feed(folder: &Path, seed: u64) -> (Feed, AccessKeys) {
    let competition = folder.join("competition.toml");
    std::fs::write(&competition, short_competition(seed)).expect("the folder can be written");
    let access = folder.join("access.toml");
    let config = Config {
        competition,
        journal: folder.join("heat.journal"),
        access: Some(access.clone()),
        listen: SocketAddr::from(([127, 0, 0, 1], 0)),
        spectators: None,
        speed_milli: SPEED_MILLI,
        patience: Patience::default(),
        doors: DoorConfig::default(),
    };
    let feed = Feed::start(config, |journal| Box::new(journal)).expect("the feed starts");
    let keys = read_keys(&access).expect("the feed has made keys");
    (feed, keys)
}

/// Follows the heat as a display does until it is signed.
async fn display(address: FeedAddress, key: String) -> Snapshot {
    let join = Join { access_key: Some(key), ..Join::new(Role::Display, "board") };
    let mut follower = Follower::join(&address, join).await.expect("a display is let in");
    loop {
        follower.next().await.expect("the feed goes on");
        if let Some(snapshot) = follower.snapshot.as_ref().filter(|now| now.heat.state == State::Signed) {
            return snapshot.clone();
        }
    }
}

async fn whole_heat(seed: u64) -> (HallReport, Snapshot, Vec<String>) {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let (feed, keys) = start_feed(folder.path(), seed);
    let address = FeedAddress::read(&feed.address().to_string()).expect("an address");
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let serving = tokio::spawn(feed.run_until(async move {
        let _ = stopped.await;
    }));
    let public = public_picture(&address, &keys.display).await.expect("a display is let in");
    let board = tokio::spawn(display(address.clone(), keys.display));
    let config = HallConfig {
        address,
        head_judge: keys.head_judge,
        lane_judges: keys.lane_judges,
        seed,
        speed_milli: SPEED_MILLI,
        pauses: Pauses {
            lanes_set_us: 4_000_000,
            on_deck_us: 1_000_000,
            missing_us: 120_000_000,
            provisional_us: 4_000_000,
        },
        quality: Some(LinkQuality::bad()),
    };
    let (mut story, mut told) = (Story::new(public.entries), Vec::new());
    let mut tell = |message: &_, picture: &_| told.extend(story.lines(message, picture));
    let heat = tokio::time::timeout(PATIENCE, run_heat(&config, &mut tell));
    let report = heat.await.expect("the heat comes to its end").expect("the heat is run");
    let shown = board.await.expect("the display sees the end");
    told.extend(story.result_lines(&shown));
    stop.send(()).expect("the feed still runs");
    serving.await.expect("the feed's task ends well").expect("the feed ends well");
    (report, shown, told)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_display_shows_what_was_true_on_the_floor() {
    let (report, shown, told) = whole_heat(7).await;
    println!("{}", told.join("\n"));
    check_phones(&report);
    for lane in &report.floor.lanes {
        check_lane(lane, &shown);
    }
    check_order(&report, &shown);
    check_story(&shown, &told);
}

/// Every call was answered once, in the order of its page.
fn check_phones(report: &HallReport) {
    assert_eq!(report.phones.len(), report.floor.lanes.len());
    for (phone, lane) in report.phones.iter().zip(&report.floor.lanes) {
        assert_eq!((phone.lane, phone.tapped, phone.waiting), (lane.lane, lane.taps.len(), 0));
        assert_eq!(phone.answers.len(), phone.tapped);
        let calls: BTreeSet<(u64, u32)> =
            phone.answers.iter().map(|answer| (answer.epoch, answer.number)).collect();
        assert_eq!(calls.len(), phone.tapped);
        for pair in phone.answers.windows(2).filter(|pair| pair[0].epoch == pair[1].epoch) {
            assert!(pair[0].number < pair[1].number, "lane {}", phone.lane);
        }
    }
    // The links were as bad as they should be, or this shows nothing.
    let losses: u32 = report.phones.iter().map(|phone| phone.counters.losses).sum();
    let again: u32 = report.phones.iter().map(|phone| phone.counters.again).sum();
    assert!(losses > 2 && again > 0, "{losses} links lost, {again} calls sent again");
}

fn check_lane(lane: &Lane, shown: &Snapshot) {
    let course = course_of(shown, lane.lane);
    let count = shown.lanes.iter().find(|count| count.lane == lane.lane).expect("every lane is shown");
    let cap_ms = shown.heat.cap_ms;
    let sure = lane.tapped_by(course, cap_ms - CLOCK_MS);
    let possible = lane.tapped_by(course, cap_ms + CLOCK_MS);
    assert!((sure..=possible).contains(&count.done), "lane {}: {} of {possible}", lane.lane, count.done);
    let official_ms = count.result.as_ref().and_then(|result| result.official_ms);
    match lane.finished_ms(course).filter(|_| sure == course.units) {
        Some(ms) => {
            let official_ms = official_ms.expect("a finished lane has a time");
            let times = ms - CLOCK_MS..=ms + LATEST_TAP_MS + CLOCK_MS;
            assert!(times.contains(&official_ms), "lane {}: {official_ms} for {ms}", lane.lane);
            // Nearer still to the judge's own tap; the official time is rounded up to the tenth.
            let off = official_ms - last_tap(lane).at_ms;
            assert!((-CLOCK_MS..=CLOCK_MS + 100).contains(&off), "lane {}: off by {off} ms", lane.lane);
            assert_eq!(count.status, Status::Finished);
        }
        None if possible < course.units => assert_eq!(count.status, Status::Capped),
        None => {}
    }
}

/// Whoever was clearly called in before another stands before them.
fn check_order(report: &HallReport, shown: &Snapshot) {
    let place = |lane: u8| shown.order.iter().find(|row| row.lane == lane).map(|row| row.place);
    let finished = |lane: &&Lane| lane.finished_ms(course_of(shown, lane.lane)).is_some();
    let called: Vec<(i64, u8)> =
        report.floor.lanes.iter().filter(finished).map(|lane| (last_tap(lane).at_ms, lane.lane)).collect();
    assert!(called.len() > 3 && called.len() < report.floor.lanes.len(), "{called:?}");
    for (ms, lane) in &called {
        for (other_ms, other) in &called {
            if other_ms - ms > 2 * CLOCK_MS {
                assert!(place(*lane) < place(*other), "lane {lane} at {ms}, lane {other} at {other_ms}");
            }
        }
    }
}

fn check_story(shown: &Snapshot, told: &[String]) {
    let finishes = told.iter().filter(|line| line.contains("finishes in")).count();
    assert_eq!(finishes, usize::from(shown.heat.finished));
    for says in
        ["on deck", "countdown", "  go", "time cap", "provisional", "signed", "leads with", "last five"]
    {
        assert!(told.iter().any(|line| line.contains(says)), "nobody said {says}");
    }
    // One of the ten is private: only initials are told, in the story and in its table.
    assert!(told.iter().any(|line| line.contains("R. L. (lane")));
    assert!(!told.iter().any(|line| line.contains("Rhiannon")));
}

fn course_of(shown: &Snapshot, lane: u8) -> &Course {
    let entry = shown.entries.iter().find(|entry| entry.lane == lane).expect("every lane is shown");
    &shown.courses[usize::from(entry.course)]
}

fn last_tap(lane: &Lane) -> &Tap {
    lane.taps.last().expect("every judge taps")
}
