//! Counts the flashes of a moving picture as WCAG 2.2 defines them for success criterion 2.3.1: at most three general
//! and three red flashes in any second, unless what flashes is small. A place's own transitions are found by
//! `fivemark_themes::flash`; this module adds the picture: which share of a block of ten degrees goes the same way.
//!
//! The criterion's block is 341 by 256 pixels of a screen that is 1024 wide, a quarter of it may flash (21 824 pixels,
//! technique G176); here it is that share of the picture's longer side, because a screen that stands upright is a wide one
//! turned, seen from as far. Pictures that fill a smaller part of a viewer's eye flash less than is counted. Two further
//! choices are on the safe side: places that swing the same way one after the other add up to a quarter of the block,
//! however long that takes, and a saturated red beside black counts.

use fivemark_themes::Color;
use fivemark_themes::contrast::linear;
use fivemark_themes::flash::{MOST_IN_A_SECOND, Swings, is_red, is_saturated_red};

/// Width of the screen for which the criterion's block is given, pixels.
const SCREEN_WIDTH: f64 = 1024.0;
/// The block, pixels of that screen.
const BLOCK: [f64; 2] = [341.0, 256.0];
/// The share of a block from which it flashes.
const SHARE: f64 = 0.25;
/// Cells along each side of a block: blocks are looked at in steps of a cell.
const CELLS: usize = 8;

/// What was counted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Most {
    /// Transitions within one second in the block that has most; two to a flash.
    pub transitions: usize,
    /// The last frame of that second.
    pub frame: usize,
    /// Left and top of that block, pixels.
    pub at: [usize; 2],
}

impl Most {
    /// At most three flashes.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.transitions <= 2 * MOST_IN_A_SECOND as usize
    }
}

/// Takes frames one after the other.
#[derive(Debug)]
pub struct FlashCount {
    size: [usize; 2],
    per_second: usize,
    frame: usize,
    linear: [f64; 256],
    /// The frame before; none before the first.
    before: Option<Vec<[u8; 3]>>,
    light: Vec<Swings>,
    /// The colour at the last transition of red.
    red: Vec<[u8; 3]>,
    general_blocks: Blocks,
    red_blocks: Blocks,
}

impl FlashCount {
    /// For frames of this many pixels, this many a second.
    #[must_use]
    pub fn new(size: [u32; 2], per_second: u32) -> FlashCount {
        let size = size.map(|side| usize::try_from(side).unwrap_or(usize::MAX));
        let mut codes = [0.0; 256];
        (0..=255).for_each(|code: u8| codes[usize::from(code)] = linear(code));
        FlashCount {
            size,
            per_second: usize::try_from(per_second).unwrap_or(usize::MAX),
            frame: 0,
            linear: codes,
            before: None,
            light: Vec::new(),
            red: Vec::new(),
            general_blocks: Blocks::new(size),
            red_blocks: Blocks::new(size),
        }
    }

    /// Takes the next frame: rows of opaque pixels, each of `bytes` bytes and red, green, blue first. Pixels that are
    /// missing at the end stay as they were.
    pub fn take(&mut self, pixels: &[u8], bytes: usize) {
        let colors = pixels.chunks_exact(bytes).map(|pixel| [pixel[0], pixel[1], pixel[2]]);
        let Some(before) = &mut self.before else {
            let first: Vec<[u8; 3]> = colors.collect();
            self.light = first.iter().map(|color| Swings::at(luminance(&self.linear, *color))).collect();
            self.red.clone_from(&first);
            self.before = Some(first);
            return;
        };
        self.frame += 1;
        for (index, (was, is)) in before.iter_mut().zip(colors).enumerate() {
            if *was == is {
                continue;
            }
            *was = is;
            let (x, y) = (index % self.size[0], index / self.size[0]);
            if let Some(rises) = self.light[index].take(luminance(&self.linear, is)) {
                self.general_blocks.add(x, y, rises);
            }
            let (from, to) = (opaque(self.red[index]), opaque(is));
            let to_red = is_saturated_red(to);
            if (to_red || is_saturated_red(from)) && is_red(from, to) {
                self.red[index] = is;
                self.red_blocks.add(x, y, to_red);
            } else if !to_red && !is_saturated_red(from) {
                self.red[index] = is;
            }
        }
        self.general_blocks.end_frame(self.frame, self.per_second);
        self.red_blocks.end_frame(self.frame, self.per_second);
    }

    /// Frames taken.
    #[must_use]
    pub fn frames(&self) -> usize {
        if self.before.is_some() { self.frame + 1 } else { 0 }
    }

