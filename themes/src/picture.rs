//! Pictures of a theme: PNG and SVG files to pixels. What is too large, too deep or endless is refused by what its
//! header and its elements say, before anything is decoded or drawn.

use std::collections::HashMap;

use resvg::usvg::roxmltree::{Document, Node, ParsingOptions};
use resvg::{tiny_skia, usvg};

/// Longest picture file, bytes: a picture of a full screen, well packed.
pub const MAX_PICTURE_BYTES: usize = 4 * 1024 * 1024;
/// Longest SVG file, bytes: outlines take a few thousand.
pub const MAX_SVG_BYTES: usize = 256 * 1024;
/// Most pixels of a picture: a screen of 3840×2160 and some more.
pub const MAX_PIXELS: u64 = 10_000_000;
/// Longest side, pixels: every adapter holds this.
pub const MAX_SIDE: u32 = 8_192;
/// How large an SVG is drawn, and how much of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SvgBounds {
    /// Its longer side, pixels.
    side: f32,
    /// Most elements with everything that they refer to written out, as drawing it would.
    drawn: u64,
}

/// A logo is never shown larger.
pub(crate) const LOGO: SvgBounds = SvgBounds { side: 1_024.0, drawn: 2_000 };
/// A full screen, a little softer than its pixels on the largest ones. Four times the pixels and a quarter of the
/// elements, so that drawing takes no longer.
pub(crate) const BACKDROP: SvgBounds = SvgBounds { side: 2_048.0, drawn: 500 };

/// Deepest nesting, references included.
const MAX_DEPTH: u32 = 24;
/// Elements that are drawn or say nothing. Others (text, scripts, filters, masks, patterns, pictures in the picture)
/// need fonts, other files or much time.
const KNOWN: &[&str] = &[
    "svg",
    "g",
    "defs",
    "symbol",
    "use",
    "path",
    "rect",
    "circle",
    "ellipse",
    "line",
    "polyline",
    "polygon",
    "linearGradient",
    "radialGradient",
    "stop",
    "clipPath",
    "title",
    "desc",
    "metadata",
];

/// A decoded picture, with the smaller copies of it that are shown where it is drawn small.
#[derive(PartialEq, Eq)]
pub struct Picture {
    levels: Vec<([u32; 2], Vec<u8>)>,
}

impl std::fmt::Debug for Picture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let [width, height] = self.size();
        write!(f, "{width} x {height} pixels")
    }
}

impl Picture {
    /// A picture of premultiplied sRGB pixels, four bytes each, row by row from the top. None if there are not as many
    /// as the size says, or none at all.
    #[must_use]
    pub fn new(size: [u32; 2], rgba: Vec<u8>) -> Option<Picture> {
        let pixels = u64::from(size[0]) * u64::from(size[1]);
        if pixels == 0 || u64::try_from(rgba.len()).ok()? != pixels.checked_mul(4)? {
            return None;
        }
        let mut levels = vec![(size, rgba)];
        for level in 0..size[0].max(size[1]).ilog2() {
            levels.push(halved(&levels[level as usize]));
        }
        Some(Picture { levels })
    }

    /// Width and height, pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        self.levels[0].0
    }

    /// The pixels: premultiplied, four bytes each.
    #[must_use]
    pub fn rgba(&self) -> &[u8] {
        &self.levels[0].1
    }

    /// Sizes and pixels of the picture and of all its smaller copies: each has half the sides of the one before,
    /// rounded down, and the last one is a pixel.
    pub fn levels(&self) -> impl Iterator<Item = ([u32; 2], &[u8])> {
        self.levels.iter().map(|(size, rgba)| (*size, rgba.as_slice()))
    }
}

