//! The store of sessions not yet filed.

mod common;

use std::fs;
use std::process::Command;
use std::time::{Duration, SystemTime};

use common::day;
use filing::store::{Store, StoreFault};

#[test]
fn a_saved_session_is_found_by_its_card() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let mut day = day("ff_f_");
    assert!(store.find_for_card(&day.session.frames).unwrap().session.is_none());
    let key = store.new_key(&day.session);
    assert_eq!(key.as_str(), "2026-06-14_Hay-meadow");
    store.save(&key, &day.session).unwrap();
    day.label(0, "face");
    store.save(&key, &day.session).unwrap();
    assert!(store.load(&key).unwrap() == day.session);
    assert_eq!(common::names(home.path()), ["sessions/2026-06-14_Hay-meadow/session.ron"]);

    // Another session shares one frame with the card, this one three.
    let mut other = day.session.clone();
    other.frames.truncate(1);
    let other_key = store.new_key(&other);
    assert_eq!(other_key.as_str(), "2026-06-14_Hay-meadow_2");
    store.save(&other_key, &other).unwrap();
    let found = store.find_for_card(&day.session.frames[..3]).unwrap();
    assert!(found.session == Some((key, day.session.clone())) && found.unread.is_empty());
    let mut strange = day.session.frames[..1].to_vec();
    strange[0].files[0].bytes += 1;
    assert!(store.find_for_card(&strange).unwrap().session.is_none());
}

#[test]
fn the_session_saved_last_is_found_also_behind_one_that_cannot_be_read() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    assert!(store.latest().unwrap().is_none());
    let mut session = day("ff_").session;
    let keys = [Some(10), None, Some(20)].map(|limit| {
        session.decisions.holding_limit_min = limit;
        let key = store.new_key(&session);
        store.save(&key, &session).unwrap();
        key
    });
    let age = |key, secs| {
        let file = fs::File::options().append(true).open(store.path(key)).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(secs)).unwrap();
    };
    age(&keys[0], 10);
    age(&keys[1], 20);
    age(&keys[2], 30);
    let limit = || store.latest().unwrap().and_then(|s| s.decisions.holding_limit_min);
    assert_eq!(limit(), Some(10));
    fs::write(store.path(&keys[2]), "not a session").unwrap();
    assert_eq!(limit(), Some(10));
    fs::remove_file(store.path(&keys[0])).unwrap();
    assert_eq!(limit(), None);
}

#[test]
fn frames_without_a_time_are_found_too() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let mut day = day("ff_");
    day.session.frames[1].taken = None;
    let key = store.new_key(&day.session);
    store.save(&key, &day.session).unwrap();
    let found = store.find_for_card(&day.session.frames[1..2]).unwrap();
    assert_eq!(found.session.unwrap().0, key);
}

#[test]
fn what_cannot_be_read_is_passed_over_and_said() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let day = day("ff_");
    let keys: Vec<_> = (0..3)
        .map(|_| {
            let key = store.new_key(&day.session);
            store.save(&key, &day.session).unwrap();
            key
        })
        .collect();
    let newer = fs::read_to_string(store.path(&keys[0])).unwrap().replace("schema: 1", "schema: 4");
    fs::write(store.path(&keys[0]), newer).unwrap();
    fs::write(store.path(&keys[1]), [0xff, 0xfe]).unwrap();
    let found = store.find_for_card(&day.session.frames).unwrap();
    assert_eq!(found.session.unwrap().0, keys[2]);
    assert!(found.unread.iter().all(|unread| unread.of_day));
    let words: Vec<String> = found.unread.iter().map(|unread| unread.fault.to_string()).collect();
    assert_eq!(
        words[0],
        format!(
            "This session was written in version 4 of its format; this Endleaf reads version 1. Nothing was \
             changed. Open it with the Endleaf that wrote it, or with a newer one: {}",
            store.path(&keys[0]).display()
        )
    );
    assert!(words[1].starts_with("A saved session could not be read: it is not text."), "{}", words[1]);
    assert!(matches!(store.load(&keys[0]), Err(StoreFault::Text { .. })));
    // To a card of another day they are of another day: by their names, and the first by what stands in it as well.
    let mut later = day.session.frames.clone();
    for frame in &mut later {
        frame.taken = Some("2026-06-20T10:00:00".parse().unwrap());
    }
    // Cut off, it may be of any day.
    fs::write(store.path(&keys[0]), "(schema: 1, session: (frames: [").unwrap();
    let found = store.find_for_card(&later).unwrap();
    assert_eq!(found.unread.iter().map(|unread| unread.of_day).collect::<Vec<_>>(), [false, false]);
    later[0].taken = None;
    let undated = store.path(&keys[1]).parent().unwrap().with_file_name("undated_heath");
    fs::create_dir(&undated).unwrap();
    fs::write(undated.join("session.ron"), "(schema: 1").unwrap();
    let of_day = store.find_for_card(&later).unwrap().unread.iter().map(|u| u.of_day).collect::<Vec<_>>();
    assert_eq!(of_day, [false, false, true]);
}

