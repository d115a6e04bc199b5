//! The latest frame in the reader's own order of bytes: kept up to date from the pixels that come out of the card, and
//! handed to the thread that writes, rectangle by rectangle. Once it is warm it allocates nothing.

use crate::excerpt::Excerpt;
use crate::gpu::damage::{PxRect, Region};
use crate::pictures::make_straight;
use crate::plan::{Alpha, PixelOrder};
use crate::readback::Captured;

/// What a reader gets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Form {
    pub excerpt: Excerpt,
    pub pixels: PixelOrder,
    pub alpha: Alpha,
}

/// The latest frame.
#[derive(Debug)]
pub(super) struct Latest {
    form: Form,
    size: [u32; 2],
    bytes: Vec<u8>,
    /// What has changed since the writer last looked.
    changed: Region,
    /// The bytes are a whole frame.
    whole: bool,
    scratch: Vec<u8>,
    /// Frames of the picture that were taken in.
    pub drawn: u64,
}

impl Latest {
    pub fn new(form: Form) -> Self {
        let changed = Region::default();
        Self { form, size: [0, 0], bytes: Vec::new(), changed, whole: false, scratch: Vec::new(), drawn: 0 }
    }

    /// Whether there is a frame to send.
    pub fn is_whole(&self) -> bool {
        self.whole
    }

    /// Nothing comes any more until everything does.
    pub fn forget(&mut self) {
        self.whole = false;
    }

    /// Takes in what has come out of the card.
    pub fn take(&mut self, captured: &Captured) {
        let cutout = self.form.excerpt.of(captured.size);
        let size = cutout.size();
        if self.size != size {
            self.size = size;
            self.bytes.clear();
            self.bytes.resize(size[0] as usize * size[1] as usize * 4, 0);
            self.changed.clear();
            self.changed.add(PxRect::of_size(size));
        }
        let mut scratch = std::mem::take(&mut self.scratch);
        captured.each(|rect, rows, row_bytes| {
            cutout.cut(rect, rows, row_bytes, &mut scratch, &mut |place, rows, row_bytes| {
                self.put(place, rows, row_bytes);
            });
        });
        self.scratch = scratch;
        self.whole = true;
        self.drawn += 1;
    }

    fn put(&mut self, place: PxRect, rows: &[u8], row_bytes: usize) {
        self.changed.add(place);
        for (y, row) in (place.top..place.bottom).zip(rows.chunks(row_bytes.max(1))) {
            let range = range(self.size, place, y);
            let Some(known) = self.bytes.get_mut(range) else { continue };
            let Some(row) = row.get(..known.len()) else { continue };
            known.copy_from_slice(row);
            if self.form.alpha == Alpha::Straight {
                make_straight(known);
            }
            if self.form.pixels == PixelOrder::Bgra {
                known.chunks_exact_mut(4).for_each(|pixel| pixel.swap(0, 2));
            }
        }
    }

    /// Brings the writer's own copy of the frame up to date. Gives whether anything was repainted since the last time.
    pub fn copy_to(&mut self, copy: &mut Vec<u8>) -> bool {
        let news = !self.changed.rects().is_empty();
        if copy.len() != self.bytes.len() {
            copy.clone_from(&self.bytes);
        } else {
            for rect in self.changed.rects() {
                for y in rect.top..rect.bottom {
                    let range = range(self.size, *rect, y);
                    copy[range.clone()].copy_from_slice(&self.bytes[range]);
                }
            }
        }
        self.changed.clear();
        news
    }
}

/// Bytes of a rectangle's row.
fn range(size: [u32; 2], rect: PxRect, y: i32) -> std::ops::Range<usize> {
    let at = |x: i32| {
        let [x, y] = [x, y].map(|side| usize::try_from(side).unwrap_or(0));
        (y * size[0] as usize + x) * 4
    };
    at(rect.left)..at(rect.right)
}
