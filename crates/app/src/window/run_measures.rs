//! What is said of marks on the page of measures: known lengths, what is measured, scales and ratios, and what they stand for.

use record::{CHEEK_LENGTH, CHEEK_WIDTH, Edit, KnownLength, Mark, MarkId, ScaleUsed, Score};

use super::app::App;
use super::mark_values::{name, state_of_ratio};
use super::marking::{MarkAsk, marks_of};
use super::open_day::OpenDay;
use super::run_characters::with_characters;
use super::words::tell;

/// The standard uncertainty offered for a known length, mm: some 0.02 mm is what a person sees of a printed ruler's line; our
/// own choice, shown and changed at will.
pub(crate) const KNOWN_STANDARD_MM: &str = "0.02";

impl App {
    /// Writes what was said of the chosen mark.
    pub(super) fn mark_typed(&mut self, ask: MarkAsk) {
        self.commit_moves();
        let Some((open, mark)) = self.chosen_mark() else { return };
        let (mark, number) = (mark.clone(), open.sheet.number(mark.frame));
        match ask {
            MarkAsk::Known => self.give_length(&mark),
            MarkAsk::Plane => self.give_plane(&mark),
            MarkAsk::What(what) => {
                let usual = open.characters.as_ref().map_or(&[][..], |characters| &characters.measures);
                let what = meant(&what, usual);
                self.state.specimen.marking.what = None;
                if what == mark.what {
                    return;
                }
                let words = tell!("undo-name-mark", mark = name(&mark), number = number, what = &what);
                let mut edits = vec![Edit::Mark(mark.id, Some(Box::new(Mark { what, ..mark.clone() })))];
                if let (Some(open), Edit::Mark(_, Some(named))) = (&self.open, &edits[0]) {
                    let parts = divided(open, named);
                    edits.extend(parts.into_iter().map(|m| Edit::Mark(m.id, Some(Box::new(m)))));
                }
                self.edit(&words, Some(Edit::Many(edits)));
            }
            MarkAsk::Scale(scale) if scale != mark.scale => {
                let words = match scale {
                    ScaleUsed::Unscaled => tell!("undo-scale-none", mark = name(&mark), number = number),
                    ScaleUsed::SameFrame => tell!("undo-scale-own", mark = name(&mark), number = number),
                    ScaleUsed::Carried(from) => {
                        let from = self.open.as_ref().map_or(0, |open| open.sheet.number(from));
                        tell!("undo-scale-carried", mark = name(&mark), number = number, from = from)
                    }
                };
                self.edit_mark(&words, Mark { scale, ..mark });
            }
            MarkAsk::Ratio(ratio_to) if ratio_to != mark.ratio_to => {
                let words = tell!("undo-ratio", mark = name(&mark), number = number);
                self.edit_mark(&words, Mark { ratio_to, ..mark });
            }
            _ => {}
        }
    }

    /// Writes where points were moved to, and what is typed of the chosen mark.
    pub(super) fn commit_marks(&mut self) {
        self.commit_moves();
        if let Some(what) = self.state.specimen.marking.what.take() {
            self.mark_typed(MarkAsk::What(what));
        }
        if self.state.specimen.marking.plane.is_some() {
            self.mark_typed(MarkAsk::Plane);
        }
        let known = self.state.specimen.marking.known.as_ref();
        if known.is_some_and(|typed| !typed[0].trim().is_empty()) {
            self.mark_typed(MarkAsk::Known);
        }
    }

    fn chosen_mark(&self) -> Option<(&OpenDay, &Mark)> {
        let open = self.open.as_ref()?;
        Some((open, open.day.session.marks.get(&self.state.specimen.marking.chosen?)?))
    }

    fn edit_mark(&mut self, words: &str, mark: Mark) {
        self.edit(words, Some(Edit::Mark(mark.id, Some(Box::new(mark)))));
    }

