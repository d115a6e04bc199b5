//! What can be wrong with a theme.

use crate::Color;

/// One fault of a theme, at its line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{file}{}: {kind}", place(.line))]
pub struct ThemeFault {
    /// The file.
    pub file: String,
    /// The line, from 1; 0 when the fault is the file's as a whole.
    pub line: u32,
    /// What is wrong and what to do.
    pub kind: FaultKind,
}

fn place(line: &u32) -> String {
    if *line == 0 { String::new() } else { format!(":{line}") }
}

/// Kinds of faults.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[allow(missing_docs)] // the messages say it
pub enum FaultKind {
    #[error("no theme of this name; bundled are {known}, or give the path of a theme's folder")]
    UnknownTheme { known: String },
    #[error("cannot be read: {why}")]
    Unreadable { why: String },
    #[error("is longer than {limit} bytes; a theme file is a page or two")]
    TooLong { limit: usize },
    #[error("is not TOML: {why}")]
    Syntax { why: String },
    #[error("section [{section}] is missing")]
    MissingSection { section: String },
    #[error("`{key}` is missing from [{section}]")]
    Missing { section: String, key: String },
    #[error("`{key}` is not known in {section}; remove it, or correct its name")]
    Unknown { section: String, key: String },
    #[error("`{key}` must be {wanted}, and is {found}")]
    WrongType { key: String, wanted: &'static str, found: &'static str },
    #[error("`{key}` must be a colour such as \"#1A2B3C\"{}", if *.alpha { " or \"#1A2B3CD0\"" } else { "" })]
    NotAColor { key: String, alpha: bool },
    #[error("`{key}` must be {words}, and is \"{found}\"")]
    NotAWord { key: String, found: String, words: &'static str },
    #[error("`{key}` is {found}; it must lie between {least} and {most}")]
    OutOfRange { key: String, found: String, least: u32, most: u32 },
    #[error("`{key}` is empty or longer than {limit} characters")]
    BadText { key: String, limit: usize },
    #[error("names {found} fonts; at most {most} are read")]
    TooManyFonts { found: usize, most: usize },
    #[error("font `{font}` must be a path inside the theme's folder, without `..`")]
    FontOutside { font: String },
    #[error("font `{font}` is neither in the theme's folder nor bundled")]
    FontMissing { font: String },
    #[error("font `{font}` cannot be used: {why}")]
    FontBroken { font: String, why: String },
    #[error("picture `{file}` must be a path inside the theme's folder, without `..`")]
    PictureOutside { file: String },
    #[error("picture `{file}` is not in the theme's folder")]
    PictureMissing { file: String },
    #[error("picture `{file}` cannot be used: {why}")]
    PictureBroken { file: String, why: String },
    #[error("no font of the theme has family \"{family}\" at weight {weight}; there are: {known}")]
    FaceMissing { family: String, weight: u16, known: String },
    #[error("family \"{family}\" at weight {weight} has no glyph for {glyphs}, which the board writes")]
    GlyphMissing { family: String, weight: u16, glyphs: String },
    #[error(
        "`{front}` {front_color} on `{back}` {back_color} has a contrast of {found:.3}; {needed} is needed ({use_}): \
         take them further apart in lightness"
    )]
    Contrast {
        front: &'static str,
        back: &'static str,
        front_color: Color,
        back_color: Color,
        found: f64,
        needed: f64,
        use_: &'static str,
    },
    #[error(
        "`{front}` {front_color} has a contrast of {found:.3} where it comes over {shade} of the picture `{file}`, as \
         that is seen with its `opacity` over `background`; {needed} is needed ({use_}): lower `opacity`, or take a \
         {wanted} picture"
    )]
    OverPicture {
        file: String,
        front: &'static str,
        front_color: Color,
        shade: Color,
        found: f64,
        needed: f64,
        use_: &'static str,
        wanted: &'static str,
    },
    #[error(
        "`{one}` {one_color} and `{other}` {other_color} look alike to {eyes}: they are {found:.1} apart (CIEDE2000), \
         and {use_} have one shape, so that {} is needed",
        crate::check::APART
    )]
    NotApart {
        one: &'static str,
        other: &'static str,
        one_color: Color,
        other_color: Color,
        eyes: &'static str,
        found: f64,
        use_: &'static str,
    },
    #[error(
        "`{key}` lets `{one}` {one_color} and `{other}` {other_color} flash more than three times in a second; \
         use at least {least}, or colours of nearly one lightness"
    )]
    Flashes {
        key: &'static str,
        one: &'static str,
        other: &'static str,
        one_color: Color,
        other_color: Color,
        least: u32,
    },
}
