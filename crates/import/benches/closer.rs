//! Times the second pass against the bare decode of the same frames into colours.
//!
//! `ENDLEAF_BENCH_CARD=FOLDER cargo bench -p import --bench closer` decodes up to forty pictures of the card in that
//! folder and looks closer at them, both on all cores, three times in turn, and prints the fastest of each and their
//! ratio. Without the variable it does nothing.
#![allow(clippy::print_stdout, reason = "its figures are for whoever runs it")]

use std::path::PathBuf;
use std::time::{Duration, Instant};

use rayon::prelude::*;
use record::{BlankVerdict, Silent};

/// Frames looked at: enough for some seconds of work.
const MOST_FRAMES: usize = 40;

/// Times each is done.
const ROUNDS: usize = 3;

fn main() {
    let Some(card) = std::env::var_os("ENDLEAF_BENCH_CARD").map(PathBuf::from) else {
        println!("Set ENDLEAF_BENCH_CARD to the folder of a card to time the second pass over it.");
        return;
    };
    let intake = import::read_card(&card, &Silent).expect("the card in ENDLEAF_BENCH_CARD can be read");
    let mut frames = intake.frames;
    frames.truncate(MOST_FRAMES);
    let (mut bare, mut closer) = (Duration::MAX, Duration::MAX);
    for _ in 0..ROUNDS {
        let started = Instant::now();
        let pixels: usize = frames
            .par_iter()
            .map(|f| {
                image::open(card.join(f.path())).map_or(0, |picture| picture.to_rgb8().as_raw().len() / 3)
            })
            .sum();
        bare = bare.min(started.elapsed());
        let started = Instant::now();
        let blank = |f: &record::Frame| f.blank.as_ref().is_some_and(BlankVerdict::is_blank);
        let all = import::look_closer(&card, &mut frames, |_| true, blank, &Silent);
        closer = closer.min(started.elapsed());
        println!("{} of {} frames looked at, {pixels} pixels decoded", all.looked, frames.len());
    }
    let each = |time: Duration| time.as_secs_f64() * 1000.0 / frames.len() as f64;
    println!("bare decode {:.1} ms a frame, second pass {:.1}", each(bare), each(closer));
    println!("ratio {:.2}", closer.as_secs_f64() / bare.as_secs_f64());
}
