//! Dates and times of day as people write them.
//!
//! In comes the text of a cell; out comes a date, a time or both. Which of two numbers is the day is decided by a whole
//! column (see [`Styles`]); here a date that could be either is given back as both.

use jiff::civil::{Date, DateTime, Time};

use crate::fold::folded;
use crate::notebook::column::DayOrder;

/// A date as far as it can be read by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateCell {
    /// Only one reading is a date, or the form says which it is.
    One(Date),
    /// A date either way, and not the same.
    Either { day_first: Date, month_first: Date },
}

/// A cell of a date, with what stands beside the date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Dated {
    pub(super) date: DateCell,
    /// What the cell says of the order of day and month.
    pub(super) order: Option<DayOrder>,
    /// The year was written with two digits.
    pub(super) short_year: bool,
    pub(super) time: Option<Time>,
}

/// Beginnings of month names, folded: English, German and French. The longer come first.
const MONTHS: [(&str, i8); 22] = [
    ("jan", 1),
    ("feb", 2),
    ("fev", 2),
    ("maer", 3),
    ("mar", 3),
    ("mrz", 3),
    ("apr", 4),
    ("avr", 4),
    ("may", 5),
    ("mai", 5),
    ("juin", 6),
    ("jun", 6),
    ("juil", 7),
    ("jul", 7),
    ("aug", 8),
    ("aou", 8),
    ("sep", 9),
    ("oct", 10),
    ("okt", 10),
    ("nov", 11),
    ("dec", 12),
    ("dez", 12),
];

/// A date with or without a time behind it.
pub(crate) fn dated(text: &str) -> Option<Dated> {
    date(text).or_else(|| {
        let mut cuts = text.char_indices().filter(|(_, c)| matches!(c, ' ' | 'T' | ','));
        cuts.find_map(|(at, _)| {
            let (before, after) = (date(&text[..at])?, time(&text[at + 1..])?);
            Some(Dated { time: Some(after), ..before })
        })
    })
}

fn date(text: &str) -> Option<Dated> {
    let text = folded(text.trim());
    let parts: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|p| !p.is_empty()).collect();
    let sure = |date: Option<Date>, short_year| {
        Some(Dated { date: DateCell::One(date?), order: None, short_year, time: None })
    };
    match parts[..] {
        [whole] if whole.len() == 8 => {
            let number = |range| whole.get(range).and_then(digits);
            sure(Date::new(number(0..4)?, number(4..6)? as i8, number(6..8)? as i8).ok(), false)
        }
        [y, m, d] if y.len() == 4 && digits(y).is_some() => {
            let month = month_name(m).or_else(|| digits(m)?.try_into().ok());
            sure(Date::new(digits(y)?, month?, digits(d)? as i8).ok(), false)
        }
        [a, b, last] => {
            let (year, short_year) = year(last)?;
            let on = |day: i16, month: i8| Date::new(year, month, i8::try_from(day).ok()?).ok();
            if let Some(named) =
                [(b, a), (a, b)].into_iter().find_map(|(m, d)| Some((month_name(m)?, day(d)?)))
            {
                return sure(on(named.1, named.0), short_year);
            }
            let (a, b) = (digits(a)?, digits(b)?);
            let way = |day, month: i16| on(day, i8::try_from(month).ok()?);
            // A date with points has its day first wherever it is used: common practice.
            let month_first = way(b, a).filter(|_| !text.contains('.'));
            let (date, order) = match (way(a, b), month_first) {
                (Some(one), Some(other)) if one == other => (DateCell::One(one), None),
                (Some(day_first), Some(month_first)) => (DateCell::Either { day_first, month_first }, None),
                (Some(one), None) => (DateCell::One(one), Some(DayOrder::DayFirst)),
                (None, Some(one)) => (DateCell::One(one), Some(DayOrder::MonthFirst)),
                (None, None) => return None,
            };
            Some(Dated { date, order, short_year, time: None })
        }
        _ => None,
    }
}