    /// Gives a mark the length that was typed. What on its frame has no scale yet is measured by it.
    fn give_length(&mut self, mark: &Mark) {
        let Some(typed) = self.state.specimen.marking.known.clone() else { return };
        let (mm, standard_mm) =
            (number(&typed[0]).filter(|mm| *mm > 0.0), number(&typed[1]).filter(|s| *s >= 0.0));
        let (Some(mm), Some(standard_mm)) = (mm, standard_mm) else {
            self.state.specimen.marking.refused = Some(tell!("measure-known-refused"));
            return;
        };
        let known = Some(KnownLength { mm, standard_mm });
        self.state.specimen.marking.forget_typed();
        let Some(open) = self.open.as_ref().filter(|_| known != mark.known) else { return };
        let session = &open.day.session;
        let changed =
            Mark { known, what: String::new(), ratio_to: None, scale: ScaleUsed::Unscaled, ..mark.clone() };
        let others = marks_of(session, mark.frame).filter(|other| {
            other.id != mark.id && other.known.is_none() && other.scale == ScaleUsed::Unscaled
        });
        let scaled = others.map(|other| Mark { scale: ScaleUsed::SameFrame, ..other.clone() });
        let marks = std::iter::once(changed).chain(scaled);
        let edits = marks.map(|m| Edit::Mark(m.id, Some(Box::new(m)))).collect();
        let words = tell!("undo-known", mm = typed[0].trim(), number = open.sheet.number(mark.frame));
        self.edit(&words, Some(Edit::Many(edits)));
        self.state.specimen.marking.asks = None;
    }

    /// Says how a mark may lie out of the plane, as was typed; what is empty counts as 0.
    fn give_plane(&mut self, mark: &Mark) {
        let Some(typed) = self.state.specimen.marking.plane.clone() else { return };
        let value = |text: &str| if text.trim().is_empty() { Some(0.0) } else { number(text) };
        let tilt = value(&typed[0]).filter(|degrees| (0.0..90.0).contains(degrees));
        let depth = value(&typed[1]).filter(|percent| (0.0..=100.0).contains(percent));
        let (Some(tilt_deg), Some(percent)) = (tilt, depth) else {
            self.state.specimen.marking.refused = Some(tell!("measure-plane-refused"));
            return;
        };
        self.state.specimen.marking.forget_typed();
        let changed = Mark { tilt_deg, depth_share: percent / 100.0, ..mark.clone() };
        let Some(open) = self.open.as_ref().filter(|_| changed != *mark) else { return };
        let words = tell!("undo-plane", mark = name(mark), number = open.sheet.number(mark.frame));
        self.edit_mark(&words, changed);
    }

    /// Takes the state that the ratio of the chosen mark stands for.
    pub(super) fn take_ratio(&mut self) {
        let Some((open, mark)) = self.chosen_mark() else { return };
        let Some((_, characters)) = with_characters(open) else { return };
        let session = &open.day.session;
        let (Some(found), Some(set)) =
            (state_of_ratio(session, characters, mark), session.set_of(mark.frame))
        else {
            return;
        };
        let character = found.character.name.to_lowercase();
        let words = tell!("undo-score", character = character, specimen = open.set_number(set));
        let scores = vec![Score::from(found.state.key.as_str())];
        let edit = session.score(set, &found.character.key, scores);
        self.edit(&words, edit);
    }
}

/// What becomes divided by what once a mark measures this: cheek length by cheek width of the same frame, where neither is
/// divided yet. Given are the marks that change besides it, or it itself.
fn divided(open: &OpenDay, named: &Mark) -> Vec<Mark> {
    let other = |what: &str| -> Option<&Mark> {
        marks_of(&open.day.session, named.frame).filter(|m| m.id != named.id).find(|m| m.what == what)
    };
    let over = |mark: &Mark, to: MarkId| Mark { ratio_to: Some(to), ..mark.clone() };
    match named.what.as_str() {
        CHEEK_LENGTH if named.ratio_to.is_none() => {
            other(CHEEK_WIDTH).map(|width| over(named, width.id)).into_iter().collect()
        }
        CHEEK_WIDTH => {
            let long = other(CHEEK_LENGTH).filter(|m| m.ratio_to.is_none());
            long.map(|long| over(long, named.id)).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// The number that was typed, with a point or a comma.
fn number(text: &str) -> Option<f64> {
    text.trim().replace(',', ".").parse::<f64>().ok().filter(|v| v.is_finite())
}

/// A usual measure where it alone begins so, else the text itself: `int` is enough for the intertegular distance.
fn meant(typed: &str, usual: &[String]) -> String {
    let begun = typed.trim().to_lowercase();
    let mut fits = usual.iter().filter(|known| begun.len() > 1 && known.starts_with(&begun));
    match (fits.next(), fits.next()) {
        (Some(one), None) => one.clone(),
        _ => typed.trim().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_usual_measure_is_meant_where_it_alone_begins_so() {
        for (typed, expected) in [
            ("int", "intertegular distance"),
            ("cheek w", "cheek width"),
            ("Cheek", "Cheek"),
            ("i", "i"),
            (" wing ", "wing"),
        ] {
            assert_eq!(meant(typed, &record::KNOWN_MEASURES.map(str::to_owned)), expected);
        }
    }
}
