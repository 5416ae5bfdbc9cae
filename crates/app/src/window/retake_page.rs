//! The retake list as it is printed: the words of an open day for [`exchange::sheets`].

use exchange::sheets::{RetakeList, RetakeRow};
use record::Taken;

use super::held_words::told;
use super::open_day::OpenDay;
use super::sheet::{date_words, minute};
use super::words::tell;

/// The list as it stands at this moment.
pub(crate) fn list(open: &OpenDay, now: &Taken) -> RetakeList {
    let session = &open.day.session;
    let date = session.date().unwrap_or_default();
    let rows = open.held.iter().map(|held| {
        let jar = open.jar_words(held.retake.set);
        let told = told(held, &session.plan, &jar);
        let lacks = [vec![told.lacks], told.why].concat().join("; ");
        RetakeRow { number: held.retake.number.to_string(), jar, lacks, held: told.time }
    });
    RetakeList {
        title: tell!("retakes-count", n = open.held.len()),
        about: tell!("retake-page-of", name = &session.name, date = date_words(&date), made = minute(now)),
        heads: [
            tell!("retake-page-done"),
            tell!("retake-page-specimen"),
            tell!("retake-page-jar"),
            tell!("retake-page-lacks"),
            tell!("retake-page-held"),
        ],
        rows: rows.collect(),
        none: tell!("retakes-none-known"),
        language: tell!("language"),
        date,
    }
}
