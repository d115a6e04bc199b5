//! Faults of a competition file: where each stands and what to do about it. Collects them, so that one look at
//! the file is enough; leaves finding them to the readers.

use std::fmt;

/// The most faults that are kept: a file with more is not worked through by hand anyway.
pub const MAX_FAULTS: usize = 200;

/// One fault, at its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Name of the file as given.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Character within the line, from 1.
    pub column: usize,
    /// What is wrong and what to do.
    pub says: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: {}", self.file, self.line, self.column, self.says)
    }
}

/// Collects faults by the byte at which they stand.
#[derive(Debug, Default)]
pub(super) struct Faults {
    found: Vec<(usize, String)>,
    left_out: usize,
}

impl Faults {
    /// Notes a fault at a byte of the file.
    pub(super) fn add(&mut self, at: usize, says: impl Into<String>) {
        if self.found.len() < MAX_FAULTS {
            self.found.push((at, says.into()));
        } else {
            self.left_out += 1;
        }
    }

    /// Whether nothing was found.
    pub(super) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// The faults in the order of the file.
    pub(super) fn placed(mut self, file: &str, text: &str) -> Vec<Fault> {
        self.found.sort_by_key(|(at, _)| *at);
        let mut lines = Lines::new(text);
        let mut faults: Vec<Fault> = self
            .found
            .into_iter()
            .map(|(at, says)| {
                let (line, column) = lines.place(at);
                Fault { file: file.to_owned(), line, column, says }
            })
            .collect();
        if let (Some(last), true) = (faults.last().cloned(), self.left_out > 0) {
            let says = format!("{} more faults are not listed; mend these first", self.left_out);
            faults.push(Fault { says, ..last });
        }
        faults
    }
}

/// Walks a text once, from place to later place.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: usize,
    column: usize,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        Self { text, at: 0, line: 1, column: 1 }
    }

    /// Line and column of a byte that is not before the last one asked for.
    fn place(&mut self, at: usize) -> (usize, usize) {
        let mut end = at.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        for character in self.text.get(self.at..end).unwrap_or_default().chars() {
            if character == '\n' {
                self.line += 1;
                self.column = 1;
            } else {
                self.column += 1;
            }
        }
        self.at = self.at.max(end);
        (self.line, self.column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_is_named_at_its_line_and_character() {
        let text = "a = 1\nné = 2\nlast";
        let mut faults = Faults::default();
        faults.add(text.find("last").unwrap(), "third");
        faults.add(text.find("= 2").unwrap(), "second");
        faults.add(usize::MAX, "past the end");
        let placed = faults.placed("x.toml", text);
        let shown: Vec<String> = placed.iter().map(ToString::to_string).collect();
        assert_eq!(shown, ["x.toml:2:4: second", "x.toml:3:1: third", "x.toml:3:5: past the end"]);
    }

    #[test]
    fn more_faults_than_fit_are_counted() {
        let mut faults = Faults::default();
        for at in 0..MAX_FAULTS + 7 {
            faults.add(at, "wrong");
        }
        let placed = faults.placed("x.toml", "");
        assert_eq!(placed.len(), MAX_FAULTS + 1);
        assert!(placed.last().unwrap().says.starts_with("7 more faults"));
    }
}
