//! What is typed of a sending, and turning it into an edit.

use record::{Edit, FrameId, Heard, Sending, Session};

use super::app::App;
use super::sheet_order::chosen;
use super::state::Overlay;
use super::words::tell;

/// A sending as it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct SentDraft {
    /// To whom or where.
    pub(crate) to: String,
    /// The day.
    pub(crate) sent: String,
    /// By when an answer is wanted.
    pub(crate) wanted_by: String,
    /// The first frames of the sets it is about.
    pub(crate) sets: Vec<FrameId>,
    /// What was wrong with it.
    pub(crate) refused: Option<String>,
    /// An answer as it is typed.
    pub(crate) heard: Option<HeardDraft>,
}

/// An answer as it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct HeardDraft {
    /// To which sending.
    pub(crate) of: u32,
    pub(crate) heard: Heard,
}

/// The pictures that go by default: those confirmed to show a view, the best of each.
fn pictures(session: &Session, set: usize) -> Vec<FrameId> {
    let labels = &session.decisions.labels;
    let mut of_view: Vec<(&str, FrameId)> = Vec::new();
    for frame in &session.sets[set].frames {
        let Some(view) = labels.get(frame).map(|label| label.view.as_str()) else { continue };
        let preferred = session.decisions.preferred.contains(frame);
        match of_view.iter_mut().find(|(known, _)| *known == view) {
            Some((_, known)) if preferred => *known = *frame,
            Some(_) => {}
            None => of_view.push((view, *frame)),
        }
    }
    of_view.into_iter().map(|(_, frame)| frame).collect()
}

impl App {
    /// Opens what was sent, to note another sending of the chosen specimens.
    pub(super) fn sent_and_heard(&mut self) {
        let Some(open) = &self.open else { return };
        let sets = chosen(open, &self.state).into_iter();
        let sets = sets.filter_map(|set| open.first_frame(set)).collect();
        let sent = (self.clock)().date();
        let draft = SentDraft { sent, sets, ..SentDraft::default() };
        self.state.overlay = Some(Overlay::Sent(Box::new(draft)));
    }

    /// Notes the sending as it is typed.
    pub(super) fn note_sent(&mut self) {
        let (Some(open), Some(Overlay::Sent(draft))) = (&self.open, &self.state.overlay) else { return };
        let session = &open.day.session;
        let number = session.sendings.keys().last().map_or(0, |last| last + 1);
        // Each specimen has a record from then on.
        let mut as_sent = session.clone();
        let mut edits = Vec::new();
        let mut sending = Sending {
            to: draft.to.trim().to_owned(),
            sent: draft.sent.trim().to_owned(),
            specimens: Vec::new(),
            frames: Vec::new(),
            wanted_by: draft.wanted_by.trim().to_owned(),
            heard: None,
        };
        for set in draft.sets.iter().filter_map(|frame| session.set_of(*frame)) {
            if let Some((edit, specimen)) = as_sent.begin_record(set) {
                as_sent.apply(&edit).expect("an edit made for this very session");
                edits.push(edit);
                sending.specimens.push(specimen);
            }
            sending.frames.extend(pictures(session, set));
        }
        let checked = sending.check();
        let words = tell!("undo-sent", to = &sending.to);
        edits.push(Edit::Send(number, Some(Box::new(sending))));
        if let Err(fault) = checked {
            self.refuse_sending(&fault.to_string());
        } else if self.try_edit(&words, Some(Edit::Many(edits))) {
            self.sent_and_heard();
        }
    }

    /// Notes the answer as it is typed.
    pub(super) fn note_heard(&mut self) {
        let (Some(open), Some(Overlay::Sent(draft))) = (&self.open, &self.state.overlay) else { return };
        let Some(HeardDraft { of, heard }) = &draft.heard else { return };
        let Some(sending) = open.day.session.sendings.get(of) else { return };
        let (on, what) = (heard.on.trim().to_owned(), heard.what.trim().to_owned());
        let sending = Sending { heard: Some(Heard { on, what }), ..sending.clone() };
        let (words, of) = (tell!("undo-heard", to = &sending.to), *of);
        if let Err(fault) = sending.check() {
            self.refuse_sending(&fault.to_string());
        } else if self.try_edit(&words, Some(Edit::Send(of, Some(Box::new(sending))))) {
            self.sent_and_heard();
        }
    }

    fn refuse_sending(&mut self, fault: &str) {
        if let Some(Overlay::Sent(draft)) = &mut self.state.overlay {
            draft.refused = Some(tell!("form-fault", fault = fault));
        }
    }
}
