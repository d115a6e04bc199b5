//! The event, its divisions and its athletes, from the competition file.

use super::faults::Faults;
use super::fields::{Fields, MAX_TEXT, nearest, shorten, text_of};
use super::{Athlete, Division, MAX_ATHLETES, MAX_DIVISIONS, MAX_MEMBERS};

/// An athlete as read. A division that does not exist is a fault already; the first one stands in for it, so that
/// the athlete's heats are still checked.
pub(super) struct AthleteRead {
    pub(super) athlete: Athlete,
}

/// The event, in words.
pub(super) struct Event {
    pub(super) name: String,
    pub(super) place: String,
    pub(super) date: String,
    pub(super) initials: bool,
}

/// The event.
pub(super) fn event(file: &mut Fields<'_, '_>, faults: &mut Faults) -> Option<Event> {
    let Some(value) = file.value("event") else {
        faults.add(0, "the file needs a table [event] with the event's name");
        return None;
    };
    let mut fields = Fields::of(value, "event", faults)?;
    let name = fields.need_text("name", MAX_TEXT, faults);
    let place = fields.text("place", MAX_TEXT, faults).map_or_else(String::new, |text| text.value);
    // A date may be written as TOML's own.
    let date = fields.value("date").map_or_else(String::new, |value| match value.get_ref().as_datetime() {
        Some(date) => date.to_string(),
        None => text_of(value, "date", MAX_TEXT, faults).map_or_else(String::new, |text| text.value),
    });
    let initials = fields.flag_or("initials", true, faults);
    fields.finish(faults);
    name.map(|name| Event { name: name.value, place, date, initials })
}

/// The divisions.
pub(super) fn divisions(file: &mut Fields<'_, '_>, faults: &mut Faults) -> Vec<Division> {
    let mut divisions: Vec<Division> = Vec::new();
    for value in file.list("division", MAX_DIVISIONS, faults) {
        let Some(mut fields) = Fields::of(value, "a division", faults) else { continue };
        let id = fields.need_id("id", faults);
        let name = fields.need_text("name", MAX_TEXT, faults);
        fields.finish(faults);
        let Some(id) = id else { continue };
        if divisions.iter().any(|known| known.id == id.value) {
            faults
                .add(id.at, format!("division \"{}\" is there twice; give each an id of its own", id.value));
            continue;
        }
        let name = name.map_or_else(|| id.value.clone(), |name| name.value);
        divisions.push(Division { id: id.value, name });
    }
    if divisions.is_empty() {
        faults.add(0, "the file has no [[division]]; add at least one with id and name");
    }
    divisions
}

/// The athletes.
pub(super) fn athletes(
    file: &mut Fields<'_, '_>,
    divisions: &[Division],
    faults: &mut Faults,
) -> Vec<AthleteRead> {
    let mut athletes: Vec<AthleteRead> = Vec::new();
    let mut bibs = std::collections::BTreeSet::new();
    for value in file.list("athlete", MAX_ATHLETES, faults) {
        let Some(fields) = Fields::of(value, "an athlete", faults) else { continue };
        let Some((athlete, bib_at)) = athlete(fields, divisions, faults) else { continue };
        if bibs.insert(athlete.bib.clone()) {
            athletes.push(AthleteRead { athlete });
        } else {
            faults.add(
                bib_at,
                format!("bib {} is given twice; give each athlete a bib of their own", athlete.bib),
            );
        }
    }
    athletes
}

fn athlete(
    mut fields: Fields<'_, '_>,
    divisions: &[Division],
    faults: &mut Faults,
) -> Option<(Athlete, usize)> {
    let bib = fields.need_id("bib", faults);
    if let Some(bib) = &bib {
        fields.what = format!("athlete {}", bib.value);
    }
    let mut optional = |name: &'static str, faults: &mut Faults| {
        fields.text(name, MAX_TEXT, faults).map_or_else(String::new, |text| text.value)
    };
    let display_name = optional("display_name", faults);
    let given = optional("given", faults);
    let family = optional("family", faults);
    let say = optional("say", faults);
    let club = optional("club", faults);
    let name = fields.need_text("name", MAX_TEXT, faults);
    let division = fields.need_id("division", faults);
    let private = fields.flag("private", faults);
    let members = fields.list("members", MAX_MEMBERS, faults).into_iter();
    let members = members.filter_map(|member| text_of(member, "a member", MAX_TEXT, faults));
    let members = members.map(|member| member.value).collect();
    let division = division.and_then(|id| {
        let found = divisions.iter().position(|known| known.id == id.value);
        if found.is_none() {
            let hint = match nearest(&id.value, divisions.iter().map(|division| division.id.as_str())) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "add it as a [[division]]".to_owned(),
            };
            let id = shorten(&id.value);
            faults.add(
                fields.at,
                format!("{} is in division \"{id}\", which is not there; {hint}", fields.what),
            );
        }
        found
    });
    fields.finish(faults);
    let (bib, full_name) = (bib?, name?.value);
    let name = if display_name.is_empty() { full_name.clone() } else { display_name };
    let (division, at) = (division.unwrap_or_default(), bib.at);
    let bib = bib.value;
    Some((Athlete { bib, name, full_name, given, family, say, club, members, division, private }, at))
}