/// Half of a picture's sides, rounded down but never under one pixel: each pixel is the mean of up to four.
fn halved(([width, height], rgba): &([u32; 2], Vec<u8>)) -> ([u32; 2], Vec<u8>) {
    let size = [(width / 2).max(1), (height / 2).max(1)];
    let row_bytes = *width as usize * 4;
    let mut half = Vec::with_capacity(size[0] as usize * size[1] as usize * 4);
    for y in 0..size[1] {
        let row = |y: u32| &rgba[y.min(height - 1) as usize * row_bytes..][..row_bytes];
        let rows = [row(y * 2), row(y * 2 + 1)];
        for x in 0..size[0] {
            let [left, right] = [x * 2, x * 2 + 1].map(|x| x.min(width - 1) as usize * 4);
            for channel in 0..4 {
                let of_row = |row: &[u8]| u32::from(row[left + channel]) + u32::from(row[right + channel]);
                let sum: u32 = rows.iter().map(|row| of_row(row)).sum();
                half.push(u8::try_from((sum + 2) / 4).unwrap_or(u8::MAX));
            }
        }
    }
    (size, half)
}

/// Reads a picture: an SVG by the end of its name, else a PNG. One of which nothing would be seen is refused: an SVG whose
/// size is 0 is such a one.
pub(crate) fn decode(name: &str, bytes: &[u8], bounds: SvgBounds) -> Result<Picture, String> {
    let svg = name.to_ascii_lowercase().ends_with(".svg");
    let picture = if svg { draw_svg(bytes, bounds) } else { decode_png(bytes) }?;
    let seen = picture.rgba().as_chunks::<4>().0.iter().any(|pixel| pixel[3] > 0);
    if seen { Ok(picture) } else { Err("nothing of it is seen: every pixel is clear".into()) }
}

fn check_size(width: u32, height: u32) -> Result<(), String> {
    let pixels = u64::from(width) * u64::from(height);
    if width == 0 || height == 0 {
        return Err("it has no pixels".into());
    }
    if pixels > MAX_PIXELS || width.max(height) > MAX_SIDE {
        return Err(format!(
            "it is {width} x {height} pixels; at most {MAX_SIDE} on a side and {MAX_PIXELS} in all are read: scale \
             it down"
        ));
    }
    Ok(())
}

fn decode_png(bytes: &[u8]) -> Result<Picture, String> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8() | png::Transformations::ALPHA);
    let mut reader = decoder.read_info().map_err(|error| error.to_string())?;
    let (width, height) = (reader.info().width, reader.info().height);
    check_size(width, height)?;
    let length = reader.output_buffer_size().ok_or("it is too large")?;
    let mut raw = vec![0; length];
    let frame = reader.next_frame(&mut raw).map_err(|error| error.to_string())?;
    raw.truncate(frame.buffer_size());
    let mut rgba = Vec::with_capacity(raw.len());
    match frame.color_type {
        png::ColorType::Rgba => {
            raw.chunks_exact(4).for_each(|p| rgba.extend(premultiplied([p[0], p[1], p[2], p[3]])))
        }
        png::ColorType::GrayscaleAlpha => {
            raw.chunks_exact(2).for_each(|p| rgba.extend(premultiplied([p[0], p[0], p[0], p[1]])));
        }
        other => return Err(format!("its colours ({other:?}) are not known here")),
    }
    Picture::new([width, height], rgba).ok_or_else(|| "it ends too soon".into())
}

fn premultiplied([red, green, blue, alpha]: [u8; 4]) -> [u8; 4] {
    let by = |channel: u8| {
        let product = u32::from(channel) * u32::from(alpha);
        u8::try_from((product + 127) / 255).unwrap_or(u8::MAX)
    };
    [by(red), by(green), by(blue), alpha]
}

