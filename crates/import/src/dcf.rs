//! Names of the Design rule for Camera File system (JEITA CP-3461 / CIPA DC-009).
//!
//! A DCF folder is `100ABCDE`: a number 100–999 and five free characters. A DCF file is `DSC_0001.JPG`: four
//! free characters and a number 0001–9999. Free characters are 0–9, A–Z and `_`; case is not distinguished.

/// Number of a DCF folder by its name; `None` for any other name.
pub(crate) fn folder_number(name: &str) -> Option<u16> {
    let number = digits(name.get(..3)?)?;
    (name.len() == 8 && all_free(&name[3..]) && number >= 100).then_some(number)
}

/// Number of a DCF file by its name without extension; `None` for any other name.
pub(crate) fn file_number(stem: &str) -> Option<u16> {
    let number = digits(stem.get(4..)?)?;
    (stem.len() == 8 && all_free(&stem[..4]) && number >= 1).then_some(number)
}

fn all_free(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_')
}

fn digits(text: &str) -> Option<u16> {
    text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_by_the_rule() {
        // Check values from the rule's published summaries (JEITA CP-3461).
        assert_eq!(folder_number("100ABCDE"), Some(100));
        assert_eq!(folder_number("999_____"), Some(999));
        // Free characters may be digits: some bodies write number, last digit of the year, month and day.
        assert_eq!(folder_number("10160614"), Some(101));
        for other in ["099ABCDE", "100ABCDEF", "100ABC", "100ABC-E", "DCIM", "", "10éABCD"] {
            assert_eq!(folder_number(other), None, "{other}");
        }
        assert_eq!(file_number("DSC_0001"), Some(1));
        assert_eq!(file_number("dsc_0001"), Some(1));
        assert_eq!(file_number("_DSC9999"), Some(9999));
        assert_eq!(file_number("20230614"), Some(614), "digits are free characters too");
        for other in
            ["DSC_0000", "DSC_10000", "DSC-0001", "DSC_001", "IMG_20230614", "DSC_00+1", "", "éé0001"]
        {
            assert_eq!(file_number(other), None, "{other}");
        }
    }
}
