//! Jobs of the exchange step: looking at an archive before anything of it is made, and making something.
//!
//! Starts them and takes their reports. What documents are is `exchange`'s; what is asked of it is [`super::making`].

use std::path::{Path, PathBuf};

use exchange::Sensitivity;
use exchange::archive::survey;
use exchange::pack::SentFrom;
use record::{Edit, Progress, Sending};

use super::app::App;
use super::exchange_state::Document;
use super::job::Job;
use super::making::Asked;
use super::surveyed::{Surveyed, SurveyedFor};
use super::words::tell;
use super::work::{Broke, Shown, ended};
use crate::orders::Done;

/// What runs for the exchange step.
#[derive(Debug, Default)]
pub(crate) struct ExchangeJobs {
    surveying: Option<Job<(SurveyedFor, Result<Surveyed, String>)>>,
    making: Option<Job<Result<(PathBuf, Done), String>>>,
}

impl ExchangeJobs {
    /// Whether anything runs.
    pub(super) fn any(&self) -> bool {
        self.surveys() || self.blocks()
    }

    /// Whether an archive is being looked at.
    pub(crate) fn surveys(&self) -> bool {
        self.surveying.is_some()
    }

    /// Whether a job runs during which nothing else can be done.
    pub(super) fn blocks(&self) -> bool {
        self.making.is_some()
    }

    pub(super) fn stop(&self) {
        if let Some(job) = &self.making {
            job.stop();
        }
    }

    pub(super) fn shown(&self, now_secs: f64) -> Option<Shown> {
        let making = self.making.as_ref().filter(|job| job.shows(now_secs))?;
        Some(Shown::of(making, |done, of| tell!("progress-made", done = done, of = of)))
    }
}

impl App {
    /// What a survey is wanted for as things are; `None` without an archive, and while it is not said how an animal without a
    /// name counts.
    pub(super) fn survey_wanted(&self) -> Option<SurveyedFor> {
        let step = &self.state.exchange;
        let archive = step.archive.trim().to_owned();
        Some(SurveyedFor {
            unnamed: self.settings.unnamed()?,
            served: !step.media_base.trim().is_empty(),
            filings: self.state.filing.filings,
            archive: Some(archive).filter(|archive| !archive.is_empty())?,
        })
    }

    /// Looks at the typed archive, unless that is known.
    pub(crate) fn survey_archive(&mut self) {
        let wanted = self.survey_wanted();
        let Some(open) = &mut self.open else { return };
        let Some(wanted) = wanted else {
            open.exchange = None;
            return;
        };
        if let Some((_, Ok(found))) = &mut open.exchange {
            found.compare(&open.day.session);
        }
        if self.jobs.exchange.surveys() || open.exchange.as_ref().is_some_and(|(known, _)| *known == wanted) {
            return;
        }
        let profile = self.state.exchange.profile(wanted.unnamed);
        let (today, session) = ((self.clock)().date(), open.day.session.clone());
        let work = move |progress: &dyn Progress| {
            let archive = PathBuf::from(&wanted.archive);
            let found = survey(&archive, &profile, &today, progress).map_err(|fault| fault.to_string());
            let found = found.map(|survey| {
                // What cannot be looked at was told by the survey.
                let filed = filing::filed_as(&archive, &session).ok().flatten();
                Surveyed::of(&survey, filed)
            });
            (wanted, found)
        };
        let words = tell!("survey-archive");
        self.jobs.exchange.surveying = Some(Job::start("survey", words, self.now_secs, self.waker(), work));
    }

    /// Begins to make the chosen document.
    pub(super) fn make_document(&mut self) {
        let asked = match self.asked_for() {
            Ok(asked) => asked,
            Err(why) => return self.say(why),
        };
        let (words, _) = self.state.exchange.document.words();
        let words = tell!("making", document = words);
        let work = move |progress: &dyn Progress| asked.make(progress);
        self.jobs.exchange.making =
            Some(Job::start("make document", words, self.now_secs, self.waker(), work));
    }

