//! What is said of a kept session that cannot be read: what happened, what is safe, what to do, and its path last.
//!
//! Goes in: what the store found. Comes out: whole sentences. It looks at nothing and changes nothing.

use std::io::ErrorKind;

use filing::store::{StoreFault, Unread};
use record::{SCHEMA, TextFault};

/// Says it in words. `begun` is whether a new session was begun, as no kept one is of the card.
pub(crate) fn words(unread: &Unread, begun: bool) -> String {
    let of_day = unread.of_day;
    let whose = match (of_day, begun) {
        (true, true) => "The session kept of this day",
        (true, false) => "Another session kept of this day",
        (false, _) => "A session kept of another day",
    };
    let safe = match (of_day, begun) {
        (true, true) => {
            "It is left as it is. A new one was begun beside it, and what you change now is kept there"
        }
        (true, false) => "It is left as it is, and what you change now is kept in the session of this card",
        (false, _) => "It is left as it is",
    };
    let (what, path) = match &unread.fault {
        StoreFault::Text { reason: TextFault::Version { found }, path } => {
            let age = if *found > SCHEMA { "a newer" } else { "an older" };
            (format!("was written by {age} Endleaf, and this one cannot read it"), path)
        }
        StoreFault::Text { reason: TextFault::Damaged { .. }, path } => (DAMAGED.to_owned(), path),
        StoreFault::Unreadable { reason, path } if reason.kind() == ErrorKind::InvalidData => {
            (DAMAGED.to_owned(), path)
        }
        other => return other.to_string(),
    };
    let to_do = if what == DAMAGED {
        "If the day was filed, its folder in the archive holds a copy: put that session.ron in place of this one, and open \
         the card again"
    } else {
        "To go on with it, open the card in the Endleaf that wrote it"
    };
    format!("{whose} {what}. {safe}. {to_do}: {}", path.display())
}

const DAMAGED: &str = "is damaged and cannot be read";

#[cfg(test)]
mod tests {
    use super::*;

    fn check(reason: TextFault, (of_day, begun): (bool, bool), expected: &str) {
        let fault = StoreFault::Text { reason, path: "/home/s/session.ron".into() };
        assert_eq!(words(&Unread { fault, of_day }, begun), format!("{expected}: /home/s/session.ron"));
    }

    #[test]
    fn what_happened_what_is_safe_what_to_do_and_the_path_last() {
        let damaged = || TextFault::Damaged { line: 54, reason: "Unexpected end of RON".to_owned() };
        check(
            TextFault::Version { found: SCHEMA + 1 },
            (true, true),
            "The session kept of this day was written by a newer Endleaf, and this one cannot read it. It is left as it is. A \
             new one was begun beside it, and what you change now is kept there. To go on with it, open the card in the \
             Endleaf that wrote it",
        );
        check(
            damaged(),
            (true, true),
            "The session kept of this day is damaged and cannot be read. It is left as it is. A new one was begun beside it, \
             and what you change now is kept there. If the day was filed, its folder in the archive holds a copy: put that \
             session.ron in place of this one, and open the card again",
        );
        check(
            damaged(),
            (true, false),
            "Another session kept of this day is damaged and cannot be read. It is left as it is, and what you change now is \
             kept in the session of this card. If the day was filed, its folder in the archive holds a copy: put that \
             session.ron in place of this one, and open the card again",
        );
        check(
            TextFault::Version { found: 0 },
            (false, true),
            "A session kept of another day was written by an older Endleaf, and this one cannot read it. It is left as it \
             is. To go on with it, open the card in the Endleaf that wrote it",
        );
    }

    #[test]
    fn bytes_that_are_no_text_are_damage() {
        let fault = StoreFault::Unreadable { reason: ErrorKind::InvalidData.into(), path: "/s".into() };
        let said = words(&Unread { fault, of_day: true }, true);
        assert!(
            said.starts_with("The session kept of this day is damaged") && said.ends_with(": /s"),
            "{said}"
        );
    }
}
