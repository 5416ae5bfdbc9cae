//! What single cells of an answer say.

use record::QUALIFIERS;

/// A cell as it was before an apostrophe was put before it, so that no spreadsheet takes it for a formula.
pub(super) fn plain(cell: &str) -> &str {
    let runs = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];
    cell.strip_prefix('\'').filter(|rest| rest.starts_with(runs)).unwrap_or(cell).trim()
}

/// As [`plain`], in one line with single blanks.
pub(super) fn one_line(cell: &str) -> String {
    plain(cell).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A UUID (RFC 9562, section 4), with or without `urn:uuid:`, in lower case.
pub(super) fn uuid(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let bare = lower.strip_prefix("urn:uuid:").unwrap_or(&lower);
    let groups: Vec<&str> = bare.split('-').collect();
    let fits = |(group, length): (&&str, usize)| {
        group.len() == length && group.bytes().all(|b| b.is_ascii_hexdigit())
    };
    let is_one = groups.len() == 5 && groups.iter().zip([8, 4, 4, 4, 12]).all(fits);
    is_one.then(|| bare.to_owned())
}

/// A name without a qualifier that stands in it, and the qualifier.
pub(super) fn unqualified(name: &str) -> (String, String) {
    let (mut bare, mut qualifier) = (Vec::new(), String::new());
    for word in name.split(' ') {
        match (known(word), word.strip_suffix('?')) {
            (Some(known), _) => known.clone_into(&mut qualifier),
            (None, Some(rest)) => {
                "?".clone_into(&mut qualifier);
                bare.push(rest);
            }
            (None, None) => bare.push(word),
        }
    }
    (bare.join(" "), qualifier)
}

/// A qualifier as it is kept: `cf.` of `cf. lucorum`, where the rest belongs to the name. Other words stay.
pub(super) fn qualifier(text: &str, name: &str) -> String {
    let (first, rest) = text.split_once(' ').unwrap_or((text, ""));
    match known(first) {
        Some(known) if name.ends_with(rest) => known.to_owned(),
        _ => text.to_owned(),
    }
}

/// A qualifier in use, also without its point.
fn known(word: &str) -> Option<&'static str> {
    QUALIFIERS.into_iter().find(|known| *known == word || known.strip_suffix('.') == Some(word))
}
