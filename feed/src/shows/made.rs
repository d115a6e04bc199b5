//! Makes the long cards, each once however often one program shows it.

use std::collections::BTreeMap;

use fivemark_wire::shows::Card;

use super::cards;
use super::record::Record;

/// Cards of one record.
pub(super) struct Made<'a> {
    record: &'a Record<'a>,
    /// Results of a heat, and standings of a heat's workout in a division.
    cards: BTreeMap<(u32, Option<usize>), Option<Card>>,
}

impl<'a> Made<'a> {
    pub(super) fn of(record: &'a Record<'a>) -> Self {
        Self { record, cards: BTreeMap::new() }
    }

    pub(super) fn record(&self) -> &'a Record<'a> {
        self.record
    }

    /// Results of a heat; none if it has none.
    pub(super) fn results(&mut self, heat: u32) -> Option<Card> {
        let make = || cards::results(self.record, heat);
        self.cards.entry((heat, None)).or_insert_with(make).clone()
    }

    /// Standings of a heat's workout in a division, or in each of the heat's.
    pub(super) fn standings(&mut self, heat: u32, division: Option<usize>) -> Vec<Card> {
        let divisions = match (division, self.record.plan(heat)) {
            (Some(division), _) => vec![division],
            (None, Some(plan)) => self.record.competition.divisions_of(plan),
            (None, None) => Vec::new(),
        };
        divisions.into_iter().filter_map(|division| self.standing(heat, division)).collect()
    }

    fn standing(&mut self, heat: u32, division: usize) -> Option<Card> {
        let make = || cards::standings(self.record, heat, division);
        self.cards.entry((heat, Some(division))).or_insert_with(make).clone()
    }
}
