//! A table as a notebook, with its values, and as a checklist.
#![no_main]

use libfuzzer_sys::fuzz_target;
use notes::{Remembered, read_checklist, read_notebook};

fuzz_target!(|data: &[u8]| {
    if let Ok(notebook) = read_notebook(data, &Remembered::default()) {
        let reading = notebook.reading(&notebook.mapping);
        for cell in notebook.rows.iter().flat_map(|row| row.values(&reading)) {
            assert!(cell.value.is_some() || cell.fault.is_some());
        }
    }
    if let Ok(list) = read_checklist(data, None) {
        for taxon in list.taxa.iter().take(20) {
            assert!(list.sensitivity(&taxon.name).is_some());
            assert!(list.find(&taxon.name, 5).len() <= 5);
        }
    }
});
