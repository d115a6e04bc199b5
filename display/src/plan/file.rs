//! Reads a plan from a screens file, and names every fault at its line.

use std::fmt;
use std::path::{Path, PathBuf};

use thiserror::Error;
use toml::de::DeTable;

use super::fields::{Faults, Fields};
use super::{
    Alpha, Fps, FramesPlan, Ground, Kind, MAX_OUTPUTS, MAX_PICTURES, Monitor, Output, Picture, Pipe,
    PixelOrder, Plan, Shift, To, USUAL_SIZE, WindowPlan,
};
use crate::cli::{MAX_AHEAD_MS, MAX_DELAY_MS, MAX_SIDE_PX, parse_language, parse_size};
use crate::excerpt::{Excerpt, Show, Turn};
use crate::gpu::damage::PxRect;

/// Longest file that is read, in bytes: thousands of outputs would be shorter.
const MAX_FILE_BYTES: u64 = 1024 * 1024;
/// Most monitors that are counted.
const MAX_MONITORS: i64 = 64;

/// Why a screens file can't be used.
#[derive(Debug, Error)]
pub enum PlanError {
    /// It can't be read at all.
    #[error("{}: cannot be read: {source}", file.display())]
    Unreadable {
        /// Its path.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// It is longer than a megabyte.
    #[error("{}: {bytes} bytes are too long for a screens file", file.display())]
    TooLong {
        /// Its path.
        file: PathBuf,
        /// Its length.
        bytes: u64,
    },
    /// What stands in it.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Faults(Vec<Fault>),
}

/// One fault, at its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The file as it was named.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// What is wrong and what to do.
    pub says: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.file, self.line, self.says)
    }
}

/// Reads a screens file.
///
/// # Errors
/// It can't be read, or has faults.
pub fn read(file: &Path) -> Result<Plan, PlanError> {
    let unreadable = |source| PlanError::Unreadable { file: file.to_owned(), source };
    let bytes = std::fs::metadata(file).map_err(unreadable)?.len();
    if bytes > MAX_FILE_BYTES {
        return Err(PlanError::TooLong { file: file.to_owned(), bytes });
    }
    let text = std::fs::read_to_string(file).map_err(unreadable)?;
    parse(&file.display().to_string(), &text).map_err(PlanError::Faults)
}

/// Reads a plan from its text; `file` names it in faults.
///
/// # Errors
/// Every fault, in the order of the file.
pub fn parse(file: &str, text: &str) -> Result<Plan, Vec<Fault>> {
    let mut faults = Faults::default();
    let (document, errors) = DeTable::parse_recoverable(text);
    for error in &errors {
        let at = error.span().map_or(0, |span| span.start);
        faults.add(at, format!("this is not TOML: {}", error.message().replace('\n', "; ")));
    }
    let mut plan = Plan::default();
    // Past a fault of syntax the structure is guesswork; what it would seem to say only distracts.
    if faults.0.is_empty() {
        plan = plan_of(document.get_ref(), &mut faults);
    }
    if faults.0.is_empty() {
        return Ok(plan);
    }
    faults.0.sort_by_key(|(at, _)| *at);
    let line = |at: usize| text.bytes().take(at).filter(|byte| *byte == b'\n').count() + 1;
    let place = |(at, says)| Fault { file: file.to_owned(), line: line(at), says };
    Err(faults.0.into_iter().map(place).collect())
}

fn plan_of(table: &DeTable<'_>, faults: &mut Faults) -> Plan {
    let mut fields = Fields::new(table, 0, "the file");
    let mut pictures = fields.tables("picture", MAX_PICTURES, faults);
    let mut outputs = fields.tables("output", MAX_OUTPUTS, faults);
    fields.finish(faults);
    let read = pictures.iter_mut().map(|fields| picture(fields, faults)).collect();
    let mut plan = Plan { pictures: read, outputs: Vec::new() };
    let mut listening = Vec::new();
    for fields in &mut outputs {
        let output = output(fields, &plan.pictures, faults);
        let taken = |other: &Output| match (&output.to, &other.to) {
            (To::Pages(here), To::Pages(there)) => here == there && here.port() != 0,
            (To::Frames(here), To::Frames(there)) => here.pipe == there.pipe,
            _ => false,
        };
        if let Some(other) = listening.iter().find(|other| taken(other)) {
            let says =
                format!("output `{}` has this address or pipe already; one takes one output", other.name);
            faults.add(fields.at, says);
        }
        listening.push(output);
    }
    plan.outputs = listening;
    names_are_apart(&plan, &pictures, &outputs, faults);
    sizes_are_known(&mut plan, &pictures, faults);
    if outputs.is_empty() && pictures.is_empty() {
        faults.add(0, "nothing is to be shown; write at least one [[picture]] and one [[output]]");
    }
    pictures.into_iter().chain(outputs).for_each(|fields| fields.finish(faults));
    plan
}

