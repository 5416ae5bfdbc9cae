//! Packs the sessions of an archive as bags, for checks with outside readers.
//!
//! `cargo run -p exchange --example bags -- ARCHIVE BAGS DAY`. Prints a line a session: its folder, and its files and bytes or
//! why there is no bag. Exit status 2 when one was not made.
#![allow(clippy::print_stdout, reason = "results for the check that runs this")]

use std::path::PathBuf;
use std::process::ExitCode;

use exchange::bags::export_bags;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [archive, bags, day] = &words[..] else {
        println!("usage: bags ARCHIVE BAGS DAY");
        return ExitCode::from(2);
    };
    match export_bags(&PathBuf::from(archive), &PathBuf::from(bags), day, &record::Silent) {
        Ok(all) => {
            for bag in &all {
                match &bag.made {
                    Ok(made) => println!("{}: {} files, {} bytes", bag.folder, made.files, made.bytes),
                    Err(fault) => println!("{}: {fault}", bag.folder),
                }
            }
            if all.iter().all(|bag| bag.made.is_ok()) { ExitCode::SUCCESS } else { ExitCode::from(2) }
        }
        Err(fault) => {
            println!("{fault}");
            ExitCode::from(2)
        }
    }
}
