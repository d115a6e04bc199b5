//! The feed's pages for people: plain files of `feed/pages`, embedded in the program, each with headers that let a page
//! load its own files and talk to this feed alone.

use axum::Router;
use axum::extract::Path;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, StatusCode};
use axum::response::{AppendHeaders, IntoResponse, Response};
use axum::routing::get;
use rust_embed::RustEmbed;

use super::address::asked;

/// All files of the pages, tests and package files left out.
#[derive(RustEmbed)]
#[folder = "pages"]
#[include = "*.html"]
#[include = "*.js"]
#[include = "*.css"]
#[include = "*.ftl"]
#[include = "*.svg"]
#[include = "*.webmanifest"]
#[exclude = "tests/*"]
struct Files;

/// The pages by address, each with its file.
const PAGES: &[(&str, &str)] = &[
    ("/", "index.html"),
    ("/announcer", "announcer/index.html"),
    ("/floor", "floor/index.html"),
    ("/head-judge", "head/index.html"),
    ("/judge", "judge/index.html"),
    ("/print", "print/index.html"),
    ("/probe", "probe/index.html"),
    ("/results", "results/index.html"),
];

/// Service workers, each with the page that it may keep beyond its own folder.
const WORKERS: &[(&str, &str)] = &[("judge/worker.js", "/judge")];
/// Names that page, by the word of the Service Workers specification; the library has no constant for it.
const SERVICE_WORKER_ALLOWED: HeaderName = HeaderName::from_static("service-worker-allowed");
/// What a page may ask its device for beside what it shows; the pages of other folders may ask for nothing.
const PERMISSIONS: &[(&str, &str)] = &[
    ("announcer/", "screen-wake-lock"),
    ("head/", "screen-wake-lock"),
    ("judge/", "screen-wake-lock"),
    ("probe/", "camera"),
];
/// What a page might ask for; browsers know more, and ask the device's owner each time.
const DEVICES: [&str; 4] = ["camera", "geolocation", "microphone", "screen-wake-lock"];
/// The header that says so; the library has no name for it.
const PERMISSIONS_POLICY: HeaderName = HeaderName::from_static("permissions-policy");

/// The pages and the files that they load.
pub(super) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    PAGES.iter().fold(parts(), |router, &(address, name)| router.merge(page(address, name)))
}

/// The files that pages load.
pub(super) fn parts<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new().route("/pages/{*path}", get(part))
}

/// One page at its address.
pub(super) fn page<S: Clone + Send + Sync + 'static>(address: &str, name: &'static str) -> Router<S> {
    Router::new().route(address, get(move |headers: HeaderMap| async move { file(name, &headers) }))
}

async fn part(Path(path): Path<String>, headers: HeaderMap) -> Response {
    file(&path, &headers)
}

fn file(name: &str, headers: &HeaderMap) -> Response {
    let Some(file) = Files::get(name) else {
        return (
            StatusCode::NOT_FOUND,
            "There is no such page here. The feed's first page says what there is.\n",
        )
            .into_response();
    };
    let tag = format!("\"{}\"", hex(&file.metadata.sha256_hash()));
    let sent = [
        (CONTENT_TYPE, content_type(name).to_owned()),
        (CONTENT_SECURITY_POLICY, policy(headers)),
        (PERMISSIONS_POLICY, permissions(name)),
        (X_CONTENT_TYPE_OPTIONS, "nosniff".to_owned()),
        (REFERRER_POLICY, "no-referrer".to_owned()),
        // Kept by the browser, and asked about each time: a page is always the running feed's own.
        (CACHE_CONTROL, "no-cache".to_owned()),
        (ETAG, tag.clone()),
    ];
    if headers.get(IF_NONE_MATCH).is_some_and(|known| known.as_bytes() == tag.as_bytes()) {
        return (StatusCode::NOT_MODIFIED, sent).into_response();
    }
    let worker = WORKERS.iter().find(|(file, _)| *file == name);
    let kept = worker.map(|&(_, page)| AppendHeaders([(SERVICE_WORKER_ALLOWED, page)]));
    (sent, kept, file.data.into_owned()).into_response()
}

/// What a page may load: the feed's own files, and sockets to the feed itself. Browsers of some years ago don't take
/// `'self'` for sockets, so the address is named as the page was asked for; a request may say anything there, so only
/// what looks like an address is taken.
fn policy(headers: &HeaderMap) -> String {
    let sockets = asked(headers).map(|host| format!(" ws://{host} wss://{host}")).unwrap_or_default();
    format!(
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'{sockets}; \
         worker-src 'self'; manifest-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'"
    )
}

/// What a page may ask its device for.
fn permissions(name: &str) -> String {
    let may =
        |device: &str| PERMISSIONS.iter().any(|(folder, what)| name.starts_with(folder) && *what == device);
    DEVICES.map(|device| format!("{device}=({})", if may(device) { "self" } else { "" })).join(", ")
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit_once('.').map(|(_, ending)| ending) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("webmanifest") => "application/manifest+json",
        _ => "text/plain; charset=utf-8",
    }
}

fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;

    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing into a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;
    use axum::http::header::HOST;

    use super::*;

    #[test]
    fn every_page_has_its_file() {
        for (address, name) in PAGES {
            assert!(Files::get(name).is_some(), "{address} is {name}");
        }
    }

    #[test]
    fn a_worker_may_keep_its_own_page_and_nothing_else() {
        for (name, page) in WORKERS {
            let sent = file(name, &HeaderMap::new());
            assert_eq!(sent.headers().get(SERVICE_WORKER_ALLOWED).unwrap(), page);
            assert!(PAGES.iter().any(|(address, _)| address == page), "{page} is a page");
        }
        assert!(!file("common/link.js", &HeaderMap::new()).headers().contains_key(SERVICE_WORKER_ALLOWED));
    }

    #[test]
    fn a_policy_names_the_address_and_nothing_that_a_request_slips_in() {
        let mut headers = HeaderMap::new();
        headers.insert(HOST, HeaderValue::from_static("feed.example:7333"));
        assert!(
            policy(&headers).contains("connect-src 'self' ws://feed.example:7333 wss://feed.example:7333;")
        );
        headers.insert(HOST, HeaderValue::from_static("[::1]:7333"));
        assert!(policy(&headers).contains(" ws://[::1]:7333 "));
        headers.insert(HOST, HeaderValue::from_static("feed.example; script-src *"));
        assert!(policy(&headers).contains("connect-src 'self';"));
    }

    #[test]
    fn only_the_camera_page_may_ask_for_the_camera() {
        let none = "camera=(), geolocation=(), microphone=(), screen-wake-lock=()";
        assert_eq!(permissions("index.html"), none);
        assert_eq!(permissions("probe/index.html"), none.replace("camera=()", "camera=(self)"));
        for page in ["announcer/index.html", "head/index.html", "judge/index.html"] {
            assert_eq!(permissions(page), none.replace("lock=()", "lock=(self)"));
        }
    }

    #[test]
    fn no_page_loads_anything_from_elsewhere() {
        for name in Files::iter().filter(|name| !name.starts_with("lib/")) {
            let file = Files::get(&name).unwrap();
            let text = String::from_utf8(file.data.into_owned()).unwrap();
            for elsewhere in ["http://", "https://", "src=\"//", "href=\"//"] {
                let found =
                    text.lines().find(|line| line.contains(elsewhere) && !line.contains("www.w3.org"));
                assert_eq!(found, None, "{name}");
            }
        }
    }
}
