//! The names given to a specimen: those there are, each with who gave it, when and on what ground and how it stands, and the
//! fields to set another beside them.

use egui::{Align2, Id, Key, Rect, Ui, pos2};
use notes::Taxon;
use record::{Agreement, Determination, Standing, agreement};

use super::{Tools, side};
use crate::window::action::Action;
use crate::window::look::{BUTTON_PX, FIELD_PX, Type, tokens};
use crate::window::name_lists::NameLists;
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::offers;
use crate::window::words::tell;

/// Room for a field's name, px.
const NAME_PX: f32 = 84.0;

/// Draws the page.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let (names, actions) = (tools.names, &mut *tools.actions);
    let session = &open.day.session;
    let record = session.sets.get(state.set).and_then(|set| session.record_of(set));
    let given = record.map_or(&[][..], |s| &s.determinations);
    side::panel(ui, rect, "names", |ui, flow| {
        flow.head(ui, &tell!("names-given"), &agreement_words(given));
        flow.gap(8.0);
        if given.is_empty() {
            flow.para(ui, Type::Small, tokens(ui).soft, &tell!("names-none"));
        }
        for (at, determination) in given.iter().enumerate() {
            one(ui, flow, state, at, determination, actions);
            if names.is_sensitive(&determination.name) {
                flow.para(ui, Type::Small, tokens(ui).warn, &tell!("names-sensitive"));
                flow.gap(8.0);
            }
        }
        flow.gap(16.0);
        new(ui, flow, state, names, actions);
    });
}

fn agreement_words(given: &[Determination]) -> String {
    match agreement(given) {
        Agreement::Unnamed => String::new(),
        Agreement::Agreed if given.len() == 1 => String::new(),
        Agreement::Agreed => tell!("names-agree"),
        Agreement::Decided => tell!("names-decided"),
        Agreement::Differs => tell!("names-differ"),
    }
}

/// A name, how it stands, and the ways to change that.
fn one(
    ui: &mut Ui,
    flow: &mut Flow,
    state: &mut UiState,
    at: usize,
    given: &Determination,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let ink = if given.holds() { t.ink } else { t.soft };
    flow.para(ui, Type::Medium, ink, &format!("{} {}", given.words(), given.authorship));
    let from = [&given.rank, &given.by, &given.date, &given.ground, &given.source];
    let from: Vec<&str> = from.into_iter().map(String::as_str).filter(|s| !s.is_empty()).collect();
    if !from.is_empty() {
        flow.para(ui, Type::Small, t.soft, &from.join(", "));
    }
    let (words, standing_ink) = match &given.standing {
        Standing::Given => (tell!("names-stands-given"), t.soft),
        Standing::Accepted => (tell!("names-stands-accepted"), t.accent),
        Standing::Superseded(reason) => (tell!("names-stands-superseded", reason = reason), t.warn),
    };
    flow.para(ui, Type::SmallMedium, standing_ink, &words);
    flow.gap(4.0);
    let mut left = flow.left;
    if given.standing != Standing::Accepted {
        let words = tell!("names-accept");
        let name = tell!("names-accept-name", name = &given.name);
        let button = Button::new(&words, Weight::Quiet).name(&name);
        if button.show(ui, Id::unique(("accept", at)), pos2(left, flow.y), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Stand(at, Standing::Accepted));
        }
        left += button.size(ui).x + 16.0;
    }
    if given.holds() {
        let words = tell!("names-supersede");
        let name = tell!("names-supersede-name", name = &given.name);
        let button = Button::new(&words, Weight::Quiet).name(&name);
        if button.show(ui, Id::unique(("supersede", at)), pos2(left, flow.y), Align2::LEFT_TOP).clicked() {
            state.naming.superseding = Some((at, String::new()));
        }
    }
    flow.gap(BUTTON_PX + 2.0);
    reason(ui, flow, state, at, actions);
    flow.rule(ui);
    flow.gap(8.0);
}

