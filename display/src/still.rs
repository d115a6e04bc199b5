//! One picture from saved messages, without a feed: for theme makers and for tests.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use fivemark_scene::{Background, Board, Hole, Link, Motion, Screen, Times, View, Words};
use fivemark_themes::LoadedTheme;
use fivemark_wire::from_feed::FeedMessage;
use thiserror::Error;

use crate::gpu::{Gpu, GpuError, Pixels, Renderer};

/// Largest file of saved messages, in bytes: hours of deltas are well under it.
pub const MAX_SAVED_BYTES: u64 = 64 * 1024 * 1024;

/// Everything that moves has come to rest after this long.
const SETTLED_US: i64 = 10_000_000;

/// Why a still could not be drawn.
#[derive(Debug, Error)]
#[allow(missing_docs)]
pub enum StillError {
    /// The file can't be read.
    #[error("{}: cannot be read: {source}", file.display())]
    Unreadable { file: PathBuf, source: std::io::Error },
    /// The file is longer than [`MAX_SAVED_BYTES`].
    #[error("{}: {bytes} bytes are too long; at most {MAX_SAVED_BYTES} are read", file.display())]
    TooLong { file: PathBuf, bytes: u64 },
    /// It holds something else than messages of the feed.
    #[error("{}: not a message of the feed at line {line}, column {column}: {reason}", file.display())]
    NotAMessage { file: PathBuf, line: usize, column: usize, reason: String },
    /// Deltas without a snapshot before them, or nothing at all.
    #[error("{}: no snapshot in it; the first message has to be one", file.display())]
    NoSnapshot { file: PathBuf },
    /// Deltas that do not run on.
    #[error("{}: {hole}", file.display())]
    Hole { file: PathBuf, hole: Hole },
    /// Nothing to draw with.
    #[error(transparent)]
    Gpu(#[from] GpuError),
}

/// Reads saved messages: a snapshot as the feed sends it, and any deltas after it.
///
/// # Errors
/// The file is unreadable, too long, or holds something else.
pub fn read_saved(file: &Path) -> Result<View, StillError> {
    let unreadable = |source| StillError::Unreadable { file: file.to_owned(), source };
    let bytes = std::fs::metadata(file).map_err(unreadable)?.len();
    if bytes > MAX_SAVED_BYTES {
        return Err(StillError::TooLong { file: file.to_owned(), bytes });
    }
    let text = std::fs::read(file).map_err(unreadable)?;
    let mut view: Option<View> = None;
    for message in serde_json::Deserializer::from_slice(&text).into_iter::<FeedMessage>() {
        let message = message.map_err(|error| StillError::NotAMessage {
            file: file.to_owned(),
            line: error.line(),
            column: error.column(),
            reason: error.to_string(),
        })?;
        match (message, &mut view) {
            (FeedMessage::Snapshot(snapshot), view) => *view = Some(View::new(*snapshot)),
            (FeedMessage::Delta(delta), Some(view)) => {
                view.apply(&delta).map_err(|hole| StillError::Hole { file: file.to_owned(), hole })?;
            }
            // Whatever else a recording holds (welcome, clocks, answers) draws nothing.
            _ => {}
        }
    }
    view.ok_or_else(|| StillError::NoSnapshot { file: file.to_owned() })
}

/// Draws a view as it stands at feed time `at_ms` (its own time if none is given), everything at rest.
///
/// # Errors
/// There is no adapter, or the size is too large for it.
pub fn draw_still(
    view: &View,
    at_ms: Option<i64>,
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
) -> Result<Pixels, GpuError> {
    draw_still_on((Background::Theme, Words::english()), view, at_ms, theme, size)
}

/// As [`draw_still`], on a ground and in words of the caller's choice.
///
/// # Errors
/// As [`draw_still`].
pub fn draw_still_on(
    (background, words): (Background, Words),
    view: &View,
    at_ms: Option<i64>,
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
) -> Result<Pixels, GpuError> {
    let mut board = Board::new(theme, size, Motion::Full);
    board.set_background(background);
    board.set_words(Rc::new(words));
    draw_screen(&mut board, view, at_ms, size)
}

/// Draws any picture of this size as it stands at feed time `at_ms` (the view's own if none is given), everything at
/// rest.
///
/// # Errors
/// As [`draw_still`].
pub fn draw_screen(
    screen: &mut dyn Screen,
    view: &View,
    at_ms: Option<i64>,
    size: [u32; 2],
) -> Result<Pixels, GpuError> {
    let mut renderer = Renderer::new(Gpu::open()?, size)?;
    let feed_us = at_ms.unwrap_or(view.snapshot.at_ms).saturating_mul(1_000);
    for frame_us in [0, SETTLED_US] {
        screen.frame(Some(view), Link::Live, Times { feed_us, frame_us, speed_milli: 1_000 });
    }
    let (list, fonts) = screen.parts();
    renderer.draw(list, fonts)?;
    renderer.pixels()
}
