//! The whole demo: run folder, feed, board, heat, and the end of it. Prints every address and the commentary;
//! leaves the floor to `hall` and the programs to `stage`.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::{Context, bail};
use fivemark_dial::FeedAddress;
use fivemark_wire::SOCKET_PATH;
use tokio::time::{Instant, sleep};

use crate::cli::Args;
use crate::clock::{FloorClock, REAL_SPEED_MILLI};
use crate::competition::competition_toml;
use crate::folder::fresh_folder;
use crate::hall::{HallConfig, HallReport, run_heat};
use crate::head_judge::Pauses;
use crate::health::display_joined;
use crate::keys::{AccessKeys, read_keys};
use crate::official::open_heat;
use crate::session::public_picture;
use crate::stage::Program;
use crate::story::Story;

/// Longest wait for the board's connection before the heat starts without it, real time.
const BOARD_WITHIN: Duration = Duration::from_secs(20);
/// How long to wait for the end of a feed whose connections broke, real time.
const LAST_WORDS: Duration = Duration::from_secs(1);
/// The picture of the result, by the display's naming, and how long it may take, real time.
const LAST_PICTURE: &str = "08-provisional.png";
const LAST_PICTURE_WITHIN: Duration = Duration::from_secs(20);

/// How the demo ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The heat is signed, and that was all that was asked for.
    HeatOver,
    /// Somebody closed the board, before or after the heat was over.
    BoardClosed {
        /// The heat was signed.
        heat_over: bool,
    },
}

/// The programs around the floor.
#[derive(Debug, Default)]
pub struct Stage {
    feed: Option<Program>,
    board: Option<Program>,
    heat_over: bool,
}

/// Where everything is.
struct Place {
    folder: PathBuf,
    competition: PathBuf,
    journal: PathBuf,
    access: PathBuf,
    /// The authority of a run with TLS.
    authority: Option<PathBuf>,
    /// Where pictures go; none if the board is only a window.
    pictures: Option<PathBuf>,
    window: bool,
}

impl Stage {
    /// Whether the heat was signed.
    #[must_use]
    pub fn heat_over(&self) -> bool {
        self.heat_over
    }

    /// Runs the demo to its end. The programs still run when this returns; [`Stage::close`] stops them.
    ///
    /// # Errors
    /// Anything that goes wrong, in words.
    pub async fn run(&mut self, args: &Args) -> anyhow::Result<Ending> {
        let place = set_up(args)?;
        if let Some(authority) = &place.authority {
            let mut made = Program::start("fivemark-feed", &place.folder, |command| {
                command.arg("authority").arg(authority).args(["--name", "127.0.0.1", "--name", "localhost"]);
            })?;
            made.over().await?;
        }
        let mut feed = Program::start("fivemark-feed", &place.folder, |command| {
            command.arg("serve").arg("--competition").arg(&place.competition);
            command.arg("--journal").arg(&place.journal).arg("--access").arg(&place.access);
            command.arg("--listen").arg(format!("127.0.0.1:{}", args.port));
            command.args(["--spectators", "on", "--speed", &factor(args.speed)]);
            if let Some(authority) = &place.authority {
                command.arg("--authority").arg(authority);
            }
        })?;
        let ready = feed.ready(&format!("listening on {}://", place.scheme("http"))).await;
        let feed = self.feed.insert(feed);
        let host = ready?;
        let keys = read_keys(&place.access)?;
        let address = FeedAddress::read(&format!("{}://{host}{SOCKET_PATH}", place.scheme("ws")))?;
        let address = address.trusting(place.trust().as_deref())?;
        let board = self.board.insert(start_board(args, &place, &address, &keys)?);
        let page = if place.window { None } else { Some(board.ready("canvas on ").await?) };
        println!(
            "Fivemark demo: heat {}, seed {}, {} lanes, heat time runs {} times as fast\n",
            args.heat,
            args.seed,
            args.lanes,
            factor(args.speed)
        );
        print_board(page.as_deref(), &keys.display);
        print_pages(&format!("{}://{host}", place.scheme("http")), &keys);
        print_addresses(&place, &host);
        println!("\nCtrl-C stops everything.\n");
        let play = play(args, &place, address, keys, &mut self.heat_over);
        tokio::select! {
            played = play => {
                if played.is_err() {
                    // A feed that died is what broke the connections; say that rather than what came of it.
                    if let Ok(ended) = tokio::time::timeout(LAST_WORDS, feed.over()).await {
                        ended?;
                    }
                }
                played.map(|()| Ending::HeatOver)
            }
            ended = feed.over() => {
                ended?;
                bail!("the feed has stopped by itself; the heat cannot go on")
            }
            ended = board.over() => {
                ended?;
                if !place.window {
                    bail!("the board has stopped by itself");
                }
                Ok(Ending::BoardClosed { heat_over: self.heat_over })
            }
        }
    }

