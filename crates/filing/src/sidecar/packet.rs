//! The properties of an XMP packet (ISO 16684-1), read from and written as a sidecar file.
//!
//! Goes in: bytes of a sidecar, or properties. Comes out: the other. Each property is kept as the XML it stands in, so
//! that those which Endleaf does not know are written again as they were. It reads and writes no file.

use std::collections::BTreeMap;

use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use quick_xml::name::ResolveResult;
use quick_xml::{NsReader, Writer};

use super::spaces::{RDF, USUAL_PREFIXES, X, XML};

/// Deepest nesting that is read: far more than any property has.
const DEEPEST: usize = 64;

/// A name with its namespace; prefixes are free.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Name {
    pub(crate) space: String,
    pub(crate) local: String,
}

impl Name {
    pub(crate) fn new(space: &str, local: &str) -> Self {
        Self { space: space.to_owned(), local: local.to_owned() }
    }

    fn is(&self, space: &str, local: &str) -> bool {
        self.space == space && self.local == local
    }
}

/// An element.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Element {
    pub(crate) name: Name,
    /// The prefix it had where it was read; empty for none.
    prefix: String,
    pub(crate) attributes: Vec<(Name, String)>,
    pub(crate) children: Vec<Element>,
    /// What stands in it when there are no children.
    pub(crate) text: String,
}

impl Element {
    pub(crate) fn new(space: &str, local: &str) -> Self {
        let (attributes, children) = (Vec::new(), Vec::new());
        let (prefix, text) = (String::new(), String::new());
        Self { name: Name::new(space, local), prefix, attributes, children, text }
    }

    /// A property with a plain value.
    pub(crate) fn text(space: &str, local: &str, text: &str) -> Self {
        Self { text: text.to_owned(), ..Self::new(space, local) }
    }

    /// A property whose value is an IRI.
    pub(crate) fn resource(space: &str, local: &str, iri: &str) -> Self {
        let attributes = vec![(Name::new(RDF, "resource"), iri.to_owned())];
        Self { attributes, ..Self::new(space, local) }
    }

    /// A property with an array of this kind (`Bag`, `Seq`) and one item.
    pub(crate) fn array(space: &str, local: &str, kind: &str, item: Self) -> Self {
        Self::items(space, local, kind, std::iter::once(item))
    }

    /// The same with several items.
    pub(crate) fn items(space: &str, local: &str, kind: &str, items: impl Iterator<Item = Self>) -> Self {
        let array = Self { children: items.collect(), ..Self::new(RDF, kind) };
        Self { children: vec![array], ..Self::new(space, local) }
    }

    /// A text that may be said in several languages, said once.
    pub(crate) fn alternative(space: &str, local: &str, text: &str) -> Self {
        let attributes = vec![(Name::new(XML, "lang"), "x-default".to_owned())];
        let item = Self { attributes, ..Self::text(RDF, "li", text) };
        Self::array(space, local, "Alt", item)
    }
}

/// Reads the properties of a sidecar, in their order; each once.
///
/// # Errors
/// When it is not well-formed XML in UTF-8 with one `rdf:RDF` in it, as a reason in words.
pub(crate) fn read(bytes: &[u8]) -> Result<Vec<Element>, &'static str> {
    let text = std::str::from_utf8(bytes).ok().ok_or("it is not text in UTF-8")?;
    let text = text.trim_start_matches('\u{feff}');
    let root = parse(text).ok_or("it is not well-formed")?;
    let rdf = find_rdf(&root).ok_or("it holds no properties")?;
    let mut properties: Vec<Element> = Vec::new();
    for description in rdf.children.iter().filter(|c| c.name.is(RDF, "Description")) {
        let own = |name: &Name| name.space == RDF || name.space == XML || name.space.is_empty();
        let attributes = description.attributes.iter().filter(|(name, _)| !own(name));
        let simple = attributes.map(|(name, value)| Element::text(&name.space, &name.local, value));
        for property in simple.chain(description.children.iter().cloned()) {
            if !properties.iter().any(|p| p.name == property.name) {
                properties.push(property);
            }
        }
    }
    Ok(properties)
}

