//! From a folder or a bundled name to a theme that passed every check, or to all its faults.

use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use toml::de::DeTable;

use crate::check::{color_faults, flash_faults};
use crate::decor::{read_backdrop, read_logo};
use crate::font::{FoundFace, look_into};
use crate::read::{At, Faults, Section};
use crate::roles::Role;
use crate::{
    Colors, Face, FaultKind, FontBytes, FontFile, Form, LoadedTheme, ThemeFault, Timing, Type, bundled,
};

/// Longest theme file, in bytes: a page or two of text.
pub const MAX_THEME_BYTES: usize = 64 * 1024;
/// Longest font file, in bytes: a face with all of one East Asian script is under this.
pub const MAX_FONT_BYTES: usize = 24 * 1024 * 1024;
/// Most fonts of a theme: a dozen faces and a dozen scripts.
pub const MAX_FONTS: usize = 24;

/// The theme file's name in its folder.
const FILE: &str = "theme.toml";

/// Names of the bundled themes.
pub fn names() -> impl Iterator<Item = &'static str> {
    bundled::THEMES.iter().map(|(name, _)| *name)
}

/// Finds a bundled theme by name, or loads the folder at that path if it is no bundled name.
///
/// # Errors
/// Every fault of the theme.
pub fn find(name: &str) -> Result<LoadedTheme, Vec<ThemeFault>> {
    if let Some((_, source)) = bundled::THEMES.iter().find(|(known, _)| *known == name) {
        return parse(source, &format!("{name}/{FILE}"), None);
    }
    let dir = Path::new(name);
    if dir.is_dir() {
        return load(dir);
    }
    let known = names().collect::<Vec<_>>().join(", ");
    Err(vec![ThemeFault { file: name.to_owned(), line: 0, kind: FaultKind::UnknownTheme { known } }])
}

/// Loads the theme in a folder. Fonts are looked for in the folder first, then among the bundled ones.
///
/// # Errors
/// Every fault of the theme.
pub fn load(dir: &Path) -> Result<LoadedTheme, Vec<ThemeFault>> {
    let path = dir.join(FILE);
    let name = path.display().to_string();
    let whole = |kind| vec![ThemeFault { file: name.clone(), line: 0, kind }];
    let bytes = read_bounded(&path, MAX_THEME_BYTES).map_err(&whole)?;
    let source = String::from_utf8(bytes)
        .map_err(|_| whole(FaultKind::Unreadable { why: "it is not UTF-8 text".into() }))?;
    parse(&source, &name, Some(dir))
}

/// Reads a theme from its text. `file` is how faults name it; `dir` is where its own fonts lie.
///
/// # Errors
/// Every fault of the theme.
pub fn parse(source: &str, file: &str, dir: Option<&Path>) -> Result<LoadedTheme, Vec<ThemeFault>> {
    let mut faults = Faults::new(file, source);
    if source.len() > MAX_THEME_BYTES {
        faults.add(None, FaultKind::TooLong { limit: MAX_THEME_BYTES });
        return Err(faults.into_list());
    }
    let table = match DeTable::parse(source) {
        Ok(table) => table,
        Err(error) => {
            let why = error.message().to_owned();
            faults.add(error.span().map(|span| span.start), FaultKind::Syntax { why });
            return Err(faults.into_list());
        }
    };
    let mut top = Section::top(table.get_ref());
    let name = top.text("name", &mut faults);
    let colors = read_colors(&mut top, &mut faults);
    let fonts = read_fonts(&mut top, dir, &mut faults);
    let text = read_type(&mut top, &fonts, &mut faults);
    let form = read_form(&mut top, &mut faults);
    let timing = read_timing(&mut top, &mut faults);
    let logo = read_logo(&mut top, dir, &mut faults);
    let backdrop = read_backdrop(&mut top, dir, &mut faults);
    top.end(&mut faults);
    // With a colour missing, its pairs would be measured against black: those faults come once it is there.
    if let Some((colors, places)) = &colors {
        for (role, kind) in color_faults(colors, form.as_ref()) {
            faults.add(places.get(role as usize).copied(), kind);
        }
        for (key, kind) in timing.iter().flat_map(|(timing, _)| flash_faults(colors, timing)) {
            let at = timing.iter().flat_map(|(_, places)| places).find(|(name, _)| *name == key);
            faults.add(at.map(|(_, at)| *at), kind);
        }
        if let Some(At { value, at }) = &backdrop {
            value.faults(colors).into_iter().for_each(|kind| faults.add(Some(*at), kind));
        }
    }
    match (name, colors, text, form, timing) {
        (Some(name), Some(colors), Some(text), Some(form), Some(timing)) if faults.is_empty() => {
            let fonts: Vec<FontFile> = fonts.into_iter().map(|(font, _)| font).collect();
            let backdrop = backdrop.map(|backdrop| backdrop.value);
            let pictures = [logo.as_ref().map(|logo| &logo.name), backdrop.as_ref().map(|of| &of.name)];
            let files = dir.map_or_else(Vec::new, |dir| files(dir, &fonts, pictures));
            let (name, colors, timing) = (name.value, colors.0, timing.0);
            Ok(LoadedTheme { name, colors, text, form, timing, logo, backdrop, fonts, files })
        }
        _ => Err(faults.into_list()),
    }
}

