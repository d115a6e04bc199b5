//! What officials are told of judges: tables with every field and without the rare ones, and flags of each kind.

use fivemark_wire::from_client::ClientMessage;
use fivemark_wire::from_feed::FeedMessage;
use fivemark_wire::judges::{
    AskJudges, Ends, FaultRate, FieldRate, Flag, JudgeName, JudgeRate, Judges, Kappa, LaneFlag,
    MovementAgreement, Outside,
};

pub fn ask() -> ClientMessage {
    ClientMessage::AskJudges(AskJudges { id: 8 })
}

pub fn flags() -> Vec<LaneFlag> {
    let what = [
        Flag::TooFast { times: 2, at_ms: 501_000, heat_ms: 41_000, took_ms: 402, expected_ms: 2_500 },
        Flag::Quiet { since_ms: 459_000, usual_ms: 3_100 },
        Flag::LateCalls { calls: 19, longest_ms: 42_000 },
        Flag::OffLine { since_ms: 440_000 },
        Flag::ClockError { error_ms: 300 },
    ];
    what.into_iter().map(|what| LaneFlag { lane: 4, what }).collect()
}

pub fn tables() -> FeedMessage {
    let ends = Ends { low_ppm: 6_883, high_ppm: 86_645 };
    let fault = FaultRate {
        fault: "Not deep enough".to_owned(),
        no_reps: 2,
        interval: ends,
        field_no_reps: 40,
        outside: Some(Outside::Below),
    };
    let rate = JudgeRate {
        judge: JudgeName::Name("Sanna Krueger".to_owned()),
        movement: "Thruster".to_owned(),
        attempts: 80,
        no_reps: 2,
        interval: ends,
        outside: Some(Outside::Below),
        faults: vec![fault.clone(), FaultRate { fault: String::new(), outside: None, ..fault }],
    };
    let rates = vec![
        rate.clone(),
        JudgeRate {
            judge: JudgeName::Initials("ZZ".to_owned()),
            outside: Some(Outside::Above),
            ..rate.clone()
        },
        JudgeRate { judge: JudgeName::Device("phone-9".to_owned()), outside: None, faults: vec![], ..rate },
    ];
    let agreement = MovementAgreement {
        movement: "Thruster".to_owned(),
        decisions: 110,
        same: 92,
        differ: 7,
        judge_alone: 7,
        shadow_alone: 4,
        raw: ends,
        kappa: Some(Kappa { ppm: 520_349, interval: Some(ends) }),
    };
    let alike = MovementAgreement {
        movement: String::new(),
        differ: 0,
        judge_alone: 0,
        shadow_alone: 0,
        kappa: None,
        ..agreement.clone()
    };
    let full = MovementAgreement { kappa: Some(Kappa { ppm: -1_000_000, interval: None }), ..alike.clone() };
    FeedMessage::Judges(Judges {
        id: 8,
        heats: 3,
        field: vec![FieldRate { movement: "Thruster".to_owned(), judges: 3, attempts: 240, no_reps: 44 }],
        rates,
        left_out: 1,
        comparisons: 9,
        agreement: vec![agreement, alike, full],
        window_ms: 1_500,
    })
}
