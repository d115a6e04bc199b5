//! The way of the changed pixels out of the card: a ring of buffers, into which only damaged rectangles are copied
//! and which are mapped without a wait. Runs on the thread that draws, and costs it a copy command, however many
//! outputs take the pixels.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use wgpu::{Buffer, BufferUsages, BufferView, CommandEncoder, MapMode, PollType};

use crate::gpu::Renderer;
use crate::gpu::damage::{PxRect, Region};

/// Buffers: one that is copied into, one that is on its way, one that is read. With none free, frames are skipped
/// and their damage is kept.
const RING: usize = 3;
/// Smallest buffer, in bytes: a frame of a busy board is about as much.
const MIN_BUFFER_BYTES: u64 = 512 * 1024;
/// Rows in a copy start at multiples of this many bytes.
const ROW_ALIGNMENT: u64 = wgpu::COPY_BYTES_PER_ROW_ALIGNMENT as u64;

/// An output that takes pixels. It is asked on the thread that draws, and must not hold that up.
pub trait Tap: Send + Sync {
    /// Somebody wants the pixels.
    fn is_watching(&self) -> bool;

    /// Takes pixels. The first ones after nobody watched are the whole picture, the later ones what changed since.
    fn take(&self, captured: Arc<Captured>);

    /// Nobody watches any more, and nothing comes until somebody does.
    fn unwatched(&self);
}

/// Copies what changed while somebody watches.
#[derive(Default)]
pub struct Readback {
    taps: Vec<Tapped>,
    /// What changed since the last copy.
    pending: Region,
    size: [u32; 2],
    ring: Ring,
}

struct Tapped {
    tap: Arc<dyn Tap>,
    watched: bool,
}

/// The buffers of one device.
struct Ring {
    free: Vec<Buffer>,
    made: usize,
    returned: Receiver<Buffer>,
    give_back: Sender<Buffer>,
    under_way: Arc<AtomicUsize>,
    failed: Arc<AtomicBool>,
}

impl Readback {
    /// Gives the pixels to this output too.
    pub fn add(&mut self, tap: Arc<dyn Tap>) {
        self.taps.push(Tapped { tap, watched: false });
    }

    /// Whether any output takes pixels.
    #[must_use]
    pub fn is_tapped(&self) -> bool {
        !self.taps.is_empty()
    }

    /// Starts over with another device: everything is copied anew.
    pub fn restart(&mut self) {
        self.ring = Ring::default();
        self.size = [0, 0];
    }

    /// Takes note of what the last frame repainted.
    pub fn drawn(&mut self, renderer: &Renderer) {
        renderer.repainted().iter().for_each(|rect| self.pending.add(*rect));
    }

    /// Hands over what has come out of the card and, while somebody watches, starts to copy what changed since.
    /// `extent` is where the picture may be painted at all. Never waits. Gives whether it has to be called again soon.
    pub fn step(&mut self, renderer: &Renderer, extent: PxRect) -> bool {
        if self.ring.under_way() {
            // The map's callback runs in here. A device that is lost is found by the next frame.
            let _ = renderer.gpu().device.poll(PollType::Poll);
        }
        if self.ring.failed.load(Ordering::Acquire) {
            self.restart();
        }
        let size = [renderer.texture().width(), renderer.texture().height()];
        if self.size != size {
            self.size = size;
            self.all_is_pending();
        }
        if !self.look_who_watches() {
            return false;
        }
        if !self.pending.rects().is_empty() {
            self.copy(renderer, extent);
        }
        self.ring.under_way() || !self.pending.rects().is_empty()
    }

    /// Gives whether anybody watches. Whoever begins to is given everything, and so is everybody else.
    fn look_who_watches(&mut self) -> bool {
        let mut began = false;
        for tapped in &mut self.taps {
            let watching = tapped.tap.is_watching();
            began |= watching && !tapped.watched;
            if tapped.watched && !watching {
                tapped.tap.unwatched();
            }
            tapped.watched = watching;
        }
        if began {
            self.all_is_pending();
        }
        self.taps.iter().any(|tapped| tapped.watched)
    }

    fn all_is_pending(&mut self) {
        self.pending.clear();
        self.pending.add(PxRect::of_size(self.size));
    }

    fn copy(&mut self, renderer: &Renderer, extent: PxRect) {
        let (strips, bytes) = strips(self.pending.rects());
        let Some(buffer) = self.ring.buffer(renderer, bytes) else { return };
        let device = &renderer.gpu().device;
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        strips.iter().for_each(|strip| strip.record(renderer, &mut encoder, &buffer));
        renderer.gpu().queue.submit([encoder.finish()]);
        self.pending.clear();
        let captured = Captured {
            size: self.size,
            extent: extent.intersect(PxRect::of_size(self.size)),
            strips,
            bytes,
            buffer: Some(buffer.clone()),
            ring: self.ring.give_back.clone(),
        };
        let watching = self.taps.iter().filter(|tapped| tapped.watched);
        let taps: Vec<_> = watching.map(|tapped| Arc::clone(&tapped.tap)).collect();
        let (under_way, failed) = (Arc::clone(&self.ring.under_way), Arc::clone(&self.ring.failed));
        under_way.fetch_add(1, Ordering::AcqRel);
        buffer.map_async(MapMode::Read, ..bytes, move |mapped| {
            under_way.fetch_sub(1, Ordering::AcqRel);
            match mapped {
                Ok(()) => {
                    let captured = Arc::new(captured);
                    taps.iter().for_each(|tap| tap.take(Arc::clone(&captured)));
                }
                Err(_) => {
                    captured.was_never_mapped();
                    failed.store(true, Ordering::Release);
                }
            }
        });
    }
}

