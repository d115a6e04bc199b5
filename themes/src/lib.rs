//! Theme files: colours by role, type, shape and motion, with the fonts that they name. A theme is read and
//! checked as a whole; every fault is named at its line. What is drawn with a theme is left to the layouts.

pub mod backdrop;
mod bundled;
pub mod check;
pub mod color;
pub mod contrast;
mod decor;
pub mod fault;
pub mod flash;
mod font;
mod load;
mod picture;
mod read;
pub mod roles;
pub mod sight;

use std::path::{Path, PathBuf};
use std::sync::Arc;

pub use backdrop::{Backdrop, Lies};
pub use color::Color;
pub use fault::{FaultKind, ThemeFault};
pub use font::WRITTEN;
pub use load::{MAX_FONT_BYTES, MAX_FONTS, MAX_THEME_BYTES, find, load, names, parse};
pub use picture::{MAX_PICTURE_BYTES, MAX_PIXELS, MAX_SIDE, MAX_SVG_BYTES, Picture};
pub use roles::{Colors, Role};

/// The bytes of a font file, shared between the theme and whoever rasterises it.
pub type FontBytes = Arc<dyn AsRef<[u8]> + Send + Sync>;

/// A font file of a theme.
#[derive(Clone)]
pub struct FontFile {
    /// As the theme names it.
    pub name: String,
    /// Its bytes.
    pub data: FontBytes,
    /// It writes, at whatever weight, what no other font of the theme can; fallbacks are asked in their order.
    pub fallback: bool,
}

impl std::fmt::Debug for FontFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("FontFile").field("name", &self.name).finish_non_exhaustive()
    }
}

/// A family at a weight.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Face {
    /// Name of the family, as the font file has it.
    pub family: String,
    /// Weight, 100 to 900.
    pub weight: u16,
}

/// Faces by what they set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Type {
    /// The clock.
    pub clock: Face,
    /// Counts, places, results: everything that must stand in columns.
    pub figures: Face,
    /// Athletes' names and the workout's.
    pub names: Face,
    /// Everything else.
    pub labels: Face,
}

/// Radii and gaps, in thousandths of the board's height unless said otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Form {
    /// Distance from the board's edges.
    pub margin: u32,
    /// Gap between rows, in thousandths of a row's height.
    pub row_gap: u32,
    /// Radius of a row's corners.
    pub row_radius: u32,
    /// Radius of a track part's corners.
    pub part_radius: u32,
    /// Gap between the parts of a track.
    pub part_gap: u32,
    /// How much of a row's height its track takes, in thousandths.
    pub track_height: u32,
    /// How much white (in thousandths) the top of a bar carries over its bottom.
    pub sheen: u32,
}

/// How long things move, in milliseconds. What is too short for its colours would flash, and is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timing {
    /// A bar's way to its new length; under 200.
    pub glide_ms: u32,
    /// A count's roll; at most 150.
    pub roll_ms: u32,
    /// A change of a place, and of a row's, a bar's or a badge's colour; at most 400. No colour changes again
    /// before this has passed.
    pub place_ms: u32,
    /// A finish, from its call until the row rests; 200 to 1500.
    pub finish_ms: u32,
    /// How long a no-rep is shown; 200 to 5000.
    pub no_rep_ms: u32,
}

/// A picture that stands on boards where there is room.
#[derive(Clone, Debug)]
pub struct Logo {
    /// As the theme names it.
    pub name: String,
    /// Its pixels.
    pub picture: Arc<Picture>,
    /// Most of a board's height that it takes, thousandths.
    pub height: u32,
    /// Most of a board's width that it takes, thousandths.
    pub width: u32,
}

/// A theme that was read whole and passed every check.
#[derive(Clone, Debug)]
pub struct LoadedTheme {
    /// Its name.
    pub name: String,
    /// Colours by role.
    pub colors: Colors,
    /// Faces.
    pub text: Type,
    /// Radii and gaps.
    pub form: Form,
    /// Durations.
    pub timing: Timing,
    /// The logo, if there is one.
    pub logo: Option<Logo>,
    /// The picture behind boards, if there is one.
    pub backdrop: Option<Backdrop>,
    /// Fonts, all that there are: no other font is ever used.
    pub fonts: Vec<FontFile>,
    files: Vec<PathBuf>,
}

impl LoadedTheme {
    /// Files outside of the program that the theme was made from, the theme file first: when one of them changes,
    /// load the theme's folder again. Empty for a bundled theme, which cannot change.
    #[must_use]
    pub fn files(&self) -> &[PathBuf] {
        &self.files
    }

    /// The folder that [`load`] made the theme from; none for a bundled theme.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        self.files.first().and_then(|file| file.parent())
    }
}
