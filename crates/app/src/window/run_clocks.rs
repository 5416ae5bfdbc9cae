//! What the commands about cameras' clocks do: they work on the camera of the chosen frame.

use record::{Body, Edit, FrameId};

use super::app::App;
use super::clocks::{body_words, clock_of};
use super::command::Command;
use super::state::{Overlay, Question};
use super::words::tell;

impl App {
    /// Runs a command about the clock of the chosen frame's camera.
    pub(super) fn run_on_clock(&mut self, command: Command) {
        let Some(frame) = self.state.frame else { return };
        let Some(body) = self.body_of(frame) else { return };
        match command {
            Command::SetClock => self.state.overlay = Some(Overlay::ask(Question::Shift(body))),
            Command::ClockShown => self.state.overlay = Some(Overlay::ask(Question::Shown(frame))),
            Command::LineUpClocks => self.mark_or_line_up(frame, &body),
            Command::ClearClock => self.clear_clock(&body),
            _ => {}
        }
    }

    /// The camera of a frame, as its clock is listed.
    pub(super) fn body_of(&self, frame: FrameId) -> Option<Body> {
        let open = self.open.as_ref()?;
        let frame = open.sheet.frame(&open.day, frame)?;
        clock_of(open, frame).map(|clock| clock.body.clone())
    }

    /// Marks the frame; with one of another camera marked already, asks whether both show one moment. The marked frame
    /// itself loses its mark.
    fn mark_or_line_up(&mut self, frame: FrameId, body: &Body) {
        let marked = self.state.marked.filter(|marked| self.body_of(*marked).is_some());
        match marked {
            Some(marked) if marked == frame => self.state.marked = None,
            Some(marked) if self.body_of(marked).as_ref() != Some(body) => {
                self.state.overlay = Some(Overlay::LineUp { stays: marked, moves: frame });
            }
            _ => self.state.marked = Some(frame),
        }
    }

    /// Takes back what was decided about a camera, under whichever of its names that was.
    fn clear_clock(&mut self, body: &Body) {
        let Some(open) = &self.open else { return };
        let decided = open.day.session.decisions.clocks.keys().filter(|key| {
            let frames = &open.day.session.frames;
            *key == body
                || frames
                    .iter()
                    .any(|f| f.body == **key && clock_of(open, f).is_some_and(|c| c.body == *body))
        });
        let edits: Vec<Edit> = decided.map(|key| Edit::Clock(key.clone(), None)).collect();
        if !edits.is_empty() {
            self.edit(&tell!("undo-clear-clock", body = body_words(body)), Some(Edit::Many(edits)));
        }
    }
}
