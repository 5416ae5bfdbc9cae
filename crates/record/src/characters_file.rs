//! The text of a characters file: its shape, and what can be wrong with it.
//!
//! In goes RON; out come [`Characters`], in which each region of colour has become a character of its own. What the
//! characters mean is [`crate::characters`].

use std::collections::BTreeSet;

use serde::Deserialize;

use crate::characters::{Character, Characters, CharactersFault, Clause, NOT_SEEN, Rule, State};
use crate::plan::line_of;
use crate::{CharacterKey, Plan, ViewKey};

/// As many colours as may be given of one region.
const COLOURS_A_REGION: usize = 2;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    key: String,
    plan: String,
    characters: Vec<Character>,
    #[serde(default)]
    colours: Vec<State>,
    #[serde(default)]
    regions_hint: String,
    #[serde(default)]
    regions_source: String,
    #[serde(default)]
    regions: Vec<Region>,
    #[serde(default)]
    measures: Vec<String>,
    rules: Vec<Rule>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Region {
    key: CharacterKey,
    name: String,
    views: Vec<ViewKey>,
}

/// Reads and checks; see [`Characters::from_text`].
pub(crate) fn read(text: &str, plan: &Plan) -> Result<Characters, CharactersFault> {
    let file: File = ron::from_str(text)
        .map_err(|e| CharactersFault { line: e.span.start.line, reason: format!("{}.", e.code) })?;
    let regions = file.regions.into_iter().map(|region| Character {
        key: region.key,
        name: region.name,
        views: region.views,
        hint: file.regions_hint.clone(),
        source: file.regions_source.clone(),
        most: COLOURS_A_REGION,
        ratio_of: None,
        states: file.colours.clone(),
        is_colour: true,
    });
    let all = file.characters.into_iter().chain(regions).collect();
    let characters =
        Characters { key: file.key, plan: file.plan, all, measures: file.measures, rules: file.rules };
    let fault = |(needle, reason): (String, String)| CharactersFault { line: line_of(text, &needle), reason };
    check(&characters, plan).map_err(fault)?;
    Ok(characters)
}

/// The first thing wrong, with a text of the file that it stands near.
fn check(characters: &Characters, plan: &Plan) -> Result<(), (String, String)> {
    let wrong = |near: &str, reason: String| Err((near.to_owned(), reason));
    if characters.plan != plan.key {
        let reason =
            format!("The characters are for the plan “{}”, this is “{}”.", characters.plan, plan.key);
        return wrong(&characters.plan, reason);
    }
    let mut keys = BTreeSet::new();
    for character in &characters.all {
        let key = character.key.as_str();
        if !is_key(key) {
            return wrong(key, key_reason(key));
        }
        if !keys.insert(key) {
            return wrong(key, format!("Two characters have the key “{key}”."));
        }
        if let Some(view) = character.views.iter().find(|view| plan.view(view).is_none()) {
            let reason =
                format!("“{key}” is tied to the view “{view}”, which the plan “{}” does not have.", plan.key);
            return wrong(view.as_str(), reason);
        }
        if character.views.is_empty() {
            return wrong(key, format!("“{key}” is tied to no view, so nothing could show it."));
        }
        if [&character.name, &character.hint, &character.source].iter().any(|text| text.trim().is_empty()) {
            return wrong(key, format!("“{key}” lacks its name, hint or source."));
        }
        check_states(character).or_else(|reason| wrong(key, reason))?;
    }
    characters.rules.iter().try_for_each(|rule| check_rule(characters, rule))
}

fn check_states(character: &Character) -> Result<(), String> {
    let key = &character.key;
    let mut states = BTreeSet::new();
    for state in &character.states {
        if !is_key(state.key.as_str()) {
            return Err(key_reason(state.key.as_str()));
        }
        if !states.insert(state.key.as_str()) {
            return Err(format!("“{key}” has the state “{}” twice.", state.key));
        }
        if state.name.trim().is_empty() {
            return Err(format!("The state “{}” of “{key}” has no name.", state.key));
        }
    }
    let ratios = character.states.iter().filter_map(|s| s.ratio).collect::<Vec<_>>();
    if !states.iter().any(|state| *state != NOT_SEEN) {
        return Err(format!("“{key}” has no states."));
    }
    if !states.contains(NOT_SEEN) {
        return Err(format!("“{key}” lacks the state “{NOT_SEEN}”, for when it cannot be told."));
    }
    if character.most == 0 {
        return Err(format!("Of “{key}” no state may be given."));
    }
    // A ratio of NaN bounds is in no order.
    if ratios.is_empty() == character.ratio_of.is_some() || !ratios.iter().all(|(from, below)| from < below) {
        return Err(format!("“{key}” needs both or neither of two measures and ranges of their ratio."));
    }
    Ok(())
}

fn check_rule(characters: &Characters, rule: &Rule) -> Result<(), (String, String)> {
    let wrong = |reason: String| Err((rule.words.clone(), reason));
    if rule.words.trim().is_empty() || rule.source.trim().is_empty() {
        return wrong("A rule lacks its words or source.".into());
    }
    if rule.when.is_empty() || rule.when.iter().any(Vec::is_empty) {
        return wrong("A rule has no condition, so it would always or never hold.".into());
    }
    for clause in rule.when.iter().flatten() {
        match clause {
            Clause::Field(field, words) if field.is_empty() || words.is_empty() => {
                return wrong("A condition names no field or no word.".into());
            }
            Clause::Field(..) => {}
            Clause::State(key, states) => {
                let Some(character) = characters.get(key) else {
                    return wrong(format!("A rule names the character “{key}”, which is not in the file."));
                };
                if let Some(state) = states.iter().find(|state| character.state(state).is_none()) {
                    return wrong(format!("A rule names the state “{state}”, which “{key}” does not have."));
                }
                if states.is_empty() {
                    return wrong(format!("A condition on “{key}” names no state."));
                }
            }
        }
    }
    Ok(())
}

fn is_key(key: &str) -> bool {
    !key.is_empty()
        && key.len() <= 32
        && key.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

fn key_reason(key: &str) -> String {
    format!("The key “{key}” must be 1 to 32 lower-case letters, digits and dashes.")
}