/// The outermost `rdf:RDF`.
fn find_rdf(root: &Element) -> Option<&Element> {
    if root.name.is(RDF, "RDF") { Some(root) } else { root.children.iter().find_map(find_rdf) }
}

/// Takes XML apart; `None` when it is not well-formed. Entities that a document makes itself are not followed.
fn parse(text: &str) -> Option<Element> {
    let mut reader = NsReader::from_str(text);
    let mut open: Vec<Element> = Vec::new();
    let mut root: Option<Element> = None;
    loop {
        let (space, event) = reader.read_resolved_event().ok()?;
        let space = space_of(&space)?;
        match event {
            Event::Eof => return root.filter(|_| open.is_empty()),
            Event::DocType(_) => return None,
            Event::Start(start) => {
                let element = element(&reader, &space, &start)?;
                open.push(element);
                if open.len() > DEEPEST {
                    return None;
                }
            }
            Event::Empty(start) => close(&mut open, &mut root, element(&reader, &space, &start)?)?,
            Event::End(_) => {
                let mut element = open.pop()?;
                if !element.children.is_empty() && element.text.trim().is_empty() {
                    element.text.clear();
                }
                close(&mut open, &mut root, element)?;
            }
            Event::Text(text) => add_text(&mut open, &text.xml10_content().ok()?)?,
            Event::CData(text) => add_text(&mut open, &text.xml10_content().ok()?)?,
            Event::GeneralRef(named) => {
                let text = match named.resolve_char_ref().ok()? {
                    Some(c) => c.to_string(),
                    None => quick_xml::escape::resolve_predefined_entity(&named.decode().ok()?)?.to_owned(),
                };
                add_text(&mut open, &text)?;
            }
            Event::Decl(_) | Event::PI(_) | Event::Comment(_) => {}
        }
    }
}

fn space_of(resolved: &ResolveResult<'_>) -> Option<String> {
    match resolved {
        ResolveResult::Bound(space) => Some(std::str::from_utf8(space.0).ok()?.to_owned()),
        ResolveResult::Unbound => Some(String::new()),
        ResolveResult::Unknown(_) => None,
    }
}

fn element(reader: &NsReader<&[u8]>, space: &str, start: &BytesStart<'_>) -> Option<Element> {
    let text = |bytes: &[u8]| std::str::from_utf8(bytes).ok().map(str::to_owned);
    let mut element = Element::new(space, &text(start.local_name().as_ref())?);
    element.prefix = start.name().prefix().map_or(Some(String::new()), |p| text(p.as_ref()))?;
    for attribute in start.attributes() {
        let attribute = attribute.ok()?;
        if attribute.key.as_namespace_binding().is_some() {
            continue;
        }
        let (space, local) = reader.resolver().resolve_attribute(attribute.key);
        let name = Name { space: space_of(&space)?, local: text(local.as_ref())? };
        let value = attribute.normalized_value(quick_xml::XmlVersion::Implicit1_0).ok()?;
        element.attributes.push((name, value.into_owned()));
    }
    Some(element)
}

/// Puts a finished element where it belongs; `None` for a second root.
fn close(open: &mut [Element], root: &mut Option<Element>, element: Element) -> Option<()> {
    match open.last_mut() {
        Some(parent) => parent.children.push(element),
        None if root.is_none() => *root = Some(element),
        None => return None,
    }
    Some(())
}

/// Adds text to the innermost element; `None` for words outside all.
fn add_text(open: &mut [Element], text: &str) -> Option<()> {
    match open.last_mut() {
        Some(element) => element.text.push_str(text),
        None if text.trim().is_empty() => {}
        None => return None,
    }
    Some(())
}

