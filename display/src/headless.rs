//! The board without a window: the same frames, drawn only when something changed, for pictures.

use std::thread;
use std::time::Duration;

use crate::clock::MonoClock;
use crate::connection::Connection;
use crate::gpu::{Gpu, GpuError, Renderer, new_instance};
use crate::live::LiveBoard;

/// Tries in a row to open a lost device before the program gives up.
const MAX_REOPENINGS: u32 = 5;
/// Between them.
const REOPEN_AFTER: Duration = Duration::from_millis(500);

/// Draws until the program is interrupted or, if asked, the heat is provisional. The connection's wake has to
/// unpark this thread.
///
/// # Errors
/// There is no adapter, the size does not fit, or a lost device does not come back.
pub fn run(
    live: &mut LiveBoard,
    connection: &Connection,
    clock: MonoClock,
    size: [u32; 2],
    fps: u32,
    until_provisional: bool,
) -> Result<(), GpuError> {
    let frame_us = 1_000_000 / i64::from(fps.max(1));
    let mut renderer = open(size)?;
    let mut reopened = 0;
    while !connection.interrupted() {
        let began_us = clock.now_us();
        match frame(live, &mut renderer) {
            Ok(()) => reopened = 0,
            Err(GpuError::Lost) if reopened < MAX_REOPENINGS => {
                reopened += 1;
                tracing::warn!(attempt = reopened, "opening the graphics device again");
                thread::sleep(REOPEN_AFTER);
                renderer = open(size)?;
                continue;
            }
            Err(error) => return Err(error),
        }
        if until_provisional && live.is_provisional() {
            break;
        }
        wait(live.next_frame_us(), began_us + frame_us, clock, connection);
    }
    Ok(())
}

fn open(size: [u32; 2]) -> Result<Renderer, GpuError> {
    Renderer::new(Gpu::open(&new_instance(None), None)?, size)
}

fn frame(live: &mut LiveBoard, renderer: &mut Renderer) -> Result<(), GpuError> {
    // No screen sets the pace: without the wait, slow frames would queue up.
    renderer.wait()?;
    live.compose(renderer)?;
    let (list, fonts) = live.parts();
    renderer.draw(list, fonts)?;
    live.after_frame(renderer)
}

/// Waits for a message or for `next_us`, and in any case until `earliest_us`.
fn wait(next_us: Option<i64>, earliest_us: i64, clock: MonoClock, connection: &Connection) {
    let micros = |us: i64| Duration::from_micros(u64::try_from(us).unwrap_or(0));
    match next_us.map(|at_us| at_us - clock.now_us()) {
        None => thread::park(),
        Some(left_us) if left_us > 0 => thread::park_timeout(micros(left_us)),
        Some(_) => {}
    }
    let early_us = earliest_us - clock.now_us();
    if early_us > 0 && !connection.interrupted() {
        thread::sleep(micros(early_us));
    }
}
