//! The themes and fonts that are inside the program, so that it runs from anywhere.

/// Bundled themes: name and file.
pub(crate) const THEMES: &[(&str, &str)] = &[
    ("dark", include_str!("../dark/theme.toml")),
    ("light", include_str!("../light/theme.toml")),
    ("contrast", include_str!("../contrast/theme.toml")),
];

/// Bundled fonts: name and bytes.
pub(crate) const FONTS: &[(&str, &[u8])] = &[
    ("barlow/Barlow-SemiBold.ttf", include_bytes!("../fonts/barlow/Barlow-SemiBold.ttf")),
    ("barlow/Barlow-Bold.ttf", include_bytes!("../fonts/barlow/Barlow-Bold.ttf")),
    (
        "barlow-condensed/BarlowCondensed-SemiBold.ttf",
        include_bytes!("../fonts/barlow-condensed/BarlowCondensed-SemiBold.ttf"),
    ),
    (
        "barlow-condensed/BarlowCondensed-Bold.ttf",
        include_bytes!("../fonts/barlow-condensed/BarlowCondensed-Bold.ttf"),
    ),
    (
        "fira-sans-condensed/FiraSansCondensed-SemiBold.ttf",
        include_bytes!("../fonts/fira-sans-condensed/FiraSansCondensed-SemiBold.ttf"),
    ),
    ("noto-sans/NotoSans-SemiBold.ttf", include_bytes!("../fonts/noto-sans/NotoSans-SemiBold.ttf")),
    (
        "noto-sans-hebrew/NotoSansHebrew-SemiBold.ttf",
        include_bytes!("../fonts/noto-sans-hebrew/NotoSansHebrew-SemiBold.ttf"),
    ),
    (
        "noto-sans-arabic/NotoSansArabic-SemiBold.ttf",
        include_bytes!("../fonts/noto-sans-arabic/NotoSansArabic-SemiBold.ttf"),
    ),
];

/// A bundled font by name.
pub(crate) fn font(name: &str) -> Option<&'static [u8]> {
    FONTS.iter().find(|(known, _)| *known == name).map(|(_, bytes)| *bytes)
}
