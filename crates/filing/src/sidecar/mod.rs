//! What is known of a frame as a sidecar file beside it: XMP (ISO 16684-1) with terms of Audiovisual Core and Darwin Core.
//!
//! Goes in: a session, one of its frames, and a sidecar that came with it. Comes out: the text of `<stem>.xmp`, which
//! follows from these alone, never from the clock. Only confirmed views stand in it. It reads and writes no file.

mod caption;
mod packet;
mod spaces;
mod written;

use record::{Frame, FrameKind, Position, Session, Set, shift_text};

pub use caption::Caption;
use packet::{Element, Name};
use spaces::{AC, DC, DWC, EXIF, PHOTOSHOP, RDF, XMP};
pub use spaces::{orientation_iri, part_iri};

/// Ending of sidecars.
pub(crate) const ENDING: &str = ".xmp";

/// What stands before the ending of one that came with a frame.
pub(crate) const ORIGINAL: &str = ".original";

/// Largest incoming sidecar that is merged: packets are tens of kilobytes, with thumbnails hundreds.
pub(crate) const LARGEST_BYTES: u64 = 4 << 20;

/// Whether a path on the card is that of a sidecar.
pub(crate) fn is_sidecar(path: &str) -> bool {
    path.len() > ENDING.len() && path.to_ascii_lowercase().ends_with(ENDING)
}

/// The sidecar of a frame: what Endleaf knows, and the properties of those that came with it.
///
/// Of properties that both have, time, hash, and terms of Audiovisual Core and Darwin Core are Endleaf's; title,
/// description and what the camera or a person wrote besides stand as they came. Of an incoming one that cannot be read
/// nothing stands; [`fault`] says so of it.
pub(crate) fn text(
    session: &Session,
    frame: &Frame,
    set: Option<&Set>,
    sha256: &str,
    incoming: &[Vec<u8>],
) -> String {
    let mut foreign: Vec<Element> = Vec::new();
    for property in incoming.iter().filter_map(|bytes| packet::read(bytes).ok()).flatten() {
        if !foreign.iter().any(|f| f.name == property.name) {
            foreign.push(property);
        }
    }
    let own = own(session, frame, set, sha256);
    let is_ours = |name: &Name| {
        [AC, DWC].contains(&name.space.as_str())
            || (name.space == XMP && name.local == "CreateDate")
            || (name.space == PHOTOSHOP && name.local == "DateCreated")
    };
    foreign.retain(|f| !(is_ours(&f.name) && own.iter().any(|o| o.name == f.name)));
    let mut all: Vec<Element> =
        own.into_iter().filter(|o| !foreign.iter().any(|f| f.name == o.name)).collect();
    all.append(&mut foreign);
    packet::write(&all)
}

/// Why an incoming sidecar cannot be read, if so.
pub(crate) fn fault(bytes: &[u8]) -> Option<&'static str> {
    packet::read(bytes).err()
}

/// What Endleaf knows of a frame.
fn own(session: &Session, frame: &Frame, set: Option<&Set>, sha256: &str) -> Vec<Element> {
    let label = session.decisions.labels.get(&frame.id).filter(|_| set.is_some());
    let view = label.and_then(|label| session.plan.view(&label.view));
    let shows = match (set, session.kind(frame)) {
        (Some(set), FrameKind::Specimen) => {
            let view = view.map_or(String::new(), |view| format!(", {}", view.name));
            format!("specimen {:03}{view}", set.number)
        }
        (_, kind) => kind.word().to_owned(),
    };
    let day = session.date().map_or(String::new(), |date| format!("{date} "));
    let jar = set.map_or("", |set| session.jar_of(set)).trim();
    let jar = if jar.is_empty() { String::new() } else { format!(", jar {jar}") };
    let mut all = vec![
        Element::alternative(DC, "title", &(shows[..1].to_uppercase() + &shows[1..])),
        Element::alternative(DC, "description", &format!("{day}{}: {shows}{jar}", session.name)),
        Element::array(DC, "type", "Bag", Element::text(RDF, "li", "StillImage")),
        Element::text(XMP, "CreatorTool", "Endleaf"),
        Element::text(AC, "metadataLanguageLiteral", "eng"),
        Element::text(AC, "hashFunction", "SHA-256"),
        Element::text(AC, "hashValue", sha256),
    ];
    times(frame, &mut all);
    let device = [frame.body.make.trim(), frame.body.model.trim()].join(" ");
    if !device.trim().is_empty() {
        all.push(Element::text(AC, "captureDevice", device.trim()));
    }
    if let Some(position) = frame.shot.position {
        place(position, &mut all);
    }
    if let Some(set) = set {
        let reference = format!("{day}{}, specimen {:03}", session.name, set.number);
        all.push(Element::text(AC, "associatedSpecimenReference", &reference));
        let note = session.record_of(set).map_or("", |record| record.note.as_str());
        for (term, text) in [("verbatimLabel", session.jar_of(set)), ("occurrenceRemarks", note)] {
            if !text.trim().is_empty() {
                all.push(Element::text(DWC, term, text.trim()));
            }
        }
    }
    written::add(session, set.and_then(|set| session.record_of(set)), &mut all);
    if let Some(view) = view {
        all.extend(part_iri(&view.subject_part).map(|iri| Element::resource(AC, "subjectPart", &iri)));
        all.extend(
            orientation_iri(&view.subject_orientation)
                .map(|iri| Element::resource(AC, "subjectOrientation", &iri)),
        );
    }
    all
}

/// When a frame was taken: by the day's common clock, and as its body said.
fn times(frame: &Frame, all: &mut Vec<Element>) {
    let Some(when) = frame.when() else { return };
    let when = when.to_string();
    all.push(Element::text(XMP, "CreateDate", &when));
    all.push(Element::text(PHOTOSHOP, "DateCreated", &when));
    if let Some(taken) = frame.taken.filter(|_| frame.by_camera()) {
        all.push(Element::text(EXIF, "DateTimeOriginal", &taken.to_string()));
    }
    let mut comments = Vec::new();
    if !frame.by_camera() {
        comments.push(format!("Time of creation: {}.", frame.time_source.words()));
    }
    if let (Some(taken), Some(at)) = (frame.taken, frame.at) {
        let shift = shift_text(at.secs_since(&taken));
        comments.push(format!("The camera said {taken}; its clock was corrected by {shift}."));
    }
    if !comments.is_empty() {
        all.push(Element::text(AC, "comments", &comments.join(" ")));
    }
}

/// Where the camera stood, in the forms of Exif for XMP.
fn place(position: Position, all: &mut Vec<Element>) {
    let coordinate = |degrees: f64, signs: [char; 2]| {
        // Hundred-thousandths of a minute: two centimetres.
        let all = (degrees.abs() * 6_000_000.0).round() as u64;
        let sign = signs[usize::from(degrees < 0.0)];
        format!("{},{}.{:05}{sign}", all / 6_000_000, all % 6_000_000 / 100_000, all % 100_000)
    };
    let text = |local: &str, text: &str| Element::text(EXIF, local, text);
    all.push(text("GPSLatitude", &coordinate(position.latitude_deg, ['N', 'S'])));
    all.push(text("GPSLongitude", &coordinate(position.longitude_deg, ['E', 'W'])));
    if let Some(metres) = position.altitude_m {
        all.push(text("GPSAltitude", &format!("{}/100", (metres.abs() * 100.0).round() as u64)));
        all.push(text("GPSAltitudeRef", if metres < 0.0 { "1" } else { "0" }));
    }
}

#[cfg(test)]
#[path = "tests.rs"]
mod tests;
