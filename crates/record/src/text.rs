//! A session as text: RON with a schema version, readable and diffable by a person.

use ron::ser::PrettyConfig;
use serde::{Deserialize, Serialize};

use crate::Session;

/// Version of the session text that this program writes and reads.
pub const SCHEMA: u32 = 1;

/// Why a text is not a session that can be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextFault {
    /// The text has another schema version.
    #[error(
        "This session was written in version {found} of its format; this Endleaf reads version {SCHEMA}. \
         Nothing was changed. Open it with the Endleaf that wrote it, or with a newer one"
    )]
    Version {
        /// The version found.
        found: u32,
    },
    /// The text is damaged or not a session.
    #[error("This is not a session that can be read: line {line}: {reason}. Nothing was changed")]
    Damaged {
        /// Line, from 1.
        line: usize,
        /// What is wrong there.
        reason: String,
    },
}

/// Only the version, whatever else stands in the text.
#[derive(Deserialize)]
struct Head {
    schema: u32,
}

#[derive(Serialize)]
struct Out<'a> {
    schema: u32,
    session: &'a Session,
}

#[derive(Deserialize)]
struct In {
    session: Session,
}

/// Writes a session as text. The same session gives the same bytes.
pub fn session_to_text(session: &Session) -> String {
    let style = PrettyConfig::new().depth_limit(4).indentor("  ").compact_arrays(false).struct_names(false);
    let body = ron::ser::to_string_pretty(&Out { schema: SCHEMA, session }, style)
        .expect("a session holds only values that RON can write");
    format!("// A day's imaging, kept by Endleaf. Paths are relative.\n{body}\n")
}

/// Reads a session from text.
///
/// # Errors
/// [`TextFault::Version`] when it says another schema version, whatever else it holds;
/// [`TextFault::Damaged`] when it is not such text.
pub fn session_from_text(text: &str) -> Result<Session, TextFault> {
    let head: Head = ron::from_str(text).map_err(|e| damaged(&e))?;
    if head.schema != SCHEMA {
        return Err(TextFault::Version { found: head.schema });
    }
    ron::from_str::<In>(text).map(|t| t.session).map_err(|e| damaged(&e))
}

/// What is wrong with a text that is not RON of the shape wanted.
pub(crate) fn damaged(e: &ron::error::SpannedError) -> TextFault {
    TextFault::Damaged { line: e.span.start.line, reason: e.code.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;
    use crate::{BlankVerdict, Departure, Edit, FrameId, Label, Specimen, SpecimenId, Spread, Way};

    #[test]
    fn reads_back_what_it_wrote() {
        let mut session = day(3);
        session.frames[1].spread =
            Some(Spread { level: 20.0, frame: 12.5, tile: 30.25, grain: 2.0, mean: 180.0 });
        session.frames[1].blank =
            Some(BlankVerdict { prob: 0.03, reason: "a \"dark\" shape\nacross".into() });
        let anchor = FrameId(1);
        let specimen = Specimen {
            number: Some(4),
            jar: "21".into(),
            note: "cold ♀".into(),
            left: Some(Departure { way: Way::Flew, at: Some("2026-06-14T10:23:45".parse().unwrap()) }),
            ..Specimen::new(SpecimenId(0), vec![anchor])
        };
        session.apply(&Edit::AddSpecimen(0, specimen)).unwrap();
        session
            .apply(&Edit::Label(anchor, Some(Label { view: "side".into(), specimen: SpecimenId(0) })))
            .unwrap();
        session.arrange(vec![(vec![FrameId(0), FrameId(1)], Some(FrameId(2)))]);
        let text = session_to_text(&session);
        assert_eq!(session_from_text(&text).unwrap(), session);
        assert_eq!(session_to_text(&session), text);
        assert!(text.contains("taken: Some(\"2026-06-14T10:01:00\")"), "{text}");
    }

    #[test]
    fn an_unknown_version_is_refused_by_name() {
        let text = session_to_text(&day(1)).replace("schema: 1", "schema: 7");
        assert_eq!(session_from_text(&text), Err(TextFault::Version { found: 7 }));
        // A newer version may hold anything else.
        assert_eq!(session_from_text("(schema: 2, days: [])"), Err(TextFault::Version { found: 2 }));
        let words = TextFault::Version { found: 7 }.to_string();
        assert!(words.contains("version 7") && words.contains("version 1"), "{words}");
    }

    #[test]
    fn damaged_text_names_the_line() {
        let text = session_to_text(&day(1));
        let cut = &text[..text.len() / 2];
        let Err(TextFault::Damaged { line, .. }) = session_from_text(cut) else { panic!("not refused") };
        assert!(line > 3, "{line}");
        assert!(session_from_text("").is_err());
    }
}