fn picture(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> Picture {
    let name = fields.need_text("name", faults).unwrap_or_default().to_owned();
    let missing = fields.place("screen") == fields.at;
    if missing {
        faults.add(fields.at, format!("{} has no screen", fields.what));
    }
    let kind = fields.word("screen", "board, overlay, test-card", faults).unwrap_or(Kind::Board);
    let size = fields.read("size", parse_size, faults);
    let theme = fields.text("theme", faults).unwrap_or("dark").to_owned();
    let language = |text: &str| parse_language(text).map_err(|error| error.to_string());
    let language = fields.read("language", language, faults).unwrap_or("en");
    let ground = fields.read("background", Ground::read, faults).unwrap_or_default();
    let reduced_motion = fields.flag("reduced_motion", faults).unwrap_or_default();
    let ms = |number: Option<i64>| number.and_then(|ms| u32::try_from(ms).ok()).unwrap_or(0);
    let ahead_ms = ms(fields.number("ahead_ms", 0..=MAX_AHEAD_MS, faults));
    let delay_ms = ms(fields.number("delay_ms", 0..=MAX_DELAY_MS, faults));
    let shift = Shift::of_ms(ahead_ms, delay_ms).unwrap_or_else(|_| {
        let says = "a picture is ahead of a wall that shows late (ahead_ms) or behind with a stream that runs late \
                    (delay_ms), never both; leave one of them out";
        faults.add(fields.place("delay_ms"), says);
        Shift::default()
    });
    let moments = fields.text("moments", faults).map(PathBuf::from);
    let ground = kind.ground(ground);
    Picture { name, kind, size, theme, language, ground, reduced_motion, shift, moments }
}

fn output(fields: &mut Fields<'_, '_>, pictures: &[Picture], faults: &mut Faults) -> Output {
    let name = fields.need_text("name", faults).unwrap_or_default().to_owned();
    let of = fields.need_text("picture", faults);
    let picture = of.and_then(|of| pictures.iter().position(|picture| picture.name == of));
    if let (Some(of), None) = (of, picture) {
        faults.add(fields.place("picture"), format!("no [[picture]] is named `{of}`"));
    }
    let part = part(fields, picture.and_then(|at| pictures[at].size), faults);
    let turn = fields.number("turn", 0..=270, faults).map_or(Some(Turn::None), Turn::of_degrees);
    if turn.is_none() {
        faults.add(fields.place("turn"), "turn is 0, 90, 180 or 270 degrees, clockwise");
    }
    let show: Show = fields.word("show", "picture, fill, key", faults).unwrap_or_default();
    let fps = fields.read_literal("fps", Fps::read, faults);
    let to = to(fields, faults);
    Output {
        name,
        picture: picture.unwrap_or(0),
        excerpt: Excerpt { part, turn: turn.unwrap_or_default(), show },
        fps: fps.unwrap_or(Fps::USUAL),
        to,
    }
}

/// A rectangle within the picture.
fn part(fields: &mut Fields<'_, '_>, picture: Option<[u32; 2]>, faults: &mut Faults) -> Option<PxRect> {
    let value = fields.value("part")?;
    let at = value.span().start;
    let mut fields = Fields::of(value, "part".into(), faults)?;
    let most = i64::from(MAX_SIDE_PX);
    let [x, y] = ["x", "y"].map(|side| fields.number(side, 0..=most, faults).unwrap_or(0));
    let [width, height] = ["width", "height"].map(|side| {
        if fields.place(side) == at {
            faults.add(at, format!("part has no {side}"));
        }
        fields.number(side, 1..=most, faults)
    });
    fields.finish(faults);
    let [x, y] = [x, y].map(|side| i32::try_from(side).unwrap_or(0));
    let [width, height] = [width?, height?].map(|side| i32::try_from(side).unwrap_or(0));
    let part = PxRect { left: x, top: y, right: x + width, bottom: y + height };
    let Some(size) = picture else {
        faults.add(at, "a part can only be cut from a picture whose size is told; give the picture its size");
        return None;
    };
    if part.intersect(PxRect::of_size(size)) != part {
        faults.add(at, format!("this part is not within its picture, which is {}x{}", size[0], size[1]));
        return None;
    }
    Some(part)
}

/// Where it goes, with the fields that only this kind of output has.
fn to(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> To {
    match fields.need_text("to", faults) {
        Some("window") => To::Window(window(fields, faults)),
        Some("pages") => {
            let address = |text: &str| {
                text.parse().map_err(|_| format!("`{text}` is no address; write it like 127.0.0.1:7334"))
            };
            if fields.place("listen") == fields.at {
                faults.add(fields.at, format!("{} goes to pages and has no listen address", fields.what));
            }
            let nowhere = ([127, 0, 0, 1], 0).into();
            To::Pages(fields.read("listen", address, faults).unwrap_or(nowhere))
        }
        Some("frames") => To::Frames(FramesPlan {
            pipe: fields.need_text("pipe", faults).map_or(Pipe::Standard, Pipe::read),
            pixels: fields.word::<PixelOrder>("pixels", "rgba, bgra", faults).unwrap_or_default(),
            alpha: fields.word::<Alpha>("alpha", "straight, premultiplied", faults).unwrap_or_default(),
        }),
        other => {
            if let Some(other) = other {
                faults.add(fields.place("to"), format!("to is one of window, pages, frames, not `{other}`"));
            }
            // The fields of every kind are known, so that none of them is told as a second fault.
            for name in ["monitor", "full_screen", "at", "listen", "pipe", "pixels", "alpha"] {
                fields.value(name);
            }
            To::Window(WindowPlan::default())
        }
    }
}

fn window(fields: &mut Fields<'_, '_>, faults: &mut Faults) -> WindowPlan {
    let is_number =
        fields.value("monitor").is_some_and(|value| matches!(value.get_ref(), toml::de::DeValue::Integer(_)));
    let monitor = if is_number {
        let number = fields.number("monitor", 1..=MAX_MONITORS, faults);
        number.and_then(|number| usize::try_from(number).ok()).map(Monitor::Number)
    } else {
        fields.text("monitor", faults).map(|name| Monitor::Name(name.to_owned()))
    };
    let full_screen = fields.flag("full_screen", faults).unwrap_or(false);
    let at = fields.value("at").and_then(|value| {
        if full_screen {
            faults.add(
                value.span().start,
                "a window that fills its monitor stands at no place; leave out one of them",
            );
        }
        let mut fields = Fields::of(value, "at".into(), faults)?;
        let most = i64::from(MAX_SIDE_PX);
        let place = ["x", "y"].map(|side| fields.number(side, -most..=most, faults).unwrap_or(0));
        fields.finish(faults);
        Some(place.map(|side| i32::try_from(side).unwrap_or(0)))
    });
    WindowPlan { monitor, full_screen, at, size: None }
}

fn names_are_apart(
    plan: &Plan,
    pictures: &[Fields<'_, '_>],
    outputs: &[Fields<'_, '_>],
    faults: &mut Faults,
) {
    let pictures = pictures.iter().zip(plan.pictures.iter().map(|picture| &picture.name));
    let outputs = outputs.iter().zip(plan.outputs.iter().map(|output| &output.name));
    for named in [pictures.collect::<Vec<_>>(), outputs.collect()] {
        for (at, (fields, name)) in named.iter().enumerate() {
            if !name.is_empty() && named[..at].iter().any(|(_, other)| other == name) {
                faults.add(fields.place("name"), format!("the name `{name}` is taken already"));
            }
        }
    }
}

/// A picture without a size of its own takes the size of its only window; any other has the usual one.
fn sizes_are_known(plan: &mut Plan, fields: &[Fields<'_, '_>], faults: &mut Faults) {
    for (at, (picture, fields)) in plan.pictures.iter_mut().zip(fields).enumerate() {
        let mut shown = plan.outputs.iter().filter(|output| output.picture == at);
        let first = shown.next();
        let alone = first.is_some_and(|output| matches!(output.to, To::Window(_))) && shown.next().is_none();
        if first.is_none() && picture.moments.is_none() {
            let says = format!("no [[output]] shows the picture `{}`, and it has no moments", picture.name);
            faults.add(fields.place("name"), says);
        }
        if picture.size.is_none() && !alone && fields.place("size") == fields.at {
            picture.size = Some(USUAL_SIZE);
        }
    }
}