    /// What is to be made, from all that is chosen and known.
    ///
    /// # Errors
    /// Says what is missing.
    fn asked_for(&self) -> Result<Asked, String> {
        let open = self.open.as_ref().ok_or_else(|| tell!("not-no-card"))?;
        Asked::of(open, &self.state, self.settings.unnamed(), &(self.clock)().date())
    }

    /// Says how sensitive an animal without a name counts, from now on.
    pub(super) fn set_unnamed(&mut self, unnamed: Sensitivity) {
        self.settings.set_unnamed(unnamed);
        self.keep_settings();
        self.survey_archive();
    }

    /// Takes in what the jobs of the exchange step have to say.
    pub(super) fn take_exchange_reports(&mut self) {
        match ended(&mut self.jobs.exchange.surveying) {
            Some(Ok((known, found))) => {
                if let Some(open) = &mut self.open {
                    open.exchange = Some((known, found));
                }
                // Unless it is of what is wanted now, it is made anew.
                self.survey_archive();
            }
            Some(Err(Broke)) => self.complain(tell!("survey-broke-off")),
            None => {}
        }
        match ended(&mut self.jobs.exchange.making) {
            Some(Ok(made)) => self.take_made(made),
            Some(Err(Broke)) => self.complain(tell!("making-broke-off")),
            None => {}
        }
    }

    fn take_made(&mut self, made: Result<(PathBuf, Done), String>) {
        let step = &mut self.state.exchange;
        let (document, _) = step.document.words();
        let recipient = step.recipient.trim().to_owned();
        // What concerns others is said anew for each.
        step.people = false;
        let (to, done) = match made {
            Ok(made) => made,
            Err(why) => return step.made.insert(0, Err(why)),
        };
        step.to.clear();
        let remarks = done.remarks.into_iter().map(Err);
        let told = Ok(tell!("made", document = document, path = to.display().to_string()));
        step.made.splice(0..0, std::iter::once(told).chain(remarks));
        if !recipient.is_empty() {
            self.note_pack(&recipient, &done.sent);
        }
    }

    /// Keeps what went out of the open day in a pack.
    fn note_pack(&mut self, to: &str, sent: &[SentFrom]) {
        let Some(open) = self.open.as_ref() else { return };
        let folder = open.exchange.as_ref().and_then(|(_, found)| found.as_ref().ok()?.folder());
        let Some(own) = sent.iter().find(|from| Some(&from.folder) == folder) else { return };
        let number = open.day.session.sendings.keys().last().map_or(0, |last| last + 1);
        let sending = Sending {
            to: to.to_owned(),
            sent: (self.clock)().date(),
            specimens: own.specimens.clone(),
            frames: own.frames.clone(),
            wanted_by: String::new(),
            heard: None,
        };
        let words = tell!("undo-sent", to = to);
        self.edit(&words, Some(Edit::Send(number, Some(Box::new(sending)))));
    }

    /// Puts the name that is usual for the document into a folder that was chosen for it.
    pub(super) fn take_target(&mut self, folder: &Path) {
        let name = self.target_name();
        self.state.exchange.to = folder.join(name).display().to_string();
    }

    fn target_name(&self) -> String {
        let step = &self.state.exchange;
        let found = self.open.as_ref().and_then(|open| open.exchange.as_ref());
        // The name of a session is as a rule that of a place: it does not go out where one is coarsened.
        let found = found.and_then(|(_, found)| found.as_ref().ok()).filter(|found| found.coarsened == 0);
        let folder = found.and_then(|found| found.folder().cloned());
        let day = folder.unwrap_or_else(|| tell!("target-records"));
        let name = match step.document {
            Document::Pack => tell!("target-pack", day = day),
            Document::Sheets => tell!("target-sheets", day = day),
            Document::Labels => tell!("target-labels", day = day),
            Document::DarwinCore => tell!("target-darwin-core"),
            Document::Tables => tell!("target-tables"),
            Document::Bags => tell!("target-bags"),
        };
        format!("{name}{}", step.document.ending(step))
    }
}
