//! Reading bags that were damaged, or are not all Endleaf's.

use super::bag_tests::{bag, files, found, look, made};
use super::{Fate, ModelDisk};
use crate::audit::Wrong;

#[test]
fn damage_to_any_file_of_a_bag_is_found() {
    let whole = made();
    for (path, bytes) in files(&whole) {
        let is_of_payload = path.starts_with("data/");
        let damaged = |change: &dyn Fn(&ModelDisk)| {
            let disk = whole.with(Fate::default());
            change(&disk);
            disk
        };
        let at = bytes.len() / 2;
        let flipped = [&bytes[..at], &[bytes[at] ^ 1], &bytes[at + 1..]].concat();
        let disk = damaged(&|disk| disk.put(&bag().join(&path), &flipped));
        assert!(!look(&disk, false).is_sound(), "{path} changed");
        // Looked at quickly, a payload of the same size passes; the bag's own texts do not.
        assert_eq!(look(&disk, true).is_sound(), is_of_payload, "{path} changed");
        let disk = damaged(&|disk| disk.put(&bag().join(&path), &bytes[..at]));
        assert!(!look(&disk, false).is_sound() && !look(&disk, true).is_sound(), "{path} cut");
        let disk = damaged(&|disk| disk.take(&bag().join(&path)));
        // Tag manifests may be left out (RFC 8493, 2.2.1).
        assert_eq!(look(&disk, false).is_sound(), path.starts_with("tagmanifest-"), "{path} taken away");
    }
}

#[test]
fn what_is_wrong_with_a_bag_is_told_by_file() {
    let whole = made();
    let text = |path: &str| String::from_utf8(files(&whole)[path].clone()).unwrap();
    let first = text("manifest-sha256.txt").lines().next().unwrap().to_owned();
    let picture = first.split_once("  ").unwrap().1.to_owned();
    let check = |changes: &[(&str, Option<String>)], expected: &[(&str, Wrong)]| {
        let disk = whole.with(Fate::default());
        // Without tag manifests, so that what is changed is told for itself.
        for path in ["tagmanifest-sha256.txt", "tagmanifest-sha512.txt"] {
            disk.take(&bag().join(path));
        }
        for (path, text) in changes {
            match text {
                Some(text) => disk.put(&bag().join(path), text.as_bytes()),
                None => disk.take(&bag().join(path)),
            }
        }
        let audit = look(&disk, false);
        assert_eq!(found(&audit), expected, "{:?}", audit.remarks);
    };
    let both = ["manifest-sha256.txt", "manifest-sha512.txt"];
    let info = text("bag-info.txt");
    check(&[], &[]);
    check(&[("more.txt", Some("x".into()))], &[]);
    check(&[("data/x", Some("xy".into()))], &[("bag-info.txt", Wrong::Miscounted), ("data/x", Wrong::Added)]);
    check(&[(&picture, None)], &[("bag-info.txt", Wrong::Miscounted), (&picture, Wrong::Missing)]);
    check(&[("bagit.txt", None)], &[("bagit.txt", Wrong::Missing)]);
    check(&[("bagit.txt", Some("BagIt-Version: 2.0\n".into()))], &[("bagit.txt", Wrong::Malformed)]);
    check(&[("bag-info.txt", None)], &[]);
    check(&[("bag-info.txt", Some(format!("{info}no label\n")))], &[("bag-info.txt", Wrong::Malformed)]);
    check(&[("bag-info.txt", Some("Payload-Oxum: all\n".into()))], &[("bag-info.txt", Wrong::Malformed)]);
    check(&[("bag-info.txt", Some("Payload-Oxum: 1.1\n".into()))], &[("bag-info.txt", Wrong::Miscounted)]);
    // A file that one manifest lists and the other does not.
    let shorter = text(both[0]).split_once('\n').unwrap().1.to_owned();
    check(&[(both[0], Some(shorter.clone()))], &[(both[0], Wrong::Malformed)]);
    let old = "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n".to_owned();
    check(&[(both[0], Some(shorter)), ("bagit.txt", Some(old))], &[]);
    check(&[(both[0], Some(format!("{}{first}\n", text(both[0]))))], &[(both[0], Wrong::Malformed)]);
    let escaping = format!("{}{}  data/../../card/x\n", text(both[0]), "a".repeat(64));
    check(&[(both[0], Some(escaping))], &[(both[0], Wrong::Malformed)]);
    // Either kind of checksum tells a change alone.
    for manifest in both {
        let sum = &text(manifest)[..8];
        let other = if sum == "00000000" { "11111111" } else { "00000000" };
        check(&[(manifest, Some(text(manifest).replacen(sum, other, 1)))], &[(&picture, Wrong::Changed)]);
    }
    check(&[(both[0], None)], &[]);
}

#[test]
fn a_file_beside_the_payload_that_no_list_names_does_not_matter() {
    let disk = made();
    disk.put(&bag().join("mine.txt"), b"mine");
    let audit = look(&disk, false);
    assert_eq!((found(&audit), audit.is_sound()), (vec![("mine.txt", Wrong::Unlisted)], true));
}

#[test]
fn a_bag_needs_checksums_and_whole_tag_manifests() {
    let whole = made();
    let disk = whole.with(Fate::default());
    for kind in ["manifest-sha256.txt", "manifest-sha512.txt"] {
        disk.take(&bag().join(kind));
        disk.take(&bag().join(format!("tag{kind}")));
    }
    let sums: String = files(&disk)
        .keys()
        .filter(|path| path.starts_with("data/"))
        .flat_map(|path| ["0".repeat(32), format!("  {path}\n")])
        .collect();
    disk.put(&bag().join("manifest-md5.txt"), sums.as_bytes());
    let audit = look(&disk, false);
    assert!(found(&audit).contains(&("manifest-sha512.txt", Wrong::Missing)), "{:?}", found(&audit));

    // Beside others, checksums that are not compared are told of.
    let disk = whole.with(Fate::default());
    disk.put(&bag().join("manifest-md5.txt"), sums.as_bytes());
    let audit = look(&disk, false);
    assert!(audit.remarks.iter().any(|remark| remark.contains("manifest-md5.txt")), "{:?}", audit.remarks);
    // Its tag manifests do not list it.
    assert_eq!(found(&audit)[0].1, Wrong::Malformed);
}
