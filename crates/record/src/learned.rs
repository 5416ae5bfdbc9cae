//! What was learned of views from frames that a person confirmed: their descriptors, specimen by specimen.
//!
//! It is kept on the person's own computer, one text a plan, and is nothing but the examples themselves, so that it can be
//! read, carried along or thrown away.

use std::collections::BTreeMap;

use ron::ser::PrettyConfig;
use serde::{Deserialize, Serialize};

use crate::text::damaged;
use crate::{Session, TextFault, ViewKey};

/// Most specimens that are kept; those of the earliest sessions go first.
const MOST_SPECIMENS: usize = 40;

/// Version of the text. Another one is not read: what it taught is taught again soon.
const SCHEMA: u32 = 1;

/// The view and descriptor of each confirmed frame of a specimen; never empty.
pub type Taught = Vec<(ViewKey, Vec<f32>)>;

/// Examples of the views of a plan.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LearnedViews {
    schema: u32,
    /// The specimens of each session, by the key it is kept under; keys begin with the date, so that later ones come last.
    sessions: BTreeMap<String, Vec<Taught>>,
}

impl LearnedViews {
    /// All specimens, those of later sessions last.
    pub fn specimens(&self) -> impl DoubleEndedIterator<Item = &Taught> {
        self.sessions.values().flatten()
    }

    /// Takes in what a session teaches that is kept under this key, in place of what it taught before.
    pub fn teach(&mut self, key: &str, session: &Session) {
        let examples = |specimen: &crate::Specimen| -> Taught {
            let own = session.decisions.labels.iter().filter(|(_, label)| label.specimen == specimen.id);
            own.filter_map(|(frame, label)| {
                let looks = session.frame(*frame)?.looks.as_ref().filter(|l| !l.descriptor.is_empty())?;
                Some((label.view.clone(), looks.descriptor.clone()))
            })
            .collect()
        };
        let mut specimens: Vec<Taught> = session.specimens.iter().map(examples).collect();
        specimens.retain(|s| !s.is_empty());
        self.sessions.insert(key.to_owned(), specimens);
        self.sessions.retain(|_, specimens| !specimens.is_empty());
        while self.specimens().count() > MOST_SPECIMENS
            && let Some(mut earliest) = self.sessions.first_entry()
        {
            earliest.get_mut().remove(0);
            if earliest.get().is_empty() {
                earliest.remove();
            }
        }
    }

    /// The same without what the session under this key taught.
    #[must_use]
    pub fn without(mut self, key: &str) -> Self {
        self.sessions.remove(key);
        self
    }

    /// Writes it as text. The same examples give the same bytes.
    pub fn to_text(&self) -> String {
        let style =
            PrettyConfig::new().depth_limit(4).indentor("  ").compact_arrays(false).struct_names(false);
        let own = Self { schema: SCHEMA, sessions: self.sessions.clone() };
        let body =
            ron::ser::to_string_pretty(&own, style).expect("examples hold only values that RON can write");
        format!(
            "// Views of frames that were confirmed, kept by Endleaf to propose views. It may be deleted.\n{body}\n"
        )
    }

    /// Reads it from text.
    ///
    /// # Errors
    /// [`TextFault::Damaged`] when it is not such text. One of another version gives nothing learned.
    pub fn from_text(text: &str) -> Result<Self, TextFault> {
        let read: Self = ron::from_str(text).map_err(|e| damaged(&e))?;
        Ok(if read.schema == SCHEMA { read } else { Self::default() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;
    use crate::{FrameId, Label, Looks, Quality, Specimen, SpecimenId};

    /// A session of so many specimens, a confirmed frame each that has been looked at.
    fn session(specimens: u32) -> Session {
        let mut session = day(specimens);
        let quality = Quality {
            focus: 1.0,
            blown_share: 0.0,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        };
        for n in 0..specimens {
            session.frames[n as usize].looks =
                Some(Looks { descriptor: vec![n as f32], quality, without_blank: false });
            let id = SpecimenId(n);
            let anchors = vec![FrameId(n)];
            session.specimens.push(Specimen::new(id, anchors));
            session.decisions.labels.insert(FrameId(n), Label { view: "side".into(), specimen: id });
        }
        session
    }

    fn taught(learned: &LearnedViews) -> Vec<f32> {
        learned.specimens().map(|s| s[0].1[0]).collect()
    }

    #[test]
    fn a_session_teaches_once_and_the_earliest_go_first() {
        let mut learned = LearnedViews::default();
        for _ in 0..2 {
            learned.teach("2026-06-15_b", &session(2));
            learned.teach("2026-06-14_a", &session(3));
        }
        assert_eq!(taught(&learned), [0.0, 1.0, 2.0, 0.0, 1.0]);
        assert_eq!(taught(&learned.clone().without("2026-06-14_a")), [0.0, 1.0]);
        learned.teach("2026-06-16_c", &session(37));
        assert_eq!(learned.specimens().count(), 40);
        assert_eq!(taught(&learned)[..3], [2.0, 0.0, 1.0]);
        learned.teach("2026-06-16_c", &day(1));
        assert_eq!(taught(&learned), [2.0, 0.0, 1.0], "labels taken back teach nothing");
    }

    #[test]
    fn reads_back_what_it_wrote() {
        let mut learned = LearnedViews::default();
        learned.teach("2026-06-14_a", &session(2));
        let text = learned.to_text();
        let read = LearnedViews::from_text(&text).unwrap();
        assert_eq!((taught(&read), read.to_text()), (taught(&learned), text.clone()));
        assert!(LearnedViews::from_text(&text[..text.len() / 2]).is_err());
        let newer = text.replace("schema: 1", "schema: 2");
        assert_eq!(LearnedViews::from_text(&newer), Ok(LearnedViews::default()));
    }
}
