use super::*;

fn read(text: &str) -> Tracks {
    read_gpx(text.as_bytes()).unwrap_or_else(|e| panic!("{e}: {text}"))
}

/// A file of one segment of one track, around what stands in it.
fn segment(inner: &str) -> String {
    format!(
        "<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n<trk><trkseg>\n{inner}\n</trkseg></trk></gpx>"
    )
}

fn told(tracks: &Tracks) -> Vec<(TrackDoubt, u64, u64)> {
    tracks.told.iter().map(|t| (t.what.clone(), t.line, t.count)).collect()
}

#[test]
fn points_waypoints_and_their_children_are_read_in_any_order() {
    let text = "\u{feff}<?xml version='1.0'?><g:gpx version='1.0' xmlns:g='http://www.topografix.com/GPX/1/0'>
        <!-- 1.0 has no metadata --><g:time>2026-06-14T08:00:00Z</g:time>
        <g:wpt lat='52.2' lon='0.12'><g:name>Bank &amp; <![CDATA[<dike>]]> &#233;</g:name><g:desc>south</g:desc></g:wpt>
        <g:rte><g:rtept lat='1' lon='2'/></g:rte>
        <g:trk><g:name>walk</g:name><g:trkseg>
        <g:trkpt lon=' -0.5' lat='+52.25'><g:time> 2026-06-14T10:00:00.25+01:00 </g:time><g:ele>12.5</g:ele>
          <g:extensions><g:time>1999-01-01T00:00:00Z</g:time></g:extensions><g:course>3</g:course></g:trkpt>
        </g:trkseg><g:trkseg/></g:trk>
        <g:trk><g:trkseg><g:trkpt lat='-90' lon='180'><g:time>2026-06-14T09:00:01Z</g:time></g:trkpt></g:trkseg></g:trk>
        </g:gpx>";
    let tracks = read(text);
    let time_ms = "2026-06-14T09:00:00.25Z".parse::<Timestamp>().unwrap().as_millisecond();
    let point = Point { latitude: 52.25, longitude: -0.5, time_ms, elevation_m: Some(12.5) };
    assert_eq!(tracks.segments[0], Segment { track: 0, points: vec![point] });
    assert_eq!((tracks.segments.len(), tracks.segments[1].track), (2, 1));
    let waypoint = &tracks.waypoints[0];
    assert_eq!((waypoint.name.as_str(), waypoint.description.as_str()), ("Bank & <dike> é", "south"));
    assert_eq!(told(&tracks), [(TrackDoubt::Route, 4, 1)]);
}

#[test]
fn what_is_doubtful_is_told_and_the_rest_read() {
    let tracks = read(&segment(
        "<trkpt lat='52' lon='0'/>
<trkpt lat='52' lon='0'><time>noon</time></trkpt>
<trkpt lat='91' lon='0'><time>2026-06-14T09:00:00Z</time></trkpt>
<trkpt lat='52' lon='nan'><time>2026-06-14T09:00:00Z</time></trkpt>
<trkpt lat='52'><time>2026-06-14T09:00:00Z</time></trkpt>
<trkpt lat='52' lon='1'><ele>high</ele><time>2026-06-14T09:00:00</time></trkpt>
<trkpt lat='52' lon='2'><time>2080-01-01T09:00:00Z</time></trkpt>
<trkpt lat='52' lon='3'><time>2026-06-14T09:00:05Z</time></trkpt>
<trkpt lat='52' lon='3'><time>2026-06-14T09:00:05Z</time></trkpt>
<trkpt lat='52' lon='4'><time>2026-06-14T09:00:06Z</time></trkpt>",
    ));
    let longitudes: Vec<f64> = tracks.segments[0].points.iter().map(|p| p.longitude).collect();
    assert_eq!(longitudes, [1.0, 3.0, 4.0], "points stay in the file's order");
    assert_eq!(
        told(&tracks),
        [
            (TrackDoubt::TimeMissing, 3, 1),
            (TrackDoubt::TimeUnreadable, 4, 1),
            (TrackDoubt::OffEarth, 5, 3),
            (TrackDoubt::Elevation, 8, 1),
            (TrackDoubt::ZoneMissing, 8, 1),
            (TrackDoubt::OutOfOrder, 13, 2),
        ]
    );
    assert_eq!(
        tracks.told[2].to_string(),
        "a point without a place on the Earth was left out (3 times, first at line 5)"
    );
}

#[test]
fn a_file_that_is_cut_keeps_what_came_before() {
    let whole = segment(
        "<trkpt lat='52' lon='0'><time>2026-06-14T09:00:00Z</time></trkpt>\n<trkpt lat='52' lon='1'>",
    );
    let cut = whole.split("\n</trkseg>").next().unwrap();
    for broken in [cut.to_owned(), format!("{cut}</ele>"), format!("{cut}<time>2026")] {
        let tracks = read(&broken);
        assert_eq!(tracks.segments[0].points.len(), 1, "{broken}");
        assert_eq!(told(&tracks), [(TrackDoubt::Broken, 4, 1)], "{broken}");
    }
}

#[test]
fn a_hopeless_file_is_one_plain_message() {
    for (bytes, message) in [
        (&b"PK\x03\x04"[..], "This is not a GPX file: it begins with “PK\u{3}\u{4}”"),
        (b"<kml><a/></kml>", "This is not a GPX file: it begins with the element “kml”"),
        (b"\xFF\xFE<\0", "This is not a GPX file: it begins with UTF-16"),
        (b"", "This GPX file cannot be read: it ends before it is complete (line 1, byte 0)"),
        (b"<gpx>\n<trk>\n</wpt>", "(line 3, byte "),
    ] {
        let said = read_gpx(bytes).unwrap_err().to_string();
        assert!(said.contains(message), "{said}");
    }
    assert_eq!(read("<gpx/>"), Tracks::default());
}

#[test]
fn nothing_is_expanded_and_nesting_has_a_limit() {
    let bomb = "<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]>
        <gpx><wpt lat='1' lon='2'><name>x&b;y</name></wpt></gpx>";
    let tracks = read(bomb);
    assert_eq!(tracks.waypoints[0].name, "xy");
    assert_eq!(told(&tracks), [(TrackDoubt::Entity, 2, 1)]);
    let deep = format!("<gpx>{}", "<a>".repeat(1_000_000));
    let said = read_gpx(deep.as_bytes()).unwrap_err().to_string();
    assert!(said.contains("nested more than 64 deep") && said.contains("byte 197"), "{said}");
}

#[test]
fn names_in_latin_1_are_read() {
    let text = b"<gpx><wpt lat='1' lon='2'><name>Gr\xFCn</name></wpt></gpx>";
    assert_eq!(read_gpx(&text[..]).unwrap().waypoints[0].name, "Grün");
}
