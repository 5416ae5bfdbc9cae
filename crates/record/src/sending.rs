//! What was sent to whom to be named, what came back, and what is overdue.
//!
//! A sending says which specimens and frames went where on which day. Days are arguments: no clock is read here.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{FrameId, SpecimenId};

/// Something sent.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sending {
    /// To whom or where. Never empty.
    pub to: String,
    /// The day, as `2026-06-14`.
    pub sent: String,
    /// The specimens it was about.
    pub specimens: Vec<SpecimenId>,
    /// The pictures that went.
    #[serde(default)]
    pub frames: Vec<FrameId>,
    /// By which day an answer was asked for; empty for none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wanted_by: String,
    /// What came back; `None` while nothing has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heard: Option<Heard>,
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heard {
    /// The day it came, as `2026-06-14`.
    pub on: String,
    /// In words.
    #[serde(default)]
    pub what: String,
}

/// What is wrong with a sending.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SendingFault {
    /// It goes nowhere.
    #[error("Say to whom or where it was sent")]
    NoTo,
    /// No such day.
    #[error("“{0}” is no day: write it as 2026-06-14")]
    Date(String),
    /// An answer cannot come before.
    #[error("The answer is dated before it was sent")]
    HeardBefore,
}

/// How a sending stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// An answer came.
    Heard,
    /// None came yet.
    Open,
    /// None came by the day asked for, so many days ago.
    Overdue(i64),
}

fn day(text: &str) -> Result<Date, SendingFault> {
    let whole = text.len() == 10;
    text.parse::<Date>().ok().filter(|_| whole).ok_or_else(|| SendingFault::Date(text.to_owned()))
}

impl Sending {
    /// Says what is wrong with it; nothing, when it can be kept.
    pub fn check(&self) -> Result<(), SendingFault> {
        if self.to.trim().is_empty() {
            return Err(SendingFault::NoTo);
        }
        let sent = day(&self.sent)?;
        if !self.wanted_by.is_empty() {
            day(&self.wanted_by)?;
        }
        match &self.heard {
            Some(heard) if day(&heard.on)? < sent => Err(SendingFault::HeardBefore),
            _ => Ok(()),
        }
    }

    /// How it stands on a day, given as `2026-06-14`. What is no day counts as none.
    pub fn reply(&self, today: &str) -> Reply {
        if self.heard.is_some() {
            return Reply::Heard;
        }
        match (day(&self.wanted_by), day(today)) {
            (Ok(by), Ok(today)) if today > by => {
                Reply::Overdue(i64::from(by.until(today).map_or(0, |span| span.get_days())))
            }
            _ => Reply::Open,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sending() -> Sending {
        Sending {
            to: "a museum".into(),
            sent: "2026-06-20".into(),
            specimens: vec![SpecimenId(1)],
            frames: vec![],
            wanted_by: "2026-07-20".into(),
            heard: None,
        }
    }

    #[test]
    fn what_cannot_be_is_told() {
        let check = |change: &dyn Fn(&mut Sending), expected| {
            let mut changed = sending();
            change(&mut changed);
            assert_eq!(changed.check(), expected);
        };
        check(&|_| (), Ok(()));
        check(&|s| s.to = " ".into(), Err(SendingFault::NoTo));
        check(&|s| s.sent = "June".into(), Err(SendingFault::Date("June".into())));
        check(&|s| s.wanted_by = "2026-06-31".into(), Err(SendingFault::Date("2026-06-31".into())));
        let heard = |on: &str| Some(Heard { on: on.into(), what: String::new() });
        check(&|s| s.heard = heard("2026-06-19"), Err(SendingFault::HeardBefore));
        check(&|s| s.heard = heard("2026-06-20"), Ok(()));
    }

    #[test]
    fn what_is_overdue_says_by_how_much() {
        let mut sending = sending();
        assert_eq!(sending.reply("2026-07-20"), Reply::Open);
        assert_eq!(sending.reply("2026-08-01"), Reply::Overdue(12));
        sending.heard = Some(Heard { on: "2026-07-30".into(), what: "named".into() });
        assert_eq!(sending.reply("2026-08-01"), Reply::Heard);
        (sending.heard, sending.wanted_by) = (None, String::new());
        assert_eq!(sending.reply("2027-01-01"), Reply::Open);
    }
}
