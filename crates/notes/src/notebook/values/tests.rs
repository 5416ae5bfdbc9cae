use super::*;
use crate::notebook::{Remembered, read_notebook};

/// Value and fault of the first cell of each row of a column, under a header.
fn column(header: &str, cells: &[&str]) -> Vec<(Option<Value>, Option<CellFault>)> {
    let quoted = cells.iter().map(|c| format!("{header}x,\"{c}\"\n"));
    let text = format!("jar,{header}\n{}", quoted.collect::<String>());
    let notebook = read_notebook(text.as_bytes(), &Remembered::default()).unwrap();
    let reading = notebook.reading(&notebook.mapping);
    let last = |row: &Row| row.values(&reading).pop().map(|c| (c.value, c.fault)).unwrap();
    notebook.rows.iter().map(last).collect()
}

fn day(month: i8, day: i8) -> Value {
    Value::Date(Date::constant(2026, month, day))
}

#[test]
fn the_whole_column_says_whether_the_day_comes_first() {
    assert_eq!(
        column("date", &["3/6/2026", "14/6/2026"]),
        [(Some(day(6, 3)), None), (Some(day(6, 14)), None)]
    );
    assert_eq!(
        column("date", &["3/6/2026", "6/14/2026"]),
        [(Some(day(3, 6)), None), (Some(day(6, 14)), None)]
    );
    assert_eq!(column("date", &["3/6/2026", "3.6.2026"])[0], (Some(day(6, 3)), None));
    assert_eq!(column("date", &["2026-06-03", "14/6/2026"])[0], (Some(day(6, 3)), None));
}

#[test]
fn an_undecided_column_is_a_doubt_and_no_guess() {
    let doubt = |doubt| CellFault::DayOrder { text: "3/6/2026".into(), doubt };
    assert_eq!(column("date", &["3/6/2026", "4/6/2026"])[0], (None, Some(doubt(DateDoubt::Undecided))));
    let two = column("date", &["3/6/2026", "14/6/2026", "6/14/2026"]);
    assert_eq!(
        two,
        [(None, Some(doubt(DateDoubt::TwoStyles))), (Some(day(6, 14)), None), (Some(day(6, 14)), None)]
    );
    let notebook = read_notebook(b"jar,date\na,3/6/2026\n", &Remembered::default()).unwrap();
    assert_eq!(notebook.reading(&notebook.mapping).date_doubts(), [(1, DateDoubt::Undecided)]);
    let said = Mapping { day_order: Some(DayOrder::MonthFirst), ..notebook.mapping.clone() };
    assert_eq!(notebook.rows[0].values(&notebook.reading(&said))[1].value, Some(day(3, 6)));
    assert!(notebook.reading(&said).date_doubts().is_empty());
}

#[test]
fn other_cells_are_typed_or_their_fault_is_said() {
    let text = || "x".to_owned();
    let moment = Date::constant(2026, 6, 14).at(10, 23, 0, 0);
    let time = Some(Value::Time(Time::constant(10, 23, 0, 0)));
    assert_eq!(
        column("time", &["10h23", "x", "2026-06-14 10:23"]),
        [(time.clone(), None), (None, Some(CellFault::Time(text()))), (Some(Value::Moment(moment)), None),]
    );
    assert_eq!(column("released at", &["10.23"]), [(time, None)]);
    assert_eq!(
        column("date", &["x", "46187", "14.6.26"]),
        [
            (None, Some(CellFault::Date(text()))),
            (None, Some(CellFault::DayCount("46187".into()))),
            (Some(day(6, 14)), Some(CellFault::ShortYear("14.6.26".into()))),
        ]
    );
    let number = |n| (Some(Value::Number(n)), None);
    assert_eq!(
        column("accuracy", &["12,5 m", "± 5", "0.125", "1250"]),
        [12.5, 5.0, 0.125, 1250.0].map(number)
    );
    assert_eq!(
        column("accuracy", &["1,250", "x"]),
        [(None, Some(CellFault::Thousands("1,250".into()))), (None, Some(CellFault::Number(text()))),]
    );
}

#[test]
fn places_come_from_one_column_or_two() {
    let read = |text: &str| {
        let notebook = read_notebook(text.as_bytes(), &Remembered::default()).unwrap();
        let reading = notebook.reading(&notebook.mapping);
        notebook.rows.iter().flat_map(|r| r.values(&reading)).map(|c| (c.value, c.fault)).collect::<Vec<_>>()
    };
    let place = |(value, fault): &(Option<Value>, Option<CellFault>)| match value {
        Some(Value::Place(p)) if fault.is_none() => (p.latitude, p.longitude),
        other => panic!("{other:?} {fault:?}"),
    };
    assert_eq!(place(&read("lat;lon\n52,2;-0,12\n")[0]), (52.2, -0.12));
    assert_eq!(place(&read("lon\tlat\n-0.12\t-52.2\n")[0]), (-52.2, -0.12));
    assert_eq!(place(&read("GPS,note\n\"52°12′N, 0°30′W\",a\n")[0]), (52.2, -0.5));
    let one = CellFault::Place(CoordinateFault::OneNumber("52.2".into()));
    for text in ["lat,lon\n52.2,\n", "lat,lon\n,52.2\n", "lat,note\n52.2,\n"] {
        assert_eq!(read(text), [(None, Some(one.clone()))], "{text}");
    }
    let swapped = read("lat,lon\n151.2,-33.8\n").remove(0).1.unwrap();
    assert!(swapped.to_string().contains("look swapped"));
}

#[test]
fn formulas_are_kept_as_text() {
    for text in ["=1+1", "@SUM(A1)", "+cmd", "-x", "#REF!", "#N/A", "#NAME?", "#DIV/0!", "#####"] {
        let kept = (Some(Value::Text(text.into())), Some(CellFault::Formula(text.into())));
        assert_eq!(column("notes", &[text])[0], kept, "{text}");
        assert_eq!(column("time", &[text]), [kept], "{text}");
    }
    for text in ["-5", "+ 3", "-", "--", "-.5", "#1", "a=b", "="] {
        assert_eq!(column("notes", &[text]), [(Some(Value::Text(text.into())), None)], "{text}");
    }
}
