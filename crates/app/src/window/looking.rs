//! A closer look beside the window: a named thread, what was seen by a bounded channel, part by part.
//!
//! Goes in: what is to be looked at. Comes out: what was seen of it. The thread waits while the window does not take what
//! came. It changes no session.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crossbeam_channel::{Receiver, TryRecvError, bounded};

use super::job::{Job, Polled, hand_over};
use super::words::tell;
use crate::closer::{Closer, Seen, Stage};

/// Looking that ends sooner than this is not worth a line of the window, s.
const SHOW_AFTER_SECS: f64 = 1.0;

/// A closer look that goes on.
#[derive(Debug)]
pub(crate) struct Looking {
    job: Job<()>,
    seen: Receiver<Seen>,
    at_others: Arc<AtomicBool>,
}

/// What has come of a closer look.
#[derive(Debug)]
pub(crate) enum Look {
    /// It goes on, and nothing came.
    On,
    /// Something was seen.
    Saw(Seen),
    /// It is done, or was stopped.
    Done,
    /// It ended without having looked at everything.
    Lost,
}

impl Looking {
    /// Begins. `wake` is called for all that comes.
    pub(crate) fn start(closer: Closer, now_secs: f64, wake: impl Fn() + Send + Clone + 'static) -> Self {
        // One part that waits is enough; the next is being looked at meanwhile.
        let (send, seen) = bounded(1);
        let at_others = Arc::new(AtomicBool::new(false));
        let (others, woken) = (Arc::clone(&at_others), wake.clone());
        let words = tell!("look");
        let job = Job::start("look closer", words, now_secs, wake, move |progress| {
            let stage = |stage| others.store(stage == Stage::Others, Ordering::Relaxed);
            closer.look(progress, stage, |part| hand_over(&send, part, &woken, progress));
        });
        Self { job, seen, at_others }
    }

    /// Takes what came.
    pub(crate) fn take(&self) -> Look {
        match self.seen.try_recv() {
            Ok(seen) => Look::Saw(seen),
            Err(TryRecvError::Empty) => Look::On,
            // Nothing more can come.
            Err(TryRecvError::Disconnected) => match self.job.poll() {
                Polled::Running => Look::On,
                Polled::Done(()) => Look::Done,
                Polled::Lost => Look::Lost,
            },
        }
    }

    /// Asks it to stop. What was seen until then still comes.
    pub(crate) fn stop(&self) {
        self.job.stop();
    }

    /// Has it rest between two frames while something else needs the machine.
    pub(crate) fn rest(&self, rests: bool) {
        self.job.rest(rests);
    }

    /// How far it is, in words, once it has gone on for a while; with frames looked at and to be looked at.
    pub(crate) fn shown(&self, now_secs: f64) -> Option<(String, usize, usize)> {
        if !self.job.runs_for(now_secs, SHOW_AFTER_SECS) {
            return None;
        }
        let (done, of) = self.job.progress();
        let at_others = self.at_others.load(Ordering::Relaxed);
        let words = match (self.job.is_stopping(), at_others, of) {
            (true, _, _) => tell!("look-stopping"),
            (false, true, 0) => tell!("look-at-others"),
            (false, false, 0) => tell!("look-at-retakes"),
            (false, true, of) => tell!("look-at-others-count", done = done, of = of),
            (false, false, of) => tell!("look-at-retakes-count", done = done, of = of),
        };
        Some((words, done, of))
    }
}
