//! Theme files as people and their accidents write them: what is wrong is named, all of it, at its line.

use std::fs;
use std::path::Path;

use fivemark_themes::sight::Sight;
use fivemark_themes::{
    Color, FaultKind, MAX_FONTS, MAX_THEME_BYTES, ThemeFault, check, find, load, names, parse,
};

const DARK: &str = include_str!("../dark/theme.toml");

fn faults(source: &str) -> Vec<ThemeFault> {
    parse(source, "t/theme.toml", None).expect_err("the theme is faulty")
}

/// Line of a text in the source, from 1.
fn line_of(source: &str, text: &str) -> u32 {
    let at = source.find(text).unwrap_or_else(|| panic!("{text} is in the source"));
    u32::try_from(source[..at].matches('\n').count()).expect("a short file") + 1
}

/// Replaces a text that must be there, and gives the one fault that comes of it.
fn one_fault(old: &str, new: &str) -> (ThemeFault, String) {
    assert!(DARK.contains(old), "{old}");
    let source = DARK.replacen(old, new, 1);
    let mut list = faults(&source);
    assert_eq!(list.len(), 1, "{list:?}");
    (list.remove(0), source)
}

#[test]
fn every_bundled_theme_passes() {
    for name in names() {
        let theme = find(name).unwrap_or_else(|faults| panic!("{name}: {faults:?}"));
        assert_eq!(theme.name, name);
        assert!(!theme.fonts.is_empty());
        assert!(theme.files().is_empty() && theme.folder().is_none(), "nothing outside can change it");
    }
}

#[test]
fn an_unknown_name_is_told_what_there_is() {
    let list = find("drak").unwrap_err();
    assert_eq!(list.len(), 1);
    assert!(list[0].to_string().contains("bundled are dark"), "{}", list[0]);
}

#[test]
fn each_fault_is_named_at_its_line() {
    let cases: &[(&str, &str, &str)] = &[
        ("text = \"#F6F5F0\"", "text = 7", "must be a text, and is integer"),
        ("text = \"#F6F5F0\"", "text = \"white\"", "must be a colour such as"),
        ("racing = \"#9CC3FA\"", "racing = \"#9CC3FA80\"", "must be a colour such as"),
        ("margin = 28", "margin = \"28\"", "must be a whole number, and is string"),
        ("margin = 28", "margin = 2.8", "must be a whole number, and is float"),
        ("margin = 28", "margin = 81", "is 81; it must lie between 0 and 80"),
        ("margin = 28", "margin = -1", "is -1; it must lie between 0 and 80"),
        ("margin = 28", "margin = 99999999999999999999", "it must lie between 0 and 80"),
        ("glide_ms = 180", "glide_ms = 200", "it must lie between 0 and 199"),
        ("roll_ms = 140", "roll_ms = 151", "it must lie between 0 and 150"),
        ("glide_ms = 180", "glide_ms = 180\nblink_ms = 3", "`blink_ms` is not known in [motion]"),
        ("name = \"dark\"", "name = \"dark\"\nlogos = 1", "`logos` is not known in the theme"),
        ("name = \"dark\"", "name = \"dark\"\nlogo = 1", "`logo` must be a table, and is integer"),
        ("NotoSansHebrew-SemiBold.ttf", "Hebrew.ttf", "neither in the theme's folder nor bundled"),
        ("fallback = [", "fallback = [ 7,", "`fallback` must be a text, and is integer"),
        ("place_ms = 220", "place_ms = 166", "`place_ms` lets `racing`"),
        ("finish_ms = 1200", "finish_ms = 199", "it must lie between 200 and 1500"),
        ("no_rep_ms = 2000", "no_rep_ms = 333", "flash more than three times in a second; use at least 334"),
        ("scrim = \"#05070BC8\"", "scrim = \"#05070B08\"", "the last figures of a countdown"),
        ("sheen = 120", "sheen = 401", "it must lie between 0 and 400"),
        ("clock = \"Barlow\"", "clock = \"Barlov\"", "no font of the theme has family \"Barlov\""),
        ("clock = \"Barlow\"\nclock_weight = 700", "clock_weight = 300\nclock = \"Barlow\"", "at weight 300"),
        ("clock_weight = 700", "clock_weight = 1000", "between 100 and 900"),
        ("clock = \"Barlow\"", "clock = \"\"", "is empty or longer"),
        ("\"barlow/Barlow-Bold.ttf\"", "\"barlow/Barlow-Fat.ttf\"", "neither in the theme's folder nor"),
        ("\"noto-sans/NotoSans-SemiBold.ttf\"", "\"/etc/passwd\"", "inside the theme's folder"),
        ("\"noto-sans/NotoSans-SemiBold.ttf\"", "\"../../secret.ttf\"", "inside the theme's folder"),
    ];
    for (old, new, says) in cases {
        let source = DARK.replacen(old, new, 1);
        assert_ne!(source, DARK, "{old}");
        let list = faults(&source);
        let (wanted_line, last) = (line_of(&source, new.lines().last().unwrap()), list.last().unwrap());
        let named = list.iter().any(|f| f.line == wanted_line && f.to_string().contains(says));
        assert!(named, "{new}: wanted `{says}` at {wanted_line}, found {last}");
        assert!(last.to_string().starts_with("t/theme.toml:"), "{last}");
    }
}

