//! The canvas feed's addresses: the page, its two files, and the WebSocket. Pages of other origins are turned away
//! here; who may join is decided later.

use std::sync::Arc;
use std::sync::mpsc::Sender;
use std::time::Duration;

use axum::Router;
use axum::extract::State;
use axum::extract::ws::WebSocketUpgrade;
use axum::extract::ws::rejection::WebSocketUpgradeRejection;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use tokio::sync::{Semaphore, watch};

use super::access::Access;
use super::audience::Audience;
use super::encoder::Event;
use super::format::{MAX_FROM_PAGE_BYTES, SOCKET_PATH, SUBPROTOCOL};
use super::session;

/// What the page may load: its own two files and its socket, an empty icon that asks for nothing, and nothing from
/// elsewhere. It may not be framed, and its form goes nowhere.
const PAGE_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; \
    img-src data:; form-action 'none'; frame-ancestors 'none'; base-uri 'none'";
/// Buffers of one socket, in bytes: the library's own default costs 128 KiB for each.
const SOCKET_BUFFER_BYTES: usize = 4 * 1024;

/// What requests are served with.
pub(super) struct Server {
    pub access: Access,
    pub events: Sender<Event>,
    pub audience: Arc<Audience>,
    /// One permit for each socket.
    pub sockets: Arc<Semaphore>,
    /// One permit for each page that has joined.
    pub pages: Arc<Semaphore>,
    pub patience: Duration,
    pub stopped: watch::Receiver<bool>,
}

/// All addresses.
pub(super) fn router(server: Server) -> Router {
    let html = || async { file("text/html; charset=utf-8", include_str!("page/page.html")) };
    let css = || async { file("text/css; charset=utf-8", include_str!("page/page.css")) };
    let js = || async { file("text/javascript; charset=utf-8", include_str!("page/page.js")) };
    Router::new()
        .route("/", get(html))
        .route("/page.css", get(css))
        .route("/page.js", get(js))
        .route(SOCKET_PATH, get(socket))
        .with_state(Arc::new(server))
}

fn file(content_type: &'static str, text: &'static str) -> Response {
    let headers = [
        (CONTENT_TYPE, content_type),
        (CONTENT_SECURITY_POLICY, PAGE_POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        // The page of the display that runs now, not of one before it.
        (CACHE_CONTROL, "no-store"),
    ];
    (headers, text).into_response()
}

async fn socket(
    State(server): State<Arc<Server>>,
    headers: HeaderMap,
    upgrade: Result<WebSocketUpgrade, WebSocketUpgradeRejection>,
) -> Response {
    let upgrade = match upgrade {
        Ok(upgrade) => upgrade,
        Err(rejection) => return rejection.into_response(),
    };
    if !server.access.may_connect(&headers) {
        tracing::info!("a page of another origin was turned away");
        return (StatusCode::FORBIDDEN, "Only the display's own page may connect to this canvas.\n")
            .into_response();
    }
    let upgrade = upgrade.protocols([SUBPROTOCOL]);
    if upgrade.selected_protocol().is_none() {
        let says = format!("Ask for the WebSocket subprotocol {SUBPROTOCOL}; this canvas speaks no other.\n");
        return (StatusCode::BAD_REQUEST, says).into_response();
    }
    let Ok(permit) = Arc::clone(&server.sockets).try_acquire_owned() else {
        return (StatusCode::SERVICE_UNAVAILABLE, "Too many pages are connected. Try again later.\n")
            .into_response();
    };
    upgrade
        .read_buffer_size(SOCKET_BUFFER_BYTES)
        .write_buffer_size(SOCKET_BUFFER_BYTES)
        .max_message_size(MAX_FROM_PAGE_BYTES)
        .max_frame_size(MAX_FROM_PAGE_BYTES)
        .on_upgrade(move |socket| async move {
            session::serve(socket, &server).await;
            drop(permit);
        })
}
