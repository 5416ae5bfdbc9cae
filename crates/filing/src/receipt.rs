//! What a filing did, for people: `receipt.txt` beside the session, and what is said at the end.
//!
//! Goes in: an account of every file of the card. Comes out: text. It counts nothing itself.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use record::{Account, Filed, Session, Tally, shown};

use crate::FilingPlan;
use crate::lists::Here;

/// Name of the receipt.
pub(crate) const RECEIPT_FILE: &str = "receipt.txt";

/// What a filing did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// The session's folder in the archive.
    pub folder: PathBuf,
    /// Files copied this time.
    pub copied: usize,
    /// Their size together.
    pub copied_bytes: u64,
    /// Files that stood in the archive already.
    pub filed_before: usize,
    /// How many of those got another name.
    pub moved: usize,
    /// Sidecars written this time.
    pub sidecars: usize,
    /// How many of those filed before lie in the folders of other sessions, by folder.
    pub elsewhere: BTreeMap<String, usize>,
    /// Copies of all those files elsewhere on the card.
    pub copies: usize,
    /// What a person should know, in whole sentences; mostly empty.
    pub remarks: Vec<String>,
    /// What became of every file of the card.
    pub account: Account,
}

/// What stands in place of a receipt until a filing is over.
pub(crate) fn unfinished(session: &str) -> String {
    format!(
        "Receipt of filing “{}”\n\nNot over: filing is going on, was stopped, or was cut short. Do not wipe the card. \
         File it again to go on.\n",
        shown(session)
    )
}

/// Writing to a `String` cannot fail, so a line is simply added.
macro_rules! line {
    ($text:expr, $($words:tt)*) => { writeln!($text, $($words)*).expect("a string takes any text") };
}

/// The receipt as text: whether the card may be wiped, the counts, then every file with its SHA-256 and place.
pub(crate) fn text(session: &Session, account: &Account, plan: &FilingPlan, here: &Here) -> String {
    let mut text = format!("Receipt of filing “{}” into {}\n", shown(&session.name), shown(&plan.folder));
    line!(text, "At {}\n\n{}\n", account.at, account.words());
    let mut row = |name: &str, tally: Tally| {
        line!(text, "{name:<28}{:>8} files {:>16} bytes", tally.files, tally.bytes);
    };
    row("filed here", account.filed);
    row("  of frames set aside", account.set_aside);
    row("filed by other sessions", account.filed_before);
    row("copies on the card", account.copies);
    line!(text, "{:<28}{:>8} files", "left", account.left.len());
    let filed = |step: &&crate::Step| here.get(&step.from).filter(|f| plan.place.path_of(f) == step.to);
    let of = |f: &Filed| (f.session.is_some(), f.sha256.clone());
    for (elsewhere, title) in [(false, "Filed here"), (true, "Filed by other sessions")] {
        let steps = plan.steps.iter().filter_map(|step| Some((step, of(filed(&step)?))));
        let mut lines = steps.filter(|(_, (session, _))| *session == elsewhere).peekable();
        if lines.peek().is_some() {
            line!(text, "\n{title}: SHA-256, where it lies, what it is on the card");
        }
        for (step, (_, sha256)) in lines {
            line!(text, "{sha256}  {}  {}", shown(&step.to), shown(&step.from));
        }
    }
    if !plan.copies.is_empty() {
        line!(text, "\nCopies on the card, and what they are copies of");
    }
    for copy in &plan.copies {
        line!(text, "{}  {}", shown(&copy.path), shown(&copy.of));
    }
    if !account.left.is_empty() {
        line!(text, "\nLeft, and why");
    }
    for left in &account.left {
        line!(text, "{}: {}", shown(&left.path), shown(&left.reason));
    }
    text
}
