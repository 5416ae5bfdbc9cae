//! Clocks of small days: corrections by hand, by estimate and by zone, and what is asked about.

use record::{BlankVerdict, Edit, QueryKind, TimeSource};

use super::*;
use crate::sample::frame;

/// A frame of a body, named by its model; `time` may hold a date, and is otherwise of 2026-06-14.
fn of(model: &str, path: &str, time: &str) -> Frame {
    let time = if time.contains('T') { time.to_owned() } else { format!("2026-06-14T{time}") };
    let mut frame = frame(0, path, Some(&time), TimeSource::Original);
    frame.body.model = model.to_owned();
    let prob = if path.contains("BLNK") { 0.99 } else { 0.01 };
    frame.blank = Some(BlankVerdict { prob, reason: String::new() });
    frame
}

fn body(model: &str) -> Body {
    Body { model: model.to_owned(), ..Body::default() }
}

fn numbered(mut frames: Vec<Frame>) -> Vec<Frame> {
    for (frame, id) in frames.iter_mut().zip(0..) {
        frame.id = FrameId(id);
    }
    frames
}

fn names(frames: &[Frame]) -> Vec<&str> {
    frames.iter().map(|f| f.file_name().trim_end_matches(".JPG")).collect()
}

fn decided(model: &str, secs: f64) -> Decisions {
    Decisions { clocks: [(body(model), secs)].into(), ..Decisions::default() }
}

/// Six sets of two bodies: side and above by the first, face by the second, whose clock is `fast`, and a blank. Pauses
/// differ from set to set.
fn two_bodies(fast: f64) -> Vec<Frame> {
    two_bodies_pausing(fast, &[31.0, 66.0, 43.0, 74.0, 38.0, 57.0])
}

fn two_bodies_pausing(fast: f64, pauses_secs: &[f64]) -> Vec<Frame> {
    let start: DateTime = "2026-06-14T10:00:00".parse().unwrap();
    let mut frames = vec![];
    let mut secs = 0.0;
    for (set, pause) in pauses_secs.iter().enumerate() {
        for (step, wait) in [(0, 7.0), (1, 9.0 + pause % 4.0), (2, 6.0), (3, 8.0)] {
            let off = if step == 1 { fast } else { 0.0 };
            let at =
                start.checked_add(jiff::SignedDuration::from_millis(((secs + off) * 1000.0) as i64)).unwrap();
            let (model, name) = [("E-1", "DSC_"), ("F-2", "IMG_"), ("E-1", "DSC_"), ("E-1", "BLNK")][step];
            frames.push(of(model, &format!("D/{name}{:04}.JPG", 4 * set + step + 1), &at.to_string()));
            secs += wait;
        }
        secs += pause;
    }
    numbered(frames)
}

fn in_order(frames: &[Frame]) -> bool {
    frames.iter().zip(0..).all(|(f, i)| f.id == FrameId(i))
}

#[test]
fn a_shift_is_estimated_used_marked_and_asked_about() {
    let mut frames = two_bodies(3797.0);
    let taken: Vec<_> = frames.iter().map(|f| f.taken).collect();
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(in_order(&frames), "{:?}", names(&frames));
    assert_eq!(frames.iter().map(|f| f.taken).collect::<Vec<_>>(), taken, "what the bodies said stays");
    let [first, second] = &clocks.bodies[..] else { panic!("{clocks:?}") };
    assert_eq!((first.source, first.shift_secs, first.frames), (ClockSource::AsSet, 0.0, 18));
    assert!(matches!(second.source, ClockSource::Estimated { confidence } if confidence >= SURE));
    assert!((second.shift_secs + 3797.0).abs() < 4.0, "{}", second.shift_secs);
    let [query] = &clocks.queries[..] else { panic!("{clocks:?}") };
    assert_eq!(query.kind.word(), "clock-shift");
    assert!(query.question.starts_with("Was the clock of F-2 1 h 3 min"), "{}", query.question);
    assert!(query.evidence.starts_with(
        "Then 6 sets hold frames of it and of E-1; by the clocks as they are it would be 0 sets."
    ));
    assert_eq!(query.answers[0].edit, Edit::Clock(body("F-2"), Some(second.shift_secs)));
    assert_eq!(query.answers[1].edit, Edit::Clock(body("F-2"), Some(0.0)));
    // Taken or left, it is not asked again.
    let clocks = set_clocks(&mut frames, &decided("F-2", second.shift_secs), None);
    assert!(in_order(&frames) && clocks.queries.is_empty());
    assert_eq!(clocks.bodies[1].source, ClockSource::ByHand);
    let clocks = set_clocks(&mut frames, &decided("F-2", 0.0), None);
    assert!(!in_order(&frames) && clocks.queries.is_empty() && frames.iter().all(|f| f.at.is_none()));
}

