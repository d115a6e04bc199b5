//! Logos as people and their accidents save them: good ones come out as pixels, all others are refused in words, and
//! none of them takes long.

use std::fs;

use fivemark_themes::{FaultKind, LoadedTheme, MAX_PICTURE_BYTES, load};

const DARK: &str = include_str!("../dark/theme.toml");

/// Loads the dark theme with this file as its logo.
fn with_logo(name: &str, bytes: &[u8]) -> Result<LoadedTheme, String> {
    let dir = tempfile::tempdir().expect("a folder");
    let logo = format!("\n[logo]\nfile = \"{name}\"\nheight = 90\nwidth = 200\n");
    fs::write(dir.path().join("theme.toml"), format!("{DARK}{logo}")).expect("it is written");
    fs::write(dir.path().join(name), bytes).expect("it is written");
    load(dir.path()).map_err(|faults| {
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert!(faults[0].line > 60, "the fault is at the logo's line: {faults:?}");
        faults[0].to_string()
    })
}

fn png_of(width: u32, height: u32, color: png::ColorType, pixels: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(color);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.write_header().expect("a header").write_image_data(pixels).expect("pixels");
    bytes
}

fn svg(inside: &str) -> String {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 40 20\">{inside}</svg>")
}

#[test]
fn a_png_becomes_premultiplied_pixels() {
    let straight = [255, 0, 0, 255, 0, 255, 0, 128, 9, 9, 9, 0];
    let theme = with_logo("logo.png", &png_of(3, 1, png::ColorType::Rgba, &straight)).unwrap();
    let logo = theme.logo.unwrap();
    assert_eq!((logo.height, logo.width, logo.picture.size()), (90, 200, [3, 1]));
    assert_eq!(logo.picture.rgba(), [255, 0, 0, 255, 0, 128, 0, 128, 0, 0, 0, 0]);
    let grey = with_logo("grey.PNG", &png_of(2, 1, png::ColorType::Grayscale, &[7, 200])).unwrap();
    assert_eq!(grey.logo.unwrap().picture.rgba(), [7, 7, 7, 255, 200, 200, 200, 255]);
}

#[test]
fn an_svg_is_drawn_large_and_keeps_its_shape() {
    let source = svg("<rect width=\"20\" height=\"20\" fill=\"#f00\"/>");
    let picture = with_logo("logo.svg", source.as_bytes()).unwrap().logo.unwrap().picture;
    assert_eq!(picture.size(), [1024, 512]);
    let at = |x: usize, y: usize| &picture.rgba()[(y * 1024 + x) * 4..][..4];
    assert_eq!((at(100, 100), at(900, 100)), (&[255, 0, 0, 255][..], &[0, 0, 0, 0][..]));
    let referred = svg("<defs><g id=\"a\"><path d=\"M0 0h9v9z\"/></g></defs><use href=\"#a\" x=\"4\"/>");
    assert!(with_logo("logo.svg", referred.as_bytes()).is_ok());
}

#[test]
fn a_logo_of_a_hundred_megapixels_is_refused_by_its_header() {
    let mut huge = png_of(1, 1, png::ColorType::Grayscale, &[0]);
    // Width and height in the header, and its checksum as PNG has it.
    huge[16..24].copy_from_slice(&[0, 0, 0x27, 0x10, 0, 0, 0x27, 0x10]);
    let crc = crc32(&huge[12..29]);
    huge[29..33].copy_from_slice(&crc.to_be_bytes());
    let why = with_logo("logo.png", &huge).unwrap_err();
    assert!(why.contains("10000 x 10000 pixels") && why.contains("scale it down"), "{why}");
}

/// The checksum of PNG's chunks (W3C PNG, annex D), bit by bit.
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32, _| if crc & 1 == 1 { 0xEDB8_8320 ^ (crc >> 1) } else { crc >> 1 };
    !bytes.iter().fold(u32::MAX, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), step))
}

/// `levels` groups that each hold the one before ten times, by a reference of this form.
fn nested(levels: usize, refer: impl Fn(usize) -> String, group: &str) -> String {
    let mut inside = format!("<{group} id=\"a0\"><rect width=\"1\" height=\"1\"/></{group}>");
    for level in 1..levels {
        inside += &format!("<{group} id=\"a{level}\">{}</{group}>", refer(level - 1).repeat(10));
    }
    svg(&format!("<defs>{inside}</defs>{}", refer(levels - 1)))
}

#[test]
fn an_endless_svg_is_refused_before_it_is_drawn() {
    let used = |of: usize| format!("<use href=\"#a{of}\"/>");
    let clipped = |of: usize| format!("<rect width=\"9\" height=\"9\" clip-path=\"url(#a{of})\"/>");
    let styled = |of: usize| format!("<rect width=\"9\" height=\"9\" style=\"clip-path: url('#a{of}')\"/>");
    for source in [nested(9, used, "g"), nested(9, clipped, "clipPath"), nested(9, styled, "clipPath")] {
        let why = with_logo("logo.svg", source.as_bytes()).unwrap_err();
        assert!(why.contains("elements with everything that they refer to"), "{why}");
    }
    for (source, said) in [
        (svg("<g id=\"a\"><use href=\"#a\"/></g>"), "refers to itself"),
        (svg(&format!("{}{}", "<g>".repeat(60), "</g>".repeat(60))), "nested deeper"),
        (svg("<text>Five</text>"), "it has a <text>"),
        (svg("<image href=\"/etc/hostname\"/>"), "it has a <image>"),
        (svg("<filter id=\"f\"/>"), "it has a <filter>"),
        (svg("<style>rect { fill: red }</style>"), "it has a <style>"),
        (format!("<!DOCTYPE svg [<!ENTITY a \"b\">]>{}", svg("")), "DTD"),
        (svg(&"<g/>".repeat(30_000)), "nodes"),
        (svg(&"<g></g>".repeat(60_000)), "longer than"),
        ("<svg".to_owned(), "cannot be used"),
        (String::new(), "cannot be used"),
    ] {
        let why = with_logo("logo.svg", source.as_bytes()).unwrap_err();
        assert!(why.contains(said), "{said}: {why}");
    }
}

#[test]
fn what_is_no_picture_or_not_there_is_told() {
    for bytes in [&b"no picture"[..], b"", &png_of(9, 9, png::ColorType::Rgb, &[1; 243])[..60]] {
        let why = with_logo("logo.png", bytes).unwrap_err();
        assert!(why.contains("picture `logo.png` cannot be used"), "{why}");
    }
    let why = with_logo("logo.png", &vec![0; MAX_PICTURE_BYTES + 1]).unwrap_err();
    assert!(why.contains("is longer than"), "{why}");
    let dir = tempfile::tempdir().unwrap();
    for (file, outside) in [("gone.png", false), ("../logo.png", true), ("/etc/logo.png", true)] {
        let logo = format!("\n[logo]\nfile = \"{file}\"\nheight = 90\nwidth = 200\n");
        fs::write(dir.path().join("theme.toml"), format!("{DARK}{logo}")).unwrap();
        let kind = load(dir.path()).unwrap_err().remove(0).kind;
        let told = if outside {
            matches!(kind, FaultKind::PictureOutside { .. })
        } else {
            matches!(kind, FaultKind::PictureMissing { .. })
        };
        assert!(told, "{file}: {kind}");
    }
}
