//! The round of views asked of each specimen, as data.

use serde::{Deserialize, Serialize};

/// Names a view within its plan, such as `head-top`; stands in file names once confirmed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ViewKey(pub String);

impl ViewKey {
    /// The key as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<&str> for ViewKey {
    fn from(key: &str) -> Self {
        Self(key.to_owned())
    }
}

impl std::fmt::Display for ViewKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// One view of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// Short name in lower case for files: letters, digits and dashes.
    pub key: ViewKey,
    /// Name for people.
    pub name: String,
    /// The single letter that labels a frame with this view, a to z.
    pub letter: char,
    /// Whether a specimen without it is incomplete.
    pub required: bool,
    /// Audiovisual Core `subjectPart`, as controlled value string.
    pub subject_part: String,
    /// Audiovisual Core `subjectOrientation`, as controlled value string.
    pub subject_orientation: String,
    /// What must be visible and why, in one line.
    pub hint: String,
}

/// The round of views asked of each specimen, in shooting order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Short name in lower case, as given on the command line.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// The views, in shooting order.
    pub views: Vec<View>,
}

/// What is wrong with a plan file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct PlanFault {
    /// Line in the file, from 1.
    pub line: usize,
    /// What is wrong there.
    pub reason: String,
}

impl Plan {
    /// Reads a plan from RON text and checks it.
    ///
    /// # Errors
    /// Says the line and reason when the text is not RON of this shape, when a key or letter is
    /// malformed or used twice, or when no view is required.
    ///
    /// ```
    /// let text = r#"(key: "twig", name: "Twig", views: [(key: "side", name: "Side", letter: 's',
    ///     required: true, subject_part: "twig", subject_orientation: "lateral",
    ///     hint: "The whole twig, buds clear.")])"#;
    /// let plan = record::Plan::from_text(text).unwrap();
    /// assert_eq!(plan.required().count(), 1);
    /// ```
    pub fn from_text(text: &str) -> Result<Self, PlanFault> {
        let plan: Self = ron::from_str(text)
            .map_err(|e| PlanFault { line: e.span.start.line, reason: format!("{}.", e.code) })?;
        plan.check().map_err(|(needle, reason)| PlanFault { line: line_of(text, &needle), reason })?;
        Ok(plan)
    }

    /// The view with this key.
    pub fn view(&self, key: &ViewKey) -> Option<&View> {
        self.views.iter().find(|v| v.key == *key)
    }

    /// The name of a view; its key when the plan does not have it.
    pub fn name_of<'a>(&'a self, key: &'a ViewKey) -> &'a str {
        self.view(key).map_or(key.as_str(), |view| &view.name)
    }

    /// Place of a view in the round, from 0.
    pub fn place(&self, key: &ViewKey) -> Option<usize> {
        self.views.iter().position(|v| v.key == *key)
    }

    /// The views a complete specimen must have, in shooting order.
    pub fn required(&self) -> impl Iterator<Item = &View> {
        self.views.iter().filter(|v| v.required)
    }

    /// The first thing wrong, with a text of the file that it stands near.
    fn check(&self) -> Result<(), (String, String)> {
        if !is_key(&self.key) {
            return Err((self.key.clone(), key_reason(&self.key)));
        }
        if self.required().next().is_none() {
            return Err(("views".into(), "No view is required, so every specimen would be complete.".into()));
        }
        for (i, view) in self.views.iter().enumerate() {
            let key = view.key.as_str();
            if !is_key(key) {
                return Err((key.into(), key_reason(key)));
            }
            if !view.letter.is_ascii_lowercase() {
                let reason = format!("The letter of “{key}” must be one of a to z.");
                return Err((key.into(), reason));
            }
            if let Some(twin) = self.views[..i].iter().find(|v| v.key == view.key) {
                return Err((key.into(), format!("Two views have the key “{}”.", twin.key)));
            }
            if let Some(twin) = self.views[..i].iter().find(|v| v.letter == view.letter) {
                let reason = format!("“{}” and “{key}” have the same letter {}.", twin.key, view.letter);
                return Err((key.into(), reason));
            }
        }
        Ok(())
    }
}

fn is_key(key: &str) -> bool {
    // `frame` stands in file names for a frame whose view is not confirmed.
    !key.is_empty()
        && key.len() <= 32
        && key != "frame"
        && key.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

fn key_reason(key: &str) -> String {
    format!("The key “{key}” must be 1 to 32 lower-case letters, digits and dashes, and not “frame”.")
}

/// The last line that quotes `needle`, since a twin is noticed at its second place; 1 when there is none.
pub(crate) fn line_of(text: &str, needle: &str) -> usize {
    let quoted = format!("\"{needle}\"");
    text.lines().enumerate().filter(|(_, l)| l.contains(&quoted)).last().map_or(1, |(i, _)| i + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view(key: &str, letter: char, required: bool) -> String {
        format!(
            "(key: \"{key}\", name: \"N\", letter: '{letter}', required: {required}, subject_part: \"head\",\n\
             subject_orientation: \"dorsal\", hint: \"h\"),\n"
        )
    }

    fn check(views: &str, expected: Result<usize, (usize, &str)>) {
        let text = format!("(key: \"k\", name: \"K\", views: [\n{views}])");
        match (Plan::from_text(&text), expected) {
            (Ok(plan), Ok(n)) => assert_eq!(plan.views.len(), n),
            (Err(fault), Err((line, words))) => {
                assert_eq!(fault.line, line, "{fault}");
                assert!(fault.reason.contains(words), "{fault}");
            }
            (got, want) => panic!("{got:?} is not {want:?}"),
        }
    }

    #[test]
    fn broken_plans_say_line_and_reason() {
        check(&(view("a", 'a', true) + &view("b", 'b', false)), Ok(2));
        check(&(view("a", 'a', true) + &view("a", 'b', true)), Err((4, "Two views")));
        check(&(view("a", 'a', true) + &view("b", 'a', true)), Err((4, "same letter a")));
        check(&view("a", 'A', true), Err((2, "a to z")));
        check(&view("A b", 'a', true), Err((2, "lower-case")));
        check(&view("frame", 'a', true), Err((2, "not “frame”")));
        check(&view("a", 'a', false), Err((1, "No view is required")));
        check(&(view("a", 'a', true) + "(key: 7)"), Err((4, "")));
    }

    #[test]
    fn a_misspelt_field_is_refused() {
        let text = "(key: \"k\", name: \"K\", view: [])";
        assert_eq!(Plan::from_text(text).unwrap_err().line, 1);
    }
}
