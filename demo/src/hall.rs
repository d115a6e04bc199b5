//! A whole heat on the floor: the head judge and a phone for each lane, all of them real clients of a running feed.
//! Leaves starting the feed to its callers.

use std::collections::BTreeMap;
use std::time::{SystemTime, UNIX_EPOCH};

use fivemark_dial::FeedAddress;
use fivemark_wire::from_feed::Snapshot;
use rand_chacha::ChaCha8Rng;
use thiserror::Error;
use tokio::sync::watch;
use tokio::task::JoinSet;

use crate::clock::FloorClock;
use crate::floor::{Floor, lane_rng};
use crate::head_judge::Pauses;
use crate::link::{LinkQuality, Weather, epoch, phone_clock};
use crate::official::{Listener, Official, OfficialError};
use crate::phone::{Identity, Phone, PhoneError};
use crate::radio::{Air, PhoneReport, Radio};

/// Keeps what phones draw apart from what athletes draw: streams from here on.
const PHONE_STREAMS: u64 = 1_000;

/// What a heat on the floor needs.
#[derive(Clone, Debug)]
pub struct HallConfig {
    /// The feed's address.
    pub address: FeedAddress,
    /// Access key of the head judge.
    pub head_judge: String,
    /// Access keys of the lane judges.
    pub lane_judges: BTreeMap<u8, String>,
    /// Decides everything that happens on the floor and on the air.
    pub seed: u64,
    /// Heat time per real time, in thousandths; the feed's own.
    pub speed_milli: u32,
    /// The head judge's pauses.
    pub pauses: Pauses,
    /// Link of every phone; none draws one for each.
    pub quality: Option<LinkQuality>,
}

/// A heat that is over.
#[derive(Clone, Debug)]
pub struct HallReport {
    /// What was true on the floor.
    pub floor: Floor,
    /// The signed picture, as the head judge sees it.
    pub signed: Snapshot,
    /// The phones, in lane order.
    pub phones: Vec<PhoneReport>,
}

/// Why a heat could not be run.
#[derive(Debug, Error)]
pub enum HallError {
    /// The head judge could not go on.
    #[error(transparent)]
    Official(#[from] OfficialError),
    /// A phone could not go on.
    #[error(transparent)]
    Phone(#[from] PhoneError),
    /// There is no access key for a lane.
    #[error("there is no access key for the judge of lane {0}; is the access file of this competition?")]
    NoKey(u8),
    /// A task of ours broke.
    #[error("a phone's task broke: {0}")]
    Task(String),
}

/// Runs the heat that is on the floor, from lanes set to signed.
///
/// # Errors
/// See [`HallError`].
pub async fn run_heat(config: &HallConfig, heard: Listener<'_>) -> Result<HallReport, HallError> {
    let clock = FloorClock::start(config.speed_milli);
    let (say_go, go) = watch::channel(None);
    let (say_stop, stop) = watch::channel(false);
    let official = Official::join(&config.address, &config.head_judge, clock, say_go).await?;
    let picture = official.picture().ok_or(OfficialError::NoPicture)?.clone();
    let floor = Floor::new(config.seed, &picture);
    let air = Air { address: config.address.clone(), clock, go, stop };
    let mut phones = JoinSet::new();
    for lane in &floor.lanes {
        let key = config.lane_judges.get(&lane.lane).ok_or(HallError::NoKey(lane.lane))?;
        phones.spawn(radio(config, lane.lane, key, lane.taps.clone(), air.clone()).run());
    }
    let heat = official.run(config.pauses, heard);
    let signed = tokio::select! {
        signed = heat => signed?,
        // A phone only ends by itself when it cannot go on.
        Some(ended) = phones.join_next() => return Err(ended_early(ended)),
    };
    // Nobody listening means that all are gone already.
    let _ = say_stop.send(true);
    let mut reports = Vec::new();
    while let Some(ended) = phones.join_next().await {
        reports.push(ended.map_err(|error| HallError::Task(error.to_string()))??);
    }
    reports.sort_by_key(|report| report.lane);
    Ok(HallReport { floor, signed, phones: reports })
}

fn ended_early(ended: Result<Result<PhoneReport, PhoneError>, tokio::task::JoinError>) -> HallError {
    match ended {
        Ok(Ok(report)) => HallError::Task(format!("the phone of lane {} stopped", report.lane)),
        Ok(Err(error)) => error.into(),
        Err(error) => HallError::Task(error.to_string()),
    }
}

fn radio(config: &HallConfig, lane: u8, key: &str, taps: Vec<crate::judge::Tap>, air: Air) -> Radio {
    let mut rng = phone_rng(config.seed, lane);
    let quality = config.quality.clone().unwrap_or_else(|| LinkQuality::draw(&mut rng));
    let identity = Identity { lane, device: format!("phone-lane-{lane}"), access_key: key.to_owned() };
    let phone = Phone::new(identity, epoch(&mut rng));
    let clock = phone_clock(&mut rng, wall_ms());
    Radio::new(air, lane, phone, clock, Weather::new(quality, rng), taps)
}

fn phone_rng(seed: u64, lane: u8) -> ChaCha8Rng {
    let mut rng = lane_rng(seed, lane);
    rng.set_stream(PHONE_STREAMS + u64::from(lane));
    rng
}

fn wall_ms() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
}
