//! Whose phone holds a lane: the hand-overs of a lane, and which phone's calls count at a moment. Who may hand a lane
//! over, and who takes it in the first place, is the feed's to decide.

use crate::answer::Refused;
use crate::bounds::{MAX_HAND_OVERS, MAX_NAME_BYTES, MAX_REASON_BYTES};
use crate::command::{HandOver, Tally};
use crate::heat::Heat;
use crate::ids::{DeviceId, LaneNo};
use crate::time::HeatMs;

/// A lane that went from one phone to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandedOver {
    /// When the feed received it.
    pub at: HeatMs,
    /// The lane's run then.
    pub run: u32,
    /// The phone that held the lane, if one did.
    pub from: Option<DeviceId>,
    /// The phone that holds it from then on.
    pub to: DeviceId,
    /// Who decided.
    pub by: String,
}

/// The hand-overs of a lane, in order. They stay with the lane, whoever stands there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Hands(Vec<HandedOver>);

impl Hands {
    /// Whether a phone may have counted the lane at a moment. A moment at which the lane went over lies before that.
    /// Before its first hand-over nothing is known but who takes it later.
    pub(crate) fn held_by(&self, device: &DeviceId, moment: HeatMs) -> bool {
        let before = self.0.partition_point(|step| step.at < moment);
        match before.checked_sub(1).and_then(|last| self.0.get(last)) {
            Some(last) => last.to == *device,
            None => {
                let first = self.0.first().and_then(|first| first.from.as_ref());
                first == Some(device) || self.0.iter().all(|step| step.to != *device)
            }
        }
    }

    /// Whether a phone holds the lane now, as far as hand-overs tell.
    pub(crate) fn is_held_by(&self, device: &DeviceId) -> bool {
        self.0.last().is_none_or(|last| last.to == *device)
    }
}

impl Heat {
    /// The hand-overs of a lane, in order; none for an unknown lane.
    #[must_use]
    pub fn hand_overs(&self, lane: LaneNo) -> Option<&[HandedOver]> {
        self.index_of(lane).map(|index| self.lanes[index].hands.0.as_slice())
    }

    /// Gives a lane to another phone. Calls that the one before tapped until then still count.
    pub(crate) fn hand_over(&mut self, at: HeatMs, said: &HandOver) -> Result<(), Refused> {
        let index = self.index_of(said.lane).ok_or(Refused::UnknownLane(said.lane))?;
        let longest = said.from.iter().chain([&said.to]).map(|device| device.0.len()).max();
        if longest > Some(MAX_NAME_BYTES) {
            return Err(Refused::TooLong("device's name", MAX_NAME_BYTES));
        }
        if said.by.len() > MAX_REASON_BYTES {
            return Err(Refused::TooLong("name of who decides", MAX_REASON_BYTES));
        }
        if said.from.as_ref() == Some(&said.to) {
            return Err(Refused::HeldAlready(said.lane));
        }
        let run = self.lanes[index].run;
        let hands = &mut self.lanes[index].hands.0;
        if hands.len() >= MAX_HAND_OVERS {
            return Err(Refused::TooManyHandOvers(MAX_HAND_OVERS));
        }
        let HandOver { from, to, by, .. } = said.clone();
        hands.push(HandedOver { at, run, from, to, by });
        Ok(())
    }

    /// Whether the phone of a call may have counted its lane at a moment. Phones stay with their lanes.
    pub(crate) fn held_then(&self, tally: &Tally, moment: HeatMs) -> bool {
        let lane = self.index_of(tally.lane).and_then(|index| self.lanes.get(index));
        lane.is_none_or(|lane| lane.hands.held_by(&tally.device, moment))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_belongs_to_the_phone_that_held_the_lane_then() {
        let device = |name: &str| DeviceId(name.to_owned());
        let step = |at, from: &str, to: &str| HandedOver {
            at: HeatMs(at),
            run: 1,
            from: Some(device(from)),
            to: device(to),
            by: "head judge".to_owned(),
        };
        let hands = Hands(vec![step(10, "a", "b"), step(20, "b", "a"), step(30, "a", "c")]);
        for (name, held) in [
            ("a", [true, true, false, false, true, true, false]),
            ("b", [false, false, true, true, false, false, false]),
            ("c", [false, false, false, false, false, false, true]),
            // A phone that was there before hand-overs were kept.
            ("d", [true, true, false, false, false, false, false]),
        ] {
            let at = [0, 10, 11, 20, 21, 30, 31].map(|moment| hands.held_by(&device(name), HeatMs(moment)));
            assert_eq!(at, held, "{name}");
            assert_eq!(hands.is_held_by(&device(name)), name == "c");
        }
        assert!(
            Hands::default().held_by(&device("a"), HeatMs(0)) && Hands::default().is_held_by(&device("a"))
        );
    }
}
