//! What is shared of each specimen of a filed session, before it is put into any table.
//!
//! Goes in: a session and an [`Audience`]. Comes out: a [`Shown`] a specimen, with its name of
//! [`crate::identity`], its day, and its place as held and as shared; and the numbers of sets that cannot be shared. A value
//! kept knowingly amiss counts as not there. It writes nothing.

use std::collections::{BTreeMap, BTreeSet};

use record::{
    Determination, Filed, Frame, FrameId, Session, Set, Specimen, Term, current_name, parse_coordinates,
};
use uuid::Uuid;

use crate::coarsen::{HeldPlace, Sensitivity, SharedPlace, coarsen};
use crate::{Audience, identity, stops::Stop};

/// What stands in place of words that would tell a place.
pub(crate) const WITHHELD: &str = "withheld";

/// A specimen as it is shared.
pub(crate) struct Shown<'a> {
    pub(crate) session: &'a Session,
    pub(crate) set: &'a Set,
    pub(crate) specimen: &'a Specimen,
    pub(crate) id: Uuid,
    /// The name it goes by.
    pub(crate) name: Option<&'a Determination>,
    /// The day; empty when not known.
    pub(crate) date: String,
    /// The frames of its set, in order.
    pub(crate) frames: Vec<&'a Frame>,
    pub(crate) sensitivity: Sensitivity,
    pub(crate) held: Option<HeldPlace>,
    pub(crate) place: SharedPlace,
}

/// What a session has to share.
pub(crate) struct Shares<'a> {
    pub(crate) all: Vec<Shown<'a>>,
    /// Where the bytes of a frame's first file stand, by frame. Files whose place on the card several frames came from are
    /// left out: it cannot be said whose bytes they are.
    pub(crate) filed: BTreeMap<FrameId, &'a Filed>,
    /// Numbers of sets without a record, or of which no picture is filed.
    pub(crate) left_out: Vec<u32>,
}

/// Works out what a session has to share with an audience.
pub(crate) fn shares<'a>(session: &'a Session, audience: &Audience) -> Shares<'a> {
    let frames: BTreeMap<FrameId, &Frame> = session.frames.iter().map(|frame| (frame.id, frame)).collect();
    let filed = filed(session);
    let ids = ids(session, &filed);
    let specimens: BTreeMap<_, &Specimen> = session.specimens.iter().map(|s| (s.id, s)).collect();
    let mut shares = Shares { all: Vec::new(), filed, left_out: Vec::new() };
    for set in &session.sets {
        let specimen = set.specimens.first().and_then(|id| specimens.get(id).copied());
        let Some((specimen, id)) = specimen.and_then(|s| Some((s, *ids.get(&s.id)?))) else {
            shares.left_out.push(set.number);
            continue;
        };
        let frames: Vec<&Frame> = set.frames.iter().filter_map(|id| frames.get(id).copied()).collect();
        let name = current_name(&specimen.determinations);
        let sensitivity = sensitivity(session, specimen, name, audience.unnamed);
        let sensitivity = sensitivity.max(audience.also_coarsened.get(&id).copied().unwrap_or_default());
        let held = held(session, specimen);
        let written = text(session, specimen, Term::EventDate).map(str::to_owned);
        let date =
            written.or_else(|| frames.iter().find_map(|f| Some(f.when()?.date()))).or_else(|| session.date());
        shares.all.push(Shown {
            session,
            set,
            specimen,
            id,
            name,
            date: date.unwrap_or_default(),
            frames,
            sensitivity,
            held,
            place: coarsen(held.as_ref(), sensitivity.sharing()),
        });
    }
    // Their order would tell between which of the others the coarsened ones were taken.
    shares.all.sort_by_key(|shown| shown.is_coarsened().then_some(shown.id));
    shares
}

/// Where the bytes of each frame's first file stand; see [`Shares::filed`].
fn filed(session: &Session) -> BTreeMap<FrameId, &Filed> {
    let mut owners: BTreeMap<&str, usize> = BTreeMap::new();
    for frame in &session.frames {
        *owners.entry(frame.path()).or_default() += 1;
    }
    session
        .frames
        .iter()
        .filter(|frame| owners[frame.path()] == 1)
        .filter_map(|frame| Some((frame.id, session.filed.get(frame.path())?)))
        .collect()
}

/// The occurrence of each record of a session of which a picture is filed.
pub fn occurrences(session: &Session) -> BTreeMap<record::SpecimenId, Uuid> {
    ids(session, &filed(session))
}

