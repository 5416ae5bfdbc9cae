//! Helpers for end-to-end tests: a bench to run the program on, cards made from the demo sessions, and a
//! look at what became of a folder.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use tempfile::TempDir;

/// Top folder of the project.
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests lie below the top folder").to_owned()
}

/// The card of a demo session.
pub fn demo_card(name: &str) -> PathBuf {
    project().join("demo-sessions").join(name).join("card")
}

/// What a demo session's script says a perfect reader would find.
///
/// # Panics
/// When the file is not there or not JSON.
pub fn demo_expected(name: &str) -> Value {
    let path = project().join("demo-sessions").join(name).join("expected.json");
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).expect("expected.json is JSON")
}

/// What a run of the program gave.
#[derive(Debug)]
pub struct Outcome {
    /// Exit status.
    pub status: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub talk: String,
}

impl Outcome {
    /// Standard output as JSON.
    ///
    /// # Panics
    /// When it is not.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e} in: {}\n{}", self.out, self.talk))
    }
}

/// A place to run the program: an empty home of its own, no environment, an archive to be, and a card.
pub struct Bench {
    folder: TempDir,
    program: PathBuf,
}

impl Bench {
    /// A new bench for the program at this path (`env!("CARGO_BIN_EXE_endleaf-under-test")`).
    ///
    /// # Panics
    /// When no temporary folder can be made.
    pub fn new(program: &str) -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        fs::create_dir(folder.path().join("card")).expect("a folder for the card");
        Self { folder, program: program.into() }
    }

    /// The bench's own card, empty at first.
    pub fn card(&self) -> PathBuf {
        self.folder.path().join("card")
    }

    /// Where the bench files into; not there at first.
    pub fn archive(&self) -> PathBuf {
        self.folder.path().join("archive")
    }

    /// The bench's own data folder.
    pub fn home(&self) -> PathBuf {
        self.folder.path().join("home")
    }

    /// Runs the program; words are split at spaces, `CARD` and `ARCHIVE` stand for the bench's own.
    ///
    /// # Panics
    /// When the program cannot be started.
    pub fn run(&self, words: &str) -> Outcome {
        let args = words.split(' ').map(|word| match word {
            "CARD" => self.card().into_os_string(),
            "ARCHIVE" => self.archive().into_os_string(),
            word => word.into(),
        });
        let output = Command::new(&self.program)
            .args(args)
            .env_clear()
            .env("ENDLEAF_HOME", self.home())
            .current_dir(project())
            .output()
            .expect("the program starts");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
        Outcome {
            status: output.status.code().expect("the program ends by itself"),
            out: text(output.stdout),
            talk: text(output.stderr),
        }
    }

    /// Puts frames of the demo bank on the card: those that `choose` wants, by their entry in
    /// `expected.json`, as they are.
    ///
    /// # Panics
    /// When they cannot be copied.
    pub fn put_demo(&self, choose: impl Fn(&Value) -> bool) {
        let expected = demo_expected("salt-marsh-bank");
        for frame in expected["frames"].as_array().expect("frames").iter().filter(|f| choose(f)) {
            for file in frame["files"].as_array().expect("files") {
                let file = file.as_str().expect("a path");
                self.put(file, &demo_bytes(file)).expect("a file on the card");
            }
        }
    }

    /// Writes a file on the card.
    ///
    /// # Errors
    /// As the system says.
    pub fn put(&self, path: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.card().join(path);
        fs::create_dir_all(path.parent().expect("a path below the card"))?;
        fs::write(path, bytes)
    }
}

/// A file of the demo bank's card.
///
/// # Panics
/// When it is not there.
pub fn demo_bytes(path: &str) -> Vec<u8> {
    fs::read(demo_card("salt-marsh-bank").join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// A JPEG without its Exif: everything but APP1 segments.
///
/// # Panics
/// When it is not a JPEG with whole headers.
pub fn without_exif(jpeg: &[u8]) -> Vec<u8> {
    let mut out = jpeg[..2].to_vec();
    let mut at = 2;
    while jpeg[at + 1] != 0xDA {
        let length = 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
        if jpeg[at + 1] != 0xE1 {
            out.extend_from_slice(&jpeg[at..at + length]);
        }
        at += length;
    }
    out.extend_from_slice(&jpeg[at..]);
    out
}

/// Every file below a folder, by its path with `/`, with its bytes.
///
/// # Panics
/// When the folder cannot be read.
pub fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap_or_else(|e| panic!("{}: {e}", next.display())) {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let relative = path.strip_prefix(folder).expect("below the folder");
                let name = relative.to_str().expect("UTF-8").replace('\\', "/");
                files.insert(name, fs::read(&path).expect("a readable file"));
            }
        }
    }
    files
}
