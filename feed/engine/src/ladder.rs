//! Who stands where: places, gaps, and who is first on the floor. Kept from one look to the next, so that a call costs
//! one step of one lane and a pass over the places.

use crate::ids::LaneNo;
use crate::lane::Lane;
use crate::order::{Floor, Groups, Key, Stage, counted, give_ranks, judges_attempts, key_of};
use crate::time::SpanMs;
use crate::view::Standing;

/// Places and gaps of all lanes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ladder {
    /// In lane order.
    pub(crate) rows: Vec<Standing>,
    /// The best lane still working, or the leader.
    pub(crate) front: Option<LaneNo>,
    /// What sorts each lane, in lane order.
    keys: Vec<Key>,
    /// The history of each lane that the gaps were read from, in lane order.
    histories: Vec<u32>,
    /// The lanes of each group, first to last; equal ones in lane order.
    ordered: Vec<Vec<usize>>,
    /// The same for divisions, where these are other groups.
    divisions: Vec<Vec<usize>>,
    /// In lane order.
    ahead: Vec<Ahead>,
    /// Room for the next rows; empty between two looks.
    spare: Vec<Standing>,
}

/// When the leader of a lane's group stood at that lane's score.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Ahead {
    leader: usize,
    /// The leader's history that it was read from.
    history: u32,
    score: u32,
    /// Heat time; none if not known yet.
    at: Option<SpanMs>,
    /// Where it was read in that history.
    near: usize,
}

impl Ladder {
    /// One lane may have changed. Gives the lanes whose place or gap changed, a bit per place in lane order.
    pub(crate) fn update(&mut self, index: usize, lanes: &[Lane], floor: Floor<'_>) -> u64 {
        let key = key_of(&lanes[index], floor);
        let old = std::mem::replace(&mut self.keys[index], key);
        let history = lanes[index].history();
        let rewritten = std::mem::replace(&mut self.histories[index], history) != history;
        if old == key && !rewritten {
            return 0;
        }
        let has_lane = |group: &&mut Vec<usize>| group.contains(&index);
        let Some(group) = self.ordered.iter_mut().find(has_lane) else { return 0 };
        let leader = group.first().copied().filter(|leader| *leader != index);
        let moved = reorder(group, index, old, &self.keys);
        // Behind a leader who stays, a lane that works on changes its own gap and perhaps some places.
        let works_on = |key: Key| matches!(key, Key::Unfinished(..) | Key::Unplaced);
        let same_leader = leader.filter(|leader| group.first() == Some(leader));
        let behind = same_leader.filter(|leader| matches!(self.keys[*leader], Key::Unfinished(..)));
        let own_division = self.divisions.iter_mut().find(has_lane);
        let moved_within = own_division.map(|group| reorder(group, index, old, &self.keys));
        let quick = floor.stage == Stage::Live && !rewritten && works_on(old) && works_on(key);
        match behind.filter(|_| quick) {
            Some(leader) => {
                let places = if moved || moved_within == Some(true) { self.place() } else { 0 };
                places | self.follow(leader, index, lanes, floor)
            }
            None => self.fill(lanes, floor),
        }
    }

    /// Gives all lanes their places; with those that changed.
    fn place(&mut self) -> u64 {
        let mut changed = 0;
        let Self { rows, keys, ordered, divisions, .. } = self;
        let mut change = |index: usize, rank: u16, of: fn(&mut Standing) -> &mut u8| {
            // No heat has so many lanes.
            let rank = u8::try_from(rank).unwrap_or(u8::MAX);
            let place = of(&mut rows[index]);
            changed |= u64::from(*place != rank) << index;
            *place = rank;
        };
        for group in &*ordered {
            give_ranks(sorted(group, keys), |index, rank| {
                change(index, rank, |row| &mut row.place);
                if divisions.is_empty() {
                    change(index, rank, |row| &mut row.division_place);
                }
            });
        }
        for group in &*divisions {
            give_ranks(sorted(group, keys), |index, rank| change(index, rank, |row| &mut row.division_place));
        }
        changed
    }

