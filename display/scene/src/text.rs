//! Shaped text, the fonts that shape it, and the cache that keeps it.

use std::collections::HashMap;
use std::rc::Rc;

use cosmic_text::fontdb::{Database, FaceInfo, ID, Source};
use cosmic_text::{
    Attrs, Buffer, Fallback, Family, FeatureTag, FontFeatures, FontSystem, Metrics, Shaping, Stretch, Weight,
    Wrap,
};
use fivemark_themes::{Face, FontFile, LoadedTheme};

/// Texts kept before the cache is emptied: a board of 40 lanes has some hundreds at a time.
const MAX_KEPT: usize = 2048;
/// Sizes of figures kept: a board has under ten, and one for each result that is too long for its column.
const MAX_FIGURES: usize = 48;
/// Height of a line box, in font sizes.
const LINE: f32 = 1.25;

/// A line of text, shaped and measured. Positions are relative to its line box.
pub struct ShapedText {
    /// The shaped line, ready for the rasteriser.
    pub buffer: Buffer,
    /// Advance width, pixels.
    pub width: f32,
    /// Height of the line box, pixels.
    pub height: f32,
    /// Distance from the top of the line box to the baseline, whole pixels.
    pub baseline: f32,
    /// Height of capitals and figures above the baseline, pixels.
    pub cap_height: f32,
    /// Some character has no glyph in any font of the theme.
    pub missing: bool,
}

impl std::fmt::Debug for ShapedText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = self.buffer.lines.first().map_or("", |line| line.text());
        write!(f, "{text:?} {} x {}", self.width, self.cap_height)
    }
}

/// What text is for; the theme gives each a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Style {
    Clock,
    Figures,
    Names,
    Labels,
}

/// All styles.
pub const STYLES: [Style; 4] = [Style::Clock, Style::Figures, Style::Names, Style::Labels];

/// Language of the board's own words.
const LOCALE: &str = "en";

/// No font is looked for by name: what a face lacks is written by the theme's other fonts of the same weight, the
/// nearest in width first.
struct OwnFontsOnly;

impl Fallback for OwnFontsOnly {
    fn common_fallback(&self) -> &[&'static str] {
        &[]
    }

    fn forbidden_fallback(&self) -> &[&'static str] {
        &[]
    }

    fn script_fallback(&self, _: unicode_script::Script, _: &str) -> &[&'static str] {
        &[]
    }
}

/// The theme's fonts, and every text that was shaped with them lately.
pub struct Fonts {
    system: FontSystem,
    files: Vec<FontFile>,
    faces: [StyleFace; 4],
    /// Families that write what no other font can, in the theme's order.
    fallbacks: Vec<String>,
    kept: HashMap<(Style, u32), HashMap<Box<str>, Rc<ShapedText>>>,
    /// Texts that were too wide, as they fit: by what they had to fit.
    fits: HashMap<FitKey, HashMap<Box<str>, Rc<ShapedText>>>,
    /// So few that looking through them is quicker than a hash.
    figures: Vec<((Style, u32), Rc<FigureSet>)>,
    kept_count: usize,
    shaped: u64,
}

/// Style, and width, height of capitals and least height of capitals, as bits.
type FitKey = (Style, [u32; 3]);

/// What numbers are written with; digits first.
const FIGURES: &str = "0123456789.,:+ \u{2212}R";

/// Figures of one style and size.
#[derive(Debug)]
pub(crate) struct FigureSet {
    shaped: [Option<Rc<ShapedText>>; 17],
    /// Width of the widest digit, pixels.
    pub(crate) digit_width: f32,
}

impl FigureSet {
    /// The shaped character, if numbers are written with it.
    pub(crate) fn get(&self, character: char) -> Option<&Rc<ShapedText>> {
        let at = match character {
            '0'..='9' => usize::try_from(u32::from(character) - u32::from('0')).ok()?,
            _ => FIGURES.chars().position(|known| known == character)?,
        };
        self.shaped.get(at)?.as_ref()
    }
}

