//! The characters that can be scored of the animals of a plan: those built in, found by the plan's key.
//!
//! Goes in: a plan. Come out: its [`Characters`], or why there are none. What they mean is `record`'s.

use record::{Characters, CharactersFault, Plan};

const BUILT_IN: [(&str, &str); 1] =
    [("bumble-bee", include_str!("../../../assets/characters/bumble-bee.ron"))];

/// Why a plan has no characters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoCharacters {
    /// None were written for it.
    NotWritten,
    /// They do not fit the plan, as when it is a person's own under the key of a built-in one and lacks a view.
    NotFitting(CharactersFault),
}

/// The characters of a plan.
///
/// # Errors
/// Says why there are none.
pub fn of(plan: &Plan) -> Result<Characters, NoCharacters> {
    let text = BUILT_IN.iter().find(|(key, _)| *key == plan.key).map(|(_, text)| *text);
    Characters::from_text(text.ok_or(NoCharacters::NotWritten)?, plan).map_err(NoCharacters::NotFitting)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plans::built_in;

    #[test]
    fn a_plan_has_its_own_characters_none_or_such_as_do_not_fit() {
        let plans = built_in();
        assert_eq!(of(&plans[0]).unwrap().all.len(), 23, "8 and 15 regions of colour");
        for other in &plans[1..] {
            assert_eq!(of(other), Err(NoCharacters::NotWritten), "{}", other.key);
        }
        let mut own = plans[0].clone();
        own.views.retain(|view| view.key.as_str() != "wing");
        let Err(NoCharacters::NotFitting(fault)) = of(&own) else { panic!("a view is lacking") };
        assert!(fault.reason.contains("the view “wing”"), "{fault}");
    }
}