    /// Works out the gap of one lane behind a leader who stayed.
    fn follow(&mut self, leader: usize, index: usize, lanes: &[Lane], floor: Floor<'_>) -> u64 {
        let Self { rows, keys, ahead, .. } = self;
        let before = rows[index];
        (rows[index].gap_units, rows[index].gap) = (None, None);
        Look { lanes, keys, floor }.gap_to_leader(leader, index, rows, ahead);
        u64::from(rows[index] != before) << index
    }

    /// Anything may have changed. Gives the lanes whose place or gap changed.
    pub(crate) fn renew(&mut self, lanes: &[Lane], floor: Floor<'_>) -> u64 {
        self.keys.clear();
        self.keys.extend(lanes.iter().map(|lane| key_of(lane, floor)));
        self.histories.clear();
        self.histories.extend(lanes.iter().map(Lane::history));
        let Groups { divisions, ordered } = floor.groups;
        self.ordered.clone_from(ordered);
        if ordered == divisions {
            self.divisions.clear();
        } else {
            self.divisions.clone_from(divisions);
        }
        for group in self.ordered.iter_mut().chain(&mut self.divisions) {
            group.sort_unstable_by_key(|index| (self.keys[*index], *index));
        }
        self.ahead.resize(lanes.len(), Ahead::default());
        self.fill(lanes, floor)
    }

    /// Works out places and gaps of sorted lanes.
    fn fill(&mut self, lanes: &[Lane], floor: Floor<'_>) -> u64 {
        self.spare.clone_from(&self.rows);
        self.rows.clear();
        self.rows.extend(lanes.iter().map(|lane| Standing {
            lane: lane.no,
            place: 0,
            division_place: 0,
            tied_apart: false,
            gap_units: None,
            gap: None,
        }));
        self.place();
        let Self { rows, keys, ordered, ahead, .. } = self;
        let mut best: Option<(u32, Option<SpanMs>, LaneNo)> = None;
        for group in &*ordered {
            if floor.stage == Stage::Called {
                mark_ties(rows, keys, group);
            }
            let Some(front) = (Look { lanes, keys, floor }).gaps(group, rows, ahead) else { continue };
            let lane = &lanes[front];
            let course = floor.courses.get(lane.course).filter(|course| !course.is_open_ended());
            let whole = course.map_or(u32::MAX, |course| course.score_units);
            let reached = counted(lane, lane.now().reached, floor.rules);
            let candidate = (whole.saturating_sub(lane.now().score), reached, lane.no);
            best = Some(best.map_or(candidate, |best| best.min(candidate)));
        }
        self.front = best.map(|(_, _, lane)| lane);
        let changed = (0..).zip(self.spare.iter().zip(&self.rows)).filter(|(_, (old, new))| old != new);
        let changed = changed.fold(0, |set, (index, _)| set | 1_u64 << index);
        self.spare.clear();
        changed
    }
}

/// The lanes of a sorted group with what sorts them, as far as they have a place.
fn sorted<'a>(group: &'a [usize], keys: &'a [Key]) -> impl Iterator<Item = (usize, Option<Key>)> + 'a {
    group.iter().map(|index| (*index, Some(keys[*index]).filter(|key| *key != Key::Unplaced)))
}

/// Moves one lane, whose key has changed from `old`, to where it belongs among the others. Whether any place may have
/// changed by it: not if it stays where it was, with its equal neither before nor after.
fn reorder(group: &mut [usize], index: usize, old: Key, keys: &[Key]) -> bool {
    let Some(from) = group.iter().position(|known| *known == index) else { return false };
    let sorts = |index: usize| (keys[index], index);
    let mut place = from;
    while place > 0 && sorts(group[place - 1]) > sorts(index) {
        group.swap(place - 1, place);
        place -= 1;
    }
    while place + 1 < group.len() && sorts(index) > sorts(group[place + 1]) {
        group.swap(place, place + 1);
        place += 1;
    }
    let equal = |other: Option<&usize>| other.is_some_and(|other| [old, keys[index]].contains(&keys[*other]));
    let before = place.checked_sub(1).and_then(|before| group.get(before));
    place != from
        || [old, keys[index]].contains(&Key::Unplaced)
        || equal(before)
        || equal(group.get(place + 1))
}

