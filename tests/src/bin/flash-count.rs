//! Counts the flashes of a moving picture: raw frames on the standard input, a sentence on the standard output, and exit
//! status 1 if there are more than three in a second.
//!
//! ```sh
//! ffmpeg -i heat.mp4 -vf scale=512:-2 -f rawvideo -pix_fmt rgba - | flash-count --size 512x288 --fps 60
//! ```

use std::io::{self, Read};
use std::process::ExitCode;

use clap::Parser;
use fivemark_tests::flash_count::{FlashCount, Most};

/// Red, green, blue and a byte that is not looked at.
const BYTES: usize = 4;
/// Frames of up to this many pixels.
const MAX_PIXELS: u64 = 1 << 26;

/// Counts flashes by WCAG 2.2, success criterion 2.3.1.
#[derive(Debug, Parser)]
struct Options {
    /// Size of the frames, pixels.
    #[arg(long, value_name = "WxH", value_parser = size)]
    size: [u32; 2],
    /// Frames a second.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    fps: u32,
}

fn main() -> ExitCode {
    let options = Options::parse();
    match count(&options, &mut io::stdin().lock()) {
        Ok(count) if count.frames() == 0 => {
            eprintln!("error: no frame came; write raw RGBA frames to the standard input");
            ExitCode::from(2)
        }
        Ok(count) => {
            println!("{} frames", count.frames());
            println!("{}", sentence("general", count.general(), options.fps));
            println!("{}", sentence("red", count.red(), options.fps));
            let passes = count.general().passes() && count.red().passes();
            println!(
                "{}",
                if passes { "never more than three flashes in a second" } else { "TOO MANY FLASHES" }
            );
            ExitCode::from(u8::from(!passes))
        }
        Err(error) => {
            eprintln!("error: the frames can't be read: {error}");
            ExitCode::from(2)
        }
    }
}

fn count(options: &Options, input: &mut impl Read) -> io::Result<FlashCount> {
    let mut count = FlashCount::new(options.size, options.fps);
    let mut frame = vec![0; options.size.iter().map(|side| *side as usize).product::<usize>() * BYTES];
    loop {
        match input.read_exact(&mut frame) {
            Ok(()) => count.take(&frame, BYTES),
            Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => return Ok(count),
            Err(error) => return Err(error),
        }
    }
}

fn sentence(kind: &str, most: Most, fps: u32) -> String {
    if most.transitions == 0 {
        return format!("{kind} flashes: none");
    }
    #[allow(clippy::cast_precision_loss)] // half transitions, seconds
    let (flashes, seconds) = (most.transitions as f64 / 2.0, most.frame as f64 / f64::from(fps));
    let [x, y] = most.at;
    format!("{kind} flashes: at most {flashes} in a second, up to {seconds:.2} s, around {x}, {y}")
}

fn size(text: &str) -> Result<[u32; 2], String> {
    let sides = text.split_once('x').and_then(|(w, h)| Some([w.parse().ok()?, h.parse().ok()?]));
    match sides {
        Some([w, h]) if w > 0 && h > 0 && u64::from(w) * u64::from(h) <= MAX_PIXELS => Ok([w, h]),
        _ => Err(format!("`{text}` is not a size; write it like 512x288, at most {MAX_PIXELS} pixels")),
    }
}
