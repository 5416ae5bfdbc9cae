//! What a notebook's columns mean: guessed from their headers, changed by a person, remembered by header.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::fold::words;
use crate::header::known_header;

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Column {
    /// Label of a jar.
    Jar,
    /// Number of a specimen.
    Number,
    /// When the animal was caught or seen.
    Time,
    /// On what day.
    Date,
    /// A field of the record by its name: a Darwin Core term such as `locality`, or one of `coordinates` (both in one
    /// cell), `plant` (what the animal sat on or was taken from), `notes`, `heldFrom`, `releasedAt` and `name` (a
    /// determination as written).
    Field(String),
    /// Nothing that is taken.
    LeaveOut,
}

/// Which of two numbers of a date is the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum DayOrder {
    /// 14/6/2026.
    DayFirst,
    /// 6/14/2026.
    MonthFirst,
}

/// The meaning of each column of one notebook.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Mapping {
    /// By place, as many as headers.
    pub columns: Vec<Column>,
    /// How dates are written, where a person said so.
    pub day_order: Option<DayOrder>,
}

/// What headers meant before, by their words.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Remembered(BTreeMap<String, Column>);

impl Remembered {
    /// Keeps what the columns of a notebook mean. Columns without a header are not kept.
    pub fn learn(&mut self, headers: &[String], mapping: &Mapping) {
        let named = headers.iter().zip(&mapping.columns).map(|(h, c)| (words(h), c));
        self.0.extend(named.filter(|(h, _)| !h.is_empty()).map(|(h, c)| (h, c.clone())));
    }
}

impl Mapping {
    /// What headers probably mean: as remembered, else by their words. A meaning is given once; later columns that
    /// would have it too are left out, and their places are given back.
    pub fn guess(headers: &[String], remembered: &Remembered) -> (Self, Vec<usize>) {
        let mut mapping = Self::default();
        let mut doubled = Vec::new();
        for (at, header) in headers.iter().enumerate() {
            let known = remembered.0.get(&words(header)).cloned();
            let mut column = known.or_else(|| meaning(header)).unwrap_or(Column::LeaveOut);
            if column != Column::LeaveOut && mapping.columns.contains(&column) {
                doubled.push(at);
                column = Column::LeaveOut;
            }
            mapping.columns.push(column);
        }
        (mapping, doubled)
    }
}

/// Headers by meaning, in the words of [`words`]: English, German and French, from common practice. Names of Darwin
/// Core terms are those of <http://rs.tdwg.org/dwc/terms/>.
const HEADERS: [(&str, &str); 25] = [
    (
        "jar",
        "jar|jar label|jar no|jar number|jar nr|jar id|vial|vial no|vial number|tube|tube no|tube number|pot|pot no|container|glas|glas nr|glasnummer|rohrchen|rohrchen nr|dose|behalter|bocal|flacon|pilulier",
    ),
    (
        "number",
        "number|no|nr|n|id|specimen|specimen number|specimen no|catalognumber|catalogue number|catalog number|sample|sample no|sample number|field number|fieldnumber|recordnumber|record number|nummer|lfd nr|laufende nummer|belegnummer|numero|n de specimen",
    ),
    (
        "time",
        "time|time caught|time collected|time netted|time of capture|capture time|start time|eventtime|event time|caught at|netted at|uhrzeit|zeit|fangzeit|heure|heure de capture",
    ),
    (
        "date",
        "date|day|eventdate|event date|collection date|date collected|date caught|datum|fangdatum|funddatum|tag|jour|date de capture|date de recolte",
    ),
    (
        "heldFrom",
        "heldfrom|held from|held since|cold since|cold from|chilled|chilled at|chilled from|in refrigerator|gekuhlt ab|gekuhlt seit|refroidi depuis",
    ),
    (
        "releasedAt",
        "releasedat|released|released at|release|release time|time released|time of release|freigelassen|freilassung|relache|relache a|heure de relache",
    ),
    (
        "locality",
        "locality|site|site name|place|location|fundort|ort|lokalitat|lieu|lieu dit|localite|station",
    ),
    ("decimalLatitude", "decimallatitude|decimal latitude|latitude|lat|breite|breitengrad"),
    ("decimalLongitude", "decimallongitude|decimal longitude|longitude|lon|long|lng|lange|langengrad"),
    (
        "coordinates",
        "coordinates|coordinate|coords|gps position|verbatimcoordinates|lat lon|lat long|lat lng|latitude longitude|gps|position|koordinaten|coordonnees",
    ),
    (
        "coordinateUncertaintyInMeters",
        "coordinateuncertaintyinmeters|coordinate uncertainty|uncertainty|accuracy|gps accuracy|gps error|genauigkeit|unsicherheit|incertitude|precision gps",
    ),
    ("habitat", "habitat|biotope|lebensraum|biotop|milieu"),
    (
        "plant",
        "plant|host|host plant|hostplant|flower|forage plant|food plant|foodplant|plant visited|flower visited|pflanze|nahrungspflanze|wirtspflanze|blute|plante|plante visitee|plante hote|fleur",
    ),
    ("sex", "sex|geschlecht|sexe"),
    ("caste", "caste|kaste"),
    ("lifeStage", "lifestage|life stage|stage|stadium|stade"),
    ("behavior", "behavior|behaviour|activity|verhalten|comportement"),
    (
        "recordedBy",
        "recordedby|recorded by|recorder|collector|collected by|observer|finder|leg|sammler|beobachter|gesammelt von|recolteur|collecteur|observateur",
    ),
    (
        "samplingProtocol",
        "samplingprotocol|sampling protocol|sampling method|method|methode|fangmethode|methode de capture|protocole",
    ),
    ("sensitivity", "sensitivity|sensitive|schutzbedurftigkeit|sensibilite"),
    ("creator", "creator|photographer|photo by|photographed by|fotograf|photographe"),
    ("rightsHolder", "rightsholder|rights holder|copyright holder|rechteinhaber|titulaire des droits"),
    ("license", "license|licence|lizenz"),
    (
        "notes",
        "notes|note|remark|remarks|comment|comments|eventremarks|occurrenceremarks|bemerkung|bemerkungen|anmerkung|notiz|notizen|remarque|remarques|commentaire",
    ),
    (
        "name",
        "name|scientificname|scientific name|species|taxon|determination|identification|art|artname|espece|nom|nom scientifique",
    ),
];

