//! The cautions shown where the work happens, from `assets/cautions.ron`.

use std::sync::LazyLock;

use serde::Deserialize;

/// A caution and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// What to mind, in a sentence or two.
    pub text: String,
    /// Where it is from.
    pub source: String,
}

/// Cautions beside fields and characters.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recording {
    /// On looking for a sting.
    pub sting: Caution,
    /// On keeping an animal cold.
    pub cold: Caution,
    /// On jars.
    pub jar: Caution,
    /// On letting an animal go.
    pub release: Caution,
    /// On permits.
    pub permit: Caution,
    /// On places that are told to others.
    pub place: Caution,
}

/// All cautions, by where they belong.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cautions {
    /// On handling living animals.
    pub handling: Vec<Caution>,
    /// On giving pictures and records to others.
    pub sharing: Vec<Caution>,
    /// On what is written of an animal, each beside its field.
    pub recording: Recording,
}

static CAUTIONS: LazyLock<Cautions> = LazyLock::new(|| {
    ron::from_str(include_str!("../../../assets/cautions.ron")).expect("the cautions built in are tested")
});

/// The cautions built into the program.
pub fn cautions() -> &'static Cautions {
    &CAUTIONS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_caution_names_its_source() {
        let Cautions { handling, sharing, recording } = cautions();
        let Recording { sting, cold, jar, release, permit, place } = recording;
        let beside = [sting, cold, jar, release, permit, place];
        let all: Vec<&Caution> = handling.iter().chain(sharing).chain(beside).collect();
        assert!(all.iter().all(|c| !c.source.is_empty()));
        for word in ["allergy", "emergency services", "never freeze", "permit", "release", "sensitive"] {
            assert!(all.iter().any(|c| c.text.contains(word)), "{word}");
        }
    }
}
