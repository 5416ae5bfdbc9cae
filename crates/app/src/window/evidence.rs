//! The evidence for the frame in view: worked out beside the window, kept while it holds.
//!
//! Goes in: the frame in view, where evidence is shown. Comes out: what speaks for how it was taken, in sentences. The
//! sentences are grouping's own.

use egui::Ui;
use record::FrameId;

use super::app::App;
use super::job::{Job, Polled};
use super::look::{Type, tokens};
use super::open_day::OpenDay;
use super::state::{Overlay, Screen};
use super::widgets::flow::Flow;
use super::widgets::text;
use super::words::tell;

/// The evidence of one frame, and what it was worked out from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Evidence {
    frame: FrameId,
    /// The session's revision.
    revision: u64,
    said: Vec<String>,
}

/// What is known of evidence, and the work that finds more out.
#[derive(Debug, Default)]
pub(crate) struct Evidences {
    known: Option<Evidence>,
    going: Option<Job<Evidence>>,
}

impl Evidences {
    /// Whether some is being worked out.
    pub(crate) fn are_sought(&self) -> bool {
        self.going.is_some()
    }

    /// What speaks for how a frame was taken; after a change what did before, until that is worked out anew. `None` while
    /// nothing is known.
    pub(crate) fn of(&self, frame: FrameId) -> Option<&[String]> {
        self.known.as_ref().filter(|known| known.frame == frame).map(|known| &known.said[..])
    }
}

impl App {
    /// Takes what was worked out, and has worked out what is missing for the frame in view.
    pub(super) fn seek_evidence(&mut self) {
        let waker = self.waker();
        let shown = self.state.screen == Screen::Specimen || self.state.overlay == Some(Overlay::Evidence);
        let wanted = self.state.frame.filter(|_| shown);
        let Some(open) = &mut self.open else { return };
        if let Some(job) = &open.evidence.going {
            match job.poll() {
                Polled::Running => return,
                Polled::Done(evidence) => open.evidence.known = Some(evidence),
                Polled::Lost => {}
            }
            open.evidence.going = None;
        }
        let Some(frame) = wanted else { return };
        let revision = open.revision;
        let holds = |known: &Evidence| (known.frame, known.revision) == (frame, revision);
        if !open.evidence.known.as_ref().is_some_and(holds) {
            let (session, grouping) = (open.day.session.clone(), open.day.grouping.clone());
            let learned = open.day.learned.clone();
            let work = move |_: &dyn record::Progress| {
                let said = grouping::why(&session, &grouping, &learned, frame);
                Evidence { frame, revision, said }
            };
            let words = tell!("evidence-seek");
            open.evidence.going = Some(Job::start("evidence", words, self.now_secs, waker, work));
        }
    }
}

/// Space below a sentence, px.
const GAP_PX: f32 = 4.0;

/// How a sentence is written: what the frame was taken for stands out.
fn type_of(said: &str) -> Type {
    if said.starts_with("Taken for") { Type::SmallMedium } else { Type::Small }
}

/// Writes the evidence of a frame, a paragraph a sentence or two.
pub(crate) fn write(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, frame: FrameId) {
    let t = tokens(ui);
    for said in open.evidence.of(frame).unwrap_or_default() {
        let kind = type_of(said);
        flow.para(ui, kind, if kind == Type::SmallMedium { t.ink } else { t.soft }, said);
        flow.gap(GAP_PX);
    }
}

/// The height that takes.
pub(crate) fn height(ui: &Ui, open: &OpenDay, frame: FrameId, width: f32) -> f32 {
    let t = tokens(ui);
    let of = |said: &String| text::laid(ui, type_of(said), t.soft, said, width, usize::MAX).size().y + GAP_PX;
    open.evidence.of(frame).unwrap_or_default().iter().map(of).sum()
}
