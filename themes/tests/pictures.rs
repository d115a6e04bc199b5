//! Pictures of themes as people and their accidents save them: good ones come out as pixels, all others are refused in
//! words, and none of them takes long. What lies behind a board must also leave it readable.

use std::fs;

use fivemark_themes::{Lies, LoadedTheme, MAX_PICTURE_BYTES, load};

const DARK: &str = include_str!("../dark/theme.toml");

/// The sections that bring a picture, without its file's name. Dark enough for any picture.
const LOGO: &str = "[logo]\nheight = 90\nwidth = 200\n";
const BACKGROUND: &str = "[background]\nlies = \"cover\"\nopacity = 20\n";

/// Loads the dark theme with this file as its logo.
fn with_logo(name: &str, bytes: &[u8]) -> Result<LoadedTheme, String> {
    with_picture(LOGO, name, bytes)
}

/// Loads the dark theme with a section and its picture's file; the one fault in words.
fn with_picture(section: &str, name: &str, bytes: &[u8]) -> Result<LoadedTheme, String> {
    let dir = tempfile::tempdir().expect("a folder");
    let source = format!("{DARK}\n{section}file = \"{name}\"\n");
    let line = u32::try_from(source.lines().count()).expect("a short file");
    fs::write(dir.path().join("theme.toml"), source).expect("it is written");
    fs::write(dir.path().join(name), bytes).expect("it is written");
    load(dir.path()).map_err(|faults| {
        assert!(faults.iter().all(|fault| fault.line == line), "at the line of the file's name: {faults:?}");
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
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
fn a_picture_of_a_hundred_megapixels_is_refused_by_its_header() {
    let mut huge = png_of(1, 1, png::ColorType::Grayscale, &[0]);
    // Width and height in the header, and its checksum as PNG has it.
    huge[16..24].copy_from_slice(&[0, 0, 0x27, 0x10, 0, 0, 0x27, 0x10]);
    let crc = crc32(&huge[12..29]);
    huge[29..33].copy_from_slice(&crc.to_be_bytes());
    for section in [LOGO, BACKGROUND] {
        let why = with_picture(section, "huge.png", &huge).unwrap_err();
        assert!(why.contains("10000 x 10000 pixels") && why.contains("scale it down"), "{why}");
    }
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
        for section in [LOGO, BACKGROUND] {
            let why = with_picture(section, "endless.svg", source.as_bytes()).unwrap_err();
            assert!(why.contains("elements with everything that they refer to"), "{why}");
        }
    }
    for (source, said) in [
        (svg("<g id=\"a\"><use href=\"#a\"/></g>"), "refers to itself"),
        (svg(&format!("{}{}", "<g>".repeat(60), "</g>".repeat(60))), "nested deeper"),
        (svg("<text>Five</text>"), "it has a <text>"),
        (svg("<image href=\"/etc/hostname\"/>"), "it has a <image>"),
        (svg("<filter id=\"f\"/>"), "it has a <filter>"),
        (svg("<path d=\"M0 0h9\" stroke-dasharray=\".001\"/>"), "it has a `stroke-dasharray`"),
        (svg("<path d=\"M0 0h9\" style=\"stroke-dasharray: .001\"/>"), "it has a `stroke-dasharray`"),
        (svg("<style>rect { fill: red }</style>"), "it has a <style>"),
        (format!("<!DOCTYPE svg [<!ENTITY a \"b\">]>{}", svg("")), "DTD"),
        (svg(&"<g/>".repeat(30_000)), "nodes"),
        (svg(&"<g></g>".repeat(60_000)), "longer than"),
        ("<svg".to_owned(), "cannot be used"),
        (String::new(), "cannot be used"),
    ] {
        for section in [LOGO, BACKGROUND] {
            let why = with_picture(section, "bad.svg", source.as_bytes()).unwrap_err();
            assert!(why.contains(said), "{said}: {why}");
        }
    }
}

#[test]
fn what_is_no_picture_or_not_there_is_told() {
    let mut empty = png_of(1, 1, png::ColorType::Grayscale, &[0]);
    empty[16..24].fill(0);
    let crc = crc32(&empty[12..29]);
    empty[29..33].copy_from_slice(&crc.to_be_bytes());
    let cut_short = &png_of(9, 9, png::ColorType::Rgb, &[1; 243])[..60];
    let drawing = svg("<rect width=\"1\" height=\"1\"/>");
    for section in [LOGO, BACKGROUND] {
        for bytes in [&b"no picture"[..], b"", cut_short, drawing.as_bytes(), &empty] {
            let why = with_picture(section, "bad.png", bytes).unwrap_err();
            assert!(why.contains("picture `bad.png` cannot be used"), "{why}");
        }
        for nothing in ["width=\"0\" height=\"0\"", "viewBox=\"0 0 0 9\""] {
            let source = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {nothing}/>");
            let why = with_picture(section, "nothing.svg", source.as_bytes()).unwrap_err();
            assert!(why.contains("cannot be used"), "{why}");
        }
        let why = with_picture(section, "long.png", &vec![0; MAX_PICTURE_BYTES + 1]).unwrap_err();
        assert!(why.contains("is longer than"), "{why}");
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("folder.png")).unwrap();
        for (file, said) in [
            ("gone.png", "is not in the theme's folder"),
            ("../logo.png", "inside the theme's folder"),
            ("/etc/logo.png", "inside the theme's folder"),
            ("folder.png", "not a regular file"),
        ] {
            fs::write(dir.path().join("theme.toml"), format!("{DARK}\n{section}file = \"{file}\"\n"))
                .unwrap();
            let fault = load(dir.path()).unwrap_err().remove(0).to_string();
            assert!(fault.contains(said), "{file}: {fault}");
        }
    }
}

#[test]
fn what_lies_behind_a_board_says_how() {
    let grey = png_of(2, 1, png::ColorType::Grayscale, &[7, 20]);
    for (lies, wanted) in
        [("lies = \"cover\"", Lies::Cover), ("lies = \"tile\"\nheight = 250", Lies::Tile { height: 250 })]
    {
        let section = format!("[background]\n{lies}\nopacity = 500\n");
        let backdrop = with_picture(&section, "hall.png", &grey).unwrap().backdrop.expect("it is there");
        assert_eq!((backdrop.lies, backdrop.opacity, backdrop.alpha()), (wanted, 500, 128));
        assert_eq!(backdrop.picture.size(), [2, 1]);
    }
    let source = svg("<rect width=\"40\" height=\"20\"/>");
    let backdrop = with_picture(BACKGROUND, "hall.svg", source.as_bytes()).unwrap().backdrop.unwrap();
    assert_eq!(backdrop.picture.size(), [2048, 1024], "larger than a logo");
}

#[test]
fn a_section_that_says_something_else_is_told() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("hall.png"), png_of(2, 1, png::ColorType::Grayscale, &[7, 20])).unwrap();
    for (section, said) in [
        ("lies = \"stretch\"\nopacity = 500", "`lies` must be \"cover\" or \"tile\", and is \"stretch\""),
        ("lies = 3\nopacity = 500", "`lies` must be a text, and is integer"),
        ("lies = \"cover\"\nheight = 90\nopacity = 500", "`height` is not known in [background]"),
        ("lies = \"tile\"\nopacity = 500", "`height` is missing from [background]"),
        ("lies = \"tile\"\nheight = 0\nopacity = 500", "`height` is 0; it must lie between 20 and 1000"),
        ("lies = \"tile\"\nheight = 1000000\nopacity = 500", "it must lie between 20 and 1000"),
        ("lies = \"cover\"\nopacity = 0", "`opacity` is 0; it must lie between 10 and 1000"),
        ("lies = \"cover\"", "`opacity` is missing from [background]"),
    ] {
        let source = format!("{DARK}\n[background]\nfile = \"hall.png\"\n{section}\n");
        fs::write(dir.path().join("theme.toml"), source).unwrap();
        let faults = load(dir.path()).unwrap_err();
        assert_eq!(faults.len(), 1, "{section}: {faults:?}");
        assert!(faults[0].to_string().contains(said), "{section}: {}", faults[0]);
    }
    fs::write(
        dir.path().join("theme.toml"),
        format!("{DARK}\n[background]\nlies = \"cover\"\nopacity = 9\n"),
    )
    .unwrap();
    let faults = load(dir.path()).unwrap_err();
    assert!(
        faults.iter().any(|fault| fault.to_string().contains("`file` is missing from [background]")),
        "{faults:?}"
    );
}

