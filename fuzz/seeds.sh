#!/bin/sh
# Copies small real files from the collection in ENDLEAF_CORPUS (photos/exif) as seeds; they never enter the repository.
set -eu
cd "$(dirname "$0")"
: "${ENDLEAF_CORPUS:?set it to the folder that holds photos/exif}"
for target in metadata preview sniff; do
    mkdir -p "corpus/$target"
    # Larger files only slow the search; of those, the head holds the structures.
    find "$ENDLEAF_CORPUS/photos/exif" -type f ! -name '*.csv' | while read -r file; do
        head -c 65536 "$file" >"corpus/$target/$(basename "$file")"
    done
done
