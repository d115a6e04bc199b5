//! What an output shows of its picture: a rectangle of it, turned by quarter turns, as it is or as fill or key. Says
//! where each pixel comes from, and cuts rows that have come out of the card to what the output needs; a window's own
//! copy on the card follows the same rule.

use serde::Deserialize;

use crate::gpu::damage::PxRect;

/// A quarter turn, clockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// As the picture stands.
    #[default]
    None,
    /// The picture's top is at the right.
    Quarter,
    /// Upside down.
    Half,
    /// The picture's top is at the left.
    ThreeQuarters,
}

impl Turn {
    /// By its degrees; none for what is no quarter turn.
    #[must_use]
    pub fn of_degrees(degrees: i64) -> Option<Self> {
        Some(match degrees {
            0 => Self::None,
            90 => Self::Quarter,
            180 => Self::Half,
            270 => Self::ThreeQuarters,
            _ => return None,
        })
    }

    /// The size of what has `size` before the turn, and the other way round.
    #[must_use]
    pub fn size(self, size: [u32; 2]) -> [u32; 2] {
        match self {
            Self::None | Self::Half => size,
            Self::Quarter | Self::ThreeQuarters => [size[1], size[0]],
        }
    }
}

/// What of the picture's pixels is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Show {
    /// The picture with its alpha.
    #[default]
    Picture,
    /// Colours as they stand over black (multiplied with alpha, in the sRGB encoding), opaque: what a mixer adds to
    /// its own picture once the key has dimmed that.
    Fill,
    /// The alpha as grey, opaque, its values as they are.
    Key,
}

impl Show {
    /// One pixel of the canvas, which is premultiplied, as it is shown.
    #[must_use]
    pub fn of(self, [red, green, blue, alpha]: [u8; 4]) -> [u8; 4] {
        match self {
            Self::Picture => [red, green, blue, alpha],
            Self::Fill => [red, green, blue, 255],
            Self::Key => [alpha, alpha, alpha, 255],
        }
    }
}

/// What an output shows of its picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Excerpt {
    /// The rectangle of the picture; all of it if none is given.
    pub part: Option<PxRect>,
    /// Turned by this much.
    pub turn: Turn,
    /// Picture, fill or key.
    pub show: Show,
}

/// An excerpt of a picture whose size is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cutout {
    /// The rectangle, within the picture.
    pub part: PxRect,
    /// Turned by this much.
    pub turn: Turn,
    /// Picture, fill or key.
    pub show: Show,
}

impl Excerpt {
    /// The excerpt of a picture of this size.
    #[must_use]
    pub fn of(self, picture: [u32; 2]) -> Cutout {
        let whole = PxRect::of_size(picture);
        let part = self.part.map_or(whole, |part| part.intersect(whole));
        Cutout { part, turn: self.turn, show: self.show }
    }
}

/// Where an output's pixels come from: the one at `x`, `y` shows the canvas at `origin + x * across + y * down`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Mapping {
    pub origin: [i32; 2],
    pub across: [i32; 2],
    pub down: [i32; 2],
}

