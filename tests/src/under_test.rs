//! The `endleaf` program, under another name, for the tests beside it.

use std::process::ExitCode;

fn main() -> ExitCode {
    endleaf::cli::run(std::env::args_os()).into()
}
