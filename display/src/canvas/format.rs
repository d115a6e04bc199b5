//! The messages between a display and a page, for programs that want the frames without our page.
//!
//! Open a WebSocket on [`SOCKET_PATH`] with the subprotocol [`SUBPROTOCOL`]. Text messages are JSON objects with a
//! `type`; binary messages are parts of frames and go to the page only.
//!
//! 1. The page says `{"type":"join","access_key":"…"}` within fifteen seconds; the key is left out or `null` where the
//!    display has none. It hears `{"type":"welcome"}`, or `{"type":"refused","code":"…","says":"…"}` and is closed.
//!    The codes are those of [`Refusal`].
//! 2. A frame comes in one or more binary messages of at most [`MAX_PART_BYTES`]; put together they are the frame as
//!    below. When the page has shown it, it says `{"type":"shown","frame":N}` with the frame's number, and only then
//!    is sent the next one, with everything that changed in between.
//! 3. While nothing changes the page hears `{"type":"alive"}` every two seconds and answers with the same. A page
//!    that leaves a frame or such a question unanswered for fifteen seconds, or does not read, is dropped.
//!
//! A page says nothing else: whatever is not expected, or is longer than [`MAX_FROM_PAGE_BYTES`], ends the
//! connection.
//!
//! # A frame
//!
//! All numbers are unsigned and little-endian; lengths are in pixels.
//!
//! | offset | bytes | what |
//! | --- | --- | --- |
//! | 0 | 4 | [`MAGIC`]: the letters `FMC` and the format's version, 2 |
//! | 4 | 4 | bytes of compressed pixels that follow the rectangles |
//! | 8 | 8 | number of the frame, from 1, rising; below 2^53 |
//! | 16 | 2 | width of the whole picture, at least 1 |
//! | 18 | 2 | height of the whole picture, at least 1 |
//! | 20 | 2 | left of the extent: the rectangle of the picture outside of which everything is transparent |
//! | 22 | 2 | top of the extent |
//! | 24 | 2 | width of the extent, at least 1 |
//! | 26 | 2 | height of the extent, at least 1; it lies within the picture |
//! | 28 | 2 | number of rectangles R, 1 to [`MAX_RECTS`] |
//! | 30 | 2 | 1 if the rectangles are the whole extent and the page starts afresh, else 0 |
//! | 32 | 8 R | the rectangles: left, top, width, height, 2 bytes each, counted from the extent's upper left corner; disjoint, none empty, all within the extent |
//! | 32 + 8 R | | the pixels of all rectangles, one after the other, as one raw DEFLATE stream (RFC 1951) |
//!
//! Picture and extent are the same from frame to frame, but for those with a 1 at 30. A page needs pixels for the
//! extent only: it shows them at their place in the picture, and nothing around them.
//!
//! A rectangle's pixels are its rows from the top, each from the left, without padding: red, green, blue, alpha, one
//! byte each. Colours are sRGB and straight (not multiplied with alpha), as PNG files and `ImageData` have them; a
//! pixel whose alpha is 0 is 0, 0, 0, 0. They replace what was there.

use serde::{Deserialize, Serialize};

pub use crate::gpu::damage::MAX_RECTS;
use crate::gpu::damage::PxRect;

/// Path of the WebSocket.
pub const SOCKET_PATH: &str = "/canvas";
/// The WebSocket's subprotocol.
pub const SUBPROTOCOL: &str = "fivemark.canvas.v2";
/// Longest binary message, in bytes: what a page that does not read holds up on our side, and what a slow link
/// delivers before the page has to wonder whether it is dead.
pub const MAX_PART_BYTES: usize = 16 * 1024;
/// Longest message of a page, in bytes: room for an access key and no more.
pub const MAX_FROM_PAGE_BYTES: usize = 512;
/// First bytes of a frame.
pub const MAGIC: [u8; 4] = *b"FMC\x02";
/// Bytes before the rectangles.
pub(super) const HEAD_BYTES: usize = 32;
/// Bytes of a rectangle.
const RECT_BYTES: usize = 8;

// The first part holds the head and all rectangles.
const _: () = assert!(HEAD_BYTES + RECT_BYTES * MAX_RECTS <= MAX_PART_BYTES);

/// What a page says.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(tag = "type", rename_all = "snake_case", deny_unknown_fields)]
pub enum FromPage {
    /// The first message.
    Join {
        /// The display's access key.
        #[serde(default)]
        access_key: Option<String>,
    },
    /// A frame is on the page.
    Shown {
        /// Its number.
        frame: u64,
    },
    /// The answer to the same question.
    Alive,
}

/// What a page hears besides frames.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "type", rename_all = "snake_case")]
pub enum ToPage {
    /// Frames will come.
    Welcome,
    /// The page is not let in, or no longer.
    Refused {
        /// For the page.
        code: Refusal,
        /// For people.
        says: String,
    },
    /// Nothing has changed, and the display is still there.
    Alive,
}

