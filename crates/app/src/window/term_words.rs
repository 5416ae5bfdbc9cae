//! What the fields of a record are called in the window, and what may be typed in them.

use record::Term;

use super::words::tell;

/// What a field is called.
pub(crate) fn name(term: Term) -> String {
    match term {
        Term::EventDate => tell!("term-event-date"),
        Term::RecordedBy => tell!("term-recorded-by"),
        Term::SamplingProtocol => tell!("term-sampling-protocol"),
        Term::Locality => tell!("term-locality"),
        Term::Coordinates => tell!("term-coordinates"),
        Term::CoordinateUncertaintyInMeters => tell!("term-uncertainty"),
        Term::GeoreferenceSources => tell!("term-georeference-sources"),
        Term::Habitat => tell!("term-habitat"),
        Term::EventTime => tell!("term-event-time"),
        Term::Plant => tell!("term-plant"),
        Term::Sex => tell!("term-sex"),
        Term::Caste => tell!("term-caste"),
        Term::LifeStage => tell!("term-life-stage"),
        Term::Behavior => tell!("term-behavior"),
        Term::HeldFrom => tell!("term-held-from"),
        Term::ReleasedAt => tell!("term-released-at"),
        Term::Sensitivity => tell!("term-sensitivity"),
        Term::Creator => tell!("term-creator"),
        Term::RightsHolder => tell!("term-rights-holder"),
        Term::License => tell!("term-license"),
        Term::Language => tell!("term-language"),
    }
}

/// What may be typed in it, shown while nothing is.
pub(crate) fn hint(term: Term) -> String {
    match term {
        Term::EventDate => tell!("term-event-date-hint"),
        Term::RecordedBy => tell!("term-recorded-by-hint"),
        Term::SamplingProtocol => tell!("term-sampling-protocol-hint"),
        Term::Locality => tell!("term-locality-hint"),
        Term::Coordinates => tell!("term-coordinates-hint"),
        Term::CoordinateUncertaintyInMeters => tell!("term-uncertainty-hint"),
        Term::GeoreferenceSources => tell!("term-georeference-sources-hint"),
        Term::Habitat => tell!("term-habitat-hint"),
        Term::EventTime | Term::HeldFrom => tell!("term-time-hint"),
        Term::Plant => tell!("term-plant-hint"),
        Term::Behavior => tell!("term-behavior-hint"),
        Term::ReleasedAt => tell!("term-released-at-hint"),
        Term::License => tell!("term-license-hint"),
        Term::Language => tell!("term-language-hint"),
        Term::Sex | Term::Caste | Term::LifeStage | Term::Sensitivity => term.values().join(", "),
        Term::Creator | Term::RightsHolder => String::new(),
    }
}
