//! Reads the sections of a theme that bring pictures: its logo, and what lies behind its boards. What a picture may be
//! is left to [`picture`], and whether text can be read on it to [`Backdrop`].

use std::path::{Component, Path};
use std::sync::Arc;

use crate::load::read_bounded;
use crate::picture::{self, SvgBounds};
use crate::read::{At, Faults, Section};
use crate::{Backdrop, FaultKind, Lies, Logo, MAX_PICTURE_BYTES, Picture};

/// The logo, if the theme has that section.
pub(crate) fn read_logo(top: &mut Section<'_>, dir: Option<&Path>, faults: &mut Faults<'_>) -> Option<Logo> {
    if !top.has("logo") {
        return None;
    }
    let mut section = top.section("logo", faults);
    let file = section.text("file", faults);
    let height = section.number("height", 20..=200, faults);
    let width = section.number("width", 20..=400, faults);
    section.end(faults);
    let file = file?;
    let picture = opened(&file, dir, picture::LOGO, faults)?;
    Some(Logo { name: file.value, picture, height: height?.value, width: width?.value })
}

/// The picture behind boards, if the theme has that section, with the place of its file's name.
pub(crate) fn read_backdrop(
    top: &mut Section<'_>,
    dir: Option<&Path>,
    faults: &mut Faults<'_>,
) -> Option<At<Backdrop>> {
    if !top.has("background") {
        return None;
    }
    let mut section = top.section("background", faults);
    let file = section.text("file", faults);
    let lies = read_lies(&mut section, faults);
    let opacity = section.number("opacity", 10..=1000, faults);
    section.end(faults);
    let file = file?;
    let picture = opened(&file, dir, picture::BACKDROP, faults)?;
    let value = Backdrop { name: file.value, picture, lies: lies?, opacity: opacity?.value };
    Some(At { value, at: file.at })
}

/// How it lies. Only copies have a height of their own.
fn read_lies(section: &mut Section<'_>, faults: &mut Faults<'_>) -> Option<Lies> {
    let At { value: word, at } = section.text("lies", faults)?;
    match word.as_str() {
        "cover" => Some(Lies::Cover),
        "tile" => Some(Lies::Tile { height: section.number("height", 20..=1000, faults)?.value }),
        _ => {
            let (key, words) = ("lies".to_owned(), "\"cover\" or \"tile\"");
            faults.add(Some(at), FaultKind::NotAWord { key, found: word, words });
            None
        }
    }
}

/// The picture in a file of the theme's folder; a fault at its name's place if there is none that can be used.
fn opened(
    file: &At<String>,
    dir: Option<&Path>,
    bounds: SvgBounds,
    faults: &mut Faults<'_>,
) -> Option<Arc<Picture>> {
    open(&file.value, dir, bounds).map(Arc::new).map_err(|kind| faults.add(Some(file.at), kind)).ok()
}

fn open(name: &str, dir: Option<&Path>, bounds: SvgBounds) -> Result<Picture, FaultKind> {
    let (file, relative) = (name.to_owned(), Path::new(name));
    if !relative.components().all(|part| matches!(part, Component::Normal(_))) {
        return Err(FaultKind::PictureOutside { file });
    }
    let Some(path) = dir.map(|dir| dir.join(relative)).filter(|path| path.exists()) else {
        return Err(FaultKind::PictureMissing { file });
    };
    let bytes = match read_bounded(&path, MAX_PICTURE_BYTES) {
        Ok(bytes) => bytes,
        Err(FaultKind::TooLong { limit }) => {
            let why = format!("it is longer than {limit} bytes: scale it down or pack it better");
            return Err(FaultKind::PictureBroken { file, why });
        }
        Err(kind) => return Err(FaultKind::PictureBroken { file, why: kind.to_string() }),
    };
    picture::decode(name, &bytes, bounds).map_err(|why| FaultKind::PictureBroken { file, why })
}
