use super::*;

fn written(entries: &[Entry]) -> String {
    let (mut text, mut sum) = (String::new(), String::new());
    for entry in entries {
        let (next, line) = line(&sum, entry);
        sum = next;
        text.push_str(&line);
    }
    text
}

fn filing(n: u32) -> Vec<Entry> {
    let copy = |to: &str| Entry::Copy { from: format!("DCIM/{to}"), to: format!("day/{to}"), bytes: 7 };
    let at = "2026-06-14T10:00:00Z".to_owned();
    vec![
        Entry::Filing { n, at: at.clone(), folder: "day".into(), source: "/media/a \"b\"\nc".into() },
        Entry::Folder { path: "day".into() },
        copy("1.jpg"),
        copy("2.jpg"),
        Entry::Text { path: "day/session.ron".into(), before: None, sha256: "aa".into() },
        Entry::Verified { to: "day/1.jpg".into(), sha256: "bb".into(), changed: Some(7) },
        Entry::Text { path: "day/session.ron".into(), before: Some("wrong".into()), sha256: "cc".into() },
        Entry::End { at, whole: true },
    ]
}

#[test]
fn the_last_filing_is_told() {
    let mut entries = filing(1);
    entries.extend(filing(2));
    entries.pop();
    let log = Log::of(&written(&entries)).unwrap();
    let open = log.open().unwrap();
    assert_eq!((open.n, open.folder.as_str(), open.source.as_str()), (2, "day", "/media/a \"b\"\nc"));
    assert_eq!(open.folders, ["day"]);
    let sums: Vec<_> = open.copies.values().map(|c| c.sha256.as_deref()).collect();
    assert_eq!(sums, [Some("bb"), None]);
    let text = &open.texts["day/session.ron"];
    assert_eq!(text.before, None, "what was there before the filing");
    assert_eq!(text.sha256s, ["aa", "cc"]);
    entries.push(filing(1).pop().unwrap());
    assert!(Log::of(&written(&entries)).unwrap().open().is_none());
}

#[test]
fn every_line_follows_from_the_one_before() {
    // `printf '%s' 'End(at:"t",whole:true)' | sha256sum` of coreutils 9.1.
    assert_eq!(
        written(&[Entry::End { at: "t".into(), whole: true }]).split(' ').next(),
        Some("4aa465923626f32c")
    );
}

#[test]
fn no_line_can_be_changed_or_left_out_unseen() {
    let text = written(&filing(1));
    let lines: Vec<&str> = text.lines().collect();
    for left_out in 0..lines.len() - 1 {
        let mut kept = lines.clone();
        kept.remove(left_out);
        let fault = Log::of(&(kept.join("\n") + "\n"));
        assert_eq!(fault, Err(left_out + 1), "line {left_out} left out");
    }
    let bytes = text.as_bytes();
    let last = text.trim_end().rfind('\n').unwrap();
    for at in (0..last).filter(|at| bytes[*at] != b'\n') {
        let mut changed = bytes.to_vec();
        changed[at] ^= 1;
        let Ok(changed) = String::from_utf8(changed) else { continue };
        assert!(Log::of(&changed).is_err(), "byte {at} changed");
    }
}

#[test]
fn a_line_cut_short_is_passed_over_and_writing_goes_on() {
    let entries = filing(1);
    let text = written(&entries);
    for cut in 0..text.len() {
        let before = &text[..cut];
        let mut log = Log::of(before).unwrap_or_else(|line| panic!("cut at {cut}: line {line}"));
        let whole = before.matches('\n').count() + usize::from(text[cut..].starts_with('\n'));
        // What is left is added as if nothing had been.
        let mut text = before.to_owned();
        if log.torn {
            text.push('\n');
        }
        for entry in &entries[whole..] {
            let (next, line) = line(&log.sum, entry);
            log.sum = next;
            text.push_str(&line);
        }
        let again = Log::of(&text).unwrap_or_else(|line| panic!("cut at {cut}: line {line}"));
        assert!(again.last.is_some_and(|last| last.ended), "cut at {cut}");
    }
}
