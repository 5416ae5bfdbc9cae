//! Cells become typed values, each with its fault.
//!
//! In come the rows of a notebook and what its columns mean; out come values that a record can take, and for each cell
//! that gives none, why. Nothing is guessed: what has two readings is a fault that names both.

use jiff::civil::{Date, DateTime, Time};
use record::{CoordinateFault, Coordinates, parse_coordinate_pair, parse_coordinates};

use crate::notebook::Notebook;
use crate::notebook::column::{Column, DayOrder, Mapping};
use crate::notebook::dates::{DateDoubt, Styles, dated, moment, time};
use crate::table::Row;

/// What a cell says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Words as they stand.
    Text(String),
    /// A number, whatever its decimal sign.
    Number(f64),
    /// A day.
    Date(Date),
    /// A time of day.
    Time(Time),
    /// Both in one cell.
    Moment(DateTime),
    /// Latitude and longitude; of two columns, it stands with the latitude.
    Place(Coordinates),
}

/// Why a cell gives no value, or one to look at.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CellFault {
    /// Kept as text.
    #[error("“{0}” begins like a formula or is a spreadsheet's error; it was kept as text")]
    Formula(String),
    /// No date.
    #[error("“{0}” cannot be read as a date; write it like 2026-06-14")]
    Date(String),
    /// A date with two readings.
    #[error("“{text}” can be two dates, and {doubt}. Say whether the day or the month comes first")]
    DayOrder {
        /// The cell.
        text: String,
        /// What is unclear about its column.
        doubt: DateDoubt,
    },
    /// The date is given, in this century.
    #[error("“{0}” has a year of two digits and was read as one from 2000 on")]
    ShortYear(String),
    /// Dates are days counted by a spreadsheet.
    #[error("“{0}” seems to be a day as a spreadsheet counts it; format the column as a date and save again")]
    DayCount(String),
    /// No time.
    #[error("“{0}” cannot be read as a time; write it like 10:23")]
    Time(String),
    /// No number.
    #[error("“{0}” cannot be read as a number")]
    Number(String),
    /// A sign that parts thousands or decimals.
    #[error("“{0}” can be a number of thousands or one with decimals; write it without a sign for thousands")]
    Thousands(String),
    /// No place.
    #[error(transparent)]
    Place(#[from] CoordinateFault),
}

/// A cell that has something in it, in a column that is taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell<'a> {
    /// Place of its column.
    pub column: usize,
    /// What the column holds.
    pub means: &'a Column,
    /// As it stands.
    pub text: &'a str,
    /// What it says.
    pub value: Option<Value>,
    /// What is wrong or doubtful.
    pub fault: Option<CellFault>,
}

/// A mapping with what only whole columns tell.
#[derive(Debug, Clone)]
pub struct Reading<'a> {
    mapping: &'a Mapping,
    orders: Vec<Option<Result<DayOrder, DateDoubt>>>,
    longitude: Option<usize>,
}

impl Notebook {
    /// Looks through columns of dates for the order of day and month, unless the mapping gives it.
    pub fn reading<'a>(&self, mapping: &'a Mapping) -> Reading<'a> {
        let order = |(at, column): (usize, &Column)| {
            if !matches!(column, Column::Date | Column::Time) && !is_moment(column) {
                return None;
            }
            if let Some(order) = mapping.day_order {
                return Some(Ok(order));
            }
            let mut styles = Styles::default();
            for dated in self.rows.iter().filter_map(|row| dated(row.cell(at))) {
                styles.note(&dated);
            }
            styles.order()
        };
        Reading {
            mapping,
            orders: mapping.columns.iter().enumerate().map(order).collect(),
            longitude: place_of(mapping, "decimalLongitude"),
        }
    }
}

fn place_of(mapping: &Mapping, field: &str) -> Option<usize> {
    mapping.columns.iter().position(|c| matches!(c, Column::Field(name) if name == field))
}

fn is_moment(column: &Column) -> bool {
    matches!(column, Column::Field(name) if name == "heldFrom" || name == "releasedAt")
}

impl Reading<'_> {
    /// Columns whose order of day and month is not known, with why.
    pub fn date_doubts(&self) -> Vec<(usize, DateDoubt)> {
        let doubt =
            |(at, order): (usize, &Option<Result<DayOrder, DateDoubt>>)| Some((at, order.as_ref()?.err()?));
        self.orders.iter().enumerate().filter_map(doubt).collect()
    }
}

impl Row {
    /// What the cells of this row say, in order of columns; empty cells and columns left out give nothing.
    pub fn values<'a>(&'a self, reading: &Reading<'a>) -> Vec<Cell<'a>> {
        let columns = reading.mapping.columns.iter().enumerate();
        let taken = columns.filter(|(at, c)| **c != Column::LeaveOut && !self.cell(*at).is_empty());
        taken.filter_map(|(at, column)| self.value(at, column, reading)).collect()
    }