#[test]
fn three_bodies_are_brought_together_one_by_one() {
    let pauses = [31.0, 66.0, 43.0, 74.0, 38.0, 57.0, 29.0, 41.0, 70.0, 35.0, 62.0, 49.0];
    let mut frames = two_bodies_pausing(3797.0, &pauses);
    for frame in frames.iter_mut().skip(2).step_by(4) {
        frame.body.model = "G-3".into();
        frame.taken = frame.taken.unwrap().shifted(-500.0);
    }
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(in_order(&frames), "{:?}", names(&frames));
    // The first body leaves a third of a minute free in each set.
    let near = |at: usize, secs: f64| (clocks.bodies[at].shift_secs - secs).abs() < 12.0;
    assert!(near(0, 0.0) && near(1, -3797.0) && near(2, 500.0), "{clocks:?}");
    assert_eq!(clocks.queries.len(), 2);
}

#[test]
fn the_order_does_not_depend_on_the_order_read() {
    let frames = two_bodies(3797.0);
    for step in [5, 7, 11, 23] {
        // 24 frames; each step shares no factor with it.
        let mut mixed: Vec<Frame> = (0..24).map(|i| frames[i * step % 24].clone()).collect();
        set_clocks(&mut mixed, &Decisions::default(), None);
        assert!(in_order(&mixed), "{:?}", names(&mixed));
    }
}

#[test]
fn a_decision_about_a_raw_without_serial_goes_for_its_body() {
    let mut frames =
        numbered(vec![of("E-1", "D/DSC_0001.JPG", "10:00:00"), of("E-1", "D/DSC_0002.NEF", "10:00:09")]);
    frames[0].body.serial = "7".into();
    let clocks = set_clocks(&mut frames, &decided("E-1", 5.0), None);
    assert_eq!((clocks.bodies.len(), clocks.bodies[0].source), (1, ClockSource::ByHand));
    assert_eq!(frames[0].at.map(|t| t.time_of_day()), Some("10:00:05".into()));
}

#[test]
fn clocks_that_agree_stay_and_raise_nothing() {
    let mut frames = two_bodies(0.0);
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(in_order(&frames) && frames.iter().all(|f| f.at.is_none()));
    assert_eq!((clocks.queries, clocks.bodies[1].source), (vec![], ClockSource::AsSet));
}

#[test]
fn where_frames_say_too_little_the_clock_stays_and_is_asked_about() {
    let mut frames: Vec<Frame> = two_bodies(3797.0).into_iter().take(8).collect();
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(frames.iter().all(|f| f.at.is_none()));
    let [query] = &clocks.queries[..] else { panic!("{clocks:?}") };
    assert_eq!(
        (query.kind, query.answers[0].words.as_str()),
        (QueryKind::ClockShift, "Leave the clock alone")
    );
    assert_eq!(query.question, "Do the clocks of F-2 and E-1 agree?");
}