#[test]
fn a_missing_color_is_named_at_its_section() {
    let (fault, source) = one_fault("badge = \"#232936\"\n", "");
    assert_eq!(fault.line, line_of(&source, "[colors]"));
    assert!(matches!(fault.kind, FaultKind::Missing { ref key, .. } if key == "badge"));
}

#[test]
fn a_missing_section_is_one_fault() {
    let at = DARK.find("[motion]").unwrap();
    let list = faults(&DARK[..at]);
    assert_eq!(list.len(), 1, "{list:?}");
    assert!(matches!(list[0].kind, FaultKind::MissingSection { ref section } if section == "motion"));
}

#[test]
fn all_faults_are_told_at_once() {
    let source = DARK
        .replacen("margin = 28", "margin = true", 1)
        .replacen("roll_ms = 140", "roll_ms = 5000", 1)
        .replacen("figures = \"Barlow Condensed\"", "figures = \"Nobody\"", 1);
    let lines: Vec<u32> = faults(&source).iter().map(|fault| fault.line).collect();
    let wanted =
        ["figures = \"Nobody\"", "margin = true", "roll_ms = 5000"].map(|text| line_of(&source, text));
    assert_eq!(lines, wanted);
}

#[test]
fn low_contrasts_are_named_with_both_colors() {
    // The row tint comes too near to the plain row.
    let (fault, source) = one_fault("row_finished = \"#163B31\"", "row_finished = \"#12211C\"");
    assert_eq!(fault.line, line_of(&source, "row_finished = \"#12211C\""));
    let says = fault.to_string();
    assert!(says.contains("`row_finished` #12211C on `row` #10131B") && says.contains("1.5"), "{says}");
    // Text, a shape on its ground, filled against unfilled.
    for (old, new, pair) in [
        ("text_dim = \"#B4BAC8\"", "text_dim = \"#5A5A5A\"", "`text_dim`"),
        ("block = \"#8B94A6\"", "block = \"#3A3F4A\"", "`block`"),
        ("racing = \"#9CC3FA\"", "racing = \"#7A9CCB\"", "`racing` #7A9CCB on `track`"),
        ("track_edge = \"#5C6473\"", "track_edge = \"#2A303C\"", "`track_edge` #2A303C on `row`"),
    ] {
        let source = DARK.replacen(old, new, 1);
        let list = faults(&source);
        let named = list.iter().any(|f| f.line == line_of(&source, new) && f.to_string().contains(pair));
        assert!(named, "{new}: {list:?}");
        assert!(list.iter().all(|f| matches!(f.kind, FaultKind::Contrast { .. })), "{list:?}");
    }
}

/// A bluish violet beside the sky blue of racing bars: apart for full colour vision, one for deutan eyes.
#[test]
fn states_that_only_some_eyes_tell_apart_are_named_with_those_eyes() {
    let (racing, leading) = (Color::parse("#9CC3FA").unwrap(), Color::parse("#BDB8FA").unwrap());
    let (full, deutan) = (Sight::Full.difference(racing, leading), Sight::Deutan.difference(racing, leading));
    assert!(full > check::APART && deutan < check::APART, "{full} {deutan}");
    let source = DARK.replacen("leading = \"#FFD84D\"", &format!("leading = \"{leading}\""), 1);
    let list = faults(&source);
    let fault = &list[0];
    assert!(matches!(fault.kind, FaultKind::NotApart { .. }), "{fault}");
    assert!(fault.to_string().contains("look alike to deutan eyes"), "{fault}");
    assert_eq!(fault.line, line_of(&source, "racing ="), "{fault}");
}

/// A file is saved piece by piece: whatever is there of it is read, and what is missing is told.
#[test]
fn a_half_written_file_gives_faults_and_never_a_theme() {
    let whole = DARK.trim_end();
    for end in (0..whole.len()).filter(|end| whole.is_char_boundary(*end)) {
        let Err(list) = parse(&whole[..end], "t/theme.toml", None) else {
            // Only the digits of the last number can be cut unseen.
            assert!(whole[end..].chars().all(|c| c.is_ascii_digit()), "{}", &whole[end..]);
            continue;
        };
        assert!(!list.is_empty() && list.iter().all(|fault| !fault.to_string().is_empty()));
    }
}

