//! What the window does with a closer look: begins it by itself and by command, takes in what was seen, ends it.

use std::collections::BTreeSet;

use record::FrameId;

use super::app::App;
use super::looking::{Look, Looking};
use super::pictures::Pictures;
use super::state::Screen;
use super::words::tell;
use crate::closer::Closer;

/// How often a line about a closer look is told anew, s.
const TELL_EVERY_SECS: f64 = 0.2;

impl App {
    /// Begins a closer look at all that may be looked at and was not tried before, unless one goes on or the person
    /// stopped it.
    pub(super) fn look_by_itself(&mut self) {
        let Some(open) = self.open.as_ref().filter(|o| o.look.going.is_none() && !o.look.stopped) else {
            return;
        };
        if open.day.card_is_away {
            return;
        }
        let closer = open.closer(|id| !open.look.tried.contains(&id));
        self.begin_look(closer);
    }

    /// Stops the closer look, or begins one at all that was not looked at yet, also what could not be seen before.
    pub(super) fn look_or_stop(&mut self) {
        let Some(open) = &mut self.open else { return };
        open.look.stopped = open.look.going.is_some();
        if let Some(looking) = &open.look.going {
            looking.stop();
        } else {
            let closer = open.closer(|_| true);
            self.begin_look(closer);
        }
    }

    fn begin_look(&mut self, closer: Closer) {
        let wanted: BTreeSet<FrameId> = closer.wanted().collect();
        let wake = self.waker();
        if let Some(open) = self.open.as_mut().filter(|_| !wanted.is_empty()) {
            open.look.tried.extend(wanted);
            open.look.going = Some(Looking::start(closer, self.now_secs, wake));
        }
    }

    /// Has a closer look rest while the person waits for a large picture: that comes sooner then, and one picture is
    /// decoded at a time.
    pub(super) fn look_rests(&self) {
        let waits =
            self.state.screen == Screen::Specimen && self.pictures.as_ref().is_some_and(Pictures::waits);
        if let Some(going) = self.open.as_ref().and_then(|o| o.look.going.as_ref()) {
            going.rest(waits);
        }
    }

    /// Takes in what was seen, unless something runs that works on the session as it is.
    pub(super) fn take_looked(&mut self) {
        let Some(open) = self.open.as_mut().filter(|_| !self.jobs.blocks()) else { return };
        match open.look.going.as_ref().map(Looking::take) {
            None | Some(Look::On) => {}
            Some(Look::Saw(seen)) => self.while_kept(|open| open.take_seen(seen.frames)),
            Some(Look::Done) => {
                open.look.going = None;
                // Sets may have closed meanwhile.
                self.look_by_itself();
            }
            Some(Look::Lost) => {
                open.look.going = None;
                open.look.stopped = true;
                self.complain(tell!("look-broke-off"));
            }
        }
    }

    /// When to tell again how far a closer look is; `None` while there is none.
    pub(super) fn next_told_secs(&self) -> Option<f64> {
        self.is_looking().then_some(TELL_EVERY_SECS)
    }
}
