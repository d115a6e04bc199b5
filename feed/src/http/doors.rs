//! The ways into a feed, kept open together: the one where everybody comes in, and beside it one of plain HTTP that
//! shows the way to it.

use std::sync::Arc;

use axum::Router;
use tokio::net::TcpListener;

use super::accept::{Door, accept};
use super::address::Place;
use super::crowd::Crowd;
use super::plain;
use super::trust::{self, Offer};
use crate::tls::Certificate;

/// The ways in of a feed.
#[derive(Debug)]
pub struct Doors {
    /// Where everybody comes in.
    pub main: TcpListener,
    /// Its certificate, if it speaks TLS.
    pub certificate: Option<Arc<Certificate>>,
    /// The authority that phones are offered.
    pub offer: Option<Arc<Offer>>,
    /// Where plain HTTP is spoken as well.
    pub beside: Option<TcpListener>,
    /// Counts who comes in.
    pub crowd: Arc<Crowd>,
}

impl Doors {
    /// Addresses for phones, each with what it is for; none without a certificate, which names them.
    #[must_use]
    pub fn invitations(&self) -> Vec<(&'static str, String)> {
        let port = |listener: &TcpListener| listener.local_addr().map(|address| address.port());
        let Some(name) = self.certificate.as_ref().and_then(|kept| kept.leaf().names.into_iter().next())
        else {
            return Vec::new();
        };
        let mut all = Vec::new();
        if self.offer.is_some()
            && let Ok(port) = port(self.beside.as_ref().unwrap_or(&self.main))
        {
            all.push((
                "for phones that don't trust the feed yet",
                Place::of(&name, port).url("http", trust::PATH),
            ));
        }
        if let Ok(port) = port(&self.main) {
            all.push(("for phones that do", Place::of(&name, port).url("https", "/")));
        }
        all
    }
}

/// Serves all ways in until the future is dropped.
pub async fn serve(doors: Doors, router: Router) {
    let Doors { main, certificate, offer, beside, crowd } = doors;
    let port = main.local_addr().ok().map(|address| address.port());
    let secured = certificate.clone().map(|certificate| (certificate, plain::router(None, offer.as_ref())));
    let main = Door { listener: main, router, secured };
    let beside = beside.map(|listener| {
        let router = plain::router(port, offer.as_ref());
        accept(Door { listener, router, secured: None }, Arc::clone(&crowd))
    });
    tokio::join!(
        accept(main, crowd),
        async {
            if let Some(beside) = beside {
                beside.await;
            }
        },
        async {
            if let Some(certificate) = certificate {
                certificate.keep_current().await;
            }
        }
    );
}
