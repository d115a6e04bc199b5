//! From a draw list to pixels: the adapter and its device, the damage between two frames, one file per primitive
//! with its shader beside it, and the canvas that keeps what was painted. Knows nothing of lanes, clocks, windows
//! or files.

pub mod blit;
mod boxes;
mod canvas;
mod comeback;
mod cut;
pub mod damage;
mod device;
mod frame_buffer;
mod images;
mod outline;
mod paths;
mod renderer;
mod solid;
mod text;
mod viewport;
mod visible;

pub use canvas::{CANVAS_FORMAT, Pixels, read_texture};
pub use comeback::Comeback;
pub use device::{DesktopHandle, Gpu, GpuError, TIMESTAMPS};
pub use renderer::{Drawn, Renderer};

/// A call into a library that allocates as it pleases. Everything around such calls allocates nothing once it is
/// warm; a test with a counting allocator holds that.
fn foreign<T>(call: impl FnOnce() -> T) -> T {
    assert_no_alloc::permit_alloc(call)
}
