//! What the commands about a record do: filling fields in, for one animal, several, or the day.

use record::{Determination, Entry, Standing, Term};

use super::app::App;
use super::marking::Marking;
use super::open_day::OpenDay;
use super::sheet_order::chosen;
use super::side_page::SidePage;
use super::state::{NamingState, Overlay, Screen};
use super::term_words;
use super::typed::{Kept, Owner, kept, sites_of, values_of};
use super::words::tell;

/// Values remembered of each field.
const USED_MOST: usize = 40;

impl App {
    /// Opens a page of the panel beside the specimen.
    pub(super) fn open_page(&mut self, page: SidePage) {
        if self.state.screen != Screen::Specimen {
            self.go(Screen::Specimen);
        }
        self.state.specimen.page = page;
        self.state.naming.focus = page == SidePage::Names;
        if page != SidePage::Measures {
            // What is marked is seen there alone.
            self.state.specimen.marking = Marking::default();
        }
        let scoring = &mut self.state.specimen.scoring;
        (scoring.focus, scoring.reveal) = (page == SidePage::Characters, true);
        self.state.typed.focus = (page == SidePage::Record).then(|| self.first_empty()).flatten();
    }

    /// The first field of the open specimen in which nothing stands, else the first of all.
    fn first_empty(&self) -> Option<Term> {
        let owner = self.owner()?;
        let session = &self.open.as_ref()?.day.session;
        let held = owner.fields(session);
        let empty = |term: &Term| kept(&held, *term) == Kept::Empty && !session.fields.contains_key(term);
        owner.terms().find(empty).or_else(|| owner.terms().next())
    }

    /// The chosen specimen as whose fields are filled in.
    pub(super) fn owner(&self) -> Option<Owner> {
        let session = &self.open.as_ref()?.day.session;
        Some(Owner::Sets(vec![*session.sets.get(self.state.set)?.frames.first()?]))
    }

    /// Opens the fields of the day.
    pub(super) fn about_day(&mut self) {
        self.state.typed.focus = Owner::Day.terms().next();
        self.state.overlay = Some(Overlay::Fields(Owner::Day));
    }

    /// Opens the fields of the chosen rows, to be filled in for all of them.
    pub(super) fn fill_in_chosen(&mut self) {
        let Some(open) = &self.open else { return };
        let sets = chosen(open, &self.state);
        let frames: Vec<_> = sets.iter().filter_map(|set| open.first_frame(*set)).collect();
        if !frames.is_empty() {
            let owner = Owner::Sets(frames);
            self.state.typed.focus = owner.terms().next();
            self.state.overlay = Some(Overlay::Fields(owner));
        }
    }

    /// Carries over what the specimen before says of where and how it was found.
    pub(super) fn carry_over(&mut self) {
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let Some(number) = session.sets.get(self.state.set).map(|set| set.number) else { return };
        match session.carry_over(self.state.set) {
            Some(edit) => self.edit(&tell!("undo-carry-over", specimen = number), Some(edit)),
            None => self.say(tell!("record-nothing-to-carry")),
        }
    }

    /// Writes the fields that were typed, as far as they are as they should be. The others stay typed.
    pub(super) fn commit_fields(&mut self) {
        for ((owner, term), text) in std::mem::take(&mut self.state.typed.texts) {
            let stands = |o: &OpenDay| kept(&owner.fields(&o.day.session), term).text() == text.trim();
            if self.open.as_ref().is_some_and(stands) {
                continue;
            }
            match Some(text.trim())
                .filter(|text| !text.is_empty())
                .map(|text| Entry::new(term, text))
                .transpose()
            {
                Ok(entry) => self.fill_in(&owner, term, entry),
                Err(_) => {
                    self.state.typed.texts.insert((owner, term), text);
                }
            }
        }
    }

