//! Frames whose files went away from a folder that is being watched.
//!
//! A picture deleted, renamed or replaced there must not count as a view of its animal any more; but nothing a person
//! decided may be lost by it, and a number once given to a frame is never given again. So such a frame stays, and counts
//! as set aside until its files are back. Cards read one after the other are no such case: their frames stay what they
//! are, whatever is read next.

use std::collections::BTreeSet;

use crate::{FileRole, Frame, Merged, Session};

impl Session {
    /// Takes in all frames of a folder that is being watched, as [`Session::merge`] does. Frames at the paths in `gone`,
    /// and those at whose path another picture lies now, are noted in [`Session::gone`] unless they are filed.
    pub fn merge_watched(&mut self, read: Vec<Frame>, gone: &BTreeSet<String>) -> Merged {
        let mut paths: BTreeSet<String> = read.iter().flat_map(leading_paths).map(str::to_owned).collect();
        paths.extend(gone.iter().cloned());
        let (merged, here) = self.merge_ids(read);
        let is_filed = |f: &Frame| f.files.iter().any(|file| self.filed.contains_key(&file.path));
        let went = self.frames.iter().filter(|f| !here.contains(&f.id) && !is_filed(f));
        let went = went.filter(|f| leading_paths(f).any(|path| paths.contains(path))).map(|f| f.id);
        self.gone.extend(went);
        merged
    }
}

/// Paths of a frame's pictures and raws, and of copies of them.
fn leading_paths(frame: &Frame) -> impl Iterator<Item = &str> {
    let leads = |role| matches!(role, FileRole::Picture | FileRole::Raw);
    frame.places().filter(move |f| leads(f.role)).map(|f| f.path.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;
    use crate::{Filed, FrameId, FrameKind};

    fn aside(session: &Session) -> Vec<u32> {
        let aside = session.frames.iter().filter(|f| session.kind(f) == FrameKind::SetAside);
        aside.map(|f| f.id.0).collect()
    }

    #[test]
    fn gone_frames_are_set_aside_until_they_are_back() {
        let mut session = day(5);
        let all = session.frames.clone();
        session.filed.insert(
            "f4.jpg".into(),
            Filed { path: "x.jpg".into(), bytes: 1, sha256: String::new(), session: None },
        );
        let gone = ["f1.jpg", "f4.jpg"].map(str::to_owned).into();
        session.merge_watched(vec![all[0].clone(), all[2].clone()], &gone);
        assert_eq!(aside(&session), [1], "3 is of another folder, 4 is filed");
        assert_eq!(session.frames.len(), 5);
        session.merge(vec![all[1].clone()]);
        assert_eq!((aside(&session), session.gone.len()), (vec![], 0));
    }

    #[test]
    fn a_picture_replaced_by_another_is_gone() {
        let mut session = day(2);
        let mut read = session.frames.clone();
        read[1].files[0].bytes += 1;
        assert_eq!(session.merge_watched(read, &BTreeSet::new()), Merged { known: 1, new: 1 });
        assert_eq!(aside(&session), [1]);
        assert_eq!(session.gone, [FrameId(1)].into());
    }

    #[test]
    fn a_session_text_of_before_still_reads() {
        let session = day(1);
        let text = crate::session_to_text(&session);
        assert!(!text.contains("gone"), "{text}");
        assert_eq!(crate::session_from_text(&text).unwrap(), session);
    }
}
