//! The picture as pages have it, and what each of them lacks. One encoding serves all pages at the same frame; pages
//! hold on to the frame they are at, and what changed since is kept for as long as one does.

use std::io::{self, Write};
use std::sync::Arc;

use bytes::Bytes;
use flate2::Compression;
use flate2::write::DeflateEncoder;

use super::format::{Head, finish};
use crate::gpu::damage::{PxRect, Region};
use crate::pictures::make_straight;

/// The number of a frame that somebody is at, from 1.
pub(super) type At = Arc<u64>;

/// A frame for a page.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    pub at: At,
    pub bytes: Bytes,
}

/// What encoding a frame took.
#[derive(Clone, Copy, Debug)]
pub(super) struct Encoded {
    pub whole: bool,
    pub bytes: usize,
}

/// The latest pixels, straight.
pub(super) struct Picture {
    size: [u32; 2],
    /// What of it is sent; the rest is clear.
    extent: PxRect,
    rgba: Vec<u8>,
    /// There is a frame.
    taken: bool,
    at: At,
    /// Frames that pages are at, the present one among them when it was sent.
    bases: Vec<Base>,
    whole: Option<Bytes>,
    deflate: DeflateEncoder<Vec<u8>>,
    row: Vec<u8>,
}

/// A frame that pages are at.
struct Base {
    at: At,
    /// What changed since.
    changed: Region,
    encoded: Option<Bytes>,
}

impl Picture {
    /// An empty picture, whose frames follow `last`.
    pub fn new(size: [u32; 2], last: u64) -> Self {
        Self {
            size,
            extent: PxRect::of_size(size),
            rgba: vec![0; size[0] as usize * size[1] as usize * 4],
            taken: false,
            at: Arc::new(last),
            bases: Vec::new(),
            whole: None,
            // Of what was tried on boards (raw DEFLATE at levels 1 to 6, PNG in its quick settings, rows as
            // differences): the least bytes among those that take well under a millisecond for a frame.
            deflate: DeflateEncoder::new(Vec::new(), Compression::fast()),
            row: Vec::new(),
        }
    }

    pub fn size(&self) -> [u32; 2] {
        self.size
    }

    /// The latest frame's number.
    pub fn number(&self) -> u64 {
        *self.at
    }

    /// Sends this rectangle of the picture from the next frame on; a change of it starts every page afresh.
    pub fn set_extent(&mut self, extent: PxRect) {
        // A page's canvas has at least one pixel.
        let one = PxRect { left: 0, top: 0, right: 1, bottom: 1 };
        let extent = extent.intersect(PxRect::of_size(self.size));
        let extent = if extent.is_empty() { one } else { extent };
        if self.extent != extent {
            self.extent = extent;
            self.taken = false;
            self.bases.clear();
        }
    }

    /// Takes rectangles of new pixels in: `each` calls back with a rectangle, its premultiplied rows, and the bytes
    /// from one row to the next. Gives whether this is the next frame: the first one, or one that differs.
    pub fn take(&mut self, each: impl FnOnce(&mut dyn FnMut(PxRect, &[u8], usize))) -> bool {
        let mut changed = Region::default();
        each(&mut |rect, rows, row_bytes| {
            let differs = self.take_rect(rect, rows, row_bytes);
            changed.add(differs.intersect(self.extent));
        });
        if changed.rects().is_empty() && self.taken {
            return false;
        }
        self.taken = true;
        self.at = Arc::new(*self.at + 1);
        self.whole = None;
        // Bases that only this list still knows belong to nobody.
        self.bases.retain(|base| Arc::strong_count(&base.at) > 1);
        for base in &mut self.bases {
            changed.rects().iter().for_each(|rect| base.changed.add(*rect));
            base.encoded = None;
        }
        true
    }

