//! Where lines for people go: the standard output, or the standard error where raw frames take the other.

use std::fmt;

/// Says lines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Voice {
    /// On the standard output.
    #[default]
    Output,
    /// On the standard error.
    Errors,
}

impl Voice {
    /// Says a line.
    pub fn say(self, line: impl fmt::Display) {
        match self {
            Self::Output => println!("{line}"),
            Self::Errors => eprintln!("{line}"),
        }
    }
}
