//! What the file operations promise, each on its own.

use super::*;

#[test]
fn a_name_that_is_taken_is_never_given() {
    let dir = tempfile::tempdir().unwrap();
    let (part, target) = (dir.path().join(".a.part"), dir.path().join("a"));
    for give in [give_name, give_reserved_name] {
        fs::write(&part, "new").unwrap();
        fs::write(&target, "old").unwrap();
        assert_eq!(give(&part, &target).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(read_text(&target).unwrap(), "old");
        fs::remove_file(&target).unwrap();
        give(&part, &target).unwrap();
        assert_eq!((read_text(&target).unwrap().as_str(), part.exists()), ("new", false));
        // Without a part, no empty file is left under the name.
        fs::remove_file(&target).unwrap();
        assert_eq!(give(&part, &target).unwrap_err().kind(), ErrorKind::NotFound);
        assert!(!target.exists());
    }
}

#[test]
fn a_copy_of_nothing_and_of_several_buffers_has_its_hash() {
    let dir = tempfile::tempdir().unwrap();
    let source = dir.path().join("source");
    let check = |bytes: u64, expected: &str| {
        File::create(&source).unwrap().set_len(bytes).unwrap();
        let target = dir.path().join(format!("{bytes}"));
        let mut moved = 0;
        let hash = copy_verified(&source, &target, bytes, &|| false, &mut |b| moved += b).unwrap();
        assert_eq!((hash.as_str(), moved, size_of(&target)), (expected, bytes, Some(bytes)));
    };
    // coreutils 9.1: `head -c N /dev/zero | sha256sum`.
    check(0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    check(3_000_000, "35bce4eae54ec8e6cc2868baa8d157914d6ae2858811b4cc0c078c94460fa26f");
}

#[test]
fn leftovers_of_this_name_go_and_others_stay() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    for name in [".a.part", "a", ".b.part", "b"] {
        fs::write(at(name), "").unwrap();
    }
    assert!(!is_taken(&at("a")));
    clear_leftovers(&at("a")).unwrap();
    let names: Vec<String> = entries_of(dir.path()).unwrap().into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, [".b.part", "b"]);
    fs::remove_file(at(".b.part")).unwrap();
    assert!(is_taken(&at("b")), "an empty file without a part is somebody's");
}

#[test]
fn relative_paths_stay_below() {
    for path in ["a", "a/b.c", "..a/b", "a..b"] {
        assert!(is_plain_relative(path), "{path}");
    }
    for path in ["", "/a", "../a", "a/../b", "a/..", "."] {
        assert!(!is_plain_relative(path), "{path}");
    }
}
