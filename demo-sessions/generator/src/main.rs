//! Rewrites the demo sessions beside this package: `cargo run --release -p demo-sessions`.

use std::io::{self, Write};
use std::path::Path;

fn main() -> io::Result<()> {
    let demo_sessions = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for script in [demo_sessions::salt_marsh_bank(), demo_sessions::carded_beetles()] {
        script.write_into(&demo_sessions)?;
        writeln!(io::stdout(), "{} frames drawn: {}", script.shots.len(), script.name)?;
    }
    Ok(())
}
