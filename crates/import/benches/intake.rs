//! Times the reading of a card, and says how much of it was read.
//!
//! `ENDLEAF_BENCH_CARD=FOLDER cargo bench -p import --bench intake` reads the card in that folder eight times, the first
//! time to warm up, and prints the fastest, the median and the share of bytes. Without the variable it does nothing.
#![allow(clippy::print_stdout, reason = "its figures are for whoever runs it")]

use std::path::PathBuf;
use std::time::Instant;

use record::{BlankVerdict, Silent};

/// Readings timed, after one that is not.
const READINGS: usize = 7;

fn main() {
    let Some(card) = std::env::var_os("ENDLEAF_BENCH_CARD").map(PathBuf::from) else {
        println!("Set ENDLEAF_BENCH_CARD to the folder of a card to time its reading.");
        return;
    };
    let mut times = Vec::new();
    let mut last = None;
    for reading in 0..=READINGS {
        let started = Instant::now();
        let intake = import::read_card(&card, &Silent).expect("the card in ENDLEAF_BENCH_CARD can be read");
        if reading > 0 {
            times.push(started.elapsed().as_secs_f64() * 1000.0);
        }
        last = Some(intake);
    }
    times.sort_by(f64::total_cmp);
    let intake = last.expect("it was read at least once");
    let frames = intake.frames.len();
    let each = |ms: f64| ms / frames as f64;
    let blanks =
        intake.frames.iter().filter(|f| f.blank.as_ref().is_some_and(BlankVerdict::is_blank)).count();
    let (read, all) = (intake.bytes_read, intake.bytes_on_card);
    println!("{frames} frames, {blanks} of them blank");
    println!("fastest {:.3} ms a frame, median {:.3}", each(times[0]), each(times[times.len() / 2]));
    println!(
        "{read} of {all} bytes read: {:.3} %, {} a frame",
        100.0 * read as f64 / all as f64,
        read / frames as u64
    );
}