#[test]
fn what_is_no_toml_is_named_at_its_line() {
    for (source, line) in [
        ("name = \"a\"\ncolors = [[[\n", 0),
        ("name = \"a\"\nname = \"b\"\n", 2),
        ("name = \"a\n", 1),
        ("\u{0}", 1),
        ("= 1", 1),
    ] {
        let list = faults(source);
        assert!(matches!(list[0].kind, FaultKind::Syntax { .. }), "{list:?}");
        assert!(line == 0 || list[0].line == line, "{source:?}: {list:?}");
    }
    let deep = format!("name = {}1", "[".repeat(60_000));
    assert!(matches!(faults(&deep)[0].kind, FaultKind::Syntax { .. }));
}

#[test]
fn a_flood_of_faults_is_bounded() {
    use std::fmt::Write as _;
    let mut source = DARK.to_owned();
    for index in 0..2_000 {
        writeln!(source, "x{index} = 1").unwrap();
    }
    assert!(faults(&source).len() <= 100);
}

#[test]
fn too_many_fonts_are_refused() {
    let many = "\"barlow/Barlow-Bold.ttf\", ".repeat(MAX_FONTS + 1);
    let source = DARK.replacen("files = [", &format!("files = [ {many}"), 1);
    let list = faults(&source);
    assert!(list.iter().any(|fault| matches!(fault.kind, FaultKind::TooManyFonts { .. })), "{list:?}");
}

#[test]
fn a_folder_is_loaded_with_its_own_fonts_first() {
    let dir = tempfile::tempdir().unwrap();
    let font = Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts/barlow/Barlow-Bold.ttf");
    let source = DARK.replacen("\"barlow/Barlow-Bold.ttf\"", "\"own.ttf\"", 1);
    fs::write(dir.path().join("theme.toml"), source).unwrap();
    let list = load(dir.path()).unwrap_err();
    assert!(list.iter().any(|f| matches!(&f.kind, FaultKind::FontMissing { font } if font == "own.ttf")));
    fs::copy(font, dir.path().join("own.ttf")).unwrap();
    let theme = load(dir.path()).unwrap();
    assert!(theme.fonts.iter().any(|font| font.name == "own.ttf"));
    assert_eq!(theme.files(), [dir.path().join("theme.toml"), dir.path().join("own.ttf")]);
    assert_eq!(theme.folder(), Some(dir.path()));
    assert!(find(dir.path().to_str().unwrap()).is_ok(), "a path finds it as well");
    fs::write(dir.path().join("own.ttf"), b"no font at all").unwrap();
    let list = load(dir.path()).unwrap_err();
    assert!(list.iter().any(|f| matches!(&f.kind, FaultKind::FontBroken { font, .. } if font == "own.ttf")));
}

#[test]
fn a_font_that_cannot_write_what_the_board_writes_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let font = Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts/barlow/Barlow-Bold.ttf");
    let mut bytes = fs::read(font).unwrap();
    // Under another tag in the directory of tables, the table that maps characters to glyphs is not found.
    let at = bytes.windows(4).position(|tag| tag == b"cmap").unwrap();
    bytes[at..at + 4].copy_from_slice(b"cmaq");
    fs::write(dir.path().join("own.ttf"), bytes).unwrap();
    let source = DARK.replacen("\"barlow/Barlow-Bold.ttf\"", "\"own.ttf\"", 1);
    fs::write(dir.path().join("theme.toml"), source).unwrap();
    let list = load(dir.path()).unwrap_err();
    let missing = |fault: &ThemeFault| matches!(&fault.kind, FaultKind::GlyphMissing { glyphs, .. } if glyphs.contains("0123"));
    assert!(list.iter().any(missing), "{list:?}");
}

#[test]
fn endless_and_strange_files_end_here() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("theme.toml");
    assert!(matches!(load(dir.path()).unwrap_err()[0].kind, FaultKind::Unreadable { .. }), "no file");
    fs::write(&file, " ".repeat(MAX_THEME_BYTES + 1)).unwrap();
    assert!(matches!(load(dir.path()).unwrap_err()[0].kind, FaultKind::TooLong { .. }));
    fs::write(&file, [0xFF, 0xFE, 0x00]).unwrap();
    assert!(matches!(load(dir.path()).unwrap_err()[0].kind, FaultKind::Unreadable { .. }), "no UTF-8");
    fs::remove_file(&file).unwrap();
    fs::create_dir(&file).unwrap();
    assert!(matches!(load(dir.path()).unwrap_err()[0].kind, FaultKind::Unreadable { .. }), "a folder");
    #[cfg(unix)]
    {
        fs::remove_dir(&file).unwrap();
        std::os::unix::fs::symlink("/dev/zero", &file).unwrap();
        assert!(matches!(load(dir.path()).unwrap_err()[0].kind, FaultKind::Unreadable { .. }), "a device");
    }
    assert!(matches!(faults(&" ".repeat(MAX_THEME_BYTES + 1))[0].kind, FaultKind::TooLong { .. }));
}
