//! QR codes that pages ask for, to be printed. The text stands in the body, so that a PIN is in no address and no log;
//! nothing of it is kept.

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::post;

use crate::code;

/// Longest text, in bytes: more does not fit a code that a phone reads from paper.
const MAX_TEXT: usize = 256;

/// The address of codes.
pub(super) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new().route("/code", post(draw)).layer(DefaultBodyLimit::max(MAX_TEXT))
}

async fn draw(text: String) -> Response {
    match code::svg(&text).filter(|_| !text.is_empty()) {
        Some(svg) => ([(CONTENT_TYPE, "image/svg+xml"), (CACHE_CONTROL, "no-store")], svg).into_response(),
        None => (StatusCode::PAYLOAD_TOO_LARGE, "Send a text of 1 to 200 bytes; no code is drawn of more.\n")
            .into_response(),
    }
}
