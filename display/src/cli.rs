//! The command line.

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use fivemark_scene::{Background, UnknownLanguage, Words};
use fivemark_wire::shows::{Duel, OverlayShows};

use crate::fit_table::read_length_mm;
use crate::plan::{Alpha, Ground, PixelOrder};

/// Shows a heat on a screen.
#[derive(Debug, Parser)]
#[command(name = "fivemark-display", version, about = "Shows a heat that a feed tells of.")]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Follows a feed and shows its board: full screen, in pages, as raw frames or as picture files.
    Board(OneArgs),
    /// Follows a feed and shows the stream's overlay: in a window, in pages, as raw frames.
    Overlay(OneArgs),
    /// Shows the card by which a wall is placed and checked; its clock is the feed's.
    TestCard(OneArgs),
    /// Follows a feed and shows all pictures of a screens file on all their outputs.
    Screens(ScreensArgs),
    /// Shows a heat again, as `fivemark-feed retell` told it: to a window, in pages, as raw frames or as picture files.
    Replay(ReplayArgs),
    /// Draws one picture from a saved snapshot, without a feed.
    Still(StillArgs),
    /// Says from how far away the texts of a board can be read on a screen of a known height.
    Fit(FitArgs),
    /// Looks at themes.
    #[command(subcommand)]
    Theme(ThemeCommand),
}

/// What can be done with a theme.
#[derive(Clone, Debug, Subcommand)]
pub enum ThemeCommand {
    /// Checks a theme: names every fault at its line, or prints what every pair of its colours measures.
    Check {
        /// A bundled theme, or a folder with a theme in it.
        #[arg(value_name = "NAME|FOLDER")]
        theme: String,
    },
}

/// Options of the table of texts.
#[derive(Clone, Debug, Args)]
pub struct FitArgs {
    /// Size of the board in pixels.
    #[arg(long, value_name = "WxH", default_value = "1920x1080", value_parser = parse_size)]
    pub size: [u32; 2],
    /// Lanes on the floor.
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u8).range(1..=MAX_LANES))]
    pub lanes: u8,
    /// Height of the screen, with its unit: 3.0m, 320cm.
    #[arg(long, value_name = "LENGTH", value_parser = read_length_mm)]
    pub height: f64,
    /// How far the farthest seat is from the screen, with its unit: 40m.
    #[arg(long, value_name = "LENGTH", value_parser = read_length_mm)]
    pub seat: f64,
    /// A bundled theme, or a folder with a theme in it.
    #[arg(long, value_name = "NAME|FOLDER", default_value = "dark")]
    pub theme: String,
}

/// Most lanes of a board.
const MAX_LANES: i64 = 40;

