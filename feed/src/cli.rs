//! The command line of the feed: what can be said on it.

use std::net::{SocketAddr, ToSocketAddrs};
use std::path::PathBuf;

use anyhow::{Context, bail};
use clap::{Parser, Subcommand, ValueEnum};

use crate::authority::{self, AUTHORITY, Name};
use crate::digest::Link;
use crate::run::{Config, DoorConfig};
use crate::shared::Patience;
use crate::timeline::{MAX_SPEED_MILLI, REAL_SPEED_MILLI};
use crate::tls::PemFiles;

/// Keeps the record of a competition and tells everybody what happens.
#[derive(Debug, Parser)]
#[command(name = "fivemark-feed", version)]
pub struct Args {
    /// What it is asked to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What the feed can be asked to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Run a competition.
    Serve(Serve),
    /// Name every fault of a competition file.
    Check {
        /// The competition file.
        file: PathBuf,
    },
    /// Print the messages that boards were sent during a heat, one to a line, for `fivemark-display replay`.
    Retell {
        /// The competition file.
        #[arg(long, value_name = "FILE")]
        competition: PathBuf,
        /// The journal. No feed may have it open: stop that one, or give a copy of the file and of those beside it.
        #[arg(long, value_name = "FILE")]
        journal: PathBuf,
        /// Number of the heat.
        #[arg(long, value_name = "N")]
        heat: u32,
    },
    /// Hold the digest of a printed result sheet against the journal, and say of what it is. Ends with 0 if it is that of
    /// the signed record as it stands, with 1 if not, and with 2 if that could not be found out.
    Verify {
        /// The competition file.
        #[arg(long, value_name = "FILE")]
        competition: PathBuf,
        /// The journal. No feed may have it open: stop that one, or give a copy of the file and of those beside it.
        #[arg(long, value_name = "FILE")]
        journal: PathBuf,
        /// Number of the heat.
        #[arg(long, value_name = "N")]
        heat: u32,
        /// The digest: 64 hexadecimal digits, with or without the sheet's gaps.
        #[arg(long, value_name = "HEX")]
        digest: Link,
    },
    /// Make a hall's own authority in a folder, and the feed's certificate: TLS without Internet. Called again it keeps
    /// the authority and makes a new certificate.
    Authority {
        /// The folder; made if it is not there.
        folder: PathBuf,
        /// An address by which phones reach the feed, such as feed.local or 192.0.2.7; several times for several.
        #[arg(long, value_name = "NAME", required = true)]
        name: Vec<Name>,
    },
    /// Print the JSON Schema of all messages.
    Schema,
}

/// Options of a running feed.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("secured").args(["authority", "tls_cert"]))]
pub struct Serve {
    /// The competition file.
    #[arg(long, value_name = "FILE")]
    pub competition: PathBuf,
    /// Where the record is kept; made if it is not there.
    #[arg(long, value_name = "FILE")]
    pub journal: PathBuf,
    /// Address and port; port 0 takes a free one.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:7333")]
    pub listen: String,
    /// Speak TLS with the certificate that `fivemark-feed authority FOLDER` made, and offer the authority's own to phones
    /// at /trust.
    #[arg(long, value_name = "FOLDER", conflicts_with = "tls_cert")]
    pub authority: Option<PathBuf>,
    /// Speak TLS with this certificate in PEM form, followed by those between it and its authority. Replaced files are
    /// taken without a restart.
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// The certificate's private key in PEM form, without a passphrase.
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// Address and port for plain HTTP beside the encrypted address, such as 0.0.0.0:80: shows the way there.
    #[arg(long, value_name = "ADDRESS", requires = "secured")]
    pub http: Option<String>,
    /// Most connections of one address; 128 if not told, and without a bound from this machine itself.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub per_address: Option<u32>,
    /// The access keys; made beside the journal if not told.
    #[arg(long, value_name = "FILE")]
    pub access: Option<PathBuf>,
    /// Let spectators in without an access key; on when listening on loopback, otherwise off.
    #[arg(long, value_enum)]
    pub spectators: Option<Switch>,
    /// For rehearsals: run heat time this many times faster.
    #[arg(long, value_name = "TIMES", default_value = "1", value_parser = speed_milli)]
    pub speed: u32,
}

/// On or off.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Switch {
    /// On.
    On,
    /// Off.
    Off,
}

impl Serve {
    /// What a feed is started with.
    ///
    /// # Errors
    /// An address to listen on is none.
    pub fn config(self) -> anyhow::Result<Config> {
        let pair = self.tls_cert.zip(self.tls_key).map(|(certificate, key)| PemFiles { certificate, key });
        let doors = DoorConfig {
            tls: self.authority.as_deref().map(authority::pair).or(pair),
            authority: self.authority.map(|folder| folder.join(AUTHORITY)),
            http: self.http.as_deref().map(address).transpose()?,
            per_address: self.per_address.map(|most| most as usize),
        };
        Ok(Config {
            listen: address(&self.listen)?,
            doors,
            competition: self.competition,
            journal: self.journal,
            access: self.access,
            spectators: self.spectators.map(|switch| matches!(switch, Switch::On)),
            speed_milli: self.speed,
            patience: Patience::default(),
        })
    }
}

/// An address to listen on.
///
/// # Errors
/// It is none.
pub fn address(text: &str) -> anyhow::Result<SocketAddr> {
    let example = "write an address and a port like 127.0.0.1:7333";
    match text.to_socket_addrs() {
        Ok(mut found) => found.next().with_context(|| format!("\"{text}\" names no address; {example}")),
        Err(_) => bail!("\"{text}\" is not an address to listen on; {example}"),
    }
}

/// A factor such as `10` or `2.5`, in thousandths.
fn speed_milli(text: &str) -> Result<u32, String> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let milli = if digits(whole) && digits(rest) && rest.len() <= 3 {
        format!("{whole}{rest:0<3}").parse::<u32>().ok()
    } else {
        None
    };
    match milli {
        Some(milli) if (1..=MAX_SPEED_MILLI).contains(&milli) => Ok(milli),
        _ => Err(format!("give a factor up to {}, like 10 or 2.5", MAX_SPEED_MILLI / REAL_SPEED_MILLI)),
    }
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
    fn a_door_with_tls_needs_all_that_belongs_to_it() {
        let serve = |more: &str| {
            let line = format!("fivemark-feed serve --competition c --journal j {more}");
            Args::try_parse_from(line.split_whitespace())
        };
        for good in [
            "",
            "--authority a",
            "--tls-cert c --tls-key k",
            "--authority a --http 127.0.0.1:80",
            "--per-address 9",
        ] {
            assert!(serve(good).is_ok(), "{good}");
        }
        for bad in [
            "--tls-cert c",
            "--tls-key k",
            "--authority a --tls-cert c --tls-key k",
            "--http 127.0.0.1:80",
            "--per-address 0",
        ] {
            assert!(serve(bad).is_err(), "{bad}");
        }
    }
}