/// A style's face and how high its capitals are.
struct StyleFace {
    face: Face,
    stretch: Stretch,
    cap_per_em: f32,
}

impl Fonts {
    /// Loads a theme's fonts, and no others.
    #[must_use]
    pub fn new(theme: &LoadedTheme) -> Fonts {
        let Loaded { system, faces, fallbacks } = load(Database::new(), theme);
        Fonts {
            system,
            files: theme.fonts.clone(),
            faces,
            fallbacks,
            kept: HashMap::new(),
            fits: HashMap::new(),
            figures: Vec::new(),
            kept_count: 0,
            shaped: 0,
        }
    }

    /// Changes to another theme's fonts; true if anything has to be shaped anew because of it.
    pub fn set_theme(&mut self, theme: &LoadedTheme) -> bool {
        let same_faces = faces_of(theme).into_iter().eq(self.faces.iter().map(|of| &of.face));
        if same_faces && same_files(&self.files, &theme.fonts) {
            return false;
        }
        // Faces that are loaded into the same database never take the name of one that was there before, under
        // which the rasteriser still keeps its glyphs.
        let none =
            FontSystem::new_with_locale_and_db_and_fallback(LOCALE.into(), Database::new(), OwnFontsOnly);
        let (_, mut db) = std::mem::replace(&mut self.system, none).into_locale_and_db();
        let old: Vec<_> = db.faces().map(|face| face.id).collect();
        old.into_iter().for_each(|id| db.remove_face(id));
        Loaded { system: self.system, faces: self.faces, fallbacks: self.fallbacks } = load(db, theme);
        self.files.clone_from(&theme.fonts);
        self.forget();
        true
    }

    /// The fonts, for the rasteriser.
    pub fn system_mut(&mut self) -> &mut FontSystem {
        &mut self.system
    }

    /// How many texts were shaped since the start.
    #[must_use]
    pub fn shaped_count(&self) -> u64 {
        self.shaped
    }

    /// Font size at which capitals of a style are this high, both in pixels.
    #[must_use]
    pub fn size_for_caps(&self, style: Style, cap_height: f32) -> f32 {
        cap_height / self.faces[style as usize].cap_per_em
    }

    /// The text in a style, with capitals of about this height in pixels (kept to quarters of a pixel, so that
    /// nearly equal sizes share their glyphs). Shaped only if it is not kept from before.
    pub fn shaped(&mut self, text: &str, style: Style, cap_height: f32) -> Rc<ShapedText> {
        let quarters = quarters(cap_height);
        let key = (style, quarters);
        if let Some(kept) = self.kept.get(&key).and_then(|kept| kept.get(text)) {
            return Rc::clone(kept);
        }
        if self.kept_count >= MAX_KEPT {
            self.forget();
        }
        let shaped = Rc::new(self.shape(text, style, quarters));
        self.kept.entry(key).or_default().insert(text.into(), Rc::clone(&shaped));
        self.kept_count += 1;
        shaped
    }

    /// Width of the widest figure, pixels: the column in which figures of this style stand.
    pub fn digit_width(&mut self, style: Style, cap_height: f32) -> f32 {
        self.figures(style, cap_height).digit_width
    }

    /// Figures of a style and size, shaped one by one.
    pub(crate) fn figures(&mut self, style: Style, cap_height: f32) -> Rc<FigureSet> {
        let key = (style, quarters(cap_height));
        if let Some((_, set)) = self.figures.iter().find(|(of, _)| *of == key) {
            return Rc::clone(set);
        }
        if self.figures.len() >= MAX_FIGURES {
            self.figures.clear();
        }
        let mut set = FigureSet { shaped: Default::default(), digit_width: 0.0 };
        for (character, slot) in FIGURES.chars().zip(&mut set.shaped) {
            *slot = Some(self.shaped(character.encode_utf8(&mut [0; 4]), style, cap_height));
        }
        set.digit_width = set.shaped[..10].iter().flatten().map(|digit| digit.width).fold(0.0, f32::max);
        let set = Rc::new(set);
        self.figures.push((key, Rc::clone(&set)));
        set
    }