fn draw_svg(bytes: &[u8], bounds: SvgBounds) -> Result<Picture, String> {
    if bytes.len() > MAX_SVG_BYTES {
        return Err(format!("it is longer than {MAX_SVG_BYTES} bytes; outlines take a few thousand"));
    }
    let text = std::str::from_utf8(bytes).map_err(|_| "it is not UTF-8 text")?;
    // Entities are not needed for outlines, and can make an endless text of a short one.
    let options = ParsingOptions { allow_dtd: false, nodes_limit: 20_000, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| error.to_string())?;
    Costs::new(&document)?.check(document.root_element(), bounds.drawn)?;
    let options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_xmltree(&document, &options).map_err(|error| error.to_string())?;
    let (width, height) = (tree.size().width(), tree.size().height());
    let scale = bounds.side / width.max(height);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few thousand
    let side = |length: f32| (length * scale).round().clamp(1.0, bounds.side) as u32;
    let mut canvas = tiny_skia::Pixmap::new(side(width), side(height)).ok_or("it has no size")?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut canvas.as_mut());
    let size = [canvas.width(), canvas.height()];
    Picture::new(size, canvas.take()).ok_or_else(|| "it could not be drawn".into())
}

/// How many elements drawing an element takes, with all that it refers to.
struct Costs<'a, 'input> {
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    known: HashMap<usize, u64>,
}

impl<'a, 'input> Costs<'a, 'input> {
    fn new(document: &'a Document<'input>) -> Result<Self, String> {
        let mut by_id = HashMap::new();
        for node in document.descendants().filter(Node::is_element) {
            let name = node.tag_name().name();
            let foreign =
                node.tag_name().namespace().is_some_and(|space| space != "http://www.w3.org/2000/svg");
            if !foreign && !KNOWN.contains(&name) {
                return Err(format!(
                    "it has a <{name}>; only shapes, groups, gradients, clips and <use> are drawn: turn text into \
                     outlines and remove the rest"
                ));
            }
            // A line of a thousand units has a million dashes if they are fine enough, and none says so before it is drawn.
            if node.attributes().any(|attribute| is_dashed(attribute.name(), attribute.value())) {
                return Err("it has a `stroke-dasharray`; turn dashed lines into outlines".into());
            }
            if let Some(id) = node.attribute("id") {
                by_id.insert(id, node);
            }
        }
        Ok(Self { by_id, known: HashMap::new() })
    }

    fn check(&mut self, root: Node<'a, 'input>, most: u64) -> Result<(), String> {
        let drawn = self.of(root, 0)?;
        if drawn > most {
            return Err(format!(
                "drawing it takes {drawn} elements with everything that they refer to; at most {most} are drawn"
            ));
        }
        Ok(())
    }

    fn of(&mut self, node: Node<'a, 'input>, depth: u32) -> Result<u64, String> {
        if depth > MAX_DEPTH {
            return Err(format!("it is nested deeper than {MAX_DEPTH}, or refers to itself"));
        }
        let id = node.id().get_usize();
        if let Some(known) = self.known.get(&id) {
            return Ok(*known);
        }
        let mut cost = 1_u64;
        for attribute in node.attributes() {
            for target in references(attribute.name(), attribute.value()) {
                if let Some(target) = self.by_id.get(target).copied() {
                    cost = cost.saturating_add(self.of(target, depth + 1)?);
                }
            }
        }
        for child in node.children().filter(Node::is_element) {
            cost = cost.saturating_add(self.of(child, depth + 1)?);
        }
        self.known.insert(id, cost);
        Ok(cost)
    }
}

/// Whether an attribute asks for dashes, by itself or within a style.
fn is_dashed(name: &str, value: &str) -> bool {
    name == "stroke-dasharray" && value.trim() != "none"
        || name == "style" && value.contains("stroke-dasharray")
}

/// Names of elements that an attribute refers to: `href="#a"`, `fill="url(#a)"`, `style="clip-path: url('#a')"`.
fn references<'v>(name: &str, value: &'v str) -> impl Iterator<Item = &'v str> {
    let whole = (name == "href").then(|| value.trim().strip_prefix('#')).flatten();
    let urls = value.split("url(").skip(1).filter_map(|rest| {
        let inside = rest.split(')').next()?.trim().trim_matches(['"', '\'']).trim();
        inside.strip_prefix('#')
    });
    whole.into_iter().chain(urls)
}
