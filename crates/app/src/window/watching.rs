//! Watching a folder beside the window: a named thread, what came by a bounded channel.
//!
//! Goes in: a folder, and how its day is begun where none is open of it. Comes out: that day, then the folder's whole
//! state whenever it changed. The thread waits while the window does not take what came. It changes no session.

use std::path::{Path, PathBuf};

use crossbeam_channel::{Receiver, Sender, bounded};
use filing::store::Store;
use import::watch::{News, State, Watch};
use record::{Progress, Taken};

use super::job::{Job, PAUSE, Polled, hand_over};
use super::words::tell;
use crate::day::{Day, OpenOptions, waiting_words};

/// What came from a watched folder.
#[derive(Debug)]
pub(crate) enum Came {
    /// The day of its first frames.
    Day(Box<Day>),
    /// How it is now.
    State(State),
    /// There is nothing to read, and why.
    Nothing(&'static str),
}

/// How the day of a folder is begun.
#[derive(Debug)]
pub(crate) struct Begin {
    /// Plan and name; its time is taken when the first frames are there.
    pub(crate) options: OpenOptions,
    /// Where a session of it may be kept.
    pub(crate) store: Option<Store>,
    /// The computer's clock.
    pub(crate) clock: fn() -> Taken,
}

/// A folder that is being watched.
#[derive(Debug)]
pub(crate) struct Watching {
    job: Job<Result<(), String>>,
    news: Receiver<Came>,
}

impl Watching {
    /// Begins. Without `begin` the folder's day is open already. `wake` is called for all that comes.
    pub(crate) fn start(
        folder: PathBuf,
        begin: Option<Begin>,
        now_secs: f64,
        wake: impl Fn() + Send + Clone + 'static,
    ) -> Self {
        // One that waits is enough: each state is whole.
        let (send, news) = bounded(1);
        let woken = wake.clone();
        let words = tell!("watch", folder = folder.display().to_string());
        let job = Job::start("watch folder", words, now_secs, wake, move |progress| {
            watch(&folder, begin, &send, &woken, progress)
        });
        Self { job, news }
    }

    /// Takes what came; `Err` says in words why it ended by itself.
    pub(crate) fn take(&self) -> Result<Option<Came>, String> {
        if let Ok(came) = self.news.try_recv() {
            return Ok(Some(came));
        }
        match self.job.poll() {
            Polled::Running | Polled::Done(Ok(())) => Ok(None),
            Polled::Done(Err(words)) => Err(words),
            Polled::Lost => Err(tell!("watch-broke-off")),
        }
    }

    /// Frames read and frames to read, while it reads.
    pub(crate) fn reading(&self) -> Option<(usize, usize)> {
        Some(self.job.progress()).filter(|(done, of)| done < of)
    }
}

fn watch(
    folder: &Path,
    mut begin: Option<Begin>,
    send: &Sender<Came>,
    wake: &impl Fn(),
    progress: &dyn Progress,
) -> Result<(), String> {
    let mut watch = Watch::open(folder).map_err(|fault| fault.to_string())?;
    while !progress.stopped() {
        let came = match watch.next(PAUSE, progress) {
            None => continue,
            Some(News::Nothing(fault)) => Came::Nothing(waiting_words(&fault)),
            Some(News::Changed(state)) => match begin.take() {
                Some(begin) => Came::Day(first(folder, state, begin)?),
                None => Came::State(state),
            },
        };
        hand_over(send, came, wake, progress);
    }
    Ok(())
}

fn first(folder: &Path, state: State, begin: Begin) -> Result<Box<Day>, String> {
    let options = OpenOptions { now: Some((begin.clock)()), ..begin.options };
    let day = Day::watched(folder, state, &options, begin.store.as_ref());
    day.map(Box::new).map_err(|fault| fault.to_string())
}
