//! What goes on aside: the retake list on paper, the sound when a set closes incomplete, and saying that one closed.

use std::collections::BTreeSet;
use std::path::PathBuf;

use exchange::sheets::retakes_pdf;
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
        let (list, paper) = (retake_page::list(open, &(self.clock)()), self.state.exchange.paper);
        let hand_over = self.outside.open;
        let work = move |_: &dyn record::Progress| {
            let page = retakes_pdf(&list, paper).map_err(|fault| fault.to_string())?;
            let path = store.keep_page("retake-list.pdf", &page).map_err(|fault| fault.to_string())?;
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

    /// Says which sets closed since, of which these frames are none, and plays the sound when one is incomplete.
    pub(super) fn tell_closed(&mut self, before: &BTreeSet<FrameId>) {
        let Some(open) = &self.open else { return };
        let sets = open.day.session.sets.iter().enumerate();
        let sets = sets.filter(|(at, set)| {
            open.being_shot() != Some(*at) && !set.frames.iter().any(|frame| before.contains(frame))
        });
        let told = sets.filter_map(|(at, set)| Some((*set.frames.first()?, closed_words(open, at))));
        let (closed, incomplete): (Vec<(FrameId, String)>, Vec<bool>) =
            told.map(|(frame, (words, incomplete))| ((frame, words), incomplete)).unzip();
        if closed.is_empty() {
            return;
        }
        let incomplete = incomplete.contains(&true);
        if let Some(watch) = &mut self.state.watch {
            watch.closed = closed;
        }
        if incomplete && self.settings.sound {
            self.play();
        }
    }
}

/// The frames of the sets that are closed.
pub(super) fn closed(open: &OpenDay) -> BTreeSet<FrameId> {
    let sets = open.day.session.sets.iter().enumerate().filter(|(at, _)| open.being_shot() != Some(*at));
    sets.flat_map(|(_, set)| set.frames.iter().copied()).collect()
}

/// That a set closed and how it stands, and whether it is incomplete.
fn closed_words(open: &OpenDay, set: usize) -> (String, bool) {
    let number = open.set_number(set);
    match open.held.iter().find(|held| held.retake.set == set) {
        Some(held) => {
            let lacks = held.retake.words(&open.day.session.plan);
            (tell!("closed-incomplete", number = number, lacks = lacks), true)
        }
        None => (tell!("closed-complete", number = number), false),
    }
}

/// The sound as a file, for programs that play files.
fn sound_file(store: &Store) -> Result<PathBuf, String> {
    store.keep_page("incomplete.wav", SOUND).map_err(|fault| fault.to_string())
}
