//! What is written on boards can be read from the seats that it is promised to: texts are taken from the draw list,
//! and Tesseract has to find them in the picture as that seat sees it. `foreign/reading.py` says how.

use std::path::Path;
use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Pixels, Renderer};
use fivemark_scene::draw::{DrawList, Shape, TextShape};
use fivemark_scene::{Board, Link, Motion, Screen, Times, View};
use fivemark_tests::foreign;
use fivemark_tests::rehearsal::{GO_MS, Rehearsal};
use serde_json::{Value, json};

const SIZE: [u32; 2] = [1920, 1080];
const THEMES: [&str; 3] = ["dark", "light", "contrast"];

/// Invented names, with letters of many languages. A name for a lane is one of each.
const GIVEN: [&str; 16] = [
    "Ilse", "Marit", "Thandeka", "Rosa", "Leïla", "Søren", "Zoë", "Björk", "Ana", "Žofia", "Mateusz",
    "Gülay", "Owen", "Yara", "Péter", "Quinn",
];
const FAMILY: [&str; 19] = [
    "Varkonyi",
    "Okonjo",
    "Moyo",
    "Villaseñor",
    "Haddouche",
    "van der Zwaluw",
    "Ísfeld",
    "Dobrović",
    "Miyasaka",
    "Țepeluș",
    "Brannigan",
    "Wójcik",
    "Kettleby",
    "Åkerhielm",
    "Ferreira",
    "Quispe",
    "Jürgensen",
    "Ngata",
    "Ó Faoláin",
];

/// Pieces of text in one line that touch are one text, if they are closer than this share of their height.
const TOUCH: f32 = 0.2;

/// A text as it stands in the picture.
struct Written {
    text: String,
    left: f32,
    right: f32,
    baseline: f32,
    cap_height: f32,
}

/// The texts of a frame, figures that stand side by side joined.
fn written(list: &DrawList) -> Vec<Written> {
    let texts = list.items.iter().filter_map(|item| match &item.shape {
        Shape::Text(shape) => Some(piece(shape)),
        _ => None,
    });
    let mut pieces: Vec<Written> = texts.collect();
    pieces.sort_by(|a, b| {
        let line = |of: &Written| (of.baseline, of.cap_height);
        line(a).partial_cmp(&line(b)).expect("numbers").then(a.left.total_cmp(&b.left))
    });
    let mut joined: Vec<Written> = Vec::new();
    for piece in pieces {
        match joined.last_mut() {
            Some(last)
                if (last.baseline - piece.baseline).abs() < 0.5
                    && (last.cap_height - piece.cap_height).abs() < 0.5
                    && (piece.left - last.right).abs() < last.cap_height * TOUCH =>
            {
                last.text.push_str(&piece.text);
                last.right = piece.right;
            }
            _ => joined.push(piece),
        }
    }
    joined
}

fn piece(shape: &TextShape) -> Written {
    let line = shape.text.buffer.lines.first();
    Written {
        text: line.map_or("", |line| line.text()).to_owned(),
        left: shape.left,
        right: shape.left + shape.text.width,
        baseline: shape.top + shape.text.baseline,
        cap_height: shape.text.cap_height,
    }
}

/// What a text is, if it is one that has to be read: by what the heat says, and by where it stands.
fn role(text: &Written, view: &View, count_cap: f32) -> Option<&'static str> {
    let words = &text.text;
    let figures = words.chars().all(|character| "0123456789:.+ ".contains(character));
    let middle = (text.left + text.right) / 2.0 / 1920.0;
    if figures && words.contains(':') && (0.3..0.7).contains(&middle) && text.baseline < 200.0 {
        return Some("clock");
    }
    let lanes = &view.snapshot.lanes;
    let shown = |words: &str| {
        lanes.iter().any(|lane| {
            lane.score.to_string() == words || lane.result.as_ref().is_some_and(|result| result.text == words)
        })
    };
    let places = view.snapshot.order.iter().map(|row| row.place.to_string());
    // Lane numbers are figures too, and half as high.
    if figures && text.cap_height > 0.75 * count_cap {
        if shown(words) {
            return Some("count");
        }
        return places.into_iter().any(|place| place == *words).then_some("place");
    }
    let latin = |name: &str| name.chars().all(|character| u32::from(character) < 0x370);
    let named = view
        .snapshot
        .entries
        .iter()
        .any(|entry| !entry.name.is_empty() && entry.name == *words && latin(words));
    named.then_some("name")
}

