//! What one process shows where: pictures, and outputs that show them. It comes from a file, or from the options of
//! the commands that show one picture on one output; what follows is the same for both.

mod fields;
mod file;
mod fps;

use std::fmt;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::rc::Rc;

use fivemark_scene::draw::Rgba;
use fivemark_scene::{Background, Board, Motion, Overlay, Screen, TestCard};
use fivemark_themes::LoadedTheme;
use serde::Deserialize;

pub use file::{PlanError, parse, read};
pub use fps::Fps;

use crate::excerpt::Excerpt;

/// Most pictures of one process, each with a canvas of its own.
pub const MAX_PICTURES: usize = 32;
/// Most outputs of one process.
pub const MAX_OUTPUTS: usize = 64;
/// Size of a picture that no window decides, if none is told.
pub const USUAL_SIZE: [u32; 2] = [1920, 1080];

/// Everything that one process shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// The pictures; each is drawn once a frame, however many outputs show it.
    pub pictures: Vec<Picture>,
    /// The outputs.
    pub outputs: Vec<Output>,
}

/// One picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// For outputs and messages.
    pub name: String,
    /// What it shows.
    pub kind: Kind,
    /// Pixels; none if the one window that shows it decides.
    pub size: Option<[u32; 2]>,
    /// A bundled theme, or a folder.
    pub theme: String,
    /// Code of the language of its words.
    pub language: &'static str,
    /// What it stands on.
    pub ground: Ground,
    /// Nothing moves but the clock.
    pub reduced_motion: bool,
    /// How far it is from now.
    pub shift: Shift,
    /// Picture files of set moments go into this folder.
    pub moments: Option<PathBuf>,
}

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The board.
    Board,
    /// The stream's overlay, which has no ground of its own.
    Overlay,
    /// The card by which a wall is placed and checked.
    TestCard,
}

impl Kind {
    /// As files and commands name it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::Overlay => "overlay",
            Self::TestCard => "test-card",
        }
    }

    /// What a picture of this kind stands on if it is asked to stand on `ground`.
    #[must_use]
    pub fn ground(self, ground: Ground) -> Ground {
        match (self, ground) {
            (Self::Overlay, Ground::Theme) => Ground::Clear,
            (Self::Board | Self::Overlay | Self::TestCard, ground) => ground,
        }
    }
}

/// The screen of a picture of a kind and name.
#[must_use]
pub fn make_screen(
    kind: Kind,
    name: &str,
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
    motion: Motion,
) -> Box<dyn Screen> {
    match kind {
        Kind::Board => Box::new(Board::new(theme, size, motion)),
        Kind::Overlay => Box::new(Overlay::new(theme, size, motion)),
        Kind::TestCard => {
            let mut card = TestCard::new(theme, size);
            // A picture that has no name of its own is called by its kind, which the card says anyhow.
            if name != kind.name() {
                card.set_name(name);
            }
            Box::new(card)
        }
    }
}

/// What a picture stands on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ground {
    /// The theme's own background.
    #[default]
    Theme,
    /// Nothing: transparent.
    Clear,
    /// One colour, for a mixer to key out.
    Solid(Rgba),
}

impl Ground {
    /// Reads `theme`, `clear` or a colour like `#00ff00`.
    ///
    /// # Errors
    /// It is something else, in words.
    pub fn read(text: &str) -> Result<Self, String> {
        let colour = |hex: &str| {
            let channel = |at: usize| u8::from_str_radix(hex.get(at..at + 2)?, 16).ok();
            let plain = hex.len() == 6 && hex.bytes().all(|digit| digit.is_ascii_hexdigit());
            Some(Self::Solid(Rgba([channel(0)?, channel(2)?, channel(4)?, 255]))).filter(|_| plain)
        };
        match text {
            "theme" => Ok(Self::Theme),
            "clear" => Ok(Self::Clear),
            text => text.strip_prefix('#').and_then(colour).ok_or_else(|| {
                format!(
                    "`{text}` is no background; write theme, clear, or a colour to key out such as #00ff00"
                )
            }),
        }
    }

    /// As the scene takes it.
    #[must_use]
    pub fn background(self) -> Background {
        match self {
            Self::Theme => Background::Theme,
            Self::Clear | Self::Solid(_) => Background::Clear,
        }
    }

    /// The colour to key out.
    #[must_use]
    pub fn solid(self) -> Option<Rgba> {
        match self {
            Self::Solid(colour) => Some(colour),
            Self::Theme | Self::Clear => None,
        }
    }
}

/// How far a picture is from now, microseconds; one of them is 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Shift {
    pub ahead_us: i64,
    pub delay_us: i64,
}

impl Shift {
    /// # Errors
    /// Ahead and late at once.
    pub fn of_ms(ahead_ms: u32, delay_ms: u32) -> Result<Self, BothShifts> {
        if ahead_ms > 0 && delay_ms > 0 {
            return Err(BothShifts);
        }
        Ok(Self { ahead_us: i64::from(ahead_ms) * 1_000, delay_us: i64::from(delay_ms) * 1_000 })
    }
}

