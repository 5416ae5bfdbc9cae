//! Answers to questions that are answered by typing: what was typed becomes a change, or is refused in words.

use record::{Body, Edit, FrameId, parse_shift, shift_from_pair, shift_from_shown};

use super::app::App;
use super::clocks::{body_words, off_words, shown_time};
use super::sheet_order::{Only, shown};
use super::state::{Overlay, Question};
use super::words::tell;

/// What a question's answer does, and words for undo; or what is wrong with it.
type Reply = Result<(String, Edit), String>;

impl App {
    /// Takes an answer: makes the change and closes the question, or says what is wrong with it.
    pub(super) fn reply(&mut self, question: Question, text: String) {
        match self.answered(&question, &text) {
            Ok(change) => {
                self.state.overlay = None;
                if let Some((words, edit)) = change {
                    self.edit(&words, Some(edit));
                }
            }
            Err(refused) => {
                self.state.overlay = Some(Overlay::Ask { question, text, refused: Some(refused) });
            }
        }
    }

    /// The change that an answer asks for; `None` where it only leads somewhere.
    fn answered(&mut self, question: &Question, text: &str) -> Result<Option<(String, Edit)>, String> {
        let change = match question {
            Question::MoveTo(frame) => self.move_to(*frame, text),
            Question::RetakeOf(frame) => self.retake_of(*frame, text),
            Question::Shift(body) => shift(body, text),
            Question::Shown(frame) => self.shown(*frame, text),
            Question::Limit => limit(text),
            Question::Note(frames) => self.note(frames, text.trim()),
            Question::Find => return self.find(text).map(|()| None),
        };
        change.map(Some)
    }

    /// Goes to the specimen with this jar, else with this number, else whose jar begins so.
    fn find(&mut self, text: &str) -> Result<(), String> {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let (session, wanted) = (&open.day.session, text.trim().to_lowercase());
        let place = |holds: &dyn Fn(&record::Set) -> bool| session.sets.iter().position(holds);
        let jar = |set: &record::Set| session.jar_of(set).to_lowercase();
        let found = place(&|s| !wanted.is_empty() && jar(s) == wanted)
            .or_else(|| place(&|s| s.number.to_string() == wanted))
            .or_else(|| place(&|s| !wanted.is_empty() && jar(s).starts_with(&wanted)));
        let set = found.ok_or_else(|| tell!("reply-not-found"))?;
        // It is to be seen, whatever was left out before.
        if !shown(open, &self.state.sheet).contains(&set) {
            self.state.sheet.only = Only::All;
        }
        self.choose_row(set);
        Ok(())
    }

    /// Writes one note for the sets of these frames.
    fn note(&self, frames: &[FrameId], note: &str) -> Reply {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let session = &open.day.session;
        let sets: Vec<usize> = frames.iter().filter_map(|f| session.set_of(*f)).collect();
        let edit = session.one_after_another(&sets, |session, set| session.write_note(set, note));
        let edit = edit.ok_or_else(|| tell!("reply-no-specimen"))?;
        let first = sets.first().map_or(0, |at| session.sets[*at].number);
        Ok(match sets.len() {
            1 => (tell!("undo-write-note", specimen = first), edit),
            n => (tell!("undo-write-notes", n = n), edit),
        })
    }

    /// The place of the set with this number.
    fn set_of_number(&self, number: &str) -> Result<usize, String> {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let wanted = number.trim().parse::<u32>().ok();
        let at = open.day.session.sets.iter().position(|s| Some(s.number) == wanted);
        at.ok_or_else(|| tell!("reply-no-specimen"))
    }

    fn retake_of(&self, frame: FrameId, number: &str) -> Reply {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let session = &open.day.session;
        let of = self.set_of_number(number)?;
        let set = session.set_of(frame).ok_or_else(|| tell!("reply-frame-in-none"))?;
        let edit = session.take_as_retake(set, of).filter(|_| of < set);
        let edit = edit.ok_or_else(|| tell!("reply-retake-later"))?;
        let number = |at: usize| session.sets[at].number;
        Ok((tell!("undo-take-as-retake", retake = number(set), specimen = number(of)), edit))
    }

    fn move_to(&self, frame: FrameId, number: &str) -> Reply {
        self.moved_to(frame, self.set_of_number(number)?)
    }

    /// Moving a frame to the set at this place.
    pub(super) fn moved_to(&self, frame: FrameId, to: usize) -> Reply {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let session = &open.day.session;
        let edit = session.move_frame(frame, to).ok_or_else(|| tell!("reply-frame-in-it"))?;
        let (number, specimen) = (open.sheet.number(frame), session.sets[to].number);
        Ok((tell!("undo-move-frame", number = number, specimen = specimen), edit))
    }

    fn shown(&self, frame: FrameId, text: &str) -> Reply {
        let open = self.open.as_ref().ok_or_else(|| tell!("reply-no-card"))?;
        let number = open.sheet.number(frame);
        let frame = open.sheet.frame(&open.day, frame).ok_or_else(|| tell!("reply-frame-not-there"))?;
        let shown = shown_time(text, frame).ok_or_else(|| tell!("reply-no-time-typed"))?;
        let secs = shift_from_shown(frame, shown).ok_or_else(|| tell!("reply-frame-no-time"))?;
        let body = self.body_of(frame.id).ok_or_else(|| tell!("reply-no-camera"))?;
        Ok((tell!("undo-clock-by-frame", number = number), Edit::Clock(body, Some(secs))))
    }

    /// Corrects the clock of the second frame's camera, so that both show one moment.
    pub(super) fn line_up(&mut self, stays: FrameId, moves: FrameId) {
        self.state.overlay = None;
        let Some(open) = &self.open else { return };
        let frame = |id| open.sheet.frame(&open.day, id);
        let (Some(a), Some(b)) = (frame(stays), frame(moves)) else { return };
        let (Some(secs), Some(body)) = (shift_from_pair(a, b), self.body_of(moves)) else { return };
        let (first, second) = (open.sheet.number(stays), open.sheet.number(moves));
        let words = tell!("undo-line-up", first = first, second = second);
        self.state.marked = None;
        self.edit(&words, Some(Edit::Clock(body, Some(secs))));
    }
}

fn shift(body: &Body, text: &str) -> Reply {
    let secs = parse_shift(text).map_err(|fault| format!("{fault}."))?;
    let words = if secs == 0.0 {
        tell!("undo-clock-as-set", body = body_words(body))
    } else {
        tell!("undo-clock-was", body = body_words(body), off = off_words(secs))
    };
    Ok((words, Edit::Clock(body.clone(), Some(secs))))
}

fn limit(text: &str) -> Reply {
    let text = text.trim().trim_end_matches("min").trim_end();
    match text.parse::<u16>() {
        _ if text.is_empty() => Ok((tell!("undo-no-limit"), Edit::HoldingLimit(None))),
        Ok(0) => Ok((tell!("undo-no-limit"), Edit::HoldingLimit(None))),
        Ok(min) => Ok((tell!("undo-limit", min = min), Edit::HoldingLimit(Some(min)))),
        Err(_) => Err(tell!("reply-no-minutes")),
    }
}
