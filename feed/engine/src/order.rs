//! Who stands where: live order, places, gaps. Works on lanes whose work is known; decides nothing about what
//! counts.

use crate::course::Course;
use crate::ids::LaneNo;
use crate::lane::Lane;
use crate::time::SpanMs;
use crate::view::Standing;
use crate::work::Work;
use crate::workout::{CappedAs, ClockRules, Scoring};

/// How far a lane, or the heat, is, as far as order and result depend on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// The run scores nothing: it was cancelled.
    Void,
    /// Before time is called, and the lane's own time is not up.
    Live,
    /// From then on.
    Called,
}

/// What order depends on besides the lanes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Floor<'a> {
    pub(crate) courses: &'a [Course],
    pub(crate) rules: &'a ClockRules,
    /// The heat's; while a lane runs again alone, its heat has been called already.
    pub(crate) stage: Stage,
    pub(crate) groups: &'a Groups,
}

/// Which lanes are ordered against each other, by their indices. Set by the heat's setup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Groups {
    divisions: Vec<Vec<usize>>,
    /// All lanes together where the occupied ones do the same work, so that the heat has an order of its own;
    /// else as the divisions.
    ordered: Vec<Vec<usize>>,
}

impl Groups {
    pub(crate) fn new(lanes: &[Lane], courses: &[Course]) -> Self {
        let mut numbers: Vec<u8> = lanes.iter().map(|lane| lane.division).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let members = |number: &u8| {
            (0..lanes.len()).filter(|index| lanes[*index].division == *number).collect::<Vec<usize>>()
        };
        let divisions: Vec<Vec<usize>> = numbers.iter().map(members).collect();
        let mut on_floor = lanes.iter().filter(|lane| lane.occupied).map(|lane| courses.get(lane.course));
        let first = on_floor.next();
        let same_work = on_floor.all(|course| Some(course) == first);
        let ordered = if same_work { vec![(0..lanes.len()).collect()] } else { divisions.clone() };
        Self { divisions, ordered }
    }
}

/// Places and gaps in the lanes' order, and the best lane still working (before the first finish: the leader).
pub(crate) fn standings(lanes: &[Lane], floor: Floor<'_>) -> (Vec<Standing>, Option<LaneNo>) {
    let keys: Vec<Option<Key>> = lanes.iter().map(|lane| key_of(lane, floor)).collect();
    let places = places_within(&floor.groups.ordered, &keys);
    let division_places = if floor.groups.ordered == floor.groups.divisions {
        places.clone()
    } else {
        places_within(&floor.groups.divisions, &keys)
    };
    let mut rows: Vec<Standing> = lanes
        .iter()
        .zip(places.iter().zip(&division_places))
        .map(|(lane, (place, division_place))| Standing {
            lane: lane.no,
            place: *place,
            division_place: *division_place,
            tied_apart: false,
            gap_units: None,
            gap: None,
        })
        .collect();
    let mut best: Option<(u32, Option<SpanMs>, LaneNo)> = None;
    for group in &floor.groups.ordered {
        if floor.stage == Stage::Called {
            mark_ties(&mut rows, &keys, group);
        }
        let Some(front) = fill_gaps(&mut rows, lanes, &keys, group, floor) else { continue };
        let lane = &lanes[front];
        let course = floor.courses.get(lane.course).filter(|course| !course.is_open_ended());
        let whole = course.map_or(u32::MAX, |course| course.score_units);
        let reached = reached(lane, lane.now().reached, floor);
        let candidate = (whole.saturating_sub(lane.now().score), reached, lane.no);
        best = Some(best.map_or(candidate, |best| best.min(candidate)));
    }
    (rows, best.map(|(_, _, lane)| lane))
}

/// Standard competition ranks (1-2-2-4) by ascending key; 0 for what has none.
pub(crate) fn competition_ranks<K: Ord>(keys: &[Option<K>]) -> Vec<u8> {
    let mut ranked: Vec<usize> = (0..keys.len()).filter(|index| keys[*index].is_some()).collect();
    ranked.sort_unstable_by(|a, b| keys[*a].cmp(&keys[*b]));
    let mut ranks = vec![0; keys.len()];
    let mut rank = 0;
    for (place, &index) in ranked.iter().enumerate() {
        if place == 0 || keys[ranked[place - 1]] != keys[index] {
            rank = u8::try_from(place + 1).unwrap_or(u8::MAX);
        }
        ranks[index] = rank;
    }
    ranks
}

/// When a lane came to a count, in the time that counts.
fn reached(lane: &Lane, heat_time: Option<SpanMs>, floor: Floor<'_>) -> Option<SpanMs> {
    heat_time.map(|heat_time| lane.own.counted(heat_time, floor.rules))
}

/// Marks lanes that have done equal work and are parted only by their tie-break times.
fn mark_ties(rows: &mut [Standing], keys: &[Option<Key>], group: &[usize]) {
    let apart = |one: Option<Key>, other: Option<Key>| match (one, other) {
        (Some(Key::Unfinished(work, tie)), Some(Key::Unfinished(same, other)))
        | (Some(Key::DidNotFinish(work, tie)), Some(Key::DidNotFinish(same, other))) => {
            work == same && tie != other
        }
        _ => false,
    };
    for &index in group {
        rows[index].tied_apart = group.iter().any(|other| apart(keys[index], keys[*other]));
    }
}

/// Sorts lanes: the lesser comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    /// By official time.
    Finished(SpanMs),
    /// Unfinished: by what ranks first, then by what parts equals.
    Unfinished(i64, i64),
    /// Did not finish: after all others with work (what a head judge expects; no published source).
    DidNotFinish(i64, i64),
}

