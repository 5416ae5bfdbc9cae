//! Names of sessions, occurrences, pictures, determinations and measurements that never change.
//!
//! Each is a UUID of version 5 (RFC 9562, 5.5: SHA-1 of a namespace and a name), so the same archive gives the same names
//! however often and wherever it is exported, and anyone can work them out again. An occurrence is named by the SHA-256 of the
//! first picture that its record was begun with; determinations, corrected jars, moved archives and changed numbers leave
//! that as it is. No clock, path or random number takes part.

use uuid::Uuid;

/// The namespace of all names given here: a random UUID (version 4) drawn once for this.
pub const NAMESPACE: Uuid = Uuid::from_u128(0x3f61_e403_8f9f_4d9f_89e8_53bc_36cf_b14b);

fn named(name: &str) -> Uuid {
    Uuid::new_v5(&NAMESPACE, name.as_bytes())
}

/// The occurrence whose record was begun with the picture of this SHA-256 (lower-case hexadecimal). `nth` is 0 for the
/// first record of the session that was begun with it, 1 for the next, as after a split.
pub fn occurrence(sha256: &str, nth: usize) -> Uuid {
    if nth == 0 {
        named(&format!("occurrence/{sha256}"))
    } else {
        named(&format!("occurrence/{sha256}/{nth}"))
    }
}

/// A picture, by the SHA-256 of its bytes.
pub fn media(sha256: &str) -> Uuid {
    named(&format!("media/{sha256}"))
}

/// The determination of an occurrence that stands at this place in its list, which only grows.
pub fn identification(occurrence: Uuid, at: usize) -> Uuid {
    named(&format!("identification/{occurrence}/{at}"))
}

/// A measurement or score of an occurrence, by its name there.
pub fn measurement(occurrence: Uuid, name: &str) -> Uuid {
    named(&format!("measurement/{occurrence}/{name}"))
}

/// A session, by the SHA-256 (lower-case hexadecimal) of the first picture it was begun with.
pub fn session(sha256: &str) -> Uuid {
    named(&format!("session/{sha256}"))
}

/// A data set of these occurrences.
pub fn data_set(occurrences: impl IntoIterator<Item = Uuid>) -> Uuid {
    let sorted: std::collections::BTreeSet<Uuid> = occurrences.into_iter().collect();
    let all: Vec<String> = sorted.iter().map(Uuid::to_string).collect();
    named(&format!("data set/{}", all.join("/")))
}

/// A document that is not of the archive's records alone, by all that it says.
pub fn document(says: &str) -> Uuid {
    named(&format!("document/{says}"))
}

/// A name as a URN (RFC 9562, section 4): `urn:uuid:…`.
pub fn urn(name: Uuid) -> String {
    name.urn().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_those_of_the_standard() {
        // RFC 9562, appendix A.4.
        let example = Uuid::new_v5(&Uuid::NAMESPACE_DNS, b"www.example.com");
        assert_eq!(urn(example), "urn:uuid:2ed6657d-e927-568b-95e1-2665a8aea6a2");
        // By Python's `uuid.uuid5(uuid.UUID("3f61e403-8f9f-4d9f-89e8-53bc36cfb14b"), "occurrence/00ff")`.
        assert_eq!(occurrence("00ff", 0).to_string(), "95371597-fd1d-5a01-abe1-88da72d2af50");
    }

    #[test]
    fn names_differ_by_what_they_name() {
        let one = occurrence("00ff", 0);
        let all = [
            one,
            occurrence("00ff", 1),
            occurrence("00fe", 0),
            media("00ff"),
            session("00ff"),
            identification(one, 0),
            identification(one, 1),
            measurement(one, "0"),
            data_set([one]),
            data_set([]),
        ];
        let different: std::collections::BTreeSet<_> = all.into_iter().collect();
        assert_eq!(different.len(), all.len());
        assert_eq!(data_set([all[0], all[1]]), data_set([all[1], all[0], all[0]]), "order is no matter");
    }
}
