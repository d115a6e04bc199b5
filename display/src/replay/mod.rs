//! A heat of a journal shown again, from the messages that `fivemark-feed retell` writes.

mod film;

pub use film::{Film, FilmError};
