//! What phones need to trust the feed's authority: the page that says how, the authority's certificate (never its
//! key), and where the encrypted address is. Served in plain HTTP too, because no phone trusts it yet.

use std::path::Path;
use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use serde::Serialize;

use super::address::{Place, asked};
use super::pages;
use crate::authority::fingerprint;
use crate::code;
use crate::tls::{Certificate, TlsError, day, read_authority};

/// Where the page is.
pub const PATH: &str = "/trust";

/// An authority that is offered.
#[derive(Debug)]
pub struct Offer {
    pem: String,
    about: About,
    /// Whose addresses it vouches for.
    certificate: Arc<Certificate>,
    port: u16,
}

/// What the page says of it.
#[derive(Clone, Debug, Serialize)]
struct About {
    /// As phones list it.
    name: String,
    /// SHA-256, pairs of hexadecimal digits.
    fingerprint: String,
    /// Its last day.
    until: String,
}

/// The same, with the addresses that are worth a try.
#[derive(Debug, Serialize)]
struct Told {
    #[serde(flatten)]
    about: About,
    addresses: Vec<String>,
}

impl Offer {
    /// Reads an authority's certificate. The feed's encrypted address has `port`.
    ///
    /// # Errors
    /// See [`TlsError`].
    pub fn read(file: &Path, certificate: Arc<Certificate>, port: u16) -> Result<Self, TlsError> {
        let authority = read_authority(file)?;
        let about = About {
            name: authority.name,
            fingerprint: fingerprint(&authority.certificate),
            until: day(authority.until_ms),
        };
        Ok(Self { pem: authority.pem, about, certificate, port })
    }

    /// The authority's fingerprint, as its people compare it.
    #[must_use]
    pub fn fingerprint(&self) -> &str {
        &self.about.fingerprint
    }

    /// Encrypted addresses of the feed, the one that was asked for first.
    fn addresses(&self, asked: Option<&Place>) -> Vec<String> {
        let mut names = self.certificate.leaf().names;
        // It works for this phone; names of others may not.
        names.sort_by_key(|name| asked.is_none_or(|asked| asked.host.trim_matches(['[', ']']) != name));
        names.iter().map(|name| Place::of(name, self.port).url("https", "/")).collect()
    }
}

/// The pages of an offer.
pub(super) fn routes<S: Clone + Send + Sync + 'static>(offer: &Arc<Offer>) -> Router<S> {
    Router::new()
        .merge(pages::page(PATH, "trust/index.html"))
        .route("/trust/about.json", get(about))
        .route("/trust/fivemark-authority.crt", get(authority))
        .route("/trust/this-page.svg", get(this_page))
        .route("/trust/feed.svg", get(feed))
        .with_state(Arc::clone(offer))
}

async fn about(State(offer): State<Arc<Offer>>, headers: HeaderMap) -> Response {
    let addresses = offer.addresses(asked(&headers).as_ref());
    let told = Told { about: offer.about.clone(), addresses };
    match serde_json::to_string(&told) {
        Ok(told) => ([(CONTENT_TYPE, "application/json"), (CACHE_CONTROL, "no-store")], told).into_response(),
        // Plain texts; this would be a fault of ours.
        Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, format!("{error}\n")).into_response(),
    }
}

async fn authority(State(offer): State<Arc<Offer>>) -> Response {
    // By this type, and not as a file to keep, iPhones take it for what it is.
    ([(CONTENT_TYPE, "application/x-x509-ca-cert"), (CACHE_CONTROL, "no-store")], offer.pem.clone())
        .into_response()
}

async fn this_page(headers: HeaderMap) -> Response {
    picture(asked(&headers).map(|place| format!("http://{place}{PATH}")))
}

async fn feed(State(offer): State<Arc<Offer>>, headers: HeaderMap) -> Response {
    picture(offer.addresses(asked(&headers).as_ref()).into_iter().next())
}

/// The code of an address.
fn picture(address: Option<String>) -> Response {
    let Some(svg) = address.and_then(|address| code::svg(&address)) else {
        return (StatusCode::NOT_FOUND, "There is no address to show here.\n").into_response();
    };
    ([(CONTENT_TYPE, "image/svg+xml"), (CACHE_CONTROL, "no-store")], svg).into_response()
}