/// The occurrence of each record of which a picture is filed.
fn ids(session: &Session, filed: &BTreeMap<FrameId, &Filed>) -> BTreeMap<record::SpecimenId, Uuid> {
    let mut specimens: Vec<&Specimen> = session.specimens.iter().collect();
    specimens.sort_by_key(|s| s.id);
    let mut begun: BTreeMap<&str, usize> = BTreeMap::new();
    let mut ids = BTreeMap::new();
    for specimen in specimens {
        let Some(first) = specimen.anchors.iter().find_map(|id| filed.get(id)) else { continue };
        let nth = begun.entry(&first.sha256).or_default();
        ids.insert(specimen.id, identity::occurrence(&first.sha256, *nth));
        *nth += 1;
    }
    ids
}

/// What stands in a field and is as it should be.
pub(crate) fn text<'a>(session: &'a Session, specimen: &'a Specimen, term: Term) -> Option<&'a str> {
    let entry = session.entry(Some(specimen), term)?;
    // A session's text may have been changed by hand.
    (!entry.knowingly && term.check(&entry.text).is_ok()).then_some(entry.text.as_str())
}

fn held(session: &Session, specimen: &Specimen) -> Option<HeldPlace> {
    let at = parse_coordinates(text(session, specimen, Term::Coordinates)?).ok()?;
    let uncertainty = text(session, specimen, Term::CoordinateUncertaintyInMeters);
    Some(HeldPlace { at, uncertainty_m: uncertainty.and_then(|metres| metres.parse().ok()) })
}

/// As written; for one without a name of which nothing is written, the given one. What cannot be read counts as the strictest.
fn sensitivity(
    session: &Session,
    specimen: &Specimen,
    name: Option<&Determination>,
    unnamed: Sensitivity,
) -> Sensitivity {
    match session.entry(Some(specimen), Term::Sensitivity) {
        Some(entry) => Sensitivity::of_word(&entry.text).unwrap_or(Sensitivity::Extreme),
        None if name.is_none() => unnamed,
        None => Sensitivity::None,
    }
}

impl Shown<'_> {
    /// What stands in a field and is as it should be.
    pub(crate) fn text(&self, term: Term) -> Option<&str> {
        text(self.session, self.specimen, term)
    }

    /// Whether its place is not shared as held.
    pub(crate) fn is_coarsened(&self) -> bool {
        self.sensitivity != Sensitivity::None
    }

    /// Where and when it was caught.
    pub(crate) fn stop(&self) -> Stop {
        Stop {
            occurrence: self.id,
            date: self.date.clone(),
            at: self.held.map(|held| held.at),
            uncertainty_m: self.held.and_then(|held| held.uncertainty_m),
            locality: self.text(Term::Locality).unwrap_or_default().to_owned(),
            is_coarsened: self.is_coarsened(),
        }
    }

    /// Texts that give the held place away wherever they stand; empty when it is shared as held.
    pub(crate) fn secrets(&self) -> BTreeSet<String> {
        if !self.is_coarsened() {
            return BTreeSet::new();
        }
        let mut secrets = BTreeSet::new();
        secrets.extend(self.text(Term::Locality).map(|name| name.trim().to_lowercase()));
        if let Some(held) = self.held {
            let (latitude, longitude) = held.at.decimal_text();
            // What is shared as it is held is no secret.
            secrets.extend((latitude != self.place.latitude).then_some(latitude));
            secrets.extend((longitude != self.place.longitude).then_some(longitude));
        }
        secrets.retain(|secret| secret.chars().count() >= 3);
        secrets
    }

    /// Whether free words may tell its place: they hold a digit, or a word of its locality.
    pub(crate) fn may_tell(&self, text: &str) -> bool {
        let words = |text: &str| -> BTreeSet<String> {
            let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| word.chars().count() > 3);
            words.map(str::to_lowercase).collect()
        };
        let locality = words(self.text(Term::Locality).unwrap_or_default());
        text.contains(|c: char| c.is_numeric()) || !words(text).is_disjoint(&locality)
    }

    /// Words that are of use without the place: replaced where they may tell it.
    pub(crate) fn unless_telling<'t>(&self, text: &'t str) -> &'t str {
        if self.is_coarsened() && self.may_tell(text) { WITHHELD } else { text.trim() }
    }

    /// Words of a kind that as a rule tell the place: replaced where any stand, so that nobody takes them for never noted.
    pub(crate) fn unless_told<'t>(&self, text: &'t str) -> &'t str {
        if self.is_coarsened() && !text.trim().is_empty() { WITHHELD } else { text.trim() }
    }

    /// The locality as it is shared.
    pub(crate) fn shared_locality(&self) -> &str {
        let locality = self.text(Term::Locality).unwrap_or_default();
        if self.is_coarsened() { &self.place.instead_of_locality } else { locality }
    }
}