impl Cutout {
    /// Width and height of the output, pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        self.turn.size(self.part.size())
    }

    /// Where the output's pixels come from.
    #[must_use]
    pub fn mapping(&self) -> Mapping {
        let PxRect { left, top, right, bottom } = self.part;
        match self.turn {
            Turn::None => Mapping { origin: [left, top], across: [1, 0], down: [0, 1] },
            Turn::Quarter => Mapping { origin: [left, bottom - 1], across: [0, -1], down: [1, 0] },
            Turn::Half => Mapping { origin: [right - 1, bottom - 1], across: [-1, 0], down: [0, -1] },
            Turn::ThreeQuarters => Mapping { origin: [right - 1, top], across: [0, 1], down: [-1, 0] },
        }
    }

    /// Where a rectangle of the picture lies on the output, as far as it is in the part.
    #[must_use]
    pub fn place(&self, rect: PxRect) -> PxRect {
        let rect = rect.intersect(self.part);
        if rect.is_empty() {
            return PxRect::default();
        }
        let (from_left, to_left) = (rect.left - self.part.left, rect.right - self.part.left);
        let (from_top, to_top) = (rect.top - self.part.top, rect.bottom - self.part.top);
        let (from_right, to_right) = (self.part.right - rect.right, self.part.right - rect.left);
        let (from_bottom, to_bottom) = (self.part.bottom - rect.bottom, self.part.bottom - rect.top);
        let ((left, right), (top, bottom)) = match self.turn {
            Turn::None => ((from_left, to_left), (from_top, to_top)),
            Turn::Quarter => ((from_bottom, to_bottom), (from_left, to_left)),
            Turn::Half => ((from_right, to_right), (from_bottom, to_bottom)),
            Turn::ThreeQuarters => ((from_top, to_top), (from_right, to_right)),
        };
        PxRect { left, top, right, bottom }
    }

    /// Where the output is not clear, of a picture that is clear outside of `painted`: fill and key are opaque
    /// everywhere.
    #[must_use]
    pub fn extent(&self, painted: PxRect) -> PxRect {
        match self.show {
            Show::Picture => self.place(painted),
            Show::Fill | Show::Key => PxRect::of_size(self.size()),
        }
    }

    /// Gives `take` what the output needs of a rectangle of the picture: where it lies on the output, its rows, and the
    /// bytes from one row to the next. `rows` are the rectangle's own, four bytes a pixel, `row_bytes` apart.
    pub fn cut(
        &self,
        rect: PxRect,
        rows: &[u8],
        row_bytes: usize,
        scratch: &mut Vec<u8>,
        take: &mut dyn FnMut(PxRect, &[u8], usize),
    ) {
        let place = self.place(rect);
        if place.is_empty() {
            return;
        }
        let at = |x: i32, y: i32| {
            let [x, y] = [x - rect.left, y - rect.top].map(|side| usize::try_from(side).unwrap_or(0));
            y * row_bytes + x * 4
        };
        if (self.turn, self.show) == (Turn::None, Show::Picture) {
            let inside = rect.intersect(self.part);
            take(place, rows.get(at(inside.left, inside.top)..).unwrap_or_default(), row_bytes);
            return;
        }
        let Mapping { origin, across, down } = self.mapping();
        scratch.clear();
        for y in place.top..place.bottom {
            for x in place.left..place.right {
                let from = [0, 1].map(|axis| origin[axis] + x * across[axis] + y * down[axis]);
                let start = at(from[0], from[1]);
                let pixel = rows.get(start..start + 4).and_then(|pixel| pixel.try_into().ok());
                scratch.extend_from_slice(&self.show.of(pixel.unwrap_or_default()));
            }
        }
        let width = usize::try_from(place.right - place.left).unwrap_or(0);
        take(place, scratch, width * 4);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PICTURE: [u32; 2] = [7, 5];
    const TURNS: [Turn; 4] = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];

    /// A pixel that says where it is.
    fn pixel(x: i32, y: i32) -> [u8; 4] {
        [x, y, 9, 40 + x].map(|value| u8::try_from(value).expect("a small picture"))
    }

    /// The rectangle's rows, with padding between them.
    fn rows(rect: PxRect) -> (Vec<u8>, usize) {
        let row_bytes = rect.size()[0] as usize * 4 + 12;
        let mut bytes = Vec::new();
        for y in rect.top..rect.bottom {
            (rect.left..rect.right).for_each(|x| bytes.extend_from_slice(&pixel(x, y)));
            bytes.resize(bytes.len() + 12, 0xEE);
        }
        (bytes, row_bytes)
    }

    /// One quarter turn clockwise, as one turns a sheet of paper: what was the bottom row is the left column.
    fn quarter(sheet: &[Vec<[u8; 4]>]) -> Vec<Vec<[u8; 4]>> {
        (0..sheet[0].len()).map(|x| (0..sheet.len()).rev().map(|y| sheet[y][x]).collect()).collect()
    }

    #[test]
    fn every_turn_shows_each_pixel_of_the_part_where_a_turned_sheet_has_it() {
        let part = PxRect { left: 2, top: 1, right: 6, bottom: 4 };
        let mut sheet: Vec<Vec<[u8; 4]>> =
            (part.top..part.bottom).map(|y| (part.left..part.right).map(|x| pixel(x, y)).collect()).collect();
        for turn in TURNS {
            let cutout = Excerpt { part: Some(part), turn, show: Show::Picture }.of(PICTURE);
            let [width, height] = cutout.size().map(|side| side as usize);
            assert_eq!((sheet[0].len(), sheet.len()), (width, height), "{turn:?}");
            let mut shown = vec![vec![[0; 4]; width]; height];
            // The picture comes in pieces that know nothing of the part.
            for (left, top) in [(0, 0), (3, 0), (0, 2), (3, 2)] {
                let piece = PxRect { left, top, right: left + 4, bottom: top + 3 };
                let piece = piece.intersect(PxRect::of_size(PICTURE));
                let (bytes, row_bytes) = rows(piece);
                cutout.cut(piece, &bytes, row_bytes, &mut Vec::new(), &mut |place, rows, row_bytes| {
                    for (y, row) in (place.top..place.bottom).zip(rows.chunks(row_bytes)) {
                        for (x, found) in (place.left..place.right).zip(row.chunks_exact(4)) {
                            shown[y as usize][x as usize] = found.try_into().expect("four bytes");
                        }
                    }
                });
            }
            assert_eq!(shown, sheet, "{turn:?}");
            sheet = quarter(&sheet);
        }
    }

    #[test]
    fn what_lies_outside_of_the_part_is_not_shown() {
        let part = PxRect { left: 2, top: 1, right: 4, bottom: 3 };
        let outside = PxRect { left: 4, top: 0, right: 7, bottom: 5 };
        for turn in TURNS {
            let cutout = Excerpt { part: Some(part), turn, show: Show::Key }.of(PICTURE);
            let (bytes, row_bytes) = rows(outside);
            let mut taken = false;
            cutout.cut(outside, &bytes, row_bytes, &mut Vec::new(), &mut |_, _, _| taken = true);
            assert!(!taken, "{turn:?}");
            assert_eq!(cutout.place(PxRect::of_size(PICTURE)), PxRect::of_size(cutout.size()));
        }
    }

    #[test]
    fn fill_and_key_are_opaque_where_the_picture_is_clear() {
        let part = Some(PxRect { left: 2, top: 1, right: 6, bottom: 4 });
        let painted = PxRect { left: 0, top: 2, right: 3, bottom: 5 };
        for turn in TURNS {
            let of = |show| Excerpt { part, turn, show }.of(PICTURE);
            let picture = of(Show::Picture);
            assert_eq!(picture.extent(painted), picture.place(painted), "{turn:?}");
            assert!(picture.extent(PxRect::default()).is_empty(), "{turn:?}");
            for show in [Show::Fill, Show::Key] {
                for painted in [painted, PxRect::default()] {
                    assert_eq!(of(show).extent(painted), PxRect::of_size(of(show).size()), "{turn:?}");
                }
            }
        }
    }

    #[test]
    fn fill_is_the_colour_over_black_and_key_the_alpha_as_grey() {
        let half_blue = [0, 0, 128, 128];
        assert_eq!(Show::Picture.of(half_blue), half_blue);
        assert_eq!(Show::Fill.of(half_blue), [0, 0, 128, 255]);
        assert_eq!(Show::Key.of(half_blue), [128, 128, 128, 255]);
    }
}