/// The theme file, and those of its fonts and pictures that lie in its folder.
fn files(dir: &Path, fonts: &[FontFile], pictures: [Option<&String>; 2]) -> Vec<PathBuf> {
    let names = fonts.iter().map(|font| &font.name).chain(pictures.into_iter().flatten());
    let own = names.map(|name| dir.join(name)).filter(|path| path.exists());
    std::iter::once(dir.join(FILE)).chain(own).collect()
}

/// The colours, and where each of them stands.
fn read_colors(top: &mut Section<'_>, faults: &mut Faults<'_>) -> Option<(Colors, Vec<usize>)> {
    let mut section = top.section("colors", faults);
    let mut colors = Colors::default();
    let mut places = Vec::new();
    for role in Role::ALL {
        if let Some(color) = section.color(role.name(), *role == Role::scrim, faults) {
            colors.set(*role, color.value);
            places.push(color.at);
        }
    }
    section.end(faults);
    (places.len() == Role::ALL.len()).then_some((colors, places))
}

fn read_fonts(
    top: &mut Section<'_>,
    dir: Option<&Path>,
    faults: &mut Faults<'_>,
) -> Vec<(FontFile, FoundFace)> {
    let mut section = top.section("fonts", faults);
    let files = section.texts("files", faults);
    let fallback = if section.has("fallback") { section.texts("fallback", faults) } else { None };
    section.end(faults);
    let Some(files) = files else { return Vec::new() };
    let own = files.value.into_iter().map(|file| (file, false));
    let all: Vec<_> =
        own.chain(fallback.into_iter().flat_map(|of| of.value).map(|file| (file, true))).collect();
    if all.len() > MAX_FONTS {
        faults.add(Some(files.at), FaultKind::TooManyFonts { found: all.len(), most: MAX_FONTS });
        return Vec::new();
    }
    let mut fonts = Vec::new();
    for (At { value: name, at }, fallback) in all {
        let looked = open_font(&name, dir).and_then(|data| {
            let font = FontFile { name: name.clone(), data, fallback };
            match look_into(&font) {
                Ok(found) => Ok((font, found)),
                Err(why) => Err(FaultKind::FontBroken { font: name, why }),
            }
        });
        match looked {
            Ok(font) => fonts.push(font),
            Err(kind) => faults.add(Some(at), kind),
        }
    }
    fonts
}

fn open_font(name: &str, dir: Option<&Path>) -> Result<FontBytes, FaultKind> {
    let relative = Path::new(name);
    if !relative.components().all(|part| matches!(part, Component::Normal(_))) {
        return Err(FaultKind::FontOutside { font: name.to_owned() });
    }
    if let Some(path) = dir.map(|dir| dir.join(relative)).filter(|path| path.exists()) {
        let bytes = read_bounded(&path, MAX_FONT_BYTES)
            .map_err(|kind| FaultKind::FontBroken { font: name.to_owned(), why: kind.to_string() })?;
        return Ok(Arc::new(bytes));
    }
    match bundled::font(name) {
        Some(bytes) => Ok(Arc::new(bytes)),
        None => Err(FaultKind::FontMissing { font: name.to_owned() }),
    }
}

