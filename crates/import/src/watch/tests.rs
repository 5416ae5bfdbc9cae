//! Watching without notifications.

use std::fs;

use record::Silent;

use super::*;
use crate::sample::Sample;

#[test]
#[expect(clippy::print_stderr, reason = "the delay is for whoever reads the test run")]
fn the_slow_walk_alone_finds_what_changed_and_asks_for_notifications_again() {
    let folder = tempfile::tempdir().unwrap();
    let put =
        |name: &str, second| fs::write(folder.path().join(name), Sample::at(second, true).jpeg()).unwrap();
    put("DSC_0001.JPG", 1);
    let mut watch = Watch::with(folder.path(), Alarm::silent()).unwrap();
    let mut frames = |count: usize| {
        let begun = Instant::now();
        match watch.next(Duration::from_secs(5), &Silent) {
            Some(News::Changed(state)) => assert_eq!(state.intake.frames.len(), count),
            other => panic!("{other:?}"),
        }
        begun.elapsed()
    };
    frames(1);
    put("DSC_0002.JPG", 2);
    let by_walking = frames(2);
    put("DSC_0003.JPG", 3);
    let told = frames(3);
    eprintln!("by walking: {by_walking:?}; told again: {told:?}");
    assert!(by_walking < Duration::from_secs(2), "{by_walking:?}");
}

#[test]
fn a_watch_can_be_given_to_a_thread() {
    fn given<T: Send>(_: &T) {}
    given(&Watch::open(tempfile::tempdir().unwrap().path()).unwrap());
}

#[test]
fn nothing_is_given_once_stopped() {
    struct Stop;
    impl Progress for Stop {
        fn at(&self, _: usize, _: usize) {}
        fn stopped(&self) -> bool {
            true
        }
    }
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("DSC_0001.JPG"), Sample::at(1, true).jpeg()).unwrap();
    let mut watch = Watch::open(folder.path()).unwrap();
    assert!(watch.next(Duration::from_secs(5), &Stop).is_none());
    assert!(matches!(watch.next(Duration::from_secs(5), &Silent), Some(News::Changed(_))), "it can go on");
}
