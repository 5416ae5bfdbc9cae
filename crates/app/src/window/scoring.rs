//! Scoring characters: which one the keyboard is at, and what choosing a state makes of those that are chosen.
//!
//! Go in: a character and what was scored of it. Comes out: what is scored then. Drawing and writing are elsewhere.

use egui::{Id, Key};
use grouping::Slot;
use record::{Character, FrameId, NOT_SEEN, Score, Specimen, StateKey};

use super::chord::Chord;
use super::open_day::OpenDay;

/// The character whose caution is shown beside it.
pub(crate) const STING: &str = "sting";

/// Where the keyboard is in the list of characters.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Scoring {
    /// The place of the character.
    pub(crate) at: usize,
    /// The place of the state that Space takes, where several may be given together.
    pub(crate) state: usize,
    /// Whether the list should take the keyboard.
    pub(crate) focus: bool,
    /// Whether the character should be scrolled to.
    pub(crate) reveal: bool,
}

/// What the list asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ScoreAsk {
    /// Goes to the character at this place.
    GoTo(usize),
    /// Chooses a state of the character at this place, or no longer.
    Choose(usize, usize),
}

/// What a key means to the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ListKey {
    /// So many characters down.
    Step(isize),
    /// The next state, or the one before.
    Beside(isize),
    /// The state at this place.
    State(usize),
    /// The state that the ring is around.
    Take,
    /// So many per cent more of the first state.
    Share(i8),
    /// No state: nobody looked.
    Empty,
}

/// The list as something that has the keyboard.
pub(crate) fn list_id() -> Id {
    Id::unique("characters list")
}

/// One step of a share by a key: finer than this nobody sees how much of a region a colour covers. Our own choice.
const SHARE_STEP_PERCENT: i8 = 10;

const DIGITS: [Key; 9] =
    [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];

/// What a key means while the list has the keyboard; `None` for keys that go on being commands and letters of views.
pub(crate) fn list_key(chord: Chord) -> Option<ListKey> {
    // Plus is typed with Shift on many keyboards.
    if chord.ctrl || (chord.shift && chord.key != Key::Plus) {
        return None;
    }
    Some(match chord.key {
        Key::ArrowUp => ListKey::Step(-1),
        Key::ArrowDown => ListKey::Step(1),
        Key::Home => ListKey::Step(isize::MIN),
        Key::End => ListKey::Step(isize::MAX),
        Key::ArrowLeft => ListKey::Beside(-1),
        Key::ArrowRight => ListKey::Beside(1),
        Key::Space => ListKey::Take,
        Key::Plus | Key::Equals => ListKey::Share(SHARE_STEP_PERCENT),
        Key::Minus => ListKey::Share(-SHARE_STEP_PERCENT),
        Key::Backspace | Key::Delete => ListKey::Empty,
        key => ListKey::State(DIGITS.iter().position(|digit| *digit == key)?),
    })
}

/// What is scored once a state was chosen: alone where one may be given, beside the others where several may, the oldest
/// giving way; no longer when it was scored already. Not seen stands alone. Shares were of what was scored before: they go.
pub(crate) fn chosen(character: &Character, scored: &[Score], state: &StateKey) -> Vec<Score> {
    let others = || scored.iter().filter(|s| s.state != *state).map(|s| Score::from(s.state.as_str()));
    if others().count() < scored.len() {
        return others().collect();
    }
    let new = Score::from(state.as_str());
    if character.most == 1 || state.as_str() == NOT_SEEN {
        return vec![new];
    }
    let mut all: Vec<Score> = others().filter(|s| s.state.as_str() != NOT_SEEN).collect();
    all.push(new);
    let over = all.len().saturating_sub(character.most);
    all.split_off(over)
}

/// The colours of a region once the first covers so much more or less of it, in per cent: from all of it where it is alone, else
/// from half, the second covering the rest. Unchanged where none is seen.
pub(crate) fn shared(scored: &[Score], by: i8) -> Vec<Score> {
    let mut all = scored.to_vec();
    let Some(first) = all.first_mut().filter(|first| first.state.as_str() != NOT_SEEN) else { return all };
    let from = first.percent.unwrap_or(if scored.len() == 1 { 100 } else { 50 });
    let most = if scored.len() == 1 { 100 } else { 100 - SHARE_STEP_PERCENT.unsigned_abs() };
    let percent = from.saturating_add_signed(by).clamp(SHARE_STEP_PERCENT.unsigned_abs(), most);
    first.percent = Some(percent);
    if let [_, second] = all.as_mut_slice() {
        second.percent = Some(100 - percent);
    }
    all
}

