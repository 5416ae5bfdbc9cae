//! Notifications of the system that something changed in a folder: that, and nothing of what.
//!
//! Notifications come late, doubled or not at all, and their details differ between systems; a walk finds out what
//! changed. Where none can be had, no alarm is ever raised.

use std::path::Path;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::time::Duration;

use notify::{RecommendedWatcher, RecursiveMode, Watcher};

/// Raised by any change in a folder; one alarm stands for all that came before it is heard.
#[derive(Debug)]
pub(super) struct Alarm {
    heard: Receiver<()>,
    raise: SyncSender<()>,
    /// `None` where notifications cannot be had.
    watcher: Option<RecommendedWatcher>,
}

impl Alarm {
    pub(super) fn new(folder: &Path) -> Self {
        let mut alarm = Self::silent();
        alarm.renew(folder);
        alarm
    }

    /// One that is not raised until renewed.
    pub(super) fn silent() -> Self {
        let (raise, heard) = sync_channel(1);
        Self { heard, raise, watcher: None }
    }

    /// Asks for notifications anew.
    pub(super) fn renew(&mut self, folder: &Path) {
        let raise = self.raise.clone();
        let tell = move |event: notify::Result<notify::Event>| {
            // Our own reading raises nothing. Trouble does: it may be that events were lost.
            let only_read = event.is_ok_and(|e| e.kind.is_access());
            if !only_read && raise.try_send(()).is_err() {
                // Raised already.
            }
        };
        self.watcher = None;
        self.watcher = notify::recommended_watcher(tell).ok().and_then(|mut watcher| {
            watcher.watch(folder, RecursiveMode::Recursive).ok()?;
            Some(watcher)
        });
    }

    /// Waits for an alarm; `false` when none came in time.
    pub(super) fn wait(&self, timeout: Duration) -> bool {
        self.heard.recv_timeout(timeout).is_ok()
    }
}
