//! How long a day of 1,000 frames takes to be arranged again after an edit: blanks and pauses alone, and with every frame
//! looked at and the views of twelve specimens confirmed. Prints milliseconds, the median of twenty.
//!
//! `cargo bench -p grouping`
#![expect(clippy::disallowed_methods, reason = "the clock is what a benchmark is about")]

use std::time::Instant;

use record::{
    BlankVerdict, Edit, FileRole, Frame, FrameFile, FrameId, Looks, Plan, Quality, Session, TimeSource,
};

/// Numbers of a descriptor.
const SIZE: usize = 48;

fn main() {
    let mut session = day(1_000);
    print("blanks and pauses", &mut session);
    look(&mut session);
    print("looked at, nothing confirmed", &mut session);
    confirm(&mut session, 12);
    print("looked at, 12 specimens confirmed", &mut session);
    confirm(&mut session, 60);
    print("looked at, 60 specimens confirmed", &mut session);
}

#[expect(clippy::print_stdout, reason = "a benchmark prints")]
fn print(what: &str, session: &mut Session) {
    let mut times: Vec<f64> = (0..20)
        .map(|_| {
            let start = Instant::now();
            let grouping = grouping::regroup(session);
            assert!(!grouping.sets.is_empty());
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{what:36} {:.1} ms", times[times.len() / 2]);
}

/// Rounds of five, a blank after each.
fn day(frames: u32) -> Session {
    let view = |i: u8| {
        let letter = (b'a' + i) as char;
        format!(
            "(key: \"{letter}\", name: \"{letter}\", letter: '{letter}', required: true, subject_part: \"\",
              subject_orientation: \"\", hint: \"\"),"
        )
    };
    let plan = format!("(key: \"p\", name: \"P\", views: [{}])", (0..5).map(view).collect::<String>());
    let mut session = Session::new("day", Plan::from_text(&plan).expect("a plan"));
    for id in 0..frames {
        let secs = id * 10 + id / 6 * 30;
        let time = format!("2026-06-14T{:02}:{:02}:{:02}", 6 + secs / 3600, secs / 60 % 60, secs % 60);
        let prob = if id % 6 == 5 { 0.99 } else { 0.01 };
        let file = FrameFile { path: format!("F{id:04}.JPG"), bytes: 1, role: FileRole::Picture };
        session.frames.push(Frame {
            taken: Some(time.parse().expect("a time")),
            time_source: TimeSource::Original,
            blank: Some(BlankVerdict { prob, reason: String::new() }),
            ..Frame::new(FrameId(id), vec![file])
        });
    }
    session
}

/// Gives every frame a descriptor that leans to its view.
fn look(session: &mut Session) {
    let mut noise = 1u32;
    for frame in &mut session.frames {
        let view = frame.id.0 as usize % 6;
        let descriptor = (0..SIZE).map(|i| {
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (noise >> 8) as f32 / (1 << 24) as f32 + if i % 6 == view { 0.5 } else { 0.0 }
        });
        let quality = Quality {
            focus: 10.0,
            blown_share: 0.0,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        };
        frame.looks = Some(Looks { descriptor: descriptor.collect(), quality, without_blank: false });
    }
}

fn confirm(session: &mut Session, specimens: usize) {
    for set in 0..specimens {
        let frames = session.sets[set].frames.clone();
        let views: Vec<_> =
            frames.iter().zip(&session.plan.views).map(|(frame, view)| (*frame, view.key.clone())).collect();
        let edit = session.label_frames(set, &views).unwrap_or(Edit::Many(vec![]));
        session.apply(&edit).expect("frames of this session");
        session.arrange(session.sets.iter().map(|s| (s.frames.clone(), s.closed_by)).collect());
    }
}
