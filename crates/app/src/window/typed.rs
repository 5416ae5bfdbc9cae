//! What is typed in the fields of a record and not written yet: it is being typed, or is not as it should be.
//!
//! It belongs to the day, or to the sets of these frames, wherever they come to stand. Drawing and writing are elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use record::{Entry, Fields, FrameId, Session, Term};

use super::settings::Settings;

/// Whose fields are filled in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Owner {
    /// The day's.
    Day,
    /// Those of the sets of these frames, each the first of its set.
    Sets(Vec<FrameId>),
}

/// What stands in a field of one owner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Kept<'a> {
    /// Nothing.
    Empty,
    /// This, in all of them.
    Entry(&'a Entry),
    /// Not the same in all of them.
    Various,
}

impl Owner {
    /// Its fields, in the order in which they are filled in.
    pub(crate) fn terms(&self) -> impl Iterator<Item = Term> + use<> {
        let of_day = *self == Self::Day;
        let has = move |term: &Term| if of_day { term.is_of_day() } else { term.is_of_specimen() };
        Term::ALL.into_iter().filter(has)
    }

    /// The places of its sets; none for the day.
    pub(crate) fn sets(&self, session: &Session) -> Vec<usize> {
        match self {
            Self::Day => Vec::new(),
            Self::Sets(frames) => {
                let sets: BTreeSet<usize> = frames.iter().filter_map(|f| session.set_of(*f)).collect();
                sets.into_iter().collect()
            }
        }
    }

    /// What is filled in: of the day, or of each of the specimens.
    pub(crate) fn fields<'s>(&self, session: &'s Session) -> Vec<Option<&'s Fields>> {
        match self {
            Self::Day => vec![Some(&session.fields)],
            Self::Sets(_) => {
                let record = |set: usize| session.record_of(&session.sets[set]).map(|s| &s.fields);
                self.sets(session).into_iter().map(record).collect()
            }
        }
    }
}

/// What stands in a field.
pub(crate) fn kept<'s>(held: &[Option<&'s Fields>], term: Term) -> Kept<'s> {
    let mut entries = held.iter().map(|fields| fields.and_then(|fields| fields.get(&term)));
    let Some(first) = entries.next() else { return Kept::Empty };
    match first {
        _ if entries.any(|other| other != first) => Kept::Various,
        Some(entry) => Kept::Entry(entry),
        None => Kept::Empty,
    }
}

impl Kept<'_> {
    /// The text that stands there.
    pub(crate) fn text(&self) -> &str {
        match self {
            Self::Entry(entry) => &entry.text,
            Self::Empty | Self::Various => "",
        }
    }
}

/// Texts of fields that are not written yet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) texts: BTreeMap<(Owner, Term), String>,
    /// A field that should take the keyboard.
    pub(crate) focus: Option<Term>,
    /// The chosen one of what is offered below the field.
    pub(crate) offered: Option<usize>,
}

/// What is offered for a field while this is typed: values there are, then those used before; none that is typed already.
pub(crate) fn offers(term: Term, typed: &str, known: &Settings) -> Vec<String> {
    const MOST: usize = 5;
    let wanted = typed.trim().to_lowercase();
    let before = known.used.get(&term).into_iter().flatten().map(String::as_str);
    let sites = known.sites.keys().filter(|_| term == Term::Locality).map(String::as_str);
    let mut offers: Vec<String> = Vec::new();
    for value in term.values().iter().copied().chain(before).chain(sites) {
        let fits = value.to_lowercase().contains(&wanted) && value != typed.trim();
        if fits && !offers.iter().any(|known| known == value) {
            offers.push(value.to_owned());
        }
    }
    offers.truncate(MOST);
    offers
}

/// Values of a day that may be wanted again, by field: those of each field that is free text.
pub(crate) fn values_of(session: &Session) -> Vec<(Term, String)> {
    let entries = session.fields.iter().chain(session.specimens.iter().flat_map(|s| &s.fields));
    let free = |term: Term| {
        !matches!(
            term,
            Term::EventDate | Term::EventTime | Term::HeldFrom | Term::Sex | Term::Caste | Term::Sensitivity
        )
    };
    let usable = entries.filter(|(term, entry)| free(**term) && !entry.knowingly);
    usable.map(|(term, entry)| (*term, entry.text.clone())).collect()
}

/// What a day says of its sites that will be so another time: where they are and what surrounds them. A place from a track is
/// that of one photograph, no site's.
pub(crate) fn sites_of(session: &Session) -> Vec<(String, BTreeMap<Term, String>)> {
    const OF_SITE: [Term; 4] =
        [Term::Coordinates, Term::CoordinateUncertaintyInMeters, Term::GeoreferenceSources, Term::Habitat];
    let of = |fields: &Fields| {
        let name = fields.get(&Term::Locality)?.text.clone();
        let known = OF_SITE.into_iter().filter_map(|term| {
            Some((term, fields.get(&term).filter(|entry| !entry.knowingly)?.text.clone()))
        });
        let known: BTreeMap<Term, String> = known.collect();
        let of_track =
            known.get(&Term::GeoreferenceSources).is_some_and(|source| source.starts_with("track "));
        (known.contains_key(&Term::Coordinates) && !of_track).then_some((name, known))
    };
    std::iter::once(&session.fields)
        .chain(session.specimens.iter().map(|s| &s.fields))
        .filter_map(of)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_offered_fits_what_is_typed() {
        let mut used = Settings::default();
        used.sites.insert("West bank".into(), BTreeMap::new());
        used.used = BTreeMap::from([(
            Term::Plant,
            ["red clover", "white clover", "vetch"].map(String::from).to_vec(),
        )]);
        assert_eq!(offers(Term::Plant, "CLO", &used), ["red clover", "white clover"]);
        assert_eq!(offers(Term::Plant, "vetch", &used), [""; 0], "it is there already");
        assert_eq!(offers(Term::Sex, "ma", &used), ["female", "male", "hermaphrodite"]);
        assert_eq!(offers(Term::Sex, "", &used).len(), 4);
        assert_eq!(offers(Term::Locality, "bank", &used), ["West bank"]);
    }
}
