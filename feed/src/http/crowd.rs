//! How many connections one address may have, so that one phone cannot take every place. Which address a client has
//! is the network's word: everybody behind one router counts as one.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Most connections of one address unless it is told: a page has a handful while it loads and one after that, so this
/// is every phone and screen of a large floor behind one router, and a sixteenth of what the feed takes.
pub const FROM_ONE: usize = 128;

/// Counts connections by address.
#[derive(Debug)]
pub struct Crowd {
    most: usize,
    /// Whether the bound holds for the feed's own machine too. Whoever is on it can stop the feed anyway, and a
    /// proxy or a rehearsal with a full hall comes from there.
    own_too: bool,
    here: Mutex<HashMap<IpAddr, Here>>,
}

#[derive(Debug, Default)]
struct Here {
    connections: usize,
    /// Whether it was told of this address, since it last was gone, that it has too many.
    told: bool,
}

impl Crowd {
    /// At most `most` for each address, the own machine's included; without a number the usual ones, but for the own
    /// machine.
    #[must_use]
    pub fn new(most: Option<usize>) -> Arc<Self> {
        let crowd = Self {
            most: most.unwrap_or(FROM_ONE),
            own_too: most.is_some(),
            here: Mutex::new(HashMap::new()),
        };
        Arc::new(crowd)
    }

    /// Counts a connection in; none when its address has too many, which is logged once.
    #[must_use]
    pub fn enter(self: &Arc<Self>, from: IpAddr) -> Option<Guest> {
        let from = who(from);
        if from.is_loopback() && !self.own_too {
            return Some(Guest { from, crowd: None });
        }
        let mut all = self.all();
        let here = all.entry(from).or_default();
        if here.connections >= self.most {
            if !here.told {
                tracing::warn!(
                    address = %from,
                    most = self.most,
                    "an address has too many connections; more are refused. Is it a router with a hall of phones \
                     behind it? Then start the feed with a larger --per-address"
                );
            }
            here.told = true;
            return None;
        }
        here.connections += 1;
        Some(Guest { from, crowd: Some(Arc::clone(self)) })
    }

    fn all(&self) -> MutexGuard<'_, HashMap<IpAddr, Here>> {
        self.here.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Who an address belongs to: of IPv6 the network, because a device has 2^64 addresses of its own in it.
fn who(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(address) if !address.is_loopback() => {
            let [a, b, c, d, ..] = address.segments();
            IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
        }
        address => address,
    }
}

/// A connection that is counted, until it is dropped.
#[derive(Debug)]
pub struct Guest {
    from: IpAddr,
    crowd: Option<Arc<Crowd>>,
}

impl Drop for Guest {
    fn drop(&mut self) {
        let Some(crowd) = &self.crowd else { return };
        let mut all = crowd.all();
        if let Some(here) = all.get_mut(&self.from) {
            here.connections = here.connections.saturating_sub(1);
            if here.connections == 0 {
                all.remove(&self.from);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn address(text: &str) -> IpAddr {
        text.parse().unwrap()
    }

    #[test]
    fn an_address_has_so_many_and_others_are_not_kept_out_by_it() {
        let crowd = Crowd::new(Some(2));
        let phone = address("192.0.2.7");
        let first = crowd.enter(phone).unwrap();
        let _second = crowd.enter(address("::ffff:192.0.2.7")).unwrap();
        assert!(crowd.enter(phone).is_none());
        assert!(crowd.enter(address("192.0.2.8")).is_some());
        drop(first);
        assert!(crowd.enter(phone).is_some());
    }

    #[test]
    fn a_network_of_ipv6_counts_as_one_and_nobody_is_remembered() {
        let crowd = Crowd::new(Some(1));
        let guest = crowd.enter(address("2001:db8:1:2::1")).unwrap();
        assert!(crowd.enter(address("2001:db8:1:2:ffff::2")).is_none());
        assert!(crowd.enter(address("2001:db8:1:3::1")).is_some());
        drop(guest);
        assert!(crowd.all().is_empty());
    }

    #[test]
    fn the_own_machine_is_bounded_only_when_it_is_asked_for() {
        let free = Crowd::new(None);
        let guests: Vec<_> = (0..2 * FROM_ONE).map(|_| free.enter(address("127.0.0.1"))).collect();
        assert!(guests.iter().all(Option::is_some));
        let bounded = Crowd::new(Some(1));
        let _guest = bounded.enter(address("::1")).unwrap();
        assert!(bounded.enter(address("::1")).is_none());
    }
}