/// The state beside the one that is scored, in the order of the character; from none the first or the last.
pub(crate) fn beside(character: &Character, scored: &[Score], by: isize) -> usize {
    let last = character.states.len() - 1;
    let at = scored.first().and_then(|s| character.states.iter().position(|known| known.key == s.state));
    match at {
        Some(at) => at.saturating_add_signed(by).min(last),
        None if by < 0 => last,
        None => 0,
    }
}

/// What was scored of a character of a specimen.
pub(crate) fn scored<'a>(record: Option<&'a Specimen>, character: &Character) -> &'a [Score] {
    record.and_then(|s| s.scores.get(&character.key)).map_or(&[], Vec::as_slice)
}

/// The frame that shows a character best: the best of the first of its views that has one.
pub(crate) fn best_frame<'a>(
    open: &'a OpenDay,
    set: usize,
    character: &Character,
) -> Option<(&'a Slot, FrameId)> {
    let slots = &open.sheet.rows.get(set)?.coverage.slots;
    character.views.iter().find_map(|view| {
        let slot = slots.iter().find(|slot| slot.view == *view)?;
        Some((slot, *slot.frames.first()?))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn character(key: &str) -> Character {
        let plan = crate::plans::usual();
        crate::characters::of(&plan).unwrap().get(&key.into()).unwrap().clone()
    }

    /// States as one text, `yellow+black`.
    fn scores(text: &str) -> Vec<Score> {
        text.split('+').filter(|s| !s.is_empty()).map(Score::from).collect()
    }

    #[test]
    fn one_state_stands_alone_and_of_several_the_oldest_gives_way() {
        let check = |key: &str, before: &str, state: &str, expected: &str| {
            let got = chosen(&character(key), &scores(before), &state.into());
            assert_eq!(got, scores(expected), "{key}: {before}, then {state}");
        };
        check("sting", "", "seen", "seen");
        check("sting", "seen", "not-seen", "not-seen");
        check("sting", "seen", "seen", "");
        check("hair-t2", "yellow", "black", "yellow+black");
        check("hair-t2", "yellow+black", "white", "black+white");
        check("hair-t2", "yellow+black", "yellow", "black");
        check("hair-t2", "yellow+black", "not-seen", "not-seen");
        check("hair-t2", "not-seen", "black", "black");
        check("hair-condition", "wet+worn", "faded", "wet+worn+faded");
    }

    #[test]
    fn a_share_goes_by_tens_and_two_make_the_whole() {
        let check = |before: &str, steps: &[i8], expected: &[u8]| {
            let got = steps.iter().fold(scores(before), |scored, by| shared(&scored, *by));
            assert_eq!(got.iter().filter_map(|s| s.percent).collect::<Vec<_>>(), expected, "{before}");
        };
        check("black", &[-10], &[90]);
        check("black", &[-10, 10, 10], &[100]);
        check("black+white", &[10], &[60, 40]);
        check("black+white", &[10; 9], &[90, 10]);
        check("black+white", &[-10; 9], &[10, 90]);
        check("not-seen", &[10], &[]);
        check("", &[10], &[]);
        let halved = shared(&scores("black+white"), 0);
        let less = chosen(&character("hair-t2"), &halved, &"white".into());
        assert_eq!(less, scores("black"), "a share of two is none of one");
    }

    #[test]
    fn the_next_state_is_the_one_beside_and_the_ends_stay() {
        let check = |before: &str, by: isize, expected: usize| {
            assert_eq!(beside(&character("pollen-load"), &scores(before), by), expected, "{before}");
        };
        check("", 1, 0);
        check("", -1, 2);
        check("present", 1, 1);
        check("not-seen", 1, 2);
        check("present", -1, 0);
    }

    #[test]
    fn letters_and_other_keys_stay_commands() {
        let key = |key| list_key(Chord { ctrl: false, shift: false, key });
        assert_eq!(key(Key::Num3), Some(ListKey::State(2)));
        for other in [Key::F, Key::F7, Key::PageDown, Key::Enter, Key::Escape, Key::Num0] {
            assert_eq!(key(other), None);
        }
        assert_eq!(list_key(Chord { ctrl: true, shift: false, key: Key::Num1 }), None, "pixel for pixel");
    }
}