    /// A text as it was fitted before, by the widths and heights that it had to fit, all in pixels.
    pub(crate) fn fitted(
        &mut self,
        text: &str,
        style: Style,
        [width, cap_height, least_cap_height]: [f32; 3],
        fit: impl FnOnce(&mut Fonts) -> Rc<ShapedText>,
    ) -> Rc<ShapedText> {
        let key = (style, [width, cap_height, least_cap_height].map(f32::to_bits));
        if let Some(kept) = self.fits.get(&key).and_then(|kept| kept.get(text)) {
            return Rc::clone(kept);
        }
        let fitted = fit(self);
        self.fits.entry(key).or_default().insert(text.into(), Rc::clone(&fitted));
        self.kept_count += 1;
        fitted
    }

    fn forget(&mut self) {
        self.kept.clear();
        self.fits.clear();
        self.figures.clear();
        self.kept_count = 0;
    }

    fn shape(&mut self, text: &str, style: Style, quarters: u32) -> ShapedText {
        self.shaped += 1;
        let own = self.shape_in(text, style, quarters, None);
        if own.faces.len() <= 1 {
            return own.text;
        }
        // A word that changes its face from letter to letter looks broken: another face takes all of it, if one
        // can, the nearest in width first.
        let others: Vec<String> = self.others(style);
        others
            .iter()
            .map(|family| self.shape_in(text, style, quarters, Some(family)))
            .find(|other| other.faces.len() <= 1 && !other.text.missing)
            .map_or(own.text, |other| other.text)
    }

    /// Families of the theme's other faces at a style's weight, the nearest in width first, and then its fallbacks.
    fn others(&self, style: Style) -> Vec<String> {
        let StyleFace { face, stretch, .. } = &self.faces[style as usize];
        let mut faces: Vec<_> =
            self.system.db().faces().filter(|other| other.weight.0 == face.weight).collect();
        faces.sort_by_key(|other| other.stretch.to_number().abs_diff(stretch.to_number()));
        let families = faces.into_iter().filter_map(|other| other.families.first().map(|(family, _)| family));
        let own = families.filter(|family| **family != face.family && !self.fallbacks.contains(family));
        own.chain(&self.fallbacks).cloned().collect()
    }

    fn shape_in(&mut self, text: &str, style: Style, quarters: u32, family: Option<&str>) -> Shaped {
        let StyleFace { face, stretch, cap_per_em } = &self.faces[style as usize];
        let cap_height = quarters_px(quarters);
        let size = cap_height / cap_per_em;
        let height = (size * LINE).ceil();
        let mut features = FontFeatures::new();
        // Columns of figures; in names the same feature would set letters that look like figures apart.
        if matches!(style, Style::Clock | Style::Figures) {
            features.enable(FeatureTag::new(b"tnum")).enable(FeatureTag::new(b"lnum"));
        }
        let attrs = Attrs::new()
            .family(Family::Name(family.unwrap_or(&face.family)))
            .weight(Weight(face.weight))
            .stretch(*stretch)
            .font_features(features);
        let mut buffer = Buffer::new_empty(Metrics::new(size, height));
        buffer.set_wrap(Wrap::None);
        let one_line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        buffer.set_text(&one_line, &attrs, Shaping::Advanced, None);
        buffer.shape_until_scroll(&mut self.system, false);
        let (mut width, mut baseline, mut missing) = (0.0, height * 0.8, false);
        let mut faces = Vec::new();
        if let Some(run) = buffer.layout_runs().next() {
            width = run.line_w;
            baseline = run.line_y;
            for glyph in run.glyphs {
                let marks = !invisible(run.text.get(glyph.start..glyph.end).unwrap_or(""));
                missing |= marks && glyph.glyph_id == 0;
                if marks && !faces.contains(&glyph.font_id) {
                    faces.push(glyph.font_id);
                }
            }
        }
        let text = ShapedText { buffer, width, height, baseline: baseline.round(), cap_height, missing };
        Shaped { text, faces }
    }
}

