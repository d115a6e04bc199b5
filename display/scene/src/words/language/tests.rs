use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use fluent_syntax::ast;

use super::*;

/// Names of messages, each with the arguments that it uses.
fn messages(source: &str) -> BTreeMap<String, BTreeSet<String>> {
    let resource = FluentResource::try_new(source.to_owned()).expect("every line can be read");
    let mut found = BTreeMap::new();
    for entry in resource.entries() {
        match entry {
            ast::Entry::Message(message) => {
                let mut arguments = BTreeSet::new();
                arguments_of(message.value.as_ref().expect("a message says something"), &mut arguments);
                let before = found.insert(message.id.name.to_owned(), arguments);
                assert!(before.is_none(), "{} stands there twice", message.id.name);
            }
            ast::Entry::Comment(_) | ast::Entry::GroupComment(_) | ast::Entry::ResourceComment(_) => {}
            other => panic!("{other:?}"),
        }
    }
    found
}

fn arguments_of(pattern: &ast::Pattern<&str>, found: &mut BTreeSet<String>) {
    for element in &pattern.elements {
        match element {
            ast::PatternElement::TextElement { .. } => {}
            ast::PatternElement::Placeable { expression: ast::Expression::Inline(inline) } => {
                argument_of(inline, found);
            }
            ast::PatternElement::Placeable { expression: ast::Expression::Select { selector, variants } } => {
                argument_of(selector, found);
                variants.iter().for_each(|variant| arguments_of(&variant.value, found));
            }
        }
    }
}

fn argument_of(inline: &ast::InlineExpression<&str>, found: &mut BTreeSet<String>) {
    match inline {
        ast::InlineExpression::VariableReference { id } => {
            found.insert(id.name.to_owned());
        }
        other => panic!("only arguments are filled in: {other:?}"),
    }
}

#[test]
fn every_language_has_every_message_with_the_same_arguments_and_no_other() {
    let english = messages(LANGUAGES[0].1);
    for (code, source) in LANGUAGES {
        let these = messages(source);
        for (name, arguments) in &english {
            assert_eq!(these.get(name), Some(arguments), "`{name}` in {code}.ftl");
        }
        for name in these.keys() {
            assert!(english.contains_key(name), "`{name}` in {code}.ftl is not in English");
        }
    }
}

/// What the code asks for is there, and what is there is asked for.
#[test]
fn every_message_is_written_by_some_screen_and_every_one_that_is_written_is_there() {
    let mut asked = BTreeSet::from(["decimal-mark".to_owned()]);
    read_asked(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut asked);
    let there: BTreeSet<String> = messages(LANGUAGES[0].1).into_keys().collect();
    assert_eq!(asked.difference(&there).collect::<Vec<_>>(), [""; 0].iter().collect::<Vec<_>>(), "missing");
    assert_eq!(there.difference(&asked).collect::<Vec<_>>(), [""; 0].iter().collect::<Vec<_>>(), "unused");
}

/// Every text in a `Message(…)` of the source, in either branch of an `if`.
fn read_asked(folder: &Path, asked: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            read_asked(&path, asked);
        } else if path.extension().is_some_and(|end| end == "rs") && !path.ends_with("language/tests.rs") {
            let source = std::fs::read_to_string(&path).unwrap();
            for piece in source.split("Message(").skip(1) {
                let inside = piece.split(')').next().unwrap();
                asked.extend(inside.split('"').skip(1).step_by(2).map(str::to_owned));
            }
        }
    }
}

/// The themes' fonts are checked for these characters when they are loaded.
#[test]
fn every_character_of_every_message_is_looked_for_in_fonts() {
    for (code, source) in LANGUAGES {
        let lines = source.lines().filter(|line| !line.trim_start().starts_with('#'));
        for character in lines.flat_map(|line| line.chars()).filter(|c| !"{}$*[]_=>\"".contains(*c)) {
            assert!(fivemark_themes::WRITTEN.contains(character), "{character:?} in {code}.ftl");
        }
    }
    for character in [super::super::MINUS, super::super::ELLIPSIS, '·'] {
        assert!(fivemark_themes::WRITTEN.contains(character), "{character:?}");
    }
}

#[test]
fn a_language_is_found_by_its_code_and_an_unknown_one_names_the_known() {
    for (code, found) in [("en", "en"), ("es", "es"), ("de-AT", "de"), ("ES_mx", "es")] {
        assert_eq!(Words::of(code).unwrap().code(), found);
    }
    for wrong in ["", "fr", "english", "../en"] {
        let error = Words::of(wrong).unwrap_err().to_string();
        assert_eq!(error, format!("there are no words in the language `{wrong}`; known are en, es, de"));
    }
}

#[test]
fn what_is_kept_is_the_same_as_what_is_made_and_is_bounded() {
    let words = Words::of("es").unwrap();
    let mut first = String::new();
    words.write(&mut first, Message("to-go"), &[("left", 4i64.into())]);
    let mut again = String::new();
    words.write(&mut again, Message("to-go"), &[("left", 4i64.into())]);
    assert_eq!((first.as_str(), again.as_str()), ("faltan 4", "faltan 4"));
    for left in 0..5_000i64 {
        let mut text = String::new();
        words.write(&mut text, Message("to-go"), &[("left", left.into())]);
        let verb = if left == 1 { "falta" } else { "faltan" };
        assert_eq!(text, format!("{verb} {left}"));
        assert!(words.kept.borrow().len() <= MAX_KEPT);
    }
}
