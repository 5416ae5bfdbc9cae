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

/// All cautions, by where they belong.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cautions {
    /// On handling living animals.
    pub handling: Vec<Caution>,
    /// On giving pictures and records to others.
    pub sharing: Vec<Caution>,
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
        let all: Vec<&Caution> = cautions().handling.iter().chain(&cautions().sharing).collect();
        assert!(all.iter().all(|c| !c.source.is_empty()));
        for word in ["allergy", "emergency services", "never freeze", "permit", "release", "sensitive"] {
            assert!(all.iter().any(|c| c.text.contains(word)), "{word}");
        }
    }
}
