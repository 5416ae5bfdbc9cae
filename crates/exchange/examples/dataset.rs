//! Writes the occurrences of an archive as a data set in columns and as tables, for checks with outside readers.
//!
//! `cargo run -p exchange --features parquet --example dataset -- ARCHIVE DATASET TABLES DAY`. The second and third are new
//! folders.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "for the check that runs this")]

use std::path::PathBuf;

use exchange::archive::export_tables;
use exchange::darwin_core::Profile;
use exchange::dataset::export_dataset;
use record::Silent;

fn main() {
    let words: Vec<PathBuf> = std::env::args().skip(1).map(PathBuf::from).collect();
    let [archive, dataset, tables, day] = &words[..] else {
        println!("usage: dataset ARCHIVE DATASET TABLES DAY");
        return;
    };
    let profile = Profile::default();
    let day = day.to_string_lossy();
    export_dataset(archive, &profile, &day, dataset, &Silent).unwrap();
    export_tables(archive, &profile, &day, tables, &Silent).unwrap();
}
