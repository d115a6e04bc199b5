//! Who stands where in a line of places, and how they move when that changes: a swap glides, and whoever climbs passes
//! over the others. Boxes and texts of one layer are painted in turn, so who is passed over is cut back to what is left
//! of it instead of being painted under; as all are equally long, that is always one stretch.

use crate::motion::{Change, Glide};

/// How long a swap takes, microseconds.
const SWAP_US: i64 = 300_000;
/// How long it takes to come in or leave.
const RISE_US: i64 = 240_000;
/// Least time from one change of the order to the next, microseconds: what is behind shows once in a change, so that
/// fewer than three flash in a second, however fast places change.
const REST_US: i64 = 340_000;

/// Somebody in a line.
#[derive(Clone, Debug)]
struct Slot {
    id: u8,
    at: Glide,
    /// Index that it has or heads for.
    to: usize,
    /// Where it came from, so that it is known which way it goes.
    climbs: bool,
    rise: Change<bool>,
}

/// A line of places.
#[derive(Clone, Debug, Default)]
pub(crate) struct Slots {
    list: Vec<Slot>,
    /// From the lowest to the uppermost.
    order: Vec<Standing>,
    /// When the order last changed.
    changed_us: Option<i64>,
    /// Another order is wanted, and has to wait.
    waits: bool,
}

/// One of the line as it stands at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Standing {
    pub(crate) id: u8,
    /// Place in the line; fractions on the way.
    pub(crate) at: f32,
    /// How far it is in, 0 to 1.
    pub(crate) rise: f32,
    depth: u8,
}

impl Slots {
    /// Forgets everybody.
    pub(crate) fn clear(&mut self) {
        self.list.clear();
        self.waits = false;
    }

    /// Takes in who should stand where: ids in order, the first at index `first`. Nobody glides from one line of
    /// `columns` places into another: who changes lines leaves and comes in. Without `moves` all is at once.
    pub(crate) fn follow(&mut self, ids: &[u8], (first, columns): (usize, usize), now_us: i64, moves: bool) {
        let length = |us: i64| if moves { us } else { 0 };
        self.list.retain(|slot| slot.rise.to || slot.rise.moves(now_us));
        let anew = self.list.is_empty();
        let differs = !self.stands(ids, first);
        let rests = self.changed_us.is_some_and(|changed_us| now_us - changed_us < REST_US);
        self.waits = differs && rests && !anew;
        if self.waits || !differs {
            return;
        }
        // Those who are there from the beginning have not changed.
        self.changed_us = (!anew).then_some(now_us);
        for slot in &mut self.list {
            if !ids.contains(&slot.id) {
                slot.rise.change_to(false, now_us, length(RISE_US));
            }
        }
        for (to, id) in (first..).zip(ids) {
            match self.list.iter_mut().find(|slot| slot.id == *id && slot.rise.to) {
                Some(slot) if slot.to / columns == to / columns => {
                    if slot.to != to {
                        slot.climbs = to < slot.to;
                        slot.at.head_for(index(to), now_us, length(SWAP_US));
                        slot.to = to;
                    }
                }
                Some(slot) => slot.put(to, now_us, length(RISE_US)),
                None => {
                    let rise = Change::at(anew);
                    let mut slot = Slot { id: *id, at: Glide::at(index(to)), to, climbs: false, rise };
                    slot.rise.change_to(true, now_us, length(RISE_US));
                    self.list.push(slot);
                }
            }
        }
        self.list.retain(|slot| slot.rise.to || slot.rise.moves(now_us));
    }

    /// Whether these stand or head where they should already, and nobody else.
    fn stands(&self, ids: &[u8], first: usize) -> bool {
        let stays = || self.list.iter().filter(|slot| slot.rise.to);
        let is_there = |(to, id): (usize, &u8)| stays().any(|slot| slot.id == *id && slot.to == to);
        stays().count() == ids.len() && (first..).zip(ids).all(is_there)
    }

    /// Whether anybody moves, or waits to.
    pub(crate) fn moves(&self, now_us: i64) -> bool {
        self.waits || self.list.iter().any(|slot| slot.at.moves(now_us) || slot.rise.moves(now_us))
    }

    /// How all stand now, from the lowest to the uppermost.
    pub(crate) fn standings(&mut self, now_us: i64) -> &[Standing] {
        self.order.clear();
        self.order.extend(self.list.iter().map(|slot| {
            let share = slot.rise.share(now_us);
            let depth = match (slot.rise.to, slot.at.moves(now_us), slot.climbs) {
                (false, ..) => 0,
                (true, true, true) => 4,
                (true, true, false) => 2,
                (true, false, _) if slot.rise.moves(now_us) => 1,
                (true, false, _) => 3,
            };
            let rise = if slot.rise.to { share } else { 1.0 - share };
            Standing { id: slot.id, at: slot.at.place(now_us), rise, depth }
        }));
        self.order.sort_unstable_by_key(|standing| (standing.depth, standing.id));
        &self.order
    }
}

impl Slot {
    /// Comes in anew at a place in another line.
    fn put(&mut self, to: usize, now_us: i64, length_us: i64) {
        self.at = Glide::at(index(to));
        self.to = to;
        self.climbs = false;
        self.rise = Change::at(false);
        self.rise.change_to(true, now_us, length_us);
    }
}

