//! What is printed of a heat, every field with a value of its own.

use fivemark_wire::lane_record::{RecordedInitials, RecordedRemark, RecordedRuling};
use fivemark_wire::papers::{
    Brief, BriefMovement, BriefPart, CappedAs, PaperLane, Papers, Reopening, Signing,
};
use fivemark_wire::view::{Scoring, State, Unit};

use crate::heat::snapshot;

pub fn papers() -> Papers {
    let picture = snapshot();
    let fault = picture.courses[0].parts[0].faults[0].clone();
    Papers {
        id: 8,
        event: "Harrowgate Winter Throwdown".to_owned(),
        place: "Quarry Hall".to_owned(),
        date: "2031-02-08".to_owned(),
        heat: 7,
        heat_name: "Heat 7".to_owned(),
        divisions: picture.titles.divisions.clone(),
        state: State::Signed,
        run: 2,
        courses: picture.courses,
        lanes: vec![PaperLane {
            entry: picture.entries[0].clone(),
            full_name: "Tomasz Jan Wielgórecki".to_owned(),
            count: picture.lanes[0].clone(),
            place: 1,
            initials: Some(RecordedInitials {
                result: "7:08.4".to_owned(),
                athlete: "TJW".to_owned(),
                judge: "SK".to_owned(),
                by: "lane judge".to_owned(),
                reason: String::new(),
                taken_back_ms: None,
            }),
            rulings: vec![RecordedRuling {
                by: "head judge".to_owned(),
                says: "5.0 s penalty".to_owned(),
                reason: "Bar dropped on the line".to_owned(),
                before: "7:03.4".to_owned(),
                after: "7:08.4".to_owned(),
            }],
            rulings_left_out: 2,
        }],
        remarks: vec![RecordedRemark {
            says: "the heat runs again".to_owned(),
            reason: "The rig gave way".to_owned(),
        }],
        signings: vec![Signing {
            by: "head judge".to_owned(),
            wall_ms: 1_928_300_000_000,
            entries: 412,
            digest: "ab".repeat(32),
            reopened: Some(Reopening {
                by: "head judge".to_owned(),
                wall_ms: 1_928_300_060_000,
                reason: "Two lanes were swapped".to_owned(),
            }),
        }],
        brief: brief(fault),
    }
}

fn brief(fault: fivemark_wire::view::Fault) -> Brief {
    let part = BriefPart { movement: 0, amounts: vec![21], loads: vec!["43 kg".to_owned()], tie_break: true };
    Brief {
        workout: "Short Fuse".to_owned(),
        scoring: Scoring::ForTime,
        divisions: vec!["Open".to_owned()],
        cap_ms: 600_000,
        cap_on_heat: true,
        first_to_finish: true,
        resolution_ms: 100,
        rounds_up: true,
        capped_as: CappedAs::CapPlusPenalty,
        penalty_per_unit_ms: 1_000,
        finish_call: true,
        mark_every_part: true,
        rounds: 1,
        scheme: vec![21, 15, 9],
        buy_in: vec![part.clone()],
        parts: vec![part],
        cash_out: Vec::new(),
        movements: vec![BriefMovement {
            name: "Thruster".to_owned(),
            unit: Unit::Rep,
            step: 1,
            start: "Bar on the shoulders".to_owned(),
            finish: "Arms straight overhead".to_owned(),
            faults: vec![fault],
        }],
        initials: true,
    }
}
