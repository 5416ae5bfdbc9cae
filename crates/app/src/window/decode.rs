//! Decodes pictures on threads of its own: what is wanted now goes in, pictures come out.
//!
//! Each call of [`Decoder::want`] replaces what still waits, so that what was scrolled away is never decoded.
//! It keeps no pictures and knows no screen.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use crossbeam_channel::{Receiver, bounded};
use egui::ColorImage;
use record::Frame;

/// Takes a picture that is there sooner than the one that is wanted, to be shown until that comes.
pub(crate) type Sooner<'a> = &'a mut dyn FnMut(ColorImage);

/// What decodes one picture, or says in words why not.
pub(crate) trait Decode<K>:
    Fn(&Path, &Frame, &K, Sooner<'_>) -> Result<ColorImage, String> + Send + Sync + 'static
{
}
impl<K, F> Decode<K> for F where
    F: Fn(&Path, &Frame, &K, Sooner<'_>) -> Result<ColorImage, String> + Send + Sync + 'static
{
}

/// A decoded picture.
#[derive(Debug)]
pub(crate) struct Ready<K> {
    /// What was wanted.
    pub(crate) key: K,
    /// The picture, or why there is none.
    pub(crate) picture: Result<ColorImage, String>,
    /// Whether it is the one that was wanted, not one that is there sooner.
    pub(crate) is_last: bool,
}

/// How much is done at once.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    /// Threads that decode.
    pub(crate) threads: usize,
    /// Pictures that are being decoded or wait for the window.
    pub(crate) busy_most: usize,
}

/// Threads that decode what is wanted, first things first.
#[derive(Debug)]
pub(crate) struct Decoder<K: Ord> {
    shared: Arc<Shared<K>>,
    ready: Receiver<Ready<K>>,
}

#[derive(Debug)]
struct Shared<K: Ord> {
    queue: Mutex<Queue<K>>,
    changed: Condvar,
}

#[derive(Debug)]
struct Queue<K: Ord> {
    /// Last is next.
    waiting: Vec<(K, Frame)>,
    /// Taken up, and not yet fetched by the window.
    busy: BTreeSet<K>,
    closed: bool,
}

impl<K: Ord> Shared<K> {
    fn lock(&self) -> MutexGuard<'_, Queue<K>> {
        // A thread that broke off leaves the queue as it was: a picture more or less.
        self.queue.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<K: Ord + Clone + Send + 'static> Decoder<K> {
    /// Starts threads for a card. `wake` is called for each picture that is ready.
    pub(crate) fn start(
        name: &str,
        bounds: Bounds,
        card: &Path,
        decode: impl Decode<K>,
        wake: &(impl Fn() + Clone + Send + 'static),
    ) -> Self {
        let queue: Queue<K> = Queue { waiting: Vec::new(), busy: BTreeSet::new(), closed: false };
        let shared = Arc::new(Shared { queue: Mutex::new(queue), changed: Condvar::new() });
        let (send, ready) = bounded(bounds.busy_most);
        let decode = Arc::new(decode);
        for n in 0..bounds.threads {
            let (shared, send, wake, decode) =
                (Arc::clone(&shared), send.clone(), wake.clone(), Arc::clone(&decode));
            let card: PathBuf = card.to_owned();
            let work = move || {
                while let Some((key, frame)) = next(&shared, bounds.busy_most) {
                    let hand_over = |picture, is_last| {
                        // Nobody listens any more when the decoder was dropped; the next look says so.
                        send.send(Ready { key: key.clone(), picture, is_last }).ok();
                        wake();
                    };
                    let picture = decode(&card, &frame, &key, &mut |sooner| hand_over(Ok(sooner), false));
                    hand_over(picture, true);
                }
            };
            // Without threads there are no pictures; the window still works.
            drop(std::thread::Builder::new().name(format!("{name} {n}")).spawn(work));
        }
        Self { shared, ready }
    }

    /// Says what is wanted now, first things first. What waited before and is not here is dropped.
    pub(crate) fn want(&self, wanted: BTreeMap<usize, (K, Frame)>) {
        let mut queue = self.shared.lock();
        let busy = std::mem::take(&mut queue.busy);
        queue.waiting = wanted.into_values().rev().filter(|(key, _)| !busy.contains(key)).collect();
        queue.busy = busy;
        drop(queue);
        self.shared.changed.notify_all();
    }

    /// Takes a picture that is ready.
    pub(crate) fn take(&self) -> Option<Ready<K>> {
        let ready = self.ready.try_recv().ok()?;
        if ready.is_last {
            self.shared.lock().busy.remove(&ready.key);
            self.shared.changed.notify_all();
        }
        Some(ready)
    }
}

/// Waits for the next wanted picture, and until fewer than this are busy; `None` when the decoder was dropped.
fn next<K: Ord + Clone>(shared: &Shared<K>, busy_most: usize) -> Option<(K, Frame)> {
    let mut queue = shared.lock();
    loop {
        if queue.closed {
            return None;
        }
        if queue.busy.len() < busy_most
            && let Some((key, frame)) = queue.waiting.pop()
        {
            queue.busy.insert(key.clone());
            return Some((key, frame));
        }
        queue = shared.changed.wait(queue).unwrap_or_else(PoisonError::into_inner);
    }
}

impl<K: Ord> Drop for Decoder<K> {
    fn drop(&mut self) {
        self.shared.lock().closed = true;
        self.shared.changed.notify_all();
    }
}