fn read_type(
    top: &mut Section<'_>,
    fonts: &[(FontFile, FoundFace)],
    faults: &mut Faults<'_>,
) -> Option<Type> {
    let mut section = top.section("type", faults);
    let mut face = |key: &'static str, weight_key: &'static str| {
        let family = section.text(key, faults);
        let weight = section.number(weight_key, 100..=900, faults);
        let (family, weight) = (family?, weight?);
        let weight_value = u16::try_from(weight.value).unwrap_or(400);
        let face = Face { family: family.value, weight: weight_value };
        check_face(&face, family.at, fonts, faults);
        Some(face)
    };
    let clock = face("clock", "clock_weight");
    let figures = face("figures", "figures_weight");
    let names = face("names", "names_weight");
    let labels = face("labels", "labels_weight");
    section.end(faults);
    Some(Type { clock: clock?, figures: figures?, names: names?, labels: labels? })
}

fn check_face(face: &Face, at: usize, fonts: &[(FontFile, FoundFace)], faults: &mut Faults<'_>) {
    let (family, weight) = (face.family.clone(), face.weight);
    match fonts.iter().find(|(font, found)| !font.fallback && found.is(face)) {
        None => {
            let known = fonts
                .iter()
                .filter(|(font, _)| !font.fallback)
                .map(|(_, found)| format!("{} {}", found.families.join(" / "), found.weight))
                .collect::<Vec<_>>()
                .join(", ");
            faults.add(Some(at), FaultKind::FaceMissing { family, weight, known });
        }
        Some((_, found)) if !found.lacks.is_empty() => {
            let glyphs = found.lacks.clone();
            faults.add(Some(at), FaultKind::GlyphMissing { family, weight, glyphs });
        }
        Some(_) => {}
    }
}

fn read_form(top: &mut Section<'_>, faults: &mut Faults<'_>) -> Option<Form> {
    let mut section = top.section("form", faults);
    let mut number = |key, bounds| section.number(key, bounds, faults).map(|number| number.value);
    let margin = number("margin", 0..=80);
    let row_gap = number("row_gap", 0..=200);
    let row_radius = number("row_radius", 0..=40);
    let part_radius = number("part_radius", 0..=20);
    let part_gap = number("part_gap", 1..=12);
    let track_height = number("track_height", 300..=900);
    let sheen = number("sheen", 0..=400);
    section.end(faults);
    Some(Form {
        margin: margin?,
        row_gap: row_gap?,
        row_radius: row_radius?,
        part_radius: part_radius?,
        part_gap: part_gap?,
        track_height: track_height?,
        sheen: sheen?,
    })
}

/// The durations, and where each of them stands.
fn read_timing(
    top: &mut Section<'_>,
    faults: &mut Faults<'_>,
) -> Option<(Timing, Vec<(&'static str, usize)>)> {
    let mut section = top.section("motion", faults);
    let mut places = Vec::new();
    let mut number = |key: &'static str, bounds| {
        let number = section.number(key, bounds, faults)?;
        places.push((key, number.at));
        Some(number.value)
    };
    let glide_ms = number("glide_ms", 0..=199);
    let roll_ms = number("roll_ms", 0..=150);
    let place_ms = number("place_ms", 0..=400);
    let finish_ms = number("finish_ms", 200..=1500);
    let no_rep_ms = number("no_rep_ms", 200..=5000);
    section.end(faults);
    let timing = Timing {
        glide_ms: glide_ms?,
        roll_ms: roll_ms?,
        place_ms: place_ms?,
        finish_ms: finish_ms?,
        no_rep_ms: no_rep_ms?,
    };
    Some((timing, places))
}

/// Reads a regular file up to a limit; one byte more is a fault, so an endless file ends here.
pub(crate) fn read_bounded(path: &Path, limit: usize) -> Result<Vec<u8>, FaultKind> {
    let unreadable = |error: std::io::Error| FaultKind::Unreadable { why: error.to_string() };
    // A pipe or a device could make the opening itself wait forever.
    if !std::fs::metadata(path).map_err(unreadable)?.is_file() {
        return Err(FaultKind::Unreadable { why: "it is not a regular file".into() });
    }
    let mut bytes = Vec::new();
    let most = u64::try_from(limit).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path).map_err(unreadable)?.take(most).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() > limit { Err(FaultKind::TooLong { limit }) } else { Ok(bytes) }
}