    /// Most general transitions in a second.
    #[must_use]
    pub fn general(&self) -> Most {
        self.general_blocks.most
    }

    /// Most transitions of saturated red in a second.
    #[must_use]
    pub fn red(&self) -> Most {
        self.red_blocks.most
    }
}

fn opaque([r, g, b]: [u8; 3]) -> Color {
    Color([r, g, b, 255])
}

/// As `fivemark_themes::contrast::luminance`, with codes looked up.
fn luminance(linear: &[f64; 256], [r, g, b]: [u8; 3]) -> f64 {
    0.2126 * linear[usize::from(r)] + 0.7152 * linear[usize::from(g)] + 0.0722 * linear[usize::from(b)]
}

/// Transitions of all blocks.
#[derive(Debug)]
struct Blocks {
    cell: [usize; 2],
    cells: [usize; 2],
    /// Pixels of this frame that rose and that fell, by cell.
    swung: Vec<[u32; 2]>,
    any: bool,
    blocks: [usize; 2],
    states: Vec<Block>,
    /// Pixels from which a block has swung.
    quarter: i64,
    most: Most,
}

#[derive(Clone, Debug, Default)]
struct Block {
    /// Pixels that have risen less those that have fallen, now and at the least and most since the block last swung.
    balance: i64,
    least: i64,
    most: i64,
    rising: Option<bool>,
    /// Frames of its transitions within the last second.
    at: Vec<usize>,
}

impl Blocks {
    fn new(size: [usize; 2]) -> Blocks {
        #[allow(clippy::cast_precision_loss)] // sides of pictures
        let scale = size[0].max(size[1]) as f64 / SCREEN_WIDTH;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positive, and far below 2^53
        let cell = BLOCK.map(|side| ((side * scale / CELLS as f64).ceil() as usize).max(1));
        let cells = [size[0].div_ceil(cell[0]).max(1), size[1].div_ceil(cell[1]).max(1)];
        let blocks = cells.map(|cells| cells.saturating_sub(CELLS) + 1);
        #[allow(clippy::cast_possible_truncation)] // as above
        let quarter = (BLOCK[0] * BLOCK[1] * scale * scale * SHARE).floor() as i64 + 1;
        Blocks {
            cell,
            cells,
            swung: vec![[0; 2]; cells[0] * cells[1]],
            any: false,
            blocks,
            states: vec![Block::default(); blocks[0] * blocks[1]],
            quarter,
            most: Most::default(),
        }
    }

    fn add(&mut self, x: usize, y: usize, rises: bool) {
        let cell = y / self.cell[1] * self.cells[0] + x / self.cell[0];
        self.swung[cell][usize::from(!rises)] += 1;
        self.any = true;
    }

    fn end_frame(&mut self, frame: usize, second: usize) {
        if !std::mem::take(&mut self.any) {
            return;
        }
        for (index, block) in self.states.iter_mut().enumerate() {
            let (left, top) = (index % self.blocks[0], index / self.blocks[0]);
            let mut swung = [0; 2];
            for row in top..(top + CELLS).min(self.cells[1]) {
                let from = row * self.cells[0];
                for [up, down] in &self.swung[from + left..from + (left + CELLS).min(self.cells[0])] {
                    swung[0] += i64::from(*up);
                    swung[1] += i64::from(*down);
                }
            }
            for rises in block.swings(swung, self.quarter) {
                if block.rising != Some(rises) {
                    block.rising = Some(rises);
                    block.at.retain(|at| frame - at < second);
                    block.at.push(frame);
                    if block.at.len() > self.most.transitions {
                        let at = [left * self.cell[0], top * self.cell[1]];
                        self.most = Most { transitions: block.at.len(), frame, at };
                    }
                }
            }
        }
        self.swung.fill([0; 2]);
    }
}

