//! Keeps the session after each change, and settings, on a thread of its own; only the newest state is written.
//!
//! Dropping the [`Saver`] writes what is still waiting. It decides nothing about what is kept.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;

use filing::store::{SessionKey, Store};
use record::{Plan, Session};

use super::words::tell;

/// Writes sessions to a store.
#[derive(Debug)]
pub(crate) struct Saver {
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

#[derive(Debug, Default)]
struct Shared {
    desk: Mutex<Desk>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct Desk {
    next: Option<(SessionKey, Session)>,
    /// The person's settings, as text.
    settings: Option<String>,
    /// A plan whose learned views are to be forgotten.
    forget: Option<Plan>,
    fault: Option<String>,
    writing: bool,
    closed: bool,
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, Desk> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Saver {
    /// Starts for a store. `wake` is called when a session could not be kept.
    pub(crate) fn start(store: Store, wake: impl Fn() + Send + 'static) -> Self {
        let shared = Arc::new(Shared::default());
        let inner = Arc::clone(&shared);
        let thread = std::thread::Builder::new().name("saver".to_owned()).spawn(move || {
            while let Some(task) = next(&inner) {
                let saved = match task {
                    Task::Save(key, session) => {
                        store.save(&key, &session).and_then(|()| store.learn(&key, &session))
                    }
                    Task::Forget(plan) => store.forget(&plan),
                    Task::Settings(text) => store.keep_settings(&text),
                };
                let mut desk = inner.lock();
                desk.writing = false;
                if let Err(fault) = saved {
                    desk.fault = Some(fault.to_string());
                    drop(desk);
                    wake();
                }
            }
        });
        Self { shared, thread: thread.ok() }
    }

    /// Keeps a session as it is now.
    pub(crate) fn save(&self, key: &SessionKey, session: &Session) {
        let mut desk = self.shared.lock();
        desk.next = Some((key.clone(), session.clone()));
        if self.thread.is_none() {
            desk.fault = Some(tell!("save-no-thread"));
        }
        drop(desk);
        self.shared.changed.notify_all();
    }

    /// Forgets what was learned of a plan's views, after what waits to be written.
    pub(crate) fn forget(&self, plan: &Plan) {
        self.shared.lock().forget = Some(plan.clone());
        self.shared.changed.notify_all();
    }

    /// Keeps the person's settings as they are now.
    pub(crate) fn keep_settings(&self, text: String) {
        self.shared.lock().settings = Some(text);
        self.shared.changed.notify_all();
    }

    /// Says what went wrong since it was last asked.
    pub(crate) fn take_fault(&self) -> Option<String> {
        self.shared.lock().fault.take()
    }

    /// Whether everything is written.
    pub(crate) fn is_idle(&self) -> bool {
        let desk = self.shared.lock();
        desk.next.is_none() && desk.forget.is_none() && desk.settings.is_none() && !desk.writing
    }
}

/// What is done in one go.
enum Task {
    Save(SessionKey, Box<Session>),
    Forget(Plan),
    Settings(String),
}

fn next(shared: &Shared) -> Option<Task> {
    let mut desk = shared.lock();
    loop {
        let save = desk.next.take().map(|(key, session)| Task::Save(key, Box::new(session)));
        let task = save.or_else(|| desk.forget.take().map(Task::Forget));
        if let Some(task) = task.or_else(|| desk.settings.take().map(Task::Settings)) {
            desk.writing = true;
            return Some(task);
        }
        if desk.closed {
            return None;
        }
        desk = shared.changed.wait(desk).unwrap_or_else(PoisonError::into_inner);
    }
}

impl Drop for Saver {
    fn drop(&mut self) {
        self.shared.lock().closed = true;
        self.shared.changed.notify_all();
        if let Some(thread) = self.thread.take() {
            // A thread that broke off has nothing left to write.
            thread.join().ok();
        }
    }
}
