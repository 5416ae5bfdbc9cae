//! What parts the cells of a text: the sign by which most of its rows come out equally wide.

/// Signs that are tried; of two that serve equally, the earlier is taken. The comma comes last, since it stands in
/// numbers and prose.
const SIGNS: [u8; 4] = [b'\t', b';', b'|', b','];

/// Rows and bytes that are looked at.
const SAMPLE_ROWS: usize = 200;
const SAMPLE_BYTES: usize = 1 << 18;

/// The sign, and the byte at which the table begins: behind a first line `sep=;`, which spreadsheets write and read.
pub(super) fn delimiter(text: &str) -> (u8, usize) {
    let first = text.lines().next().unwrap_or_default();
    if let Some(&[sign]) = first.strip_prefix("sep=").map(str::as_bytes)
        && SIGNS.contains(&sign)
    {
        return (sign, first.len());
    }
    let sample = &text.as_bytes()[..text.len().min(SAMPLE_BYTES)];
    let worth = |sign: &u8| {
        let (share, width) = agreement(sample, *sign);
        (share, width, SIGNS.iter().rev().position(|s| s == sign))
    };
    let best = SIGNS.into_iter().filter(|sign| worth(sign).1 > 0).max_by_key(worth);
    // With one cell a row, any sign serves.
    (best.unwrap_or(b','), 0)
}

/// How many in a million rows have the commonest width of two cells or more, and that width.
fn agreement(sample: &[u8], sign: u8) -> (usize, usize) {
    let reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(sign).from_reader(sample);
    let rows = reader.into_byte_records().filter_map(Result::ok).take(SAMPLE_ROWS);
    let mut widths: Vec<usize> = rows.filter(|r| r.iter().any(|c| !c.is_empty())).map(|r| r.len()).collect();
    let total = widths.len().max(1);
    widths.sort_unstable();
    let runs = widths.chunk_by(|a, b| a == b).filter(|run| run[0] > 1);
    let best = runs.map(|run| (run.len(), run[0])).max();
    best.map_or((0, 0), |(rows, width)| (rows * 1_000_000 / total, width))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sign_that_makes_rows_equally_wide_is_taken() {
        for (text, sign) in [
            ("a,b,c\n1,2,3\n", b','),
            ("jar;lat;lon\nA1;52,2001;0,1203\nA2;52,2;0,12\n", b';'),
            ("jar\tcoordinates\nA1\t52.2, 0.1\nA2\t52.2, 0.1\n", b'\t'),
            ("Salt marsh; north, Sunday\n\njar,note\nA1,\"x; y\"\nA2,z\n", b','),
            ("a|b\n1|2\n", b'|'),
            ("only\none\n", b','),
            ("sep=;\na,b;c,d\n", b';'),
            ("a,b;c,d\n", b','),
        ] {
            assert_eq!(char::from(delimiter(text).0), char::from(sign), "{text}");
        }
    }
}
