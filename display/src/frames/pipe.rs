//! The pipe that raw frames go into: the standard output, or a named pipe that readers open and leave as they like.
//! Knows nothing of frames.

use std::fs::{self, File, OpenOptions};
use std::io::{self, IsTerminal};
use std::os::fd::AsFd;
use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

use rustix::fs::{CWD, FileType, Mode, OFlags};
use thiserror::Error;

use crate::plan::Pipe;

/// Bytes that the kernel is asked to hold: the more, the fewer times writer and reader wait for each other. What the
/// system grants to everybody without asking.
const PIPE_BYTES: usize = 1024 * 1024;

/// Why frames can't be sent there.
#[derive(Debug, Error)]
pub enum PipeError {
    /// Frames would be written on a terminal.
    #[error(
        "raw frames would be written on this terminal; send them to a program (… --frames - | ffmpeg -i -), or name \
         a pipe"
    )]
    Terminal,
    /// A file of another kind.
    #[error(
        "{} is not a pipe, and raw frames would fill a disk within minutes; \
         name another path, where a pipe is made by itself", .0.display()
    )]
    NotAPipe(PathBuf),
    /// The system refuses.
    #[error("the pipe {} can't be used: {source}; check that its folder is there and writable", path.display())]
    Refused {
        /// Where.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

/// A pipe that can be written to whenever it has a reader.
#[derive(Debug)]
pub(super) struct Mouth {
    pipe: Pipe,
}

/// A named pipe that was made here. Dropping it takes it away again.
#[derive(Debug)]
pub(super) struct MadePipe(PathBuf);

impl Mouth {
    /// Makes the named pipe if it is not there, and hands it over then.
    pub fn make(pipe: &Pipe) -> Result<(Self, Option<MadePipe>), PipeError> {
        let made = match pipe {
            Pipe::Standard if io::stdout().is_terminal() => return Err(PipeError::Terminal),
            Pipe::Named(path) if is_made(path)? => Some(MadePipe(path.clone())),
            Pipe::Standard | Pipe::Named(_) => None,
        };
        Ok((Self { pipe: pipe.clone() }, made))
    }

    /// Its writing end; none while a named pipe has no reader.
    pub fn open(&self) -> io::Result<Option<File>> {
        let file = match &self.pipe {
            Pipe::Standard => File::from(io::stdout().as_fd().try_clone_to_owned()?),
            Pipe::Named(path) => {
                // Without a reader this fails at once instead of waiting for one.
                let flags = i32::try_from(OFlags::NONBLOCK.bits()).unwrap_or(0);
                let file = match OpenOptions::new().write(true).custom_flags(flags).open(path) {
                    Err(error) if error.raw_os_error() == Some(rustix::io::Errno::NXIO.raw_os_error()) => {
                        return Ok(None);
                    }
                    opened => opened?,
                };
                rustix::fs::fcntl_setfl(&file, OFlags::empty())?;
                file
            }
        };
        // A pipe that stays small is a slower one.
        let _ = rustix::pipe::fcntl_setpipe_size(&file, PIPE_BYTES);
        Ok(Some(file))
    }
}

impl Drop for MadePipe {
    fn drop(&mut self) {
        // Somebody may have removed it already.
        let _ = fs::remove_file(&self.0);
    }
}

/// Makes a named pipe where there is nothing; false if there is one already.
fn is_made(path: &Path) -> Result<bool, PipeError> {
    let refused = |source| PipeError::Refused { path: path.to_owned(), source };
    match fs::metadata(path) {
        Ok(about) if about.file_type().is_fifo() => Ok(false),
        Ok(_) => Err(PipeError::NotAPipe(path.to_owned())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            let mode = Mode::RUSR | Mode::WUSR;
            rustix::fs::mknodat(CWD, path, FileType::Fifo, mode, 0).map_err(|error| refused(error.into()))?;
            Ok(true)
        }
        Err(error) => Err(refused(error)),
    }
}
