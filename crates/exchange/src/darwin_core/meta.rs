//! `meta.xml`, which says what stands in the tables of an archive (Darwin Core text guide, 2023-09-13).

use std::fmt::Write as _;

use super::Table;

/// The text of `meta.xml` for archives of all four tables, each with a line of headings, parted by commas, lines ended by a
/// line feed, and cells in quotes where needed (RFC 4180).
pub fn meta_xml() -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <archive xmlns=\"http://rs.tdwg.org/dwc/text/\" metadata=\"eml.xml\">\n",
    );
    for table in Table::ALL {
        let (element, id) = if table == Table::Occurrence { ("core", "id") } else { ("extension", "coreid") };
        let mut add = |words: &str| writeln!(text, "{words}").expect("a string takes any text");
        add(&format!(
            "  <{element} encoding=\"UTF-8\" fieldsTerminatedBy=\",\" linesTerminatedBy=\"\\n\" \
             fieldsEnclosedBy=\"&quot;\" ignoreHeaderLines=\"1\" rowType=\"{}\">",
            table.row_type()
        ));
        add(&format!("    <files><location>{}.csv</location></files>", table.name()));
        add(&format!("    <{id} index=\"0\"/>"));
        for (index, column) in table.columns().iter().enumerate() {
            add(&format!("    <field index=\"{index}\" term=\"{}\"/>", column.iri()));
        }
        add(&format!("  </{element}>"));
    }
    text.push_str("</archive>\n");
    text
}