/// Marks lanes that have done equal work and are parted only by their tie-break times.
fn mark_ties(rows: &mut [Standing], keys: &[Key], group: &[usize]) {
    let work = |index: usize| match keys[index] {
        Key::Unfinished(work, tie) => Some(((false, work), tie)),
        Key::DidNotFinish(work, tie) => Some(((true, work), tie)),
        Key::Finished(_) | Key::Unplaced => None,
    };
    let equal = |one: &usize, other: &usize| match (work(*one), work(*other)) {
        (Some((one, _)), Some((other, _))) => one == other,
        _ => false,
    };
    for equals in group.chunk_by(equal) {
        let ties = |index: Option<&usize>| index.and_then(|index| work(*index)).map(|(_, tie)| tie);
        let apart = ties(equals.first()) != ties(equals.last());
        equals.iter().for_each(|index| rows[*index].tied_apart = apart);
    }
}

/// What gaps are worked out from.
#[derive(Clone, Copy)]
struct Look<'a> {
    lanes: &'a [Lane],
    keys: &'a [Key],
    floor: Floor<'a>,
}

impl Look<'_> {
    /// Fills the gaps of one sorted group; gives its first lane on the floor.
    fn gaps(self, group: &[usize], rows: &mut [Standing], ahead: &mut [Ahead]) -> Option<usize> {
        let &leader = group.first()?;
        match self.keys[leader] {
            Key::Finished(winner) => self.gaps_to_winner(winner, group, rows),
            Key::Unfinished(..) => {
                group.iter().for_each(|index| self.gap_to_leader(leader, *index, rows, ahead));
                Some(leader)
            }
            Key::DidNotFinish(..) | Key::Unplaced => None,
        }
    }

    /// Once somebody has finished: time behind the winner, or units behind the first on the floor.
    fn gaps_to_winner(self, winner: SpanMs, group: &[usize], rows: &mut [Standing]) -> Option<usize> {
        let live = |index: usize| self.lanes[index].stage == Stage::Live;
        let working = |index: &usize| live(*index) && matches!(self.keys[*index], Key::Unfinished(..));
        let front = group.iter().copied().find(working);
        for &index in group {
            let lane = &self.lanes[index];
            match self.keys[index] {
                Key::Finished(time) if rows[index].place > 1 => {
                    rows[index].gap = Some(SpanMs(time.0.saturating_sub(winner.0)));
                }
                Key::Finished(_) | Key::DidNotFinish(..) => {}
                _ if !lane.occupied || lane.now().is_out() || !live(index) => {}
                _ => {
                    let behind =
                        |front: usize| self.lanes[front].now().score.saturating_sub(lane.now().score);
                    rows[index].gap_units = front.filter(|front| *front != index).map(behind);
                }
            }
        }
        front
    }

    /// Before: units behind the leader, and how long ago the leader stood there.
    fn gap_to_leader(self, leader: usize, index: usize, rows: &mut [Standing], ahead: &mut [Ahead]) {
        let (lane, first) = (&self.lanes[index], &self.lanes[leader]);
        if rows[index].place == 1 || !lane.occupied || lane.now().is_out() {
            return;
        }
        let score = lane.now().score;
        let attempts = judges_attempts(lane, self.floor);
        if attempts && score == 0 {
            // Who has no good attempt is not so many kilograms behind.
            return;
        }
        rows[index].gap_units = Some(first.now().score.saturating_sub(score));
        if attempts || score == 0 {
            return;
        }
        let known = &mut ahead[index];
        let asked = Ahead { leader, history: first.history(), score, ..*known };
        if known.at.is_none() || *known != asked {
            *known = asked;
            known.at = first.reached(score, &mut known.near);
        }
        let own = counted(lane, lane.now().reached, self.floor.rules);
        let behind = own.zip(counted(first, known.at, self.floor.rules));
        rows[index].gap = behind.map(|(own, ahead)| SpanMs(own.0.saturating_sub(ahead.0).max(0)));
    }
}