#[test]
fn the_clock_that_was_set_stands_against_one_that_was_not() {
    // The first body, which has the blanks, starts at 2000-01-01.
    let mut frames = two_bodies(0.0);
    let back = "2026-06-14T10:00:00".parse::<DateTime>().unwrap();
    let by = "2000-01-01T00:00:00".parse::<DateTime>().unwrap().duration_since(back).as_secs_f64();
    for frame in frames.iter_mut().filter(|f| f.body.model == "E-1") {
        frame.taken = frame.taken.unwrap().shifted(by);
    }
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(in_order(&frames));
    assert_eq!(frames[0].when().unwrap().date(), "2026-06-14");
    assert_eq!(clocks.bodies[1].source, ClockSource::AsSet);
    assert!((clocks.bodies[0].shift_secs + by).abs() < 4.0);
    assert_eq!(clocks.queries.len(), 1, "{:?}", clocks.queries);
    assert!(clocks.queries[0].question.contains("of E-1") && clocks.queries[0].question.ends_with("slow?"));
}

#[test]
fn a_correction_by_hand_may_be_a_fraction_and_goes_for_the_whole_body() {
    let mut frames = numbered(vec![
        of("E-1", "D/DSC_0001.JPG", "10:00:00.5"),
        of("F-2", "D/IMG_0001.JPG", "10:00:01"),
        of("E-1", "D/DSC_0002.JPG", "10:00:02"),
    ]);
    set_clocks(&mut frames, &decided("F-2", -0.75), None);
    assert_eq!(names(&frames), ["IMG_0001", "DSC_0001", "DSC_0002"]);
    assert_eq!(frames[0].at.unwrap().to_string(), "2026-06-14T10:00:00.25");
    assert_eq!(frames[0].id, FrameId(1), "ids stay when the order changes");
}

#[test]
fn offsets_compare_by_utc_and_an_unknown_zone_is_not_utc() {
    let mut frames = numbered(vec![
        of("E-1", "D/DSC_0001.JPG", "10:00:00+01:00"),
        of("E-1", "D/DSC_0002.JPG", "10:00:20+01:00"),
        of("E-1", "D/DSC_0003.JPG", "10:01:00+01:00"),
        of("F-2", "D/IMG_0001.JPG", "11:00:30+02:00"),
        of("F-2", "D/IMG_0002.JPG", "11:00:40"),
        of("G-3", "D/GGGG0001.JPG", "10:00:10"),
    ]);
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert_eq!(names(&frames), ["DSC_0001", "GGGG0001", "DSC_0002", "IMG_0001", "IMG_0002", "DSC_0003"]);
    assert_eq!(clocks.bodies.get(1).map(|b| b.shift_secs), Some(-3600.0));
    assert_eq!(frames[3].at.unwrap().to_string(), "2026-06-14T10:00:30+01:00");
    assert_eq!(frames[1].at, None);
}

#[test]
fn a_journey_is_ordered_by_utc_and_told() {
    let mut frames = numbered(vec![
        of("E-1", "D/DSC_0001.JPG", "10:00:00+01:00"),
        of("E-1", "D/DSC_0002.JPG", "10:50:00+01:00"),
        of("E-1", "D/DSC_0003.JPG", "10:20:00+00:00"),
    ]);
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert!(in_order(&frames), "{:?}", names(&frames));
    let [query] = &clocks.queries[..] else { panic!("{clocks:?}") };
    assert_eq!((query.kind.word(), query.frames.as_slice()), ("clock-jump", &[FrameId(1), FrameId(2)][..]));
    assert!(query.evidence.starts_with("DSC_0002.JPG says +01:00 from UTC and DSC_0003.JPG says +00:00."));
    let clocks = set_clocks(&mut frames, &decided("E-1", 0.0), None);
    assert!(in_order(&frames) && clocks.queries.is_empty());
}