    fn value<'a>(&'a self, at: usize, column: &'a Column, reading: &Reading<'a>) -> Option<Cell<'a>> {
        let text = self.cell(at);
        let order = reading.orders[at];
        let read = match column {
            Column::Date => date(text, order),
            Column::Time => date_or_time(text, order),
            moment if is_moment(moment) => date_or_time(text, order),
            Column::Field(name) => match name.as_str() {
                "coordinates" => parse_coordinates(text).map(Value::Place).map_err(Into::into).into(),
                "decimalLatitude" => {
                    let longitude = reading.longitude.map_or("", |at| self.cell(at));
                    let place = match longitude {
                        "" => Err(CoordinateFault::OneNumber(text.to_owned())),
                        longitude => parse_coordinate_pair(text, longitude),
                    };
                    place.map(Value::Place).map_err(Into::into).into()
                }
                // It is read with its latitude; alone it is half a place.
                "decimalLongitude" => {
                    let latitude =
                        place_of(reading.mapping, "decimalLatitude").map_or("", |at| self.cell(at));
                    if !latitude.is_empty() {
                        return None;
                    }
                    Read::fault(CoordinateFault::OneNumber(text.to_owned()).into())
                }
                "coordinateUncertaintyInMeters" => metres(text).map(Value::Number).into(),
                _ => words(text),
            },
            Column::Jar | Column::Number | Column::LeaveOut => words(text),
        };
        let (value, fault) =
            if formula(text) && !matches!(read.value, Some(Value::Place(_) | Value::Number(_))) {
                (Some(Value::Text(text.to_owned())), Some(CellFault::Formula(text.to_owned())))
            } else {
                (read.value, read.fault)
            };
        Some(Cell { column: at, means: column, text, value, fault })
    }
}

/// A value, a fault, or a value to look at.
struct Read {
    value: Option<Value>,
    fault: Option<CellFault>,
}

impl Read {
    fn fault(fault: CellFault) -> Self {
        Self { value: None, fault: Some(fault) }
    }
}

impl From<Result<Value, CellFault>> for Read {
    fn from(result: Result<Value, CellFault>) -> Self {
        match result {
            Ok(value) => Self { value: Some(value), fault: None },
            Err(fault) => Self::fault(fault),
        }
    }
}

fn words(text: &str) -> Read {
    Ok(Value::Text(text.to_owned())).into()
}

fn date_or_time(text: &str, order: Option<Result<DayOrder, DateDoubt>>) -> Read {
    if let Some(time) = time(text) {
        return Ok(Value::Time(time)).into();
    }
    match dated(text) {
        Some(dated) if dated.time.is_some() => date(text, order),
        _ => Read::fault(CellFault::Time(text.to_owned())),
    }
}

fn date(text: &str, order: Option<Result<DayOrder, DateDoubt>>) -> Read {
    let said = || text.to_owned();
    let Some(dated) = dated(text) else {
        let count = text.split(['.', ',']).next().is_some_and(|n| n.len() == 5 && n.parse::<u32>().is_ok());
        return Read::fault(if count { CellFault::DayCount(said()) } else { CellFault::Date(said()) });
    };
    match dated.under(order.unwrap_or(Err(DateDoubt::Undecided))) {
        Err(doubt) => Read::fault(CellFault::DayOrder { text: said(), doubt }),
        Ok(date) => Read {
            value: Some(dated.time.map_or(Value::Date(date), |time| Value::Moment(moment(date, time)))),
            fault: dated.short_year.then(|| CellFault::ShortYear(said())),
        },
    }
}

/// Metres, with or without their unit: `12,5 m`, `± 5`.
fn metres(text: &str) -> Result<f64, CellFault> {
    let bare = text.trim_start_matches(['±', '+', '~']).trim().trim_end_matches(['m', 'M']).trim();
    let said = || text.to_owned();
    let grouped = bare
        .split_once([',', '.'])
        .is_some_and(|(whole, rest)| rest.len() == 3 && (1..=3).contains(&whole.len()) && whole != "0");
    if grouped {
        return Err(CellFault::Thousands(said()));
    }
    let plain = bare.bytes().all(|b| b.is_ascii_digit() || matches!(b, b',' | b'.'));
    let number = bare.replace(',', ".").parse().ok();
    number.filter(|_| plain).ok_or_else(|| CellFault::Number(said()))
}

/// Whether a cell begins like a formula, or is an error that a spreadsheet shows in place of its value.
pub(super) fn formula(text: &str) -> bool {
    let signed = text.strip_prefix(['+', '-']).map(str::trim_start);
    let number = |rest: &str| rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
    let dash = |rest: &str| rest.bytes().all(|b| b == b'-');
    text.len() > 1 && text.starts_with(['=', '@'])
        || signed.is_some_and(|rest| !number(rest) && !dash(rest))
        || text.starts_with('#') && (text.ends_with('!') || matches!(text, "#N/A" | "#NAME?"))
        || text.len() > 2 && text.bytes().all(|b| b == b'#')
}

#[cfg(test)]
mod tests;
