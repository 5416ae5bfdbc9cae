#!/bin/sh
# Copies the heads of small real files to where the fuzz targets start from; the copies stay out of the repository.
#
# They are the demo sessions and the samples of the tests, and the camera files below ENDLEAF_CORPUS (photos/exif) where
# that is set.
set -eu
cd "$(dirname "$0")"
for target in metadata preview sniff; do
    mkdir -p "corpus/$target"
    find ../demo-sessions/*/card ../crates/import/tests/data ${ENDLEAF_CORPUS:+"$ENDLEAF_CORPUS/photos/exif"} \
        -type f ! -name '*.csv' | while read -r file; do
        # Larger files only slow the search. Their heads hold the structures, but half a picture still decodes as a large one.
        [ "$target" != preview ] || [ "$(wc -c <"$file")" -le 65536 ] || continue
        head -c 65536 "$file" >"corpus/$target/$(basename "$file")"
    done
done

# Tracks and notebooks are text; a few lines of each kind are enough to start from.
mkdir -p corpus/gpx corpus/notebook
cat >corpus/gpx/track.gpx <<'END'
<?xml version="1.0"?><gpx version="1.1" creator="seed" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="52.2" lon="0.12"><name>Bank &amp; dike</name><time>2026-06-14T08:00:00Z</time></wpt>
<trk><trkseg><trkpt lat="52.2" lon="0.12"><ele>12</ele><time>2026-06-14T09:00:00Z</time></trkpt>
<trkpt lon="179.9" lat="-52"><time>2026-06-14T10:01:00.5+01:00</time></trkpt></trkseg></trk></gpx>
END
cat >corpus/notebook/semicolons.csv <<'END'
Salt marsh bank;;;;
Glas;Datum;Uhrzeit;Koordinaten;Genauigkeit
A1;14.6.2026;10.23;"52°12′0,4″N 0°7′13″O";12,5 m
A2;3/6/26;10h23;52,2001 0,1203;=1+1
END
printf 'Jar\tDate\tTime\tLat\tLon\r\nA1\t14 June 2026\t10:23 pm\t52.2\t-0.12\r\n' >corpus/notebook/tabs.tsv
