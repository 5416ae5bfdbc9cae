//! How an animal left the person's hands, and when.

use serde::{Deserialize, Serialize};

use crate::Taken;

/// An animal that is no longer held: nothing can be photographed anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Departure {
    /// In which way.
    pub way: Way,
    /// Local time by the computer's clock; `None` when nobody noted it.
    #[serde(default)]
    pub at: Option<Taken>,
}

/// How an animal left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Way {
    /// It went by itself.
    Flew,
    /// The person let it go.
    Released,
}

impl Departure {
    /// `flew 10:23`, `released`.
    pub fn words(&self) -> String {
        let way = match self.way {
            Way::Flew => "flew",
            Way::Released => "released",
        };
        self.at.map_or_else(|| way.to_owned(), |at| format!("{way} {}", &at.time_of_day()[..5]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_told_with_its_minute() {
        let at = Some("2026-06-14T10:23:45".parse().unwrap());
        assert_eq!(Departure { way: Way::Flew, at }.words(), "flew 10:23");
        assert_eq!(Departure { way: Way::Released, at: None }.words(), "released");
    }
}
