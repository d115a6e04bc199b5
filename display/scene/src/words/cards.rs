//! What cards say between heats.

use super::{BETWEEN, Message, Words, isolated};
use crate::clock;

impl Words {
    /// Texts from outside beside each other, those without a word left out.
    pub(crate) fn joined(&self, out: &mut String, texts: impl IntoIterator<Item = impl AsRef<str>>) {
        for text in texts {
            let text = text.as_ref();
            if text.is_empty() {
                continue;
            }
            if !out.is_empty() {
                out.push_str(BETWEEN);
            }
            isolated(out, text);
        }
    }

    /// `starts in 12:34`, for a heat that is to come.
    pub(crate) fn starts_in_time(&self, out: &mut String, seconds: i64) {
        self.with_text(|time| {
            clock::write_seconds(time, seconds.saturating_mul(10));
            self.write(out, Message("starts-in-time"), &[("time", (&**time).into())]);
        });
    }

    /// `after 2 of 3 heats`.
    pub(crate) fn after_heats(&self, out: &mut String, done: u16, all: u16) {
        let args = [("done", u32::from(done).into()), ("all", u32::from(all).into())];
        self.write(out, Message("after-heats"), &args);
    }

    /// `page 2 of 5`.
    pub(crate) fn page_of(&self, out: &mut String, page: usize, pages: usize) {
        let number = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
        let args = [("page", number(page).into()), ("pages", number(pages).into())];
        self.write(out, Message("page-of"), &args);
    }
}
