//! Work off the window's thread: a named thread, a flag to stop it, a bounded channel for its answer.
//!
//! A [`Job`] reports how far it is and is asked to stop through [`record::Progress`]. Dropping it asks it to
//! stop. It does not know what it works on.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use crossbeam_channel::{Receiver, SendTimeoutError, Sender, TryRecvError, bounded};
use record::{Progress, Stage};

/// How long a thread waits before it looks whether it should stop: a stop is felt at once, and costs nothing.
pub(crate) const PAUSE: Duration = Duration::from_millis(100);

/// Work quicker than this shows no progress, s.
const SHOW_AFTER_SECS: f64 = 0.25;

/// Work that runs beside the window.
#[derive(Debug)]
pub(crate) struct Job<T> {
    /// What is being done, for a person.
    pub(crate) words: String,
    meter: Arc<Meter>,
    answer: Receiver<T>,
    started_secs: f64,
}

/// What has become of a job.
#[derive(Debug)]
pub(crate) enum Polled<T> {
    /// It goes on.
    Running,
    /// It is done and this is its answer.
    Done(T),
    /// It ended without an answer.
    Lost,
}

#[derive(Debug, Default)]
struct Meter {
    done: AtomicUsize,
    of: AtomicUsize,
    files_done: AtomicUsize,
    files_of: AtomicUsize,
    stop: AtomicBool,
    hold: AtomicBool,
    rests: AtomicBool,
    checks: AtomicBool,
}

impl Progress for Meter {
    fn at(&self, done: usize, of: usize) {
        self.done.store(done, Ordering::Relaxed);
        self.of.store(of, Ordering::Relaxed);
    }

    fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    fn stage(&self, stage: Stage) {
        self.checks.store(stage == Stage::Checking, Ordering::Relaxed);
    }

    fn files(&self, done: usize, of: usize) {
        self.files_done.store(done, Ordering::Relaxed);
        self.files_of.store(of, Ordering::Relaxed);
    }

    fn held_up(&self) -> bool {
        self.hold.load(Ordering::Relaxed)
    }

    fn wait(&self) {
        self.rests.store(true, Ordering::Relaxed);
        while self.held_up() && !self.stopped() {
            std::thread::sleep(PAUSE);
        }
        self.rests.store(false, Ordering::Relaxed);
    }
}

/// How work that can be held up stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hold {
    /// It goes on.
    Off,
    /// It brings itself to where it can rest.
    Asked,
    /// It rests.
    Rests,
}

/// Hands something over to the window and wakes it; waits while it does not take what came before, until it is asked to
/// stop.
pub(crate) fn hand_over<T>(send: &Sender<T>, mut item: T, wake: &impl Fn(), progress: &dyn Progress) {
    while let Err(SendTimeoutError::Timeout(waits)) = send.send_timeout(item, PAUSE) {
        wake();
        if progress.stopped() {
            return;
        }
        item = waits;
    }
    wake();
}

/// Calls when dropped, so that the window also wakes for work that ended without an answer.
struct WakeAtEnd<F: Fn()>(F);

impl<F: Fn()> Drop for WakeAtEnd<F> {
    fn drop(&mut self) {
        (self.0)();
    }
}

impl<T: Send + 'static> Job<T> {
    /// Starts work on a thread of this name. `wake` is called when it has ended.
    pub(crate) fn start(
        name: &str,
        words: String,
        now_secs: f64,
        wake: impl Fn() + Send + 'static,
        work: impl FnOnce(&dyn Progress) -> T + Send + 'static,
    ) -> Self {
        let meter = Arc::new(Meter::default());
        let (send, answer) = bounded(1);
        let inner = Arc::clone(&meter);
        let thread = std::thread::Builder::new().name(name.to_owned()).spawn(move || {
            let wake = WakeAtEnd(wake);
            // Nobody listens any more when the job was dropped.
            send.send(work(inner.as_ref())).ok();
            drop(send);
            drop(wake);
        });
        // Without a thread the channel is closed already, and the job counts as lost.
        drop(thread);
        Self { words, meter, answer, started_secs: now_secs }
    }

    /// Asks what has become of it. An answer is given once.
    pub(crate) fn poll(&self) -> Polled<T> {
        match self.answer.try_recv() {
            Ok(answer) => Polled::Done(answer),
            Err(TryRecvError::Empty) => Polled::Running,
            Err(TryRecvError::Disconnected) => Polled::Lost,
        }
    }
}