fn keep(
    folder: &Path,
    name: &str,
    theme: &str,
    renderer: &mut Renderer,
    view: &View,
    at_ms: i64,
) -> Vec<Value> {
    let loaded = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
    let mut board = Board::new(loaded, SIZE, Motion::Full);
    for frame_us in [0, 10_000_000] {
        board.frame(Some(view), Link::Live, Times { feed_us: at_ms * 1_000, frame_us, speed_milli: 1_000 });
    }
    let (list, fonts) = board.parts();
    renderer.draw(list, fonts).expect("it is drawn");
    let texts = written(list);
    let counts = texts.iter().filter(|text| text.left > SIZE[0] as f32 / 4.0 && text.baseline > 200.0);
    let count_cap = counts.map(|text| text.cap_height).fold(0.0, f32::max);
    let texts: Vec<Value> = texts
        .into_iter()
        .filter_map(|text| {
            let role = role(&text, view, count_cap)?;
            let Written { text, left, right, baseline, cap_height } = text;
            Some(json!({ "text": text, "role": role, "left": left, "right": right, "baseline": baseline, "cap_height": cap_height, "theme": theme }))
        })
        .collect();
    let pixels: Pixels = renderer.pixels().expect("it is read");
    let stem = format!("{theme}-{name}");
    fivemark_display::pictures::write_png(&folder.join(format!("{stem}.png")), &pixels)
        .expect("a picture is written");
    std::fs::write(folder.join(format!("{stem}.json")), serde_json::to_vec(&texts).expect("JSON"))
        .expect("a file is written");
    texts
}

#[test]
fn counts_names_and_clocks_are_read_from_their_seats() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let mut renderer = Renderer::new(Gpu::open().expect("there is an adapter"), SIZE).expect("it draws");
    let ten: Vec<(u8, i64)> = (1..=10).map(|lane| (lane, 770 + i64::from(lane * 7 % 10) * 31)).collect();
    let twenty: Vec<(u8, i64)> = (1..=20).map(|lane| (lane, 770 + i64::from(lane * 7 % 20) * 17)).collect();
    for theme in THEMES {
        let mut kept = Vec::new();
        for (name, heat, paces) in [("ten", 7, &ten), ("twenty", 8, &twenty)] {
            for (round, seconds) in (0..).zip([71, 158, 366, 487, 512, 620]) {
                let at_ms = GO_MS + seconds * 1_000 + 340;
                let heat = Rehearsal::of_heat(heat).with_paces(paces).started().played_to(at_ms);
                let mut view = View::new(heat.snapshot(at_ms));
                for (lane, entry) in (round * 20..).zip(&mut view.snapshot.entries) {
                    if !entry.name.is_empty() {
                        let (given, family) = (GIVEN[lane % GIVEN.len()], FAMILY[lane % FAMILY.len()]);
                        (entry.given, entry.family) = (given.into(), family.into());
                        entry.name = format!("{given} {family}");
                    }
                }
                kept.extend(keep(
                    folder.path(),
                    &format!("{name}-{seconds}"),
                    theme,
                    &mut renderer,
                    &view,
                    at_ms,
                ));
            }
        }
        let of = |role: &str| kept.iter().filter(|text| text["role"] == role).count();
        let found = ["clock", "count", "place", "name"].map(of);
        assert!(found[0] == 12 && found[1] >= 140 && found[2] >= 140 && found[3] >= 140, "{found:?}");
    }
    foreign::run("reading.py", &[folder.path().to_str().expect("test folders have names in UTF-8")]);
}