fn key_of(lane: &Lane, floor: Floor<'_>) -> Option<Key> {
    use crate::command::StatusRuling::{DidNotFinish, DidNotStart, Disqualified};
    let work = lane.now();
    if !lane.occupied || floor.stage == Stage::Void {
        return None;
    }
    match work.status {
        Some(DidNotStart | Disqualified) => None,
        Some(DidNotFinish) => {
            let (first, then) = unfinished(lane, work, floor);
            Some(Key::DidNotFinish(first, then))
        }
        _ => match work.finish {
            Some(finish) => {
                let time = lane.own.official(finish.elapsed, work.penalty(), floor.rules);
                Some(Key::Finished(time))
            }
            None if lane.stage == Stage::Live && work.score == 0 => None,
            None => {
                let (first, then) = unfinished(lane, work, floor);
                Some(Key::Unfinished(first, then))
            }
        },
    }
}

/// More units come first. While the heat is live, equal units are parted by who reached them first; from time
/// called by tie-break time, if the workout has one: without it, the place is shared.
fn unfinished(lane: &Lane, work: &Work, floor: Floor<'_>) -> (i64, i64) {
    let more_first = -i64::from(work.score);
    let Some(course) = floor.courses.get(lane.course).filter(|_| floor.stage == Stage::Called) else {
        return (more_first, reached(lane, work.reached, floor).map_or(i64::MAX, |reached| reached.0));
    };
    let missing = course.score_units.saturating_sub(work.score);
    let first = match (course.scoring, floor.rules.capped_as) {
        (Scoring::ForTime, CappedAs::CapPlusPenalty) => {
            lane.own.capped(missing, work.penalty(), floor.rules).0
        }
        _ => more_first,
    };
    let then = match work.tie_break {
        Some((_, heat_time)) => lane.own.official(heat_time, SpanMs(0), floor.rules).0,
        None if course.has_tie_break() => i64::MAX,
        None => 0,
    };
    (first, then)
}

fn places_within(groups: &[Vec<usize>], keys: &[Option<Key>]) -> Vec<u8> {
    let mut places = vec![0; keys.len()];
    for group in groups {
        let own: Vec<Option<Key>> = group.iter().map(|index| keys[*index]).collect();
        for (index, place) in group.iter().zip(competition_ranks(&own)) {
            places[*index] = place;
        }
    }
    places
}

/// Fills the gaps of one group; gives its first lane on the floor.
fn fill_gaps(
    rows: &mut [Standing],
    lanes: &[Lane],
    keys: &[Option<Key>],
    group: &[usize],
    floor: Floor<'_>,
) -> Option<usize> {
    let leader =
        group.iter().copied().filter(|index| keys[*index].is_some()).min_by_key(|index| keys[*index])?;
    match keys[leader] {
        Some(Key::Finished(winner)) => {
            let live = |index: &usize| lanes[*index].stage == Stage::Live;
            let working = |index: &usize| live(index) && matches!(keys[*index], Some(Key::Unfinished(..)));
            let front = group.iter().copied().filter(working).min_by_key(|index| keys[*index]);
            for &index in group {
                match keys[index] {
                    Some(Key::Finished(time)) if rows[index].place > 1 => {
                        rows[index].gap = Some(SpanMs(time.0.saturating_sub(winner.0)));
                    }
                    Some(Key::Finished(_) | Key::DidNotFinish(..)) => {}
                    _ if !lanes[index].occupied || lanes[index].now().is_out() || !live(&index) => {}
                    _ => {
                        rows[index].gap_units = front
                            .filter(|front| *front != index)
                            .map(|front| lanes[front].now().score.saturating_sub(lanes[index].now().score));
                    }
                }
            }
            front
        }
        Some(Key::Unfinished(..)) => {
            for &index in group {
                let lane = &lanes[index];
                if rows[index].place == 1 || !lane.occupied || lane.now().is_out() {
                    continue;
                }
                let score = lane.now().score;
                rows[index].gap_units = Some(lanes[leader].now().score.saturating_sub(score));
                let own = reached(lane, lane.now().reached, floor);
                let ahead = reached(&lanes[leader], lanes[leader].reached(score), floor);
                let behind = own.filter(|_| score > 0).zip(ahead);
                rows[index].gap = behind.map(|(own, ahead)| SpanMs(own.0.saturating_sub(ahead.0).max(0)));
            }
            Some(leader)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_keys_share_a_rank_and_the_next_is_skipped() {
        #[track_caller]
        fn check(values: &[i64], want: &[u8]) {
            let keys: Vec<Option<i64>> = values.iter().copied().map(Some).collect();
            assert_eq!(competition_ranks(&keys), want);
        }
        // Printed in the docstring of scipy.stats.rankdata for method="min".
        check(&[0, 2, 3, 2], &[1, 2, 4, 2]);
        // Output of scipy 1.17.1's rankdata(method="min"), re-checked with pandas 3.1.1's Series.rank. The third
        // set was given in seconds; it stands here in hundredths.
        check(&[10, 20, 20, 30], &[1, 2, 2, 4]);
        check(&[6102, 5987, 7550, 6000], &[3, 1, 4, 2]);
        check(&[5, 5, 5, 5], &[1, 1, 1, 1]);
        check(&[7], &[1]);
        check(&[1, 2, 3, 4, 4], &[1, 2, 3, 4, 4]);
    }

    #[test]
    fn what_has_no_key_has_no_rank() {
        assert_eq!(competition_ranks(&[Some(3), None, Some(1)]), [2, 0, 1]);
        assert_eq!(competition_ranks::<i64>(&[]), Vec::<u8>::new());
    }
}
