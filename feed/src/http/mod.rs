//! The feed's addresses: the WebSocket, health, counters, and the pages for people. Pages of other origins
//! are turned away here; who may join is decided later.

pub mod accept;
pub mod crowd;
pub mod doors;
pub mod trust;

mod address;
mod codes;
mod pages;
mod plain;

use std::sync::Arc;

use axum::Router;
use axum::extract::ws::WebSocketUpgrade;
use axum::extract::{Extension, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, HOST, ORIGIN};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use fivemark_wire::bounds::MAX_OTHER_MESSAGE;
use fivemark_wire::{SOCKET_PATH, SUBPROTOCOL};

use self::accept::Arrived;
use self::trust::Offer;
use crate::client;
use crate::metrics;
use crate::shared::Shared;

/// Buffers of one socket, in bytes: the library's own defaults cost 128 KiB for each of a thousand spectators. What
/// comes in is mostly tallies of a few hundred bytes.
const READ_BUFFER: usize = 1024;
/// What goes out: several deltas at once.
const WRITE_BUFFER: usize = 4 * 1024;

/// All addresses of the feed, with those of an authority that is offered.
pub fn router(shared: Arc<Shared>, offer: Option<&Arc<Offer>>) -> Router {
    Router::new()
        .merge(pages::routes())
        .merge(codes::routes())
        .merge(offer.map(trust::routes).unwrap_or_default())
        .route("/healthz", get(health))
        .route("/metrics", get(counters))
        .route(SOCKET_PATH, get(socket))
        .with_state(shared)
}

async fn socket(
    State(shared): State<Arc<Shared>>,
    Extension(arrived): Extension<Arrived>,
    headers: HeaderMap,
    upgrade: Result<WebSocketUpgrade, axum::extract::ws::rejection::WebSocketUpgradeRejection>,
) -> Response {
    let upgrade = match upgrade {
        Ok(upgrade) => upgrade,
        Err(rejection) => return rejection.into_response(),
    };
    if !same_origin(&headers, arrived.secure) {
        tracing::info!(peer = %arrived.peer.ip(), "a page of another origin was turned away");
        return (StatusCode::FORBIDDEN, "Pages of other origins may not connect to this feed.\n")
            .into_response();
    }
    let upgrade = upgrade.protocols([SUBPROTOCOL]);
    if upgrade.selected_protocol().is_none() {
        let says = format!("Ask for the WebSocket subprotocol {SUBPROTOCOL}; this feed speaks no other.\n");
        return (StatusCode::BAD_REQUEST, says).into_response();
    }
    let Some(guard) = shared.socket() else {
        return (StatusCode::SERVICE_UNAVAILABLE, "Too many clients are connected. Try again later.\n")
            .into_response();
    };
    upgrade
        .read_buffer_size(READ_BUFFER)
        .write_buffer_size(WRITE_BUFFER)
        .max_message_size(MAX_OTHER_MESSAGE)
        .max_frame_size(MAX_OTHER_MESSAGE)
        .on_upgrade(move |socket| async move {
            client::serve(socket, arrived.peer.ip(), shared).await;
            // Until here the connection is one of its address.
            drop((guard, arrived));
        })
}

/// Whether a request comes from no page, or from one of this very address. A page that came in plain HTTP may be
/// anybody's, so it may not speak over TLS; the other way round there is a proxy between that does the TLS.
fn same_origin(headers: &HeaderMap, secure: bool) -> bool {
    let mut origins = headers.get_all(ORIGIN).iter();
    let Some(origin) = origins.next() else { return true };
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    let origin = origin.to_str().ok().and_then(|origin| origin.split_once("://"));
    match (origin, host) {
        (Some((scheme, origin)), Some(host)) => {
            let may = scheme == "https" || (scheme == "http" && !secure);
            may && origins.next().is_none() && origin.eq_ignore_ascii_case(host)
        }
        _ => false,
    }
}

async fn health(State(shared): State<Arc<Shared>>) -> Response {
    let (status, text) = if shared.journal_ok() {
        (StatusCode::OK, "{\"ok\":true,\"journal\":\"ok\"}\n")
    } else {
        (StatusCode::SERVICE_UNAVAILABLE, "{\"ok\":false,\"journal\":\"cannot be written\"}\n")
    };
    (status, [(CONTENT_TYPE, "application/json"), (CACHE_CONTROL, "no-store")], text).into_response()
}

async fn counters(State(shared): State<Arc<Shared>>) -> Response {
    ([(CONTENT_TYPE, metrics::CONTENT_TYPE), (CACHE_CONTROL, "no-store")], shared.metrics.text())
        .into_response()
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    #[test]
    fn only_pages_of_this_address_may_connect() {
        for (origin, host, allowed) in [
            (None, "feed.example:7333", true),
            (Some("http://feed.example:7333"), "feed.example:7333", true),
            (Some("https://Feed.Example"), "feed.example", true),
            (Some("http://feed.example"), "feed.example:7333", false),
            (Some("http://elsewhere.example"), "feed.example:7333", false),
            (Some("http://feed.example:7333.elsewhere.example"), "feed.example:7333", false),
            (Some("null"), "feed.example:7333", false),
            (Some("ftp://feed.example:7333"), "feed.example:7333", false),
            (Some(""), "feed.example:7333", false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert(HOST, HeaderValue::from_static(host));
            if let Some(origin) = origin {
                headers.insert(ORIGIN, HeaderValue::from_static(origin));
            }
            assert_eq!(same_origin(&headers, false), allowed, "{origin:?} at {host}");
            let over_tls = allowed && origin.is_none_or(|origin| origin.starts_with("https://"));
            assert_eq!(same_origin(&headers, true), over_tls, "{origin:?} at {host} over TLS");
        }
    }

    #[test]
    fn a_request_without_a_host_or_with_two_origins_is_no_page_of_ours() {
        let mut headers = HeaderMap::new();
        headers.insert(ORIGIN, HeaderValue::from_static("http://feed.example"));
        assert!(!same_origin(&headers, false));
        headers.insert(HOST, HeaderValue::from_static("feed.example"));
        headers.append(ORIGIN, HeaderValue::from_static("http://feed.example"));
        assert!(!same_origin(&headers, false));
    }
}