    /// Stops what runs: the board first, so that it does not show a lost feed.
    pub async fn close(self) {
        for program in [self.board, self.feed].into_iter().flatten() {
            program.stop().await;
        }
    }
}

fn set_up(args: &Args) -> anyhow::Result<Place> {
    let folder = fresh_folder()?;
    let there = |name: &str| std::env::var_os(name).is_some_and(|value: OsString| !value.is_empty());
    let window = !args.headless && (there("DISPLAY") || there("WAYLAND_DISPLAY"));
    let pictures = match &args.pictures {
        Some(folder) => Some(folder.clone()),
        None if window => None,
        None => Some(folder.join("pictures")),
    };
    if let Some(pictures) = &pictures {
        std::fs::create_dir_all(pictures)
            .with_context(|| format!("cannot make the folder {} for pictures", pictures.display()))?;
        let last = pictures.join(LAST_PICTURE);
        if last.exists() {
            // Its coming is what says that this heat's pictures are complete.
            std::fs::remove_file(&last)
                .with_context(|| format!("cannot replace the picture {}", last.display()))?;
        }
    }
    let competition = folder.join("competition.toml");
    std::fs::write(&competition, competition_toml(args.seed, args.lanes))
        .with_context(|| format!("cannot write {}", competition.display()))?;
    let (journal, access) = (folder.join("heat.journal"), folder.join("access.toml"));
    let authority = args.tls.then(|| folder.join("authority"));
    Ok(Place { folder, competition, journal, access, authority, pictures, window })
}

impl Place {
    /// A scheme as it is with or without TLS.
    fn scheme(&self, plain: &str) -> String {
        if self.authority.is_some() { format!("{plain}s") } else { plain.to_owned() }
    }

    /// The certificate of the authority that everybody trusts.
    fn trust(&self) -> Option<PathBuf> {
        self.authority.as_ref().map(|folder| folder.join("authority.crt"))
    }
}

/// The feed's pages for people. Behind the # a key stays in the browser.
fn print_pages(feed: &str, keys: &AccessKeys) {
    let page = |name: &str, path: &str, key: &str, what: &str| {
        row(name, &format!("{feed}/{path}#access_key={key}"), what);
    };
    page("announcer", "announcer", &keys.announcer, "who leads, who is in the last five, who comes next");
    page(
        "head judge",
        "head-judge",
        &keys.head_judge,
        "every lane, the floor's commands, rulings, PINs for phones",
    );
    page("floor", "floor", &keys.floor_operator, "what the screens show");
}

fn print_addresses(place: &Place, host: &str) {
    let http = place.scheme("http");
    row(
        "feed",
        &format!("{}://{host}{SOCKET_PATH}", place.scheme("ws")),
        "for boards, judges and the announcer, each with an access key",
    );
    row(
        "spectators",
        &format!("{}://{host}{SOCKET_PATH}", place.scheme("ws")),
        "the same address, joined as spectator without a key",
    );
    row("health", &format!("{http}://{host}/healthz"), "says whether the feed can write its journal");
    row(
        "metrics",
        &format!("{http}://{host}/metrics"),
        "counters of the feed, in the Prometheus text format",
    );
    row("access keys", &place.access.display().to_string(), "who has one may act in its role");
    row("record", &place.folder.display().to_string(), "competition file, journal and logs of this run");
    if place.authority.is_some() {
        row("trust", &format!("http://{host}/trust"), "how a browser comes to trust this run's authority");
    }
    if let Some(pictures) = &place.pictures {
        row("pictures", &pictures.display().to_string(), "the board at set moments of the heat");
    }
}

fn row(name: &str, value: &str, what: &str) {
    println!("  {name:<12}{value}\n              {what}");
}

/// Where the board is to be seen: on the screen, or in a browser.
fn print_board(page: Option<&str>, access_key: &str) {
    match page {
        // Behind the # the key stays in the browser: it is in no request and in no log.
        Some(page) => row(
            "board",
            &format!("{page}#access_key={access_key}"),
            "open this in a browser, or in a stream mixer's browser source",
        ),
        None => row("board", "full screen", "Esc leaves, F toggles full screen"),
    }
}

