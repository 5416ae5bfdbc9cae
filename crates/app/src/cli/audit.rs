//! `endleaf audit ARCHIVE`: reads everything again against its lists and journal, or a bag against its manifests; repairs only
//! when told.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use filing::{Audit, AuditOptions, Finding};
use record::{count, shown};

use super::meter::Meter;
use super::{Exit, print};

#[derive(Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own on the command line")]
pub(super) struct AuditArgs {
    /// The folder that sessions are filed into, or a bag
    archive: PathBuf,
    /// Looks at sizes and times alone, and reads only Endleaf's own texts
    #[arg(long)]
    quick: bool,
    /// A second archive, to look for good copies in
    #[arg(long, value_name = "ARCHIVE")]
    beside: Option<PathBuf>,
    /// Puts good copies of the second archive in place; what stood there is put aside
    #[arg(long, requires = "beside")]
    repair: bool,
    /// Prints one JSON object
    #[arg(long)]
    json: bool,
    /// Exit status 1 when files are there that no list names
    #[arg(long)]
    strict: bool,
}

pub(super) fn run(args: &AuditArgs) -> anyhow::Result<Exit> {
    let options = AuditOptions { quick: args.quick, beside: args.beside.as_deref() };
    let look = || {
        let meter = Meter::auditing();
        let audit = filing::audit(&args.archive, options, &meter);
        meter.clear();
        audit
    };
    let mut audit = look()?;
    let mut repaired = Vec::new();
    if let Some(beside) = args.beside.as_ref().filter(|_| args.repair && !audit.is_sound() && !audit.is_bag) {
        let meter = Meter::auditing();
        let done = filing::repair(&args.archive, beside, &audit, &meter);
        meter.clear();
        repaired = done?;
        audit = look()?;
    }
    print::result(&if args.json { json(&audit, &repaired) } else { said(&audit, &repaired) });
    Ok(match (audit.is_sound(), audit.findings.is_empty()) {
        (false, _) => Exit::NotDone,
        (true, false) if args.strict => Exit::NeedsPerson,
        _ => Exit::Done,
    })
}

fn said(audit: &Audit, repaired: &[String]) -> String {
    let mut text = String::new();
    let mut line = |words: String| writeln!(text, "{words}").expect("a string takes any text");
    for path in repaired {
        line(format!("repaired    {}", shown(path)));
    }
    for Finding { path, wrong, good, .. } in &audit.findings {
        let good = good
            .as_ref()
            .map_or(String::new(), |good| format!("; the second archive holds it: {}", shown(good)));
        line(format!("{:<10}  {}{good}", wrong.word(), shown(path)));
    }
    for remark in &audit.remarks {
        line(remark.clone());
    }
    let files = count(audit.files, "file", "files");
    let looked = match (audit.whole, audit.is_bag) {
        (true, _) => "read again",
        (false, false) => "looked at by size and time (texts read)",
        (false, true) => "looked at by size (the bag's texts read)",
    };
    let id = audit.id.as_ref().map_or(String::new(), |id| format!("Archive {id}: "));
    let wrong = audit.findings.iter().filter(|f| f.wrong != filing::Wrong::Unlisted).count();
    let unlisted = audit.findings.len() - wrong;
    let verdict = match (wrong, audit.is_bag) {
        (0, false) => "all as filed".to_owned(),
        (0, true) if audit.whole => "the bag is valid".to_owned(),
        (0, true) => "the bag is complete by names and sizes".to_owned(),
        (wrong, false) => format!("{} not as filed", count(wrong, "is", "are")),
        (wrong, true) => format!("the bag is not valid: {} amiss", count(wrong, "file is", "files are")),
    };
    let unlisted = if unlisted > 0 {
        format!("; {} in no list", count(unlisted, "file", "files"))
    } else {
        String::new()
    };
    line(format!("{id}{files} {looked}, {} bytes; {verdict}{unlisted}.", audit.bytes));
    text
}

fn json(audit: &Audit, repaired: &[String]) -> String {
    let finding = |f: &Finding| serde_json::json!({ "path": f.path, "wrong": f.wrong.word(), "sha256": f.sha256, "good": f.good });
    let findings: Vec<_> = audit.findings.iter().map(finding).collect();
    let all = serde_json::json!({
        "id": audit.id, "files": audit.files, "bytes": audit.bytes, "whole": audit.whole, "sound": audit.is_sound(),
        "bag": audit.is_bag, "findings": findings, "repaired": repaired, "remarks": audit.remarks,
    });
    format!("{all}\n")
}