/// What is left to be seen of the `index`th of these stretches, each `length` long, when those after it lie over it
/// with `gap` around them; none if nothing is.
pub(crate) fn seen(starts: &[f32], index: usize, length: f32, gap: f32) -> Option<(f32, f32)> {
    let start = *starts.get(index)?;
    let (mut from, mut to) = (start, start + length);
    for over in &starts[index + 1..] {
        if (over - start).abs() >= length + gap {
            continue;
        }
        if *over <= start {
            from = from.max(over + length + gap);
        }
        if *over >= start {
            to = to.min(over - gap);
        }
    }
    (from < to).then_some((from, to))
}

#[allow(clippy::cast_precision_loss)] // at most 40
fn index(at: usize) -> f32 {
    at as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(ids: &[u8]) -> Slots {
        let mut slots = Slots::default();
        slots.follow(ids, (1, 6), 0, true);
        slots
    }

    fn at(slots: &mut Slots, id: u8, now_us: i64) -> Option<(f32, f32)> {
        let standing = slots.standings(now_us).iter().find(|standing| standing.id == id);
        standing.map(|standing| (standing.at, standing.rise))
    }

    #[test]
    fn who_comes_first_stands_at_once_and_a_swap_glides() {
        let mut slots = line(&[4, 7, 2]);
        assert!(!slots.moves(0));
        assert_eq!(at(&mut slots, 7, 0), Some((2.0, 1.0)));
        slots.follow(&[7, 4, 2], (1, 6), 1_000, true);
        assert!(slots.moves(1_000));
        let (half, _) = at(&mut slots, 7, 60_000).unwrap();
        assert!((1.0..2.0).contains(&half), "{half}");
        assert_eq!(slots.standings(60_000).last().unwrap().id, 7, "who climbs is above");
        assert!(!slots.moves(1_000 + SWAP_US) && SWAP_US <= 300_000);
        assert_eq!(at(&mut slots, 7, 400_000), Some((1.0, 1.0)));
        assert_eq!(at(&mut slots, 4, 400_000), Some((2.0, 1.0)));
    }

    #[test]
    fn an_order_rests_before_it_changes_again() {
        let mut slots = line(&[4, 7, 2]);
        let ids = |slots: &Slots| {
            let mut list: Vec<_> = slots.list.iter().map(|slot| (slot.to, slot.id)).collect();
            list.sort_unstable();
            list.into_iter().map(|(_, id)| id).collect::<Vec<_>>()
        };
        let from_us = 1_000_000;
        let mut changes = 0;
        for frame in 0..60 {
            let wanted = if frame / 3 % 2 == 0 { [7, 4, 2] } else { [4, 7, 2] };
            let before = ids(&slots);
            slots.follow(&wanted, (1, 6), from_us + frame * 16_667, true);
            changes += u32::from(before != ids(&slots));
            assert!(ids(&slots) == wanted || slots.moves(from_us + frame * 16_667), "it comes later");
        }
        assert_eq!(changes, 3, "in a second");
        slots.follow(&[2, 4, 7], (1, 6), from_us + 2_000_000, true);
        assert_eq!(ids(&slots), [2, 4, 7], "the last one stands");
    }

    #[test]
    fn who_leaves_sinks_and_who_comes_rises() {
        let mut slots = line(&[4, 7, 2]);
        slots.follow(&[7, 2, 9], (1, 6), 0, true);
        let (_, leaving) = at(&mut slots, 4, 100_000).unwrap();
        let (place, coming) = at(&mut slots, 9, 100_000).unwrap();
        assert!(leaving < 1.0 && coming > 0.0 && (place - 3.0).abs() < f32::EPSILON);
        slots.follow(&[7, 2, 9], (1, 6), 400_000, true);
        assert_eq!(at(&mut slots, 4, 400_000), None);
        slots.follow(&[2, 7, 9], (1, 6), 400_000, false);
        assert!(!slots.moves(400_000), "without motion at once");
    }

    #[test]
    fn nobody_glides_from_one_line_to_another() {
        let mut slots = Slots::default();
        slots.follow(&[1, 2, 3, 4], (1, 3), 0, true);
        slots.follow(&[1, 3, 2, 4], (1, 3), 0, true);
        assert_eq!(at(&mut slots, 3, 0), Some((2.0, 0.0)));
        assert_eq!(at(&mut slots, 2, 0), Some((3.0, 0.0)));
    }

    #[test]
    fn who_is_passed_over_is_cut_to_one_stretch() {
        assert_eq!(seen(&[0.0, 10.0], 0, 8.0, 2.0), Some((0.0, 8.0)));
        assert_eq!(seen(&[0.0, 5.0], 0, 8.0, 2.0), Some((0.0, 3.0)));
        assert_eq!(seen(&[5.0, 0.0], 0, 8.0, 2.0), Some((10.0, 13.0)));
        assert_eq!(seen(&[5.0, 0.0, 8.0], 0, 8.0, 1.0), None);
        assert_eq!(seen(&[5.0, 5.0], 0, 8.0, 1.0), None);
        assert_eq!(seen(&[5.0, 5.0], 1, 8.0, 1.0), Some((5.0, 13.0)));
    }
}
