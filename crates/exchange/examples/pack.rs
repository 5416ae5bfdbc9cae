//! Makes a pack of all specimens of an archive, best frames at 2,048 px: `pack ARCHIVE OUT`. Prints seconds and pictures; on
//! Linux the peak of memory as well.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "figures for whoever runs this by hand")]

use std::path::Path;
use std::time::Instant;

use exchange::Audience;
use exchange::pack::{Form, Wanted, Which, pack};
use record::Silent;

/// As in the program.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    let mut args = std::env::args().skip(1);
    let (archive, out) = args.next().zip(args.next()).expect("usage: pack ARCHIVE OUT");
    let wanted = Wanted {
        audience: Audience::default(),
        specimens: None,
        which: Which::Best,
        around_subject: false,
        long_side_px: 2048,
        at_most_bytes: None,
        form: Form::Folder,
    };
    let start = Instant::now();
    let sent = pack(Path::new(&archive), &wanted, Path::new(&out), &Silent).unwrap();
    let pictures: usize = sent.sessions.iter().map(|session| session.frames.len()).sum();
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or("unknown").trim();
    println!("{pictures} pictures in {:.2} s, peak {peak}", start.elapsed().as_secs_f64());
    for fault in sent.faults {
        println!("{fault}");
    }
}
