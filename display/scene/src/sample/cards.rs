//! Random cards: every kind, names of every kind, lists from empty to endless.

use fivemark_wire::shows::{Card, CardLane, NextHeat, ResultRow, Results, StandingRow, Standings};
use rand::{RngExt as _, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::NAMES;

const RESULTS: &[&str] =
    &["7:08.4", "1:02:03.45", "87 of 90", "cap + 3", "5 + 12", "162", "DNF", "DNS", "DQ", "buy-in + 12"];
const TEXTS: &[&str] = &[
    "Heat 7",
    "Lunch until 13:30",
    "A very long title that nobody would write but somebody will, all the way to its bitter end",
    "Λιμάνι της καμπάνας",
    "the-longest-word-that-anybody-has-ever-written-without-a-single-space-in-it-at-all",
    "",
];
const LONG: &[&str] = &[
    "The warm-up yard behind the hall stays open.\nJudges of heats 5 to 8 meet at the scoring table at 13:10.",
    "Stop.",
    "",
];

fn text(rng: &mut ChaCha8Rng, of: &[&str]) -> String {
    of[rng.random_range(0..of.len())].to_owned()
}

/// Bib, name, given name, family name.
fn person(rng: &mut ChaCha8Rng) -> [String; 4] {
    let (given, family) = NAMES[rng.random_range(0..NAMES.len())];
    let name = format!("{given} {family}").trim().to_owned();
    [rng.random_range(1..2_000).to_string(), name, given.to_owned(), family.to_owned()]
}

fn divisions(rng: &mut ChaCha8Rng) -> Vec<String> {
    let all = ["Open women", "Masters men 40 and over of the northern region", "RX"];
    all.iter().take(rng.random_range(1..=3)).map(|name| (*name).to_owned()).collect()
}

fn lane(rng: &mut ChaCha8Rng, lane: u8, divisions: u8) -> CardLane {
    let [bib, name, given, family] = person(rng);
    let (club, division, say) = (text(rng, TEXTS), rng.random_range(0..divisions), String::new());
    let team = rng.random_range(0..4) == 0;
    let members = if team { vec![name.clone(), family.clone()] } else { Vec::new() };
    CardLane { lane, bib, name, given, family, say, division, club, members }
}

/// A card; the moment to which it may count is near `feed_ms`.
pub(crate) fn random(seed: u64, feed_ms: i64) -> Card {
    let rng = &mut ChaCha8Rng::seed_from_u64(seed);
    let soon = |rng: &mut ChaCha8Rng| feed_ms + rng.random_range(-5_000..40_000_000);
    let divisions = divisions(rng);
    let of = u8::try_from(divisions.len()).unwrap();
    match seed % 6 {
        0 => {
            let lanes = (1..=rng.random_range(0..=40)).map(|number| lane(rng, number, of));
            let lanes = lanes.collect();
            let starts_at_ms = (rng.random_range(0..2) == 0).then(|| soon(rng));
            Card::NextHeat(NextHeat {
                heat_name: text(rng, TEXTS),
                workout: text(rng, TEXTS),
                divisions,
                starts_at_ms,
                lanes,
            })
        }
        1 => {
            let rows = (1..=rng.random_range(0..=40)).map(|lane| {
                let [bib, name, given, family] = person(rng);
                let (place, division) = (rng.random_range(0..=40), rng.random_range(0..of));
                ResultRow {
                    place,
                    lane,
                    bib,
                    name,
                    given,
                    family,
                    division,
                    result: text(rng, RESULTS),
                    finished: lane % 3 > 0,
                }
            });
            let rows = rows.collect();
            let official = rng.random_range(0..2) == 0;
            Card::Results(Results {
                heat_name: text(rng, TEXTS),
                workout: text(rng, TEXTS),
                official,
                divisions,
                rows,
            })
        }
        2 => {
            let most = if rng.random_range(0..3) == 0 { 400 } else { 30 };
            let rows = (0..rng.random_range(0..=most)).map(|index| {
                let [bib, name, given, family] = person(rng);
                let (result, heat_name) = (text(rng, RESULTS), text(rng, TEXTS));
                let (place, finished, provisional) = (index + 1, index % 5 > 0, index % 3 == 0);
                StandingRow { place, bib, name, given, family, heat_name, result, finished, provisional }
            });
            let rows = rows.collect();
            let (workout, division) = (text(rng, TEXTS), text(rng, TEXTS));
            Card::Standings(Standings {
                workout,
                division,
                rows,
                heats_done: 2,
                heats_of: rng.random_range(1..4),
            })
        }
        3 => Card::Event { name: text(rng, TEXTS), place: text(rng, TEXTS), date: text(rng, TEXTS) },
        4 => Card::Words { title: text(rng, TEXTS), text: text(rng, LONG) },
        _ => Card::Countdown { title: text(rng, TEXTS), to_ms: soon(rng) },
    }
}
