//! What has to be read on a screen, and from which seat: counts, places, clocks and names in Latin letters, each with the
//! height that its seat sees under 16 minutes of arc, the least that can be read (see `fivemark_scene::legibility`).

use fivemark_scene::draw::{DrawList, Rect, Shape};
use fivemark_scene::legibility::{TextRole, fit_table};
use fivemark_themes::LoadedTheme;
use fivemark_wire::from_feed::Snapshot;
use serde_json::{Value, json};

use crate::written::{Written, written};

/// Least heights in a stream's overlay, thousandths of its shorter side: of places in the rail, and of long names.
/// Figures and names of the overlay are promised to be no lower than that (`README.md`, "For a stream").
const OVERLAY_LEAST: f32 = 24.0;
/// Sizes of texts are kept to quarters of a pixel.
const ROUNDING: f32 = 0.3;
/// How far letters may pass the box that they stand on, pixels.
const SOFT: f32 = 1.5;
/// Lanes of a board have numbers below this; rows of cards have theirs from here on.
const ROWS: u8 = 128;

/// A text that has to be read.
#[derive(Clone, Debug, PartialEq)]
pub struct ToRead {
    /// `clock`, `count`, `place` or `name`.
    pub role: &'static str,
    /// What is written, and where.
    pub written: Written,
    /// It is a result, which is set smaller than a count where it is longer.
    pub result: bool,
    /// The plate or row that it stands on, of one colour around it.
    pub ground: Rect,
}

impl ToRead {
    /// For a reader: `seat_cap` is the height that its seat sees under 16 minutes of arc, pixels.
    #[must_use]
    pub fn described(&self, seat_cap: f32) -> Value {
        let Written { text, left, right, baseline, cap_height, .. } = &self.written;
        let Rect { x, y, w, h } = self.ground;
        json!({
            "text": text, "role": self.role, "left": left, "right": right, "baseline": baseline,
            "cap_height": cap_height, "seat_cap": seat_cap, "ground": [x, y, x + w, y + h],
        })
    }
}

/// Heights that the farthest seats of a screen see under 16 minutes of arc, pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seats {
    /// From where counts, places and the clock are read.
    pub figures: f32,
    /// From where names are.
    pub names: f32,
}

impl Seats {
    /// Those that `fit` promises for a board: its smallest figures, and its long names.
    ///
    /// # Panics
    /// The table lacks one of these texts.
    #[must_use]
    pub fn of_board(size: [u32; 2], lanes: usize, theme: &LoadedTheme) -> Seats {
        let table = fit_table(size, lanes, theme, 1_000.0, 1_000.0);
        #[allow(clippy::cast_possible_truncation)] // pixels of a screen
        let cap = |role| {
            table.iter().find(|row| row.role == role).map(|row| row.cap_px as f32).expect("a row for it")
        };
        let figures = [TextRole::Clock, TextRole::Count, TextRole::Place].map(cap);
        Seats { figures: figures.into_iter().fold(f32::MAX, f32::min), names: cap(TextRole::LongName) }
    }

    /// Those of a stream's overlay, on whatever a viewer holds.
    #[must_use]
    pub fn of_overlay([width, height]: [u32; 2]) -> Seats {
        let side = f32::from(u16::try_from(width.min(height)).expect("sides of a picture"));
        let least = side * OVERLAY_LEAST / 1_000.0;
        Seats { figures: least, names: least }
    }

    /// Those from which the lowest of these texts can just be read, for cards between heats, which nobody promises more of.
    #[must_use]
    pub fn of_lowest(texts: &[ToRead]) -> Seats {
        let lowest = |names: bool| {
            let heights = texts.iter().filter(|text| (text.role == "name") == names);
            heights.map(|text| text.written.cap_height).fold(f32::MAX, f32::min)
        };
        Seats { figures: lowest(false), names: lowest(true) }
    }

    /// What a text's seat sees under 16 minutes of arc, pixels. A result that is set smaller than a count is read from
    /// nearer; nothing else may be lower than promised.
    ///
    /// # Panics
    /// The text is lower than is promised.
    #[must_use]
    pub fn cap_of(&self, text: &ToRead) -> f32 {
        let promised = if text.role == "name" { self.names } else { self.figures };
        let found = text.written.cap_height;
        assert!(found + ROUNDING >= promised || text.result, "{text:?} is lower than {promised}");
        promised.min(found)
    }
}

/// What has to be read on a frame of this heat.
#[must_use]
pub fn to_read(list: &DrawList, snapshot: &Snapshot) -> Vec<ToRead> {
    written(list).into_iter().filter_map(|written| of_heat(written, list, snapshot)).collect()
}

fn of_heat(written: Written, list: &DrawList, snapshot: &Snapshot) -> Option<ToRead> {
    let figures = written.text.contains(|c: char| c.is_ascii_digit());
    let role = match &*written.kind {
        "Clock" | "BigFigure" if figures => "clock",
        "Count" if figures => "count",
        "Place" if figures => "place",
        "Name" if is_name(&written, snapshot) => "name",
        _ => return None,
    };
    let ended = snapshot.lanes.iter().any(|lane| lane.lane == written.lane && lane.result.is_some());
    let result = role == "count" && (ended || written.lane >= ROWS);
    Some(ToRead { role, result, ground: ground(&written, list), written })
}

/// The smallest box around a text, or the whole picture.
fn ground(written: &Written, list: &DrawList) -> Rect {
    let [w, h] = list.size.map(|side| f32::from(u16::try_from(side).expect("sides of a picture")));
    let Written { left, right, baseline, cap_height, .. } = written;
    let is_around = |rect: &Rect| {
        let (x, y) = (rect.x - SOFT, rect.y - SOFT);
        *left >= x
            && *right <= x + rect.w + 2.0 * SOFT
            && baseline - cap_height >= y
            && *baseline <= y + rect.h + 2.0 * SOFT
    };
    let boxes = list.items.iter().filter_map(|item| match &item.shape {
        Shape::Box(shape) if shape.fill.0[3] == u8::MAX => Some(shape.rect),
        _ => None,
    });
    let around = boxes.filter(is_around).min_by(|a, b| (a.w * a.h).total_cmp(&(b.w * b.h)));
    around.unwrap_or(Rect { x: 0.0, y: 0.0, w, h })
}

/// A name in Latin letters; an empty lane has words in its place.
fn is_name(written: &Written, snapshot: &Snapshot) -> bool {
    let taken = |lane: u8| snapshot.entries.iter().any(|entry| entry.lane == lane && !entry.name.is_empty());
    (written.lane >= ROWS || taken(written.lane))
        && written.text.chars().all(|c| u32::from(c) < 0x370 || c == '…')
}