impl Block {
    /// Takes the pixels of a frame that rose and that fell; which ways the block swings with it. Either so many go one
    /// way at once, or so many more have gone one way than the other since it last swung.
    fn swings(&mut self, [up, down]: [i64; 2], quarter: i64) -> impl Iterator<Item = bool> + use<> {
        self.balance += up - down;
        self.least = self.least.min(self.balance);
        self.most = self.most.max(self.balance);
        let rises = up >= quarter || self.balance - self.least >= quarter;
        let falls = down >= quarter || self.most - self.balance >= quarter;
        if rises || falls {
            (self.least, self.most) = (self.balance, self.balance);
        }
        [rises.then_some(true), falls.then_some(false)].into_iter().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDE: [u32; 2] = [1024, 768];

    /// `seconds` of frames that alternate `per_second` times between two colours in a patch at the middle.
    fn alternating(patch: [usize; 2], colors: [[u8; 3]; 2], transitions: usize, fps: u32) -> FlashCount {
        let mut count = FlashCount::new(WIDE, fps);
        let frames = usize::try_from(fps).unwrap();
        let mut frame = vec![0; 1024 * 768 * 3];
        for number in 0..=2 * frames {
            let color = colors[(number * transitions / frames) % 2];
            for row in 0..patch[1] {
                let from = ((384 - patch[1] / 2 + row) * 1024 + 512 - patch[0] / 2) * 3;
                frame[from..from + patch[0] * 3]
                    .chunks_exact_mut(3)
                    .for_each(|pixel| pixel.copy_from_slice(&color));
            }
            count.take(&frame, 3);
        }
        assert_eq!(count.frames(), 2 * frames + 1);
        count
    }

    const BLACK: [u8; 3] = [0; 3];
    const WHITE: [u8; 3] = [255; 3];

    /// WCAG technique G19: six transitions in a second pass, seven do not.
    #[test]
    fn three_flashes_pass_and_more_do_not() {
        for (transitions, passes) in [(1, true), (6, true), (7, false), (20, false)] {
            let count = alternating([1024, 768], [BLACK, WHITE], transitions, 42);
            assert_eq!(count.general().transitions, transitions);
            assert_eq!(count.general().passes(), passes, "{transitions}");
        }
    }

    /// WCAG 2.2, general flash threshold: a tenth of the greatest luminance, #595959 and #5A5A5A over black on its two
    /// sides (computed with colour-science 0.4.7).
    #[test]
    fn small_steps_of_light_are_no_flashes() {
        assert_eq!(alternating([1024, 768], [BLACK, [0x59; 3]], 10, 30).general().transitions, 0);
        assert!(!alternating([1024, 768], [BLACK, [0x5A; 3]], 10, 30).general().passes());
    }

    /// WCAG technique G176: 21 824 pixels of a screen 1024 wide.
    #[test]
    fn what_is_small_may_flash() {
        let patch = |side| alternating([side, side], [BLACK, WHITE], 10, 30).general();
        assert_eq!(patch(147).transitions, 0, "21 609 pixels");
        assert!(!patch(148).passes(), "21 904 pixels");
    }

    /// WCAG 2.2, red flash threshold: red against a grey of its own luminance.
    #[test]
    fn saturated_red_counts_for_itself() {
        let count = alternating([1024, 768], [[255, 0, 0], [128; 3]], 8, 32);
        assert_eq!(count.general().transitions, 0);
        assert_eq!(count.red().transitions, 8);
        assert!(!count.red().passes());
        let orange = alternating([1024, 768], [[255, 140, 0], WHITE], 8, 32);
        assert_eq!(orange.red().transitions, 0, "not saturated");
    }

    /// The same, on a screen that is turned.
    #[test]
    fn upright_screens_have_the_block_of_wide_ones() {
        for (side, passes) in [(147, true), (148, false)] {
            let mut count = FlashCount::new([768, 1024], 30);
            let mut frame = vec![0; 768 * 1024 * 3];
            for number in 0..30usize {
                for row in 400..400 + side {
                    frame[(row * 768 + 300) * 3..(row * 768 + 300 + side) * 3].fill(if number / 3 % 2 == 0 {
                        255
                    } else {
                        0
                    });
                }
                count.take(&frame, 3);
            }
            assert_eq!(count.general().passes(), passes, "{side}: {:?}", count.general());
        }
    }

    #[test]
    fn halves_that_take_turns_count() {
        let mut count = FlashCount::new(WIDE, 30);
        let mut frame = vec![0; 1024 * 768 * 3];
        for number in 0..60usize {
            for (row, line) in frame.chunks_exact_mut(1024 * 3).enumerate() {
                line.fill(if (number / 3 + row / 8) % 2 == 0 { 255 } else { 0 });
            }
            count.take(&frame, 3);
        }
        assert!(!count.general().passes(), "{:?}", count.general());
    }

    #[test]
    fn places_that_swing_one_after_the_other_add_up() {
        // Stripes of a tenth of the block, each once up and once down within a second.
        let mut count = FlashCount::new(WIDE, 30);
        let mut frame = vec![0; 1024 * 768 * 3];
        for number in 0..30usize {
            let stripe = number % 15 * 25 * 1024 * 3;
            frame[stripe..stripe + 25 * 1024 * 3].fill(if number < 15 { 255 } else { 0 });
            count.take(&frame, 3);
        }
        assert_eq!(count.general().transitions, 2, "{:?}", count.general());
    }
}