fn start_board(
    args: &Args,
    place: &Place,
    address: &FeedAddress,
    keys: &AccessKeys,
) -> anyhow::Result<Program> {
    let board = Program::start("fivemark-display", &place.folder, |command| {
        command.args(["board", "--feed", &address.to_string()]).env("FIVEMARK_ACCESS_KEY", &keys.display);
        if let Some(trust) = place.trust() {
            command.arg("--trust").arg(trust);
        }
        if !place.window {
            // Next to the feed's port; where that was any free one, this is too.
            let port = if args.port == 0 { 0 } else { args.port.checked_add(1).unwrap_or(0) };
            command.arg("--canvas").arg(format!("127.0.0.1:{port}"));
        }
        if let Some(pictures) = &place.pictures {
            command.arg("--pictures").arg(pictures);
        }
    })?;
    Ok(board)
}

async fn play(
    args: &Args,
    place: &Place,
    address: FeedAddress,
    keys: AccessKeys,
    heat_over: &mut bool,
) -> anyhow::Result<()> {
    if tokio::time::timeout(BOARD_WITHIN, display_joined(&address)).await.is_err() {
        println!(
            "  the board has not joined within {} s; the heat starts without it",
            BOARD_WITHIN.as_secs()
        );
    }
    open_heat(&address, &keys.head_judge, args.heat).await?;
    let public = public_picture(&address, &keys.display).await?;
    let config = HallConfig {
        address,
        head_judge: keys.head_judge,
        lane_judges: keys.lane_judges,
        seed: args.seed,
        speed_milli: args.speed,
        pauses: pauses(args.speed),
        quality: None,
    };
    let mut story = Story::new(public.entries);
    let mut tell = |message: &_, picture: &_| {
        for line in story.lines(message, picture) {
            println!("{line}");
        }
    };
    let report = run_heat(&config, &mut tell).await?;
    print_report(&story, &report);
    *heat_over = true;
    if let Some(pictures) = &place.pictures {
        last_picture(pictures).await?;
        println!("\nThe pictures are in {}", pictures.display());
    }
    if !args.once {
        println!(
            "\nThe heat is over; the board goes on with its results, the standings and who comes next. Ctrl-C stops everything."
        );
        std::future::pending::<()>().await;
    }
    Ok(())
}

/// Pauses that suit both the heat's time and the people and screens that have to follow it in real time.
fn pauses(speed_milli: u32) -> Pauses {
    let clock = FloorClock::start(speed_milli);
    let at_least = |heat_us: i64, real: Duration| heat_us.max(clock.heat_us(real));
    Pauses {
        lanes_set_us: at_least(5_000_000, Duration::from_secs(2)),
        on_deck_us: at_least(4_000_000, Duration::from_millis(500)),
        missing_us: at_least(60_000_000, Duration::from_secs(5)),
        provisional_us: at_least(8_000_000, Duration::from_secs(3)),
    }
}

fn print_report(story: &Story, report: &HallReport) {
    println!();
    for line in story.result_lines(&report.signed) {
        println!("{line}");
    }
    let sum = |what: fn(&crate::radio::PhoneReport) -> usize| report.phones.iter().map(what).sum::<usize>();
    let (calls, waiting) = (sum(|phone| phone.tapped), sum(|phone| phone.waiting));
    let answered = if waiting == 0 { "all answered".to_owned() } else { format!("{waiting} unanswered") };
    let count = |what: fn(&crate::phone::Counters) -> u32| -> u32 {
        report.phones.iter().map(|phone| what(&phone.counters)).sum()
    };
    println!(
        "\n  {} phones, {calls} calls, {answered}; {} links lost, {} pages loaded again, {} calls sent again",
        report.phones.len(),
        count(|counters| counters.losses),
        count(|counters| counters.reloads),
        count(|counters| counters.again),
    );
}

async fn last_picture(pictures: &Path) -> anyhow::Result<()> {
    let file = pictures.join(LAST_PICTURE);
    let until = Instant::now() + LAST_PICTURE_WITHIN;
    while !file.is_file() {
        if Instant::now() >= until {
            bail!("the board has not written {} within {} s", file.display(), LAST_PICTURE_WITHIN.as_secs());
        }
        sleep(Duration::from_millis(100)).await;
    }
    Ok(())
}

/// A speed in thousandths as people write it.
fn factor(speed_milli: u32) -> String {
    let (whole, rest) = (speed_milli / REAL_SPEED_MILLI, speed_milli % REAL_SPEED_MILLI);
    if rest == 0 { whole.to_string() } else { format!("{whole}.{rest:03}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_speed_is_written_as_it_is_read() {
        assert_eq!(factor(1_000), "1");
        assert_eq!(factor(2_500), "2.500");
        assert_eq!(factor(40_125), "40.125");
    }
}
