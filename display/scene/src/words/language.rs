//! One language: its messages, read from a Fluent file that is inside the program, and the texts that were made of
//! them lately. What is said when is left to the other files here.

use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
use fluent_syntax::ast;
use unic_langid::LanguageIdentifier;

/// Code and messages of each language; the first one stands in where another lacks a message.
pub(crate) const LANGUAGES: [(&str, &str); 3] = [
    ("en", include_str!("../../messages/en.ftl")),
    ("es", include_str!("../../messages/es.ftl")),
    ("de", include_str!("../../messages/de.ftl")),
];

/// Texts kept before they are forgotten: a board has some dozens at a time, and a heat some hundreds.
const MAX_KEPT: usize = 1024;

/// The name of a message, as its file has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Message(pub(crate) &'static str);

/// What fills a place in a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Arg<'a> {
    /// A whole number; the language's plurals go by it.
    Number(i64),
    /// Anything else, written as it is.
    Text(&'a str),
}

impl From<i64> for Arg<'_> {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl From<u32> for Arg<'_> {
    fn from(number: u32) -> Self {
        Self::Number(number.into())
    }
}

impl From<u8> for Arg<'_> {
    fn from(number: u8) -> Self {
        Self::Number(number.into())
    }
}

impl<'a> From<&'a str> for Arg<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

/// No messages in this language.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there are no words in the language `{code}`; known are {known}")]
pub struct UnknownLanguage {
    /// What was asked for.
    pub code: String,
    /// Codes of the languages that there are.
    pub known: String,
}

/// Every word that screens write, in one language.
pub struct Words {
    code: &'static str,
    bundle: FluentBundle<FluentResource>,
    /// Messages without arguments.
    plain: HashMap<String, String>,
    decimal_mark: char,
    /// Messages with arguments, by a hash of both.
    kept: RefCell<HashMap<u64, Kept>>,
    /// A text to write arguments in.
    spare: RefCell<String>,
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Words").field("code", &self.code).finish_non_exhaustive()
    }
}

impl Words {
    /// The words of a language by its code, such as `de`; a region behind it (`de-AT`) makes no difference.
    ///
    /// # Errors
    /// There are no messages in this language.
    pub fn of(code: &str) -> Result<Words, UnknownLanguage> {
        let language = code.split(['-', '_']).next().unwrap_or("").to_ascii_lowercase();
        match LANGUAGES.iter().find(|(known, _)| *known == language) {
            Some((code, messages)) => Ok(Words::read(code, messages)),
            None => {
                let known = Words::codes().collect::<Vec<_>>().join(", ");
                Err(UnknownLanguage { code: code.chars().take(40).collect(), known })
            }
        }
    }

    /// The words in English.
    #[must_use]
    pub fn english() -> Words {
        let (code, messages) = LANGUAGES[0];
        Words::read(code, messages)
    }

    /// Codes of all languages that there are.
    pub fn codes() -> impl Iterator<Item = &'static str> {
        LANGUAGES.iter().map(|(code, _)| *code)
    }

    /// The language's code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        self.code
    }

    /// The mark between whole numbers and decimals.
    pub(crate) fn decimal_mark(&self) -> char {
        self.decimal_mark
    }

    /// A message without arguments.
    pub(crate) fn get(&self, message: Message) -> &str {
        self.plain.get(message.0).map_or(message.0, String::as_str)
    }

    /// Adds a message with its arguments to `out`. Made only if it is not kept from before.
    pub(crate) fn write(&self, out: &mut String, message: Message, args: &[(&'static str, Arg<'_>)]) {
        let mut hasher = DefaultHasher::new();
        (message.0, args).hash(&mut hasher);
        let hash = hasher.finish();
        let mut kept = self.kept.borrow_mut();
        if let Some(kept) = kept.get(&hash).filter(|kept| kept.is_of(message, args)) {
            out.push_str(&kept.text);
            return;
        }
        if kept.len() >= MAX_KEPT {
            kept.clear();
        }
        let text = self.make(message, args);
        out.push_str(&text);
        kept.insert(hash, Kept::new(message, args, text));
    }

    /// Lends an empty text to write an argument in, kept from call to call.
    pub(crate) fn with_text(&self, write: impl FnOnce(&mut String)) {
        let mut text = self.spare.take();
        text.clear();
        write(&mut text);
        self.spare.replace(text);
    }

    fn make(&self, message: Message, args: &[(&'static str, Arg<'_>)]) -> String {
        let mut values = FluentArgs::with_capacity(args.len());
        for (name, arg) in args {
            let value = match arg {
                Arg::Number(number) => FluentValue::from(*number),
                Arg::Text(text) => FluentValue::from(*text),
            };
            values.set(*name, value);
        }
        let (mut text, mut errors) = (String::new(), Vec::new());
        if let Some(pattern) = self.bundle.get_message(message.0).and_then(|message| message.value()) {
            // Writing to a text never fails.
            let _ = self.bundle.write_pattern(&mut text, pattern, Some(&values), &mut errors);
        }
        debug_assert!(!text.is_empty() && errors.is_empty(), "{message:?} in {}: {errors:?}", self.code);
        text
    }

    fn read(code: &'static str, messages: &'static str) -> Words {
        let locale = code.parse::<LanguageIdentifier>().unwrap_or_default();
        let mut bundle = FluentBundle::new(vec![locale]);
        // Names from outside are isolated before they come here; marks around each number would only cost.
        bundle.set_use_isolating(false);
        let mut plain = HashMap::new();
        for source in [LANGUAGES[0].1, messages] {
            // A line that can't be read leaves the others; a test finds it.
            let resource =
                FluentResource::try_new(source.to_owned()).unwrap_or_else(|(resource, _)| resource);
            for entry in resource.entries() {
                if let ast::Entry::Message(ast::Message { id, value: Some(pattern), .. }) = entry
                    && let [ast::PatternElement::TextElement { value }] = pattern.elements.as_slice()
                {
                    plain.insert(id.name.to_owned(), (*value).to_owned());
                }
            }
            bundle.add_resource_overriding(resource);
        }
        let decimal_mark = plain.get("decimal-mark").and_then(|mark| mark.chars().next()).unwrap_or('.');
        Words { code, bundle, plain, decimal_mark, kept: RefCell::default(), spare: RefCell::default() }
    }
}

/// A text with what it was made of.
struct Kept {
    message: Message,
    args: Vec<(&'static str, OwnArg)>,
    text: String,
}

enum OwnArg {
    Number(i64),
    Text(Box<str>),
}

impl Kept {
    fn new(message: Message, args: &[(&'static str, Arg<'_>)], text: String) -> Kept {
        let own = |arg: &Arg<'_>| match arg {
            Arg::Number(number) => OwnArg::Number(*number),
            Arg::Text(text) => OwnArg::Text((*text).into()),
        };
        Kept { message, args: args.iter().map(|(name, arg)| (*name, own(arg))).collect(), text }
    }

    fn is_of(&self, message: Message, args: &[(&'static str, Arg<'_>)]) -> bool {
        let same = |own: &OwnArg, arg: &Arg<'_>| match (own, arg) {
            (OwnArg::Number(own), Arg::Number(number)) => own == number,
            (OwnArg::Text(own), Arg::Text(text)) => **own == **text,
            _ => false,
        };
        self.message == message
            && self.args.len() == args.len()
            && self.args.iter().zip(args).all(|(own, arg)| own.0 == arg.0 && same(&own.1, &arg.1))
    }
}

#[cfg(test)]
mod tests;
