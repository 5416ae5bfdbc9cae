//! What the commands about picked colours do: picking from the picture, the size of the circle, taking the word.

use record::{Character, ColourNote, Score};

use super::app::App;
use super::colour_pick::{Asked, Picking, blank_for};
use super::marking::{Place, within};
use super::run_characters::with_characters;
use super::scoring::{chosen, scored};
use super::side_page::SidePage;
use super::words::tell;

impl App {
    /// The region of colour that is open on the page of characters.
    fn open_region(&self) -> Option<&Character> {
        let specimen = &self.state.specimen;
        let (_, characters) = self.open.as_ref().and_then(with_characters)?;
        let character = characters.all.get(specimen.scoring.at)?;
        (specimen.page == SidePage::Characters && character.is_colour).then_some(character)
    }

    /// Picks the colour under the pointer, else that in the middle of what is seen.
    pub(super) fn pick_colour(&mut self) {
        let specimen = &self.state.specimen;
        let Some(size) = specimen.lies.picture_px else { return self.say(tell!("measure-no-picture")) };
        let middle = specimen.middle * size;
        let middle = (f64::from(middle.x), f64::from(middle.y));
        self.pick_colour_at(specimen.pick.pointer.unwrap_or(middle));
    }

    /// Picks the colour there.
    pub(super) fn pick_colour_at(&mut self, place: Place) {
        let specimen = &self.state.specimen;
        let (Some(open), Some(frame), Some(size)) = (&self.open, self.state.frame, specimen.lies.picture_px)
        else {
            return;
        };
        let Some(region) = self.open_region().map(|c| c.key.clone()) else { return };
        let session = &open.day.session;
        let Some(frame) = session.frame(frame).cloned() else { return };
        let blank = blank_for(session, &frame).and_then(|id| session.frame(id).cloned());
        let centre = within(place, (size.x as u32, size.y as u32));
        let radius_px = specimen.pick.radius(f64::from(size.max_elem()));
        let asked =
            Asked { card: open.day.card.clone(), region: region.clone(), frame, centre, radius_px, blank };
        self.picking = Some(Picking::start(&self.ctx, asked));
        let pick = &mut self.state.specimen.pick;
        (pick.waits, pick.offered, pick.refused) = (Some(region), None, None);
    }

    /// Makes the circle larger or smaller.
    pub(super) fn step_patch(&mut self, by: i32) {
        if let Some(size) = self.state.specimen.lies.picture_px {
            self.state.specimen.pick.step(by, f64::from(size.max_elem()));
        }
    }

    /// Takes in a colour that was worked out.
    pub(super) fn take_picked(&mut self) {
        let Some(done) = self.picking.as_ref().and_then(Picking::take) else { return };
        self.picking = None;
        let pick = &mut self.state.specimen.pick;
        // Who went on to another frame or animal meanwhile wants it no more.
        if pick.waits.take().is_none() {
            return;
        }
        self.state.specimen.scoring.reveal = true;
        match done {
            Ok(offered) => pick.offered = Some(offered),
            Err(why) => pick.refused = Some(why),
        }
    }

    /// Takes the word of the picked colour, and keeps what was picked beside it.
    pub(super) fn take_colour(&mut self) {
        let Some(offered) = self.state.specimen.pick.offered.clone() else { return };
        let Some((open, characters)) = self.open.as_ref().and_then(with_characters) else { return };
        let Some(character) = characters.get(&offered.region) else { return };
        let (session, set) = (&open.day.session, self.state.set);
        let record = session.sets.get(set).and_then(|set| session.record_of(set));
        let before = scored(record, character);
        let after: Vec<Score> = if before.iter().any(|s| s.state == offered.word) {
            before.to_vec()
        } else {
            chosen(character, before, &offered.word)
        };
        let note =
            ColourNote { region: offered.region, word: offered.word.clone(), picked: Some(offered.picked) };
        let name = character.name.to_lowercase();
        let word = character.state(&offered.word).map_or("", |s| &s.name);
        let words = tell!("undo-colour", word = word, region = name, specimen = open.set_number(set));
        let edit = session.take_colour(set, after, note);
        if self.try_edit(&words, edit) {
            self.state.specimen.pick.offered = None;
        }
    }
}
