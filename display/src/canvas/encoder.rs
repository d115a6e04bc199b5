//! The encoder's thread: the one place that knows the picture. Takes in what comes out of the card, and answers
//! pages that ask for what they lack.

use std::sync::mpsc::Receiver;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;

use tokio::sync::oneshot;

use super::figures::Samples;
use super::picture::{At, Frame, Picture};
use crate::excerpt::Excerpt;
use crate::readback::Captured;

/// Everything that can happen to the encoder. As many wait as the ring has buffers and there are pages.
pub(super) enum Event {
    /// Pixels have come out of the card.
    Captured(Arc<Captured>),
    /// A page wants what it lacks.
    Wanted(Wanted),
    /// The last page has left, and nothing will be copied until another comes.
    Unwatched,
    /// The program ends.
    Stop,
}

/// A page's question. It is answered once there is something newer.
pub(super) struct Wanted {
    /// The frame that the page is at.
    pub has: Option<At>,
    pub reply: oneshot::Sender<Frame>,
}

/// Shows pages this of the picture, until the program ends.
pub(super) fn encode(excerpt: Excerpt, events: &Receiver<Event>, samples: &Mutex<Samples>) {
    let mut encoder =
        Encoder { excerpt, picture: None, last: 0, waiting: Vec::new(), scratch: Vec::new(), samples };
    while let Ok(event) = events.recv() {
        // All that has come is taken in first, so that pages are answered with the latest.
        for event in std::iter::once(event).chain(events.try_iter()) {
            match event {
                Event::Captured(captured) => encoder.take(&captured),
                Event::Wanted(wanted) => encoder.waiting.push(wanted),
                Event::Unwatched => encoder.picture = None,
                Event::Stop => return,
            }
        }
        encoder.answer();
    }
}

struct Encoder<'a> {
    excerpt: Excerpt,
    picture: Option<Picture>,
    /// Number of the latest frame, of this picture or one before.
    last: u64,
    waiting: Vec<Wanted>,
    scratch: Vec<u8>,
    samples: &'a Mutex<Samples>,
}

impl Encoder<'_> {
    fn take(&mut self, captured: &Captured) {
        let cutout = self.excerpt.of(captured.size);
        let known = self.picture.take().filter(|picture| picture.size() == cutout.size());
        let picture = self.picture.insert(known.unwrap_or_else(|| Picture::new(cutout.size(), self.last)));
        picture.set_extent(cutout.extent(captured.extent));
        let scratch = &mut self.scratch;
        let is_new = picture.take(|each| {
            captured.each(|rect, rows, row_bytes| cutout.cut(rect, rows, row_bytes, scratch, each));
        });
        if is_new {
            self.last = picture.number();
            self.samples.lock().unwrap_or_else(PoisonError::into_inner).frame();
        }
    }

    fn answer(&mut self) {
        let Some(picture) = &mut self.picture else { return };
        let samples = self.samples;
        self.waiting.retain_mut(|wanted| {
            if wanted.reply.is_closed() {
                return false;
            }
            let began = Instant::now();
            let note = |encoded| {
                samples.lock().unwrap_or_else(PoisonError::into_inner).encoding(encoded, began.elapsed());
            };
            match picture.frame_after(wanted.has.as_ref(), note) {
                Ok(None) => true,
                Ok(Some(frame)) => {
                    let (unused, _) = oneshot::channel();
                    // A page that has just left needs no answer.
                    let _ = std::mem::replace(&mut wanted.reply, unused).send(frame);
                    false
                }
                Err(error) => {
                    // Writing into memory does not fail; a page that is told nothing would be dropped as silent.
                    tracing::error!(%error, "a frame could not be encoded");
                    false
                }
            }
        });
    }
}
