//! What those are served who ask in plain HTTP where the feed speaks TLS: the authority that they may have to trust
//! first, and the way to the encrypted address. Nothing that needs an access key is here.

use std::sync::Arc;

use axum::Router;
use axum::extract::Request;
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, LOCATION, UPGRADE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use super::address::{Place, asked};
use super::pages;
use super::trust::{self, Offer};

/// The authority's page if one is offered, and everything else leads to the encrypted address. `port` is where that
/// is; none if it is where the request came in, which a router between may call by another number.
pub(super) fn router(port: Option<u16>, offer: Option<&Arc<Offer>>) -> Router {
    let ways = Router::new().fallback(move |request: Request| async move { elsewhere(&request, port) });
    let Some(offer) = offer else { return ways };
    // Whoever types the address alone does not know the authority yet.
    let first = get(|| async { there(trust::PATH.to_owned()) });
    ways.route("/", first).merge(pages::parts()).merge(trust::routes(offer))
}

fn elsewhere(request: &Request, port: Option<u16>) -> Response {
    let headers = request.headers();
    let place = asked(headers).map(|asked| match port {
        Some(port) => Place { port: Some(port), ..asked },
        None => asked,
    });
    let Some(place) = place else {
        return (StatusCode::BAD_REQUEST, "This feed speaks https. Ask with https:// and its address.\n")
            .into_response();
    };
    let path = request.uri().path_and_query().map_or("/", |path| path.as_str());
    if headers.contains_key(UPGRADE) {
        let says = format!("This feed speaks TLS. Connect to {}\n", place.url("wss", path));
        return (StatusCode::BAD_REQUEST, says).into_response();
    }
    there(place.url("https", path))
}

/// Leads to an address, and not for good: a browser would remember it, and the feed may be without TLS at the next
/// event.
fn there(address: String) -> Response {
    let headers = [(LOCATION, address), (CACHE_CONTROL, "no-store".to_owned())];
    (StatusCode::TEMPORARY_REDIRECT, headers, "This feed speaks https.\n").into_response()
}

#[cfg(test)]
mod tests {
    use axum::body::Body;
    use axum::http::header::HOST;

    use super::*;

    fn answer(host: &str, path: &str, port: Option<u16>) -> (u16, String) {
        let request = Request::builder().uri(path).header(HOST, host).body(Body::empty()).unwrap();
        let answer = elsewhere(&request, port);
        let there = answer.headers().get(LOCATION).map(|there| there.to_str().unwrap().to_owned());
        (answer.status().as_u16(), there.unwrap_or_default())
    }

    #[test]
    fn a_page_is_asked_for_again_over_tls() {
        for (host, port, there) in [
            ("feed.local:7333", None, "https://feed.local:7333/judge?lang=de"),
            ("feed.local", Some(7333), "https://feed.local:7333/judge?lang=de"),
            ("192.0.2.7:80", Some(443), "https://192.0.2.7/judge?lang=de"),
            ("[2001:db8::7]:7333", None, "https://[2001:db8::7]:7333/judge?lang=de"),
        ] {
            assert_eq!(answer(host, "/judge?lang=de", port), (307, there.to_owned()), "{host}");
        }
        for host in ["", "feed.local:7333@elsewhere.example", "feed.local/", "feed local", "feed.local:port"]
        {
            assert_eq!(answer(host, "/", None), (400, String::new()), "{host}");
        }
    }
}
