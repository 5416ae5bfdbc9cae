//! Bags (RFC 8493): a session's folder packed so that others can tell whether it came through whole.
//!
//! Go in: a session's folder of an archive, or a bag. Come out: a new bag, each file of which was read once, compared with what
//! the archive says of it, and read back ([`make`]); or what is wrong with a bag, whoever made it ([`check`]). No archive is
//! written to, and nothing is fetched.

mod check;
mod make;
mod text;

pub(crate) use check::{audit_bag, is_bag};
#[cfg(test)]
pub(crate) use make::put_bag_on;
pub use make::{BagFault, Bagged, put_bag};

/// Begins a bag: says that it is one.
const DECLARATION_FILE: &str = "bagit.txt";

/// What is said of the bag.
const INFO_FILE: &str = "bag-info.txt";

/// What files are to be fetched; none is written here.
const FETCH_FILE: &str = "fetch.txt";

/// Folder of the payload, with the stroke behind it.
const PAYLOAD: &str = "data/";

/// Octets and number of the files of the payload.
const OXUM: &str = "Payload-Oxum";

/// Where the list of a kind of checksums stands: of the payload, or of the other files.
fn manifest_file(of_tags: bool, algorithm: &str) -> String {
    format!("{}manifest-{algorithm}.txt", if of_tags { "tag" } else { "" })
}
