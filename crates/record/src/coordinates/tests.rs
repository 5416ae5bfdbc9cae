use super::*;
use proptest::prelude::*;

fn both(form: AngleForm, decimals: u8) -> [Written; 2] {
    [Written { form, decimals }; 2]
}

fn check(text: &str, expected: (f64, f64)) -> Coordinates {
    let read = parse_coordinates(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(
        near(read.latitude, expected.0) && near(read.longitude, expected.1),
        "{text}: {read:?} instead of {expected:?}"
    );
    read
}

#[test]
fn decimal_degrees_are_read_as_people_write_them() {
    for text in [
        "52.2001, 0.1203",
        "52.2001 0.1203",
        " 52.2001,0.1203 ",
        "52.2001; 0.1203",
        "52.2001 / 0.1203",
        "52,2001; 0,1203",
        "52,2001;0,1203",
        "52,2001 0,1203",
        "52,2001, 0,1203",
        "N 52.2001 E 0.1203",
        "N52.2001 E0.1203",
        "52.2001N 0.1203E",
        "52.2001° N, 0.1203° E",
        "52.2001°, 0.1203°",
        "E 0.1203, N 52.2001",
        "0.1203 e 52.2001 n",
        "+52.2001 +0.1203",
        "52.2001\u{a0}N 0.1203\u{a0}E",
    ] {
        let read = check(text, (52.2001, 0.1203));
        assert_eq!(read.written, both(AngleForm::Degrees, 4), "{text}");
    }
    for text in
        ["-33.5 -70.25", "−33.5, −70.25", "–33,5; –70,25", "33.5 S 70.25 W", "S33.5 W70.25", "- 33.5, -70.25"]
    {
        check(text, (-33.5, -70.25));
    }
    check("52, 12", (52.0, 12.0));
    check("52 12", (52.0, 12.0));
    check("90, -180", (90.0, -180.0));
}

#[test]
fn minutes_and_seconds_are_read() {
    let exact = (52.0 + 12.0 / 60.0 + 0.4 / 3600.0, -(7.0 / 60.0 + 13.1 / 3600.0));
    for text in [
        "52°12′0.4″N 0°7′13.1″W",
        "52° 12' 0.4\" N, 0° 7' 13.1\" W",
        "52º12’0.4” N 0º07’13.1” W",
        "N 52°12'0,4\" W 0°7'13,1\"",
        "52°12'0.4''N 0°7'13.1''W",
        "52°12′0.4″ -0°7′13.1″",
        "52 12 0.4 -0 7 13.1",
        "52 12 0.4 N 0 7 13.1 W",
    ] {
        let read = check(text, exact);
        assert_eq!(read.written, both(AngleForm::Seconds, 1), "{text}");
    }
    for text in ["52°12.5′N, 0°7.2′E", "52 12.5 0 7.2", "52°12,5'N 0°7,2'E", "N52 12.5 E0 7.2"] {
        let read = check(text, (52.0 + 12.5 / 60.0, 7.2 / 60.0));
        assert_eq!(read.written, both(AngleForm::Minutes, 1), "{text}");
    }
}

#[test]
fn what_cannot_be_read_is_said_plainly() {
    type Fault = fn(String) -> CoordinateFault;
    let cases: [(&str, Fault); 24] = [
        ("", CoordinateFault::Unreadable),
        ("the old quarry", CoordinateFault::Unreadable),
        ("52.2001", CoordinateFault::OneNumber),
        ("52.2 S", CoordinateFault::OneNumber),
        ("52°12′0.4″N", CoordinateFault::OneNumber),
        ("52,12", CoordinateFault::Comma),
        ("52,2,0,12", CoordinateFault::Unreadable),
        ("0.12 N 52.2 N", CoordinateFault::Letters),
        ("52.2 S 0.12", CoordinateFault::Letters),
        ("52,0 12", CoordinateFault::Comma),
        ("120.5, 45.5", CoordinateFault::Swapped),
        ("-151.2 -33.8", CoordinateFault::Swapped),
        ("91 181", CoordinateFault::OutOfRange),
        ("120.5 N, 45.5 E", CoordinateFault::OutOfRange),
        ("45.5, 180.01", CoordinateFault::OutOfRange),
        ("52°60′N 0°7′E", CoordinateFault::Sixty),
        ("52°12′60″N 0°7′1″E", CoordinateFault::Sixty),
        ("-52.2 N 0.12 E", CoordinateFault::SignAndLetter),
        ("52.2 N 0.12 O", CoordinateFault::LetterO),
        ("52.2.1 0.12", CoordinateFault::Unreadable),
        ("52.5°12′N 0°7′E", CoordinateFault::Unreadable),
        ("52 12 0 7 1", CoordinateFault::Unreadable),
        ("52°12″N 0°7″E", CoordinateFault::Unreadable),
        ("1e1 2", CoordinateFault::Letters),
    ];
    for (text, fault) in cases {
        assert_eq!(parse_coordinates(text), Err(fault(text.trim().to_owned())), "{text}");
    }
    assert!(CoordinateFault::Swapped("1".into()).to_string().contains("the two look swapped"));
}

#[test]
fn two_cells_are_read_as_one_place() {
    let read = parse_coordinate_pair("52,2001", " 0,12 ").unwrap();
    assert_eq!((read.latitude, read.longitude, read.step_deg()), (52.2001, 0.12, 0.1 * 0.1));
    assert!(matches!(parse_coordinate_pair("0.12 E", "52.2 N"), Err(CoordinateFault::Letters(_))));
    assert!(matches!(parse_coordinate_pair("151.2", "-33.8"), Err(CoordinateFault::Swapped(_))));
    assert!(matches!(parse_coordinate_pair("52.2", ""), Err(CoordinateFault::Unreadable(_))));
}

#[test]
fn text_for_data_has_no_more_digits_than_were_typed() {
    for (typed, lat, lon) in [
        ("52,20; 0,1203", "52.20", "0.1203"),
        ("52.2001 -0.0", "52.2001", "0.0"),
        ("-0, -0.0000", "0", "0.0000"),
        ("52°12′N 0°7′W", "52.20", "-0.12"),
        ("52°12′0″N 0°7′13″E", "52.2000", "0.1203"),
        ("52°12.345′N 0°7.200′E", "52.20575", "0.12000"),
        ("33.86785 S, 151.20732 E", "-33.86785", "151.20732"),
    ] {
        let text = parse_coordinates(typed).unwrap().decimal_text();
        assert_eq!((text.0.as_str(), text.1.as_str()), (lat, lon), "{typed}");
    }
    let zero = parse_coordinates("-0.0, -0.0").unwrap();
    assert!(zero.latitude.is_sign_positive() && zero.longitude.is_sign_positive());
    assert_eq!(degrees_text(-0.04, 1), "0.0");
}

/// Table of uncertainty by precision in Chapman and Wieczorek (2020), Georeferencing Best Practices,
/// <https://doi.org/10.15468/doc-gg7h-s853>, after Wieczorek (2001): metres at 0, 30, 60 and 85 degrees.
#[test]
fn precision_gives_the_published_uncertainty() {
    for (step_deg, published) in [
        (1.0, [156_904.0, 146_962.0, 124_605.0, 112_109.0]),
        (0.1, [15_691.0, 14_697.0, 12_461.0, 11_211.0]),
        (0.01, [1_570.0, 1_470.0, 1_246.0, 1_121.0]),
        (0.001, [157.0, 147.0, 125.0, 112.0]),
        (0.000_1, [16.0, 15.0, 13.0, 12.0]),
        (0.000_01, [2.0, 2.0, 2.0, 2.0]),
        (1.0 / 60.0, [2_615.0, 2_450.0, 2_077.0, 1_869.0]),
        (1.0 / 3600.0, [44.0, 41.0, 35.0, 32.0]),
    ] {
        for (latitude, metres) in [0.0, 30.0, 60.0, 85.0].into_iter().zip(published) {
            let got = precision_uncertainty_m(step_deg, latitude);
            assert!((got - metres).abs() <= 1.0, "{step_deg}° at {latitude}: {got} instead of {metres}");
        }
    }
    // The worked examples of the same guide, in kilometres.
    let (north, east) = step_m(0.01, 10.27);
    assert!((north - 1106.1).abs() < 0.1 && (east - 1095.5).abs() < 0.1, "{north} {east}");
    assert!((precision_uncertainty_m(0.01, 10.27) - 1556.8).abs() < 0.1);
    assert!((precision_uncertainty_m(0.5, 10.0) - 77_870.0).abs() < 10.0);
    let typed = parse_coordinates("10.27 0.00").unwrap();
    assert!((typed.least_uncertainty_m() - 1556.8).abs() < 0.1);
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in "[-−0-9.,;°º'’′\"″ NSEWO/+a-z]{0,40}") {
        if let Ok(read) = parse_coordinates(&text) {
            prop_assert!(read.latitude.abs() <= 90.0 && read.longitude.abs() <= 180.0);
        }
    }

    #[test]
    fn what_is_written_is_read_back(lat in -900_000_i32..=900_000, lon in -1_800_000_i32..=1_800_000) {
        let (lat, lon) = (f64::from(lat) / 1e4, f64::from(lon) / 1e4);
        let (lat, lon) = (degrees_text(lat, 4), degrees_text(lon, 4));
        let read = parse_coordinates(&format!("{lat}, {lon}")).unwrap();
        prop_assert_eq!(read.decimal_text(), (lat, lon));
    }
}
