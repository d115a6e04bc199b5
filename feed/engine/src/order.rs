//! What sorts lanes, live and from time called on, and which lanes are sorted against each other. Works on lanes whose
//! work is known; decides nothing about what counts. Places and gaps are worked out in `ladder`.

use crate::attempt::parts_equals;
use crate::clock::RunClock;
use crate::course::Course;
use crate::lane::Lane;
use crate::time::SpanMs;
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
    /// The clock of each run.
    pub(crate) clocks: &'a [RunClock],
    /// The heat's; while a lane runs again alone, its heat has been called already.
    pub(crate) stage: Stage,
    pub(crate) groups: &'a Groups,
}

/// Which lanes are ordered against each other, by their indices. Set by the heat's setup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Groups {
    pub(crate) divisions: Vec<Vec<usize>>,
    /// All lanes together where the occupied ones do the same work, so that the heat has an order of its own;
    /// else as the divisions.
    pub(crate) ordered: Vec<Vec<usize>>,
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

/// Gives standard competition ranks (1-2-2-4) along sorted keys; 0 for what has none.
pub(crate) fn give_ranks<K: PartialEq>(
    sorted: impl IntoIterator<Item = (usize, Option<K>)>,
    mut give: impl FnMut(usize, u16),
) {
    let (mut rank, mut before) = (0, None);
    for (count, (index, key)) in (1..).zip(sorted) {
        if key.is_some() && key != before {
            rank = count;
        }
        give(index, if key.is_some() { rank } else { 0 });
        before = key;
    }
}

/// When a lane came to a count, in the time that counts.
pub(crate) fn counted(lane: &Lane, heat_time: Option<SpanMs>, rules: &ClockRules) -> Option<SpanMs> {
    heat_time.map(|heat_time| lane.own.counted(heat_time, rules))
}

/// Sorts lanes: the lesser comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Key {
    /// By official time.
    Finished(SpanMs),
    /// Unfinished: by what ranks first, then by what parts equals.
    Unfinished(i64, i64),
    /// Did not finish: after all others with work (what a head judge expects; no published source).
    DidNotFinish(i64, i64),
    /// Has no place.
    Unplaced,
}

/// What sorts a lane now.
pub(crate) fn key_of(lane: &Lane, floor: Floor<'_>) -> Key {
    use crate::command::StatusRuling::{DidNotFinish, DidNotStart, Disqualified};
    let work = lane.now();
    if !lane.occupied || floor.stage == Stage::Void {
        return Key::Unplaced;
    }
    match work.status {
        Some(DidNotStart | Disqualified) => Key::Unplaced,
        Some(DidNotFinish) => {
            let (first, then) = unfinished(lane, work, floor);
            Key::DidNotFinish(first, then)
        }
        _ => match work.finish.filter(|_| !judges_attempts(lane, floor)) {
            Some(finish) => Key::Finished(lane.own.official(finish.elapsed, work.penalty(), floor.rules)),
            None if lane.stage == Stage::Live && work.score == 0 => Key::Unplaced,
            None => {
                let (first, then) = unfinished(lane, work, floor);
                Key::Unfinished(first, then)
            }
        },
    }
}

/// Whether the lane's attempts are judged: then having used them all is not a finish to be ranked by.
pub(crate) fn judges_attempts(lane: &Lane, floor: Floor<'_>) -> bool {
    floor.courses.get(lane.course).is_some_and(|course| course.scoring.judges_attempts())
}

/// More units come first, heavier loads, and longer holds. Attempts are ordered alike while the heat is live and from time
/// called: equal loads as the workout says, equal holds share. While the heat is live, equal units are parted by who reached them first; from time
/// called by tie-break time, if the workout has one: without it, the place is shared.
fn unfinished(lane: &Lane, work: &Work, floor: Floor<'_>) -> (i64, i64) {
    let more_first = -i64::from(work.score);
    if let Some(course) = floor.courses.get(lane.course).filter(|course| course.scoring.judges_attempts()) {
        let reached = work.reached.map_or(0, |at| lane.own.official(at, SpanMs(0), floor.rules).0);
        let then = match course.scoring {
            Scoring::HeaviestLift { equal, .. } if work.score > 0 => {
                parts_equals(equal, work.tries, SpanMs(reached))
            }
            _ => 0,
        };
        return (more_first, then);
    }
    let Some(course) = floor.courses.get(lane.course).filter(|_| floor.stage == Stage::Called) else {
        return (more_first, counted(lane, work.reached, floor.rules).map_or(i64::MAX, |reached| reached.0));
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

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Ranks by ascending key, in the keys' own order.
    pub(crate) fn competition_ranks<K: Ord + Clone>(keys: &[Option<K>]) -> Vec<u16> {
        let mut sorted: Vec<usize> = (0..keys.len()).collect();
        sorted.sort_by_key(|index| (keys[*index].is_none(), keys[*index].clone()));
        let mut ranks = vec![0; keys.len()];
        give_ranks(sorted.iter().map(|index| (*index, keys[*index].clone())), |index, rank| {
            ranks[index] = rank;
        });
        ranks
    }

    #[test]
    fn equal_keys_share_a_rank_and_the_next_is_skipped() {
        #[track_caller]
        fn check(values: &[i64], want: &[u16]) {
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
        assert_eq!(competition_ranks::<i64>(&[]), Vec::<u16>::new());
    }
}
