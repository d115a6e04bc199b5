//! Who judged: the record knows phones, people know names. A judge is named by what is surest:
//!
//! 1. the judge's initials under the lane's result, for the phone that held the lane when they were given. Where one
//!    judge of the competition file alone has these initials, that is who it is; the lane's own planned judge comes first;
//! 2. without initials, the judge that the competition file plans for the lane, for the phone that had the lane first:
//!    whoever took it over is somebody else;
//! 3. else the phone itself, by the name of its device. A phone that several judges share is then one judge, and a judge
//!    with two phones is two.

use std::collections::{BTreeMap, BTreeSet};

use fivemark_engine::command::Tally;
use fivemark_engine::ids::{DeviceId, LaneNo};
use fivemark_engine::time::HeatMs;
use fivemark_engine::{HandedOver, Heat};

/// A judge, as well as the record can tell.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Judge {
    /// By the name in the competition file.
    Named(String),
    /// By initials that no judge of the file has, or more than one.
    Initials(String),
    /// By the device.
    Phone(String),
}

/// A phone on a lane.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Phone {
    /// The lane that it counted.
    pub lane: LaneNo,
    /// The device.
    pub device: DeviceId,
}

impl Phone {
    /// The phone that sent a call.
    #[must_use]
    pub fn of(tally: &Tally) -> Self {
        Self { lane: tally.lane, device: tally.device.clone() }
    }
}

/// The judges that the competition file plans for the lanes of a heat.
pub type Planned = BTreeMap<LaneNo, String>;

/// All judges of the competition file, by their initials.
#[derive(Clone, Debug, Default)]
pub struct Roster(BTreeMap<String, BTreeSet<String>>);

impl Roster {
    /// The judges of these names; one who is named for several lanes is one.
    #[must_use]
    pub fn new<'a>(names: impl IntoIterator<Item = &'a str>) -> Self {
        let mut roster = Self::default();
        for name in names.into_iter().filter(|name| !name.trim().is_empty()) {
            for initials in initials_of(name) {
                roster.0.entry(initials).or_default().insert(name.to_owned());
            }
        }
        roster
    }

    /// The only judge with these initials.
    fn only(&self, initials: &str) -> Option<&String> {
        let names = self.0.get(initials)?;
        names.first().filter(|_| names.len() == 1)
    }
}

/// Who is behind each phone of a heat.
pub(crate) struct Who<'a> {
    heat: &'a Heat,
    planned: &'a Planned,
    roster: &'a Roster,
}

impl<'a> Who<'a> {
    pub(crate) fn new(heat: &'a Heat, planned: &'a Planned, roster: &'a Roster) -> Self {
        Self { heat, planned, roster }
    }

    /// The judge with a phone.
    pub(crate) fn of(&self, phone: &Phone) -> Judge {
        let planned = self.planned.get(&phone.lane).filter(|name| !name.trim().is_empty());
        if let Some(initials) = self.initials(phone) {
            let own = planned.filter(|name| initials_of(name).contains(&initials));
            let name = own.or_else(|| self.roster.only(&initials));
            return name.map_or(Judge::Initials(initials), |name| Judge::Named(name.clone()));
        }
        let steps = self.heat.hand_overs(phone.lane).unwrap_or_default();
        let took_over = steps.iter().any(|step| step.to == phone.device);
        match planned {
            Some(name) if !took_over => Judge::Named(name.clone()),
            _ => Judge::Phone(phone.device.0.clone()),
        }
    }

    /// The judge's initials that were given last while the phone held the lane. Initials that were taken back with
    /// their result still say who judged.
    fn initials(&self, phone: &Phone) -> Option<String> {
        let steps = self.heat.hand_overs(phone.lane)?;
        let given = self.heat.initials(phone.lane)?.iter().rev();
        given.filter(|initials| held(steps, &phone.device, initials.at)).map(|one| written(&one.judge)).next()
    }
}

/// Whether a phone held its lane at a moment, by the lane's hand-overs.
fn held(steps: &[HandedOver], device: &DeviceId, at: HeatMs) -> bool {
    match steps.iter().rfind(|step| step.at <= at) {
        Some(last) => last.to == *device,
        None => match steps.first().and_then(|first| first.from.as_ref()) {
            Some(first) => first == device,
            None => steps.iter().all(|step| step.to != *device),
        },
    }
}

/// Initials as they are compared: capital letters alone.
fn written(initials: &str) -> String {
    initials.chars().filter(|letter| letter.is_alphabetic()).flat_map(char::to_uppercase).collect()
}

/// How a name may be put into initials: of its words, and of the parts of double names as well.
fn initials_of(name: &str) -> BTreeSet<String> {
    let firsts = |parts: &mut dyn Iterator<Item = &str>| -> String {
        parts.filter_map(|part| part.chars().find(|letter| letter.is_alphabetic())).collect()
    };
    let words = firsts(&mut name.split_whitespace());
    let parts = firsts(&mut name.split(|letter: char| letter.is_whitespace() || letter == '-'));
    [words, parts].iter().map(|letters| written(letters)).filter(|letters| !letters.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_has_the_initials_of_its_words_and_of_double_names() {
        let of = |name| initials_of(name).into_iter().collect::<Vec<_>>();
        assert_eq!(of("Sanna Krueger"), ["SK"]);
        assert_eq!(of("ilva Brandt-Osei"), ["IB", "IBO"]);
        assert_eq!(of("  "), Vec::<String>::new());
        assert_eq!(written("é.s."), "ÉS");
    }

    #[test]
    fn initials_that_two_judges_have_name_neither() {
        let roster = Roster::new(["Sanna Krueger", "Sanna Krueger", "Bo Tamiya", "Stig Kallas", ""]);
        assert_eq!(roster.only("BT").map(String::as_str), Some("Bo Tamiya"));
        assert_eq!((roster.only("SK"), roster.only("XX")), (None, None));
    }
}
