//! Who stands on which lane, put anew before a heat starts. Athletes who stay in the heat take what was called and ruled
//! of them along; judges' phones stay with their lanes. Who the athletes are is left to others.

use crate::answer::Refused;
use crate::assemble::{compile_all, place_lanes};
use crate::bounds::MAX_SAYS_BYTES;
use crate::command::SetLanes;
use crate::floor::Phase;
use crate::heat::Heat;
use crate::ids::LaneNo;
use crate::moves::Moves;
use crate::order::Groups;
use crate::record::RemarkKind;
use crate::time::HeatMs;

impl Heat {
    /// Puts athletes to lanes as a new setup has them. Nothing changes if it is refused.
    pub(crate) fn set_lanes(&mut self, at: HeatMs, said: &SetLanes) -> Result<(), Refused> {
        self.may_set_lanes(said)?;
        let from = self.sources(said)?;
        let (rules, courses) = compile_all(&said.setup).map_err(|_| Refused::LanesCannotRun)?;
        let fresh = place_lanes(&said.setup, courses.len(), &rules).map_err(|_| Refused::LanesCannotRun)?;
        self.remark_in_words(at, RemarkKind::LanesSet, &said.says, &said.reason)?;
        for index in 0..self.lanes.len() {
            let leaves = !from.contains(&Some(index));
            if leaves && !self.lanes[index].record().is_empty() {
                self.put_away(index, self.lanes[index].run);
            }
        }
        self.change_places(&from);
        (self.rules, self.courses) = (rules, courses);
        for (lane, fresh) in self.lanes.iter_mut().zip(fresh) {
            (lane.division, lane.course, lane.occupied) = (fresh.division, fresh.course, fresh.occupied);
            lane.own.start = fresh.own.start;
        }
        for index in 0..self.lanes.len() {
            self.recount(index);
        }
        // Nothing that was tapped before the start counts, whoever stood there.
        self.moves = Moves::new(self.lanes.iter().map(|lane| lane.occupied).collect());
        self.groups = Groups::new(&self.lanes, &self.courses);
        self.screen.entries_changed();
        self.refresh_all();
        Ok(())
    }

    /// Whether lanes can be set now, and so.
    fn may_set_lanes(&self, said: &SetLanes) -> Result<(), Refused> {
        match self.phase {
            Phase::LanesSet | Phase::OnDeck => {}
            Phase::Signed(_) => return Err(Refused::HeatSigned),
            phase => return Err(Refused::LanesAfterStart(phase.state())),
        }
        if let Some(alone) = self.alone_now() {
            return Err(Refused::RunsAlone(alone));
        }
        if said.says.len() > MAX_SAYS_BYTES {
            return Err(Refused::TooLong("list of lanes", MAX_SAYS_BYTES));
        }
        let mut lanes: Vec<LaneNo> = said.setup.lanes.iter().map(|lane| lane.lane).collect();
        lanes.sort_unstable();
        if !lanes.into_iter().eq(self.lanes.iter().map(|lane| lane.no)) {
            return Err(Refused::OtherLanes);
        }
        Ok(())
    }

    /// For each place in lane order, the place of the lane whose athlete comes there; none where nobody does who stood
    /// in the heat.
    fn sources(&self, said: &SetLanes) -> Result<Vec<Option<usize>>, Refused> {
        let mut from = vec![None; self.lanes.len()];
        for (before, after) in &said.stays {
            let source = self.index_of(*before).ok_or(Refused::UnknownLane(*before))?;
            let target = self.index_of(*after).ok_or(Refused::UnknownLane(*after))?;
            let stands = said.setup.lanes.iter().any(|lane| lane.lane == *after && lane.occupied);
            if !self.lanes[source].occupied || !stands {
                return Err(Refused::EmptyLane(if stands { *before } else { *after }));
            }
            if from.contains(&Some(source)) || from[target].is_some() {
                return Err(Refused::LaneTaken(*after));
            }
            from[target] = Some(source);
        }
        Ok(from)
    }

    /// Brings every athlete who stays to the lane that is theirs now, by one exchange of two lanes after another.
    fn change_places(&mut self, from: &[Option<usize>]) {
        // Whose athlete stands at each place meanwhile.
        let mut at: Vec<usize> = (0..self.lanes.len()).collect();
        for (target, source) in from.iter().enumerate() {
            let Some(now) = source.and_then(|source| at.iter().position(|place| *place == source)) else {
                continue;
            };
            if now != target {
                let (low, high) = self.lanes.split_at_mut(now.max(target));
                low[now.min(target)].change_places(&mut high[0]);
                at.swap(now, target);
            }
        }
    }
}
