//! What a copy of a picture for others says of itself: an XMP packet (ISO 16684-1) of what was chosen for them, and no more.

use super::packet::{self, Element};
use super::spaces::{AC, DC, DWC, RDF, XMP, XMP_RIGHTS};

/// What is said of a copy. An empty text is not said.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Caption {
    /// In a line.
    pub title: String,
    /// `dwc:occurrenceID` of the animal.
    pub occurrence: String,
    /// The name it goes by.
    pub name: String,
    /// The day, as `2026-06-14`; no time of it.
    pub date: String,
    /// Who made the picture, each by one name.
    pub creators: Vec<String>,
    /// Who holds the rights.
    pub holder: String,
    /// Address of the licence.
    pub licence: String,
    /// `ac:subjectPart` as an IRI ([`crate::part_iri`]).
    pub part: String,
    /// `ac:subjectOrientation` as an IRI ([`crate::orientation_iri`]).
    pub orientation: String,
}

/// Around a packet (ISO 16684-1, 7.3.2): what finds it in a file whose form is not known, and that it is not to be changed in
/// place.
const BEGIN: &str = "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n";
const END: &str = "\n<?xpacket end=\"r\"?>";

impl Caption {
    /// The packet. The same caption gives the same bytes.
    pub fn packet(&self) -> String {
        let mut all = Vec::new();
        let items =
            |texts: &[String]| texts.iter().map(|text| Element::text(RDF, "li", text)).collect::<Vec<_>>();
        if !self.title.is_empty() {
            all.push(Element::alternative(DC, "title", &self.title));
        }
        if !self.creators.is_empty() {
            all.push(Element::items(DC, "creator", "Seq", items(&self.creators).into_iter()));
        }
        if !self.holder.is_empty() {
            all.push(Element::array(XMP_RIGHTS, "Owner", "Bag", Element::text(RDF, "li", &self.holder)));
        }
        for (space, local, text) in [
            (XMP, "CreatorTool", "Endleaf"),
            (XMP_RIGHTS, "WebStatement", &self.licence),
            (DWC, "occurrenceID", &self.occurrence),
            (DWC, "scientificName", &self.name),
            (DWC, "eventDate", &self.date),
        ] {
            if !text.is_empty() {
                all.push(Element::text(space, local, text));
            }
        }
        for (local, iri) in [("subjectPart", &self.part), ("subjectOrientation", &self.orientation)] {
            if !iri.is_empty() {
                all.push(Element::resource(AC, local, iri));
            }
        }
        let text = packet::write(&all);
        // A packet has no declaration of XML (ISO 16684-1, 7.3.2): the header stands for it.
        let properties = text.split_once("?>").map_or(text.as_str(), |(_, properties)| properties);
        format!("{BEGIN}{}{END}", properties.trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_packet_says_what_was_given_and_no_more() {
        let caption = Caption {
            title: "Specimen 3 · Face <front>".into(),
            occurrence: "urn:uuid:95371597-fd1d-5a01-abe1-88da72d2af50".into(),
            creators: vec!["A. Example".into(), "B. Example".into()],
            part: crate::part_iri("head").unwrap(),
            ..Caption::default()
        };
        let packet = caption.packet();
        assert!(
            packet.starts_with("<?xpacket begin=\"\u{feff}\"") && packet.ends_with("<?xpacket end=\"r\"?>")
        );
        assert!(!packet.contains("<?xml "));
        let read = packet::read(packet.as_bytes()).unwrap();
        let names: Vec<&str> = read.iter().map(|property| property.name.local.as_str()).collect();
        let mut sorted = names.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, ["CreatorTool", "creator", "occurrenceID", "subjectPart", "title"]);
        assert!(packet.contains("Face &lt;front&gt;") && packet.contains("B. Example"));
    }
}
