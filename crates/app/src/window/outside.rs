//! What the window asks of the computer besides files: to open a page, to play a sound.
//!
//! Goes in: a path. Comes out: that it was handed over, or in words why not. Both may take a while, so they are called on
//! threads of their own; tests put others in their place.

use std::io;
use std::path::Path;
use std::process::{Command, Stdio};

use super::words::tell;

/// Hands a file over, or says in words why it cannot be.
pub type HandOver = fn(&Path) -> Result<(), String>;

/// What is asked of the computer.
#[derive(Debug, Clone, Copy)]
pub struct Outside {
    /// Opens a page where the person looks at and prints pages.
    pub open: HandOver,
    /// Plays a sound.
    pub play: HandOver,
}

impl Default for Outside {
    fn default() -> Self {
        Self { open, play }
    }
}

fn open(page: &Path) -> Result<(), String> {
    opener::open(page).map_err(|reason| reason.to_string())
}

/// Programs that play a file, by what most systems bring: the first that is there is taken.
const PLAYERS: &[&[&str]] = if cfg!(target_os = "macos") {
    &[&["afplay"]]
} else if cfg!(windows) {
    &[&["powershell", "-NoProfile", "-Command", "(New-Object Media.SoundPlayer $args[0]).PlaySync()"]]
} else {
    &[&["pw-play"], &["paplay"], &["aplay", "-q"]]
};

fn play(sound: &Path) -> Result<(), String> {
    for player in PLAYERS {
        let [program, arguments @ ..] = player else { continue };
        let mut command = Command::new(program);
        command.args(arguments).arg(sound);
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        match command.status() {
            Ok(ended) if ended.success() => return Ok(()),
            // The next may reach a device that this one does not.
            Ok(_) => {}
            Err(reason) if reason.kind() == io::ErrorKind::NotFound => {}
            Err(reason) => return Err(reason.to_string()),
        }
    }
    let players: Vec<&str> = PLAYERS.iter().filter_map(|player| player.first().copied()).collect();
    Err(tell!("sound-no-player", players = players.join(", ")))
}
