//! Arguments in, exit status out.

use std::process::ExitCode;

fn main() -> ExitCode {
    endleaf::cli::run(std::env::args_os()).into()
}
