//! The fields of a certificate (RFC 5280 section 4.1) that people are told: what it is called, its days, the addresses
//! that it vouches for. Whether it can be trusted is left to the library that makes handshakes.

use std::net::IpAddr;

use yasna::models::ObjectIdentifier;
use yasna::tags::{TAG_GENERALIZEDTIME, TAG_PRINTABLESTRING, TAG_UTF8STRING};
use yasna::{ASN1Result, BERReader, BERReaderSeq, Tag};

/// The common name of a subject.
const COMMON_NAME: &[u64] = &[2, 5, 4, 3];
/// The extension with a certificate's addresses.
const ALTERNATIVE_NAMES: &[u64] = &[2, 5, 29, 17];
/// Tags of an extension's names (RFC 5280 section 4.2.1.6).
const DNS_NAME: u64 = 2;
const IP_ADDRESS: u64 = 7;

/// What a certificate says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fields {
    /// Its common name; empty if it has none.
    pub(super) called: String,
    /// From when it is good, Unix milliseconds.
    pub(super) from_ms: i64,
    /// Until when it is good, Unix milliseconds.
    pub(super) until_ms: i64,
    /// Hosts and addresses that it vouches for, in its own order.
    pub(super) names: Vec<String>,
}

/// Reads a certificate; none if it is none.
pub(super) fn read(der: &[u8]) -> Option<Fields> {
    let certificate = yasna::parse_der(der, |reader| {
        reader.read_sequence(|reader| {
            let fields = reader.next().read_sequence(to_be_signed)?;
            // How it is signed, and the signature.
            skip(reader, 2)?;
            Ok(fields)
        })
    });
    certificate.ok()
}

fn to_be_signed(reader: &mut BERReaderSeq<'_, '_>) -> ASN1Result<Fields> {
    let mut fields = Fields::default();
    reader.read_optional(|version| version.read_tagged(Tag::context(0), |version| version.read_der()))?;
    // Its number, how it is signed, and by whom.
    skip(reader, 3)?;
    (fields.from_ms, fields.until_ms) =
        reader.next().read_sequence(|days| Ok((moment_ms(days.next())?, moment_ms(days.next())?)))?;
    reader.next().read_sequence_of(|part| {
        part.read_set_of(|pair| {
            pair.read_sequence(|pair| {
                let is_name = is(&pair.next().read_oid()?, COMMON_NAME);
                let value = text(pair.next())?;
                if is_name {
                    fields.called = value;
                }
                Ok(())
            })
        })
    })?;
    // Its key, and what nobody uses any more.
    skip(reader, 1)?;
    for unused in [1, 2] {
        let tag = Tag::context(unused);
        reader.read_optional(|id| id.read_tagged_implicit(tag, |id| id.read_bitvec_bytes()))?;
    }
    let extensions = reader.read_optional(|reader| {
        reader.read_tagged(Tag::context(3), |reader| reader.collect_sequence_of(extension))
    })?;
    fields.names = extensions.into_iter().flatten().flatten().collect();
    Ok(fields)
}

/// The names of one extension; none of one that has no names.
fn extension(reader: BERReader<'_, '_>) -> ASN1Result<Vec<String>> {
    let (id, value) = reader.read_sequence(|reader| {
        let id = reader.next().read_oid()?;
        reader.read_optional(|critical| critical.read_bool())?;
        Ok((id, reader.next().read_bytes()?))
    })?;
    if !is(&id, ALTERNATIVE_NAMES) {
        return Ok(Vec::new());
    }
    let names = yasna::parse_der(&value, |reader| reader.collect_sequence_of(name))?;
    Ok(names.into_iter().flatten().collect())
}

/// One name; none of a kind that is no address.
fn name(reader: BERReader<'_, '_>) -> ASN1Result<Option<String>> {
    let tag = reader.lookahead_tag()?;
    if tag == Tag::context(DNS_NAME) {
        return reader.read_tagged_implicit(tag, |name| name.read_ia5_string()).map(Some);
    }
    if tag != Tag::context(IP_ADDRESS) {
        return reader.read_der().map(|_| None);
    }
    let bytes = reader.read_tagged_implicit(tag, |name| name.read_bytes())?;
    Ok(match (<[u8; 4]>::try_from(bytes.as_slice()), <[u8; 16]>::try_from(bytes.as_slice())) {
        (Ok(four), _) => Some(IpAddr::from(four).to_string()),
        (_, Ok(sixteen)) => Some(IpAddr::from(sixteen).to_string()),
        _ => None,
    })
}

fn skip(reader: &mut BERReaderSeq<'_, '_>, fields: usize) -> ASN1Result<()> {
    for _ in 0..fields {
        reader.next().read_der()?;
    }
    Ok(())
}

fn moment_ms(reader: BERReader<'_, '_>) -> ASN1Result<i64> {
    let moment = if reader.lookahead_tag()? == TAG_GENERALIZEDTIME {
        *reader.read_generalized_time()?.datetime()
    } else {
        *reader.read_utctime()?.datetime()
    };
    Ok(moment.unix_timestamp().saturating_mul(1_000))
}

/// A text of the two kinds that certificates should have; others are as good as none.
fn text(reader: BERReader<'_, '_>) -> ASN1Result<String> {
    let tag = reader.lookahead_tag()?;
    if tag == TAG_UTF8STRING {
        reader.read_utf8string()
    } else if tag == TAG_PRINTABLESTRING {
        reader.read_printable_string()
    } else {
        reader.read_der().map(|_| String::new())
    }
}

fn is(id: &ObjectIdentifier, known: &[u64]) -> bool {
    id.components().as_slice() == known
}

#[cfg(test)]
mod tests {
    use rcgen::{CertificateParams, DnType, KeyPair, date_time_ymd};

    use super::*;

    fn certificate() -> Vec<u8> {
        let names = ["feed.local", "192.0.2.7", "2001:db8::7"].map(str::to_owned);
        let mut params = CertificateParams::new(names).unwrap();
        params.distinguished_name.push(DnType::CommonName, "Hälle");
        // Dates until 2049 are written in another way than those after it (RFC 5280 section 4.1.2.5).
        (params.not_before, params.not_after) = (date_time_ymd(2026, 7, 1), date_time_ymd(2060, 7, 1));
        params.self_signed(&KeyPair::generate().unwrap()).unwrap().der().to_vec()
    }

    #[test]
    fn a_certificate_is_read() {
        let fields = read(&certificate()).unwrap();
        assert_eq!(fields.called, "Hälle");
        assert_eq!(fields.names, ["feed.local", "192.0.2.7", "2001:db8::7"]);
        assert_eq!((fields.from_ms, fields.until_ms), (1_782_864_000_000, 2_855_865_600_000));
    }

    #[test]
    fn what_is_cut_off_or_changed_is_no_certificate_and_no_panic() {
        let good = certificate();
        for end in 0..good.len() {
            assert_eq!(read(&good[..end]), None, "{end} bytes");
        }
        for at in 0..good.len() {
            for change in [0x01, 0x80, 0xff] {
                let mut bad = good.clone();
                bad[at] ^= change;
                // Whatever is read of it: it ends.
                let _ = read(&bad);
            }
        }
    }
}