/// Why a page is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Refusal {
    /// It came without an access key.
    AccessKeyWanted,
    /// Its access key is another one.
    WrongAccessKey,
    /// There are [`MAX_PAGES`](super::MAX_PAGES) already.
    TooManyPages,
    /// It said something that is not in this format, or not when it is expected.
    NotUnderstood,
}

impl Refusal {
    /// The message that tells it.
    #[must_use]
    pub fn told(self) -> ToPage {
        let says = match self {
            Self::AccessKeyWanted => "This display asks for its access key.".into(),
            Self::WrongAccessKey => {
                "This access key does not open this display. Check it and try again.".into()
            }
            Self::TooManyPages => format!(
                "This display already serves {} pages, and no more. Close one of them; this page comes in by itself.",
                super::MAX_PAGES
            ),
            Self::NotUnderstood => {
                "The display did not understand this page. Load the page again, from the display itself."
                    .into()
            }
        };
        ToPage::Refused { code: self, says }
    }
}

/// What stands before a frame's pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Head<'a> {
    pub number: u64,
    pub size: [u32; 2],
    /// Within the picture.
    pub extent: PxRect,
    pub whole: bool,
    /// Within the picture; all of them in the extent.
    pub rects: &'a [PxRect],
}

impl Head<'_> {
    /// Appends the head and the rectangles; the number of compressed bytes is put in by [`finish`].
    pub fn write(&self, bytes: &mut Vec<u8>) {
        bytes.extend_from_slice(&MAGIC);
        bytes.extend_from_slice(&[0; 4]);
        bytes.extend_from_slice(&self.number.to_le_bytes());
        let [width, height] = self.size.map(short);
        let rects = u16::try_from(self.rects.len()).unwrap_or(u16::MAX);
        let mut put = |value: u16| bytes.extend_from_slice(&value.to_le_bytes());
        [width, height].into_iter().for_each(&mut put);
        sides(self.extent).into_iter().for_each(&mut put);
        [rects, u16::from(self.whole)].into_iter().for_each(&mut put);
        let [left, top] = [self.extent.left, self.extent.top];
        for rect in self.rects {
            let rect = PxRect {
                left: rect.left - left,
                top: rect.top - top,
                right: rect.right - left,
                bottom: rect.bottom - top,
            };
            sides(rect).into_iter().for_each(&mut put);
        }
    }
}

/// Puts the number of compressed bytes into a complete frame of this many rectangles.
pub(super) fn finish(frame: &mut [u8], rects: usize) {
    let compressed = frame.len().saturating_sub(HEAD_BYTES + RECT_BYTES * rects);
    let length = u32::try_from(compressed).unwrap_or(u32::MAX);
    frame[MAGIC.len()..MAGIC.len() + 4].copy_from_slice(&length.to_le_bytes());
}

/// Left, top, width, height.
fn sides(rect: PxRect) -> [u16; 4] {
    [rect.left, rect.top, rect.right - rect.left, rect.bottom - rect.top].map(short)
}

/// Sides of targets are below 2^15.
fn short(side: impl TryInto<u16>) -> u16 {
    side.try_into().unwrap_or(u16::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_has_its_fields_where_the_table_says() {
        let rects = [PxRect { left: 22, top: 103, right: 280, bottom: 105 }];
        let extent = PxRect { left: 20, top: 100, right: 320, bottom: 140 };
        let mut frame = Vec::new();
        Head { number: 0x0102_0304_0506, size: [640, 360], extent, whole: true, rects: &rects }
            .write(&mut frame);
        frame.extend_from_slice(&[9; 700]);
        finish(&mut frame, 1);
        assert_eq!(frame[..8], [b'F', b'M', b'C', 2, 0xBC, 2, 0, 0]);
        assert_eq!(frame[8..16], [6, 5, 4, 3, 2, 1, 0, 0]);
        assert_eq!(frame[16..28], [0x80, 2, 0x68, 1, 20, 0, 100, 0, 0x2C, 1, 40, 0]);
        assert_eq!(frame[28..32], [1, 0, 1, 0]);
        assert_eq!(frame[32..40], [2, 0, 3, 0, 2, 1, 2, 0]);
    }

    #[test]
    fn a_page_says_three_things_and_nothing_else() {
        let read = |text| serde_json::from_str::<FromPage>(text).ok();
        assert_eq!(read(r#"{"type":"join"}"#), Some(FromPage::Join { access_key: None }));
        let join = FromPage::Join { access_key: Some("k".into()) };
        assert_eq!(read(r#"{"type":"join","access_key":"k"}"#), Some(join));
        assert_eq!(read(r#"{"type":"shown","frame":7}"#), Some(FromPage::Shown { frame: 7 }));
        assert_eq!(read(r#"{"type":"alive"}"#), Some(FromPage::Alive));
        for text in
            ["", "{}", "[]", r#"{"type":"shown"}"#, r#"{"type":"shown","frame":-1}"#, r#"{"type":"tally"}"#]
        {
            assert_eq!(read(text), None, "{text}");
        }
        let told = serde_json::to_string(&Refusal::WrongAccessKey.told()).expect("JSON");
        assert!(told.starts_with(r#"{"type":"refused","code":"wrong_access_key","says":"#), "{told}");
    }
}
