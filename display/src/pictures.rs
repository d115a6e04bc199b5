//! Picture files: PNG, written whole or not at all, on a thread of their own so that drawing goes on.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{SyncSender, sync_channel};
use std::thread::JoinHandle;

use thiserror::Error;

use crate::gpu::Pixels;
use crate::voice::Voice;

/// Pictures that may wait for the disk; each is some 8 MB at 1920x1080.
const MAX_WAITING: usize = 4;

/// Why a picture was not written.
#[derive(Debug, Error)]
#[error("the picture {} could not be written: {source}; check that the folder exists, is writable and has room", path.display())]
pub struct PictureError {
    /// Where it should have gone.
    pub path: PathBuf,
    /// What the system says.
    pub source: io::Error,
}

/// Writes a PNG. The file appears under its name only when it is complete.
///
/// # Errors
/// The folder is missing or not writable, or the disk is full.
pub fn write_png(path: &Path, pixels: &Pixels) -> Result<(), PictureError> {
    let failed = |source| PictureError { path: path.to_owned(), source };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let part = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let written = encode_to(&part, pixels).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        // The unfinished file is of no use; that it can't be removed either adds nothing to the error.
        let _ = fs::remove_file(&part);
    }
    written.map_err(failed)
}

fn encode_to(path: &Path, pixels: &Pixels) -> io::Result<()> {
    let mut file = BufWriter::new(File::create(path)?);
    let mut encoder = png::Encoder::new(&mut file, pixels.size[0], pixels.size[1]);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header()?;
    let mut rgba = pixels.rgba.clone();
    make_straight(&mut rgba);
    writer.write_image_data(&rgba)?;
    writer.finish()?;
    file.flush()
}

/// From premultiplied colours, as the canvas keeps them, to straight ones, as PNG files and pages do.
pub(crate) fn make_straight(rgba: &mut [u8]) {
    for pixel in rgba.chunks_exact_mut(4) {
        let alpha = u32::from(pixel[3]);
        if alpha == 0 || alpha == 255 {
            continue;
        }
        for channel in &mut pixel[..3] {
            let value = (u32::from(*channel) * 255 + alpha / 2) / alpha;
            *channel = u8::try_from(value).unwrap_or(255);
        }
    }
}

/// Writes pictures one after the other and says the path of each.
#[derive(Debug)]
pub struct PictureWriter {
    folder: PathBuf,
    waiting: Option<SyncSender<(PathBuf, Pixels)>>,
    thread: Option<JoinHandle<()>>,
}

impl PictureWriter {
    /// Starts the writer for a folder, which is made if it is missing.
    ///
    /// # Errors
    /// The folder can't be made, or no thread can be started.
    pub fn start(folder: &Path, voice: Voice) -> Result<Self, PictureError> {
        let failed = |source| PictureError { path: folder.to_owned(), source };
        fs::create_dir_all(folder).map_err(failed)?;
        let (waiting, pictures) = sync_channel::<(PathBuf, Pixels)>(MAX_WAITING);
        let write_all = move || {
            for (path, pixels) in pictures {
                match write_png(&path, &pixels) {
                    Ok(()) => voice.say(path.display()),
                    Err(error) => tracing::error!(%error),
                }
            }
        };
        let thread = std::thread::Builder::new().name("pictures".into()).spawn(write_all).map_err(failed)?;
        Ok(Self { folder: folder.to_owned(), waiting: Some(waiting), thread: Some(thread) })
    }

    /// Hands a picture over; waits only when [`MAX_WAITING`] are waiting already.
    pub fn write(&self, name: &str, pixels: Pixels) {
        let Some(waiting) = &self.waiting else { return };
        if waiting.send((self.folder.join(name), pixels)).is_err() {
            tracing::error!(name, "the thread that writes pictures has ended; this one is lost");
        }
    }
}

impl Drop for PictureWriter {
    /// Waits until the last picture is on the disk.
    fn drop(&mut self) {
        self.waiting = None;
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the thread that writes pictures stopped with a fault");
        }
    }
}
