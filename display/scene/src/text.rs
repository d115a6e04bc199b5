//! Shaped text and the cache that keeps it.

/// A line of text, shaped and measured. Positions are relative to its line box.
#[derive(Debug)]
pub struct ShapedText {
    /// The shaped line, ready for the rasteriser.
    pub buffer: cosmic_text::Buffer,
    /// Advance width, pixels.
    pub width: f32,
    /// Height of the line box, pixels.
    pub height: f32,
    /// Distance from the top of the line box to the baseline, pixels.
    pub baseline: f32,
    /// Height of capitals and figures above the baseline, pixels.
    pub cap_height: f32,
}
