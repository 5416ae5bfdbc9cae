//! Which name each file of a frame gets, so that all are distinct and none is taken by another's file.
//!
//! Goes in: frames with what is recorded of their files, and what stands in the folder. Comes out: paths. It reads no
//! file.

use std::collections::{BTreeMap, BTreeSet};

use record::{Filed, Frame, FrameKind};

use crate::names::{self, Stem};
use crate::place::Place;
use crate::plan::SidecarStep;
use crate::{Altered, Step, sidecar};

/// A frame with what is recorded of each of its files in this archive.
pub(crate) struct Draft<'a> {
    pub(crate) frame: &'a Frame,
    filed: Vec<Option<Filed>>,
    /// What its files are to be called.
    wanted: Stem,
    /// The path without ending under which some of its files were filed.
    kept: Option<String>,
    /// Whether that is still what they are to be called.
    stays: bool,
    /// Paths in the folder at which its files lie as those of an earlier frame, with the same bytes.
    shared: BTreeSet<String>,
}

impl<'a> Draft<'a> {
    pub(crate) fn of(frame: &'a Frame, filed: Vec<Option<Filed>>, wanted: Stem) -> Self {
        let here = filed.iter().flatten().filter(|filed| filed.session.is_none());
        // A second file with one ending has more in its name.
        let kept = here.map(|filed| names::stem(&filed.path)).min_by_key(|stem| stem.len());
        let kept = kept.map(str::to_owned);
        let stays = kept.as_ref().is_some_and(|stem| wanted.fits(stem));
        Self { frame, filed, wanted, kept, stays, shared: BTreeSet::new() }
    }

    /// What is filed in the session's own folder.
    fn here(&self) -> impl Iterator<Item = &Filed> {
        self.filed.iter().flatten().filter(|filed| filed.session.is_none())
    }

    /// Whether a file keeps the name it has: a sidecar that came with its frame leaves its name to Endleaf's own.
    fn keeps(&self, from: &str, filed: &Filed) -> bool {
        let is_renamed = sidecar::is_sidecar(from) && !names::has_original_mark(&filed.path);
        filed.session.is_some() || self.shared.contains(&filed.path) || (self.stays && !is_renamed)
    }

    /// Paths that are kept.
    fn kept_paths(&self) -> impl Iterator<Item = &Filed> {
        let files = self.frame.files.iter().zip(&self.filed);
        files.filter_map(|(file, filed)| {
            filed.as_ref().filter(|f| f.session.is_none() && self.keeps(&file.path, f))
        })
    }
}

/// The names of a frame's files.
pub(crate) struct Seated {
    stem: String,
    paths: Vec<String>,
    altered: Option<Altered>,
    /// Where the sidecar written before lies.
    sidecar_before: Option<String>,
}

impl Seated {
    pub(crate) fn steps(&self, draft: &Draft<'_>, kind: FrameKind) -> Vec<Step> {
        let files = draft.frame.files.iter().zip(&self.paths).zip(&draft.filed);
        // A second companion with one ending has a number in its own.
        let is_second = |from: &str, to: &str| {
            names::endings(from).next().is_none_or(|first| to.strip_prefix(&self.stem) != Some(&first))
        };
        files
            .map(|((file, to), filed)| Step {
                frame: draft.frame.id,
                kind,
                from: file.path.clone(),
                to: to.clone(),
                moved_from: filed
                    .as_ref()
                    .filter(|f| f.session.is_none() && f.path != *to && !draft.shared.contains(&f.path))
                    .map(|f| f.path.clone()),
                bytes: file.bytes,
                done_before: filed.is_some(),
                altered: self.altered.max(is_second(&file.path, to).then_some(Altered::Taken)),
                filed: filed.clone(),
            })
            .collect()
    }

    /// The sidecar of a frame of which a file lies, or is going to lie, in the session's own folder.
    pub(crate) fn sidecar(&self, draft: &Draft<'_>) -> Option<SidecarStep> {
        let is_own = |f: &Filed| f.session.is_none() && !draft.shared.contains(&f.path);
        let is_here = draft.filed.iter().any(|filed| filed.as_ref().is_none_or(is_own));
        let to = sidecar_path(&self.stem);
        let moved_from = self.sidecar_before.clone().filter(|before| *before != to);
        is_here.then_some(SidecarStep { frame: draft.frame.id, to, moved_from })
    }
}

fn sidecar_path(stem: &str) -> String {
    format!("{stem}{}", sidecar::ENDING)
}

/// The names given so far. All are compared without case.
pub(crate) struct Seats<'a> {
    place: &'a Place,
    foreign: &'a BTreeSet<String>,
    /// Numbers given last, by the name they are in.
    numbers: BTreeMap<String, u32>,
    stems: BTreeSet<String>,
    paths: BTreeSet<String>,
    /// Names that files of this session have and are going to leave.
    vacated: BTreeSet<String>,
    /// Where each file that is filed in the folder is going to lie, by where it lies.
    lies: BTreeMap<String, String>,
}

impl<'a> Seats<'a> {
    pub(crate) fn new(place: &'a Place, foreign: &'a BTreeSet<String>) -> Self {
        let (stems, paths, vacated) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
        Self { place, foreign, numbers: BTreeMap::new(), stems, paths, vacated, lies: BTreeMap::new() }
    }

