//! An authority of the tests, with certificates as good or as bad as a test wants them, and clients that trust it.

use std::net::SocketAddr;
use std::path::Path;
use std::sync::Arc;

use fivemark_feed::tls::PemFiles;
use rcgen::{BasicConstraints, CertificateParams, IsCa, Issuer, KeyPair, date_time_ymd};
use rustls::crypto::ring;
use rustls::pki_types::ServerName;
use rustls::{ClientConfig, RootCertStore, SupportedProtocolVersion};
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;
use tokio_rustls::client::TlsStream;

/// Signs certificates.
pub struct Authority {
    issuer: Issuer<'static, KeyPair>,
    certificate: rcgen::Certificate,
}

/// A certificate and its key as PEM.
pub struct Pair {
    pub certificate: String,
    pub key: String,
}

impl Pair {
    /// Writes the pair into a folder.
    pub fn write(&self, folder: &Path) -> PemFiles {
        let files = PemFiles { certificate: folder.join("feed.crt"), key: folder.join("feed.key") };
        std::fs::write(&files.certificate, &self.certificate).unwrap();
        std::fs::write(&files.key, &self.key).unwrap();
        files
    }
}

impl Authority {
    pub fn new() -> Self {
        let mut params = CertificateParams::default();
        params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
        let key = KeyPair::generate().unwrap();
        let certificate = params.self_signed(&key).unwrap();
        Self { issuer: Issuer::new(params, key), certificate }
    }

    /// Its own certificate.
    pub fn pem(&self) -> String {
        self.certificate.pem()
    }

    /// A certificate for this machine, good from one year's first day to another's.
    pub fn pair(&self, from: i32, until: i32) -> Pair {
        let names = ["localhost".to_owned(), "127.0.0.1".to_owned()];
        let mut params = CertificateParams::new(names).unwrap();
        (params.not_before, params.not_after) = (date_time_ymd(from, 1, 1), date_time_ymd(until, 1, 1));
        let key = KeyPair::generate().unwrap();
        let certificate = params.signed_by(&key, &self.issuer).unwrap();
        Pair { certificate: certificate.pem(), key: key.serialize_pem() }
    }

    /// A certificate that is good for as long as anybody runs these tests.
    pub fn good_pair(&self) -> Pair {
        self.pair(2020, 2120)
    }

    /// Connects as a client that trusts this authority alone.
    pub async fn connect(&self, address: SocketAddr) -> std::io::Result<TlsStream<TcpStream>> {
        self.connect_by(address, rustls::DEFAULT_VERSIONS, &[b"h2", b"http/1.1"]).await
    }

    /// The same by some versions of TLS, and with the protocols that a browser offers.
    pub async fn connect_by(
        &self,
        address: SocketAddr,
        versions: &[&'static SupportedProtocolVersion],
        protocols: &[&[u8]],
    ) -> std::io::Result<TlsStream<TcpStream>> {
        let mut roots = RootCertStore::empty();
        roots.add(self.certificate.der().clone()).unwrap();
        let mut client = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(versions)
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        client.alpn_protocols = protocols.iter().map(|protocol| protocol.to_vec()).collect();
        let stream = TcpStream::connect(address).await?;
        let name = ServerName::try_from("localhost").unwrap();
        TlsConnector::from(Arc::new(client)).connect(name, stream).await
    }
}