    /// Gives the part that differs: damage is a bound on what changed, and often generous.
    fn take_rect(&mut self, rect: PxRect, rows: &[u8], row_bytes: usize) -> PxRect {
        let rect = rect.intersect(PxRect::of_size(self.size));
        let mut differs = PxRect::default();
        for (y, row) in (rect.top..rect.bottom).zip(rows.chunks(row_bytes)) {
            let place = self.place(rect.left, rect.right, y);
            self.row.clear();
            self.row.extend_from_slice(&row[..place.len().min(row.len())]);
            make_straight(&mut self.row);
            let Some(known) = self.rgba.get_mut(place).filter(|known| known.len() == self.row.len()) else {
                continue;
            };
            if let Some([first, last]) = differing(known, &self.row) {
                let (left, right) = (rect.left + first, rect.left + last + 1);
                let line = PxRect { left, top: y, right, bottom: y + 1 };
                differs = if differs.is_empty() { line } else { differs.union(line) };
                known.copy_from_slice(&self.row);
            }
        }
        differs
    }

    /// Bytes of a row from `left` to `right`.
    fn place(&self, left: i32, right: i32, y: i32) -> std::ops::Range<usize> {
        let at = |x: i32| {
            let [x, y] = [x, y].map(|side| usize::try_from(side).unwrap_or(0));
            (y * self.size[0] as usize + x) * 4
        };
        at(left)..at(right)
    }

    /// What a page lacks that is at `has`; none if it lacks nothing. The frame says with `note` what it took if it
    /// had to be encoded.
    pub fn frame_after(
        &mut self,
        has: Option<&At>,
        note: impl FnOnce(Encoded),
    ) -> Result<Option<Frame>, io::Error> {
        if !self.taken || has.is_some_and(|has| Arc::ptr_eq(has, &self.at)) {
            return Ok(None);
        }
        let base = has.and_then(|has| self.bases.iter().position(|base| Arc::ptr_eq(&base.at, has)));
        let known = match base {
            Some(index) => self.bases[index].encoded.clone(),
            None => self.whole.clone(),
        };
        let bytes = match known {
            Some(bytes) => bytes,
            None => {
                let bytes = self.encode(base)?;
                note(Encoded { whole: base.is_none(), bytes: bytes.len() });
                bytes
            }
        };
        if !self.bases.iter().any(|base| Arc::ptr_eq(&base.at, &self.at)) {
            let base = Base { at: Arc::clone(&self.at), changed: Region::default(), encoded: None };
            self.bases.push(base);
        }
        Ok(Some(Frame { at: Arc::clone(&self.at), bytes }))
    }

    /// Encodes what changed since a base, or the whole picture, and keeps the encoding until the next frame.
    fn encode(&mut self, base: Option<usize>) -> io::Result<Bytes> {
        let everything = [self.extent];
        let rects = base.map_or(&everything[..], |index| self.bases[index].changed.rects());
        let head =
            Head { number: *self.at, size: self.size, extent: self.extent, whole: base.is_none(), rects };
        head.write(self.deflate.get_mut());
        for rect in rects {
            for y in rect.top..rect.bottom {
                self.deflate.write_all(&self.rgba[self.place(rect.left, rect.right, y)])?;
            }
        }
        let rects = rects.len();
        let mut bytes = self.deflate.reset(Vec::new())?;
        finish(&mut bytes, rects);
        let bytes = Bytes::from(bytes);
        match base {
            Some(index) => self.bases[index].encoded = Some(bytes.clone()),
            None => self.whole = Some(bytes.clone()),
        }
        Ok(bytes)
    }
}

/// The first and the last pixel that differ, counted from the row's start.
fn differing(known: &[u8], new: &[u8]) -> Option<[i32; 2]> {
    if known == new {
        return None;
    }
    let differs = |(known, new): (&[u8], &[u8])| known != new;
    let pixels = || known.chunks_exact(4).zip(new.chunks_exact(4));
    let first = pixels().position(differs)?;
    let last = pixels().rposition(differs)?;
    Some([i32::try_from(first).ok()?, i32::try_from(last).ok()?])
}
