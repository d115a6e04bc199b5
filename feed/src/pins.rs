//! PINs that let a judge's phone in on one lane of one heat, and the access keys that such a phone comes back with. Both
//! are worked out from the head judge's access key and never kept, so that a restart gives the same ones. Also holds
//! back who guesses. Who is let in is decided in `access`.

use std::collections::{BTreeMap, BTreeSet};
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use fivemark_wire::bounds::PIN_DIGITS;
use fivemark_wire::from_feed::{Reason, ReasonCode};
use fivemark_wire::phones::LanePin;
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

use crate::access::reason;
use crate::pace::Pace;

/// How many PINs there are.
const PINS: u64 = 10_u64.pow(PIN_DIGITS as u32);
/// Times that the PINs of a heat are worked out until all differ: of 80 PINs two are alike in 1 heat of 300.
const MAX_ATTEMPTS: u32 = 64;
/// Bytes of a phone's access key: 128 bits.
const KEY_BYTES: usize = 16;

/// Wrong PINs at once from one address: a judge with cold fingers, or several behind one router.
const ADDRESS_BURST: f64 = 10.0;
/// And 30 an hour after that.
const ADDRESS_PER_SECOND: f64 = 30.0 / 3_600.0;
/// Wrong PINs at once from all addresses together.
const ALL_BURST: f64 = 30.0;
/// And 60 an hour after that. Who guesses from any number of addresses has 90 guesses in the first hour and 60 in each
/// one after it. Of a million PINs as many are good as the heat has lanes (a guess names the role): at 10 lanes one is
/// hit with a chance of 0.09 % in the first hour, at 40 lanes 0.36 %; from one address, 0.04 % and 0.16 %.
const ALL_PER_SECOND: f64 = 60.0 / 3_600.0;

/// Works out PINs and phones' access keys.
#[derive(Clone)]
pub struct PinMaker(Hmac<Sha256>);

impl std::fmt::Debug for PinMaker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("PinMaker")
    }
}

impl PinMaker {
    /// From the head judge's access key. None for a key that cannot be used, which no key is.
    #[must_use]
    pub fn new(head_judge: &str) -> Option<Self> {
        Hmac::new_from_slice(head_judge.as_bytes()).ok().map(Self)
    }

    /// The PINs of a heat: for each lane one for its judge and one for a shadow judge, all different.
    #[must_use]
    pub fn pins(&self, heat: u32, lanes: &[u8]) -> Vec<LanePin> {
        let mut pins = Vec::new();
        for attempt in 0..MAX_ATTEMPTS {
            let each = lanes.iter().flat_map(|lane| [(*lane, false), (*lane, true)]);
            pins = each.map(|(lane, shadow)| self.pin(heat, lane, shadow, attempt)).collect();
            let different: BTreeSet<&str> = pins.iter().map(|pin| pin.pin.as_str()).collect();
            if different.len() == pins.len() {
                break;
            }
        }
        pins
    }

    fn pin(&self, heat: u32, lane: u8, shadow: bool, attempt: u32) -> LanePin {
        let made = self.made(b"pin", heat, lane, shadow, &attempt.to_be_bytes());
        let number = made.iter().take(8).fold(0_u64, |number, byte| (number << 8) | u64::from(*byte));
        LanePin { lane, pin: format!("{:0width$}", number % PINS, width = PIN_DIGITS), shadow }
    }

    /// The access key of a phone that was let in by a PIN: good on this lane of this heat alone.
    #[must_use]
    pub fn phone_key(&self, heat: u32, lane: u8, shadow: bool, device: &str) -> String {
        let made = self.made(b"phone", heat, lane, shadow, device.as_bytes());
        made.iter().take(KEY_BYTES).map(|byte| format!("{byte:02x}")).collect()
    }

    fn made(&self, what: &[u8], heat: u32, lane: u8, shadow: bool, more: &[u8]) -> [u8; 32] {
        let mut mac = self.0.clone();
        mac.update(what);
        // Of fixed length, so that no two inputs read alike.
        mac.update(&heat.to_be_bytes());
        mac.update(&[0, lane, u8::from(shadow)]);
        mac.update(more);
        mac.finalize().into_bytes().into()
    }
}

/// Holds back who guesses PINs: so many wrong ones from an address, and from all together.
#[derive(Debug)]
pub struct PinDoor(Mutex<Guesses>);

#[derive(Debug)]
struct Guesses {
    all: Pace,
    /// Of those that guessed wrong lately; the pace of all bounds how many these can be.
    by_address: BTreeMap<IpAddr, Pace>,
}

impl PinDoor {
    /// Nobody has guessed yet.
    #[must_use]
    pub fn new(now: Instant) -> Self {
        let all = Pace::new(ALL_PER_SECOND, ALL_BURST, now);
        Self(Mutex::new(Guesses { all, by_address: BTreeMap::new() }))
    }

