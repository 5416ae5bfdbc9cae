//! Rows of pictures: what each shows, under which terms, and where it is served (Audiovisual Core 2026).
//!
//! Only confirmed views have a part and an orientation. A picture of a coarsened animal has no address and no name of a file
//! or moment within the day: the file may carry its place, and either tells the order of the day.

use std::collections::BTreeMap;

use record::{FileRole, Filed, FrameId, FrameKind, Term};

use super::{Profile, Row, Table};
use crate::html::address;
use crate::identity;
use crate::shown::Shown;

/// Media types by ending (IANA registry of media types).
const FORMATS: [(&str, &str); 8] = [
    ("jpg", "image/jpeg"),
    ("jpeg", "image/jpeg"),
    ("png", "image/png"),
    ("tif", "image/tiff"),
    ("tiff", "image/tiff"),
    ("webp", "image/webp"),
    ("heic", "image/heic"),
    ("heif", "image/heif"),
];

/// A row a frame that shows the animal and has a filed picture.
pub(super) fn rows(
    folder: &str,
    shown: &Shown<'_>,
    filed: &BTreeMap<FrameId, &Filed>,
    profile: &Profile,
) -> Vec<Row> {
    let session = shown.session;
    let pictured = shown.frames.iter().filter(|frame| {
        session.kind(frame) == FrameKind::Specimen
            && frame.files.first().is_some_and(|f| f.role == FileRole::Picture)
    });
    let open = |text: String| if shown.is_coarsened() { String::new() } else { text };
    let person = |term| if profile.audience.people { shown.text(term).unwrap_or_default() } else { "" };
    let mut rows: Vec<Row> = Vec::new();
    for frame in pictured {
        let Some(file) = filed.get(&frame.id) else { continue };
        let view = session.decisions.labels.get(&frame.id).and_then(|label| session.plan.view(&label.view));
        let view_name = view.map_or("Frame", |view| view.name.as_str());
        let path = file.path_in_archive(folder);
        let address = open(profile.media_base.as_ref().map_or(String::new(), |base| below(base, &path)));
        let variant = if address.is_empty() { "" } else { "Best Quality" };
        let when = frame.when().map_or(String::new(), |when| when.to_string());
        let when = if shown.is_coarsened() { when.get(..10).unwrap_or_default() } else { &when };
        let [width, height] =
            frame.size_px.map_or([String::new(), String::new()], |(w, h)| [w, h].map(|n| n.to_string()));
        let part = view.and_then(|view| filing::part_iri(&view.subject_part)).unwrap_or_default();
        let orientation =
            view.and_then(|view| filing::orientation_iri(&view.subject_orientation)).unwrap_or_default();
        let ending = path.rsplit_once('.').map_or(String::new(), |(_, ending)| ending.to_lowercase());
        let format = FORMATS.iter().find(|(known, _)| *known == ending).map_or("", |(_, format)| format);
        let device = [frame.body.make.trim(), frame.body.model.trim()].join(" ");
        let title = open(format!("Specimen {:03}, {view_name}", shown.set.number));
        let withheld = if shown.is_coarsened() {
            "Address, name of the file and time of day, to protect a sensitive animal. Ask the data holder."
        } else {
            ""
        };
        rows.push(Row::of(
            Table::Media,
            &[
                ("associatedObservationReference", &identity::urn(shown.id)),
                ("identifier", &identity::urn(identity::media(&file.sha256))),
                ("type", "http://purl.org/dc/dcmitype/StillImage"),
                ("subtypeLiteral", "Photograph"),
                ("title", if title.is_empty() { view_name } else { &title }),
                ("format", format),
                ("accessURI", &address),
                ("variantLiteral", variant),
                ("providerManagedID", &open(path.clone())),
                ("CreateDate", when),
                ("creator", person(Term::Creator)),
                ("Owner", person(Term::RightsHolder)),
                ("rights", shown.text(Term::License).unwrap_or_default()),
                ("metadataLanguageLiteral", "eng"),
                ("subjectPart", &part),
                ("subjectOrientation", &orientation),
                ("captureDevice", &device),
                ("PixelXDimension", &width),
                ("PixelYDimension", &height),
                ("hashFunction", "SHA-256"),
                ("hashValue", &file.sha256),
                ("informationWithheld", withheld),
            ],
        ));
    }
    if shown.is_coarsened() {
        // Their order would be that of the day.
        rows.sort_by(|a, b| a.cells.cmp(&b.cells));
    }
    rows
}

/// The address of a file below that of the folder it is served from.
fn below(base: &str, path: &str) -> String {
    format!("{}/{}", base.trim_end_matches('/'), address(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Percent-encoding of UTF-8 as in RFC 3986, section 2.
    #[test]
    fn paths_become_addresses() {
        assert_eq!(
            below("https://example.org/a/", "2026 June/Öl#1.JPG"),
            "https://example.org/a/2026%20June/%C3%96l%231.JPG"
        );
        assert_eq!(below("https://example.org", "a-b_c~1/d.jpg"), "https://example.org/a-b_c~1/d.jpg");
    }
}