/// Ahead and late at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "a display is either ahead of a wall that shows late (--ahead-ms) or behind with a stream that runs late \
     (--delay-ms), never both; leave one of them out"
)]
pub struct BothShifts;

/// One output.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// For titles and messages.
    pub name: String,
    /// Which picture, by its place in the plan.
    pub picture: usize,
    /// What of it.
    pub excerpt: Excerpt,
    /// Most frames a second; of frames exactly.
    pub fps: Fps,
    /// Where it goes.
    pub to: To,
}

/// Where an output goes.
#[derive(Clone, Debug, PartialEq)]
pub enum To {
    /// A window.
    Window(WindowPlan),
    /// Pages in browsers, served here.
    Pages(SocketAddr),
    /// Raw frames.
    Frames(FramesPlan),
}

/// A window.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WindowPlan {
    /// On this monitor; on the desktop's own choice if none is named.
    pub monitor: Option<Monitor>,
    /// Fills its monitor.
    pub full_screen: bool,
    /// Its upper left corner, pixels from that of its monitor; the desktop chooses if none is told.
    pub at: Option<[i32; 2]>,
    /// Pixels when it does not; those of what it shows if none are told.
    pub size: Option<[u32; 2]>,
}

/// A monitor, as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Monitor {
    /// By its place in the list, from 1.
    Number(usize),
    /// By its name.
    Name(String),
}

impl fmt::Display for Monitor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Name(name) => write!(f, "`{name}`"),
        }
    }
}

/// Raw frames.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FramesPlan {
    /// Where they go.
    pub pipe: Pipe,
    /// Order of the four bytes.
    pub pixels: PixelOrder,
    /// What the colours are.
    pub alpha: Alpha,
}

/// Where raw frames go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pipe {
    /// The standard output.
    Standard,
    /// A named pipe.
    Named(PathBuf),
}

impl Pipe {
    /// Reads a path, or `-` for the standard output.
    #[must_use]
    pub fn read(text: &str) -> Self {
        if text == "-" { Self::Standard } else { Self::Named(text.into()) }
    }
}

impl fmt::Display for Pipe {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Standard => f.write_str("the standard output"),
            Self::Named(path) => write!(f, "{}", path.display()),
        }
    }
}

/// Order of a pixel's bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum PixelOrder {
    /// Red, green, blue, alpha.
    #[default]
    Rgba,
    /// Blue, green, red, alpha.
    Bgra,
}

/// What colours with alpha are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Alpha {
    /// As they are, beside the alpha.
    #[default]
    Straight,
    /// Multiplied with the alpha, in the sRGB encoding.
    Premultiplied,
}

impl Plan {
    /// Only the outputs of these names, and the pictures that they show; everything if none is named.
    ///
    /// # Errors
    /// No output has this name.
    pub fn only(mut self, names: &[String]) -> Result<Self, NoSuchOutput> {
        if names.is_empty() {
            return Ok(self);
        }
        for name in names {
            if !self.outputs.iter().any(|output| output.name == *name) {
                let known: Vec<_> = self.outputs.iter().map(|output| output.name.as_str()).collect();
                return Err(NoSuchOutput { name: name.clone(), known: known.join(", ") });
            }
        }
        self.outputs.retain(|output| names.contains(&output.name));
        let mut places = Vec::new();
        let mut kept = Vec::new();
        for (at, picture) in std::mem::take(&mut self.pictures).into_iter().enumerate() {
            let shown = self.outputs.iter().any(|output| output.picture == at);
            places.push(kept.len());
            if shown {
                kept.push(picture);
            }
        }
        self.pictures = kept;
        for output in &mut self.outputs {
            output.picture = places[output.picture];
        }
        Ok(self)
    }

    /// Whether raw frames take the standard output, so that nothing else may be written there.
    #[must_use]
    pub fn takes_standard_output(&self) -> bool {
        let takes = |output: &Output| match &output.to {
            To::Frames(frames) => frames.pipe == Pipe::Standard,
            To::Window(_) | To::Pages(_) => false,
        };
        self.outputs.iter().any(takes)
    }
}

/// An output that is not in the file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no output is named `{name}`; those of the file are {known}")]
pub struct NoSuchOutput {
    /// Asked for.
    pub name: String,
    /// What there is.
    pub known: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grounds_are_read() {
        assert_eq!(Ground::read("theme"), Ok(Ground::Theme));
        assert_eq!(Ground::read("clear"), Ok(Ground::Clear));
        assert_eq!(Ground::read("#00fF7a"), Ok(Ground::Solid(Rgba([0, 255, 122, 255]))));
        for wrong in ["", "green", "#", "#00ff0", "#00ff000", "#+0ff00", "#00ff0g", "00ff00", "#é1234"] {
            assert!(Ground::read(wrong).is_err(), "{wrong}");
        }
    }
}
