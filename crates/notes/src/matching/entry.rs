//! What of a notebook's row says which set it is about: its label, number and time.

use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;

use crate::matching::Entry;
use crate::notebook::{Cell, Column, Value};

/// Seconds by which a clock of the day is compared: those since 1970 if the clock went by UTC. Times of sets are given
/// by the same, from the day's common clock.
pub fn clock_secs(clock: DateTime) -> i64 {
    // Years that notes are from are within those of timestamps; others compare as unknown long ago.
    TimeZone::UTC.to_timestamp(clock).map_or(i64::MIN, jiff::Timestamp::as_second)
}

impl Entry {
    /// A row by its values. A time without a date is of the row's own date, else of `day`.
    pub fn of_row(row: usize, cells: &[Cell<'_>], day: Option<Date>) -> Self {
        let value = |means: &Column| cells.iter().find(|c| c.means == means)?.value.clone();
        let text = |means| match value(means) {
            Some(Value::Text(text)) => text,
            _ => String::new(),
        };
        let own_day = match value(&Column::Date) {
            Some(Value::Date(date)) => Some(date),
            Some(Value::Moment(moment)) => Some(moment.date()),
            _ => None,
        };
        let clock = match (value(&Column::Time), value(&Column::Date)) {
            (Some(Value::Moment(moment)), _) | (None, Some(Value::Moment(moment))) => Some(moment),
            (Some(Value::Time(time)), _) => own_day.or(day).map(|d| DateTime::from_parts(d, time)),
            _ => None,
        };
        Self {
            row,
            jar: text(&Column::Jar),
            number: text(&Column::Number).parse().ok(),
            time_secs: clock.map(clock_secs),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::{Remembered, read_notebook};

    #[test]
    fn a_row_says_its_label_number_and_time() {
        let read = |text: &str, day| {
            let notebook = read_notebook(text.as_bytes(), &Remembered::default()).unwrap();
            let entry = Entry::of_row(3, &notebook.rows[0].values(&notebook.reading(&notebook.mapping)), day);
            assert_eq!(entry.row, 3);
            (entry.jar, entry.number, entry.time_secs)
        };
        let day = Date::constant(2026, 6, 14);
        let at = Some(clock_secs(day.at(10, 23, 0, 0)));
        assert_eq!(at, Some(1_781_432_580), "2026-06-14T10:23:00Z by GNU date");
        assert_eq!(read("Jar,No,Time\nA-1,07,10:23\n", Some(day)), ("A-1".into(), Some(7), at));
        assert_eq!(read("Jar,No,Time\nA-1,7b,10:23\n", None), ("A-1".into(), None, None));
        assert_eq!(read("Date,Time\n14.6.2026,10.23\n", Some(Date::constant(2025, 1, 1))).2, at);
        assert_eq!(read("Date,Jar\n2026-06-14 10:23,x\n", None).2, at);
        assert_eq!(read("Time,Jar\n2026-06-14T10:23,x\n", None).2, at);
    }
}