fn digits(text: &str) -> Option<i16> {
    let short = (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    short.then(|| text.parse().ok()).flatten()
}

/// A day of the month, also as an ordinal: `14`, `14th`, `1er`.
fn day(text: &str) -> Option<i16> {
    let number = text.trim_end_matches(|c: char| c.is_alphabetic());
    matches!(&text[number.len()..], "" | "st" | "nd" | "rd" | "th" | "er").then(|| digits(number)).flatten()
}

fn year(text: &str) -> Option<(i16, bool)> {
    let number = digits(text)?;
    match text.len() {
        4 => Some((number, false)),
        2 => Some((2000 + number, true)),
        _ => None,
    }
}

fn month_name(text: &str) -> Option<i8> {
    let letters = text.chars().all(char::is_alphabetic);
    MONTHS.iter().find(|(begin, _)| letters && text.starts_with(begin)).map(|(_, month)| *month)
}

/// A time of day: `10:23`, `10:23:45`, `10.23`, `10h23`, `1023`, `10:23 pm`, `10.23 Uhr`.
pub(super) fn time(text: &str) -> Option<Time> {
    let text = folded(text.trim()).replace(' ', "");
    let text = text.trim_end_matches("uhr").trim_end_matches('z');
    let half = [("pm", 12), ("p.m.", 12), ("am", 0), ("a.m.", 0)];
    let half = half.into_iter().find_map(|(words, add)| Some((text.strip_suffix(words)?, add)));
    let (clock, add) = half.map_or((text, None), |(clock, add)| (clock, Some(add)));
    let parts: Vec<&str> = clock.split([':', '.', 'h']).collect();
    let two = |part: &str| if part.len() == 2 { digits(part) } else { None };
    let (hour, minute, second) = match parts[..] {
        [hour, minute] if !minute.is_empty() => (digits(hour)?, two(minute)?, 0),
        [hour, minute, second] => (digits(hour)?, two(minute)?, two(second)?),
        // 10h, 10 pm
        [hour, ""] if clock.ends_with('h') => (digits(hour)?, 0, 0),
        [hour] if add.is_some() && hour.len() <= 2 => (digits(hour)?, 0, 0),
        [run] if matches!(run.len(), 3 | 4) => (digits(run)? / 100, digits(run)? % 100, 0),
        _ => return None,
    };
    let hour = match add {
        Some(add) if (1..=12).contains(&hour) => hour % 12 + add,
        Some(_) => return None,
        None => hour,
    };
    Time::new(i8::try_from(hour).ok()?, minute as i8, second as i8, 0).ok()
}

/// What a column of dates says of the order of day and month.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Styles {
    day_first: bool,
    month_first: bool,
    either: bool,
}

/// Why the order of day and month of a column is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum DateDoubt {
    /// Some dates can only be one way, some only the other.
    #[error("some dates have the day first and some the month")]
    TwoStyles,
    /// No date is beyond the twelfth.
    #[error("no date shows whether day or month comes first")]
    Undecided,
}

impl Styles {
    pub(crate) fn note(&mut self, dated: &Dated) {
        self.day_first |= dated.order == Some(DayOrder::DayFirst);
        self.month_first |= dated.order == Some(DayOrder::MonthFirst);
        self.either |= matches!(dated.date, DateCell::Either { .. });
    }

    /// The order, or why it is not known; `None` where no date needs it.
    pub(crate) fn order(self) -> Option<Result<DayOrder, DateDoubt>> {
        match (self.day_first, self.month_first) {
            (true, true) => Some(Err(DateDoubt::TwoStyles)),
            _ if !self.either => None,
            (true, false) => Some(Ok(DayOrder::DayFirst)),
            (false, true) => Some(Ok(DayOrder::MonthFirst)),
            (false, false) => Some(Err(DateDoubt::Undecided)),
        }
    }
}