impl<T> Job<T> {
    /// Asks the work to stop at its next safe place.
    pub(crate) fn stop(&self) {
        self.meter.stop.store(true, Ordering::Relaxed);
    }

    /// Whether it was asked to stop.
    pub(crate) fn is_stopping(&self) -> bool {
        self.meter.stopped()
    }

    /// Steps done, and steps in all; the latter is 0 while not known.
    pub(crate) fn progress(&self) -> (usize, usize) {
        (self.meter.done.load(Ordering::Relaxed), self.meter.of.load(Ordering::Relaxed))
    }

    /// Whether a card was read and is looked at more closely.
    pub(crate) fn checks(&self) -> bool {
        self.meter.checks.load(Ordering::Relaxed)
    }

    /// Files done, and files in all.
    pub(crate) fn files(&self) -> (usize, usize) {
        (self.meter.files_done.load(Ordering::Relaxed), self.meter.files_of.load(Ordering::Relaxed))
    }

    /// Asks the work to rest, or not to.
    pub(crate) fn rest(&self, rests: bool) {
        self.meter.hold.store(rests, Ordering::Relaxed);
    }

    /// Asks the work to rest, or to go on.
    pub(crate) fn hold_or_go_on(&self) {
        self.meter.hold.fetch_xor(true, Ordering::Relaxed);
    }

    /// Whether it rests.
    pub(crate) fn hold(&self) -> Hold {
        match (self.meter.held_up(), self.meter.rests.load(Ordering::Relaxed)) {
            (false, _) => Hold::Off,
            (true, false) => Hold::Asked,
            (true, true) => Hold::Rests,
        }
    }

    /// Whether it has run long enough to be shown.
    pub(crate) fn shows(&self, now_secs: f64) -> bool {
        self.runs_for(now_secs, SHOW_AFTER_SECS)
    }

    /// Whether it has run for so many seconds.
    pub(crate) fn runs_for(&self, now_secs: f64, secs: f64) -> bool {
        now_secs - self.started_secs >= secs
    }
}

impl<T> Drop for Job<T> {
    fn drop(&mut self) {
        self.stop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ended<T: Send + 'static>(job: &Job<T>) -> Polled<T> {
        loop {
            match job.poll() {
                Polled::Running => std::thread::yield_now(),
                end => return end,
            }
        }
    }

    #[test]
    fn the_answer_comes_and_progress_is_seen() {
        let job = Job::start(
            "test",
            "Counting".into(),
            0.0,
            || {},
            |p| {
                p.at(3, 5);
                7
            },
        );
        assert!(matches!(ended(&job), Polled::Done(7)));
        assert_eq!(job.progress(), (3, 5));
        assert!(!job.shows(0.2) && job.shows(0.3));
    }

    #[test]
    fn work_hears_that_it_should_stop() {
        let job = Job::start(
            "test",
            String::new(),
            0.0,
            || {},
            |p| {
                while !p.stopped() {
                    std::thread::yield_now();
                }
                "stopped"
            },
        );
        job.stop();
        assert!(matches!(ended(&job), Polled::Done("stopped")));
    }

    #[test]
    fn work_rests_until_it_may_go_on_or_shall_stop() {
        let start = || {
            Job::start(
                "test",
                String::new(),
                0.0,
                || {},
                |p| {
                    while !p.held_up() {
                        std::thread::yield_now();
                    }
                    p.files(1, 2);
                    p.wait();
                    p.stopped()
                },
            )
        };
        for stops in [false, true] {
            let job = start();
            assert_eq!(job.hold(), Hold::Off);
            job.hold_or_go_on();
            while job.hold() != Hold::Rests {
                std::thread::yield_now();
            }
            assert_eq!(job.files(), (1, 2));
            assert!(matches!(job.poll(), Polled::Running));
            if stops {
                job.stop();
            } else {
                job.hold_or_go_on();
            }
            assert!(matches!(ended(&job), Polled::Done(stopped) if stopped == stops));
        }
    }

    #[test]
    fn work_that_breaks_off_is_lost_and_wakes_the_window() {
        let (woken, waits) = bounded(1);
        let job: Job<()> = Job::start(
            "breaks off on purpose",
            String::new(),
            0.0,
            move || woken.send(()).expect("the test waits"),
            |_| panic!("on purpose, for a test"),
        );
        assert!(matches!(ended(&job), Polled::Lost));
        waits.recv().expect("woken");
    }
}
