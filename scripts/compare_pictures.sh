#!/bin/sh
# Compares pictures of the window, as scripts/pictures.sh made them at 1280 x 800, with small ones that were looked at.
#
#   scripts/compare_pictures.sh FOLDER [--take]
#
# The small ones lie in tests/pictures, one a screen and state. A difference is named with its size: the root of the mean
# square over all colours, as a share of the whole range. --take puts the new ones in place of the old, to be looked at
# and committed. Needs compare and convert (ImageMagick).
set -eu

if [ $# -lt 1 ] || [ $# -gt 2 ]; then
    echo "Say where the pictures are: scripts/compare_pictures.sh FOLDER [--take]" >&2
    exit 2
fi
kept=$(cd "$(dirname "$0")/.." && pwd)/tests/pictures
# Another path or time in a corner stays far below this, another theme, a missing panel or a shifted row far above.
most=0.03
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT INT TERM
small() { convert "$1" -resize 320x200 -colors 96 "png8:$2"; }

status=0
for name in empty-1280-light card-1280-light card-1280-dark trace-1280-light gone-1280-light day-sheet-1280-light \
    day-sheet-1280-dark specimen-1280-light specimen-1280-dark beside-1280-light retake-list-1280-light \
    commands-1280-light filing-1280-light filed-1280-light filed-1280-dark reading-1280-light record-1280-light \
    record-1280-dark names-given-1280-light notebook-1280-light track-1280-light map-1280-dark about-day-1280-light \
    sent-1280-dark characters-1280-light colour-1280-dark measures-1280-light exchange-1280-light \
    exchange-records-1280-dark answers-1280-light; do
    small "$1/$name.png" "$scratch/$name.png"
    if [ "${2:-}" = --take ]; then
        mkdir -p "$kept"
        cp "$scratch/$name.png" "$kept/$name.png"
        continue
    fi
    if [ ! -f "$kept/$name.png" ]; then
        echo "$name was never looked at: there is no small one of it"
        status=1
        continue
    fi
    differs=$(compare -metric RMSE "$kept/$name.png" "$scratch/$name.png" null: 2>&1 | sed 's/.*(\(.*\))/\1/') || true
    if awk "BEGIN { exit !($differs > $most) }"; then
        echo "$name looks otherwise: $differs, at most $most"
        status=1
    fi
done
if [ $status -eq 0 ]; then echo "The pictures look as they did"; fi
exit $status
