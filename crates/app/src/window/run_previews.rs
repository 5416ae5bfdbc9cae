//! Empties the preview cache beside the window, and tells how much was freed.

use super::app::App;
use super::job::Job;
use super::sheet::bytes_words;
use super::words::tell;
use super::work::ended;

impl App {
    /// Begins to empty the preview cache.
    pub(super) fn empty_previews(&mut self) {
        let Some(kept) = self.kept_previews.clone() else { return self.say(tell!("previews-none")) };
        let words = tell!("previews-emptying");
        self.jobs.emptying =
            Some(Job::start("empty previews", words, self.now_secs, self.waker(), move |_| kept.empty()));
    }

    /// Tells what emptying did, once it is over.
    pub(super) fn take_emptied(&mut self) {
        let Some(Ok(emptied)) = ended(&mut self.jobs.emptying) else { return };
        let folder = self.kept_previews.as_ref().map(|kept| kept.folder().display().to_string());
        let freed = bytes_words(emptied.freed_bytes);
        match folder.filter(|_| emptied.left_bytes > 0) {
            None => self.say(tell!("previews-emptied", freed = freed)),
            Some(folder) => {
                let left = bytes_words(emptied.left_bytes);
                self.complain(tell!("previews-left", freed = freed, left = left, folder = folder));
            }
        }
    }
}