    /// Writes a field as it is typed, although it is not as it should be.
    pub(super) fn keep_typed(&mut self, owner: &Owner, term: Term) {
        if let Some(text) = self.state.typed.texts.remove(&(owner.clone(), term)) {
            self.fill_in(owner, term, Some(Entry::knowingly(term, &text)));
        }
    }

    fn fill_in(&mut self, owner: &Owner, term: Term, entry: Option<Entry>) {
        let site = entry.as_ref().filter(|_| term == Term::Locality).map(|entry| entry.text.clone());
        self.fill_in_alone(owner, term, entry);
        let known = site.and_then(|site| self.settings.sites.get(&site)).cloned();
        for (term, text) in known.into_iter().flatten() {
            let Some(open) = &self.open else { return };
            if kept(&owner.fields(&open.day.session), term) == Kept::Empty {
                self.fill_in_alone(owner, term, Some(Entry::knowingly(term, &text)));
            }
        }
    }

    fn fill_in_alone(&mut self, owner: &Owner, term: Term, entry: Option<Entry>) {
        let Some(open) = &self.open else { return };
        let (session, field) = (&open.day.session, term_words::name(term).to_lowercase());
        let sets = owner.sets(session);
        let (words, edit) = match (owner, &sets[..]) {
            (Owner::Day, _) => (tell!("undo-fill-day", field = field), session.fill_in_day(term, entry)),
            (_, []) => return,
            (_, [set]) => {
                let words = tell!("undo-fill", field = field, specimen = session.sets[*set].number);
                (words, session.fill_in(*set, term, entry))
            }
            (_, many) => {
                let words = tell!("undo-fill-many", field = field, n = many.len());
                let fill = |session: &record::Session, set| session.fill_in(set, term, entry.clone());
                (words, session.one_after_another(many, fill))
            }
        };
        self.edit(&words, edit);
    }

    /// Sets the name that was typed beside those given to the chosen specimen.
    pub(super) fn determine(&mut self) {
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let Some(set) = session.sets.get(self.state.set) else { return };
        let typed = &self.state.naming.given;
        let trimmed = |text: &str| text.trim().to_owned();
        let given = Determination {
            name: trimmed(&typed.name),
            authorship: trimmed(&typed.authorship),
            rank: trimmed(&typed.rank),
            qualifier: trimmed(&typed.qualifier),
            by: trimmed(&typed.by),
            date: trimmed(&typed.date),
            ground: trimmed(&typed.ground),
            source: trimmed(&typed.source),
            standing: Standing::Given,
        };
        if let Err(fault) = given.check() {
            self.state.naming.refused = Some(tell!("form-fault", fault = fault.to_string()));
            return;
        }
        let words = tell!("undo-name", specimen = set.number, name = given.words());
        let edit = session.determine(self.state.set, given.clone());
        if self.try_edit(&words, edit) {
            // The next animal is often named by the same person on the same day.
            let again = Determination {
                by: given.by,
                date: given.date,
                source: given.source,
                ..Determination::default()
            };
            self.state.naming = NamingState { given: again, focus: true, ..NamingState::default() };
        }
    }

    /// Says how a name of the chosen specimen stands.
    pub(super) fn set_standing(&mut self, at: usize, standing: Standing) {
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let Some(set) = session.sets.get(self.state.set) else { return };
        let words = match &standing {
            Standing::Accepted => tell!("undo-accept", specimen = set.number),
            Standing::Given | Standing::Superseded(_) => tell!("undo-supersede", specimen = set.number),
        };
        let edit = session.set_standing(self.state.set, at, standing);
        self.edit(&words, edit);
    }

    /// Remembers the values of the open day, to be offered again.
    pub(super) fn remember_values(&mut self) {
        let Some(open) = &self.open else { return };
        for (term, value) in values_of(&open.day.session) {
            let known = self.settings.used.entry(term).or_default();
            known.retain(|other| *other != value);
            known.insert(0, value);
            known.truncate(USED_MOST);
        }
        let of_sites = sites_of(&open.day.session);
        self.settings.sites.extend(of_sites);
    }
}
