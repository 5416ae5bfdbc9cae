//! `eml.xml`, the least that a data set has to say of itself (EML 2.2.0, <https://eml.ecoinformatics.org/>).
//!
//! Goes in: who is named, under which licences, from when to when. Comes out: the text. It says no place.

use std::collections::BTreeSet;

use quick_xml::escape::escape;
use uuid::Uuid;

use crate::cells::one_line;
use crate::identity;

/// What is said of a data set as a whole.
#[derive(Debug, Clone, Default)]
pub struct Credits {
    /// People who may be named, the first as the one to ask. Empty says `Data holder`.
    pub people: BTreeSet<String>,
    /// Addresses of the licences that stand in the records.
    pub licences: BTreeSet<String>,
    /// First and last day of the records, as `2026-06-14`.
    pub days: Option<(String, String)>,
    /// The data set's name.
    pub name: Uuid,
    /// The day it is published, as `2026-11-25`.
    pub published: String,
}

impl Credits {
    /// Credits of a data set of these occurrences.
    pub(crate) fn name(&mut self, occurrences: impl IntoIterator<Item = Uuid>) {
        self.name = identity::data_set(occurrences);
    }
}

/// The text of `eml.xml`.
pub fn eml_xml(credits: &Credits) -> String {
    let text = |words: &str| escape(one_line(words).as_ref()).into_owned();
    let party = |element: &str, name: &str| {
        format!(
            "    <{element}><individualName><surName>{}</surName></individualName></{element}>\n",
            text(name)
        )
    };
    let holder =
        |element: &str| format!("    <{element}><positionName>Data holder</positionName></{element}>\n");
    let one =
        |element: &str| credits.people.first().map_or_else(|| holder(element), |name| party(element, name));
    let creators: String = if credits.people.is_empty() {
        holder("creator")
    } else {
        credits.people.iter().map(|name| party("creator", name)).collect()
    };
    let days = match &credits.days {
        Some((first, last)) if first == last => format!(", {first}"),
        Some((first, last)) => format!(", {first} to {last}"),
        None => String::new(),
    };
    let licences: Vec<String> = credits
        .licences
        .iter()
        .map(|address| format!("<ulink url=\"{0}\"><citetitle>{0}</citetitle></ulink>", text(address)))
        .collect();
    let rights = match licences.as_slice() {
        [] => "No licence is stated; ask the data holder before use.".to_owned(),
        [one] => format!("Licensed under {one}."),
        several => format!("Each record states its own licence: {}.", several.join(", ")),
    };
    let coverage = credits.days.as_ref().map_or(String::new(), |(first, last)| {
        format!(
            "    <coverage><temporalCoverage><rangeOfDates><beginDate><calendarDate>{}</calendarDate></beginDate>\
             <endDate><calendarDate>{}</calendarDate></endDate></rangeOfDates></temporalCoverage></coverage>\n",
            text(first),
            text(last)
        )
    });
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <eml:eml xmlns:eml=\"https://eml.ecoinformatics.org/eml-2.2.0\" packageId=\"{id}/v1\" system=\"Endleaf\" \
         scope=\"system\" xml:lang=\"eng\">\n  <dataset>\n    \
         <title xml:lang=\"eng\">Photographed specimens{days}</title>\n{creators}{provider}    \
         <pubDate>{published}</pubDate>\n    <language>eng</language>\n    \
         <abstract><para>Records of animals that were photographed through a fixed round of views, with their pictures, \
         names and measurements.</para></abstract>\n    \
         <intellectualRights><para>{rights}</para></intellectualRights>\n{coverage}{contact}  </dataset>\n</eml:eml>\n",
        id = identity::urn(credits.name),
        provider = one("metadataProvider"),
        published = text(&credits.published),
        contact = one("contact"),
    )
}
