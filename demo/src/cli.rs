//! The command line of the demo.

use std::path::PathBuf;

use clap::Parser;

use crate::clock::REAL_SPEED_MILLI;
use crate::competition::{HEATS, MAX_LANES};

/// Fastest demo: beyond it the phones' real delays would be long in heat time, and late calls would be refused.
const MAX_SPEED: u32 = 100;

/// What the demo is asked to do.
#[derive(Clone, Debug, PartialEq, Eq, Parser)]
#[command(
    name = "fivemark-demo",
    version,
    about = "Runs a whole invented heat: a feed, a board, and a floor of judges whose phones have wrong clocks, \
             slow links and dropouts."
)]
pub struct Args {
    /// Open no window even where there is a display: a page for a browser, and pictures.
    #[arg(long)]
    pub headless: bool,
    /// End with exit status 0 when the heat is over, that is signed.
    #[arg(long)]
    pub once: bool,
    /// Another floor; the same number gives the same calls.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Lanes of the heat.
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u8).range(1..=i64::from(MAX_LANES)))]
    pub lanes: u8,
    /// Which heat: 1 and 2 for time, 3 of two divisions, 4 as many rounds as possible.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=i64::from(HEATS)))]
    pub heat: u32,
    /// Run the whole heat, clock included, X times faster.
    #[arg(long, value_name = "X", default_value = "1", value_parser = speed_milli)]
    pub speed: u32,
    /// The feed's port on this machine; 0 takes a free one. The board's page has the next one.
    #[arg(long, value_name = "N", default_value_t = 7333)]
    pub port: u16,
    /// Speak TLS everywhere, with a certificate by an authority that is made for this run.
    #[arg(long)]
    pub tls: bool,
    /// Write pictures of the board at set moments of the heat into this folder.
    #[arg(long, value_name = "DIR")]
    pub pictures: Option<PathBuf>,
    /// Print the competition file for this seed and these lanes, and end.
    #[arg(long)]
    pub print_competition: bool,
}

/// A factor such as `10` or `2.5`, in thousandths.
fn speed_milli(text: &str) -> Result<u32, String> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let fits = digits(whole) && digits(rest) && rest.len() <= 3;
    let milli = fits.then(|| format!("{whole}{rest:0<3}").parse::<u32>().ok()).flatten();
    milli
        .filter(|milli| (100..=MAX_SPEED * REAL_SPEED_MILLI).contains(milli))
        .ok_or_else(|| format!("give a factor from 0.1 to {MAX_SPEED}, like 10 or 2.5"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_consistent() {
        use clap::CommandFactory;
        Args::command().debug_assert();
    }

    #[test]
    fn speeds_are_read_and_bounded() {
        for (text, milli) in
            [("1", 1_000), ("2.5", 2_500), ("0.1", 100), ("100", 100_000), ("40.125", 40_125)]
        {
            assert_eq!(speed_milli(text), Ok(milli), "{text}");
        }
        for text in ["", "0", "0.05", "101", "-1", "x", "1.2345", ".5", "1e3", "99999999999"] {
            assert!(speed_milli(text).is_err(), "{text}");
        }
    }
}
