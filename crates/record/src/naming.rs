//! How folders and files are named in the archive: an ordered list of fields and what joins them, as data.

use serde::{Deserialize, Serialize};

/// One field of a name. A field that says nothing of a frame is left out of its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum NameField {
    /// The day of the session, `2026-06-14`.
    Date,
    /// When the frame was taken by the day's common clock, `102345`.
    Time,
    /// The session's name.
    Session,
    /// The specimen's number, three digits and more.
    Specimen,
    /// The jar label.
    Jar,
    /// The confirmed view, else `frame`; for frames outside sets what they are, such as `blank`.
    View,
    /// The name on the card without its ending.
    Original,
    /// A number that tells frames apart which agree in all the rest.
    N,
}

impl NameField {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 8] = [
        Self::Date,
        Self::Time,
        Self::Session,
        Self::Specimen,
        Self::Jar,
        Self::View,
        Self::Original,
        Self::N,
    ];

    /// The word for it, as in session texts and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Time => "time",
            Self::Session => "session",
            Self::Specimen => "specimen",
            Self::Jar => "jar",
            Self::View => "view",
            Self::Original => "original",
            Self::N => "n",
        }
    }
}

/// The fields of one name, in order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NameForm {
    /// The fields.
    pub name: Vec<NameField>,
    /// What stands between them.
    pub joiner: String,
}

/// How folders of specimens and their files are named.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Naming {
    /// The folder of a specimen.
    pub folder: NameForm,
    /// A file.
    pub file: NameForm,
}

impl Default for Naming {
    fn default() -> Self {
        use NameField::{Date, N, Specimen, View};
        let form = |name: &[NameField]| NameForm { name: name.to_vec(), joiner: "_".to_owned() };
        Self { folder: form(&[Specimen]), file: form(&[Date, Specimen, View, N]) }
    }
}

/// Why names cannot be formed so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NamingFault {
    /// No field.
    #[error("A name needs at least one field of: {}", words())]
    Empty,
    /// A word that is no field.
    #[error("“{word}” is no field of a name; the fields are: {}", words())]
    Unknown {
        /// The word.
        word: String,
    },
    /// A field that stands twice.
    #[error("A field may stand once in a name, and “{}” stands twice", .0.word())]
    Twice(NameField),
    /// A field that tells nothing of a folder, since it differs from frame to frame.
    #[error("“{}” differs from frame to frame, so it cannot name a specimen's folder", .0.word())]
    NotOfFolder(NameField),
    /// A joiner that is not legal in names everywhere.
    #[error(
        "“{0}” cannot join the fields of a name: take one or two of _ - + = or a space between two of them, or nothing"
    )]
    Joiner(String),
}

fn words() -> String {
    NameField::ALL.map(NameField::word).join(", ")
}

impl NameForm {
    /// Reads words as in `date specimen view n`, separated by spaces or commas.
    ///
    /// # Errors
    /// Names the word that is no field.
    pub fn fields_from_words(text: &str) -> Result<Vec<NameField>, NamingFault> {
        let words = text.split([' ', ',']).filter(|word| !word.is_empty());
        words
            .map(|word| {
                let found = NameField::ALL.into_iter().find(|field| field.word() == word);
                found.ok_or_else(|| NamingFault::Unknown { word: word.to_owned() })
            })
            .collect()
    }

    fn check(&self) -> Result<(), NamingFault> {
        if self.name.is_empty() {
            return Err(NamingFault::Empty);
        }
        let twice = self.name.iter().enumerate().find(|(at, field)| self.name[..*at].contains(field));
        if let Some((_, field)) = twice {
            return Err(NamingFault::Twice(*field));
        }
        let plain = |c: char| "_-+=".contains(c);
        let ends_plain = self.joiner.starts_with(plain) && self.joiner.ends_with(plain);
        let is_legal = self.joiner.chars().all(|c| plain(c) || c == ' ') && self.joiner.len() <= 3;
        if is_legal && (self.joiner.is_empty() || ends_plain || self.joiner == " ") {
            Ok(())
        } else {
            Err(NamingFault::Joiner(self.joiner.clone()))
        }
    }
}

impl Naming {
    /// These names, or the usual ones where a text that was tampered with holds what cannot be.
    #[must_use]
    pub fn or_usual(&self) -> Self {
        if self.check().is_ok() { self.clone() } else { Self::default() }
    }

    /// Checks what a person chose or a text holds.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), NamingFault> {
        use NameField::{N, Original, Time, View};
        self.folder.check()?;
        self.file.check()?;
        match self.folder.name.iter().find(|field| [Time, View, Original, N].contains(field)) {
            Some(field) => Err(NamingFault::NotOfFolder(*field)),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_data_in_a_session_text() {
        let text = ron::to_string(&Naming::default()).unwrap();
        assert_eq!(
            text,
            "(folder:(name:[specimen],joiner:\"_\"),file:(name:[date,specimen,view,n],joiner:\"_\"))"
        );
        assert_eq!(ron::from_str::<Naming>(&text).unwrap(), Naming::default());
        let session = crate::edit::tests::day(1);
        assert!(
            !crate::session_to_text(&session).contains("joiner"),
            "only what differs from the usual is written"
        );
        let mut named = session;
        named.naming.file.name = vec![NameField::Original];
        let text = crate::session_to_text(&named);
        assert_eq!(crate::session_from_text(&text).unwrap().naming, named.naming, "{text}");
    }

    #[test]
    fn what_cannot_be_is_said() {
        let with = |folder: &str, file: &str, joiner: &str| {
            let form = |words: &str| {
                Ok(NameForm { name: NameForm::fields_from_words(words)?, joiner: joiner.to_owned() })
            };
            form(folder).and_then(|folder| Naming { folder, file: form(file)? }.check())
        };
        assert_eq!(with("specimen", "date, specimen view n", "_"), Ok(()));
        assert_eq!(with("date jar", "original", ""), Ok(()));
        assert_eq!(with("specimen", "n", " - "), Err(NamingFault::Joiner(" - ".into())));
        assert_eq!(with("specimen", "n", "- -"), Ok(()));
        assert_eq!(with("specimen", "n", "../"), Err(NamingFault::Joiner("../".into())));
        assert_eq!(with("specimen", "n", "."), Err(NamingFault::Joiner(".".into())));
        assert_eq!(with("specimen", "", "_"), Err(NamingFault::Empty));
        assert_eq!(with("specimen", "n n", "_"), Err(NamingFault::Twice(NameField::N)));
        assert_eq!(with("view", "n", "_"), Err(NamingFault::NotOfFolder(NameField::View)));
        let unknown = with("specimen", "date place", "_").unwrap_err();
        assert_eq!(
            unknown.to_string(),
            "“place” is no field of a name; the fields are: date, time, session, specimen, jar, view, original, n"
        );
    }
}
