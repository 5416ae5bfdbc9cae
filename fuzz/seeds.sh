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
