//! Prints how a table file is read, so that what another program wrote can be compared: see
//! `tests/reference/dialects.py`.
//!
//! Standard input holds the file; standard output one JSON object: `encoding`, `delimiter`, `headers`, and `rows`, each
//! with its `line` and `cells`.
#![allow(clippy::print_stdout, reason = "its answers are for a script")]

use std::io::{Read, stdin};

use notes::{Remembered, Row, read_notebook};

fn main() {
    let mut bytes = Vec::new();
    let read = stdin().read_to_end(&mut bytes).map_err(|e| e.to_string());
    let notebook =
        read.and_then(|_| read_notebook(&bytes, &Remembered::default()).map_err(|e| e.to_string()));
    let row = |row: &Row| serde_json::json!({ "line": row.line, "cells": row.cells().collect::<Vec<_>>() });
    let said = match notebook {
        Ok(notebook) => serde_json::json!({
            "encoding": notebook.dialect.encoding,
            "delimiter": notebook.dialect.delimiter,
            "headers": notebook.headers,
            "rows": notebook.rows.iter().map(row).collect::<Vec<_>>(),
        }),
        Err(fault) => serde_json::json!({ "fault": fault }),
    };
    println!("{said}");
}
