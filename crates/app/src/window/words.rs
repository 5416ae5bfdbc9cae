//! The words of the window, all in one place: `assets/words/en.ftl`, in Fluent.
//!
//! `tell!("count-frames", n = 12)` gives a message with its arguments filled in; `tell!("command-undo.help")` an
//! attribute of one. Numbers are given as such, so that they can choose between one and many; those with decimals as text.
//! Tests hold that every message asked for in the code is there, with the arguments it needs, that none is left over, and
//! that the code has no words of its own. A language more is a file more and a line in [`bundle`]. What is right-to-left
//! is neither isolated nor shaped: egui does not lay such text out.

use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

type Bundle = FluentBundle<FluentResource>;

static BUNDLE: LazyLock<Bundle> = LazyLock::new(bundle);

fn bundle() -> Bundle {
    let english = include_str!("../../../../assets/words/en.ftl");
    let mut bundle =
        Bundle::new_concurrent(vec!["en".parse().expect("en is a language after Unicode UTS 35")]);
    bundle.set_use_isolating(false);
    let messages = FluentResource::try_new(english.to_owned()).expect("the words built in are tested");
    bundle.add_resource(messages).expect("the words built in are tested");
    bundle
}

/// What can stand in a message.
pub(crate) trait Word {
    /// As Fluent takes it: numbers choose between one and many.
    fn value(&self) -> FluentValue<'_>;
}

impl Word for str {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::from(self)
    }
}

impl Word for String {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::from(self.as_str())
    }
}

impl<T: Word + ?Sized> Word for &T {
    fn value(&self) -> FluentValue<'_> {
        (**self).value()
    }
}

macro_rules! numbers {
    ($($number:ty),*) => {
        $(impl Word for $number {
            fn value(&self) -> FluentValue<'_> {
                FluentValue::from(*self)
            }
        })*
    };
}
numbers!(usize, u64, u32, u16, i64);

/// A message by its name; `name.attribute` for an attribute of it. Where there is none, its name, so that the window
/// goes on.
pub(crate) fn message(name: &str, arguments: &FluentArgs<'_>) -> String {
    let (id, attribute) = name.split_once('.').map_or((name, None), |(id, at)| (id, Some(at)));
    let pattern = BUNDLE.get_message(id).and_then(|m| match attribute {
        Some(attribute) => m.get_attribute(attribute).map(|a| a.value()),
        None => m.value(),
    });
    let mut faults = Vec::new();
    pattern.map_or(name.to_owned(), |p| BUNDLE.format_pattern(p, Some(arguments), &mut faults).into_owned())
}