/// The feed, and what goes with it.
#[derive(Clone, Debug, Args)]
pub struct FollowArgs {
    /// Address of the feed, such as ws://127.0.0.1:4600/feed; http:// and a bare HOST:PORT will do.
    #[arg(long, value_name = "URL")]
    pub feed: String,
    /// What all pictures have in common.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Options that all pictures have in common.
#[derive(Clone, Debug, Args)]
pub struct CommonArgs {
    /// The display's access key.
    #[arg(long, value_name = "KEY", env = "FIVEMARK_ACCESS_KEY", hide_env_values = true)]
    pub access_key: Option<String>,
    /// Plays the countdown's beeps, the start, the last minute and the cap's horn.
    #[arg(long)]
    pub sound: bool,
    /// How much later sound is heard than its device says, milliseconds: everything begins that much earlier.
    #[arg(long, value_name = "N", default_value_t = 0, requires = "sound", value_parser = clap::value_parser!(u32).range(0..=MAX_SOUND_LATENCY_MS))]
    pub sound_latency_ms: u32,
    /// Lets a test take the graphics device or a window's surface away, by words on the standard input.
    #[arg(long, hide = true)]
    pub practise_faults: bool,
    /// Ends when the heat is provisional (and its pictures are written).
    #[arg(long)]
    pub until_provisional: bool,
}

/// Options of one picture of a feed on one output.
#[derive(Clone, Debug, Args)]
pub struct OneArgs {
    /// The feed and what goes with it.
    #[command(flatten)]
    pub follow: FollowArgs,
    /// The picture and the output.
    #[command(flatten)]
    pub show: ShowArgs,
}

/// Options of a heat that is shown again.
#[derive(Clone, Debug, Args)]
pub struct ReplayArgs {
    /// What `fivemark-feed retell` wrote.
    #[arg(value_name = "FILE")]
    pub film: PathBuf,
    /// Begins where the heat's clock shows this, such as 5:00 or 5:00.5; from its countdown if left out.
    #[arg(long, value_name = "M:SS", value_parser = parse_clock_ms)]
    pub at: Option<i64>,
    /// Ends where the heat's clock shows this; some seconds after the last thing that happened if left out.
    #[arg(long, value_name = "M:SS", value_parser = parse_clock_ms)]
    pub until: Option<i64>,
    /// Shows this run of the heat; the last one that began if left out.
    #[arg(long, value_name = "N")]
    pub run: Option<u32>,
    /// Follows this lane alone.
    #[arg(long, value_name = "N")]
    pub lane: Option<u8>,
    /// So many times as fast, from 0.1 to 100.
    #[arg(long, value_name = "X", default_value = "1", value_parser = parse_speed_milli)]
    pub speed: u32,
    /// What all pictures have in common.
    #[command(flatten)]
    pub common: CommonArgs,
    /// The picture and the output.
    #[command(flatten)]
    pub show: ShowArgs,
}

/// Options of one picture on one output.
#[derive(Clone, Debug, Args)]
pub struct ShowArgs {
    /// A bundled theme, or a folder with a theme in it.
    #[arg(long, value_name = "NAME|FOLDER", default_value = "dark")]
    pub theme: String,
    /// Language of the words on it: en, es or de.
    #[arg(long, value_name = "CODE", default_value = "en", value_parser = parse_language)]
    pub language: &'static str,
    /// Size in pixels. A window takes the screen's size unless it is told; without a window 1920x1080.
    #[arg(long, value_name = "WxH", value_parser = parse_size)]
    pub size: Option<[u32; 2]>,
    /// Draws without a window.
    #[arg(long)]
    pub headless: bool,
    /// Writes pictures of set moments of the heat into this folder.
    #[arg(long, value_name = "FOLDER")]
    pub pictures: Option<PathBuf>,
    /// Frames a second: at most so many, of raw frames exactly.
    #[arg(long, value_name = "N", default_value_t = 60, value_parser = clap::value_parser!(u32).range(1..=240))]
    pub fps: u32,
    /// Nothing moves but the clock.
    #[arg(long)]
    pub reduced_motion: bool,
    /// Opens a window with a frame instead of the full screen.
    #[arg(long)]
    pub windowed: bool,
    /// For a wall that shows its picture late: draws the clock and all motion this many milliseconds ahead.
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=MAX_AHEAD_MS))]
    pub ahead_ms: u32,
    /// For a stream that runs late: shows everything, the clock included, as it was this many milliseconds ago.
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=MAX_DELAY_MS))]
    pub delay_ms: u32,
    /// What it stands on: the theme's ground (theme), nothing, with the alpha in windows, pages, frames and files
    /// (clear), or a colour for a mixer to key out, such as '#00ff00'. An overlay has no ground of its own.
    #[arg(long, value_name = "GROUND", default_value = "theme", value_parser = Ground::read)]
    pub background: Ground,
    /// Serves it to browsers on this address, such as 127.0.0.1:7334 (port 0 takes a free one), and draws without a
    /// window. A page joins with this display's access key; without one it is served on this machine only.
    #[arg(long, value_name = "HOST:PORT", conflicts_with = "windowed")]
    pub canvas: Option<SocketAddr>,
    /// Sends raw frames at a steady rate to the standard output (-) or to a named pipe, which is made if it is not
    /// there, and draws without a window.
    #[arg(long, value_name = "-|PIPE", conflicts_with = "windowed")]
    pub frames: Option<String>,
    /// Order of the bytes of raw frames.
    #[arg(long, value_name = "ORDER", requires = "frames", value_enum, default_value_t = PixelOrder::Rgba)]
    pub pixels: PixelOrder,
    /// Colours of raw frames: beside their alpha, or multiplied with it.
    #[arg(long, value_name = "ALPHA", requires = "frames", value_enum, default_value_t = Alpha::Straight)]
    pub alpha: Alpha,
}

