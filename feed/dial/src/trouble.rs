//! Why a connection did not come about, in words for people: what a certificate lacks and which option helps.

use std::io;

use rustls::CertificateError;
use tokio_tungstenite::tungstenite::Error;
use tokio_tungstenite::tungstenite::http::Response;

/// Longest part of a feed's own words that is passed on, in characters: a line on a screen.
const MAX_WORDS: usize = 160;

/// The end of a sentence such as "the feed cannot be reached: …".
pub(super) fn in_words(error: &Error) -> String {
    match error {
        Error::Io(error) => of_stream(error),
        Error::Http(answer) => http(answer),
        other => other.to_string(),
    }
}

/// The same of a stream's error.
pub(super) fn of_stream(error: &io::Error) -> String {
    tls_error(error).map_or_else(|| error.to_string(), tls)
}

/// The fault of TLS inside an error of a stream.
fn tls_error(error: &io::Error) -> Option<&rustls::Error> {
    error.get_ref()?.downcast_ref()
}

fn tls(error: &rustls::Error) -> String {
    match error {
        rustls::Error::InvalidCertificate(fault) => certificate(fault),
        rustls::Error::InvalidMessage(_) => {
            "it does not speak TLS there; write ws:// in place of wss://".to_owned()
        }
        other => format!("no encrypted connection came about ({other})"),
    }
}

fn certificate(fault: &CertificateError) -> String {
    match fault {
        // The latter is one of another authority of the same name: made on the same day, in another folder.
        CertificateError::UnknownIssuer | CertificateError::BadSignature => {
            "its certificate is by an authority that this machine does not trust; \
             name the certificate of the hall's authority with --trust FILE"
                .to_owned()
        }
        CertificateError::NotValidForName => {
            "its certificate is for another address; name the feed by an address of its certificate"
                .to_owned()
        }
        CertificateError::NotValidForNameContext { expected, presented } => {
            let presented: Vec<&str> = presented.iter().map(|name| plain_name(name)).collect();
            format!(
                "its certificate is for {} and not for {}; name the feed by an address of its certificate",
                if presented.is_empty() { "no address".to_owned() } else { presented.join(", ") },
                expected.to_str()
            )
        }
        CertificateError::Expired | CertificateError::ExpiredContext { .. } => {
            "its certificate has expired by this machine's clock; have a new one made, or set the clock"
                .to_owned()
        }
        CertificateError::NotValidYet | CertificateError::NotValidYetContext { .. } => {
            "its certificate is not good yet by this machine's clock; set the clock".to_owned()
        }
        other => format!("its certificate cannot be trusted ({other})"),
    }
}

/// The library writes names as `DnsName("feed.local")`.
fn plain_name(name: &str) -> &str {
    name.split('"').nth(1).or_else(|| name.strip_prefix("IpAddress(")?.strip_suffix(')')).unwrap_or(name)
}

/// What an answer says that opens no socket.
fn http(answer: &Response<Option<Vec<u8>>>) -> String {
    let words = answer.body().as_deref().map(String::from_utf8_lossy).unwrap_or_default();
    let words: String = words
        .lines()
        .next()
        .unwrap_or_default()
        .chars()
        .filter(|c| !c.is_control())
        .take(MAX_WORDS)
        .collect();
    let status = answer.status();
    if words.is_empty() { format!("it answers {status}") } else { format!("it answers {status}: {words}") }
}
