//! What items of a draw list are called: by what they are for, never by where they stand, so that the same thing has the
//! same key from frame to frame. A key can be read: `Board/3/Count/0` is the last figure of lane 3's count.

use std::fmt;

use crate::draw::ItemKey;

/// An enum whose variants are listed a second time, so that a number leads back to its name.
macro_rules! listed {
    ($(#[$meta:meta])* $name:ident: $repr:ty { $($variant:ident),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[repr($repr)]
        pub(crate) enum $name { $($variant),+ }

        impl $name {
            const ALL: &[$name] = &[$($name::$variant),+];
        }
    };
}

listed! {
    /// What an item is for, within its lane or the header.
    Kind: u16 {
        Row,
        Edge,
        LaneNumber,
        Name,
        Members,
        Cell,
        CellFill,
        CellLabel,
        Hidden,
        Sweep,
        Block,
        BlockFill,
        Notch,
        Gap,
        GapGround,
        BarWord,
        BarGap,
        TagPlate,
        TagText,
        NoRepPlate,
        NoRepText,
        Count,
        CountBefore,
        CountWord,
        Ruled,
        RuledPlate,
        Badge,
        Place,
        PlaceBefore,
        Clock,
        ClockTenth,
        Title,
        Subtitle,
        Cap,
        Left,
        LeftWords,
        StatePlate,
        StateHatch,
        StateWord,
        CapGone,
        CapLeft,
        Mark,
        MarkText,
        Scrim,
        Notice,
        NoticeTitle,
        NoticeText,
        BigFigure,
        Motif,
        Plate,
        RoundPlate,
        RoundText,
        Wrap,
        Division,
        LeftPlate,
        Dim,
        TestLine,
        TestFrame,
        TestCorner,
        TestPlate,
        TestSample,
        TestText,
        TestSwatch,
        CodePlate,
        CodeModule,
        Logo,
        LogoPlate,
        Backdrop,
        BarPlate,
        Cross,
    }
}

listed! {
    /// Groups of items; each may show every lane once. A board has one; an overlay has one for each of its parts.
    Group: u8 {
        Board,
        Ribbon,
        Card,
        Finishers,
        Rail,
        Corner,
        CornerClock,
        Duel,
        Between,
    }
}

/// The key of the `index`th item of a kind on a lane; lane 0 is the board itself.
pub(crate) fn key(lane: u8, kind: Kind, index: usize) -> ItemKey {
    let index = u64::try_from(index & 0xFFFF).unwrap_or(0);
    ItemKey(u64::from(lane) << 32 | u64::from(kind as u16) << 16 | index)
}

/// The group, the lane, what it is for, and which of several.
impl fmt::Display for ItemKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [group, lane, kind, index] = [48, 32, 16, 0].map(|shift| self.0 >> shift & 0xFFFF);
        let at = |number: u64| usize::try_from(number).unwrap_or(usize::MAX);
        match (Group::ALL.get(at(group)), Kind::ALL.get(at(kind))) {
            (Some(group), Some(kind)) => write!(f, "{group:?}/{lane}/{kind:?}/{index}"),
            _ => write!(f, "{:016x}", self.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_reads_as_what_it_was_made_from() {
        for (at, kind) in Kind::ALL.iter().enumerate() {
            assert_eq!((usize::from(*kind as u16), key(3, *kind, 7)), (at, key(3, Kind::ALL[at], 7)));
            assert_eq!(key(40, *kind, 2).to_string(), format!("Board/40/{kind:?}/2"));
        }
        let of_rail = ItemKey(key(9, Kind::Count, 1).0 | (Group::Rail as u64) << 48);
        assert_eq!(of_rail.to_string(), "Rail/9/Count/1");
        assert_eq!(ItemKey(u64::MAX).to_string(), "ffffffffffffffff");
    }
}