#[test]
fn folders_of_sessions_differ_in_more_than_case() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let mut session = day("ff_").session;
    let mut keys = Vec::new();
    for name in ["Salt marsh", "salt marsh", "SALT-MARSH", "Käfer", "KÄFER", "Ka\u{308}fer"] {
        name.clone_into(&mut session.name);
        let key = store.new_key(&session);
        store.save(&key, &session).unwrap();
        keys.push(key.as_str().to_owned());
    }
    assert_eq!(
        keys,
        [
            "2026-06-14_Salt-marsh",
            "2026-06-14_salt-marsh_2",
            "2026-06-14_SALT-MARSH_3",
            "2026-06-14_Käfer",
            "2026-06-14_KÄFER_2",
            "2026-06-14_Käfer_3"
        ]
    );
}

#[test]
fn a_store_that_cannot_be_made_is_said() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("file");
    fs::write(&file, "").unwrap();
    let words = Store::open(&file).unwrap_err().to_string();
    assert!(words.contains("a part of its path is a file") && words.contains("ENDLEAF_HOME"), "{words}");
}

#[test]
fn saving_that_fails_leaves_the_old_text() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let mut day = day("f_");
    let key = store.new_key(&day.session);
    store.save(&key, &day.session).unwrap();
    // A folder in the place of the text being written makes writing fail, also for root.
    fs::create_dir(store.path(&key).with_file_name(".session.ron.part")).unwrap();
    let before = day.session.clone();
    day.label(0, "face");
    assert!(matches!(store.save(&key, &day.session), Err(StoreFault::Unwritable { .. })));
    assert!(store.load(&key).unwrap() == before);
}

/// Runs this test again as a program of its own, since an environment cannot be changed safely from within.
#[test]
fn the_environment_says_where_sessions_are_kept() {
    let child = "ENDLEAF_TEST_EXPECTS";
    if let Some(expected) = std::env::var_os(child) {
        assert_eq!(Store::default_home().unwrap(), std::path::PathBuf::from(expected));
        return;
    }
    let check = |home: &str, expected: &str| {
        let run = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "the_environment_says_where_sessions_are_kept"])
            .env("ENDLEAF_HOME", home)
            .env("XDG_DATA_HOME", "/data")
            .env(child, expected)
            .output()
            .unwrap();
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stdout));
    };
    check("/my/place", "/my/place");
    // XDG Base Directory Specification: XDG_DATA_HOME is the base of a user's data files.
    if cfg!(target_os = "linux") {
        check("", "/data/endleaf");
    }
}

#[test]
fn what_confirmed_frames_taught_is_kept_by_plan_and_forgotten_on_request() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path()).unwrap();
    let mut day = day("ff_f_");
    let key = store.new_key(&day.session);
    store.learn(&key, &day.session).unwrap();
    assert!(common::names(home.path()).is_empty(), "nothing was confirmed, nothing is written");

    let quality = record::Quality {
        focus: 1.0,
        blown_share: 0.0,
        black_share: 0.0,
        subject_share: 0.2,
        edge_cut: false,
        subject_found: true,
    };
    day.session.frames[0].looks =
        Some(record::Looks { descriptor: vec![0.5], quality, without_blank: false });
    day.label(0, "face");
    store.learn(&key, &day.session).unwrap();
    let learned = store.learned(&day.session.plan).unwrap();
    assert_eq!(learned.specimens().cloned().collect::<Vec<_>>(), [vec![("face".into(), vec![0.5])]]);

    store.forget(&day.session.plan).unwrap();
    assert_eq!(store.learned(&day.session.plan).unwrap().specimens().count(), 0);
    fs::write(store.learned_path(&day.session.plan), "torn").unwrap();
    assert!(matches!(store.learned(&day.session.plan), Err(StoreFault::Text { .. })));
    store.learn(&key, &day.session).unwrap();
    assert_eq!(store.learned(&day.session.plan).unwrap().specimens().count(), 1, "begun anew");
}
