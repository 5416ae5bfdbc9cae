//! What each frame of a session is to be called, but for its number.
//!
//! Goes in: a session, and views to use for frames without a confirmed one. Comes out: folder and name of each frame.
//! What is taken already is asked elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use record::{Frame, FrameId, FrameKind, Naming, Session, Set, ViewKey};

use crate::Altered;
use crate::names::{self, Stem, Values};

/// What decides the folder and name of each frame.
pub(crate) struct Stems<'a> {
    pub(crate) session: &'a Session,
    date: String,
    naming: Naming,
    /// The set of each frame, by its place.
    sets: BTreeMap<FrameId, usize>,
    /// The folder of each set, and what was done to its name.
    folders: Vec<(String, Option<Altered>)>,
    proposals: &'a BTreeMap<FrameId, ViewKey>,
}

impl<'a> Stems<'a> {
    pub(crate) fn of(session: &'a Session, proposals: &'a BTreeMap<FrameId, ViewKey>) -> Self {
        Self::named(session, session.naming.or_usual(), proposals)
    }

    /// As [`Stems::of`] with another naming than the session's.
    pub(crate) fn named(
        session: &'a Session,
        naming: Naming,
        proposals: &'a BTreeMap<FrameId, ViewKey>,
    ) -> Self {
        let of_set = |(at, set): (usize, &Set)| set.frames.iter().map(|f| (*f, at)).collect::<Vec<_>>();
        let sets = session.sets.iter().enumerate().flat_map(of_set).collect();
        let date = names::date(session);
        let folders = folders(session, &date, &naming);
        Self { session, date, naming, sets, folders, proposals }
    }

    /// How many folders needed a number to be distinct.
    pub(crate) fn folders_alike(&self) -> usize {
        self.folders.iter().filter(|(_, altered)| *altered == Some(Altered::Taken)).count()
    }

    pub(crate) fn stem(&self, frame: &Frame) -> Stem {
        let time = frame.when().map_or(String::new(), |taken| taken.time_of_day().replace(':', ""));
        let mut values = Values {
            date: &self.date,
            time: &time,
            session: &self.session.name,
            specimen: None,
            jar: "",
            view: "frame",
            original: frame.stem(),
        };
        let form = &self.naming.file;
        match (self.session.kind(frame), self.sets.get(&frame.id)) {
            (FrameKind::Specimen, Some(at)) => {
                let set = &self.session.sets[*at];
                values.specimen = Some(set.number);
                values.jar = self.session.jar_of(set);
                values.view = self.view(frame.id).unwrap_or("frame");
                let (folder, altered) = &self.folders[*at];
                let mut stem = values.stem(form, folder.clone(), 2);
                stem.altered = stem.altered.max(*altered);
                stem
            }
            (kind, _) => {
                let (folder, word) = names::outside_sets(kind);
                values.view = word;
                // These count through the whole day.
                values.stem(form, folder.to_owned(), 3)
            }
        }
    }

    /// The view that stands in the name: the confirmed one, else the proposed one, when the plan has it.
    fn view(&self, frame: FrameId) -> Option<&str> {
        let label = self.session.decisions.labels.get(&frame).map(|label| &label.view);
        let view = label.or_else(|| self.proposals.get(&frame))?;
        self.session.plan.views.iter().any(|v| v.key == *view).then_some(view.as_str())
    }
}

/// A folder for each set, all distinct, and what was done to its name: those of the lower numbers have the first
/// choice, so that a set that comes later takes none away.
fn folders(session: &Session, date: &str, naming: &Naming) -> Vec<(String, Option<Altered>)> {
    let mut taken: BTreeSet<String> =
        ["blanks", "reference", "set-aside", "unsorted"].map(names::folded).into();
    let mut order: Vec<usize> = (0..session.sets.len()).collect();
    order.sort_by_key(|at| session.sets[*at].number);
    let mut folders = vec![(String::new(), None); session.sets.len()];
    for at in order {
        let set = &session.sets[at];
        let (specimen, jar) = (Some(set.number), session.jar_of(set));
        let values = Values { date, time: "", session: &session.name, specimen, jar, view: "", original: "" };
        let (wanted, altered) = values.folder(&naming.folder);
        let wanted = if wanted.is_empty() { format!("{:03}", set.number) } else { wanted };
        let folder = names::free(&wanted, |name| taken.contains(&names::folded(name)));
        taken.insert(names::folded(&folder));
        let altered = if folder == wanted { altered } else { Some(Altered::Taken) };
        folders[at] = (folder, altered);
    }
    folders
}