/// Words that mean something only as a whole header, being short or common in others.
const ALONE: [&str; 15] = [
    "n", "no", "nr", "id", "art", "tag", "ort", "leg", "pot", "nom", "name", "host", "station", "gps",
    "position",
];

/// What a header seems to mean.
pub(super) fn meaning(header: &str) -> Option<Column> {
    let key = known_header(header, &HEADERS, &ALONE)?;
    Some(match key {
        "jar" => Column::Jar,
        "number" => Column::Number,
        "time" => Column::Time,
        "date" => Column::Date,
        field => Column::Field(field.to_owned()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(name: &str) -> Column {
        Column::Field(name.to_owned())
    }

    #[test]
    fn headers_are_understood_in_three_languages() {
        for (header, column) in [
            ("Jar", Some(Column::Jar)),
            ("Jar #", Some(Column::Jar)),
            ("Glas-Nr.", Some(Column::Jar)),
            ("Specimen no.", Some(Column::Number)),
            ("№", Some(Column::Number)),
            ("Time (BST)", Some(Column::Time)),
            ("Fangzeit", Some(Column::Time)),
            ("Time of release", Some(field("releasedAt"))),
            ("Heure de relâche", Some(field("releasedAt"))),
            ("decimalLatitude", Some(field("decimalLatitude"))),
            ("GPS lat.", Some(field("decimalLatitude"))),
            ("Länge", Some(field("decimalLongitude"))),
            ("Lat/Long", Some(field("coordinates"))),
            ("coordinateUncertaintyInMeters", Some(field("coordinateUncertaintyInMeters"))),
            ("GPS accuracy (m)", Some(field("coordinateUncertaintyInMeters"))),
            ("Plante visitée", Some(field("plant"))),
            ("Plant name", Some(field("plant"))),
            ("Art", Some(field("name"))),
            ("Sensitivity", Some(field("sensitivity"))),
            ("Photographer", Some(field("creator"))),
            ("Licence", Some(field("license"))),
            ("Bemerkungen", Some(field("notes"))),
            ("a state of the art of it", None),
            ("Weight", None),
            ("", None),
        ] {
            assert_eq!(meaning(header), column, "{header}");
        }
    }

    #[test]
    fn no_phrase_means_two_things() {
        let mut all: Vec<&str> = HEADERS.iter().flat_map(|(_, phrases)| phrases.split('|')).collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
        assert!(all.iter().all(|phrase| words(phrase) == **phrase), "written as they are compared");
    }

    #[test]
    fn what_a_person_said_is_remembered_by_header() {
        let headers = ["Jar", "Weight", "Notes", "Remarks"].map(str::to_owned);
        let (mut mapping, doubled) = Mapping::guess(&headers, &Remembered::default());
        assert_eq!(mapping.columns, [Column::Jar, Column::LeaveOut, field("notes"), Column::LeaveOut]);
        assert_eq!(doubled, [3]);
        mapping.columns[1] = field("habitat");
        let mut remembered = Remembered::default();
        remembered.learn(&headers, &mapping);
        let text = serde_json::to_string(&remembered).unwrap();
        let again: Remembered = serde_json::from_str(&text).unwrap();
        let other = ["WEIGHT ", "jar"].map(str::to_owned);
        assert_eq!(Mapping::guess(&other, &again).0.columns, [field("habitat"), Column::Jar]);
    }
}