#[test]
fn clocks_never_set_or_ahead_are_asked_about() {
    let asked = |time: &str, now: Option<&str>| {
        let mut frames = numbered(vec![of("E-1", "D/DSC_0001.JPG", time)]);
        let clocks = set_clocks(&mut frames, &Decisions::default(), now.map(|n| n.parse().unwrap()));
        clocks.queries.into_iter().map(|q| (q.kind.word(), q.question, q.answers)).collect::<Vec<_>>()
    };
    let now = Some("2026-06-14T12:00:00");
    for time in [
        "1970-01-01T00:00:09",
        "1980-01-01T00:02:00",
        "1997-12-31T10:00:00",
        "2000-01-01T00:00:10",
        "2015-01-01T05:00:00",
    ] {
        let [(kind, question, answers)] = &asked(time, now)[..] else { panic!("{time}") };
        assert_eq!(
            (*kind, question.as_str()),
            ("clock-suspicious", "Was the clock of E-1 ever set?"),
            "{time}"
        );
        assert_eq!(answers.len(), 2);
        assert_eq!(asked(time, None).len(), 1, "{time}: also without the computer's time");
    }
    let answers = &asked("2026-06-14T13:00:00", now)[0].2;
    assert_eq!(answers[1].edit, Edit::Clock(body("E-1"), Some(-3600.0)));
    for (time, now) in [
        ("2026-06-14T12:04:00", now),
        ("2031-06-14T10:00:00", None),
        ("2026-01-01T10:00:00", Some("2026-01-01T11:00:00")),
        ("2015-06-14T10:00:00", now),
    ] {
        assert_eq!(asked(time, now), [], "{time}");
    }
}

#[test]
fn a_clock_that_jumps_is_told_with_its_frames() {
    let told = |times: [&str; 4]| {
        let frames =
            times.iter().zip(1..).map(|(time, n)| of("E-1", &format!("DCIM/100ABCDE/DSC_{n:04}.JPG"), time));
        let mut frames = numbered(frames.collect());
        let clocks =
            set_clocks(&mut frames, &Decisions::default(), Some("2026-12-01T00:00:00".parse().unwrap()));
        assert!(in_order(&frames), "{times:?}: {:?}", names(&frames));
        let jumps = clocks.queries.into_iter().filter(|q| q.kind == QueryKind::ClockJump);
        jumps.map(|q| (q.frames[1].0, q.question, q.evidence)).collect::<Vec<_>>()
    };
    assert_eq!(told(["10:00:00", "10:00:09", "10:00:20", "10:00:28"]), []);
    let [(2, question, evidence)] =
        &told(["10:00:00", "10:00:09", "2000-01-01T00:00:20", "2000-01-01T00:00:28"])[..]
    else {
        panic!()
    };
    assert_eq!(question, "Did the clock of E-1 jump back?");
    assert!(
        evidence.contains("A changed battery") && evidence.contains("DSC_0002.JPG to DSC_0003.JPG"),
        "{evidence}"
    );
    let [(2, _, evidence)] = &told(["01:59:40", "01:59:55", "01:00:10", "01:00:20"])[..] else { panic!() };
    assert!(
        evidence.contains("falls by 59 min 45 s") && evidence.contains("the end of summer time"),
        "{evidence}"
    );
    let [(2, question, _)] = &told(["01:59:40", "01:59:55", "03:00:05", "03:00:15"])[..] else { panic!() };
    assert_eq!(question, "Did the clock of E-1 jump ahead by an hour?");
    assert_eq!(
        told(["10:00:00", "10:00:09", "11:07:20", "11:07:28"]),
        [],
        "a pause of about an hour is a pause"
    );
}

#[test]
fn nothing_gives_nothing() {
    assert_eq!(set_clocks(&mut [], &Decisions::default(), None), Clocks::default());
    let mut frames = vec![frame(0, "a.jpg", None, TimeSource::Absent)];
    let clocks = set_clocks(&mut frames, &Decisions::default(), None);
    assert_eq!((clocks.bodies.len(), clocks.queries.len()), (1, 0));
}
