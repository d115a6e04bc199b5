//! Golden pictures and draw lists: how they are compared, and how a new one is taken in.

use std::fs;
use std::io::BufWriter;
use std::path::{Path, PathBuf};

/// Largest difference of a channel that counts as equal: software and hardware Vulkan round alike but for 1 or 2.
pub const CHANNEL_TOLERANCE: u8 = 2;
/// Most pixels beyond that, in millionths: 0.1 %.
pub const STRAY_PPM: usize = 1_000;

/// Set to take new pictures in instead of comparing them.
const BLESS: &str = "FIVEMARK_BLESS";

/// Compares a picture (straight or premultiplied RGBA, 8 bits a channel, rows packed) with `golden/NAME.png`.
///
/// # Panics
/// There is no golden picture, it has another size, or more pixels differ than tolerated; the new picture then
/// stands in `target/golden/NAME.png`.
pub fn check(name: &str, size: [u32; 2], rgba: &[u8]) {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden").join(format!("{name}.png"));
    if std::env::var_os(BLESS).is_some() {
        write(&golden, size, rgba);
        return;
    }
    let made = made_folder().join(format!("{name}.png"));
    write(&made, size, rgba);
    let hint = format!("the picture made is {}; if it is right, run with {BLESS}=1", made.display());
    assert!(golden.is_file(), "there is no golden picture {}; {hint}", golden.display());
    let (golden_size, golden_rgba) = read(&golden);
    assert_eq!(golden_size, size, "{name} has another size than its golden picture; {hint}");
    let stray = stray_pixels(&golden_rgba, rgba);
    let allowed = rgba.len() / 4 * STRAY_PPM / 1_000_000;
    assert!(stray <= allowed, "{name}: {stray} pixels differ, {allowed} may; {hint}");
}

/// Compares a text with `golden/NAME.txt`, line by line.
///
/// # Panics
/// There is no golden text, or a line differs; the new text then stands in `target/golden/NAME.txt`.
pub fn check_text(name: &str, text: &str) {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden").join(format!("{name}.txt"));
    if std::env::var_os(BLESS).is_some() {
        return write_text(&golden, text);
    }
    let made = made_folder().join(format!("{name}.txt"));
    write_text(&made, text);
    let hint = format!("the text made is {}; if it is right, run with {BLESS}=1", made.display());
    assert!(golden.is_file(), "there is no golden text {}; {hint}", golden.display());
    let wanted = fs::read_to_string(&golden).expect("the golden text can be read");
    let lines = |of: &'static str, text: &str| -> Vec<String> {
        text.lines().map(|line| format!("{of} {line}")).collect()
    };
    let (was, is) = (lines("-", &wanted), lines("+", text));
    let differs = |at: &usize| was.get(*at).map(|line| &line[1..]) != is.get(*at).map(|line| &line[1..]);
    if let Some(at) = (0..was.len().max(is.len())).find(differs) {
        let none = String::from("  (nothing)");
        let (was, is) = (was.get(at).unwrap_or(&none), is.get(at).unwrap_or(&none));
        panic!("{name} differs from line {} on:\n{was}\n{is}\n{hint}", at + 1);
    }
}

fn write_text(file: &Path, text: &str) {
    fs::create_dir_all(file.parent().expect("texts stand in a folder")).expect("the folder can be made");
    fs::write(file, text).expect("the text can be written");
}

/// Pixels of which a channel differs by more than [`CHANNEL_TOLERANCE`].
#[must_use]
pub fn stray_pixels(one: &[u8], other: &[u8]) -> usize {
    let differ = |(a, b): (&u8, &u8)| a.abs_diff(*b) > CHANNEL_TOLERANCE;
    one.chunks_exact(4).zip(other.chunks_exact(4)).filter(|(a, b)| a.iter().zip(*b).any(differ)).count()
}

/// Reads an RGBA picture of 8 bits a channel.
///
/// # Panics
/// It cannot be read.
#[must_use]
pub fn read(file: &Path) -> ([u32; 2], Vec<u8>) {
    let bytes = fs::File::open(file).expect("the picture opens");
    let mut reader = png::Decoder::new(std::io::BufReader::new(bytes)).read_info().expect("it is a PNG");
    let mut rgba = vec![0; reader.output_buffer_size().expect("its size is bounded")];
    let info = reader.next_frame(&mut rgba).expect("it holds a picture");
    rgba.truncate(info.buffer_size());
    ([info.width, info.height], rgba)
}

fn write(file: &Path, size: [u32; 2], rgba: &[u8]) {
    fs::create_dir_all(file.parent().expect("pictures stand in a folder")).expect("the folder can be made");
    let out = BufWriter::new(fs::File::create(file).expect("the picture can be written"));
    let mut encoder = png::Encoder::new(out, size[0], size[1]);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().expect("the header can be written");
    writer.write_image_data(rgba).expect("the pixels can be written");
}

fn made_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/golden")
}