/// A theme's fonts in a system of their own.
struct Loaded {
    system: FontSystem,
    faces: [StyleFace; 4],
    fallbacks: Vec<String>,
}

/// Loads a theme's fonts into a database without faces.
fn load(mut db: Database, theme: &LoadedTheme) -> Loaded {
    let mut fallbacks = Vec::new();
    for font in &theme.fonts {
        let ids = db.load_font_source(Source::Binary(font.data.clone()));
        if font.fallback {
            ids.into_iter().for_each(|id| stand_in(&mut db, id, theme, &mut fallbacks));
        }
    }
    let mut system = FontSystem::new_with_locale_and_db_and_fallback(LOCALE.into(), db, OwnFontsOnly);
    let faces = faces_of(theme).map(|face| {
        let (stretch, cap_per_em) = measure(&mut system, face).unwrap_or((Stretch::Normal, 0.7));
        StyleFace { face: face.clone(), stretch, cap_per_em }
    });
    Loaded { system, faces, fallbacks }
}

/// Lets a fallback stand in at every weight that the theme names: only faces of the asked weight are looked into for a
/// glyph. After all others, for they are looked into by their difference in width.
fn stand_in(db: &mut Database, id: ID, theme: &LoadedTheme, fallbacks: &mut Vec<String>) {
    let Some(info) = db.face(id).cloned() else { return };
    db.remove_face(id);
    fallbacks.extend(info.families.first().map(|(family, _)| family.clone()));
    let mut weights = faces_of(theme).map(|face| face.weight).to_vec();
    weights.sort_unstable();
    weights.dedup();
    for weight in weights {
        let stretch = Stretch::UltraExpanded;
        db.push_face_info(FaceInfo { weight: Weight(weight), stretch, ..info.clone() });
    }
}

/// Faces in the order of [`STYLES`].
fn faces_of(theme: &LoadedTheme) -> [&Face; 4] {
    let text = &theme.text;
    [&text.clock, &text.figures, &text.names, &text.labels]
}

fn same_files(one: &[FontFile], other: &[FontFile]) -> bool {
    let same =
        |(a, b): (&FontFile, &FontFile)| a.fallback == b.fallback && (*a.data).as_ref() == (*b.data).as_ref();
    one.len() == other.len() && one.iter().zip(other).all(same)
}

/// A text with the faces that its glyphs came from.
struct Shaped {
    text: ShapedText,
    faces: Vec<ID>,
}

/// Quarters of a pixel, at least one pixel, at most 4,000 pixels.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped to 4..=16,000
fn quarters(px: f32) -> u32 {
    (px * 4.0).round().clamp(4.0, 16_000.0) as u32
}

#[allow(clippy::cast_precision_loss)] // at most 16,000
fn quarters_px(quarters: u32) -> f32 {
    quarters as f32 / 4.0
}

/// Characters that leave no mark, so that a missing glyph for them is no fault.
fn invisible(text: &str) -> bool {
    text.chars().all(|c| c.is_whitespace() || matches!(c, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}'))
}

/// How wide the face is made, and the height of its capitals in font sizes.
fn measure(system: &mut FontSystem, face: &Face) -> Option<(Stretch, f32)> {
    let query = cosmic_text::fontdb::Query {
        families: &[Family::Name(&face.family)],
        weight: Weight(face.weight),
        ..Default::default()
    };
    let id = system.db().query(&query)?;
    let stretch = system.db().face(id)?.stretch;
    let font = system.get_font(id, Weight(face.weight))?;
    let metrics = font.metrics();
    let cap = metrics.cap_height? / f32::from(metrics.units_per_em);
    (cap > 0.3 && cap < 1.2).then_some((stretch, cap))
}

#[cfg(test)]
mod tests;