/// Writes properties as a sidecar file: XML with its declaration, UTF-8, no packet wrapper.
pub(crate) fn write(properties: &[Element]) -> String {
    let mut prefixes = Prefixes::default();
    for property in properties {
        prefixes.gather(property);
    }
    let mut writer = Writer::new_with_indent(Vec::new(), b' ', 1);
    let mut put = |event: Event<'_>| writer.write_event(event).expect("memory takes any text");
    put(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
    put(Event::Start(BytesStart::new("x:xmpmeta").with_attributes([("xmlns:x", X)])));
    let mut rdf = BytesStart::new("rdf:RDF");
    rdf.push_attribute(("xmlns:rdf", RDF));
    for (space, prefix) in &prefixes.0 {
        rdf.push_attribute((format!("xmlns:{prefix}").as_str(), space.as_str()));
    }
    put(Event::Start(rdf));
    put(Event::Start(BytesStart::new("rdf:Description").with_attributes([("rdf:about", "")])));
    for property in properties {
        put_element(&mut put, &prefixes, property);
    }
    for name in ["rdf:Description", "rdf:RDF", "x:xmpmeta"] {
        put(Event::End(BytesEnd::new(name)));
    }
    let text = String::from_utf8(writer.into_inner()).expect("all that was written is text");
    text + "\n"
}

fn put_element(put: &mut impl FnMut(Event<'_>), prefixes: &Prefixes, element: &Element) {
    let name = prefixes.name(&element.name);
    let mut start = BytesStart::new(name.as_str());
    for (attribute, value) in &element.attributes {
        start.push_attribute((prefixes.name(attribute).as_str(), legal(value).as_str()));
    }
    if element.children.is_empty() && element.text.is_empty() {
        return put(Event::Empty(start));
    }
    put(Event::Start(start));
    if !element.text.is_empty() {
        put(Event::Text(BytesText::new(&legal(&element.text))));
    }
    for child in &element.children {
        put_element(put, prefixes, child);
    }
    put(Event::End(BytesEnd::new(name.as_str())));
}

/// A text without what XML 1.0 cannot say (section 2.2).
fn legal(text: &str) -> String {
    text.chars()
        .filter(|c| {
            matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..)
        })
        .collect()
}

/// The prefix of each namespace but those of RDF and XML, all distinct.
#[derive(Default)]
struct Prefixes(BTreeMap<String, String>);

impl Prefixes {
    fn gather(&mut self, element: &Element) {
        let attributes = element.attributes.iter().map(|(name, _)| (name, ""));
        for (name, wished) in std::iter::once((&element.name, element.prefix.as_str())).chain(attributes) {
            self.add(&name.space, wished);
        }
        element.children.iter().for_each(|child| self.gather(child));
    }

    fn add(&mut self, space: &str, wished: &str) {
        if [RDF, XML, ""].contains(&space) || self.0.contains_key(space) {
            return;
        }
        let usual = USUAL_PREFIXES.iter().find(|(_, s)| *s == space).map(|(prefix, _)| *prefix);
        let is_usual = |prefix: &str| USUAL_PREFIXES.iter().any(|(usual, _)| *usual == prefix);
        let own = ["", "x", "rdf", "xml", "xmlns"];
        let wished = Some(wished).filter(|w| !own.contains(w) && !is_usual(w));
        let numbered = (1..).map(|n| format!("ns{n}"));
        let mut choice = usual.or(wished).map(str::to_owned).into_iter().chain(numbered);
        let free = choice.find(|prefix| !self.0.values().any(|taken| taken == prefix));
        self.0.insert(space.to_owned(), free.expect("numbers do not run out"));
    }

    fn name(&self, name: &Name) -> String {
        let prefix = match name.space.as_str() {
            RDF => "rdf",
            XML => "xml",
            space => self.0.get(space).map_or("", String::as_str),
        };
        if prefix.is_empty() { name.local.clone() } else { format!("{prefix}:{}", name.local) }
    }
}
