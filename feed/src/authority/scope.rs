//! What an authority may vouch for (name constraints, RFC 5280 section 4.2.1.10): a hall's private addresses and the
//! names that it was made with. With it even a stolen authority cannot pass for a bank on a phone that trusts it.

use std::net::IpAddr;

use rcgen::{CidrSubnet, GeneralSubtree};

use super::name::Name;

/// Networks that nobody has on the Internet: private (RFC 1918, RFC 4193), of one link (RFC 3927, RFC 4291), of one
/// machine. A hall's router may give the feed another of them tomorrow.
const PRIVATE: [&str; 8] = [
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "127.0.0.0/8",
    "fc00::/7",
    "fe80::/10",
    "::1/128",
];
/// Names that nobody has on the Internet: of one link (RFC 6762), of a home (RFC 8375), of one machine (RFC 6761).
const LOCAL: [&str; 3] = ["local", "home.arpa", "localhost"];

/// What a new authority may vouch for.
pub(super) fn of(names: &[Name]) -> Vec<GeneralSubtree> {
    let networks = PRIVATE.iter().filter_map(|network| network.parse().ok()).map(GeneralSubtree::IpAddress);
    let hosts = LOCAL.iter().map(|name| GeneralSubtree::DnsName((*name).to_owned()));
    // What is private anyway may stand there twice.
    let own = names.iter().map(|name| match name {
        Name::Host(name) => GeneralSubtree::DnsName(name.clone()),
        Name::Address(address @ IpAddr::V4(_)) => {
            GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(*address, 32))
        }
        Name::Address(address) => GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(*address, 128)),
    });
    networks.chain(hosts).chain(own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_private_network_is_one() {
        assert_eq!(of(&[]).len(), PRIVATE.len() + LOCAL.len());
    }
}