/// Words for people: a message by its name, with its arguments.
macro_rules! tell {
    ($name:expr $(, $key:ident = $value:expr)* $(,)?) => {{
        #[allow(unused_mut, reason = "many messages have no arguments")]
        let mut arguments = fluent_bundle::FluentArgs::new();
        $(
            let value = $value;
            arguments.set(stringify!($key), $crate::window::words::Word::value(&value));
        )*
        $crate::window::words::message($name, &arguments)
    }};
}
pub(crate) use tell;

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};
    use std::path::Path;

    use crate::window::command::COMMANDS;

    #[test]
    fn numbers_choose_their_form_and_names_stand_as_they_are() {
        assert_eq!(tell!("count-frames", n = 1_usize), "1 frame");
        assert_eq!(tell!("count-frames", n = 1234_usize), "1234 frames");
        assert_eq!(tell!("command-undo"), "Undo");
        assert_eq!(tell!("command-undo.help"), "Takes the last change back.");
        assert_eq!(tell!("keys-taken", key = "F2", command = "Undo"), "F2 is the key of “Undo”.");
        assert_eq!(tell!("not-there"), "not-there");
    }

    /// The names of arguments of each message that the code asks for by a literal.
    fn asked_for(folder: &Path, found: &mut BTreeMap<String, BTreeSet<String>>) {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                asked_for(&path, found);
            } else if !path.ends_with("words.rs") {
                let code = std::fs::read_to_string(&path).unwrap();
                for call in code.split("tell!(").skip(1) {
                    let call = call.trim_start();
                    let Some((name, rest)) = call.strip_prefix('"').and_then(|c| c.split_once('"')) else {
                        continue;
                    };
                    found.entry(name.to_owned()).or_default().extend(argument_names(rest));
                }
            }
        }
    }

    /// `a`, `b` of `, a = f(x, y), b = z) …`.
    fn argument_names(rest: &str) -> BTreeSet<String> {
        let (mut depth, mut names, mut word, mut begins, mut text) =
            (0, BTreeSet::new(), String::new(), false, false);
        for c in rest.chars() {
            if c == '"' {
                text = !text;
            }
            match c {
                _ if text => begins = false,
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' if depth == 0 => break,
                ')' | ']' | '}' => depth -= 1,
                ',' if depth == 0 => (begins, word) = (true, String::new()),
                '=' if depth == 0 && begins => {
                    names.insert(word.trim().to_owned());
                    begins = false;
                }
                c if begins => word.push(c),
                _ => {}
            }
        }
        names
    }

    /// The names of arguments of each message of the file, attributes included.
    fn written() -> BTreeMap<String, BTreeSet<String>> {
        let text = include_str!("../../../../assets/words/en.ftl");
        let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let (mut message, mut name) = (String::new(), String::new());
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            if let Some((id, _)) = line.split_once(" =").filter(|_| !line.starts_with(' ')) {
                (message, name) = (id.to_owned(), id.to_owned());
            } else if let Some((id, _)) = line.trim().strip_prefix('.').and_then(|l| l.split_once(" =")) {
                name = format!("{message}.{id}");
            }
            if !line.trim().is_empty() {
                let arguments = line.split('$').skip(1);
                let word =
                    |s: &str| s.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
                found.entry(name.clone()).or_default().extend(arguments.map(word));
            }
        }
        found
    }

    #[test]
    fn every_message_asked_for_is_written_with_its_arguments_and_none_is_left_over() {
        let mut asked = BTreeMap::new();
        asked_for(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/window"), &mut asked);
        let written = written();
        for (name, arguments) in &asked {
            assert_eq!(written.get(name), Some(arguments), "{name}");
        }
        // The table of commands asks by the names of its commands and groups.
        let by_name = |name: &str| name.starts_with("command-") || name.starts_with("group-");
        let left: Vec<&String> = written.keys().filter(|n| !asked.contains_key(*n) && !by_name(n)).collect();
        assert_eq!(left, Vec::<&String>::new());
        let commands = written.keys().filter(|n| n.starts_with("command-")).count();
        assert_eq!(commands, 2 * COMMANDS.len(), "words and help for each");
    }

    /// Where literals are names of things that nobody reads.
    const NOT_SHOWN: [&str; 8] = [
        "Id::unique",
        "id_salt",
        "expect",
        "reason =",
        "tell!",
        // The names of work, of panels and of textures.
        "Job::start",
        "panel(ui,",
        "load_texture(format!",
    ];

    /// What else is no word of the window's own.
    const KEPT: [&str; 11] = [
        // The program's name.
        "Endleaf",
        // What is engraved on keys, and stands so in the settings.
        "Ctrl ",
        "Shift ",
        "Ctrl+",
        "Shift+",
        "Esc",
        "Enter",
        "Shift Enter",
        "Ctrl R",
        // How sentences of grouping's own begin and end.
        "Taken for",
        ", which is not known yet",
    ];

    /// The literals of code that look like words for people, tests left out.
    fn shown_literals(code: &str) -> Vec<String> {
        let code: Vec<char> = code.split("#[cfg(test)]").next().unwrap_or_default().chars().collect();
        let (mut found, mut before, mut at) = (Vec::new(), String::new(), 0);
        while at < code.len() {
            match (code[at], code.get(at + 1), code.get(at + 2)) {
                ('/', Some('/'), _) => at += code[at..].iter().take_while(|c| **c != '\n').count(),
                ('\'', Some('\\'), _) => at += 4,
                ('\'', _, Some('\'')) => at += 3,
                ('"', _, _) => {
                    let mut literal = String::new();
                    at += 1;
                    while code[at] != '"' {
                        at += usize::from(code[at] == '\\');
                        literal.push(code[at]);
                        at += 1;
                    }
                    at += 1;
                    let place = before.trim_end_matches(|c: char| c == '(' || c.is_whitespace());
                    if is_for_people(&literal) && !NOT_SHOWN.iter().any(|name| place.ends_with(name)) {
                        found.push(literal);
                    }
                    before.clear();
                }
                (c, _, _) => {
                    before.push(c);
                    at += 1;
                }
            }
        }
        found.retain(|literal| !KEPT.contains(&literal.as_str()));
        found
    }

    /// Whether text begins with a capital word, or has a small word beside another or beside an argument.
    fn is_for_people(literal: &str) -> bool {
        let capital = literal.starts_with(char::is_uppercase)
            && literal.chars().skip(1).take(2).filter(|c| c.is_lowercase()).count() == 2;
        let parts: Vec<&str> = literal.split_whitespace().collect();
        let bare = |part: &str| part.trim_matches(|c: char| c.is_ascii_punctuation()).to_owned();
        let small = |part: &str| {
            let bare = bare(part);
            !part.contains('{') && !bare.is_empty() && bare.chars().all(char::is_lowercase)
        };
        let beside = |a: &str, b: &str| small(a) && (small(b) || b.starts_with('{'));
        capital || parts.windows(2).any(|pair| beside(pair[0], pair[1]) || beside(pair[1], pair[0]))
    }

    #[test]
    fn words_are_told_from_names() {
        let shown = |code: &str| shown_literals(code);
        assert_eq!(shown("line(ui, \"Set aside\")"), ["Set aside"]);
        assert_eq!(shown("let x = ('\"', '\\'', \"not known yet\");"), ["not known yet"]);
        assert_eq!(shown("format!(\"{n} since\")"), ["{n} since"]);
        assert_eq!(shown("Button::new(\n    \"Close\", &tell!(\"close it now\"))"), ["Close"]);
        let none =
            "Id::unique((\"line up\", 1)); f(\"row\"); // \"line up\"\n.expect(\"it is there\") \"{a}: {b}\"";
        assert_eq!(shown(none), Vec::<String>::new());
        assert_eq!(shown("fn f() {} #[cfg(test)] mod tests { \"line up\" }"), Vec::<String>::new());
    }

    fn shown_in(folder: &Path, found: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                shown_in(&path, found);
            } else {
                let code = std::fs::read_to_string(&path).unwrap();
                found.extend(shown_literals(&code).iter().map(|l| format!("{}: {l}", path.display())));
            }
        }
    }

    #[test]
    fn no_word_for_people_is_left_in_the_code() {
        let mut found = Vec::new();
        shown_in(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/window"), &mut found);
        assert_eq!(found, Vec::<String>::new());
    }
}
