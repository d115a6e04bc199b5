//! The command line.

mod values;

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use fivemark_scene::Background;
use fivemark_wire::shows::OverlayShows;

use crate::fit_table::read_length_mm;
use crate::plan::{Alpha, Fps, Ground, PixelOrder};

pub(crate) use values::{MAX_AHEAD_MS, MAX_DELAY_MS, MAX_SIDE_PX, parse_language, parse_size};
use values::{MAX_SOUND_LATENCY_MS, parse_clock_ms, parse_parts, parse_speed_milli};

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
    /// Address of the feed, such as ws://127.0.0.1:4600/feed, or wss:// for one with TLS; http://, https:// and a bare
    /// HOST:PORT will do.
    #[arg(long, value_name = "URL")]
    pub feed: String,
    /// For a feed with TLS, wss://…: trusts the authorities in this file in PEM form, such as the hall's authority.crt,
    /// and nobody else; if left out, those that this system trusts.
    #[arg(long, value_name = "FILE")]
    pub trust: Option<PathBuf>,
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
    /// Frames a second, from 1 to 240, such as 50, 59.94 or 60000/1001: at most so many, of raw frames exactly.
    #[arg(long, value_name = "RATE", default_value_t = Fps::USUAL, value_parser = Fps::read)]
    pub fps: Fps,
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
    /// Address of the feed, such as ws://127.0.0.1:4600/feed, or wss:// for one with TLS; http://, https:// and a bare
    /// HOST:PORT will do.
    #[arg(long, value_name = "URL", required_unless_present = "monitors")]
    pub feed: Option<String>,
    /// For a feed with TLS, wss://…: trusts the authorities in this file in PEM form, such as the hall's authority.crt,
    /// and nobody else; if left out, those that this system trusts.
    #[arg(long, value_name = "FILE")]
    pub trust: Option<PathBuf>,
    /// What all pictures have in common.
    #[command(flatten)]
    pub common: CommonArgs,
    /// The file with the pictures and the outputs.
    #[arg(value_name = "FILE", required_unless_present = "monitors")]
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_consistent() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }
}