impl Default for Ring {
    fn default() -> Self {
        let (give_back, returned) = channel();
        let (under_way, failed) = (Arc::default(), Arc::default());
        Self { free: Vec::new(), made: 0, returned, give_back, under_way, failed }
    }
}

impl Ring {
    fn under_way(&self) -> bool {
        self.under_way.load(Ordering::Acquire) > 0
    }

    /// A buffer of at least this many bytes, if one is free or may be made.
    fn buffer(&mut self, renderer: &Renderer, bytes: u64) -> Option<Buffer> {
        self.free.extend(self.returned.try_iter());
        if let Some(fits) = self.free.iter().position(|buffer| buffer.size() >= bytes) {
            return Some(self.free.swap_remove(fits));
        }
        if self.free.pop().is_none() {
            if self.made == RING {
                return None;
            }
            self.made += 1;
        }
        Some(renderer.gpu().device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("readback"),
            size: bytes.max(MIN_BUFFER_BYTES),
            usage: BufferUsages::MAP_READ | BufferUsages::COPY_DST,
            mapped_at_creation: false,
        }))
    }
}

/// A rectangle's place in a buffer.
#[derive(Clone, Copy, Debug)]
struct Strip {
    rect: PxRect,
    offset: u64,
    row_bytes: u64,
}

/// Places rectangles one after the other; gives the bytes of all.
fn strips(rects: &[PxRect]) -> (Vec<Strip>, u64) {
    let mut offset = 0;
    let place = |rect: &PxRect| {
        let [width, height] = rect.size();
        let row_bytes = (u64::from(width) * 4).next_multiple_of(ROW_ALIGNMENT);
        let strip = Strip { rect: *rect, offset, row_bytes };
        offset += row_bytes * u64::from(height);
        strip
    };
    let strips = rects.iter().map(place).collect();
    (strips, offset)
}

impl Strip {
    fn record(&self, renderer: &Renderer, encoder: &mut CommandEncoder, buffer: &Buffer) {
        let [x, y] = [self.rect.left, self.rect.top].map(|side| u32::try_from(side).unwrap_or(0));
        let [width, height] = self.rect.size();
        encoder.copy_texture_to_buffer(
            wgpu::TexelCopyTextureInfo {
                texture: renderer.texture(),
                mip_level: 0,
                origin: wgpu::Origin3d { x, y, z: 0 },
                aspect: wgpu::TextureAspect::All,
            },
            wgpu::TexelCopyBufferInfo {
                buffer,
                layout: wgpu::TexelCopyBufferLayout {
                    offset: self.offset,
                    bytes_per_row: u32::try_from(self.row_bytes).ok(),
                    rows_per_image: None,
                },
            },
            wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
        );
    }
}

/// Pixels of some rectangles, still where the card has put them. The buffer goes back to its ring when this is
/// dropped.
pub struct Captured {
    /// Of the picture, pixels.
    pub size: [u32; 2],
    /// Where the picture may be painted at all; the rest of it is clear.
    pub extent: PxRect,
    strips: Vec<Strip>,
    bytes: u64,
    buffer: Option<Buffer>,
    ring: Sender<Buffer>,
}

impl Captured {
    /// Calls `take` with each rectangle and its rows, premultiplied and padded to the length given.
    pub fn each(&self, mut take: impl FnMut(PxRect, &[u8], usize)) {
        let Some(view) = self.view() else { return };
        for strip in &self.strips {
            let at = |bytes: u64| usize::try_from(bytes).unwrap_or(usize::MAX);
            let end = strip.offset + strip.row_bytes * u64::from(strip.rect.size()[1]);
            if let Some(rows) = view.get(at(strip.offset)..at(end)) {
                take(strip.rect, rows, at(strip.row_bytes));
            }
        }
    }

    fn view(&self) -> Option<BufferView> {
        let view = self.buffer.as_ref()?.get_mapped_range(..self.bytes);
        // It was mapped a moment ago; only a device that has gone since takes it away.
        view.inspect_err(|error| tracing::warn!(%error, "a frame for pages or pipes is lost")).ok()
    }

    fn was_never_mapped(mut self) {
        self.buffer = None;
    }
}

impl Drop for Captured {
    fn drop(&mut self) {
        if let Some(buffer) = self.buffer.take() {
            buffer.unmap();
            // A ring that was started over takes none of its old buffers back.
            let _ = self.ring.send(buffer);
        }
    }
}
