use super::*;

fn read(bytes: &[u8]) -> Notebook {
    read_notebook(bytes, &Remembered::default()).unwrap()
}

fn told(notebook: &Notebook) -> Vec<(TableDoubt, u64, u64)> {
    notebook.told.iter().map(|t| (t.what.clone(), t.line, t.count)).collect()
}

fn cells(notebook: &Notebook) -> Vec<Vec<&str>> {
    notebook.rows.iter().map(|r| r.cells().collect()).collect()
}

#[test]
fn one_table_in_every_encoding_is_one_table() {
    let text = "Glas;Blüte\r\nA1;Wiesen-Flockenblume – “x”\r\n";
    let utf_16 = |units: fn(u16) -> [u8; 2]| -> Vec<u8> {
        std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(units).collect()
    };
    let latin: Vec<u8> = text
        .chars()
        .map(|c| match c {
            '–' => 0x96,
            '“' => 0x93,
            '”' => 0x94,
            c => u8::try_from(c).unwrap(),
        })
        .collect();
    let marked = [b"\xEF\xBB\xBF", text.as_bytes()].concat();
    for (bytes, name) in [
        (text.as_bytes().to_vec(), "UTF-8"),
        (marked, "UTF-8"),
        (utf_16(u16::to_le_bytes), "UTF-16LE"),
        (utf_16(u16::to_be_bytes), "UTF-16BE"),
        (latin, "windows-1252"),
    ] {
        let notebook = read(&bytes);
        assert_eq!(notebook.dialect, Dialect { encoding: name, delimiter: ';' });
        assert_eq!(notebook.headers, ["Glas", "Blüte"]);
        assert_eq!(cells(&notebook), [["A1", "Wiesen-Flockenblume – “x”"]], "{name}");
        let guessed = notebook.told.iter().any(|t| t.what == TableDoubt::EncodingGuessed);
        assert_eq!(guessed, name == "windows-1252");
    }
}

#[test]
fn titles_blanks_and_ragged_rows_are_told() {
    let notebook = read(b"Salt marsh bank,,\n\nJar,Time,\n,,\nA1,10:23,cold\nA2\n\nA3,\"10:24\nnext line\",,,more\n=A4,10:25,\n");
    assert_eq!(notebook.headers, ["Jar", "Time"]);
    assert_eq!(notebook.rows.iter().map(|r| r.line).collect::<Vec<_>>(), [5, 6, 8, 10]);
    assert_eq!(
        told(&notebook),
        [
            (TableDoubt::BlankRow, 4, 1),
            (TableDoubt::TitleRow, 1, 1),
            (TableDoubt::LongRow, 5, 2),
            (TableDoubt::ShortRow, 6, 1),
            (TableDoubt::Formula, 10, 1),
        ]
    );
}

#[test]
fn a_header_of_two_rows_is_put_together() {
    let notebook = read(b"Jar,Position,,Accuracy,\n,lat,lon,(m),\nA1,52.2,0.12,5,x\n");
    assert_eq!(notebook.headers, ["Jar", "Position lat", "Position lon", "Accuracy (m)"]);
    let field = |name: &str| Column::Field(name.to_owned());
    assert_eq!(
        notebook.mapping.columns,
        [
            Column::Jar,
            field("decimalLatitude"),
            field("decimalLongitude"),
            field("coordinateUncertaintyInMeters")
        ]
    );
    assert_eq!(told(&notebook), [(TableDoubt::TwoHeaderRows, 1, 1), (TableDoubt::LongRow, 3, 1)]);
    let units = read(b"Jar,Accuracy\n,(m)\nA1,5\n");
    assert_eq!((units.headers[1].as_str(), units.rows.len()), ("Accuracy (m)", 1));
}

#[test]
fn a_missing_header_is_told_and_nothing_is_lost() {
    let notebook = read(b"A1,10:23\nA2,10:24\n");
    assert_eq!(told(&notebook), [(TableDoubt::NoHeader, 1, 1)]);
    assert_eq!((notebook.rows.len(), notebook.headers.len()), (2, 2));
    assert_eq!(notebook.mapping.columns, [Column::LeaveOut, Column::LeaveOut]);
    let unknown = read(b"Frasco,Hora,Planta\nA1,10:23,flower\nA2,10:24,host plant\n");
    assert_eq!(unknown.headers, ["Frasco", "Hora", "Planta"], "a header in words that are not known");
    let within = read(b"Jar,,Time,Uhrzeit\nA1,cold,10:23,x\n");
    assert_eq!(told(&within), [(TableDoubt::EmptyHeader, 1, 1), (TableDoubt::SameColumn, 1, 1)]);
}

#[test]
fn an_open_quotation_mark_is_told() {
    let text = format!("Jar,Note\nA1,\"open\n{}", "A2,x\n".repeat(30));
    let notebook = read(text.as_bytes());
    assert_eq!(told(&notebook), [(TableDoubt::QuoteOpen, 2, 1)]);
}

#[test]
fn what_is_no_table_is_said_plainly() {
    let fault = |bytes: &[u8]| read_notebook(bytes, &Remembered::default()).unwrap_err();
    assert_eq!(fault(b"PK\x03\x04..."), TableFault::Spreadsheet);
    assert_eq!(fault(b"a\0b"), TableFault::NotText);
    for empty in [&b""[..], b"\n\n", b",,\n", b"\xEF\xBB\xBF"] {
        assert_eq!(fault(empty), TableFault::Empty);
    }
    assert_eq!(read(b"sep=;\r\nJar;Time\r\nA1;10:23\r\n").rows[0].line, 3);
    assert_eq!(read(b"Jar,Time\rA1,10:23\rA2,10:24").rows[1].line, 3, "line ends of one carriage return");
}

proptest::proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..200)) {
        if let Ok(notebook) = read_notebook(&bytes, &Remembered::default()) {
            let reading = notebook.reading(&notebook.mapping);
            let values: usize = notebook.rows.iter().map(|r| r.values(&reading).len()).sum();
            proptest::prop_assert!(values <= notebook.rows.len() * notebook.headers.len());
        }
    }

    #[test]
    fn any_cells_are_read_or_refused(cells in proptest::collection::vec("[-+=/.:0-9a-zé ,°]{0,14}", 12)) {
        let row = |cells: &[String]| format!("\"{}\"\n", cells.join("\";\""));
        let text = format!("date;time;coordinates;accuracy\n{}", cells.chunks(4).map(row).collect::<String>());
        let notebook = read(text.as_bytes());
        let reading = notebook.reading(&notebook.mapping);
        for cell in notebook.rows.iter().flat_map(|r| r.values(&reading)) {
            proptest::prop_assert!(cell.value.is_some() || cell.fault.is_some(), "{cell:?}");
        }
    }
}