/// One light pixel among a million dark ones: it may come to lie under the clock.
#[test]
fn a_picture_on_which_a_text_would_be_lost_is_refused_with_what_it_measures() {
    let mut pixels = vec![20; 1_000_000];
    let dark = png_of(1000, 1000, png::ColorType::Grayscale, &pixels);
    pixels[500_500] = 200;
    let spotted = png_of(1000, 1000, png::ColorType::Grayscale, &pixels);
    let section = |opacity: u32| format!("[background]\nlies = \"cover\"\nopacity = {opacity}\n");
    assert!(with_picture(&section(1000), "hall.png", &dark).is_ok());
    let why = with_picture(&section(1000), "hall.png", &spotted).unwrap_err();
    // #B4BAC8 on #C8C8C8: luminances 0.4899 and 0.5776 (WCAG 2.2), so that 0.6276 / 0.5399 is 1.162.
    let text_dim =
        "`text_dim` #B4BAC8 has a contrast of 1.162 where it comes over #C8C8C8 of the picture `hall.png`";
    assert!(
        why.contains(text_dim) && why.contains("4.5 is needed (text): lower `opacity`, or take a darker"),
        "{why}"
    );
    let why = with_picture(&section(500), "hall.png", &spotted).unwrap_err();
    assert!(why.contains("`text_dim`") && !why.contains("`text` "), "the main text can be read: {why}");
    assert!(with_picture(&section(300), "hall.png", &spotted).is_ok());
}

#[test]
fn a_theme_s_own_pictures_are_among_its_files() {
    let dir = tempfile::tempdir().unwrap();
    for name in ["hall.png", "mark.png"] {
        fs::write(dir.path().join(name), png_of(1, 1, png::ColorType::Grayscale, &[9])).unwrap();
    }
    let sections = format!("{LOGO}file = \"mark.png\"\n{BACKGROUND}file = \"hall.png\"\n");
    fs::write(dir.path().join("theme.toml"), format!("{DARK}\n{sections}")).unwrap();
    let files = load(dir.path()).unwrap().files().to_vec();
    assert_eq!(files, ["theme.toml", "mark.png", "hall.png"].map(|name| dir.path().join(name)));
}
