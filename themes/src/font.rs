//! Looking into font files: which families and weights they hold, and which glyphs.

use ttf_parser::name_id;

use crate::{Face, FontFile};

/// What screens themselves write in any of their languages, whatever the names on them are.
pub const WRITTEN: &str = "0123456789:.,;+-–−·…()/%!?¡¿º ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz\
    ÁÉÍÓÚÜÑáéíóúüñÄÖäöß";

/// A face as found in a font file.
pub(crate) struct FoundFace {
    /// Its families: the typographic one, and the older four-style one.
    pub(crate) families: Vec<String>,
    /// Its weight.
    pub(crate) weight: u16,
    /// Characters that the board writes and that it lacks.
    pub(crate) lacks: String,
}

impl FoundFace {
    /// Whether this is the asked face.
    pub(crate) fn is(&self, face: &Face) -> bool {
        self.weight == face.weight && self.families.contains(&face.family)
    }
}

/// Reads the first face of a font file.
pub(crate) fn look_into(font: &FontFile) -> Result<FoundFace, String> {
    let face = ttf_parser::Face::parse((*font.data).as_ref(), 0).map_err(|error| error.to_string())?;
    let mut families = Vec::new();
    for wanted in [name_id::TYPOGRAPHIC_FAMILY, name_id::FAMILY] {
        for name in face.names() {
            if name.name_id == wanted
                && let Some(family) = name.to_string()
                && !families.contains(&family)
            {
                families.push(family);
            }
        }
    }
    if families.is_empty() {
        return Err("it names no family".into());
    }
    let lacks = WRITTEN.chars().filter(|c| face.glyph_index(*c).is_none_or(|glyph| glyph.0 == 0)).collect();
    Ok(FoundFace { families, weight: face.weight().to_number(), lacks })
}