    /// Lets an address try a PIN; `fits` says what it opens.
    ///
    /// # Errors
    /// When the PIN is wrong, or too many were.
    pub fn knock<T>(
        &self,
        address: IpAddr,
        now: Instant,
        fits: impl FnOnce() -> Option<T>,
    ) -> Result<T, Reason> {
        // A panic elsewhere leaves the buckets as they are.
        let mut guesses = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let Guesses { all, by_address } = &mut *guesses;
        by_address.retain(|_, pace| !pace.is_full(now));
        let fresh = || Pace::new(ADDRESS_PER_SECOND, ADDRESS_BURST, now);
        let own = by_address.entry(site(address)).or_insert_with(fresh);
        if !own.take(now) {
            return Err(paused(own.wait(now)));
        }
        if !all.take(now) {
            own.give_back();
            return Err(paused(all.wait(now)));
        }
        let opened = fits();
        if opened.is_some() {
            own.give_back();
            all.give_back();
        }
        opened.ok_or_else(|| {
            reason(
                ReasonCode::WrongPin,
                "No lane of the heat on the floor has this PIN. Look again, or ask the head judge for it.",
            )
        })
    }
}

impl Default for PinDoor {
    fn default() -> Self {
        Self::new(Instant::now())
    }
}

/// Whose address it is: of IPv6 the first half, which one network has whole.
fn site(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(address) => IpAddr::V6(((address.to_bits() >> 64) << 64).into()),
        canonical => canonical,
    }
}

fn paused(wait: Duration) -> Reason {
    let seconds = wait.as_secs() + 1;
    reason(
        ReasonCode::PinsPaused,
        format!("Too many wrong PINs were typed. Wait {seconds} s, or scan the lane's code."),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn maker() -> PinMaker {
        PinMaker::new("0123456789abcdef0123456789abcdef").unwrap()
    }

    #[test]
    fn pins_are_six_digits_all_different_and_the_same_again() {
        let lanes: Vec<u8> = (1..=40).collect();
        // Among so many heats, some had two alike at first.
        for heat in 1..=400 {
            let pins = maker().pins(heat, &lanes);
            assert_eq!(pins.len(), 80);
            let different: BTreeSet<&str> = pins.iter().map(|pin| pin.pin.as_str()).collect();
            assert_eq!(different.len(), 80, "heat {heat}");
            assert!(pins.iter().all(|pin| pin.pin.len() == 6 && pin.pin.bytes().all(|b| b.is_ascii_digit())));
        }
        assert_eq!(maker().pins(3, &lanes), maker().pins(3, &lanes));
        assert_ne!(maker().pins(3, &lanes), maker().pins(4, &lanes));
        assert_ne!(
            PinMaker::new("another key of the head judge").unwrap().pins(3, &[1]),
            maker().pins(3, &[1])
        );
    }

    #[test]
    fn a_phones_key_is_its_own() {
        let key = maker().phone_key(3, 2, false, "phone");
        assert_eq!(key.len(), 32);
        assert_eq!(key, maker().phone_key(3, 2, false, "phone"));
        for other in [
            maker().phone_key(4, 2, false, "phone"),
            maker().phone_key(3, 1, false, "phone"),
            maker().phone_key(3, 2, true, "phone"),
            maker().phone_key(3, 2, false, "phones"),
        ] {
            assert_ne!(key, other);
        }
    }

    fn guess(door: &PinDoor, address: &str, now: Instant, right: bool) -> Result<(), ReasonCode> {
        door.knock(address.parse().unwrap(), now, || right.then_some(())).map_err(|why| why.code)
    }

    #[test]
    fn guesses_of_an_address_are_held_back_and_say_for_how_long() {
        let (door, start) = (PinDoor::default(), Instant::now());
        for _ in 0..10 {
            assert_eq!(guess(&door, "192.0.2.1", start, true), Ok(()), "right ones cost nothing");
        }
        for _ in 0..10 {
            assert_eq!(guess(&door, "192.0.2.1", start, false), Err(ReasonCode::WrongPin));
        }
        let why = door.knock("192.0.2.1".parse().unwrap(), start, || Some(())).unwrap_err();
        assert_eq!(why.code, ReasonCode::PinsPaused);
        assert!(why.says.contains("Wait 12"), "two minutes: {}", why.says);
        assert_eq!(
            guess(&door, "::ffff:192.0.2.1", start, true),
            Err(ReasonCode::PinsPaused),
            "the same one"
        );
        assert_eq!(guess(&door, "192.0.2.2", start, true), Ok(()), "others come in");
        assert_eq!(guess(&door, "192.0.2.1", start + Duration::from_secs(121), true), Ok(()));
    }

    #[test]
    fn guesses_of_many_addresses_are_held_back_together() {
        let (door, start) = (PinDoor::default(), Instant::now());
        let mut wrong = 0;
        for second in 0..3_600 {
            let now = start + Duration::from_secs(second);
            for host in 0..4 {
                let address = format!("2001:db8:{second:x}:{host}::1");
                wrong += usize::from(guess(&door, &address, now, false) == Err(ReasonCode::WrongPin));
            }
        }
        assert!((85..=90).contains(&wrong), "{wrong} in an hour");
        let kept = door.0.lock().unwrap().by_address.len();
        assert!(kept < 100, "{kept} addresses are kept");
        // A network of one's own is one address.
        let (door, mut wrong) = (PinDoor::default(), 0);
        for host in 0..100 {
            let address = format!("2001:db8:0:1::{host:x}");
            wrong += usize::from(guess(&door, &address, start, false) == Err(ReasonCode::WrongPin));
        }
        assert_eq!(wrong, 10);
    }
}