    /// Keeps the names of what stays where it is from being given again, and notes which become free.
    pub(crate) fn keep(&mut self, draft: &mut Draft<'_>) {
        for path in draft.here().map(|filed| filed.path.clone()).collect::<Vec<_>>() {
            if self.lies.insert(path.clone(), path.clone()).is_some() {
                draft.shared.insert(path);
            }
        }
        let draft = &*draft;
        if draft.stays {
            self.stems.extend(draft.kept.as_deref().map(names::folded));
        } else if let Some(before) = self.sidecar_before(draft) {
            self.vacated.insert(names::folded(&before));
        }
        self.paths.extend(draft.kept_paths().map(|f| names::folded(&f.path)));
        let kept: BTreeSet<&str> = draft.kept_paths().map(|f| f.path.as_str()).collect();
        let leaves = draft.here().filter(|f| !kept.contains(f.path.as_str()));
        self.vacated.extend(leaves.map(|f| names::folded(&f.path)));
    }

    /// Where the sidecar of a frame lies that Endleaf wrote before.
    fn sidecar_before(&self, draft: &Draft<'_>) -> Option<String> {
        let path = sidecar_path(draft.kept.as_deref()?);
        // Where one that came with the frame was filed under this name, it is no work of Endleaf's.
        let is_filed = draft.here().any(|f| f.path == path);
        let is_own = self.place.sidecars.contains_key(&path) && !is_filed && draft.shared.is_empty();
        (is_own && self.place.size_of(&path).is_some()).then_some(path)
    }

    /// The names of a frame's files: under the stem it has already where that fits, else under the next whose names are
    /// all free.
    pub(crate) fn seat(&mut self, draft: &Draft<'_>) -> Seated {
        let mut is_occupied = false;
        let kept = draft.kept.as_deref().filter(|_| draft.stays);
        let kept = kept.and_then(|stem| Some((stem.to_owned(), self.paths_under(stem, draft)?)));
        let (stem, paths) = kept.unwrap_or_else(|| {
            let first = draft.wanted.numbered(1);
            let from = self.numbers.get(&first).map_or(1, |last| last + 1);
            let free = (from..).find_map(|n| {
                let stem = draft.wanted.numbered(n);
                if self.stems.contains(&names::folded(&stem)) {
                    return None;
                }
                let paths = self.paths_under(&stem, draft);
                is_occupied |= paths.is_none();
                Some((n, stem, paths?))
            });
            let (n, stem, paths) = free.expect("numbers do not run out");
            self.numbers.insert(first, n);
            (stem, paths)
        });
        let is_numbered = !draft.wanted.has_n && stem != draft.wanted.numbered(1);
        let altered = match (is_occupied, is_numbered) {
            (true, _) => Some(Altered::Occupied),
            (false, true) => Some(Altered::Taken),
            (false, false) => draft.wanted.altered,
        };
        self.stems.insert(names::folded(&stem));
        self.paths.extend(paths.iter().map(|path| names::folded(path)));
        for (filed, path) in draft.filed.iter().zip(&paths) {
            if let Some(filed) =
                filed.as_ref().filter(|f| f.session.is_none() && !draft.shared.contains(&f.path))
            {
                self.lies.insert(filed.path.clone(), path.clone());
            }
        }
        self.paths.insert(names::folded(&sidecar_path(&stem)));
        Seated { sidecar_before: self.sidecar_before(draft), stem, paths, altered }
    }

    /// The path of each file of a frame under a stem; those that keep theirs have it. `None` when another file has one
    /// of the names.
    fn paths_under(&self, stem: &str, draft: &Draft<'_>) -> Option<Vec<String>> {
        let kept: BTreeSet<String> = draft.kept_paths().map(|f| names::folded(&f.path)).collect();
        let mut paths: Vec<String> = Vec::new();
        for (file, filed) in draft.frame.files.iter().zip(&draft.filed) {
            if let Some(filed) = filed.as_ref().filter(|filed| draft.keeps(&file.path, filed)) {
                let moved = draft.shared.contains(&filed.path).then(|| self.lies.get(&filed.path)).flatten();
                paths.push(moved.cloned().unwrap_or_else(|| self.place.path_of(filed)));
                continue;
            }
            let path = names::endings(&file.path)
                .map(|ending| format!("{stem}{ending}"))
                .find(|path| !paths.contains(path) && !kept.contains(&names::folded(path)))?;
            // A file that is moved is never taken for one that stands there.
            if self.is_taken(&path, filed.is_none().then_some(file.bytes)) {
                return None;
            }
            paths.push(path);
        }
        let own = sidecar_path(stem);
        // What stays has its name, whatever lies beside it.
        let is_own = self.place.sidecars.contains_key(&own);
        let is_free = is_own || draft.stays || !self.is_taken(&own, None);
        is_free.then_some(paths)
    }

    /// Whether a name is taken; one with a file of these bytes may be the very file.
    fn is_taken(&self, path: &str, bytes: Option<u64>) -> bool {
        let folded = names::folded(path);
        let stands = || self.place.size_of(path).is_some_and(|there| Some(there) != bytes);
        self.paths.contains(&folded)
            || (!self.vacated.contains(&folded) && (self.foreign.contains(&folded) || stands()))
    }
}