/// Options of a screens file.
#[derive(Clone, Debug, Args)]
pub struct ScreensArgs {
    /// The feed and what goes with it.
    #[command(flatten)]
    pub follow: Option<FollowArgs>,
    /// The file with the pictures and the outputs.
    #[arg(value_name = "FILE", required_unless_present = "monitors", requires = "feed")]
    pub file: Option<PathBuf>,
    /// Only the output of this name; may be given several times.
    #[arg(long, value_name = "NAME")]
    pub only: Vec<String>,
    /// Lists the monitors by number and name, and shows nothing.
    #[arg(long, conflicts_with_all = ["file", "feed"])]
    pub monitors: bool,
}

/// Options of a still.
#[derive(Clone, Debug, Args)]
pub struct StillArgs {
    /// A file with a snapshot as the feed sends it, and any deltas after it.
    #[arg(long, value_name = "FILE")]
    pub snapshot: PathBuf,
    /// Feed time to draw at, milliseconds; the snapshot's own if left out.
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub at_ms: Option<i64>,
    /// A bundled theme, or a folder with a theme in it.
    #[arg(long, value_name = "NAME|FOLDER", default_value = "dark")]
    pub theme: String,
    /// Language of the words on it: en, es or de.
    #[arg(long, value_name = "CODE", default_value = "en", value_parser = parse_language)]
    pub language: &'static str,
    /// What is drawn.
    #[arg(long, value_enum, default_value_t = StillScreen::Board)]
    pub screen: StillScreen,
    /// The overlay's parts: any of ribbon, rail, corner, card and duel=LANE:LANE, with commas between them; those that
    /// the snapshot shows if left out.
    #[arg(long, value_name = "PARTS", value_parser = parse_parts)]
    pub show: Option<OverlayShows>,
    /// Size in pixels.
    #[arg(long, value_name = "WxH", default_value = "1920x1080", value_parser = parse_size)]
    pub size: [u32; 2],
    /// What the board stands on: the theme's ground, or nothing, with the alpha in the picture.
    #[arg(long, value_name = "GROUND", value_enum, default_value_t = StillGround::Theme)]
    pub background: StillGround,
    /// Where the picture goes.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// What a still shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum StillScreen {
    /// The board.
    Board,
    /// The stream's overlay, over nothing.
    Overlay,
}

/// What a still stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum StillGround {
    /// The theme's own background.
    Theme,
    /// Nothing: transparent.
    Clear,
}

impl From<StillGround> for Background {
    fn from(ground: StillGround) -> Self {
        match ground {
            StillGround::Theme => Self::Theme,
            StillGround::Clear => Self::Clear,
        }
    }
}

/// Furthest ahead, milliseconds: walls with their scalers and processors are a few tenths of a second late; a clock
/// that is further ahead would show times that a hold then takes back.
pub(crate) const MAX_AHEAD_MS: i64 = 1_000;
/// Longest delay, milliseconds: more than any chain of cameras, mixers and encoders before the board is mixed in.
pub(crate) const MAX_DELAY_MS: i64 = 60_000;

/// Longest latency of a sound output, milliseconds: wireless ones are some tenths of a second late. The countdown's
/// first beep is known well before.
const MAX_SOUND_LATENCY_MS: i64 = 2_000;

/// Largest side of a target, in pixels: the largest single output that walls are driven with.
pub(crate) const MAX_SIDE_PX: u32 = 16_384;
/// Smallest side, in pixels: less can't carry a figure.
const MIN_SIDE_PX: u32 = 16;

/// A reading of the heat's clock, `5:00` or `12:34.5`, in milliseconds.
fn parse_clock_ms(text: &str) -> Result<i64, String> {
    let wrong = || format!("`{text}` is no reading of a clock; write it like 5:00 or 12:34.5");
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let (minutes, rest) = text.split_once(':').ok_or_else(wrong)?;
    let (seconds, fraction) = rest.split_once('.').unwrap_or((rest, "0"));
    if !digits(minutes, 4) || !digits(seconds, 2) || !digits(fraction, 3) {
        return Err(wrong());
    }
    let number = |part: &str| part.parse::<i64>().map_err(|_| wrong());
    let (minutes, seconds, fraction) =
        (number(minutes)?, number(seconds)?, number(&format!("{fraction:0<3}"))?);
    if seconds > 59 { Err(wrong()) } else { Ok((minutes * 60 + seconds) * 1_000 + fraction) }
}

