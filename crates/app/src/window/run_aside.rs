//! What goes on aside: the retake list on paper, the sound when a set closes incomplete, and saying that one closed.

use std::path::PathBuf;

use filing::store::Store;
use record::FrameId;

use super::app::App;
use super::job::Job;
use super::open_day::OpenDay;
use super::retake_page;
use super::words::tell;
use super::work::{Broke, ended};

/// Two falling tones.
const SOUND: &[u8] = include_bytes!("../../../../assets/sounds/incomplete.wav");

impl App {
    /// Writes the retake list as a page and has it opened, to be printed from there.
    pub(super) fn print_retakes(&mut self) {
        let (Some(open), Some(store)) = (&self.open, self.store.clone()) else { return };
        let page = retake_page::page(open, &(self.clock)());
        let hand_over = self.outside.open;
        let work = move |_: &dyn record::Progress| {
            let path =
                store.keep_page("retake-list.html", page.as_bytes()).map_err(|fault| fault.to_string())?;
            hand_over(&path)
                .map_err(|why| tell!("print-not-opened", why = why, page = path.display().to_string()))?;
            Ok(path)
        };
        let words = tell!("command-print-retakes");
        self.jobs.printing = Some(Job::start("print", words, self.now_secs, self.waker(), work));
    }

    pub(super) fn sound_on_or_off(&mut self) {
        self.settings.sound = !self.settings.sound;
        self.keep_settings();
        if self.settings.sound {
            self.say(tell!("sound-on"));
            self.play();
        } else {
            self.say(tell!("sound-off"));
        }
    }

    fn play(&mut self) {
        let Some(store) = self.store.clone() else { return };
        let hand_over = self.outside.play;
        let work = move |_: &dyn record::Progress| hand_over(&sound_file(&store)?);
        let words = tell!("command-sound");
        self.jobs.playing = Some(Job::start("play", words, self.now_secs, self.waker(), work));
    }

    /// Takes in what came of that.
    pub(super) fn take_aside(&mut self) {
        match ended(&mut self.jobs.printing) {
            Some(Ok(Ok(page))) => self.say(tell!("print-opened", page = page.display().to_string())),
            Some(Ok(Err(why))) => self.complain(why),
            Some(Err(Broke)) | None => {}
        }
        if let Some(Ok(Err(why))) = ended(&mut self.jobs.playing) {
            self.complain(tell!("sound-not-played", why = why));
        }
    }

    /// Says that the set of this frame closed, if it did, and plays the sound when it is incomplete.
    pub(super) fn tell_closed(&mut self, was_shot: Option<FrameId>) {
        let Some(open) = &self.open else { return };
        let Some(words) = was_shot.and_then(|frame| closed_words(open, frame)) else { return };
        let (words, incomplete) = words;
        if let Some(watch) = &mut self.state.watch {
            watch.closed = Some(words);
        }
        if incomplete && self.settings.sound {
            self.play();
        }
    }
}

/// The first frame of the set that is being shot.
pub(super) fn being_shot(open: &OpenDay) -> Option<FrameId> {
    open.day.session.sets.get(open.being_shot()?)?.frames.first().copied()
}

/// That the set of this frame closed and how it stands, and whether it is incomplete; `None` while it is being shot.
fn closed_words(open: &OpenDay, frame: FrameId) -> Option<(String, bool)> {
    let set = open.day.session.set_of(frame).filter(|set| open.being_shot() != Some(*set))?;
    let number = open.set_number(set);
    Some(match open.held.iter().find(|held| held.retake.set == set) {
        Some(held) => {
            let lacks = held.retake.words(&open.day.session.plan);
            (tell!("closed-incomplete", number = number, lacks = lacks), true)
        }
        None => (tell!("closed-complete", number = number), false),
    })
}

/// The sound as a file, for programs that play files.
fn sound_file(store: &Store) -> Result<PathBuf, String> {
    store.keep_page("incomplete.wav", SOUND).map_err(|fault| fault.to_string())
}
