//! What officials are told of phones and records, with every field and without the rare ones.

use fivemark_wire::from_client::Call;
use fivemark_wire::from_feed::{FeedMessage, Reason, ReasonCode};
use fivemark_wire::lane_record::{
    Doubt, LaneRecord, RecordEntry, Recorded, RecordedCall, RecordedHandOver, RecordedInitials,
    RecordedRemark, RecordedRuling, Verdict,
};
use fivemark_wire::lanes::{AthleteFound, Athletes};
use fivemark_wire::phones::{LanePin, PhoneState, Phones, Pins};

use crate::judges;

pub fn states() -> FeedMessage {
    let known = PhoneState {
        lane: 4,
        device: "phone-4".to_owned(),
        shadow: false,
        holds: true,
        on_line: true,
        heard_ms: Some(501_000),
        delay_us: Some(8_100),
        charge_percent: Some(81),
        charging: Some(false),
        waiting: Some(0),
        stays_awake: Some(true),
    };
    let silent = PhoneState {
        device: "phone-9".to_owned(),
        holds: false,
        on_line: false,
        heard_ms: None,
        delay_us: None,
        charge_percent: None,
        charging: None,
        waiting: None,
        stays_awake: None,
        ..known.clone()
    };
    FeedMessage::Phones(Phones { phones: vec![known, silent], flags: judges::flags() })
}

pub fn pins() -> FeedMessage {
    let pin = |lane, pin: &str, shadow| LanePin { lane, pin: pin.to_owned(), shadow };
    FeedMessage::Pins(Pins { heat: 7, pins: vec![pin(1, "004711", false), pin(1, "918273", true)] })
}

fn call(number: u32, verdict: Verdict) -> Recorded {
    Recorded::Call(RecordedCall {
        device: "phone-4".to_owned(),
        epoch: 9,
        number,
        call: Call::Good,
        amount: 0,
        fault: None,
        load_g: None,
        verdict,
        done: None,
        doubts: vec![],
    })
}

fn no_rep() -> Recorded {
    Recorded::Call(RecordedCall {
        device: "phone-9".to_owned(),
        epoch: 11,
        number: 1,
        call: Call::NoRep,
        amount: 5,
        fault: Some("depth".to_owned()),
        load_g: Some(142_500),
        verdict: Verdict::Counted { units: 0 },
        done: Some(1),
        doubts: vec![Doubt::Late, Doubt::Outage, Doubt::Slept, Doubt::NoClock, Doubt::Clamped],
    })
}

pub fn record() -> FeedMessage {
    let why = Reason { code: ReasonCode::HandedOver, says: "The lane was handed over before.".to_owned() };
    let what = [
        call(1, Verdict::TakenBack { epoch: 9, number: 2 }),
        call(3, Verdict::NotCounted(why)),
        call(4, Verdict::Shadow),
        call(5, Verdict::Noted),
        no_rep(),
        Recorded::Ruling(RecordedRuling {
            by: "head judge".to_owned(),
            says: "set the count to 90 units".to_owned(),
            reason: "Seen from the side".to_owned(),
            before: "89 of 90".to_owned(),
            after: "7:08.4".to_owned(),
        }),
        Recorded::HandOver(RecordedHandOver {
            from: "phone-4".to_owned(),
            to: "phone-9".to_owned(),
            by: "head judge".to_owned(),
        }),
        Recorded::Initials(RecordedInitials {
            result: "7:08.4".to_owned(),
            athlete: "IBO".to_owned(),
            judge: "SK".to_owned(),
            by: "lane judge".to_owned(),
            reason: String::new(),
            taken_back_ms: Some(700_000),
        }),
        Recorded::Heat(RecordedRemark {
            says: "reopened".to_owned(),
            reason: "Two lanes were swapped".to_owned(),
        }),
    ];
    let entry =
        |what| RecordEntry { run: 2, at_ms: 501_000, received_ms: 501_040, heat_ms: Some(41_000), what };
    let mut entries: Vec<RecordEntry> = what.into_iter().map(entry).collect();
    entries[0].heat_ms = None;
    let judge = "Sanna Krueger".to_owned();
    FeedMessage::LaneRecord(LaneRecord { id: 7, heat: 7, lane: 4, judge, left_out: 3, entries })
}

/// Who could be put into a heat.
pub fn athletes() -> FeedMessage {
    let found = |bib: &str, scratched| AthleteFound {
        bib: bib.to_owned(),
        name: "Ilva Brandt-Osei".to_owned(),
        division: "Open women".to_owned(),
        scratched,
    };
    FeedMessage::Athletes(Athletes {
        id: 8,
        heat: 7,
        athletes: vec![found("101", true), found("7", false)],
        more: true,
    })
}