/// A factor such as `4` or `0.5`, in thousandths.
fn parse_speed_milli(text: &str) -> Result<u32, String> {
    let wrong = || format!("`{text}` is no speed; give a factor from 0.1 to 100, like 4 or 0.5");
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| (1..=3).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(fraction) {
        return Err(wrong());
    }
    let milli: u32 = format!("{whole}{fraction:0<3}").parse().map_err(|_| wrong())?;
    if (100..=100_000).contains(&milli) { Ok(milli) } else { Err(wrong()) }
}

pub(crate) fn parse_size(text: &str) -> Result<[u32; 2], String> {
    let wrong = || format!("`{text}` is not a size; write it like 1920x1080");
    let (width, height) = text.split_once(['x', 'X']).ok_or_else(wrong)?;
    let size: [u32; 2] = [width.parse().map_err(|_| wrong())?, height.parse().map_err(|_| wrong())?];
    if size.iter().all(|side| (MIN_SIDE_PX..=MAX_SIDE_PX).contains(side)) {
        return Ok(size);
    }
    Err(format!("each side has to be from {MIN_SIDE_PX} to {MAX_SIDE_PX} pixels"))
}

pub(crate) fn parse_language(text: &str) -> Result<&'static str, UnknownLanguage> {
    Ok(Words::of(text)?.code())
}

fn parse_parts(text: &str) -> Result<OverlayShows, String> {
    let mut parts = OverlayShows::default();
    for word in text.split(',').map(str::trim) {
        match word.split_once('=') {
            None if word == "ribbon" => parts.ribbon = true,
            None if word == "rail" => parts.rail = true,
            None if word == "corner" => parts.corner = true,
            None if word == "card" => parts.card = true,
            Some(("duel", lanes)) => parts.duel = Some(parse_duel(lanes)?),
            _ => {
                return Err(format!(
                    "`{word}` is no part of the overlay; write ribbon, rail, corner, card or duel=4:7"
                ));
            }
        }
    }
    Ok(parts)
}

fn parse_duel(lanes: &str) -> Result<Duel, String> {
    let duel =
        |(left, right): (&str, &str)| Some(Duel { left: left.parse().ok()?, right: right.parse().ok()? });
    let two = lanes.split_once(':').and_then(duel);
    two.filter(|duel| duel.left != duel.right)
        .ok_or_else(|| format!("`{lanes}` are not two lanes; write them like 4:7"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_the_overlay_are_read() {
        let duel = Some(Duel { left: 4, right: 7 });
        let parts = OverlayShows { ribbon: true, corner: true, duel, ..OverlayShows::default() };
        assert_eq!(parse_parts("ribbon, corner,duel=4:7"), Ok(parts));
        for wrong in ["", "ribon", "duel", "duel=4", "duel=4:4", "duel=4:300", "ribbon;rail"] {
            assert!(parse_parts(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn sizes_are_read_and_bounded() {
        assert_eq!(parse_size("1920x1080"), Ok([1920, 1080]));
        assert_eq!(parse_size("640X160"), Ok([640, 160]));
        for wrong in ["", "1920", "x", "1920x", "-1x5", "1920x1080x2", "15x100", "100x16385", "99999999999x1"]
        {
            assert!(parse_size(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn clocks_and_speeds_are_read_and_bounded() {
        assert_eq!(parse_clock_ms("5:00"), Ok(300_000));
        assert_eq!(parse_clock_ms("12:34.5"), Ok(754_500));
        assert_eq!(parse_clock_ms("0:07.25"), Ok(7_250));
        for wrong in ["", "5", "5:", ":30", "5:60", "5:1.2345", "-1:00", "5:00:00", "99999:00"] {
            assert!(parse_clock_ms(wrong).is_err(), "{wrong}");
        }
        assert_eq!(parse_speed_milli("4"), Ok(4_000));
        assert_eq!(parse_speed_milli("0.5"), Ok(500));
        assert_eq!(parse_speed_milli("100"), Ok(100_000));
        for wrong in ["", "0", "0.05", "100.001", "-1", "1e3", "1.2345", "9999"] {
            assert!(parse_speed_milli(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_command_line_is_consistent() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }
}
