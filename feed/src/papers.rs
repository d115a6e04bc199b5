//! What is printed of a heat, put together from the competition and the record: names are full ones, as officials see
//! them. How it looks on paper is the page's.

use fivemark_engine::ids::LaneNo;
use fivemark_engine::{Heat, Status};
use fivemark_wire::bounds::MAX_PAPER_RULINGS;
use fivemark_wire::lane_record::{RecordedRemark, RecordedRuling};
use fivemark_wire::papers::{PaperLane, Papers, Reopening, Signing};
use fivemark_wire::view::LaneEntry;

use crate::actor;
use crate::competition::{Competition, HeatPlan};
use crate::picture::Picture;
use crate::roles::Audience;
use crate::{brief, convert, lane_record};

/// What is printed of a heat. `id` is the request's.
#[must_use]
pub fn of(
    id: u64,
    competition: &Competition,
    plan: &HeatPlan,
    heat: &Heat,
    signings: &[actor::Signing],
) -> Papers {
    let picture = Picture::of(competition, plan, heat, true).for_audience(Audience::Officials, 0);
    let (titles, view) = (picture.titles, picture.heat);
    let full_name = |entry: &LaneEntry| {
        let found = competition.athletes.iter().find(|athlete| athlete.bib == entry.bib);
        found.map_or_else(String::new, |athlete| athlete.full_name.clone())
    };
    let lanes =
        picture.entries.into_iter().filter_map(|entry| lane(full_name(&entry), entry, heat)).collect();
    let remark = |remark: &fivemark_engine::Remark| {
        let (says, reason) = (remark.what.to_string(), remark.reason.clone());
        RecordedRemark { says, reason }
    };
    Papers {
        id,
        event: titles.event,
        place: competition.place.clone(),
        date: competition.date.clone(),
        heat: titles.heat,
        heat_name: titles.heat_name,
        divisions: titles.divisions,
        state: view.state,
        run: view.run,
        courses: picture.courses,
        lanes,
        remarks: heat.remarks().iter().map(remark).collect(),
        signings: signings.iter().map(signing).collect(),
        brief: brief::of(competition, plan.workout),
    }
}

fn lane(full_name: String, entry: LaneEntry, heat: &Heat) -> Option<PaperLane> {
    let no = LaneNo(entry.lane);
    let count = heat.lane(no)?;
    // Who did not finish has no place among results, on paper as on cards.
    let placed = count.status != Status::DidNotFinish && count.result.is_some();
    let row = heat.order().iter().find(|row| row.lane == no).filter(|_| placed);
    let all = heat.initials(no).unwrap_or_default();
    let initials = all.last().filter(|_| count.confirmed).map(lane_record::initials);
    let rulings: Vec<RecordedRuling> = rulings(heat, no).collect();
    let left_out = rulings.len().saturating_sub(MAX_PAPER_RULINGS);
    Some(PaperLane {
        entry,
        full_name,
        count: convert::lane_count(count),
        place: row.map_or(0, |row| row.division_place),
        initials,
        rulings: rulings.into_iter().skip(left_out).collect(),
        rulings_left_out: u32::try_from(left_out).unwrap_or(u32::MAX),
    })
}

fn rulings(heat: &Heat, lane: LaneNo) -> impl Iterator<Item = RecordedRuling> {
    let record = heat.record(lane).unwrap_or_default().iter();
    record.filter_map(|entry| match &entry.said {
        fivemark_engine::Said::Ruling(ruling) => Some(lane_record::ruling(ruling, entry)),
        fivemark_engine::Said::Tally(_) => None,
    })
}

fn signing(signing: &actor::Signing) -> Signing {
    let reopened = signing.reopened.as_ref().map(|reopened| {
        let actor::Reopening { by, wall_ms, reason } = reopened.clone();
        Reopening { by, wall_ms, reason }
    });
    let actor::Signing { by, wall_ms, entries, digest, .. } = signing;
    Signing { by: by.clone(), wall_ms: *wall_ms, entries: *entries, digest: digest.to_string(), reopened }
}
