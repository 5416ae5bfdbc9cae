//! Finds the demo sessions that come with the program: folders with a `card` in them, in a folder
//! `demo-sessions` beside the working directory or the program.

use std::path::{Path, PathBuf};

use serde::Deserialize;

/// A demo session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Demo {
    /// Its name for people.
    pub(crate) name: String,
    /// Its card.
    pub(crate) card: PathBuf,
    /// Key of the plan it was made for, as the truth beside the card says it.
    pub(crate) plan: Option<String>,
}

/// What is read of the truth beside a card.
#[derive(Deserialize)]
struct Truth {
    plan: String,
}

fn plan_of(folder: &Path) -> Option<String> {
    let text = std::fs::read_to_string(folder.join("expected.json")).ok()?;
    Some(serde_json::from_str::<Truth>(&text).ok()?.plan)
}

/// The demo sessions there are, by name.
pub(crate) fn find() -> Vec<Demo> {
    let program = std::env::current_exe().ok().and_then(|p| Some(p.parent()?.to_owned()));
    let shared = program.as_ref().and_then(|p| Some(p.parent()?.join("share/endleaf")));
    let places = [std::env::current_dir().ok(), program, shared];
    places
        .into_iter()
        .flatten()
        .map(|p| within(&p.join("demo-sessions")))
        .find(|d| !d.is_empty())
        .unwrap_or_default()
}

/// The demo sessions of one folder.
fn within(folder: &Path) -> Vec<Demo> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let mut demos: Vec<Demo> = entries
        .filter_map(|entry| {
            let card = entry.path().join("card");
            let name = entry.file_name().to_str()?.replace('-', " ");
            let mut letters = name.chars();
            let name = letters.next()?.to_uppercase().chain(letters).collect();
            card.is_dir().then(|| Demo { name, card, plan: plan_of(&entry.path()) })
        })
        .collect();
    demos.sort_by(|a, b| b.name.cmp(&a.name));
    demos
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_folders_with_a_card_count() {
        let home = tempfile::tempdir().unwrap();
        for path in ["generator/src", "salt-marsh-bank/card", "carded-beetles/card"] {
            std::fs::create_dir_all(home.path().join(path)).unwrap();
        }
        let truth = "{\"about\": \"invented\", \"plan\": \"beetle\", \"frames\": []}";
        std::fs::write(home.path().join("carded-beetles/expected.json"), truth).unwrap();
        let plans: Vec<Option<String>> = within(home.path()).into_iter().map(|d| d.plan).collect();
        assert_eq!(plans, [None, Some("beetle".to_owned())]);
        let names: Vec<String> = within(home.path()).into_iter().map(|d| d.name).collect();
        assert_eq!(names, ["Salt marsh bank", "Carded beetles"]);
        assert_eq!(within(&home.path().join("nowhere")), []);
    }
}