impl Dated {
    /// The date under an order of day and month, or the doubt of its column.
    pub(crate) fn under(&self, order: Result<DayOrder, DateDoubt>) -> Result<Date, DateDoubt> {
        match (self.date, order) {
            (DateCell::One(date), _) => Ok(date),
            (DateCell::Either { day_first, .. }, Ok(DayOrder::DayFirst)) => Ok(day_first),
            (DateCell::Either { month_first, .. }, Ok(DayOrder::MonthFirst)) => Ok(month_first),
            (DateCell::Either { .. }, Err(doubt)) => Err(doubt),
        }
    }
}

/// Date and time together.
pub(super) fn moment(date: Date, time: Time) -> DateTime {
    DateTime::from_parts(date, time)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_as_people_write_them() {
        for text in [
            "2026-06-14",
            "2026/6/14",
            "2026.06.14",
            "20260614",
            "14.6.2026",
            "14/06/2026",
            "6/14/2026",
            "14-6-2026",
            "14 June 2026",
            "14. Juni 2026",
            "14 juin 2026",
            "Jun 14, 2026",
            "14th June 2026",
            "14-Jun-26",
            "14.06.26",
            "2026 Jun 14",
        ] {
            let read = dated(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(read.date, DateCell::One(Date::constant(2026, 6, 14)), "{text}");
            assert_eq!(read.short_year, text.ends_with("26") && !text.ends_with("2026"), "{text}");
        }
        for (text, month) in [
            ("1er août 2026", 8),
            ("1. März 2026", 3),
            ("1 maerz 2026", 3),
            ("1 juil. 2026", 7),
            ("1 déc 2026", 12),
        ] {
            assert_eq!(dated(text).unwrap().date, DateCell::One(Date::constant(2026, month, 1)), "{text}");
        }
        let either = dated("3/6/2026").unwrap().date;
        let (day_first, month_first) = (Date::constant(2026, 6, 3), Date::constant(2026, 3, 6));
        assert_eq!(either, DateCell::Either { day_first, month_first });
        assert_eq!(dated("3.6.2026").unwrap().date, DateCell::One(day_first), "points: day first");
        assert_eq!(dated("6/6/2026").unwrap().date, DateCell::One(Date::constant(2026, 6, 6)));
        for bad in [
            "",
            "14",
            "30/30/2026",
            "31.4.2026",
            "2026-13-01",
            "46187",
            "June",
            "14 foo 2026",
            "1/2/3",
            "é/é/2026",
        ] {
            assert_eq!(dated(bad), None, "{bad}");
        }
        for text in ["2026-06-14T10:23", "14/06/2026 10:23 pm", "14 June 2026, 10.23", "2026-06-14 1023"] {
            let time = dated(text).unwrap().time.unwrap();
            assert_eq!(time.minute(), 23, "{text}");
        }
    }

    #[test]
    fn times_are_read_as_people_write_them() {
        for (text, hour, minute, second) in [
            ("10:23", 10, 23, 0),
            ("10.23", 10, 23, 0),
            ("10h23", 10, 23, 0),
            ("10 h 23", 10, 23, 0),
            ("1023", 10, 23, 0),
            ("923", 9, 23, 0),
            ("10:23:45", 10, 23, 45),
            ("10:23 pm", 22, 23, 0),
            ("10.23PM", 22, 23, 0),
            ("12:05 am", 0, 5, 0),
            ("12:05 p.m.", 12, 5, 0),
            ("10 pm", 22, 0, 0),
            ("10h", 10, 0, 0),
            ("10.23 Uhr", 10, 23, 0),
            ("00:00", 0, 0, 0),
        ] {
            assert_eq!(time(text), Some(Time::constant(hour, minute, second, 0)), "{text}");
        }
        for bad in [
            "", "10", "10.5", "10:2", "24:00", "10:60", "2360", "13:00 pm", "0.4326", "noon", "10:23:",
            "12345",
        ] {
            assert_eq!(time(bad), None, "{bad}");
        }
    }
}
