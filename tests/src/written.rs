//! What is written on a frame: its texts as its draw list has them, figures that make up one number joined, each with
//! what it is for.

use fivemark_scene::draw::{DrawList, Rgba, Shape, TextShape};

/// A text as it stands in the picture, pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// `Board`, or the overlay's part.
    pub part: String,
    /// The lane; 0 for none, rows of cards from 128 on.
    pub lane: u8,
    /// What it is for, as the scene calls it: `Count`, `Name`, `Clock` …
    pub kind: String,
    /// Its words.
    pub text: String,
    /// Its left end.
    pub left: f32,
    /// Its right end.
    pub right: f32,
    /// What its letters stand on.
    pub baseline: f32,
    /// Height of its capitals and figures.
    pub cap_height: f32,
    /// Its colour.
    pub color: Rgba,
}

impl Written {
    /// Part of the same number or word.
    fn goes_on(&self, next: &Written) -> bool {
        (&self.part, self.lane, &self.kind) == (&next.part, next.lane, &next.kind)
            && self.color == next.color
            && (self.baseline - next.baseline).abs() < 0.5
            && (self.cap_height - next.cap_height).abs() < 0.5
    }
}

/// The texts of a frame, by part, lane and what they are for.
///
/// # Panics
/// An item has a key that no layout made.
#[must_use]
pub fn written(list: &DrawList) -> Vec<Written> {
    let texts = list.items.iter().filter_map(|item| match &item.shape {
        Shape::Text(shape) => Some(piece(&item.key.to_string(), shape)),
        _ => None,
    });
    let mut pieces: Vec<Written> = texts.collect();
    pieces.sort_by(|a, b| {
        let name = |of: &Written| (of.part.clone(), of.lane, of.kind.clone());
        name(a).cmp(&name(b)).then(a.baseline.total_cmp(&b.baseline)).then(a.left.total_cmp(&b.left))
    });
    let mut joined: Vec<Written> = Vec::new();
    for piece in pieces {
        match joined.last_mut() {
            Some(last) if last.goes_on(&piece) => {
                last.text.push_str(&piece.text);
                last.right = piece.right;
            }
            _ => joined.push(piece),
        }
    }
    joined
}

fn piece(key: &str, shape: &TextShape) -> Written {
    let mut name = key.split('/');
    let mut next = || name.next().expect("four parts of a key").to_owned();
    let (part, lane, kind) = (next(), next(), next());
    let line = shape.text.buffer.lines.first();
    Written {
        part,
        lane: lane.parse().expect("a lane"),
        kind,
        text: line.map_or("", |line| line.text()).to_owned(),
        left: shape.left,
        right: shape.left + shape.text.width,
        baseline: shape.top + shape.text.baseline,
        cap_height: shape.text.cap_height,
        color: shape.color,
    }
}