/// Why a name does not hold any more, while that is asked.
fn reason(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, at: usize, actions: &mut Vec<Action>) {
    let Some((_, typed)) = state.naming.superseding.as_mut().filter(|(of, _)| *of == at) else { return };
    let place = Rect::from_min_max(flow.at(), pos2(flow.right(), flow.y + FIELD_PX));
    let id = Id::unique(("reason", at));
    let (hint, name) = (tell!("names-reason-hint"), tell!("names-reason"));
    let response = field(ui, place, id, typed, &hint, &name);
    flow.y = place.bottom() + 8.0;
    if response.lost_focus() {
        if ui.input(|i| i.key_pressed(Key::Enter)) && !typed.trim().is_empty() {
            actions.push(Action::Stand(at, Standing::Superseded(typed.trim().to_owned())));
        }
        state.naming.superseding = None;
    } else {
        response.request_focus();
    }
}

/// The fields for another name.
fn new(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, names: &NameLists, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.head(ui, &tell!("names-new"), "");
    flow.gap(8.0);
    let naming = &mut state.naming;
    let name_id = Id::unique(("new name", 0_usize));
    let seeks = ui.memory(|m| m.has_focus(name_id));
    let taxa = if seeks { names.find(&naming.given.name) } else { Vec::new() };
    let words = |taxon: &&Taxon| match taxon.vernacular.as_str() {
        "" => format!("{} {}", taxon.name, taxon.authorship),
        vernacular => format!("{} {}, {vernacular}", taxon.name, taxon.authorship),
    };
    let offered: Vec<String> = taxa.iter().map(words).collect();
    let mut taken = None;
    let given = &mut naming.given;
    let fields = [
        (tell!("names-name"), tell!("names-name-hint"), &mut given.name),
        (tell!("names-authorship"), String::new(), &mut given.authorship),
        (tell!("names-qualifier"), record::QUALIFIERS.join(", "), &mut given.qualifier),
        (tell!("names-rank"), tell!("names-rank-hint"), &mut given.rank),
        (tell!("names-by"), tell!("names-by-hint"), &mut given.by),
        (tell!("names-date"), tell!("names-date-hint"), &mut given.date),
        (tell!("names-ground"), tell!("names-ground-hint"), &mut given.ground),
        (tell!("names-source"), tell!("names-source-hint"), &mut given.source),
    ];
    let mut entered = false;
    for (at, (name, hint, typed)) in fields.into_iter().enumerate() {
        let place = flow.named(ui, &name, NAME_PX);
        let id = Id::unique(("new name", at));
        let offers = at == 0 && !offered.is_empty();
        if offers {
            offers::choose(ui, &mut naming.offered, offered.len());
        }
        let response = field(ui, place, id, typed, &hint, &name);
        if at == 0 && std::mem::take(&mut naming.focus) {
            response.request_focus();
        }
        if response.changed() {
            (naming.refused, naming.offered) = (None, None);
        }
        let pressed = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        if offers {
            let clicked = offers::list(ui, flow, NAME_PX, "names", &offered, naming.offered);
            taken = clicked.or(naming.offered.filter(|_| pressed));
        }
        entered |= pressed && taken.is_none();
        flow.gap(6.0);
    }
    if let Some(taxon) = taken.and_then(|at| taxa.get(at)) {
        (given.name, given.authorship, given.rank) =
            (taxon.name.clone(), taxon.authorship.clone(), taxon.rank.clone());
        (naming.offered, naming.focus) = (None, true);
    }
    if let Some(refused) = &naming.refused {
        flow.para(ui, Type::Small, t.warn, refused);
        flow.gap(6.0);
    }
    let words = tell!("names-add");
    let add = Button::new(&words, Weight::Plain).key("Enter").enabled(!given.name.trim().is_empty());
    let clicked = add.show(ui, Id::unique("add name"), flow.at(), Align2::LEFT_TOP).clicked();
    flow.gap(BUTTON_PX + 8.0);
    flow.para(ui, Type::Small, t.soft, &tell!("names-what"));
    if names.is_empty() {
        flow.gap(4.0);
        flow.para(ui, Type::Small, t.soft, &tell!("names-no-lists"));
    }
    if (clicked || entered) && !given.name.trim().is_empty() {
        actions.push(Action::Determine);
    }
}
